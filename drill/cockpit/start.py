"""What the cockpit starts with (the board, a briefing, a flight taken up again). Light."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from drill.seat.pace import Pace


@dataclass(frozen=True, slots=True)
class Board:
    """Start at the board."""


@dataclass(frozen=True, slots=True)
class Fly:
    """Start with the briefing of a scenario, by name or file."""

    scenario: str
    seed: int | None = None
    pace: Pace | None = None
    record: Path | None = None
    phase: str | None = None    # taken up there; None: from its beginning


@dataclass(frozen=True, slots=True)
class Resume:
    """Start with a flight that is taken up again."""

    record: Path
    pace: Pace | None = None


@dataclass(frozen=True, slots=True)
class Again:
    """Start with a recorded flight that is flown another way from `at_s` (s) on, its record in `new_record`."""

    record: Path
    at_s: float
    pace: Pace | None = None
    new_record: Path | None = None


Start: TypeAlias = Board | Fly | Resume | Again
