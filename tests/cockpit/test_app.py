"""The app around the screens: coming in, going out, commands, and ends that nobody wished for."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import pytest
from cockpit.flown import flying, log, said
from cockpit.stage import until
from cockpit.terminal import begun
from program import TALLOWBY, command
from pseudo_terminal import PseudoTerminal
from textual.app import App
from textual.command import CommandPalette
from textual.pilot import Pilot

from drill.cockpit.app import BEGINNING, GIVEN_UP, Cockpit
from drill.cockpit.board.list_view import BoardList
from drill.cockpit.board.screen import BoardScreen
from drill.cockpit.briefing.screen import BriefingScreen
from drill.cockpit.flying.panel_view import ALL, PanelView
from drill.cockpit.flying.screen import FlightScreen
from drill.cockpit.launch import CannotStart, launch
from drill.cockpit.settings import THEME_NAMES, Settings, load
from drill.cockpit.start import Board, Fly, Resume
from drill.flight.events import Typed
from drill.flight.record import read_record
from drill.scenario.cards import cards
from drill.seat import journal
from drill.seat.keeping import flights_folder
from drill.seat.pace import PACES

if TYPE_CHECKING:
    from drill.cockpit.starting import Ready

GIVEN_BACK = ("\x1b[?1049l", "\x1b[?1000l", "\x1b[?25h")
"""Alternate screen off, mouse reports off, cursor on (xterm control sequences)."""


def given_back(terminal: PseudoTerminal) -> bool:
    """Say whether the program has left the terminal as it should be."""
    sent = terminal.output.decode("utf-8", "replace")
    return all(sent.rfind(each) > sent.rfind("IN THE COCKPIT") for each in GIVEN_BACK)


# --- commands ----------------------------------------------------------------------------------------


async def test_the_palette_has_the_cockpits_own_commands_and_nothing_of_the_toolkits(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        app = screen.app
        commands = {each.title: each.callback for each in app.get_system_commands(screen)}
        defaults = {each.title for each in App.get_system_commands(app, screen)}
        assert not defaults & set(commands)
        assert {f"Theme {name}" for name in THEME_NAMES} | {f"Pace: {name}" for name in PACES} <= set(commands)
        assert sum(title.startswith("Fill with ") for title in commands) == len(ALL)
        commands["Theme day"]()
        commands["Pace: turns"]()
        commands["Plain faces on"]()
        commands["Fill with altimeter"]()
        commands["Cautions"]()
        await pilot.pause()
        assert app.theme == "day"
        assert said(screen, "pace") == "turn by turn: your turn"
        assert screen.query_one(PanelView).filled == "altimeter"
        filled = screen.query_one("#filled")
        await until(pilot, lambda: filled.size.height > 1)
        await until(pilot, lambda: all(filled.render_line(y).text.isascii() for y in range(filled.size.height)))
        assert any("Training aid only" in each for each in log(screen, "cockpit"))
        assert not any("phase" in title.lower() or "fail" in title.lower() for title in commands)


async def test_a_pace_from_the_palette_is_the_one_that_is_briefed(home: Path) -> None:
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(80, 24)) as pilot:
        briefing = await brief(pilot, app)
        assert briefing.pace == "held"
        commands = {each.title: each.callback for each in app.get_system_commands(briefing)}
        commands["Pace: running"]()
        await until(pilot, lambda: briefing.pace == "running")
        assert app.settings.pace == "running"


async def test_settings_are_kept_one_by_one(tmp_path: Path, home: Path) -> None:
    app = Cockpit(Board(), Settings(theme="mono"))    # as NO_COLOR asks for this once
    app.remember(suggestions=True)
    assert load() == Settings(suggestions=True)
    assert app.settings == Settings(theme="mono", suggestions=True)


@pytest.mark.parametrize("name", ["_handle_exception", "_fatal_error", "_close_messages_no_wait", "panic"])
def test_what_a_fault_is_closed_down_by_is_still_the_toolkits(name: str) -> None:
    assert callable(getattr(App, name))


async def test_ctrl_q_in_the_palette_asks_the_flight_below(tmp_path: Path) -> None:
    async with flying(tmp_path) as (pilot, screen):
        app = screen.app
        await pilot.press("ctrl+p")
        await until(pilot, lambda: isinstance(app.screen, CommandPalette))
        await pilot.press("ctrl+q")
        await until(pilot, lambda: "Leave the flight?" in log(screen, "cockpit")[-1])
        assert app.screen is screen
        await pilot.press("ctrl+p")
        await until(pilot, lambda: isinstance(app.screen, CommandPalette))
        await pilot.press("ctrl+q")
        await until(pilot, lambda: getattr(app, "left", None) == tmp_path / "flight.jsonl")


# --- a flight that takes its time to begin ------------------------------------------------------------


class Gate:
    """Lets no flight begin until it is opened."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        from drill.cockpit import starting

        self._open = threading.Event()
        self._begin = starting.begin
        monkeypatch.setattr(starting, "begin", self.begin)

    def begin(self, *given: Any, **named: Any) -> Ready:
        assert self._open.wait(60)
        return self._begin(*given, **named)

    def open(self) -> None:
        self._open.set()


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Gate:
    return Gate(monkeypatch)


