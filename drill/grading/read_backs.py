"""Headings and altitudes that ATC gives are read back: told where they are not, and not counted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from drill.flight.events import Heard
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.clearance import altitude_in, frees, heading_in
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import lasting
from drill.language.meaning import Call, Transmit

ITEM = "Read back headings and altitudes"
WITHIN_S = 60.0          # from when it was heard (the author's choice)
CROSSED_S = 2.0          # a call that ended so shortly before crossed what ATC said
ASSIGNED_S = 2.0         # an assignment holds from so soon after it was said
NOT_TAKEN = frozenset({"unable", "say_again", "negative", "standby"})
"""Replies that leave nobody in doubt that the number is not taken."""


def grade_read_backs(situation: Situation) -> list[Finding]:
    """Return what is told of headings and altitudes that were not read back; none where each was."""
    line = situation.line
    lacking = [heard for heard in line.heard if heard.to_us and heard.wants == "readback"
               and line.flown_s >= heard.t + WITHIN_S and not _is_read_back(situation, heard)]
    if not lacking:
        return []
    often = f" The same happened to {len(lacking) - 1} more." if len(lacking) > 1 else ""
    return [situation.finding(
        ITEM, "communicate", "remark", lacking[0].t,
        f"What ATC gave at {clock(lacking[0].t)} was not read back within {lasting(WITHIN_S)}, with its figures: "
        f"“{lacking[0].words}”{often} By the read-back a controller learns what was heard; “roger” and “wilco” hide a "
        "wrong figure. Told, not counted.", sources.READ_BACK, weight="minor",
        better="the heading or altitude, and the callsign")]


def _is_read_back(situation: Situation, heard: Heard) -> bool:
    """Whether a call soon after it repeats each number that `heard` assigns, or says that it is not taken."""
    line = situation.line
    given = next((each for each in reversed(line.assigned) if each.t <= heard.t + ASSIGNED_S), None)
    if given is None:
        return True
    calls = [deed.action.meaning for deed in line.calls() if isinstance(deed.action, Transmit)
             and deed.t >= heard.t - CROSSED_S and deed.began <= heard.t + WITHIN_S]
    if any(reply.kind in NOT_TAKEN for call in calls for reply in call.replies):
        return True
    numbers = [] if frees(heard) else [(given.altitude_ft, altitude_in)]
    return all(_repeated(calls, value, said_in) for value, said_in in (*numbers, (given.heading_deg, heading_in))
               if value is not None and math.isfinite(value) and said_in(heard.words, value))


def _repeated(calls: Sequence[Call], value: float, said_in: Callable[[str, float], bool]) -> bool:
    return any(said_in(call.words, value) or value in {number for reply in call.replies
                                                       for number in (reply.heading_deg, reply.altitude_ft)}
               for call in calls)
