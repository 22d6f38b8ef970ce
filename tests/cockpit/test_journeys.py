"""One whole journey, from the board to the debrief and back, as it looks at three sizes, in two themes, and in ASCII.

Each kept album is one journey. What changed is to be looked at before it is kept: see `snapshot.py`.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import TypeVar

import pytest
from cockpit.flown import log, said
from cockpit.snapshot import Album, agrees, screen_rows
from cockpit.stage import until
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import OptionList

from drill.cockpit.app import Cockpit
from drill.cockpit.board.list_view import BoardList
from drill.cockpit.board.screen import BoardScreen, Search
from drill.cockpit.briefing.screen import BriefingScreen, Page, SketchView
from drill.cockpit.debrief.questions import QuestionsScreen
from drill.cockpit.debrief.screen import DebriefScreen
from drill.cockpit.flying.panel_view import FaceView, PanelView
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.help import HelpPanel
from drill.cockpit.launch import Board
from drill.cockpit.settings import Settings
from drill.cockpit.text import Words

SEED = "1"
ANSWER = "Orrinfell Approach, Larkspur 5304W, roger, altimeter two niner eight six"
GIVES_AWAY = ("suction lost", "pump", "shaft", "shears", "stop following")
"""What the scenario's title, aim and failure say."""

ASKED_FOR = "board, what it trains"
LARGE = ("briefing", "flight, 0:00", "flight, an instrument covered", "flight, one instrument alone",
         "flight, suggestions", "flight, spiral", "flight, over", "questions", "debrief, overview", "debrief, a moment",
         "debrief, plots")
"""Stops that are kept of a large screen: the rest shows nothing there that the other albums do not."""

ScreenT = TypeVar("ScreenT", bound=Screen[None])


class Journey:
    """A pilot at the cockpit, and what was seen at each stop; the album has those of `kept`, or all of them."""

    def __init__(self, pilot: Pilot[int], kept: tuple[str, ...]) -> None:
        self.pilot = pilot
        self.album = Album()
        self.seen: dict[str, str] = {}
        self._kept = kept

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)

    async def until(self, condition: Callable[[], object]) -> None:
        await until(self.pilot, condition)

    async def at(self, kind: type[ScreenT]) -> ScreenT:
        """Wait for a screen."""
        await self.until(lambda: isinstance(self.pilot.app.screen, kind) and self.pilot.app.screen.is_mounted)
        screen = self.pilot.app.screen
        assert isinstance(screen, kind)
        return screen

    async def look(self, stop: str) -> str:
        """Return the screen in one line, as it stands when it has come to rest, under the name of the `stop`."""
        rows = None
        while rows != (rows := screen_rows(self.pilot.app)):
            await self.pilot.pause(0.02)
        if not self._kept or stop in self._kept:
            self.album.take(self.pilot.app, stop)
        self.seen[stop] = " ".join(" ".join(rows[0]).split())
        return self.seen[stop]


@asynccontextmanager
async def begun(size: tuple[int, int], settings: Settings, kept: tuple[str, ...]) -> AsyncIterator[Journey]:
    """The cockpit at its board, of a pilot who has never flown."""
    app = Cockpit(Board(), settings, timed=False, keeps=False)
    async with app.run_test(size=size) as pilot:
        try:
            yield Journey(pilot, kept)
        finally:
            app.close_record()


async def from_the_board_to_the_flight(journey: Journey) -> FlightScreen:
    """Seek the scenario, ask what it trains, read the briefing to its end, begin with the seed."""
    board = await journey.at(BoardScreen)
    await journey.until(lambda: board.query_one(BoardList).row)
    assert "Cruise to Tallowby" in await journey.look("board")
    await journey.press(*"tallow")
    await journey.until(lambda: board.query_one(Search).value == "tallow")
    await journey.press("f6", "f6")
    await journey.until(lambda: board.has_class("-trains"))
    assert "This gives the failure away." in await journey.look(ASKED_FOR)
    await journey.press("f6", "enter")
    briefing = await journey.at(BriefingScreen)
    await journey.until(lambda: briefing.query(SketchView) and briefing.query_one(SketchView).size.height)
    assert "Training aid only" in await journey.look("briefing")
    page = briefing.query_one(Page)
    await journey.press("end")
    await journey.until(lambda: page.scroll_offset.y == page.max_scroll_y)
    assert "North is up" in await journey.look("briefing, its end")
    await journey.press("f4", SEED, "enter")
    flight = await journey.at(FlightScreen)
    await journey.until(lambda: flight.query("#panel"))
    return flight