async def brief(pilot: Pilot[int], app: Cockpit) -> BriefingScreen:
    """Open the briefing of the first scenario there is, and wait until its flight can be begun."""
    app.brief(cards()[0])
    await until(pilot, lambda: app.screen.query("#begin") and not app.screen.query_one("#begin").disabled)
    assert isinstance(app.screen, BriefingScreen)
    return app.screen


def told(app: Cockpit) -> list[str]:
    """What the notes at the edge of the screen say."""
    return [note.message for note in app._notifications]


def names(app: Cockpit) -> list[str]:
    return [type(screen).__name__ for screen in app.screen_stack[1:]]


async def test_a_briefing_left_while_its_flight_is_made_ready_leaves_nothing(gate: Gate, home: Path) -> None:
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await brief(pilot, app)
        await pilot.press("enter")
        await until(pilot, lambda: BEGINNING in told(app))
        await pilot.press("escape")
        await until(pilot, lambda: names(app) == ["BoardScreen"])
        again = await brief(pilot, app)
        gate.open()
        await until(pilot, lambda: told(app) == [GIVEN_UP])
        assert app.screen is again
        assert journal.attempts(flights_folder()) == []
        assert list(flights_folder().glob("*-*-*.jsonl")) == []
        await pilot.press("enter", "enter")
        await until(pilot, lambda: names(app) == ["BoardScreen", "FlightScreen"] and app.screen.query("#panel"))
        (begun,) = journal.attempts(flights_folder())
        assert begun.record == cast(FlightScreen, app.screen).record_path
        assert told(app) == []
    app.close()
    assert app.given_up == ""


async def test_the_palette_gives_way_to_a_flight_that_is_ready_and_the_briefing_is_gone(gate: Gate, home: Path) -> None:
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await brief(pilot, app)
        await pilot.press("enter", "ctrl+p")
        await until(pilot, lambda: isinstance(app.screen, CommandPalette))
        gate.open()
        await until(pilot, lambda: names(app) == ["BoardScreen", "FlightScreen"] and app.screen.query("#panel"))
    app.close()


async def test_a_program_left_while_the_flight_is_made_ready_says_so_and_keeps_nothing(
    gate: Gate, tmp_path: Path
) -> None:
    record = tmp_path / "f.jsonl"
    app = Cockpit(Fly(TALLOWBY, seed=1, record=record), Settings(), timed=False, keeps=False)
    app.prepare()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await until(pilot, lambda: app.screen.query("#begin") and not app.screen.query_one("#begin").disabled)
        await pilot.press("enter")
        await until(pilot, lambda: BEGINNING in told(app))
        await pilot.press("escape")
        await until(pilot, lambda: not app.is_running or app._exit)
    gate.open()
    await asyncio.get_running_loop().shutdown_default_executor()    # as the end of a program does
    app.close()
    assert app.given_up == GIVEN_UP
    assert not record.exists()
    assert journal.attempts(flights_folder()) == []


# --- flights on the board -----------------------------------------------------------------------------


async def at_board(pilot: Pilot[int], app: Cockpit) -> None:
    """Wait for an unfinished flight to be pointed at."""
    await until(pilot, lambda: isinstance(app.screen, BoardScreen) and app.screen.query(BoardList)
                and (row := app.screen.query_one(BoardList).row) and row.record)


@pytest.mark.long
async def test_a_flight_is_flown_on_from_the_board_and_left_to_it(tmp_path: Path) -> None:
    async with flying(tmp_path) as (_, screen):
        screen.enter("turn left")
        screen.advance(5)
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(120, 40)) as pilot:
        await at_board(pilot, app)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, FlightScreen) and app.screen.query("#panel"))
        again = cast(FlightScreen, app.screen)
        await until(pilot, lambda: "Taken up again here. Time: held while you type." in log(again, "cockpit")[-1])
        assert any("Turning left" in each for each in log(again, "cockpit"))
        again.enter("turn right")
        again.advance(2)
        await pilot.press("ctrl+q", "ctrl+q")
        await at_board(pilot, app)
        assert app.left == tmp_path / "flight.jsonl"
    typed = [event.line for event in read_record(tmp_path / "flight.jsonl").events if isinstance(event, Typed)]
    assert typed == ["turn left", "turn right"]


