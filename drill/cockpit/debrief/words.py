"""A debrief, and the flight's moments and lanes, put into pieces for a screen. Pure.

The sentences are those of `drill.grading.telling`, which every face tells. Whoever loads this loads grading as well:
it is meant for the process that grades.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace

from drill.airplane.airframe import Airframe
from drill.cockpit.debrief.pieces import Entry, Told
from drill.cockpit.debrief.timeline import LANES, MARKS, Lane, Moment, clock
from drill.flight.events import Event, Trace
from drill.flight.readings import absent, panel_words
from drill.grading import telling
from drill.grading.debrief import CallHeard, Debrief, FailureStory, Finding, UnsafeAct
from drill.grading.timeline import lasting
from drill.seat.wording import in_rows, sentence

MOST_CALLS = 1_000           # no flight has more; a stranger's record may
MOST_MOMENTS = 2_000
MOST_MARKS = 5_000
ANSWERED_WITHIN_S = 60.0     # a line of ATC that comes this soon after a call is told beside it
STEEP_DEG = (20.0, 45.0)     # from these banks on the lane of control is drawn "~" and "#"


def told(debrief: Debrief, events: Sequence[Event] = (), airframe: Airframe | None = None) -> Told:
    """Return `debrief` in pieces; with the record's `events` its calls, acts and panels are told too."""
    traces = sorted((event for event in events if event.kind == "trace"), key=lambda trace: trace.t)
    calls = _calls(events)
    without = frozenset() if airframe is None else absent(airframe)
    moments = [_with_panel(moment, traces, without) for moment in _moments(debrief, calls)[:MOST_MOMENTS]]
    return Told(
        title=debrief.title, board_title=debrief.board_title, flight=telling.flight_words(debrief), aim=debrief.aim,
        outcome="cut off" if debrief.ending is None else debrief.ending.outcome, ending=telling.ending_words(debrief),
        complete=debrief.complete, score=debrief.score, score_words=telling.score_words(debrief),
        parts=tuple((telling.PART_SHORT[part], score) for part, score in telling.parts(debrief)),
        unsafe=_entries(telling.unsafe(debrief)),
        failed=tuple(Entry(f"{clock(story.began_s)} {story.part}", telling.failure_words(story))
                     for story in debrief.failures),
        nothing_failed=telling.nothing_failed(debrief), work=_entries(telling.work(debrief)),
        well=_entries(telling.well(debrief)), not_needed=_entries(telling.not_needed(debrief)),
        strayed=tuple(telling.strayed(debrief)), strayed_note=telling.STRAYED,
        questions=debrief.questions, answers=debrief.answers, discuss=debrief.discuss, cautions=debrief.cautions,
        length_s=debrief.flown_s, moments=tuple(moments), lanes=_lanes(debrief, moments, events, traces),
        airframe={} if airframe is None else asdict(airframe),
    )


def _entries(told: Iterator[telling.Entry]) -> tuple[Entry, ...]:
    return tuple(Entry(heading, words) for heading, words in told)


# --- moments ---------------------------------------------------------------------------------------


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


def _moments(debrief: Debrief, calls: Sequence[_Call]) -> list[Moment]:
    """Return the moments in the order of time; at one time, a failure before its evidence before what was done."""
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
        found.append(Moment(debrief.flown_s, MARKS["ended"], f"The end: {debrief.ending.outcome}",
                            (("What happened", debrief.ending.words),)))
    order = list(MARKS.values())
    return sorted(found, key=lambda each: (each.t is None, each.t or 0.0, order.index(each.mark)))


def _of_failure(story: FailureStory) -> Iterator[Moment]:
    yield Moment(story.began_s, MARKS["failed"], f"The {story.part} fails",
                 (("What happened, and what came of it", telling.failure_words(story)),))
    if story.evidence_s is not None:
        yield Moment(story.evidence_s, MARKS["evident"], f"It could have been known: {story.part}",
                     (("What showed it", f"{sentence(story.evidence)}."),
                      ("How it is reckoned", "From here on a careful cross-check, gone round once, would have met it. "
                                             f"That is {lasting(story.evidence_s - story.began_s)} after it began.")))
    if story.first_act_s is not None:
        late = "" if story.evidence_s is None else (
            f" {lasting(abs(story.first_act_s - story.evidence_s))} "
            f"{'after' if story.first_act_s >= story.evidence_s else 'before'} it could have been known.")
        yield Moment(story.first_act_s, MARKS["first act"], f"First act on it: {story.first_act}",
                     (("What happened", f"{sentence(story.first_act)}.{late}"),))
    if story.named_s is not None:
        yield Moment(story.named_s, MARKS["named"], f"Named rightly: {story.part}",
                     (("What happened", f"You named what had failed, {lasting(story.named_s - story.began_s)} after "
                                        "it began."),))
    if story.healed_s is not None:
        yield Moment(story.healed_s, MARKS["healed"], f"The {story.part} works again",
                     (("What happened", "What had failed came back."),))


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
    return Moment(call.t, MARKS["called"], f"You called: {call.words}", tuple(details))


