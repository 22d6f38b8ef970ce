"""The grade sheet's items against what was done: do, never and keep, and in what order and time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from drill.grading.calls import missing, needs_words
from drill.grading.debrief import Finding, UnsafeAct, Verdict
from drill.grading.held import first_held, held, held_at
from drill.grading.situation import Situation
from drill.grading.timeline import Deed, clock, lasting
from drill.language.meaning import Cover, Decide, FlyBy, Squawk, Switch, Transmit
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import Condition
from drill.scenario.model import ActTree, Item, Within

ANSWERS = frozenset({"report", "diagnose", "cover", "fly by", "declare"})
"""Verbs that answer a failure: an item made of them asks for nothing in a flight in which nothing failed."""

LATE = 0.4               # what is left of an item that was done too late, out of order (the author's choices)
OUT_OF_ORDER = 0.5
BLINK_S = 3.0            # a `keep` that is off for no longer than this is kept
AUTHORS_TIME = "The time window is the scenario author's choice; no regulation gives seconds."


@dataclass(frozen=True, slots=True)
class Graded:
    """The sheet's findings, the unsafe acts among them, and when each item was done (s)."""

    findings: tuple[Finding, ...]
    unsafe: tuple[UnsafeAct, ...]
    done: Mapping[str, float | None]


def grade_sheet(situation: Situation) -> Graded:
    """Return what the scenario's own sheet finds."""
    findings: list[Finding] = []
    unsafe: list[UnsafeAct] = []
    done: dict[str, float | None] = {}
    skipped: set[str] = set()
    for item in _in_order(situation.scenario.grade_sheet):
        applies = _applies_from(item, situation, done)
        if applies is None or (item.after in skipped and item.when is None):
            skipped.add(item.name)
            findings.append(_not_needed(item, situation))
            continue
        if item.do is not None:
            finding = _do(item, item.do, situation, applies, done)
        elif item.never is not None:
            finding = _never(item, item.never, situation, applies)
        elif item.keep is not None:
            finding = _keep(item, item.keep, situation, applies)
        else:
            continue
        findings.append(finding)
        if finding.verdict == "broken" and item.unsafe and finding.at_s is not None:
            unsafe.append(UnsafeAct(act=item.name, at_s=finding.at_s, reason=finding.reason, source=item.source,
                                    part=item.part, panel=finding.panel))
    return Graded(tuple(findings), tuple(unsafe), done)


def leaves(tree: ActTree | None) -> Iterator[ActPattern]:
    """Yield the patterns of `tree`."""
    if tree is not None:
        if tree.pattern is not None:
            yield tree.pattern
        for part in tree.parts:
            yield from leaves(part)


def _in_order(items: tuple[Item, ...]) -> list[Item]:
    """Return the items with each behind the one that its `after` or `within` names; the author's order otherwise."""
    ordered: list[Item] = []
    waiting = list(items)
    while waiting:
        names = {item.name for item in waiting}
        ready = [item for item in waiting if not (_refers_to(item) & names - {item.name})] or waiting[:1]
        ordered.extend(ready)
        waiting = [item for item in waiting if item not in ready]
    return ordered


def _refers_to(item: Item) -> set[str]:
    of_item = {item.within.name} if item.within is not None and item.within.of == "item" and item.within.name else set()
    return of_item | ({item.after} if item.after else set())


def _applies_from(item: Item, situation: Situation, done: Mapping[str, float | None]) -> float | None:
    """Return from when (s) the item asks for something; None: never in this flight."""
    start = 0.0
    if item.when is not None:
        first = first_held(item.when, situation.line)
        if first is None:
            return None
        start = first
    within = item.within
    if within is not None:
        if within.of in ("failure", "evidence"):
            known = _references(within, situation)
            if not known:
                return None
            start = max(start, min(known))
        elif within.of == "item" and within.name is not None:
            reference = done.get(within.name)
            start = max(start, reference) if reference is not None else start
    if item.do is not None and any(pattern.verb in ANSWERS for pattern in leaves(item.do)):
        if situation.onsets:
            start = max(start, min(onset.t for onset in situation.onsets))
        elif item.when is None:
            return None
    return start


def _not_needed(item: Item, situation: Situation) -> Finding:
    why = "Nothing failed in this flight." if not situation.onsets else "This did not come up in this flight."
    return situation.finding(item.name, item.part, "not needed", None, why, item.source, weight=item.weight)


def _do(item: Item, tree: ActTree, situation: Situation, applies: float, done: dict[str, float | None]) -> Finding:
    since = min([applies, *(onset.t for onset in situation.onsets)]) if item.within is not None else applies
    at = _done_at(tree, situation, since)
    done[item.name] = at
    example = item.example or ""
    if at is None:
        return _undone(item, situation, applies, example)
    verdict: Verdict = "done"
    score = 1.0
    said = [f"Done at {clock(at)}."]
    limit = _deadline(item, situation, applies, done)
    if limit is not None and at > limit[0]:
        verdict, score = "late", LATE
        said = [f"Done at {clock(at)}, {lasting(at - limit[0])} {limit[1]}."]
    if item.after is not None and item.after in done:
        first = done[item.after]
        if first is None or first > at:
            verdict = "out of order" if verdict == "done" else verdict
            score *= OUT_OF_ORDER
            said.append(f"It was to come after “{item.after}”, which was "
                        + ("never done." if first is None else f"done only at {clock(first)}."))
    if item.needs:
        lacking = missing(situation, item.needs)
        if lacking:
            verdict = "incomplete" if verdict == "done" else verdict
            score *= 1.0 - len(lacking) / (len(item.needs) + 1)
            said.append(f"ATC was never told {needs_words(lacking)}.")
    return situation.finding(item.name, item.part, verdict, at, " ".join([*said, item.why]), item.source,
                             weight=item.weight, better="" if score == 1.0 else example, score=score)


