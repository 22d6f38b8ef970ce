"""Headings and altitudes that ATC gives are read back: told where they are not, and not counted."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from drill.flight.events import Heard
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.clearance import altitude_in, frees, heading_in
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import Timeline, lasting
from drill.language.meaning import Call, Transmit

ITEM = "Read back headings and altitudes"
WITHIN_S = 60.0          # from when it was heard (the author's choice)
CROSSED_S = 2.0          # a call that ended so shortly before crossed what ATC said
ASSIGNED_S = 2.0         # an assignment holds from so soon after it was said
NOT_TAKEN = frozenset({"unable", "say_again", "negative", "standby"})
"""Replies that leave nobody in doubt that the number is not taken."""
_UNABLE_ELSE = re.compile(r"\bunable\b[^,.;]*\b(?:ils|approach|localizer|gps|rnav|hold)\b", re.IGNORECASE)
"""What is refused that is no heading and no altitude."""
_SIDE = re.compile(r"\b(?:left|right)\b")


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
    """Whether a call soon after it repeats each number that `heard` assigns, or says that it is not taken.

    A number that another took the place of meanwhile is not asked for; one with the other side is not read back.
    """
    line = situation.line
    given = next((each for each in reversed(line.assigned) if each.t <= heard.t + ASSIGNED_S), None)
    if given is None:
        return True
    calls = calls_soon_after(line, heard)
    if any(_refuses(call) for call in calls):
        return True
    later = [each for each in line.assigned if heard.t + ASSIGNED_S < each.t <= heard.t + WITHIN_S]
    altitude_holds = not frees(heard) and all(each.altitude_ft == given.altitude_ft for each in later)
    heading_holds = all(each.heading_deg == given.heading_deg for each in later)
    altitude_asked = altitude_holds and _assigns(heard, given.altitude_ft, altitude_in)
    heading_asked = heading_holds and _assigns(heard, given.heading_deg, heading_in)
    altitude_said = any(_repeats(call, given.altitude_ft, altitude_in) for call in calls)
    heading_said = any(_repeats(call, given.heading_deg, heading_in) and not _other_side(heard.words, call.words)
                       for call in calls)
    return (altitude_said or not altitude_asked) and (heading_said or not heading_asked)


def calls_soon_after(line: Timeline, heard: Heard) -> list[Call]:
    """Return the calls that may answer `heard`: to `WITHIN_S` after it, and those that crossed it."""
    return [deed.action.meaning for deed in line.calls() if isinstance(deed.action, Transmit)
            and deed.t >= heard.t - CROSSED_S and deed.began <= heard.t + WITHIN_S]


def _refuses(call: Call) -> bool:
    return any(reply.kind in NOT_TAKEN for reply in call.replies) and not _UNABLE_ELSE.search(call.words)


def _assigns(heard: Heard, value: float | None, said_in: Callable[[str, float], bool]) -> bool:
    return value is not None and math.isfinite(value) and said_in(heard.words, value)


def _repeats(call: Call, value: float | None, said_in: Callable[[str, float], bool]) -> bool:
    return value is not None and (said_in(call.words, value) or value in {
        number for reply in call.replies for number in (reply.heading_deg, reply.altitude_ft)})


def _other_side(heard: str, said: str) -> bool:
    """Whether the turn was given to one side and repeated to the other."""
    given, repeated = (_SIDE.findall(words.lower()) for words in (heard, said))
    return len(set(given)) == 1 and len(set(repeated)) == 1 and given[0] != repeated[0]