async def fly_a_while(journey: Journey, flight: FlightScreen) -> None:
    """Answer a call, do something, and look at all that the screen has."""
    panel = flight.query_one(PanelView)
    assert "flight 0:00" in await journey.look("flight, 0:00")
    flight.advance(63)
    flight.enter(ANSWER)
    flight.advance(12)
    flight.enter("set the altimeter to 29.86 and start the timer")
    flight.advance(10)
    flight.enter("cover the turn coordinator")
    flight.advance(15)
    assert "covered" in (await journey.look("flight, an instrument covered")).lower()
    assert any(f"You: {ANSWER}" in each for each in log(flight, "radio"))
    await journey.press("f3")
    await journey.until(lambda: panel.filled and flight.query_one("#filled").is_on_screen)
    await journey.look("flight, one instrument alone")
    await journey.press("shift+f3", "f1")
    await journey.until(lambda: not panel.filled and flight.query_one(HelpPanel).is_on_screen)
    await journey.look("flight, help")
    await journey.press("f1", "f2")
    await journey.until(lambda: "PAUSED" in said(flight, "pace"))
    assert "flight 1:40" in await journey.look("flight, paused")
    await journey.press("f2", "f5")
    await journey.until(lambda: flight.query_one("#offers", OptionList).is_on_screen)
    assert "look at the panel" in await journey.look("flight, suggestions")
    await journey.press("f5")
    flight.enter("uncover the turn coordinator")


async def let_it_go(journey: Journey, flight: FlightScreen) -> None:
    """Do nothing more: the airplane rolls into a spiral while the horizon stays where it is."""
    flight.advance(580)
    while not flight.sitting.ended and abs(float(flight.sitting.run.flight.truths.bank_deg)) < 45:
        flight.advance(2)
    await journey.look("flight, spiral")
    assert "2 degrees right wing down" in flight.query_one("#six-attitude_indicator", FaceView).describe()
    assert "more than standard rate" in flight.query_one("#six-turn_coordinator", FaceView).describe()
    flight.advance(600)
    over = await journey.look("flight, over")
    assert "THE FLIGHT IS OVER" in over
    assert "flight 12:5" in over


async def be_debriefed(journey: Journey) -> None:
    """Answer one question, read the debrief, go back to the board."""
    await journey.press("enter")
    questions = await journey.at(QuestionsScreen)
    await journey.until(lambda: questions.query("OrderLine"))
    await journey.press("enter", *"the horizon", "enter")
    await journey.until(lambda: questions.answers)
    assert "the horizon" in await journey.look("questions")
    await journey.press("f10")
    debrief = await journey.at(DebriefScreen)
    await journey.until(lambda: debrief.query("#wait") and not debrief.has_class("-waiting"))
    assert "Suction lost in cloud" in await journey.look("debrief, overview")
    moments = debrief.query_one("#moments", OptionList)
    await journey.press("f3")
    await journey.until(lambda: moments.has_focus)
    at = moments.highlighted
    await journey.press("down")
    await journey.until(lambda: moments.highlighted != at)
    assert "Lost control of the airplane" in await journey.look("debrief, a moment")
    await journey.press("f9")
    await journey.until(lambda: debrief.query_one("#plots VerticalScroll").has_focus)
    plots = await journey.look("debrief, plots")
    assert "Lost control of the airplane" in plots
    assert "BANK" in plots
    await journey.press("f4")
    await journey.until(lambda: debrief.query_one("#findings").has_focus)
    assert "WHAT WENT WELL" in await journey.look("debrief, findings")
    assert "What failed, if anything?" in debrief.query_one("#answered", Words).said
    await journey.press("f10")
    board = await journey.at(BoardScreen)
    row = board.query_one(BoardList)
    await journey.until(lambda: row.row and "of 100" in " ".join(row.row.cells))


async def journey_of(size: tuple[int, int], settings: Settings, kept: tuple[str, ...] = ()) -> Journey:
    """One whole journey."""
    async with begun(size, settings, kept) as journey:
        flight = await from_the_board_to_the_flight(journey)
        await fly_a_while(journey, flight)
        await let_it_go(journey, flight)
        await be_debriefed(journey)
    return journey


@pytest.mark.long
@pytest.mark.parametrize(("name", "size", "settings", "kept"), [
    ("120x40-night", (120, 40), Settings(reduced_motion=True), ()),
    ("80x24-night", (80, 24), Settings(reduced_motion=True), ()),
    ("160x50-night", (160, 50), Settings(reduced_motion=True), LARGE),
    ("80x24-contrast", (80, 24), Settings("contrast", reduced_motion=True), ()),
    ("120x40-contrast", (120, 40), Settings("contrast", reduced_motion=True), ()),
    ("160x50-contrast", (160, 50), Settings("contrast", reduced_motion=True), LARGE),
    ("80x24-mono-plain", (80, 24), Settings("mono", reduced_motion=True, plain_faces=True), ()),
])
async def test_a_journey_looks_as_it_was_kept_and_gives_nothing_away_before_its_end(
    name: str, size: tuple[int, int], settings: Settings, kept: tuple[str, ...], tmp_path: Path,
) -> None:
    journey = await journey_of(size, settings, kept)
    told = {stop for stop, words in journey.seen.items() if any(each in words.lower() for each in GIVES_AWAY)}
    assert told == {ASKED_FOR, *(stop for stop in journey.seen if stop.startswith("debrief"))}
    agrees(journey.album, name, tmp_path)
