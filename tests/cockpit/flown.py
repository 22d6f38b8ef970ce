"""A cockpit in flight, for tests: no clock runs but the test's own."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import cache
from pathlib import Path
from typing import cast

from cockpit.stage import until
from program import TALLOWBY
from textual.pilot import Pilot

from drill.cockpit.app import Cockpit
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.launch import Fly
from drill.cockpit.settings import Settings
from drill.cockpit.text import WordLog, Words
from drill.scenario import Scenario, find, load
from drill.seat.pace import Pace


@cache
def loaded(name: str) -> Scenario:
    """Return a scenario, by name or file; read once."""
    return load(find(name))


@asynccontextmanager
async def flying(
    folder: Path, *, size: tuple[int, int] = (120, 40), settings: Settings | None = None, pace: Pace = "running",
    seed: int = 1, scenario: str | Path = TALLOWBY,
) -> AsyncIterator[tuple[Pilot[int], FlightScreen]]:
    """A flight just begun, its record in `folder`."""
    app = Cockpit(Fly(str(scenario), seed=seed, record=folder / "flight.jsonl"),
                  settings or Settings(reduced_motion=False), timed=False, keeps=False)
    app.animation_level = "none"
    async with app.run_test(size=size) as pilot:
        app.fly(loaded(str(scenario)), pace, seed)
        await until(pilot, lambda: isinstance(app.screen, FlightScreen) and app.screen.is_mounted
                    and app.screen.query("#panel"))
        await pilot.pause()
        try:
            yield pilot, cast(FlightScreen, app.screen)
        finally:
            app.close_record()


def log(screen: FlightScreen, name: str) -> list[str]:
    """Return the entries of one of the logs: radio, cockpit, both."""
    return screen.query_one(f"#{name}", WordLog).entries


def said(screen: FlightScreen, name: str) -> str:
    """Return what a row of words says."""
    return screen.query_one(f"#{name}", Words).said
