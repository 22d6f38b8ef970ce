"""An instruction to hold short of a runway is read back: the one that no ground controller may leave open."""

from __future__ import annotations

import re

from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.debrief import Finding
from drill.grading.read_backs import WITHIN_S, calls_soon_after
from drill.grading.situation import Situation
from drill.grading.timeline import lasting

ITEM = "Read back hold short"
_HOLD_SHORT = re.compile(r"\bhold(?:ing)? short\b", re.IGNORECASE)
_NOT_TAKEN = frozenset({"unable", "say_again", "standby"})


def grade_hold_short(situation: Situation) -> list[Finding]:
    """Return the finding on an instruction to hold short that was not read back; none where each was."""
    line = situation.line
    for heard in line.heard:
        if not heard.to_us or not _HOLD_SHORT.search(heard.words) or line.flown_s < heard.t + WITHIN_S:
            continue
        if not any(_HOLD_SHORT.search(call.words) or _NOT_TAKEN & {reply.kind for reply in call.replies}
                   for call in calls_soon_after(line, heard)):
            return [situation.finding(
                ITEM, "communicate", "missed", heard.t,
                f"What ATC said at {clock(heard.t)} was not read back with its “hold short” within "
                f"{lasting(WITHIN_S)}: “{heard.words}” An airplane that rolls past it stands on a runway in use; "
                "“roger” does not show that it was heard.", sources.HOLD_SHORT, weight="minor",
                better="hold short, the runway, and the callsign", score=0.0)]
    return []
