"""The terminals there are: few colors, small ones, ones that change, that stop the program, and that lose it."""

from __future__ import annotations

import os
import re
import signal
from pathlib import Path

import pytest
from cockpit.terminal import begun
from program import TALLOWBY, command
from pseudo_terminal import PseudoTerminal

from drill.flight.events import Typed
from drill.flight.record import read_record

TRUE_COLOR = re.compile(rb"[34]8;2;\d")
OF_256 = re.compile(rb"[34]8;5;(\d+)")
OF_16 = re.compile(rb"\x1b\[(?:\d+;)*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7])(?:;\d+)*m")
SILENT_S = 3.0


GIVEN_BACK = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?25h")
"""Alternate screen off, mouse reports off, cursor on (xterm control sequences)."""


def given_back(terminal: PseudoTerminal) -> bool:
    """Say whether the program has left the terminal as it should be."""
    return all(terminal.output.rfind(each) > terminal.output.rfind(b"\x1b[?1049h") for each in GIVEN_BACK)


def flight(record: Path, pace: str = "running") -> list[str]:
    """Return the command line of a flight that is kept in `record`."""
    return command(["fly", TALLOWBY, "--seed", "1", "--pace", pace, "--record", record])


def until_silent(terminal: PseudoTerminal) -> None:
    """Read on until nothing more comes."""
    for _ in range(20):
        if not terminal.drain(0.25):
            return
    raise AssertionError("it never falls silent")


# --- colors ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("variables", "colors"), [
    pytest.param({"TERM": "xterm-256color"}, 256, marks=pytest.mark.long), ({"TERM": "linux"}, 16),
])
def test_a_terminal_of_few_colors_is_sent_no_more(
    at_terminal: dict[str, str], tmp_path: Path, variables: dict[str, str], colors: int
) -> None:
    few = {name: value for name, value in at_terminal.items() if name != "COLORTERM"} | variables
    with begun(PseudoTerminal(flight(tmp_path / "f.jsonl"), few, folder=tmp_path)) as terminal:
        for title in ("AIRSPEED", "ALTIMETER", "TURN", "HEADING", "VERT SPEED"):
            terminal.wait_for(title)
        sent = bytes(terminal.output)
        assert not TRUE_COLOR.search(sent)
        assert bool(OF_256.search(sent)) == (colors == 256)
        if colors == 16:
            assert len(set(OF_16.findall(sent))) > 8


# --- no terminal at all --------------------------------------------------------------------------------


@pytest.mark.long
@pytest.mark.parametrize("redirected", ["stdin", "stdout", "stderr"])
def test_with_a_stream_that_is_no_terminal_one_flies_in_words(
    at_terminal: dict[str, str], tmp_path: Path, redirected: str
) -> None:
    told = tmp_path / "told.txt"
    put = {"stdin": "< /dev/null", "stdout": f"> {told}", "stderr": f"2> {told}"}[redirected]
    line = " ".join(f"'{each}'" for each in command(["fly", TALLOWBY, "--seed", "1"]))
    with PseudoTerminal(["/bin/sh", "-c", f"{line} {put}"], at_terminal, folder=tmp_path) as terminal:
        if redirected == "stdin":
            terminal.finish()
        else:
            terminal.send("\r")
            terminal.send("quit\ryes\r")
            terminal.finish()
        sent = bytes(terminal.output) + (told.read_bytes() if told.exists() else b"")
        assert b"\x1b" not in sent
        assert b"solid cloud" in sent


@pytest.mark.long
def test_a_terminal_that_is_too_small_is_told_so_and_one_that_becomes_so_is_paused(
    at_terminal: dict[str, str], tmp_path: Path
) -> None:
    with PseudoTerminal(flight(tmp_path / "f.jsonl"), at_terminal, columns=50, rows=15, folder=tmp_path) as terminal:
        terminal.wait_for("Press Enter to begin")
        assert "50 columns and 15 rows" in " ".join(terminal.words.split())
        assert b"\x1b[" not in terminal.output
    with begun(PseudoTerminal(flight(tmp_path / "g.jsonl"), at_terminal, folder=tmp_path)) as terminal:
        before = len(terminal.output)
        terminal.resize(50, 15)
        terminal.wait_for("50 columns and 15 rows", since=before)
        terminal.wait_for("The flight is paused.", since=before)
        before = len(terminal.output)
        terminal.resize(120, 40)
        terminal.wait_for("PAUSED", since=before)