@pytest.mark.long
@pytest.mark.parametrize("over", [True, False])
async def test_a_flight_of_which_nothing_is_left_to_fly_is_debriefed_and_no_longer_unfinished(
    tmp_path: Path, short: Path, over: bool
) -> None:
    record = tmp_path / "flight.jsonl"
    async with flying(tmp_path, scenario=short, seed=7) as (_, screen):
        screen.advance(600 if over else 5)
    kept = flights_folder() / journal.FILE
    kept.write_bytes(kept.read_bytes().splitlines(keepends=True)[0])    # the program was killed at that moment
    if not over:
        record.write_bytes(re.sub(rb'"model":"\d+-', b'"model":"0-', record.read_bytes(), count=1))
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await at_board(pilot, app)
        await pilot.press("enter")
        await until(pilot, lambda: names(app) == ["BoardScreen", "DebriefScreen"] and app.screen.query("#wait"))
        assert ("has ended" if over else "flown with edition") in " ".join(told(app))
        await pilot.press("f10")
        await until(pilot, lambda: names(app) == ["BoardScreen"])
        await until(pilot, lambda: app.screen.query_one(BoardList).rows[0].record is None)
        assert not any(row.record for row in app.screen.query_one(BoardList).rows)
    (attempt,) = journal.attempts(flights_folder())
    assert attempt.ended


async def test_a_note_is_shown_once_and_gone_with_its_screen(home: Path) -> None:
    app = Cockpit(Board(), Settings(), timed=False, keeps=False)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await until(pilot, lambda: isinstance(app.screen, BoardScreen))
        for number in range(3):
            app.say_mistake("no [such] flight")
            app.notify(f"note {number}")
            await until(pilot, lambda: told(app)[-1:] == [f"note {number}"])  # noqa: B023 - called at once
        assert told(app) == ["note 0", "note 1", "no [such] flight", "note 2"]
        await pilot.press("ctrl+p")
        await until(pilot, lambda: isinstance(app.screen, CommandPalette))
        assert len(told(app)) == 4
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, BoardScreen))
        assert len(told(app)) == 4
        await brief(pilot, app)
        assert told(app) == []


# --- coming in ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("start", "words"), [
    (Fly("no-such-thing"), "there is no scenario 'no-such-thing'"),
    (Fly(TALLOWBY, record=Path("/nowhere/f.jsonl")), "there is no folder /nowhere"),
    (Resume(Path("/nowhere/f.jsonl")), "/nowhere/f.jsonl"),
])
def test_what_cannot_be_flown_is_said_before_the_screen_is_taken(
    start: Fly | Resume, words: str, home: Path
) -> None:
    with pytest.raises(CannotStart, match=re.escape(words)):
        launch(start)


