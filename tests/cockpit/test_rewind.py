"""A debriefed flight flown again from one of its moments, in the cockpit; and set beside the other."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from cockpit.debriefed import ended_record
from cockpit.stage import Stage, until
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from drill import cli
from drill.cockpit.app import Cockpit
from drill.cockpit.debrief.again_bar import AgainBar
from drill.cockpit.debrief.grading_apart import Grading, GradingError
from drill.cockpit.debrief.grading_process import answer
from drill.cockpit.debrief.pieces import Told, from_data
from drill.cockpit.debrief.save_bar import SaveBar
from drill.cockpit.debrief.saving import write_sides
from drill.cockpit.debrief.screen import DebriefScreen
from drill.cockpit.debrief.sides import Sides, how_to, page, sides_from
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.launch import Again
from drill.cockpit.settings import Settings
from drill.cockpit.starting import fly_again
from drill.cockpit.text import Words
from drill.flight.events import Branched, Seated
from drill.flight.record import read_record
from drill.paper.kinds import Kind
from drill.seat import journal, keeping
from drill.seat.asked_for import CannotBegin
from drill.seat.pace import Pace


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for flights of this test's own."""
    monkeypatch.setattr(keeping, "flights_folder", lambda: tmp_path / "flights")
    monkeypatch.setattr("drill.seat.beginning.flights_folder", lambda: tmp_path / "flights")
    return tmp_path / "flights"


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """A flight of a minute that has ended."""
    return ended_record(tmp_path)


class Here(Grading):
    """A grading in this very process."""

    def __init__(self, record: Path) -> None:
        super().__init__(record)
        self.asked: list[float | None] = []

    async def told(self) -> Told:
        """Grade."""
        return from_data(answer("told", self.record)["told"])

    async def sides(self, at_s: float | None = None) -> Sides | None:
        """Compare."""
        self.asked.append(at_s)
        said = answer("sides", self.record, at_s)
        if "wrong" in said:
            raise GradingError(said["wrong"])
        return None if said["sides"] is None else sides_from(said["sides"])

    async def sides_text(self, kind: Kind, at_s: float | None = None) -> str:
        """Compare, and write it down."""
        said = answer(f"sides.{kind}", self.record, at_s)
        if "wrong" in said:
            raise GradingError(said["wrong"])
        return str(said["text"])

    def begin(self) -> Grading:
        """Nothing begins before it is asked for."""
        return self


def said(screen: DebriefScreen, name: str) -> str:
    return screen.query_one(f"#{name}", Words).said


class Flown(Stage):
    """A stage that notes what is to be flown again."""

    def __init__(self, screen: DebriefScreen) -> None:
        super().__init__(screen)
        self.again: list[tuple[Path, float]] = []

    def fly_again(self, record: Path, at_s: float) -> None:
        self.again.append((record, at_s))


async def debriefed(pilot: Pilot[int], screen: DebriefScreen) -> None:
    await until(pilot, lambda: screen.is_mounted and "lost" in said(screen, "title"))


@pytest.mark.parametrize("size", [(120, 40), pytest.param((80, 24), marks=pytest.mark.long)])
async def test_the_moment_chosen_is_proposed_and_enter_flies_from_there(record: Path, size: tuple[int, int]) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    app = Flown(screen)
    async with app.run_test(size=size) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f3", "home")
        moments = screen.query_one("#moments", OptionList)
        await until(pilot, lambda: moments.highlighted == 0)
        await pilot.press("f6")
        bar = screen.query_one(AgainBar)
        await until(pilot, lambda: bar.asking and app.focused is bar.query_one(Input))
        assert screen._told is not None
        first = screen._told.moments[0].t
        assert first is not None
        assert bar.query_one(Input).value == f"{int(first) // 60}:{int(first) % 60:02d}"
        assert bar.region.width == size[0]
        await pilot.press("enter")
        await until(pilot, lambda: bool(app.again))
        assert app.again == [(record, float(int(first)))]
        assert not bar.asking
        assert moments.has_focus


