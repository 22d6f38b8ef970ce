"""What was done well, said as it was: which act, when, how soon, and how near to its limit a value came."""

from __future__ import annotations

from collections.abc import Iterator

from drill.flight.readings import clock_words as clock
from drill.grading.deed_words import deed_words
from drill.grading.situation import Situation
from drill.grading.subjects import patterns
from drill.grading.timeline import Deed, Timeline, lasting, number
from drill.grading.withdrawn import opposite, put_back_at_once
from drill.scenario.conditions import All, Compare, Condition
from drill.scenario.model import ActTree
from drill.scenario.quantities import QUANTITIES

_UNITS = {each.name: each.unit for each in QUANTITIES}
_FINE = frozenset({"inHg", "V", "A", "dps", "g", "share", "nm"})    # a tenth of it matters


def done_words(tree: ActTree, situation: Situation, at: float, limit: float | None) -> str:
    """Return what was done of `tree` by `at` (s), and how long before the sheet's limit (s); "" if it has no words.

    `at` itself is not told: it stands beside the finding.
    """
    deeds = list(_did(tree, situation.line, at))
    told = list(dict.fromkeys(words for deed in deeds if (words := deed_words(deed.action))))
    if not told:
        return ""
    first, last = min(deed.t for deed in deeds), max(deed.t for deed in deeds)
    whose = "The pilot" if last - first < 1.0 or len(told) == 1 else f"From {clock(first)} to {clock(last)} the pilot"
    spare = "" if limit is None or limit <= at else f", {lasting(limit - at)} before it was late"
    return f"{whose} {', then '.join(told)}{spare}."


def _did(tree: ActTree, line: Timeline, at: float) -> Iterator[Deed]:
    """Yield the deeds that make up what was done at `at`, in the order of time."""
    wanted = list(patterns(tree))
    meant = {pattern for pattern in wanted if opposite(pattern) in wanted}    # set both ways: not put back by mistake
    done = [deed for deed in line.deeds if deed.heard and deed.t <= at + 1e-6
            and (not put_back_at_once(deed, line) or any(pattern.matches(deed.action, deed.told) for pattern in meant))
            and any(pattern.matches(deed.action, deed.told) for pattern in wanted)]
    if tree.how != "all":
        done = [deed for deed in done if abs(deed.t - at) <= 1e-6]
    latest = {pattern.key: deed for deed in done for pattern in wanted if pattern.matches(deed.action, deed.told)}
    return (deed for deed in done if any(deed is each for each in latest.values()))


def kept_words(keep: Condition, line: Timeline, start: float) -> str:
    """Return how near the values of `keep` came to their limits from `start` (s) on; "" if it compares none."""
    said = []
    for compare in _compared(keep):
        traces = [trace for trace in line.between(start) if compare.key in trace.values]
        if traces:
            highest = compare.op.startswith("<")
            value, t = (max if highest else min)((number(trace.values, compare.key), trace.t) for trace in traces)
            said.append(f"the {'most' if highest else 'least'} {compare.key} was {_said(value, compare.key)} at "
                        f"{clock(t)}, the limit {_said(compare.value, compare.key)}")
    words = "; ".join(said)
    return f"{words[0].upper()}{words[1:]}." if words else ""


def _compared(condition: Condition) -> Iterator[Compare]:
    match condition:
        case Compare():
            yield condition
        case All(parts):
            for part in parts:
                yield from _compared(part)


def _said(value: float, key: str) -> str:
    unit = _UNITS.get(key, "")
    return f"{value:,.0f} {unit}".rstrip() if unit not in _FINE else f"{value:.1f} {unit}"