def _undone(item: Item, situation: Situation, applies: float, example: str) -> Finding:
    limit = _deadline(item, situation, applies, {})
    if situation.line.ended is None and (limit is None or limit[0] > situation.line.flown_s):
        return situation.finding(item.name, item.part, "not needed", None,
                                 "Not done before the record ended; there was still time for it.", item.source,
                                 weight=item.weight, better=example)
    return situation.finding(item.name, item.part, "missed", None, f"It was never done. {item.why}", item.source,
                             weight=item.weight, better=example, score=0.0)


def _deadline(
    item: Item, situation: Situation, applies: float, done: Mapping[str, float | None],
) -> tuple[float, str] | None:
    """Return the last moment (s) for the item, and in words what it lies behind; None: there is none."""
    limits: list[tuple[float, str]] = []
    if item.within is not None:
        reference = {"start": 0.0, "item": done.get(item.within.name or "")}.get(item.within.of, applies)
        if item.within.of in ("failure", "evidence"):
            reference = min(_references(item.within, situation), default=None)
        if reference is not None:
            limits.append((reference + item.within.seconds,
                           f"after the {lasting(item.within.seconds)} that the sheet gives. {AUTHORS_TIME[:-1]}"))
    if item.before is not None:
        too_late = first_held(item.before, situation.line, applies)
        if too_late is not None:
            limits.append((too_late, "after it was too late for it"))
    return min(limits, default=None)


def _references(within: Within, situation: Situation) -> list[float]:
    """Return when (s) the failures that the window counts from began, or could have been known."""
    times = [onset.t if within.of == "failure" else situation.evident_s(onset)
             for onset in situation.onsets if within.name in (None, onset.failure)]
    return [t for t in times if t is not None]


def _done_at(tree: ActTree, situation: Situation, since: float) -> float | None:
    """Return when (s) the acts of `tree` were done, from `since` on, or before where they still held then."""
    if tree.how == "one":
        return None if tree.pattern is None else _pattern_at(tree.pattern, situation, since)
    times = [_done_at(part, situation, since) for part in tree.parts]
    known = [t for t in times if t is not None]
    if tree.how == "any":
        return min(known, default=None)
    return max(known) if known and len(known) == len(times) else None


def _pattern_at(pattern: ActPattern, situation: Situation, since: float) -> float | None:
    matching = [deed for deed in situation.line.deeds if deed.heard and pattern.matches(deed.action, deed.told)]
    earlier = [deed for deed in matching if deed.t < since and _still_holds(deed, situation, since)]
    later = [deed.t for deed in matching if deed.t >= since]
    return earlier[-1].t if earlier else min(later, default=None)


def _still_holds(deed: Deed, situation: Situation, t: float) -> bool:
    """Say whether what the deed brought about was still so at `t`. A look is over when it is done; a cover lasts."""
    trace = situation.line.at(t)
    match deed.action:
        case Cover(what=what):
            return trace is not None and what in trace.covered
        case FlyBy(what=what):
            return trace is not None and (trace.reference == what or what in trace.reference.split("+"))
        case Transmit() | Decide() | Switch() | Squawk():
            return True
    return False


def _never(item: Item, tree: ActTree, situation: Situation, applies: float) -> Finding:
    broken = [deed for deed in situation.line.deeds
              if deed.t >= applies and deed.heard
              and any(pattern.matches(deed.action, deed.told) for pattern in leaves(tree))
              and (item.when is None or held_at(item.when, situation.line, deed.t))]
    if broken:
        at = broken[0].t
        return situation.finding(item.name, item.part, "broken", at, f"It was done at {clock(at)}. {item.why}",
                                 item.source, weight=item.weight, better=item.example or "", score=0.0)
    return situation.finding(item.name, item.part, "kept", None, f"It was not done. {item.why}", item.source,
                             weight=item.weight, score=1.0)


def _keep(item: Item, keep: Condition, situation: Situation, applies: float) -> Finding:
    off = total = 0.0
    worst: float | None = None
    limit = _deadline(item, situation, applies, {})
    for trace, truth in held(keep, situation.line, applies):
        if limit is not None and trace.t > limit[0]:
            break
        off = 0.0 if truth else off + 1.0
        if off > BLINK_S:
            worst = trace.t - BLINK_S if worst is None else worst
            total += 1.0 if off > BLINK_S + 1.0 else BLINK_S + 1.0
    if worst is None:
        return situation.finding(item.name, item.part, "kept", None, f"Kept all the time. {item.why}", item.source,
                                 weight=item.weight, score=1.0)
    return situation.finding(
        item.name, item.part, "broken", worst, f"Not kept from {clock(worst)}, for {lasting(total)} in all. {item.why}",
        item.source, weight=item.weight, better=item.example or "", score=0.5 if total < 10.0 else 0.0)
