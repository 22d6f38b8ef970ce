"""The grade sheet's items against what was done: do, never and keep, and in what order and time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.grading.calls import misnamed, misnamed_words, missing, needs_words
from drill.grading.debrief import Finding, UnsafeAct, Verdict
from drill.grading.deed_words import deed_words
from drill.grading.held import first_held, held, held_at, plan_at
from drill.grading.situation import Situation
from drill.grading.strong import done_words, kept_words
from drill.grading.subjects import about, failures_named, patterns
from drill.grading.timeline import Deed, Timeline, lasting
from drill.grading.undone import BLINK_S, taken_back, undone
from drill.grading.unsafe import CANCELS
from drill.grading.unsafe import taken_back as clearance_kept
from drill.grading.withdrawn import does_anew, of_plan, opposite, put_back_at_once, still_holds, withdrawal
from drill.scenario.acts import ANSWERS, ActPattern
from drill.scenario.conditions import Condition
from drill.scenario.model import ActTree, Item, Within

LATE = 0.4               # what is left of an item that was done too late, out of order (the author's choices)
OUT_OF_ORDER = 0.5
UNDONE = 0.5             # undone and done again
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
    for item in in_order(situation.scenario.grade_sheet):
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
        if finding.verdict == "broken" and item.do is None and item.unsafe and finding.at_s is not None:
            unsafe.append(UnsafeAct(act=item.name, at_s=finding.at_s, reason=finding.reason, source=item.source,
                                    part=item.part, panel=finding.panel, readings=finding.readings,
                                    about=finding.about))
    return Graded(tuple(findings), tuple(unsafe), done)


def in_order(items: tuple[Item, ...]) -> list[Item]:
    """Return a sheet's items, each behind the one that its `after` or `within` names; the author's order otherwise."""
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
    if item.do is not None and any(pattern.verb in ANSWERS for pattern in patterns(item.do)):
        if situation.onsets:
            start = max(start, min(onset.t for onset in situation.onsets))
        elif item.when is None:
            return None
    if item.do is not None and item.part == "recognize" and situation.onsets:
        start = max(start, min(onset.t for onset in situation.onsets))    # a look before it shows nothing of it
    return start


def _not_needed(item: Item, situation: Situation) -> Finding:
    if not situation.onsets:
        why = f"{situation.nothing_failed}."
    elif situation.line.ended is None:
        why = "This had not come up by then."
    else:
        why = "This did not come up in this flight."
    return situation.finding(item.name, item.part, "not needed", None, why, item.source, weight=item.weight)


def _do(item: Item, tree: ActTree, situation: Situation, applies: float, done: dict[str, float | None]) -> Finding:
    since = min([applies, *(onset.t for onset in situation.onsets)]) if item.within is not None else applies
    back = withdrawal(tree, situation.line)
    at = done_at(tree, situation.line, since, anew_from=None if back is None else back.t)
    example = item.example or ""
    if at is None and back is not None:
        done[item.name] = before = done_at(tree, situation.line, since)
        return (_undone(item, situation, applies, example) if before is None
                else _withdrawn(item, situation, before, back, example))
    wrong = misnamed(situation, since) if at is None and _reports(tree) else None
    at = wrong.t if wrong is not None else at
    done[item.name] = at
    if at is None:
        return _undone(item, situation, applies, example)
    verdict: Verdict = "done" if wrong is None else "incomplete"
    score = 1.0
    said: list[str] = [] if wrong is None else [misnamed_words(situation, wrong)]
    limit = _deadline(item, situation, applies, done)
    if limit is not None and at > limit[0]:
        verdict, score = "late", LATE
        said.append(f"Done {lasting(at - limit[0])} {limit[1]}.")
    if item.after is not None and item.after in done:
        first = done[item.after]
        if first is None or first > at:
            verdict = "out of order" if verdict == "done" else verdict
            score *= OUT_OF_ORDER
            said.append(f"It was to come after “{item.after}”, which was "
                        + ("never done." if first is None else f"done only at {clock(first)}."))
    needs = item.needs or (("equipment",) if wrong is not None else ())
    lacking = missing(situation, needs)
    if lacking:
        verdict = "incomplete" if verdict == "done" else verdict
        score *= 1.0 - len(lacking) / (len(needs) + 1)
        others = [need for need in lacking if need != "equipment" or wrong is None]
        said += [f"ATC was never told {needs_words(others)}."] if others else []
    back_at = undone(tree, situation, at, lambda pattern: _pattern_at(pattern, situation.line, since, None))
    if back_at is not None:
        verdict, score, at = "broken", UNDONE * score if back_at[1] is not None else 0.0, back_at[0]
        said.insert(0, f"It was done, then undone at {clock(at)}"
                    + (f", and done again at {clock(back_at[1])}." if back_at[1] is not None else "."))
    if verdict == "done":
        did = done_words(tree, situation, at, None if limit is None else limit[0])
        said = [did] if did else []
        said += _taken_back_words(tree, situation, at)
    return situation.finding(item.name, item.part, verdict, at, " ".join([*said, item.why]), item.source,
                             weight=item.weight, better="" if score == 1.0 else example, score=score, about=about(item))


def _taken_back_words(tree: ActTree, situation: Situation, at: float) -> list[str]:
    back = taken_back(tree, situation, at)
    if back is None:
        return []
    return [f"At {clock(back.t)} that judgment was taken back: the pilot {deed_words(back.action)}, and it had been "
            "right."]


def _reports(tree: ActTree) -> bool:
    """Say whether `tree` asks for a report and for nothing else."""
    return all(pattern.verb == "report" for pattern in patterns(tree))


def _soon_over(item: Item, situation: Situation) -> bool:
    """Say whether `item` answers failures that were all over before anybody was to act on them."""
    if item.do is None or not any(pattern.verb in ANSWERS for pattern in patterns(item.do)):
        return False
    named = set(failures_named(item.when)) if item.when is not None else set()
    if item.within is not None and item.within.of in ("failure", "evidence") and item.within.name is not None:
        named.add(item.within.name)
    answered = [onset for onset in situation.onsets if not named or onset.failure in named]
    return bool(answered) and all(situation.soon_over(onset) for onset in answered)


def _undone(item: Item, situation: Situation, applies: float, example: str) -> Finding:
    if _soon_over(item, situation):
        return situation.finding(item.name, item.part, "not needed", None,
                                 "The failure was over before anybody had to act on it.", item.source,
                                 weight=item.weight)
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


def done_at(tree: ActTree, line: Timeline, since: float = 0.0, anew_from: float | None = None) -> float | None:
    """Return when (s) the acts of `tree` were done, from `since` on, or before where they still held then.

    `anew_from`: an earlier plan was withdrawn then (s), and only what was decided or asked for since counts of it.
    """
    if tree.how == "one":
        return None if tree.pattern is None else _pattern_at(tree.pattern, line, since, anew_from)
    if tree.how == "all":
        return _all_at(tree, line, since, anew_from)
    times = [done_at(part, line, since, anew_from) for part in tree.parts]
    return min((t for t in times if t is not None), default=None)


def _all_at(tree: ActTree, line: Timeline, since: float, anew_from: float | None) -> float | None:
    """Return when (s) the last of all the acts was done; one switch set one way and the other is set so in that order.
    """
    done: list[float] = []
    of_pattern: dict[ActPattern, float] = {}
    ways = set(patterns(tree))
    for part in tree.parts:
        other = None if part.pattern is None else opposite(part.pattern)
        if part.pattern is None or other not in ways:
            at = done_at(part, line, since, anew_from)
        else:
            at = _moved_at(part.pattern, line, of_pattern.get(other, since))
        if at is None:
            return None
        done.append(at)
        if part.pattern is not None:
            of_pattern[part.pattern] = at
    return max(done, default=None)


def _moved_at(pattern: ActPattern, line: Timeline, since: float) -> float | None:
    """Return when (s) the switch was set so from `since` on, however soon it was set back."""
    return next((deed.t for deed in line.deeds if deed.heard and deed.t >= since
                 and pattern.matches(deed.action, deed.told)), None)


def _pattern_at(pattern: ActPattern, line: Timeline, since: float, anew_from: float | None) -> float | None:
    anew = anew_from if of_plan(pattern) else None
    matching = [deed for deed in line.deeds if deed.heard and not put_back_at_once(deed, line)
                and (pattern.matches(deed.action, deed.told) if anew is None
                     else deed.t > anew and does_anew(pattern, deed))]
    earlier = [deed for deed in matching if deed.t < since and still_holds(deed, line, since)]
    later = [deed.t for deed in matching if deed.t >= since]
    return earlier[-1].t if earlier else min(later, default=None)


def _withdrawn(item: Item, situation: Situation, at: float, by: Deed, example: str) -> Finding:
    plan = plan_at(situation.line, by.t).replace("_", " ")
    return situation.finding(
        item.name, item.part, "missed", by.t,
        f"It was done at {clock(at)} and withdrawn: from then on the plan was to {plan}. {item.why}", item.source,
        weight=item.weight, better=example, score=0.0)


def _never(item: Item, tree: ActTree, situation: Situation, applies: float) -> Finding:
    broken = [deed for deed in situation.line.deeds
              if deed.t >= applies and deed.heard
              and any(pattern.matches(deed.action, deed.told)
                      and not (pattern.verb == CANCELS.verb and clearance_kept(situation.line, deed))
                      for pattern in patterns(tree))
              and (item.when is None or held_at(item.when, situation.line, deed.t))]
    if broken:
        at = broken[0].t
        return situation.finding(item.name, item.part, "broken", at, f"It was done. {item.why}",
                                 item.source, weight=item.weight, better=item.example or "", score=0.0,
                                 about=about(item))
    return situation.finding(item.name, item.part, "kept", None, item.why, item.source,
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
        near = kept_words(keep, situation.line, applies)
        return situation.finding(item.name, item.part, "kept", None, f"{near} {item.why}".strip(), item.source,
                                 weight=item.weight, score=1.0)
    return situation.finding(
        item.name, item.part, "broken", worst, f"Not kept, for {lasting(total)} in all. {item.why}",
        item.source, weight=item.weight, better=item.example or "", score=0.5 if total < 10.0 else 0.0,
        about=about(item))