def test_the_first_screen_needs_no_flight_and_no_checker() -> None:
    loads = ("import sys; import drill.cockpit.app, drill.cockpit.board.screen, drill.cockpit.launch; "
             "print(*sys.modules, sep='\\n')")
    done = subprocess.run([sys.executable, "-c", loads], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "drill.cockpit.board.screen" in loaded
    assert not [each for each in loaded if each.split(".")[0] in ("numpy", "pydantic", "rapidfuzz") or each.startswith(
        ("drill.flight", "drill.language", "drill.grading", "drill.airplane", "drill.plain", "drill.scenario."))]


@pytest.mark.parametrize(("columns", "rows", "variables", "words"), [
    (59, 24, {}, "needs 60 and 18"), (120, 40, {"TERM": "dumb"}, ""),
])
def test_where_the_cockpit_cannot_be_shown_one_flies_in_words(
    at_terminal: dict[str, str], tmp_path: Path, columns: int, rows: int, variables: dict[str, str], words: str
) -> None:
    with PseudoTerminal(command(["fly", TALLOWBY, "--seed", "1"]), at_terminal | variables, columns=columns, rows=rows,
                        folder=tmp_path) as terminal:
        terminal.wait_for("Press Enter to begin")
        assert "\x1b[?1049h" not in terminal.output.decode("utf-8", "replace")
        assert words in " ".join(terminal.words.split())


# --- going out ---------------------------------------------------------------------------------------


@pytest.mark.long
def test_a_flight_that_is_left_is_kept_and_can_be_flown_on(at_terminal: dict[str, str], tmp_path: Path) -> None:
    record = tmp_path / "f.jsonl"
    flight = command(["fly", TALLOWBY, "--seed", "1", "--pace", "running", "--record", record])
    with begun(PseudoTerminal(flight, at_terminal, folder=tmp_path)) as terminal:
        terminal.send("turn left\r")
        terminal.wait_for("Turning left")
        terminal.send("\x11")
        terminal.wait_for("Leave the flight?")
        terminal.send("\x11")
        assert terminal.finish() == 0
        assert given_back(terminal)
        assert f"Fly on with: drill resume {record}" in terminal.words.replace("\r\n", "")
    assert any(isinstance(event, Typed) and event.line == "turn left" for event in read_record(record).events)


@pytest.mark.long
async def test_without_colors_a_flight_is_flown_on_in_grays_and_ascii(
    at_terminal: dict[str, str], tmp_path: Path
) -> None:
    async with flying(tmp_path) as (_, screen):
        screen.enter("turn left")
        screen.advance(5)
    record = screen.record_path
    without_color = at_terminal | {"NO_COLOR": "1", "LC_ALL": "C"}
    with PseudoTerminal(command(["resume", record]), without_color, folder=tmp_path) as terminal:
        terminal.wait_for("IN THE COCKPIT")
        terminal.wait_for("Turning left")
        terminal.send("time\r")
        terminal.wait_for("Flight time ")
        colors = set(re.findall(rb"[34]8;2;(\d+);(\d+);(\d+)[;m]", bytes(terminal.output)))
        assert colors
        assert all(red == green == blue for red, green, blue in colors)
        assert not any("\u2800" <= character <= "\u28ff" for character in terminal.words)    # no braille


@pytest.mark.parametrize("number", [
    signal.SIGTERM, pytest.param(signal.SIGHUP, marks=pytest.mark.long),
    pytest.param(signal.SIGINT, marks=pytest.mark.long)])
def test_a_signal_ends_it_in_good_order(at_terminal: dict[str, str], tmp_path: Path, number: signal.Signals) -> None:
    record = tmp_path / "f.jsonl"
    with begun(PseudoTerminal(command(["fly", TALLOWBY, "--seed", "1", "--record", record]), at_terminal,
                              folder=tmp_path)) as terminal:
        os.kill(terminal.pid, number)
        assert terminal.finish() == 128 + number
        assert given_back(terminal)
        assert "drill resume" in terminal.words


@pytest.mark.long
def test_a_fault_leaves_a_sentence_the_record_and_no_traceback(at_terminal: dict[str, str], tmp_path: Path) -> None:
    record = tmp_path / "f.jsonl"
    broken = (
        "import sys\n"
        "from drill.cockpit.flying.screen import FlightScreen\n"
        "def breaks(self): raise ZeroDivisionError('something [/red] broke')\n"
        "FlightScreen.action_offer = breaks\n"
        "from drill.cli import main\n"
        f"sys.exit(main(['fly', '{TALLOWBY}', '--seed', '1', '--record', '{record}']))\n"
    )
    with begun(PseudoTerminal([sys.executable, "-c", broken], at_terminal, folder=tmp_path)) as terminal:
        terminal.send("\x1b[15~")    # F5
        assert terminal.finish() == 1
        assert given_back(terminal)
        words = " ".join(terminal.words.split())
        assert "a fault in the program (ZeroDivisionError: something [/red] broke)" in words
        assert "Traceback" not in words
        assert str(record) in words.replace(" ", "")
    assert read_record(record).events


@pytest.mark.long
def test_a_disk_that_is_full_is_the_users_to_mend(at_terminal: dict[str, str], tmp_path: Path) -> None:
    record = tmp_path / "f.jsonl"
    full = (
        "import sys\n"
        "from drill.cockpit.flying.screen import FlightScreen\n"
        "enter = FlightScreen.enter\n"
        "def entered(self, text):\n"
        "    recorder = self.sitting.run._recorder\n"
        "    def line(*_, **__): raise recorder._full(OSError(28, 'No space left'))\n"
        "    recorder._line = line\n"
        "    enter(self, text)\n"
        "FlightScreen.enter = entered\n"
        "from drill.cli import main\n"
        f"sys.exit(main(['fly', '{TALLOWBY}', '--seed', '1', '--record', '{record}']))\n"
    )
    with begun(PseudoTerminal([sys.executable, "-c", full], at_terminal, folder=tmp_path)) as terminal:
        terminal.send("turn left\r")
        assert terminal.finish() == 2
        assert given_back(terminal)
        assert "the record cannot be written (No space left)" in " ".join(terminal.words.split())