def _of_unsafe(debrief: Debrief, act: UnsafeAct) -> Moment:
    same = telling.same_as(debrief, act)
    verdict = f": {same.verdict}" if same is not None else ""
    cost = f"It holds the grade down. {_cost(same)}" if same is not None else "It holds the grade down."
    return Moment(act.at_s, MARKS["unsafe"], f"UNSAFE: {act.act}{verdict}", tuple(_details(
        act.reason, act.readings, act.panel, "" if same is None else same.better, act.source, cost)))


def _of_finding(finding: Finding) -> Moment:
    mark = MARKS["good" if finding.verdict in telling.GOOD else "poor"]
    return Moment(finding.at_s, mark, f"{finding.item}: {finding.verdict}", tuple(_details(
        finding.reason, finding.readings, finding.panel, finding.better, finding.source, _cost(finding))))


def _details(
    reason: str, readings: str, panel: str, better: str, source: str, cost: str,
) -> Iterator[tuple[str, str]]:
    yield "What happened, and why it matters", reason
    if readings:
        yield "On the panel then, what it is about", readings
    if better:
        yield "Right would have been", better
    yield "What it cost", cost
    yield "Source", source
    if panel:
        yield "The whole panel then", in_rows(panel)


def _cost(finding: Finding) -> str:
    part = telling.PART_SHORT[finding.part]
    if finding.score is None:
        return f"{part}: told, not counted."
    return f"{part}: {f'{finding.cost:g} points of 100' if finding.cost else 'nothing'}. Weight: {finding.weight}."


def _with_panel(moment: Moment, traces: Sequence[Trace], without: frozenset[str]) -> Moment:
    """Return `moment` with the panel as the record's trace has it: each second the last one not later.

    `without` are the instruments that the airplane does not have.
    """
    if moment.t is None or not traces:
        return moment
    trace = traces[max(0, bisect_right(traces, moment.t, key=lambda each: each.t) - 1)]
    details = moment.details
    if not any(label == "The whole panel then" for label, _ in details) and (
            panel := _panel_words(trace, without)):
        details = (*details, ("The whole panel then", in_rows(panel)))
    return replace(moment, details=details, shown=dict(trace.shown), covered=trace.covered)


def _panel_words(trace: Trace, without: frozenset[str]) -> str:
    try:
        return panel_words(trace.shown, trace.covered, without)
    except KeyError:    # a flight's own trace is whole; only one that was made up for something else is not
        return ""


# --- lanes -----------------------------------------------------------------------------------------


def _lanes(
    debrief: Debrief, moments: Sequence[Moment], events: Sequence[Event], traces: Sequence[Trace],
) -> tuple[Lane, ...]:
    timed = [(moment.t, moment.mark) for moment in moments if moment.t is not None]
    acts = [(event.t, MARKS["act"]) for event in events
            if event.kind == "acted" and not event.refused and event.act.get("action") != "transmit"]
    heard = [(event.t, MARKS["heard"]) for event in events if event.kind == "heard" and event.to_us]
    of: dict[str, list[tuple[float, str]]] = {
        "failure": _marked(timed, "failed", "healed"), "evidence": _marked(timed, "evident"),
        "acts": [*acts, *_marked(timed, "first act", "named")], "control": [],
        "calls": [*heard, *_marked(timed, "called")], "findings": _marked(timed, "good", "poor", "unsafe", "ended"),
    }
    over: dict[str, list[tuple[float, float, str]]] = {
        "failure": [(story.began_s, debrief.flown_s if story.healed_s is None else story.healed_s, "=")
                    for story in debrief.failures],
        "control": list(_banks(traces)),
    }
    return tuple(Lane(name, tuple(of[name][:MOST_MARKS]), tuple(over.get(name, [])[:MOST_MARKS])) for name in LANES)


def _marked(timed: Sequence[tuple[float, str]], *kinds: str) -> list[tuple[float, str]]:
    wanted = [MARKS[kind] for kind in kinds]
    return [(t, mark) for t, mark in timed if mark in wanted]


def _banks(traces: Sequence[Trace]) -> Iterator[tuple[float, float, str]]:
    """Yield the stretches of steep bank, as the airplane really flew."""
    fill, began, last = "", 0.0, 0.0
    for trace in traces:
        bank = abs(trace.true.get("bank_deg", 0.0))
        now = "#" if bank > STEEP_DEG[1] else "~" if bank > STEEP_DEG[0] else ""
        if now != fill:
            if fill:
                yield began, last, fill
            fill, began = now, trace.t
        last = trace.t
    if fill:
        yield began, last, fill
