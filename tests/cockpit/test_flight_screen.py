"""The flight screen: what is seen, what keys and mouse do, and whose time it is."""

from __future__ import annotations

import asyncio
import time
from functools import partial
from pathlib import Path
from typing import cast

import pytest
from cockpit.flown import flying, log, said
from cockpit.stage import until
from textual.widgets import OptionList

from drill.cockpit.app import Cockpit
from drill.cockpit.flying.arrangement import arrangement, too_small
from drill.cockpit.flying.log import set_line
from drill.cockpit.flying.order_line import OrderLine
from drill.cockpit.flying.panel_view import ALL, SIX, FaceView, PanelView, ReadingsView
from drill.cockpit.flying.status_words import pace_words, paused_words, status_words
from drill.cockpit.flying.timekeeper import Timekeeper
from drill.cockpit.help import HelpPanel
from drill.cockpit.settings import Settings
from drill.cockpit.text import WordLog, Words
from drill.flight.events import Failed
from drill.flight.record import RecordError, read_record
from drill.seat import journal
from drill.seat.keeping import flights_folder
from drill.seat.pace import PACES
from drill.seat.teller import Line


@pytest.mark.parametrize(("columns", "rows", "size"), [
    (160, 50, "full"), (159, 50, "standard"), (160, 49, "standard"), (120, 40, "standard"), (116, 38, "standard"),
    (115, 60, "compact"), (300, 30, "compact"), (80, 24, "compact"), (60, 18, "compact"), (59, 40, "tiny"),
    (200, 17, "tiny"), (1, 1, "tiny"),
])
def test_the_largest_arrangement_that_fits_is_taken(columns: int, rows: int, size: str) -> None:
    assert arrangement(columns, rows).size == size
    assert bool(too_small(columns, rows)) == (size == "tiny")


@pytest.mark.parametrize(("columns", "rows"), [(116, 38), (120, 40), (140, 45), (160, 50), (220, 60), (400, 120)])
def test_faces_are_twice_as_wide_as_high_and_leave_room_for_the_rest(columns: int, rows: int) -> None:
    into = arrangement(columns, rows)
    assert into.face_columns == 2 * into.face_rows >= 26
    assert columns - 3 * into.face_columns >= 38
    assert rows - 4 - 2 * into.face_rows >= 8


def test_calls_and_lines_differ_by_words_and_marks() -> None:
    lines = (
        Line(65.0, "You: Approach, Larkspur", "you"), Line(65.0, "Approach, to others: turn left", "others"),
        Line(65.0, "> turn left", "typed"), Line(65.0, "What do you mean?", "asked"), Line(65.0, "Paused.", "own"),
        Line(65.0, "The flight is over.", "ended"), Line(65.0, "A bump.", "story"),
    )
    set_as = {line.kind: set_line(line)[0].plain for line in lines}
    assert set_as["you"] == "1:05 You: Approach, Larkspur"
    assert "to others" in set_as["others"]
    assert len({words[5:7] for words in set_as.values()}) == len(set_as)


