"""The loop that joins lines, clock and flight: for a person, for a pipe, and for a script."""

from __future__ import annotations

import time
from collections.abc import Sequence

from drill.clean import clean_line
from drill.plain.face import Face
from drill.plain.terminal import InputEnded, Lines
from drill.seat.pace import PaceClock

LOOK_EVERY_S = 0.1
"""How often, in wall time, a running clock is looked at."""


def fly_typed(face: Face, lines: Lines, clock: PaceClock) -> bool:
    """Fly by typed lines until the flight ends, the pilot leaves or the input ends.

    Turn by turn from a pipe, the end of the input means that nobody acts any more: the flight flies on to its ending.
    Returns False if the input ended and the flight has not.
    """
    turns = clock.pace == "turns"
    while not (face.ended or face.left):
        try:
            typed = lines.poll(60.0 if turns else LOOK_EVERY_S)
        except InputEnded:
            if turns and not lines.interactive:
                return fly_out(face)
            return False
        face.advance(clock.passed(time.monotonic(), lines.last_key()))
        if typed is None or face.ended:
            continue
        face.line(clean_line(typed))
        if turns and not clock.paused:
            face.finish_turn()
    return True


def fly_script(face: Face, script: Sequence[tuple[float, str]]) -> bool:
    """Fly by a script: (flight time in seconds, words), in order of time; afterwards the flight flies on to its ending.

    Lines whose time has passed are entered at once. Returns True.
    """
    for at_s, words in script:
        face.advance(at_s - face.t_s)
        if face.ended or face.left:
            break
        face.line(clean_line(words))
    return fly_out(face)


def fly_out(face: Face) -> bool:
    """Let the flight fly on with nobody acting until it ends; the scenario's time limit sees to that. Returns True."""
    while not (face.ended or face.left):
        face.advance(10.0)
    return True
