"""The debrief on the screen: told plainly, along the line of time, with every text literal."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from cockpit.debriefed import ASKED, Graded, ended_record, words_of
from cockpit.stage import Stage, until
from grading.builders import call, flown, scenario
from textual.widgets import OptionList

from drill.cautions import CAUTIONS
from drill.cockpit.debrief import pages
from drill.cockpit.debrief.grading_apart import GradingError
from drill.cockpit.debrief.grading_process import answer
from drill.cockpit.debrief.lanes_view import LanesView
from drill.cockpit.debrief.pieces import Told, from_data
from drill.cockpit.debrief.plot_face import LEFT, head
from drill.cockpit.debrief.plots_view import PlotsView, PlotView
from drill.cockpit.debrief.save_bar import SaveBar
from drill.cockpit.debrief.saving import write_debrief
from drill.cockpit.debrief.screen import DebriefScreen
from drill.cockpit.debrief.timeline import Moment
from drill.cockpit.debrief.words import told
from drill.cockpit.flying.panel_view import FaceView, PanelView
from drill.cockpit.text import Words
from drill.grading import grade
from drill.grading.debrief import UnsafeAct
from drill.language.meaning import Look
from drill.seat import journal, keeping


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for flights of this test's own."""
    monkeypatch.setattr(keeping, "flights_folder", lambda: tmp_path / "flights")
    return tmp_path / "flights"


@pytest.fixture(scope="module")
def pieces() -> Told:
    """Ten minutes with a pump that dies at 2:00, seen, told of, and a steep bank in the end."""
    events = flown((300.0, Look("suction_gauge")), call(420.0, words="Larkspur 5304W, [bold]vacuum[/nope] failure"),
                   seconds=600, bank=lambda t, _: 50.0 if t > 500.0 else 0.0)
    return told(grade(scenario(), events, 1), events, scenario().airplane.airframe)


def said(screen: DebriefScreen, name: str) -> str:
    return screen.query_one(f"#{name}", Words).said


def tells(screen: DebriefScreen, moment: Moment) -> bool:
    return moment.title in said(screen, "what")


async def test_every_moment_can_be_walked_through_by_keyboard(pieces: Told) -> None:
    pieces = replace(pieces, moments=(*pieces.moments[:3], pieces.moments[-1]))
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction lost in cloud" in said(screen, "title"))
        await pilot.press("f3", "home")
        for moment in pieces.moments:
            await until(pilot, partial(tells, screen, moment))
            await pilot.press("down")
        assert app.focused is screen.query_one("#moments")


@pytest.mark.parametrize("size", [(120, 40), pytest.param((160, 50), marks=pytest.mark.long)])
async def test_the_instruments_stand_as_they_stood_where_there_is_room(pieces: Told, size: tuple[int, int]) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        await pilot.press("f3", "home")
        await until(pilot, lambda: "THE PANEL AT 2:00" in words_of(screen))
        view = screen.query_one(PanelView)
        await until(pilot, lambda: "attitude indicator: wings level, nose level"
                    in [face.describe() for face in view.query(FaceView)])
        await pilot.resize_terminal(80, 24)
        await until(pilot, lambda: not view.is_on_screen)


async def test_a_click_on_the_lanes_goes_to_the_nearest_moment(pieces: Told) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=(120, 40)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        await pilot.press("f3", "end")
        await until(pilot, lambda: screen.query_one(LanesView).content_size.width > 0)
        lanes = screen.query_one(LanesView)
        await pilot.click(LanesView, offset=(lanes.said.splitlines()[0].index("X") + 1, 0))
        first = next(place for place, moment in enumerate(pieces.moments) if moment.mark == "X")
        await until(pilot, lambda: screen.query_one("#moments", OptionList).highlighted == first)
        await pilot.click("#tab-answers")
        await until(pilot, lambda: bool(screen.query_one("#answers").display))


async def test_the_debrief_tells_the_score_what_failed_what_went_well_and_the_cautions(pieces: Told) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces), answers=[("What failed?", "the [/pump]")])
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        assert "Overall" in said(screen, "score")
        assert "WHAT FAILED" in said(screen, "work")
        assert "WHAT TO WORK ON" in said(screen, "found")
        assert all(caution in said(screen, "opening") for caution in CAUTIONS)
        assert all(caution in said(screen, "closing") for caution in CAUTIONS)
        answers = said(screen, "answered")
        assert answers.index("the [/pump]") < answers.index("WHAT WAS SO")
        assert "Two gyros, one pump." in answers


def test_unsafe_acts_stand_before_everything_else_that_is_to_be_worked_on() -> None:
    debrief = replace(grade(scenario(), flown(seconds=300), 1), capped=True, score=40.0,
                      unsafe_acts=(UnsafeAct("Beyond the limit load", 200.0, "Too much.", "a source"),))
    pieces = told(debrief)
    assert "UNSAFE: 3:20 Beyond the limit load" in pages.opening(pieces).plain
    assert pages.work(pieces).plain.startswith("UNSAFE ACTS")
    assert "40 of 100; an unsafe act holds it down" in pages.score(pieces).plain
    assert pieces.moments[pages.first_to_see(pieces.moments)].title == "UNSAFE: Beyond the limit load"


