"""What the flight screen asks of the app."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from drill.cockpit.settings import Settings

if TYPE_CHECKING:
    from drill.seat.run import Run


class Host(Protocol):
    """The app that a flight is shown in."""

    settings: Settings

    def flight_over(self, run: Run, record_path: Path) -> None:
        """Go on to the questions and the debrief."""

    def flight_left(self, record_path: Path) -> None:
        """Leave a flight that can be flown on."""

    def stop_with(self, words: str) -> None:
        """End the program because of something that the user has to put right."""

    def remember(self, **changes: object) -> None:
        """Keep changed settings."""
