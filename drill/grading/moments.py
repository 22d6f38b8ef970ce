"""The flight's moments: what happened when, with all that there is to say of it. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal, TypeAlias

from pydantic import ConfigDict

from drill.flight.events import Event
from drill.flight.readings import clock_words as clock
from drill.grading import telling
from drill.grading.debrief import AS_DATA, CallHeard, Debrief, FailureStory, Finding, UnsafeAct
from drill.grading.timeline import lasting

MOST_CALLS = 1_000           # no flight has more; a stranger's record may
MOST_MOMENTS = 2_000
ANSWERED_WITHIN_S = 60.0     # a line of ATC that comes this soon after a call is told beside it

Kind: TypeAlias = Literal[
    "failed", "healed", "evident", "instrument evident", "part evident", "act", "first act", "named", "called", "heard",
    "good", "poor", "unsafe", "ended"]
KINDS: tuple[Kind, ...] = (
    "failed", "healed", "evident", "instrument evident", "part evident", "act", "first act", "named", "called", "heard",
    "good", "poor", "unsafe", "ended")
"""In this order moments of one time are told: a failure before its evidence, before what was done."""


@dataclass(frozen=True, slots=True)
class Moment:
    """Something that happened, or never did, with all there is to say of it."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    t: float | None
    """When, seconds of flight; null: it never happened."""
    kind: Kind
    """What kind of thing happened."""
    title: str
    """What happened, in a line."""
    details: tuple[tuple[str, str], ...] = ()
    """(what is told, in what words), in the order in which it is told."""
    about: tuple[str, ...] = ()
    """The instruments that it is about, by their codes."""


def moments(debrief: Debrief, events: Sequence[Event] = ()) -> tuple[Moment, ...]:
    """Return the moments of `debrief` in the order of time, what never happened last; with `events` its calls too."""
    calls = _calls(events)
    found: list[Moment] = []
    for story in debrief.failures:
        found += _of_failure(story)
    marked = {call.at_s: call for call in debrief.calls}
    found += [_of_call(call, calls, marked.get(call.t)) for call in calls if call.ours]
    found += [_of_unsafe(debrief, act) for act in debrief.unsafe_acts]
    found += [_of_finding(finding) for finding in debrief.findings
              if finding.verdict != telling.NOT_NEEDED
              and (finding.at_s is not None or finding.verdict not in telling.GOOD)
              and not telling.told_already(debrief, finding)]
    if debrief.ending is not None:
        found.append(Moment(debrief.flown_s, "ended", f"The end: {debrief.ending.outcome}",
                            (("What happened", debrief.ending.words),)))
    found.sort(key=lambda each: (each.t is None, each.t or 0.0, KINDS.index(each.kind)))
    return tuple(found[:MOST_MOMENTS])


# --- failures --------------------------------------------------------------------------------------


def _of_failure(story: FailureStory) -> Iterator[Moment]:
    yield Moment(story.began_s, "failed", f"The {story.part} fails",
                 (("What happened, and what came of it", telling.failure_words(story)),))
    if story.evidence_s is not None:
        yield Moment(story.evidence_s, "evident", f"It could have been known: {story.part}",
                     (("What showed it", f"{_sentence(story.evidence)}."),
                      ("How it is reckoned", "From here on a careful cross-check, gone round once, would have met it. "
                                             f"That is {lasting(story.evidence_s - story.began_s)} after it began.")))
    if story.instrument_s not in (None, story.evidence_s, story.system_s):
        yield Moment(story.instrument_s, "instrument evident", f"The instrument could have been told: {story.part}",
                     (("What told it", f"{_sentence(story.instrument)}."),))
    if story.system_s not in (None, story.evidence_s):
        yield Moment(story.system_s, "part evident", f"It could have been named: {story.part}",
                     (("What told it", f"{_sentence(story.system)}."),))
    if story.first_act_s is not None:
        late = "" if story.evidence_s is None else (
            f" {lasting(abs(story.first_act_s - story.evidence_s))} "
            f"{'after' if story.first_act_s >= story.evidence_s else 'before'} it could have been known.")
        yield Moment(story.first_act_s, "first act", f"First act on it: {story.first_act}",
                     (("What happened", f"{_sentence(story.first_act)}.{late}"),))
    if story.named_s is not None:
        yield Moment(story.named_s, "named", f"Named rightly: {story.part}",
                     (("What happened", f"You named what had failed, {lasting(story.named_s - story.began_s)} after "
                                        "it began."),))
    if story.healed_s is not None:
        yield Moment(story.healed_s, "healed", f"The {story.part} works again",
                     (("What happened", "What had failed came back."),))


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:].rstrip(".")


# --- calls -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Call:
    t: float
    words: str
    ours: bool
    arrived: bool = True


def _calls(events: Sequence[Event]) -> list[_Call]:
    said = []
    for event in events:
        if event.kind == "acted" and event.act.get("action") == "transmit" and not event.refused:
            said.append(_Call(event.t, str(event.act.get("call", "")), ours=True, arrived=event.heard))
        elif event.kind == "heard" and event.to_us:
            said.append(_Call(event.t, f"{event.voice}: {event.words}", ours=False))
    return sorted(said, key=lambda call: call.t)[:MOST_CALLS]


def _of_call(call: _Call, calls: Sequence[_Call], marked: CallHeard | None) -> Moment:
    before = [each for each in calls if not each.ours and each.t < call.t]
    after = [each for each in calls if not each.ours and call.t <= each.t <= call.t + ANSWERED_WITHIN_S]
    details = [("You said", call.words)]
    if not call.arrived:
        details.append(("Heard by nobody", "The call did not get through."))
    if marked is not None:
        details.append(("What ATC made of it", telling.call_words(marked)))
    if before and call.t - before[-1].t <= ANSWERED_WITHIN_S:
        details.append((f"Heard before, {clock(before[-1].t)}", before[-1].words))
    if after:
        details.append((f"Heard after, {clock(after[0].t)}", after[0].words))
    return Moment(call.t, "called", f"You called: {call.words}", tuple(details))


# --- findings --------------------------------------------------------------------------------------


def _of_unsafe(debrief: Debrief, act: UnsafeAct) -> Moment:
    same = telling.same_as(debrief, act)
    verdict = f": {same.verdict}" if same is not None else ""
    cost = f"It holds the grade down. {cost_words(same)}" if same is not None else "It holds the grade down."
    return Moment(act.at_s, "unsafe", f"UNSAFE: {act.act}{verdict}", tuple(_details(
        act.reason, act.readings, "" if same is None else same.better, act.source, cost)), act.about)


def _of_finding(finding: Finding) -> Moment:
    return Moment(finding.at_s, "good" if finding.verdict in telling.GOOD else "poor",
                  f"{finding.item}: {finding.verdict}", tuple(_details(
                      finding.reason, finding.readings, finding.better, finding.source, cost_words(finding))),
                  finding.about)


def _details(reason: str, readings: str, better: str, source: str, cost: str) -> Iterator[tuple[str, str]]:
    yield "What happened, and why it matters", reason
    if readings:
        yield "On the panel then, what it is about", readings
    if better:
        yield "Right would have been", better
    yield "What it cost", cost
    yield "Source", source


def cost_words(finding: Finding) -> str:
    """Return what the finding cost, in words."""
    part = telling.PART_SHORT[finding.part]
    if finding.score is None:
        return f"{part}: told, not counted."
    return f"{part}: {f'{finding.cost:g} points of 100' if finding.cost else 'nothing'}. Weight: {finding.weight}."