# --- terminals that change -----------------------------------------------------------------------------


@pytest.mark.long
def test_a_terminal_that_changes_its_size_in_flight_shows_all_that_fits(
    at_terminal: dict[str, str], tmp_path: Path
) -> None:
    with begun(PseudoTerminal(flight(tmp_path / "f.jsonl"), at_terminal, columns=160, rows=50,
                              folder=tmp_path)) as terminal:
        for columns, rows, there in ((80, 24, ("VERT SPD", "GPS")), (120, 40, ("COMPASS", "VERT SPEED", "RADIO")),
                                     (160, 50, ("COMPASS", "VERT SPEED", "RADIO"))):
            before = len(terminal.output)
            terminal.resize(columns, rows)
            for words in there:
                terminal.wait_for(words, since=before)
            painted = re.findall(rb"\x1b\[(\d+);(\d+)H", terminal.drain(0.5))
            assert painted
            assert all(int(row) <= rows and int(column) <= columns for row, column in painted)
        terminal.send("turn left\r")
        terminal.wait_for("Turning left")


# --- a program that is stopped or lost -----------------------------------------------------------------


@pytest.mark.long
def test_a_flight_that_was_killed_goes_on_where_its_record_stops(at_terminal: dict[str, str], tmp_path: Path) -> None:
    record = tmp_path / "f.jsonl"
    with begun(PseudoTerminal(flight(record), at_terminal, folder=tmp_path)) as terminal:
        terminal.send("turn left\r")
        terminal.wait_for("Turning left")
        terminal.wait_for("flight 0:03")
        os.kill(terminal.pid, signal.SIGKILL)
        assert terminal.finish() == -signal.SIGKILL
    flown_s = max(event.t for event in read_record(record).events)
    assert flown_s >= 1.0
    with PseudoTerminal(command(["resume", record]), at_terminal, folder=tmp_path) as terminal:
        terminal.wait_for("Taken up again here.")
        terminal.wait_for("Turning left")
        terminal.send("turn right\r")
        terminal.wait_for("Turning right")
        terminal.send("\x11")
        terminal.wait_for("Leave the flight?")
        terminal.send("\x11")
        assert terminal.finish() == 0
    typed = [event for event in read_record(record).events if isinstance(event, Typed)]
    assert [event.line for event in typed] == ["turn left", "turn right"]
    assert typed[-1].t >= flown_s


@pytest.mark.long
def test_a_program_that_is_stopped_gives_the_screen_back_and_no_flight_time_passes_meanwhile(
    at_terminal: dict[str, str], tmp_path: Path
) -> None:
    record = tmp_path / "f.jsonl"
    shell = " ".join(f"'{each}'" for each in flight(record))
    line = f"set -m; {shell}; echo STOPPED; sleep 2; fg > /dev/null; echo \"CAME BACK $?\""
    with begun(PseudoTerminal(["/bin/bash", "-c", line], at_terminal, folder=tmp_path)) as terminal:
        program = int(Path(f"/proc/{terminal.pid}/task/{terminal.pid}/children").read_text(encoding="ascii").split()[0])
        terminal.wait_for("flight 0:02")
        os.kill(program, signal.SIGTSTP)
        terminal.wait_for("STOPPED")
        assert given_back(terminal)
        before = len(terminal.output)
        terminal.wait_for("flight 0:0", since=before)
        terminal.send("time\r")
        terminal.wait_for("Flight time ")
        terminal.send("\x11")
        terminal.wait_for("Leave the flight?")
        terminal.send("\x11")
        terminal.wait_for("CAME BACK 0")
        assert given_back(terminal)


# --- silence -------------------------------------------------------------------------------------------


@pytest.mark.long
def test_nothing_is_sent_while_the_flight_is_paused(at_terminal: dict[str, str], tmp_path: Path) -> None:
    with begun(PseudoTerminal(flight(tmp_path / "f.jsonl"), at_terminal, folder=tmp_path)) as terminal:
        terminal.send("\x1bOQ")    # F2
        terminal.wait_for("PAUSED")
        until_silent(terminal)
        assert terminal.drain(SILENT_S) == b""


@pytest.mark.long
def test_nothing_is_sent_while_the_board_is_read(at_terminal: dict[str, str], tmp_path: Path) -> None:
    with PseudoTerminal(command([]), at_terminal, folder=tmp_path) as terminal:
        terminal.wait_for("Cruise to Tallowby")
        until_silent(terminal)
        assert terminal.drain(SILENT_S) == b""
