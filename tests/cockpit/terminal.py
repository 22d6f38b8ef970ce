"""A cockpit in a pseudo-terminal."""

from __future__ import annotations

from pseudo_terminal import PseudoTerminal


def begun(terminal: PseudoTerminal) -> PseudoTerminal:
    """Begin the flight that is being briefed."""
    terminal.wait_for("Begin")
    terminal.wait_for("Situation")
    terminal.send("\r")
    terminal.wait_for("IN THE COCKPIT")
    return terminal
