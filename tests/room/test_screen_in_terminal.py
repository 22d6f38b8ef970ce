"""The facilitator's screen in a pseudo-terminal: it is left in good order however it ends, and the evening goes on."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest
from cockpit.test_terminals import given_back
from program import TALLOWBY, command
from pseudo_terminal import PseudoTerminal

from drill.room.keeping import read_evening

pytestmark = pytest.mark.long


def _begun(environment: dict[str, str], folder: Path) -> PseudoTerminal:
    colors = {name: value for name, value in environment.items() if name != "NO_COLOR"}
    return PseudoTerminal(command(["room", TALLOWBY, "--seed", "1", "--host", "127.0.0.1", "--port", "0", "--record",
                                   folder / "evening.jsonl"]),
                          {**colors, "TERM": "xterm-256color", "LANG": "C.UTF-8"}, folder=folder)


def test_left_by_its_key_it_gives_the_terminal_back_and_says_how_the_evening_is_taken_up(
    environment: dict[str, str], tmp_path: Path,
) -> None:
    with _begun(environment, tmp_path) as terminal:
        terminal.wait_for("PEOPLE COME IN")
        terminal.send("b")
        terminal.wait_for("BRIEFING")
        terminal.send("q")
        terminal.wait_for("takes the evening up")
        terminal.send("\r")
        assert terminal.finish() == 0
        assert given_back(terminal)
        assert b"drill room --resume" in terminal.output.replace(b"\r\n", b"")
    assert read_evening(tmp_path / "evening.jsonl").evening.stage == "brief"


def test_ended_from_outside_it_gives_the_terminal_back_and_nothing_is_lost(
    environment: dict[str, str], tmp_path: Path,
) -> None:
    with _begun(environment, tmp_path) as terminal:
        terminal.wait_for("PEOPLE COME IN")
        terminal.send("b")
        terminal.wait_for("BRIEFING")
        os.kill(terminal.pid, signal.SIGTERM)
        assert terminal.finish() == 128 + signal.SIGTERM
        assert given_back(terminal)
    assert read_evening(tmp_path / "evening.jsonl").evening.stage == "brief"
