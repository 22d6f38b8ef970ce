"""An assigned altitude left on purpose with nobody told: ATC keeps others away from where it takes the airplane to be.

91.123(a) and (b) bind to the clearance; in an emergency the pilot may leave it, and tells ATC as soon as possible
(91.123(c)). Leaving an altitude is reported unasked (AIM 5-3-3). What the hands wander is no leaving.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.clearance import binding, free_s
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import Deed, lasting, number
from drill.language.meaning import Altitude, Transmit

ITEM = "Leave an assigned altitude only when ATC knows"
OTHER_FT = 200.0         # an order so far from the assigned altitude is meant to leave it
LEFT_FT = 300.0          # so far away it has been left: beyond, radar shows another one (author's choice)
BEFORE_S, AFTER_S = 180.0, 30.0   # told so long before the order, or so soon after it, it was told (author's choice)
LATE = 0.4
SAYS_ALTITUDE = frozenset({"altitude_change", "block_altitude", "vmc", "visual_approach"})


@dataclass(frozen=True, slots=True)
class _Left:
    """An altitude (ft) that was left by an order at `ordered_s`; `gone_s` is when it had been."""

    assigned_ft: float
    order: Deed
    gone_s: float
    told_s: float | None


def grade_leaving(situation: Situation) -> list[Finding]:
    """Return the finding on the first assigned altitude that was left unannounced; none where none was."""
    free = free_s(situation)
    for order in situation.line.deeds:
        if not isinstance(order.action, Altitude) or order.action.direction == "hold":
            continue
        if free is not None and free <= order.t:
            return []
        left = _left(situation, order, free)
        if left is not None:
            return [_finding(situation, left)]
    return []


def _left(situation: Situation, order: Deed, free: float | None) -> _Left | None:
    """Return what `order` left unannounced; None: nothing."""
    line = situation.line
    assigned = _assigned_at(situation, order.t)
    if assigned is None:
        return None
    for trace in line.between(order.t):
        now = _assigned_at(situation, trace.t)
        wanted = number(trace.controls, "altitude_ft", assigned)
        if now is None or abs(now - assigned) > OTHER_FT or abs(wanted - assigned) <= OTHER_FT:
            return None                    # ATC has given another, or the pilot has thought better of it
        if abs(number(trace.true, "altitude_ft", assigned) - assigned) > LEFT_FT:
            told = next((deed.t for deed in line.calls()
                         if deed.t >= order.began - BEFORE_S and _tells(deed, assigned)), free)
            return None if told is not None and told <= order.t + AFTER_S else _Left(assigned, order, trace.t, told)
    return None


def _assigned_at(situation: Situation, t: float) -> float | None:
    binds = [each for each in binding(situation.line) if each.t <= t]
    return binds[-1].altitude_ft if binds else None


def _tells(deed: Deed, assigned_ft: float) -> bool:
    """Say whether a call tells ATC that the airplane leaves its altitude, or that it may have to."""
    call = deed.action.meaning if isinstance(deed.action, Transmit) else None
    return call is not None and (
        call.urgency != "none" or call.altitude_wanted_ft is not None
        or (call.altitude_ft is not None and abs(call.altitude_ft - assigned_ft) > OTHER_FT)
        or bool(SAYS_ALTITUDE & set(call.assistance)) or any(
            reply.kind == "unable" or reply.altitude_ft is not None for reply in call.replies))


def _finding(situation: Situation, left: _Left) -> Finding:
    what = (f"From {clock(left.order.t)} the airplane left {left.assigned_ft:,.0f} feet, which ATC had assigned, and "
            f"was {LEFT_FT:.0f} feet away from it at {clock(left.gone_s)}.")
    why = "ATC keeps others away from the altitude that it has assigned, not from the one that is flown."
    trace = situation.line.at(left.gone_s)
    weight = "critical" if trace is not None and "is in cloud" in trace.facts else "major"   # there nobody can see
    better = "tell ATC first: request higher, or: unable to maintain, climbing"
    if left.told_s is not None:
        return situation.finding(
            ITEM, "decide", "late", left.order.t,
            f"{what} ATC was told {lasting(left.told_s - left.order.t)} after the order. {why}", sources.LEAVING,
            weight=weight, better=better, score=LATE, about=("altimeter",))
    return situation.finding(ITEM, "decide", "broken", left.order.t, f"{what} ATC was never told. {why}",
                             sources.LEAVING, weight=weight, better=better, score=0.0, about=("altimeter",))
