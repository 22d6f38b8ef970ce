"""Make the pictures of the README: fly "Cruise to Tallowby", seed 1, with nobody acting after the first minutes; then a
poll of a safety night with it, as the facilitator sees that.

    python demo/pictures.py [FOLDER]

writes board, briefing, flight, spiral, debrief, plots and safety-night as SVG into demo/pictures, or FOLDER. All that
they show is invented. The same program gives the same pictures; they load nothing from anywhere.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from safety_night import people_of
from textual.pilot import Pilot

from drill.cockpit.app import Cockpit
from drill.cockpit.board.list_view import BoardList
from drill.cockpit.board.screen import BoardScreen, Known
from drill.cockpit.briefing.screen import BriefingScreen, SketchView
from drill.cockpit.debrief.questions import QuestionsScreen
from drill.cockpit.debrief.screen import DebriefScreen
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.launch import Board
from drill.cockpit.settings import Settings
from drill.cockpit.text import Words
from drill.room.commands import Advance, Brief, Close, Fly
from drill.room.host import Host
from drill.room.screen.app import RoomApp
from drill.scenario import find, load
from drill.scenario.cards import cards
from drill.seat.journal import Attempt

SIZE = (120, 40)
TODAY = date(2026, 5, 4)
EVENING = datetime(2026, 5, 4, 19, 0, tzinfo=UTC)
LOOKS = 3_000
ELSEWHERE = re.compile(r"@font-face\s*\{[^}]*\}|<!--.*?-->", re.DOTALL)
FAMILY = re.compile(r"font-family:[^;}]*")


class Camera:
    """Takes pictures of a cockpit, each when the screen has come to rest."""

    def __init__(self, pilot: Pilot[int], folder: Path) -> None:
        self._pilot = pilot
        self._folder = folder

    async def until(self, condition: Callable[[], object]) -> None:
        """Let the cockpit work until `condition` holds. TimeoutError if it never does."""
        for _ in range(LOOKS):
            if condition():
                return
            await self._pilot.pause(0.01)
        raise TimeoutError("the cockpit did not come to what was to be pictured")

    async def take(self, name: str) -> None:
        """Write the screen as `name`.svg, without fonts and names from elsewhere."""
        picture = ""
        while picture != (picture := self._pilot.app.export_screenshot(title="drill")):
            await self._pilot.pause(0.05)
        picture = FAMILY.sub("font-family: monospace", ELSEWHERE.sub("", picture))
        lines = (line.rstrip() for line in picture.splitlines())
        (self._folder / f"{name}.svg").write_text("\n".join(line for line in lines if line) + "\n", encoding="utf-8")


def flown_before(folder: Path) -> Known:
    """Return the board's scenarios, with two invented flights: one graded, one unfinished."""
    shipped = cards()
    first = shipped[0]
    return Known(shipped, [
        Attempt(first.name, first.board_title, folder / "left.jsonl", 12, "2026-05-02"),
        Attempt(first.name, first.board_title, folder / "over.jsonl", 7, "2026-05-03", True, "safe", 87.0),
    ])


async def journey(folder: Path, home: Path) -> None:
    """Go from the board to the debrief and write the pictures into `folder`; `home` takes the record."""
    app = Cockpit(Board(), Settings(reduced_motion=True), timed=False, keeps=False)
    async with app.run_test(size=SIZE) as pilot:
        camera = Camera(pilot, folder)

        def is_at(kind: type[object], *parts: str) -> Callable[[], object]:
            return lambda: isinstance(app.screen, kind) and all(app.screen.query(part) for part in parts)

        await camera.until(is_at(BoardScreen, "#list"))
        board = BoardScreen(lambda: flown_before(home), today=lambda: TODAY)
        await app.push_screen(board)
        await camera.until(lambda: board.query(BoardList) and board.query_one(BoardList).row)
        await camera.take("board")
        app.pop_screen()

        app.brief(cards()[0])
        await camera.until(is_at(BriefingScreen, "SketchView"))
        await camera.until(lambda: app.screen.query_one(SketchView).size.height)
        await camera.take("briefing")
        await pilot.press("f4", "1", "enter")

        await camera.until(is_at(FlightScreen, "#panel"))
        flight = app.screen
        assert isinstance(flight, FlightScreen)  # noqa: S101 - waited for
        flight.advance(63)
        flight.enter("tell approach altimeter two niner eight six, Larkspur 5304W")
        flight.advance(12)
        flight.enter("set the altimeter to 29.86")
        flight.advance(10)
        flight.enter("check the suction gauge")
        flight.advance(15)
        flight.enter("turn right heading 260")
        flight.advance(6)
        await camera.take("flight")
        flight.advance(8)
        flight.enter("turn left heading 240")
        flight.advance(561)
        while not flight.sitting.ended and abs(float(flight.sitting.run.flight.truths.bank_deg)) < 45:
            flight.advance(2)
        await camera.take("spiral")
        flight.advance(600)

        await pilot.press("enter")
        await camera.until(is_at(QuestionsScreen, "OrderLine"))
        await pilot.press("f10")
        await camera.until(lambda: isinstance(app.screen, DebriefScreen) and app.screen.query("#moments")
                           and not app.screen.has_class("-waiting"))
        await pilot.press("f3")
        await camera.until(lambda: app.screen.query_one("#moments").has_focus)
        await camera.take("debrief")
        await pilot.press("f9")
        await camera.until(lambda: app.screen.query_one("#plots VerticalScroll").has_focus)
        await camera.take("plots")
        app.close_record()


async def night(folder: Path, home: Path) -> None:
    """Hold a safety night to its second poll, and write what the facilitator sees; `home` takes the record."""
    scenario = load(find(cards()[0].name))
    now = [EVENING]
    host = Host.begin(scenario, 1, home / "evening.jsonl", number="4711", clock=lambda: now[0])
    room = people_of(1, 24)
    for place, person in enumerate(room):
        await host.join(f"phone {place}", person.name, person.table)
    app = RoomApp(host, settings=Settings(reduced_motion=True))
    async with app.run_test(size=SIZE) as pilot:
        camera = Camera(pilot, folder)
        await host.command(Brief())
        for _ in range(2):
            now[0] += timedelta(minutes=6)
            await host.command(Fly())
            await host.command(Advance(900.0))
            poll = host.wall_view()["poll"]
            for place, person in enumerate(room):
                person.look(host.wall_view()["panel"], "")
                vote = person.vote(poll, scenario.callsign)
                await host.vote(f"phone {place}", poll["id"], vote["answer"], sure=int(vote["sure"]))
            if len(host.evening.polls) == 1:
                await host.command(Close())
        await camera.until(lambda: app.screen.query("#poll-words")
                           and "24 of 24" in app.screen.query_one("#poll-words", Words).said)
        await pilot.pause(1.0)
        await camera.take("safety-night")
    await host.close()


def main() -> None:
    """Write the pictures; the record is thrown away, and settings and flights of whoever does it are left alone."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
            os.environ[name] = home
        asyncio.run(journey(folder, Path(home)))
        asyncio.run(night(folder, Path(home)))


if __name__ == "__main__":
    main()
