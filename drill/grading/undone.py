"""What was done and then undone while it was still needed: a bad instrument uncovered or flown by again, a judgment."""

from __future__ import annotations

from collections.abc import Callable

from drill.flight.events import Trace
from drill.grading.affected import CONTROL_BY, flown_by, leaves, rightly_names, spoiled
from drill.grading.evidence import still_shown, unreliable_s
from drill.grading.situation import Situation
from drill.grading.subjects import patterns
from drill.grading.timeline import Deed, Onset
from drill.language.meaning import Diagnose, FlyBy
from drill.scenario.acts import ActPattern
from drill.scenario.model import ActTree

LASTING = frozenset({"cover", "fly by"})
BLINK_S = 3.0            # as a `keep`: what is undone for no longer than this is not

DoneAt = Callable[[ActPattern], float | None]


def undone(tree: ActTree, situation: Situation, at: float, done_at: DoneAt) -> tuple[float, float | None] | None:
    """Return when (s) what `tree` asks for, done at `at`, was undone, and when it stood again (None: it did not).

    None: it was not undone, or no longer needed by then. `done_at` says when a pattern was done (s).
    """
    if not any(pattern.verb in LASTING for pattern in patterns(tree)):
        return None
    bad = _bad(situation, at)
    since: float | None = None
    lapsed = False
    for trace in situation.line.between(at):
        if _stands(tree, trace, bad.get(trace.t, frozenset()), done_at):
            if lapsed and since is not None:
                return since, trace.t
            since = None
            continue
        since = trace.t if since is None else since
        lapsed = trace.t - since >= BLINK_S
    return (since, None) if lapsed and since is not None else None


def taken_back(tree: ActTree, situation: Situation, at: float) -> Deed | None:
    """Return the act by which a judgment of `at` (s) was last taken back while what it named still failed: all called
    well, or the instrument trusted again. None: it was not, or was passed anew afterwards.
    """
    judged = [pattern for pattern in patterns(tree) if pattern.verb == "diagnose"]
    found: Deed | None = None
    for deed in situation.line.deeds:
        if not judged or deed.t <= at:
            continue
        if any(pattern.matches(deed.action, deed.told) for pattern in judged):
            found = None
        elif any(_takes_back(deed, onset) for onset in situation.onsets if onset.t <= deed.t < onset.end_s
                 and any(rightly_names(onset, frozenset({pattern.object})) for pattern in judged)):
            found = deed
    return found


def _takes_back(deed: Deed, onset: Onset) -> bool:
    match deed.action:
        case Diagnose(failed=()):
            return True
        case FlyBy(what=what):
            return what in spoiled(onset) & CONTROL_BY
    return False


def _bad(situation: Situation, start: float) -> dict[float, frozenset[str]]:
    """Return by second, from `start` (s) on, the instruments that could be known not to be believed."""
    found: dict[float, frozenset[str]] = {}
    for onset in situation.onsets:
        evident = situation.evident_s(onset)
        if evident is None:
            continue
        known = {each: unreliable_s(situation.line, onset, each, evident) for each in spoiled(onset)}
        for trace, counts in still_shown(situation.line, onset, start):
            if counts:
                now = frozenset(each for each, t in known.items() if t is not None and t <= trace.t)
                found[trace.t] = found.get(trace.t, frozenset()) | now
    return found


def _stands(tree: ActTree, trace: Trace, bad: frozenset[str], done_at: DoneAt) -> bool:
    if tree.how == "one":
        return tree.pattern is None or _pattern_stands(tree.pattern, trace, bad, done_at)
    each = [_stands(part, trace, bad, done_at) for part in tree.parts]
    return any(each) if tree.how == "any" else all(each)


def _pattern_stands(pattern: ActPattern, trace: Trace, bad: frozenset[str], done_at: DoneAt) -> bool:
    match pattern.verb:
        case "cover":
            return pattern.object not in bad or pattern.object in trace.covered
        case "fly by":
            return not any(leaves(pattern.object, frozenset({each})) for each in flown_by(trace) & bad)
        case _:
            done = done_at(pattern)
            return done is not None and done <= trace.t
