"""The evidence clock: when what was shown could have told an attentive pilot that something was wrong, and what.

It reads the panel and never the truth; only what is asked of it depends on the failed part. The sequential test of
`drill.evidence` answers with the direct signs: flags, lights, gauges, what a look saw, what ATC asked. Without the
statistics of the airplane's healthy flight the direct signs answer alone, with plain disagreements among them, whose
limits are the author's, on the safe side of the hands' wander. It is a lower bound on what a careful cross-check could
have known, not what anybody ought to have seen.
"""

from __future__ import annotations

import math
import re
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from drill.flight.events import Trace
from drill.grading.affected import looked_at, right_names
from drill.grading.cross_check import CrossCheck, Seen
from drill.grading.signs import COMPARISONS, HEADINGS, SIGNS_OF, SUCTION, Sign, implied_bank_deg
from drill.grading.timeline import Onset, Timeline
from drill.language.meaning import Transmit

__all__ = ["NO_STATISTICS", "PARTS", "Clocks", "Evidence", "Sign", "clocks", "evidence", "implied_bank_deg", "prompts",
           "signs_of", "still_shown", "unreliable_s"]

NO_STATISTICS = ("Nobody has measured how this airplane's instruments agree when nothing is wrong: what could have "
                 "been known goes by lights, flags, gauges and plain disagreements alone, and may have come sooner.")
LOOKED_S = 2.0           # a look takes in so many seconds of readings
LOOKS_TOGETHER_S = 15.0  # looks so near each other are one comparison (the author's choice)
ANSWER_S = 15.0          # a call that nobody has answered by then is not going to be (the author's choice)
SUCTION_BACK_INHG = -0.5   # as `_suction` has it: in the green again


@dataclass(frozen=True, slots=True)
class Evidence:
    """When and by what a failure showed itself."""

    t: float
    words: str


@dataclass(frozen=True, slots=True)
class Clocks:
    """What a careful cross-check could have known of one failure: when, and by what. None: never while it lasted.

    `alarm`: that something was wrong; `instrument`: which instrument not to believe, or the part itself; `system`: what
    had failed, by its whole name. `found` is the first of all signs, looks among them.
    """

    found: Evidence | None
    alarm: Evidence | None = None
    instrument: Evidence | None = None
    system: Evidence | None = None


_ASKED = (
    (re.compile(r"\bverify (?:your )?heading\b", re.IGNORECASE), "heading", "asked to verify the heading"),
    (re.compile(r"\bverify (?:your )?altitude\b", re.IGNORECASE), "altitude", "asked to verify the altitude"),
    (re.compile(r"\b(?:shows you|you appear to be) (?:in a (?:left|right|steep) turn|wandering off)", re.IGNORECASE),
     "heading", "said that radar showed a turn"),
)
_ASKED_OF = {
    "heading": frozenset({"heading_indicator", "magnetic_compass", "attitude_indicator", "vacuum_system",
                          "turn_coordinator", "standby_instrument"}),
    "altitude": frozenset({"altimeter", "static_system"}),
}
PARTS = frozenset(SIGNS_OF)
"""Parts whose failures this clock knows the signs of."""


def signs_of(part: str) -> tuple[Sign, ...]:
    """Return the signs that a failure of `part` can give; none for a part that is not of `PARTS`."""
    return SIGNS_OF.get(part, ())


def evidence(line: Timeline, onset: Onset, check: CrossCheck | None = None) -> Evidence | None:
    """Return when and by what this occurrence of the failure showed itself first; None: never while it lasted.

    `check` is what a tireless cross-check knew in this record; without one the direct signs answer alone.
    """
    return clocks(line, onset, check).found


def clocks(line: Timeline, onset: Onset, check: CrossCheck | None = None) -> Clocks:
    """Return what could have been known of this occurrence of the failure, and when."""
    traces = _lasting(line, onset, onset.t)
    found = [sign for each in signs_of(onset.part)
             if (sign := _first(line, each, traces, looks_only=check is not None and each in COMPARISONS)) is not None]
    found += _heard(line, onset)
    if check is None:
        return Clocks(_sooner(*found))
    alarm, instrument, system = (_evidence(seen) for seen in (
        check.alarm(onset), check.instrument(onset), check.system(onset)))
    return Clocks(_sooner(alarm, *found), alarm, instrument, system)


def _sooner(*found: Evidence | None) -> Evidence | None:
    return min((each for each in found if each is not None), key=lambda each: each.t, default=None)


def _evidence(seen: Seen | None) -> Evidence | None:
    return None if seen is None else Evidence(seen.t, seen.words)


def _heard(line: Timeline, onset: Onset) -> Iterator[Evidence]:
    """Yield what ATC's questions said of the failure, and its silence."""
    yield from prompts(line, onset)
    if onset.part == "transmitter":
        for deed in line.deeds:
            if isinstance(deed.action, Transmit) and not deed.heard and onset.t <= deed.began:
                t = min(deed.t + ANSWER_S, math.nextafter(onset.end_s, 0.0), line.flown_s)
                yield Evidence(t, "a call was not answered")


def prompts(line: Timeline, onset: Onset) -> Iterator[Evidence]:
    """Yield what ATC said of what this failure did, while it lasted: somebody else had seen it."""
    named = frozenset().union(*right_names(onset))
    for event in line.heard:
        if event.to_us and onset.t < event.t < onset.end_s:
            said = next((words for pattern, what, words in _ASKED
                         if pattern.search(event.words) and named & _ASKED_OF[what]), None)
            if said is not None:
                yield Evidence(event.t, f"ATC {said}")


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


def _first(line: Timeline, sign: Sign, traces: Iterable[Trace], looks_only: bool = False) -> Evidence | None:
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
        if not looks_only and _shows(sustained, sign, trace.t, sign.for_s, sign.limit):
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
