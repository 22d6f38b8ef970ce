"""The evidence clock: when what was shown could have told an attentive pilot that something was wrong.

It reads the panel and never the truth; only which signs it asks for depends on the failed part. It is a lower bound on
what a careful cross-check could have known, not what anybody ought to have seen. The lengths of a look and of a
disagreement are the author's choices, made on the safe side of the hands' wander; a finer clock can replace
`evidence` as it stands.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from drill.flight.events import Trace
from drill.grading.affected import looked_at
from drill.grading.signs import HEADINGS, SIGNS_OF, SUCTION, Sign, implied_bank_deg
from drill.grading.timeline import Onset, Timeline

__all__ = ["PARTS", "Evidence", "Sign", "evidence", "implied_bank_deg", "signs_of", "still_shown", "unreliable_s"]

LOOKED_S = 2.0           # a look takes in so many seconds of readings
LOOKS_TOGETHER_S = 15.0  # looks so near each other are one comparison (the author's choice)
SUCTION_BACK_INHG = -0.5   # as `_suction` has it: in the green again


@dataclass(frozen=True, slots=True)
class Evidence:
    """When and by what a failure showed itself."""

    t: float
    words: str


PARTS = frozenset(SIGNS_OF)
"""Parts whose failures this clock knows the signs of."""


def signs_of(part: str) -> tuple[Sign, ...]:
    """Return the signs that a failure of `part` can give; none for a part that is not of `PARTS`."""
    return SIGNS_OF.get(part, ())


def evidence(line: Timeline, onset: Onset) -> Evidence | None:
    """Return when and by what this occurrence of the failure showed itself first; None: never while it lasted."""
    traces = _lasting(line, onset, onset.t)
    found = [sign for each in signs_of(onset.part) if (sign := _first(line, each, traces)) is not None]
    return min(found, key=lambda sign: sign.t, default=None)


def unreliable_s(line: Timeline, onset: Onset, instrument: str, evident_s: float) -> float | None:
    """Return when (s) a careful cross-check could have known that `instrument` itself was not to be flown by.

    The heading indicator outlives the pump by minutes: it is bad once it has left the compass, or is covered. For any
    other instrument that is when the failure showed itself.
    """
    if instrument != "heading_indicator" or onset.part == "heading indicator":
        return evident_s
    traces = _lasting(line, onset, evident_s)
    apart = _first(line, HEADINGS, traces)
    covered = next((trace.t for trace in traces if instrument in trace.covered), None)
    return min((t for t in (covered, None if apart is None else apart.t) if t is not None), default=None)


def still_shown(line: Timeline, onset: Onset, start: float) -> Iterator[tuple[Trace, bool]]:
    """Yield the traces from `start` (s), with whether the failure still counts: suction that is back is no longer out.

    A gauge that never fell (a clog behind its tap) says nothing about the gyros either way.
    """
    by_gauge = SUCTION in signs_of(onset.part)
    fell = False
    for trace in line.between(onset.t):
        apart = SUCTION.apart(trace) if by_gauge else None
        fell = fell or (apart is not None and apart > 0.0)
        if trace.t >= start:
            yield trace, trace.t < onset.end_s and (apart is None or not fell or apart > SUCTION_BACK_INHG)


def _lasting(line: Timeline, onset: Onset, start: float) -> list[Trace]:
    """Return the traces from `start` (s) on, as long as the failure lasted."""
    return [trace for trace in line.between(start, onset.end_s) if trace.t < onset.end_s]


def _first(line: Timeline, sign: Sign, traces: Iterable[Trace]) -> Evidence | None:
    looks = [(deed.t, seen) for deed in line.deeds if (seen := looked_at(deed.action) & sign.read_on)]
    look_limit = sign.limit if sign.look_limit is None else sign.look_limit
    sustained: list[tuple[float, float]] = []
    past: deque[Trace] = deque()
    for trace in traces:
        apart = None if sign.read_on & set(trace.covered) else sign.apart(trace)
        if sign.since is not None:
            past.append(trace)
            while len(past) > 1 and trace.t - past[1].t >= sign.since[0]:
                past.popleft()
            old_enough = trace.t - past[0].t >= sign.since[0] and not sign.read_on & set(trace.covered)
            apart = sign.since[1](trace, past[0]) if old_enough else None
        if apart is None:
            continue
        sustained.append((trace.t, apart))
        if _shows(sustained, sign, trace.t, sign.for_s, sign.limit):
            return Evidence(trace.t, sign.words)
        look = _looked(looks, sign.read_on, trace.t)
        if look is not None and _shows(sustained, sign, trace.t, LOOKED_S, look_limit):
            # The look was over before the second was: what is done at once upon it comes after the evidence.
            return Evidence(look, f"{sign.words}, and was looked at")
    return None


def _looked(looks: Sequence[tuple[float, frozenset[str]]], wanted: frozenset[str], t: float) -> float | None:
    """Return when, within the second up to `t`, a look ended that with those shortly before it saw all of `wanted`."""
    last = max((look for look, _ in looks if t - 1.0 < look <= t), default=None)
    if last is None:
        return None
    seen = frozenset().union(*(each for look, each in looks if last - LOOKS_TOGETHER_S <= look <= last))
    return last if wanted <= seen else None


def _shows(readings: list[tuple[float, float]], sign: Sign, t: float, for_s: float, limit: float) -> bool:
    wanted = int(for_s) + 1
    if len(readings) < wanted:
        return False
    window = readings[-wanted:]
    # Readings that cannot be told (a turn, a cover) may lie between; too many of them and the older ones are stale.
    if t - window[0][0] > 3.0 * for_s:
        return False
    if sign.wanders:
        return abs(sum(apart for _, apart in window)) / wanted > limit
    return all(apart > limit for _, apart in window)
