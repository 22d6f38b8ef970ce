"""The row on top of the flight screen, in words."""

from __future__ import annotations

from drill.flight.readings import clock_words
from drill.seat.local_time import local_time
from drill.seat.pace import Pace

PAUSED = "PAUSED"


def paused_words(*, short: bool = False) -> str:
    """Return that time is stopped, and how it goes on."""
    return f"{PAUSED}: F2, go on" if short else f"{PAUSED}: F2, or type go on"


def pace_words(pace: Pace, *, held: bool = False, turning: bool = False, narrow: bool = False) -> str:
    """Return how time runs; `held`: by a line at the moment, `turning`: a turn is being flown out."""
    if pace == "turns":
        return f"{'turns' if narrow else 'turn by turn'}: {'flying on' if turning else 'your turn'}"
    if pace == "held" and held:
        return "time is held" if narrow else "held while you type"
    return "time runs" if pace == "held" else "time runs on"


def status_words(title: str, callsign: str, start_clock: str, t_s: float, timer_s: float | None = None) -> str:
    """Return the row, whose end may be cut off, what is needed most first.

    Flight time, local time, the timer if it runs, by whom and what is flown.
    """
    timer = "" if timer_s is None else f"  timer {clock_words(timer_s)}"
    return f"flight {clock_words(t_s)}  local {local_time(start_clock, t_s)}{timer}  {callsign}  {title}"