async def test_what_is_typed_takes_the_place_of_the_moment_proposed_and_all_keys_are_told(record: Path) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    app = Flown(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f6")
        bar = screen.query_one(AgainBar)
        await until(pilot, lambda: bar.query_one(Input).has_focus)
        assert bar.query_one(Input).value
        await pilot.press(*"0:43")
        assert bar.query_one(Input).value == "0:43"
        how = list(bar.query(Words))[-1]
        assert how.said.endswith("Escape: neither.")
        assert how.region.right < 80
        assert how.size.width == len(how.said)


async def test_any_moment_can_be_typed_and_what_is_none_is_told(record: Path) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    app = Flown(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f6")
        line = screen.query_one(AgainBar).query_one(Input)
        await until(pilot, lambda: line.has_focus)
        line.value = "0:4"
        await pilot.press("enter")
        await until(pilot, lambda: "for example 4:10" in said(screen, "note"))
        assert app.again == []
        line.value = "0:43.5"
        await pilot.press("enter")
        await until(pilot, lambda: app.again == [(record, 43.5)])


@pytest.mark.parametrize("key", ["escape", "f6", "f10"])
async def test_who_does_not_want_to_fly_again_goes_back_to_the_debrief(record: Path, key: str) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    app = Flown(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f6")
        bar = screen.query_one(AgainBar)
        await until(pilot, lambda: bar.asking)
        await pilot.press(key)
        await until(pilot, lambda: not bar.asking)
        assert app.screen is screen
        assert app.again == []


async def test_the_sheet_flies_from_the_moment_and_both_stand_side_by_side(record: Path) -> None:
    grading = Here(record)
    screen = DebriefScreen(record, grading=grading)
    app = Flown(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f6")
        await until(pilot, lambda: screen.query_one(AgainBar).asking)
        screen.query_one(AgainBar).query_one(Input).value = "0:30"
        await pilot.press("f7")
        await until(pilot, lambda: "SIDE BY SIDE, FROM 0:30 ON" in said(screen, "compared"))
        assert grading.asked == [30.0]
        assert screen.query_one("#sides").has_focus
        text = said(screen, "compared")
        assert "The flight" in text
        assert "The sheet's way" in text
        assert all(len(line) <= 78 for line in text.split("\n"))
        await pilot.press("f2", "f7")    # what was compared stays
        assert grading.asked == [30.0]
        await pilot.press("f6")
        await until(pilot, lambda: screen.query_one(AgainBar).asking)
        screen.query_one(AgainBar).query_one(Input).value = "9:00"
        await pilot.press("f7")
        await until(pilot, lambda: "name a moment from 0:00 to 1:00" in said(screen, "note"))
        assert "FROM 0:30" in said(screen, "compared")


async def test_where_nothing_is_compared_yet_it_is_told_how(record: Path) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    async with Flown(screen).run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f7")
        await until(pilot, lambda: "F6, then Enter: you take the controls" in said(screen, "compared"))


SAVED = {"html": "<!DOCTYPE html>", "md": "# Side by side", "json": "{", "txt": "Training aid only."}


@pytest.mark.parametrize(("keys", "kind", "size"), [
    (("enter",), "html", (80, 24)), (("right", "enter"), "md", (120, 40)),
    pytest.param(("right", "right", "enter"), "json", (80, 24), marks=pytest.mark.long),
    pytest.param(("tab", "tab", "tab", "enter"), "txt", (80, 24), marks=pytest.mark.long),
])
async def test_f8_saves_the_flights_side_by_side_as_the_command_line_would_write_them(
    record: Path, tmp_path: Path, keys: tuple[str, ...], kind: str, size: tuple[int, int],
) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    async with Flown(screen).run_test(size=size) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f6")
        await until(pilot, lambda: screen.query_one(AgainBar).asking)
        screen.query_one(AgainBar).query_one(Input).value = "0:30"
        await pilot.press("f7")
        await until(pilot, lambda: "FROM 0:30 ON" in said(screen, "compared"))
        await pilot.press("f8")
        bar = screen.query_one(SaveBar)
        await until(pilot, lambda: bar.asking)
        assert said(screen, "asks") == "Save side by side as"
        assert all(each.region.right <= size[0] for each in bar.children)
        await pilot.press(*keys)
        await until(pilot, lambda: said(screen, "note").startswith("Saved: "))
        written = Path(said(screen, "note").removeprefix("Saved: "))
        assert screen.query_one("#sides").has_focus
    assert written == record.with_name(f"flight-side-by-side.{kind}")
    assert written.read_text(encoding="utf-8").startswith(SAVED[kind])
    by_command = tmp_path / f"by-command.{kind}"
    assert cli.main(["rewind", str(record), "--at", "0:30", "--pilot", "exemplar", "--to", str(by_command)]) == 0
    assert by_command.read_bytes() == written.read_bytes()


async def test_f8_saves_the_debrief_elsewhere_and_where_nothing_stands_side_by_side(record: Path) -> None:
    screen = DebriefScreen(record, grading=Here(record))
    async with Flown(screen).run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f7")
        await until(pilot, lambda: "F6, then Enter" in said(screen, "compared"))
        bar = screen.query_one(SaveBar)
        for away in ("f8", "escape"):
            await pilot.press("f8")
            await until(pilot, lambda: bar.asking)
            assert said(screen, "asks") == "Save as"
            await pilot.press(away)
            await until(pilot, lambda: not bar.asking)
        await pilot.press("f6")
        await until(pilot, lambda: screen.query_one(AgainBar).asking)
        screen.query_one(AgainBar).query_one(Input).value = "0:30"
        await pilot.press("f7")
        await until(pilot, lambda: "FROM 0:30 ON" in said(screen, "compared"))
        await pilot.press("f2", "f8")
        await until(pilot, lambda: bar.asking)
        assert said(screen, "asks") == "Save as"


def test_what_cannot_be_written_beside_the_record_is_said_with_the_command_that_can(record: Path) -> None:
    gone = write_sides(record.parent / "nowhere" / "flight.jsonl", "a", "html", 43.5)
    assert gone.startswith("Not saved: ")
    assert gone.endswith("flight.jsonl --at 0:43.5 --pilot exemplar --to FILE.html")
    assert write_sides(record.parent / "nowhere" / "flight.jsonl", "a", "md", None).endswith(
        "flight.jsonl --to FILE.md")


async def test_a_flight_flown_again_is_saved_beside_the_one_that_it_left(record: Path) -> None:
    again = record.with_name("again.jsonl")
    assert cli.main(["rewind", str(record), "--at", "0:30", "--pilot", "exemplar", "--record", str(again)]) == 0
    screen = DebriefScreen(again, grading=Here(again))
    async with Flown(screen).run_test(size=(80, 24)) as pilot:
        await debriefed(pilot, screen)
        await pilot.press("f7")
        await until(pilot, lambda: "FROM 0:30 ON" in said(screen, "compared"))
        await pilot.press("f8")
        await until(pilot, lambda: screen.query_one(SaveBar).asking)
        await pilot.press("right", "enter")
        await until(pilot, lambda: said(screen, "note").startswith("Saved: "))
    written = record.with_name("again-side-by-side.md").read_text(encoding="utf-8")
    assert "From 0:30 on." in written


async def when(pilot: Pilot[int], app: Cockpit, kind: type, holds: Callable[[], object] = lambda: True) -> None:
    await until(pilot, lambda: isinstance(app.screen, kind) and app.screen.is_mounted and holds())


@pytest.mark.long
async def test_the_controls_are_taken_again_under_a_record_of_its_own(record: Path, folder: Path) -> None:
    kept = record.read_bytes()
    app = Cockpit(Again(record, 20.0), Settings(), timed=False, keeps=False)
    app.animation_level = "none"
    app.prepare()
    async with app.run_test(size=(120, 40)) as pilot:
        await when(pilot, app, FlightScreen)
        flying = cast("FlightScreen", app.screen)
        assert flying.sitting.t_s == 20.0
        assert flying.record_path != record
        assert flying.record_path.parent == record.parent
        flying.enter("cover the attitude indicator")
        while not flying.sitting.ended:
            flying.advance(10.0)
        for _ in range(4):
            await pilot.press("enter")
            await pilot.pause(0.1)
        await when(pilot, app, DebriefScreen)
        debrief = cast("DebriefScreen", app.screen)
        await until(pilot, lambda: "Flown again from 0:20 of flight.jsonl" in said(debrief, "opening"))
    app.close()
    events = read_record(flying.record_path).events
    assert [each.t for each in events if isinstance(each, Branched)] == [20.0]
    assert [each.before for each in events if isinstance(each, Seated)] == ["panel"]
    assert record.read_bytes() == kept
    assert [each.rewound for each in journal.attempts(folder)] == [True]


async def test_after_a_flight_flown_again_the_debrief_before_it_is_there_again(record: Path) -> None:
    app = Cockpit(Again(record, 20.0), Settings(), timed=False, keeps=False)
    app.animation_level = "none"
    async with app.run_test(size=(80, 24)) as pilot:
        screen = DebriefScreen(record, grading=Here(record))
        app.push_screen(screen)
        await debriefed(pilot, screen)
        app.fly_again(record, 50.0)
        await when(pilot, app, FlightScreen)
        await pilot.press("ctrl+q", "ctrl+q")
        await until(pilot, lambda: app.screen is screen)
        app.fly_again(record, 300.0)
        said_so = "there is no 5:00 in this flight"
        await until(pilot, lambda: any(said_so in note.message for note in app._notifications))
        assert app.screen is screen
    app.close()


@pytest.mark.parametrize("pace", ["running", "turns"])
async def test_a_flight_flown_again_keeps_the_pace_that_it_was_flown_in(record: Path, pace: Pace) -> None:
    app = Cockpit(Again(record, 20.0, pace=pace), Settings(), timed=False, keeps=False)
    app.animation_level = "none"
    app.prepare()
    async with app.run_test(size=(80, 24)) as pilot:
        await when(pilot, app, FlightScreen)
        flown = cast("FlightScreen", app.screen)
        assert flown.sitting.clock.pace == pace != app.settings.pace
        app.fly_again(flown.record_path, 20.0)
        await when(pilot, app, FlightScreen, lambda: app.screen is not flown)
        assert cast("FlightScreen", app.screen).sitting.clock.pace == pace
    app.close()


def test_what_cannot_be_flown_again_is_said_before_the_screen_is_taken(tmp_path: Path, record: Path) -> None:
    for path, at_s, says in ((tmp_path / "none.jsonl", 1.0, "No such file"), (record, 900.0, "name a moment")):
        with pytest.raises(CannotBegin, match=says):
            Cockpit(Again(path, at_s), Settings(), timed=False, keeps=False).prepare()


def test_a_flight_flown_again_that_nobody_comes_to_fly_leaves_no_file(record: Path) -> None:
    before = set(record.parent.glob("*.jsonl"))
    ready = fly_again(record, 20.0, pace="running")
    assert set(record.parent.glob("*.jsonl")) != before
    ready.give_up()
    assert set(record.parent.glob("*.jsonl")) == before


def test_sides_come_from_another_process_as_plain_data_and_nothing_else() -> None:
    data = {"at_s": 30.0, "air": "", "table": [["A", []], ["", ["one", "two"]], ["  0:30", [" 12R 240", "over"]]]}
    sides = sides_from(data)
    assert sides == Sides(30.0, "", (("A", ()), ("", ("one", "two")), ("  0:30", (" 12R 240", "over"))))
    for wrong in ({}, {**data, "at_s": None}, {**data, "table": 3}):
        with pytest.raises((KeyError, TypeError, ValueError)):
            sides_from(wrong)


@pytest.mark.parametrize("width", [64, 76, 116, 300])
def test_columns_stand_below_each_other_whatever_has_to_be_wrapped(width: int) -> None:
    long = "covered the attitude indicator and then something else altogether [bold]unseen[/]"
    text = page(Sides(30.0, "The air may differ.", (("WHAT", ()), ("", ("one", "two")), ("  4:10", ("", long)),
                                                    ("* First act: vacuum pump", (long, "none")))), width).plain
    lines = text.split("\n")
    assert lines[0] == "The air may differ."
    assert "[bold]unseen[/]" in " ".join(text.split())
    at = next(line for line in lines if "one" in line).index("two")
    assert all(not line[at - 2 : at].strip() for line in lines[lines.index("WHAT") + 1 : -2] if len(line) > at)
    assert any(line.startswith("* First act:") for line in lines)
    assert max(len(line) for line in lines) <= min(width, 116)


@pytest.mark.parametrize(("at_s", "words"), [(None, "from a moment"), (250.0, "from the moment chosen, 4:10")])
def test_how_to_set_flights_side_by_side_names_the_moment_chosen(at_s: float | None, words: str) -> None:
    assert words in how_to(at_s).plain


def test_a_record_that_cannot_be_compared_is_answered_in_words(tmp_path: Path) -> None:
    strange = tmp_path / "strange.jsonl"
    strange.write_text("{}\n", encoding="utf-8")
    assert "wrong" in answer("sides", strange, 10.0)
    assert answer("sides", strange)["wrong"].startswith(str(strange))
    assert answer("sides.html", strange)["wrong"].startswith(str(strange))
