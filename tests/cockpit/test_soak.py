"""Two hours in the cockpit: no more memory than after half an hour, logs that end somewhere, no flight time lost."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest
from cockpit.flown import flying, log
from textual.pilot import Pilot

from drill.cockpit.flying import screen as flying_screen
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.text import MOST_ENTRIES
from drill.seat.pace import LONGEST_GAP_S, PaceClock

HALF_HOUR_S, TWO_HOURS_S = 1800, 7200
LINE_EVERY_S, CALL_EVERY_S = 120, 180
PAINT_EVERY_S = 12
LINES = ("check the ammeter", "fly heading 245", "sing", "fly heading 240", "time")

MOST_GROWTH_KIB = 16 * 1024
"""That may come between half an hour and two hours. By design the pictures of the faces are kept, at most 128 of each,
and the logs, at most 1,000 rows each: together some 9 MB were measured. One panel and its strips kept a second would be
5,400 times 5 kB or more, one screen kept a paint far more than that."""


def long_flight() -> str:
    """Return a scenario in which nothing fails, ATC says something every three minutes, and three hours may pass."""
    calls = "\n".join(
        f"  call {after}: {{after: {after} s, says: \"{{callsign}}, traffic {after} feet below.\"}}"
        for after in range(CALL_EVERY_S, TWO_HOURS_S + 600, CALL_EVERY_S))
    return f"""
drill: 1
board title: The long way
title: Nothing at all
aim: To sit.
airplane: larkspur-180
callsign: Larkspur 5304W
time limit: 3 h
start: {{phase: cruise, altitude: 5000 ft, heading: 240, airspeed: 110 kt, on board: 1, fuel: 4 h}}
weather: {{cloud: {{base: 1200 ft, tops: 7200 ft}}, wind: 270 at 20 kt}}
minimum altitude: 3000 ft
fields:
  Tallowby: {{bearing: 240, distance: 280 nm, ceiling: clear}}
clearance: {{facility: Orrinfell Approach}}
events:
{calls}
phases:
  cruise:
    tell: Level in cloud.
    branches:
      - {{when: did land, end: there}}
endings:
  there: {{outcome: safe, tell: On the ground.}}
grade sheet:
  - {{item: Sit, part: aviate, never: declare mayday, why: Nothing failed., source: none}}
"""


def held_kib() -> int:
    """Return the memory that this process has in use."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") // 1024


async def flown_to(pilot: Pilot[int], screen: FlightScreen, until_s: int) -> int:
    """Fly on to `until_s` a second at a time as the timer would, type and hear something now and then."""
    for second in range(round(screen.sitting.t_s), until_s):
        screen.advance(1.0)
        if second % LINE_EVERY_S == 0:
            screen.enter(LINES[second // LINE_EVERY_S % len(LINES)])
        if second % PAINT_EVERY_S == 0:
            await pilot.pause()
    await pilot.pause()
    return held_kib()


@pytest.mark.long
async def test_memory_does_not_grow_over_two_hours(tmp_path: Path) -> None:
    path = tmp_path / "long.yaml"
    path.write_text(long_flight(), encoding="utf-8")
    async with flying(tmp_path, scenario=path) as (pilot, screen):
        after_half = await flown_to(pilot, screen, HALF_HOUR_S)
        after_two = await flown_to(pilot, screen, TWO_HOURS_S)
        assert not screen.sitting.ended
        assert len(log(screen, "radio")) > TWO_HOURS_S / CALL_EVERY_S - 2
        assert after_two - after_half < MOST_GROWTH_KIB, f"{after_half} KiB, {after_two} KiB"


async def test_logs_end_somewhere(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        for number in range(MOST_ENTRIES + 50):
            screen.say(f"{number}")
        await pilot.pause()
        for name in ("cockpit", "both"):
            assert len(log(screen, name)) == MOST_ENTRIES
            assert log(screen, name)[-1].endswith(f"{MOST_ENTRIES + 49}")


class Clock:
    """A wall clock that a test turns."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def monotonic(self) -> float:
        return self.now_s


async def test_a_look_at_the_clock_that_comes_late_loses_no_flight_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    async with flying(tmp_path) as (_, screen):
        monkeypatch.setattr(flying_screen, "time", clock)
        screen.sitting.clock = PaceClock("running", clock.now_s)
        began_s, gaps = screen.sitting.t_s, [0.1, 0.1, 0.7, 0.1, 0.04, 0.033, 0.95, 0.1, 0.55, 0.25, 0.017] * 4
        for gap in gaps:
            clock.now_s += gap
            screen._look()
        assert screen.sitting.t_s - began_s == pytest.approx(sum(gaps), abs=0.11)    # a step is a tenth
        before_s = screen.sitting.t_s
        clock.now_s += 3600.0    # the machine slept
        screen._look()
        assert screen.sitting.t_s - before_s == pytest.approx(LONGEST_GAP_S, abs=0.11)