async def test_what_cannot_be_graded_is_told_in_words() -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(GradingError("flight.jsonl:7: [/bad] line")))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "There is no debrief" in said(screen, "wait"))
        assert "flight.jsonl:7: [/bad] line" in said(screen, "wait")
        await pilot.press("f3", "f8", "f10")
        await until(pilot, lambda: app.screen is not screen)


async def test_a_debrief_that_is_left_while_the_terminal_changes_size_is_no_fault(pieces: Told) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        left = screen.dismiss()
        screen.on_resize()
        await left
        screen.on_resize()
        assert app.screen is not screen


async def test_a_record_is_debriefed_literally_and_its_score_kept_in_the_journal(
    tmp_path: Path, folder: Path,
) -> None:
    record = ended_record(tmp_path)
    with record.open("a", encoding="utf-8") as file:
        file.write(json.dumps({"kind": "reflected", "t": 60.0, "question": ASKED[0],
                               "answer": "the [bold]\x1b]0;owned\x07 [/pump]"}) + "\n")
    journal.begun(folder, record, "short", "Short hop", 1, "2026-01-02")
    graded = from_data(answer("told", record)["told"])
    screen = DebriefScreen(record, grading=Graded(graded))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "[/lost]" in said(screen, "title"))
        assert ASKED[0] in said(screen, "answered")
        assert "the [bold]]0;owned [/pump]" in said(screen, "answered")
        assert "\x1b" not in words_of(screen)
    assert journal.attempts(folder)[0].score == graded.score


@pytest.mark.long
@pytest.mark.parametrize(("keys", "kind", "begins"), [
    (("enter",), "html", "<!DOCTYPE html>"), (("right", "enter"), "md", "# Debrief: "),
    (("right", "right", "enter"), "json", "{"), (("tab", "tab", "tab", "enter"), "txt", "Training aid only."),
])
async def test_f8_saves_the_debrief_beside_the_record_as_what_is_chosen(
    tmp_path: Path, pieces: Told, keys: tuple[str, ...], kind: str, begins: str,
) -> None:
    record = ended_record(tmp_path)
    screen = DebriefScreen(record, grading=Graded(pieces, record))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        await pilot.press("f8")
        await until(pilot, lambda: screen.query_one(SaveBar).asking)
        await pilot.press(*keys)
        await until(pilot, lambda: said(screen, "note").startswith("Saved: "))
        written = Path(said(screen, "note").removeprefix("Saved: "))
    assert written == record.with_name(f"flight-debrief.{kind}")
    assert written.read_text(encoding="utf-8").startswith(begins)


async def test_who_does_not_want_to_save_after_all_is_back_where_he_was(pieces: Told) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        for away in ("escape", "f8"):
            await pilot.press("f3", "f8")
            await until(pilot, lambda: screen.query_one(SaveBar).asking)
            await pilot.press(away)
            await until(pilot, lambda: not screen.query_one(SaveBar).asking)
            await until(pilot, lambda: app.focused is screen.query_one("#moments"))
        assert app.screen is screen


@pytest.mark.parametrize("size", [(120, 40), pytest.param((80, 24), marks=pytest.mark.long)])
async def test_the_plots_follow_the_moments_and_the_moments_the_plots(pieces: Told, size: tuple[int, int]) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    app = Stage(screen)
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        await pilot.press("f9")
        await until(pilot, lambda: screen.query_one(PlotsView).is_on_screen)
        moments = screen.query_one("#moments", OptionList)
        moments.highlighted = 0
        for place, moment in enumerate(pieces.moments[:4]):
            await until(pilot, partial(lambda title: title in said(screen, "plots-moment"), moment.title))
            assert moments.highlighted == place
            await pilot.press("right")
        await pilot.press("left", "left")
        await until(pilot, lambda: moments.highlighted == 2)
        bank = screen.query(PlotView).first()
        await until(pilot, lambda: "BANK" in "".join(strip.text for strip in bank._strips))
        at = pieces.moments[2].t
        assert at is not None
        assert head(pieces.plots[0], at) in "".join(strip.text for strip in bank._strips)
        await pilot.click(PlotView, offset=(LEFT, 2))
        await until(pilot, lambda: moments.highlighted == 0)


async def test_the_calls_are_marked_up_on_the_page_of_findings(pieces: Told) -> None:
    screen = DebriefScreen(Path("flight.jsonl"), grading=Graded(pieces))
    async with Stage(screen).run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: "Suction" in said(screen, "title"))
        found = said(screen, "found")
        assert "7:00 “Larkspur 5304W [who you are], [bold]vacuum[/nope] failure [what failed: vacuum system]”" in found


def test_what_is_saved_never_takes_the_place_of_another_text(tmp_path: Path) -> None:
    record = tmp_path / "flight.jsonl"
    (tmp_path / "flight-debrief.txt").write_text("mine\n", encoding="utf-8")
    assert write_debrief(record, "a\nb\n", "txt") == f"Saved: {tmp_path / 'flight-debrief-2.txt'}"
    assert write_debrief(record, "a\nb\n", "txt") == f"Saved: {tmp_path / 'flight-debrief-2.txt'}"
    assert (tmp_path / "flight-debrief.txt").read_text(encoding="utf-8") == "mine\n"
    assert write_debrief(tmp_path / "nowhere" / "flight.jsonl", "a", "html").startswith("Not saved: ")
