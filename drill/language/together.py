"""The orders of one line taken together: what excludes each other, and what one of them makes needless."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from drill.language.decisions import DEFAULT_WAIT_S
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    BreakOff,
    Checklist,
    Compare,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    Look,
    Power,
    StopTurn,
    Switch,
    Taxi,
    Turn,
    Unclear,
    Uncover,
    Wait,
)

Test: TypeAlias = Callable[[Action], bool]


def _is(*actions: Action) -> Test:
    return lambda action: action in actions


def _a(*kinds: type[Action]) -> Test:
    return lambda action: isinstance(action, kinds)


def _plan(*plans: str) -> Test:
    return lambda action: isinstance(action, Decide) and action.plan in plans


def _either(*tests: Test) -> Test:
    return lambda action: any(test(action) for test in tests)


def _but(test: Test, other: Test) -> Test:
    return lambda action: test(action) and not other(action)


_BACK = Turn(by_deg=180)
_SIDES = (Turn("left"), Turn("right"))
_A_MOMENT = Wait(DEFAULT_WAIT_S)
NEEDLESS: tuple[tuple[Test, Test], ...] = (
    (_either(_a(LevelWings), _is(Decide("stop_taxi"), Decide("abort_takeoff"))), _a(StopTurn)),
    (_is(Decide("abort_takeoff")), _either(_is(Decide("stop_taxi"), Power(change="idle")), _a(BreakOff))),
    (_plan("return_to_ramp"), _a(Taxi, Turn)),
    (_plan("cancel_ifr"), _either(_a(BreakOff), _plan("depart_vfr"))),           # "bin the IFR, cancel it"
    (_but(_plan("divert"), _is(Decide("divert"))), _is(Decide("divert"))),       # "divert, we go to Wendle"
    (_but(_a(Turn), _is(_BACK)), _is(_BACK)),                                    # "turn us back, left, 180 degrees"
    (_a(Airspeed), _is(Power(change="less"), Power(change="more"))),             # "throttle back, 90 knots"
    (_but(_a(Checklist), _is(Checklist(None))), _is(Checklist(None))),           # "the book, vacuum failure checklist"
    (_a(Compare), _is(Look("panel"))),                                           # "do they agree? cross check"
    (_but(_a(Wait), _is(_A_MOMENT)), _is(_A_MOMENT)),                            # "count to 15 and wait"
    (_a(Altitude), _is(Decide("hold"))),                                         # "climb to 5000 and hold"
    (_a(Align), _is(Cover("altimeter"))),                                        # "QNH 1004, put it on the altimeter"
    (_a(Align), _is(Diagnose(("heading_indicator",)))),                          # "the gyro drifted, set it right"
)
"""(what is ordered, what need not be done beside it), looked at in this order."""


ASK_HOW_FAR = "How far do you want to turn: to which heading, or by how many degrees?"


def run_out(actions: Sequence[Action], *, then: bool) -> list[Action]:
    """Return `actions` without what only tells how one before it ends: a turn to a heading ends with the wings level,
    a climb to an altitude there ("turn left to 180 then stop", "climb to 6000 then level off").

    `then`: the word stands in the line, so that what is ordered last is ordered for later.
    """
    kept: list[Action] = []
    for action in actions:
        before = kept[-1] if kept else None
        turned = isinstance(before, Turn) and (before.heading_deg is not None or before.by_deg is not None)
        climbed = isinstance(before, Altitude) and (before.to_ft is not None or before.by_ft is not None)
        endless = isinstance(before, Turn) and not turned
        if endless and (isinstance(action, StopTurn) or (then and isinstance(action, LevelWings))):
            kept[-1] = Unclear(ASK_HOW_FAR)
        elif endless and isinstance(action, LevelWings):
            kept[-1] = action   # "we are turning left, level the wings"
        elif not ((turned and isinstance(action, StopTurn | LevelWings)) or (
                climbed and action == Altitude(None, "hold"))):
            kept.append(action)
    return kept


def parted(groups: Sequence[Sequence[Action]]) -> list[list[Action]]:
    """Return the groups of orders that are given in one breath, parted also where the pilot waits in between."""
    found: list[list[Action]] = []
    for group in groups:
        found.append([])
        for at, action in enumerate(group):
            if at and isinstance(group[at - 1], Wait) and not isinstance(action, Wait):
                found.append([])
            found[-1].append(action)
    return found


def settled(actions: Sequence[Action]) -> list[Action]:
    """Return `actions` without what is needless beside others, and with one thing to fly by, the last."""
    kept = list(actions)
    side = next((each for each in _SIDES if each in kept), None)
    if _BACK in kept and side is not None:   # "reverse course, left turn"
        kept = [Turn(side.direction, by_deg=180) if each == _BACK else each for each in kept if each != side]
    for at, action in enumerate(kept[1:], 1):
        before = kept[at - 1]
        if action in _SIDES and isinstance(before, Turn) and before.heading_deg and before.direction == "shortest":
            kept[at - 1] = kept[at] = replace(before, direction=action.direction)   # "new heading 300, turn left"
    for ordered, needless in NEEDLESS:
        if any(ordered(action) for action in kept):
            kept = [action for action in kept if not needless(action)]
    for at, action in enumerate(kept[1:], 1):
        before = kept[at - 1]
        if isinstance(action, Altitude) and before == Altitude(None, action.direction):
            kept[at - 1] = action   # "get higher, climb 7,000"
        if action == Decide("land") and isinstance(before, Decide) and before.plan in ("divert", "land") and (
                before.where is not None):
            kept[at - 1] = kept[at] = Decide("land", before.where)   # "back to Fenwick and land"
    for at, action in enumerate(kept[1:], 1):
        before = kept[at - 1]
        if isinstance(action, Altitude) and action.direction == "hold" and action.to_ft is not None and (
                before in (Altitude(None, "climb"), Altitude(None, "descend"))):
            kept[at - 1] = kept[at] = replace(before, to_ft=action.to_ft)   # "climb, but stop at 5000"
    for at, action in enumerate(kept[1:], 1):
        before = kept[at - 1]
        if isinstance(before, Altitude) and before.direction == "hold" and before.to_ft is not None and (
                action in (Altitude(None, "climb"), Altitude(None, "descend")) and isinstance(action, Altitude)):
            kept[at - 1] = kept[at] = replace(action, to_ft=before.to_ft)   # "2800 is the minimum, get up to it"
        if isinstance(action, Diagnose) and isinstance(before, Diagnose) and action.failed and before.failed:
            both = Diagnose(tuple(sorted({*before.failed, *action.failed})))
            kept[at - 1] = kept[at] = both   # "both altimeters are off, put it down to the static"
        if isinstance(action, Altitude) and action.to_ft is not None and isinstance(before, Altitude) and (
                before.by_ft and action.direction in ("hold", before.direction)):
            kept[at - 1] = kept[at] = replace(action, direction=before.direction)   # "lose 500, go to 3500"
    kept = [action for at, action in enumerate(kept)
            if not (isinstance(action, Look) and Uncover(action.at) in kept[at:])]
    kept = [action for at, action in enumerate(kept) if at == 0 or not _says_again(action, kept[at - 1])]
    flown_by = [action for action in kept if isinstance(action, FlyBy)]
    return [action for action in kept if not isinstance(action, FlyBy) or action is flown_by[-1]]


def _says_again(action: Action, before: Action) -> bool:
    """Whether a turn without an amount only says which way the turn before it goes ("turn left 20, left"), or a look
    at what is just uncovered only says why."""
    if action == before and (isinstance(action, Altitude | Diagnose | Decide) or (
            isinstance(action, Turn) and action.heading_deg)):
        return True
    if isinstance(action, Look) and isinstance(before, Uncover):
        return action.at == before.what
    return isinstance(action, Turn) and isinstance(before, Turn) and action == Turn(before.direction)


def exclude_each_other(actions: Sequence[Action]) -> bool:
    """Whether a switch is put on and off, a flight continued and given up, or two altitudes or airspeeds flown in one
    breath."""
    plans = {action.plan for action in actions if isinstance(action, Decide)}
    if "continue" in plans and plans & {"divert", "return_to_ramp", "abort_takeoff"}:
        return True
    turns = [action for action in actions if isinstance(action, Turn)]
    if any({one.direction, other.direction} == {"left", "right"} for one, other in pairwise(turns)):
        return True
    covers = [action for action in actions if isinstance(action, Cover | Uncover)]
    if any(type(one) is not type(other) and one.what == other.what for one, other in pairwise(covers)):
        return True
    speeds = [action for action in actions if isinstance(action, Airspeed)]
    if any(one.to_kt != other.to_kt for one, other in pairwise(speeds)):
        return True
    switches = [action for action in actions if isinstance(action, Switch)]
    levels = [action for action in actions if isinstance(action, Altitude)]
    return any(one.what == other.what and one.to != other.to for one, other in pairwise(switches)) or any(
        _two_levels(one, other) for one, other in pairwise(levels))


def _two_levels(one: Altitude, other: Altitude) -> bool:
    if other.direction == "hold" and one.direction != "hold" and None not in (one.to_ft, other.to_ft):
        return one.to_ft != other.to_ft   # "climb to 6000 and hold at 4000"
    if one.direction == "hold":
        return one.to_ft is not None and other.to_ft not in (None, one.to_ft)   # "hold 5000 and climb to 7000"
    return "hold" != other.direction != one.direction
