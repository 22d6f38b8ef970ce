"""A stand-in for the app, on which one screen is shown; it keeps what the screen asks of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from textual.app import App
from textual.pilot import Pilot
from textual.screen import Screen

from drill.cockpit.settings import Settings
from drill.cockpit.themes import THEMES
from drill.scenario.cards import Card
from drill.scenario.model import Scenario

MOST_LOOKS = 2_000


class Stage(App[int]):
    """Shows one screen, above an empty one to go back to."""

    def __init__(self, screen: Screen[None]) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = "night"
        self.settings = Settings()
        self.shown = screen
        self.warnings: list[str] = []
        self.briefed: list[Card] = []
        self.resumed: list[Path] = []
        self.flown: list[tuple[Scenario, str, int | None]] = []

    def on_mount(self) -> None:
        self.push_screen(self.shown)

    def brief(self, card: Card) -> None:
        self.briefed.append(card)

    def resume(self, record: Path) -> None:
        self.resumed.append(record)

    def remember(self, **changes: Any) -> None:
        self.settings = replace(self.settings, **changes)

    def fly(self, scenario: Scenario, pace: str, seed: int | None) -> None:
        self.flown.append((scenario, pace, seed))


def seen(app: App[int]) -> list[str]:
    """The rows of the present screen, as they are painted."""
    return [strip.text for strip in app.screen._compositor.render_strips()]


async def until(pilot: Pilot[Any], holds: Callable[[], object]) -> None:
    """Let the app work until `holds`, with a limit, and then finish what it has begun."""
    for _ in range(MOST_LOOKS):
        await pilot.pause(0.005)
        if holds():
            await pilot.pause()
            return
    raise AssertionError("it never came to hold")
