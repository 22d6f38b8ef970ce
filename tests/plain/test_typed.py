"""Flying at a terminal: the session in a pseudo-terminal, byte by byte."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import termios
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest
from program import TALLOWBY, Drill, command

PROCEDURES = Path(__file__).parents[2] / "procedures"

# ECMA-48: C0 (but line feed, carriage return and our own backspace), DEL, and C1 as UTF-8 (C2 80 to C2 9F).
STEERING = re.compile(rb"[\x00-\x07\x09\x0b\x0c\x0e-\x1f\x7f]|\xc2[\x80-\x9f]")
# UAX 9 table 1, as UTF-8: U+061C, U+200E/F, U+202A-E, U+2066-9.
TURNING = re.compile(rb"\xd8\x9c|\xe2\x80[\x8e\x8f\xaa-\xae]|\xe2\x81[\xa6-\xa9]")
HOSTILE = "\x1b[2J\x1b]0;owned\x07\x9b31m\u202egnitsaf\u2066[bold]x[/bold][/nope]\r\x08\x00"


class Session:
    """`drill` in a pseudo-terminal."""

    def __init__(self, arguments: list[str | Path], environment: dict[str, str], folder: Path) -> None:
        self.ours, self.theirs = pty.openpty()
        self.before = termios.tcgetattr(self.theirs)
        self.process = subprocess.Popen(
            command(arguments), stdin=self.theirs, stdout=self.theirs, stderr=self.theirs, env=environment, cwd=folder,
            start_new_session=True,
        )
        self.bytes = b""

    def type(self, text: str) -> None:
        os.write(self.ours, text.encode())

    def read(self, seconds: float) -> None:
        if select.select([self.ours], [], [], seconds)[0]:
            self.bytes += os.read(self.ours, 65_536)

    def until(self, words: str, seconds: float = 20) -> None:
        """Read until `words` stand on the screen; fail if they never do."""
        limit = time.monotonic() + seconds
        while words not in self.words():
            assert time.monotonic() < limit, f"never saw {words!r} in: {self.words()}"
            self.read(0.2)

    def end(self, seconds: float = 20) -> int:
        """Read until the program has ended; return its exit code."""
        limit = time.monotonic() + seconds
        while self.process.poll() is None:
            assert time.monotonic() < limit, f"did not end: {self.words()}"
            self.read(0.1)
        self.read(0.1)
        return self.process.returncode

    def words(self) -> str:
        return " ".join(self.bytes.decode("utf-8", "replace").split())

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.ours)
        os.close(self.theirs)


Start = Callable[..., Session]


@pytest.fixture
def start(environment: dict[str, str], tmp_path: Path) -> Iterator[Start]:
    sessions: list[Session] = []

    def begin(*arguments: str | Path) -> Session:
        in_words = list(arguments)
        if not arguments or arguments[0] in ("fly", "resume"):
            in_words.insert(1, "--plain")
        sessions.append(Session(in_words, environment, tmp_path))
        return sessions[-1]

    yield begin
    for session in sessions:
        session.close()


def test_a_flight_is_chosen_begun_flown_left_and_its_record_named(start: Start) -> None:
    session = start()
    session.until("Type a number")
    session.type("1\n")
    session.until("Press Enter to begin")
    session.type("\n")
    session.until("Attitude indicator: ")
    session.type("check the suctiom\x7fn gauge\n")
    session.until("inches")
    session.type("quit\n")
    session.until("Leave the flight?")
    session.type("quit\n")
    assert session.end() == 0
    assert "Record:" in session.words()
    assert termios.tcgetattr(session.theirs) == session.before


@pytest.mark.long
def test_held_time_stands_still_while_a_line_is_typed(start: Start) -> None:
    session = start("fly", TALLOWBY, "--seed", "7")
    session.until("Press Enter")
    session.type("\ntime\n")
    session.until("Flight time ")
    session.type("tim")
    began = time.monotonic()
    while time.monotonic() - began < 2.0:
        session.read(0.1)
    session.type("e\n")
    limit = time.monotonic() + 10
    while session.words().count("Flight time ") < 2:
        assert time.monotonic() < limit
        session.read(0.1)
    first, second = (int(m) * 60 + int(s) for m, s in re.findall(r"Flight time (\d+):(\d\d)", session.words()))
    assert second - first <= 1


@pytest.mark.long
def test_a_running_clock_runs_while_nothing_is_typed(start: Start) -> None:
    session = start("fly", TALLOWBY, "--seed", "7", "--pace", "running")
    session.until("Press Enter")
    session.type("\n")
    session.until("Attitude indicator")
    began = time.monotonic()
    while time.monotonic() - began < 2.2:
        session.read(0.1)
    session.type("time\n")
    session.until("Flight time ")
    assert re.search(r"Flight time 0:0[2-4]", session.words())


@pytest.mark.long
def test_after_the_end_the_pilot_is_asked_before_being_told(
    start: Start, drill: Drill, short: Path
) -> None:
    session = start("fly", short, "--seed", "7", "--pace", "turns", "--record", "f.jsonl")
    session.until("Press Enter")
    session.type("\n")
    session.until("> ")
    while "a few questions" not in session.words():
        asked = session.words().count("> ")
        session.type("wait 10 minutes\n")
        limit = time.monotonic() + 30
        while session.words().count("> ") <= asked and "a few questions" not in session.words():
            assert time.monotonic() < limit, session.words()
            session.read(0.2)
    session.type("ft a little\n")    # the end of an order that was being typed
    session.until("What failed, if anything?")
    session.type("the pump\n")
    session.until("When did you know")
    assert "Stop following the bad horizon" not in session.words()
    session.type("\n")
    session.until("differently?")
    session.type("\x04")
    assert session.end() == 0
    assert "Stop following the bad horizon" in session.words()
    told = drill("debrief", "f.jsonl").stdout
    assert "the pump" in told
    assert "ft a little" not in told


def test_typed_and_pasted_bytes_do_not_reach_the_terminal_raw(start: Start) -> None:
    session = start("fly", TALLOWBY, "--seed", "7", "--pace", "turns")
    session.until("Press Enter")
    session.type("\n")
    session.until("> ")
    session.type(f"look {HOSTILE.replace(chr(8), '').replace(chr(13), '')}outside\n")
    session.until("outside")
    session.type("\x1b[A\x1bOB\x1b[200~level wings\x1b[201~\n")
    session.until("level wings")
    session.type("quit\nquit\n")
    assert session.end() == 0
    assert STEERING.findall(session.bytes) == []
    assert TURNING.findall(session.bytes) == []


def _line(key: str, words: str, _: re.Match[str]) -> str:
    return f"{key}: {words}"


def hostile_scenario(folder: Path) -> Path:
    """A sound scenario whose words try to steer the terminal, written as YAML escapes."""
    text = (PROCEDURES / f"{TALLOWBY}.yaml").read_text(encoding="utf-8")
    nasty = r'"X \e[2J\e]0;owned\a\x9b31m\u202egnitsaf\u2066 [bold]x[/bold] [/nope] \b\0 end"'
    for key in ("board title", "title", "aim"):
        text = re.sub(rf"^{key}: .+$", partial(_line, key, nasty), text, flags=re.MULTILINE)
    text = text.replace("tell: Nineteen miles to run.", f"tell: {nasty}")
    path = folder / "hostile.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.long
def test_a_scenarios_control_bytes_and_markup_do_not_reach_the_terminal_raw(start: Start, tmp_path: Path) -> None:
    session = start("fly", hostile_scenario(tmp_path), "--seed", "7", "--pace", "turns", "--record", "f.jsonl")
    session.until("Press Enter")
    session.type("\nquit\nquit\n")
    assert session.end() == 0
    told = start("debrief", "f.jsonl")
    told.type("\n")
    told.end()
    assert "[bold]x[/bold] [/nope]" in session.words()
    for each in (session, told):
        assert STEERING.findall(each.bytes) == []
        assert TURNING.findall(each.bytes) == []


@pytest.mark.long
def test_a_strangers_record_does_not_reach_the_terminal_raw(start: Start, drill: Drill, tmp_path: Path) -> None:
    drill("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl", typed="look outside\nwait 1 minute\nquit\nquit\n")
    path = tmp_path / "f.jsonl"
    nasty = "\\u001b[2J\\u009b31m\\u202egnitsaf [bold]x[/bold] "
    text = path.read_text(encoding="utf-8")
    spoiled = text.replace('"line":"look outside', f'"line":"{nasty}look outside').replace(
        '"result":"', f'"result":"{nasty}'
    )
    assert spoiled.count(nasty) >= 2
    path.write_text(spoiled, encoding="utf-8")
    for name in ("debrief", "replay", "resume"):
        session = start(name, path)
        if name == "resume":
            session.type("quit\nquit\n")
        if name == "debrief":
            session.until("Press Enter")
            session.type("\n")
        session.end()
        assert STEERING.findall(session.bytes) == []
        assert TURNING.findall(session.bytes) == []


@pytest.mark.parametrize(("number", "code"), [
    (signal.SIGTERM, 143), *(pytest.param(number, code, marks=pytest.mark.long) for number, code in (
        (signal.SIGINT, 130), (signal.SIGHUP, 129), (signal.SIGQUIT, 131))),
])
def test_a_signal_gives_the_terminal_back_and_names_the_record(
    start: Start, number: signal.Signals, code: int
) -> None:
    session = start("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl")
    session.until("Press Enter")
    session.type("\n")
    session.until("Attitude indicator")
    session.process.send_signal(number)
    assert session.end() == code
    assert "f.jsonl" in session.words()
    assert "Traceback" not in session.words()
    assert termios.tcgetattr(session.theirs) == session.before


@pytest.mark.parametrize("number", [signal.SIGTERM, pytest.param(signal.SIGHUP, marks=pytest.mark.long),
                                    pytest.param(signal.SIGINT, marks=pytest.mark.long)])
@pytest.mark.parametrize("when", ["before", pytest.param("during", marks=pytest.mark.long)])
def test_a_screen_held_by_control_s_does_not_hold_the_ending(start: Start, number: signal.Signals, when: str) -> None:
    session = start("fly", TALLOWBY, "--seed", "7", "--pace", "running", "--record", "f.jsonl")
    session.until("Press Enter")
    if when == "before":
        session.type("\x13")
    session.type("\n")
    session.until("Attitude indicator")
    session.type("\x13")
    began = time.monotonic()
    while time.monotonic() - began < 0.5:
        session.read(0.1)
    session.process.send_signal(number)
    assert session.end() == 128 + number
    assert "f.jsonl" in session.words()
    assert termios.tcgetattr(session.theirs) == session.before


def test_last_words_are_said_on_a_screen_that_was_held_before_the_flight(start: Start) -> None:
    session = start("replay", "nothing.jsonl")
    session.type("\x13")
    assert session.end() == 2
    assert "nothing.jsonl" in session.words()


@pytest.mark.long
def test_the_debrief_of_a_flight_that_can_be_flown_on_waits_for_enter(start: Start, drill: Drill) -> None:
    drill("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl", typed="wait 5 seconds\nquit\nquit\n")
    session = start("debrief", "f.jsonl")
    session.until("Press Enter for the debrief")
    assert "DEBRIEF" not in session.words()
    session.type("quit\n")
    assert session.end() == 0
    assert "DEBRIEF" not in session.words()