@pytest.mark.parametrize("size", [pytest.param((120, 40), marks=pytest.mark.long), (80, 24)])
async def test_one_instrument_fills_the_screen_by_key_and_by_mouse_and_gives_way_again(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    columns, rows = size
    async with flying(tmp_path, size=size) as (pilot, screen):
        panel, filled, both = screen.query_one(PanelView), screen.query_one("#filled"), screen.query_one("#both")
        for number in range(5):
            screen.say(f"entry {number}")
        await pilot.press("f3")
        await until(pilot, lambda: panel.filled == ALL[0] and filled.region == (0, 1, columns, rows - 5))
        assert not screen.query_one("#six").is_on_screen
        await until(pilot, lambda: [both.render_line(y).text.split()[-1] for y in (0, 1)] == ["3", "4"])
        screen.say("what is said meanwhile")
        await until(pilot, lambda: "what is said meanwhile" in both.render_line(1).text)
        assert screen.query_one(OrderLine).region.y == rows - 2
        await pilot.press("shift+f3")
        await until(pilot, lambda: screen.query_one("#six").is_on_screen and screen.query_one("#hands").is_on_screen)
        await pilot.click("#six-attitude_indicator")
        await until(pilot, lambda: panel.filled == "attitude_indicator" and filled.size.width == columns)
        await pilot.click("#filled")
        await until(pilot, lambda: not panel.filled and screen.query_one("#hands").is_on_screen)
        assert screen.focused is screen.query_one(OrderLine)


async def test_the_instruments_follow_one_another_and_escape_leads_back_to_all_of_them(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        panel = screen.query_one(PanelView)
        fitted = [code for code in ALL if code not in ("standby_instrument", "autopilot")]   # this airplane has neither
        for _ in fitted:
            screen.action_fill_next(1)
        assert panel.filled == fitted[-1]
        await pilot.press("f1")
        await until(pilot, lambda: screen.query_one(HelpPanel).size.height > 20)
        assert screen.query_one("#filled").is_on_screen
        await pilot.press("escape")
        await until(pilot, lambda: screen.query_one("#filled").size.width == 120)
        assert panel.filled == fitted[-1]
        await pilot.press("escape", "escape")
        await until(pilot, lambda: panel.filled == "" and screen.query_one("#six").is_on_screen)
        screen.action_fill_next(-1)
        screen.action_fill_next(1)
        assert panel.filled == ""


@pytest.mark.parametrize(("size", "rows"), [pytest.param((60, 18), 1, marks=pytest.mark.long), ((80, 24), 2),
                                            pytest.param((120, 40), 8, marks=pytest.mark.long)])
async def test_what_is_read_covers_no_instrument_and_leaves_the_last_lines_in_sight(
    tmp_path: Path, size: tuple[int, int], rows: int
) -> None:
    async with flying(tmp_path, size=size) as (pilot, screen):
        def in_sight() -> list[str]:
            return [screen.query_one("#both", WordLog).render_line(y).text for y in range(rows)]

        faces = {view.id: view.region for view in screen.query(FaceView) if view.is_on_screen}
        readings = screen.query_one(ReadingsView).region
        await pilot.press("f1")
        text = screen.query_one(HelpPanel)
        await until(pilot, lambda: text.is_on_screen and screen.query_one("#both").size.height == rows)
        assert {view.id: view.region for view in screen.query(FaceView) if view.is_on_screen} == faces
        assert screen.query_one(ReadingsView).region == readings
        screen.enter("turn left")    # nothing is in the way of flying
        screen.advance(2)
        await until(pilot, lambda: "Turning left" in in_sight()[-1])
        at_end = screen.query_one("#both", WordLog).scroll_offset.y
        assert text.max_scroll_y == 0 or "PgDn: more" in said(screen, "foot")
        await pilot.press(*["pagedown"] * 30)
        await until(pilot, lambda: text.scroll_y == text.max_scroll_y and "PgDn" not in said(screen, "foot"))
        assert "Escape: away" in said(screen, "foot")
        screen.enter("turn right")
        assert text.scroll_y == text.max_scroll_y    # what is read stays where it is
        assert screen.query_one("#both", WordLog).scroll_offset.y >= at_end
        await pilot.press("f1")
        await until(pilot, lambda: not text.is_on_screen)


async def test_the_briefing_is_read_again_in_flight_by_word_and_by_command(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        text = screen.query_one("#help > Words", Words)
        screen.enter("briefing")
        await until(pilot, lambda: text.is_on_screen)
        assert text.said.startswith("BRIEFING\nCruise to Tallowby")
        assert "Clearance: Orrinfell Approach" in text.said
        assert screen.sitting.run.flight.idle
        screen.enter("help")
        assert text.said.startswith("KEYS")
        commands = {each.title: each.callback for each in screen.app.get_system_commands(screen)}
        commands["Briefing"]()
        assert text.said.startswith("BRIEFING")
        await pilot.press("escape")
        await until(pilot, lambda: not text.is_on_screen)
        commands["Fill with altimeter"]()
        commands["Whole panel"]()
        assert screen.query_one(PanelView).filled == ""


def test_a_long_title_takes_no_room_from_the_times() -> None:
    row = status_words("A title " * 20, "Larkspur 5304W", "14:10", 84.0, 23.0)
    assert row.startswith("flight 1:24  local 14:11  timer 0:23  Larkspur 5304W  A title")
    others = [pace_words(pace, held=held, turning=held, narrow=True) for pace in PACES for held in (True, False)]
    assert max(map(len, [*others, paused_words(short=True)])) <= 60 - 4 - len("flight 10:24  local 14:11  timer 10:23")


async def test_time_is_said_to_be_held_only_as_long_as_it_is(tmp_path: Path) -> None:
    async with flying(tmp_path, pace="held") as (_, screen):
        typed = time.monotonic() + 1.0
        keeper = Timekeeper(screen.sitting, typed)
        for seconds, held in ((1.0, True), (2.9, True), (3.1, False), (4.0, False)):
            assert keeper.held(typed + seconds, typed) is held
            assert bool(keeper.due(typed + seconds, typed)) is not held
        assert not keeper.held(typed + 5.0, None)
        screen.take_pace("running")
        assert not keeper.held(typed, typed)


async def test_leaving_is_asked_in_the_log_and_can_be_taken_back(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        await pilot.press("ctrl+q")
        await until(pilot, lambda: "Leave the flight?" in log(screen, "cockpit")[-1])
        await pilot.press(*"no", "enter")
        await until(pilot, lambda: "Still flying." in log(screen, "cockpit")[-1])
        await pilot.press("ctrl+q", "ctrl+q")
        app = screen.app
        await until(pilot, lambda: not app.is_running or app._exit)
        assert getattr(app, "left", None) == tmp_path / "flight.jsonl"
    assert read_record(tmp_path / "flight.jsonl").events


async def test_a_line_about_something_else_takes_the_question_of_leaving_back(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        screen.enter("quit")
        screen.enter("help")
        assert screen.has_class("-helping")
        screen.enter("yes")
        await pilot.pause()
        assert not screen.sitting.left
        assert screen.app.screen is screen


@pytest.mark.parametrize("does", ["paused by key", pytest.param("paused by a line", marks=pytest.mark.long),
                                  "flies on", pytest.param("becomes too small", marks=pytest.mark.long)])
async def test_a_record_that_takes_no_more_ends_the_flight_once_with_its_first_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, does: str
) -> None:
    async with flying(tmp_path) as (pilot, screen):
        app = cast(Cockpit, screen.app)
        screen.advance(2)
        full = iter(("the first", "the second"))

        def write(*_: object) -> None:
            raise RecordError(next(full))

        monkeypatch.setattr(screen.sitting.run._recorder, "write", write)
        match does:
            case "paused by key":
                screen.action_pause()
            case "paused by a line":
                screen.enter("pause")
            case "flies on":
                screen.advance(400)
            case _:
                await pilot.resize_terminal(50, 12)
                await until(pilot, lambda: app.mistake)
        for again in (screen.action_pause, screen.action_leave, partial(screen.advance, 9), partial(screen.enter, "x")):
            again()
        assert app.mistake == "the first"
        assert app.left == tmp_path / "flight.jsonl"
    assert app.return_code == 2
    assert app.fault == ""


async def test_a_flight_that_is_left_at_once_after_its_help_was_asked_for_leaves_no_fault(tmp_path: Path) -> None:
    async with flying(tmp_path) as (_, screen):
        app = cast(Cockpit, screen.app)
        screen.action_help()
        screen.action_pause()
        app.flight_left(screen.record_path)
        screen.show_now()
        screen.action_help()
        for _ in range(500):    # the pilot would wait for a screen that is being taken away
            if not screen.is_running:
                break
            await asyncio.sleep(0.01)
        assert not screen.is_running
        screen.show_now()
        screen.advance(1)
    assert app.fault == ""


@pytest.mark.long
async def test_after_the_end_the_panel_stands_and_enter_leads_on(
    tmp_path: Path, short: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with flying(tmp_path, scenario=short, seed=7) as (pilot, screen):
        went: list[Path] = []
        monkeypatch.setattr(screen.app, "flight_over", lambda run, record: went.append(record))
        screen.advance(600)
        assert screen.sitting.ended
        assert said(screen, "pace") == "THE FLIGHT IS OVER"
        assert "Press Enter for the debrief." in log(screen, "cockpit")[-1]
        assert any("The flight is over." in each for each in log(screen, "cockpit"))
        await pilot.press("enter")
        await until(pilot, lambda: went == [tmp_path / "flight.jsonl"])
        (attempt,) = journal.attempts(flights_folder())
        assert attempt.ended
        assert attempt.record == tmp_path / "flight.jsonl"


async def test_the_logs_take_no_focus_and_scroll_by_the_page_keys(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        for _ in range(40):
            screen.say("words")
        cockpit = screen.query_one("#cockpit", WordLog)
        await until(pilot, lambda: cockpit.scroll_offset.y == cockpit.max_scroll_y > 0)
        await pilot.press("pageup")
        await until(pilot, lambda: cockpit.scroll_offset.y < cockpit.max_scroll_y)
        at = cockpit.scroll_offset.y
        screen.say("more words")
        assert cockpit.scroll_offset.y == at
        await pilot.press("pagedown", "pagedown", "pagedown")
        await until(pilot, lambda: cockpit.scroll_offset.y == cockpit.max_scroll_y)
        assert screen.focused is screen.query_one(OrderLine)


@pytest.mark.long
async def test_the_arrangement_follows_the_terminal(tmp_path: Path) -> None:
    async with flying(tmp_path, size=(80, 24)) as (pilot, screen):
        assert [view.code for view in screen.query(FaceView) if view.is_on_screen] == ["attitude_indicator"]
        assert screen.query_one(ReadingsView).size.height == 12
        assert screen.query_one(OrderLine).region.y == 22
        assert screen.query_one("#both").size.height >= 6
        await pilot.resize_terminal(160, 50)
        await until(pilot, lambda: screen.has_class("-full") and screen.query_one("#six-altimeter").size == (34, 17))
        assert [view.code for view in screen.query(FaceView) if view.is_on_screen] == [
            code for code in ALL if code not in ("standby_instrument", "autopilot")]
        await pilot.resize_terminal(120, 40)
        six = screen.query("#six > FaceView").results(FaceView)
        await until(pilot, lambda: screen.query_one("#six-altimeter").size == (26, 13))
        places = {view.code: (view.region.y, view.region.x) for view in six}
        assert sorted(places, key=places.__getitem__) == list(SIX)
        await pilot.resize_terminal(50, 12)
        await until(pilot, lambda: screen.query_one("#tiny").is_on_screen)
        assert "60 and 18" in said(screen, "tiny")
        assert screen.sitting.clock.paused    # nobody can fly what cannot be seen
        assert "F2 goes on" in said(screen, "tiny")
        await pilot.press("f2")
        assert screen.sitting.clock.paused
        await pilot.resize_terminal(80, 24)
        order = screen.query_one(OrderLine)
        await until(pilot, lambda: order.is_on_screen and screen.focused is order)
        await pilot.press("f2")
        await until(pilot, lambda: not screen.sitting.clock.paused)


async def test_lines_are_done_and_told_and_the_radio_has_a_log_of_its_own(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        await pilot.press(*"turn left", "enter")
        await until(pilot, lambda: any("> turn left" in each for each in log(screen, "cockpit")))
        assert screen.query_one(OrderLine).value == ""
        screen.advance(3)
        assert any("Turning left" in each for each in log(screen, "cockpit"))
        assert "left until told to stop" in said(screen, "hands")
        screen.enter("xyzzy plugh")
        assert "? I could not tell" in log(screen, "cockpit")[-1]
        screen.enter("Orrinfell Approach, Larkspur 5304W, request weather [/nope] [@click=app.exit]y[/] \x1b]0;t\x07")
        screen.advance(40)
        radio = log(screen, "radio")
        assert any("You: Orrinfell Approach" in each and "[/nope] [@click=app.exit]y[/]" in each for each in radio)
        assert any("Orrinfell Approach: Larkspur" in each for each in radio)
        assert not any("You: " in each for each in log(screen, "cockpit"))
        assert not any("\x1b" in each for each in log(screen, "both"))
        screen.enter("Orrinfell Approach, Larkspur 5304W, request lower")
        assert log(screen, "cockpit")[-1].endswith("> (to ATC)")    # what is said stands beside, as it goes out
        before = len(radio)
        screen.enter("repeat")
        assert len(log(screen, "radio")) == before
        assert "Larkspur" in log(screen, "cockpit")[-1]


@pytest.mark.long
async def test_the_panel_shows_what_is_shown_and_stands_still_when_paused(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        screen.enter("turn left")
        screen.advance(15)
        attitude = screen.query_one("#six-attitude_indicator", FaceView)
        assert "left wing down" in attitude.describe()
        screen.enter("cover the attitude indicator")
        screen.advance(15)
        await pilot.pause()
        assert attitude.describe() == "attitude indicator: covered"
        assert any("COVERED" in attitude.render_line(y).text for y in range(attitude.size.height))
        await pilot.press("f2")
        await until(pilot, lambda: said(screen, "pace") == "PAUSED: F2, or type go on")
        assert attitude.is_on_screen
        await pilot.press(*"turn right", "enter")
        await until(pilot, lambda: "Paused, so the line waits. F2 goes on" in log(screen, "cockpit")[-1])
        assert screen.query_one(OrderLine).value == "turn right"
        screen.enter("turn right")
        assert "Paused. Press F2 or type go on first." in log(screen, "cockpit")[-1]
        await pilot.pause()
        painted: list[object] = []
        for widget in screen.walk_children():
            widget.refresh = lambda *_, widget=widget, **__: painted.append(widget)  # type: ignore[assignment,method-assign]
        for _ in range(20):
            screen.show_now()
        assert painted == []


@pytest.mark.long
async def test_suggestions_are_off_at_first_and_fill_the_line_without_sending_it(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        offers = screen.query_one("#offers", OptionList)
        assert not offers.is_on_screen
        at_first = [str(option.prompt) for option in offers.options]
        await pilot.press("f5")
        await until(pilot, lambda: offers.is_on_screen)
        await pilot.click("#offers", offset=(3, 0))
        order = screen.query_one(OrderLine)
        await until(pilot, lambda: order.value == "look at the panel")
        assert screen.focused is order
        assert not any("> look" in each for each in log(screen, "cockpit"))
        order.value = ""
        screen.advance(300)
        assert any(isinstance(each, Failed) for each in read_record(tmp_path / "flight.jsonl").events)
        assert [str(option.prompt) for option in offers.options] == at_first    # a failure changes nothing


async def test_time_runs_as_the_pace_says_and_the_panel_as_calmly_as_it_should(tmp_path: Path) -> None:
    async with flying(tmp_path, pace="turns", settings=Settings(reduced_motion=True)) as (_, screen):
        assert said(screen, "pace") == "turn by turn: your turn"
        screen.enter("look at the panel")
        assert said(screen, "pace") == "turn by turn: flying on"
        screen.advance(60)
        assert said(screen, "pace") == "turn by turn: your turn"
        clock = screen.query_one("#lesser-clock", FaceView)
        told = clock.describe()
        for _ in range(9):
            screen.advance(0.1)
            assert clock.describe() == told
        screen.advance(0.1)
        assert clock.describe() != told
