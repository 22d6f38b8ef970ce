"""What no longer holds: a decision that a later one has withdrawn, a switch that was put back. The last one counts."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from drill.grading.subjects import patterns
from drill.grading.timeline import QUIET, Deed, Timeline
from drill.language.meaning import Cover, Decide, FlyBy, Squawk, Switch, Transmit
from drill.scenario.acts import ActPattern
from drill.scenario.model import ActTree
from drill.scenario.names import same_place

MISTAKE_S = 10.0         # what is set back so soon was never meant (the author's choice)
_OTHER_WAY = {"on": "off", "off": "on"}
_PLACED = frozenset({"divert", "continue", "land", "hold"})
_PLANS = _PLACED | {"return to ramp", "abort takeoff", "stop taxi"}
_UNDONE_BY = {  # verbs of decisions without a place, by the later decision that withdraws them
    "divert": frozenset({"continue", "land", "return to ramp"}),
    "return_to_ramp": frozenset({"continue", "divert", "land"}),
    "continue": frozenset({"return to ramp", "abort takeoff", "stop taxi"}),
}


def of_plan(pattern: ActPattern) -> bool:
    """Say whether `pattern` is a decision where to, or a request that stands for one beside it."""
    return pattern.verb in _PLANS or pattern.verb == "ask for"


def withdrawal(tree: ActTree, line: Timeline) -> Deed | None:
    """Return the last decision that withdraws what `tree` decides; None: nothing does.

    A place is withdrawn by another place; `land`, `hold` or `continue` without one goes on with what was decided.
    """
    decides = [pattern for pattern in patterns(tree) if pattern.verb in _PLANS]
    places = {pattern.object for pattern in decides if pattern.object}
    verbs = {pattern.verb for pattern in decides}
    found: Deed | None = None
    chosen: set[str] = set()               # where the last of the decisions that `tree` asks for led to
    for deed in line.deeds:
        if not decides or not isinstance(deed.action, Decide):
            continue
        if any(pattern.matches(deed.action, deed.told) for pattern in decides):
            chosen = {deed.action.where} if deed.action.where else chosen
        elif _contradicts(deed.action, places or chosen, verbs):
            found = deed
    return found


def _contradicts(later: Decide, places: Collection[str], verbs: Collection[str]) -> bool:
    if later.plan in _PLACED and later.where and places:
        return not any(same_place(later.where, place) for place in places)
    return bool(_UNDONE_BY.get(later.plan, frozenset()) & set(verbs)) and not (later.plan == "divert" and places)


def does_anew(pattern: ActPattern, deed: Deed) -> bool:
    """Say whether `deed` by itself does what `pattern` asks, whatever ATC had been told before."""
    if not isinstance(deed.action, Transmit):
        return pattern.matches(deed.action, deed.told)
    return pattern.matches(deed.action, QUIET.with_call(deed.action.meaning))


def still_holds(deed: Deed, line: Timeline, t: float) -> bool:
    """Say whether what the deed brought about was still so at `t` (s). A look is over when it is done, a cover lasts.

    Of decisions see `withdrawal`.
    """
    trace = line.at(t)
    match deed.action:
        case Cover(what=what):
            return trace is not None and what in trace.covered
        case FlyBy(what=what):
            return trace is not None and (trace.reference == what or what in trace.reference.split("+"))
        case Switch(what=what, to=to):
            on = None if trace is None else trace.controls.get(what)
            moved = [each for each in line.deeds if isinstance(each.action, Switch) and each.action.what == what]
            return _last(moved, t) is deed and (on is None or (on > 0.5) == (to == "on"))
        case Squawk():
            return _last([each for each in line.deeds if isinstance(each.action, Squawk)], t) is deed
        case Transmit() | Decide():
            return True
    return False


def opposite(pattern: ActPattern) -> ActPattern | None:
    """Return the pattern that moves the same switch the other way; None for what is no switch set on or off."""
    what, _, to = pattern.object.rpartition(" ")
    if pattern.verb != "switch" or not what or to not in _OTHER_WAY:
        return None
    return ActPattern("switch", f"{what} {_OTHER_WAY[to]}")


def put_back_at_once(deed: Deed, line: Timeline) -> bool:
    """Say whether a switch was moved by mistake: set back within seconds of having been moved."""
    if not isinstance(deed.action, Switch):
        return False
    return any(isinstance(later.action, Switch) and later.action.what == deed.action.what
               and later.action.to != deed.action.to and later.t > deed.t and later.began - deed.t <= MISTAKE_S
               for later in line.deeds)


def _last(deeds: Sequence[Deed], t: float) -> Deed | None:
    return next((deed for deed in reversed(deeds) if deed.t <= t), None)
