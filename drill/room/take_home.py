"""Three points to take home: what the room lost most on, or, where it lost little, what it did well. Pure.

A loss is counted on the grade sheet's own weights (critical 3, major 2, minor 1): once for what the flight left undone,
and once for the share of the room that did not choose it. Beside the items two things are weighed that no sheet has:
how many named what had failed once it could be known, and how many were certain of what was not so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.scoring import WEIGHTS
from drill.grading.timeline import lasting
from drill.room.outcome import Decision, ElementCount, Knowing, Point, PollResult, Sureness
from drill.room.shares import percent

POINTS = 3
LITTLE = 0.25
"""A smaller loss is none: a quarter of a minor item. The authors' choice."""
LEAST_ANSWERS = 5
"""From so many answers on it is told how sure was how right."""

NAMING_WEIGHT = WEIGHTS["critical"]
REPORT_WEIGHT = WEIGHTS["major"]
CERTAIN_WEIGHT = WEIGHTS["critical"]
REPORT_WHY = "The report is a duty, and the controller can only help with what he knows."
NAMING_WHY = "Knowing what failed says which instruments to drop and which still tell the truth."
CERTAIN_WHY = "Two instruments that agree may share a source. A look at one that shares nothing settles it."


@dataclass(frozen=True, slots=True)
class _Lost:
    """A point that could be made: how much was lost on it, and what it is about, so that nothing is said twice."""

    loss: float
    about: str
    point: Point


def take_home(
    decisions: Sequence[Decision], polls: Sequence[PollResult], knowing: Sequence[Knowing],
    elements: Sequence[ElementCount], sureness: Sequence[Sureness],
) -> tuple[Point, ...]:
    """Return the three points, the greatest loss first; behind them what went well, critical items first."""
    kinds = {poll.number: poll.kind for poll in polls}
    lost = [_of_item(each, _about(each, kinds), knowing, elements) for each in decisions]
    lost += [*_of_knowing(knowing), *_of_report(elements), *_of_certain(sureness)]
    points: list[Point] = []
    said: set[str] = set()
    for each in sorted((each for each in lost if each.loss >= LITTLE), key=lambda each: -each.loss):
        if len(points) < POINTS and each.about not in said:
            points.append(each.point)
            said.add(each.about)
    well = sorted((each for each in decisions if each.lost < LITTLE and _about(each, kinds) not in said),
                  key=lambda each: (-WEIGHTS[each.weight], each.lost))
    return (*points, *(_well(each, calls=_about(each, kinds) == "report") for each in well[:POINTS - len(points)]))


def _about(decision: Decision, kinds: Mapping[int, str]) -> str:
    asked = {kinds.get(number) for number in decision.polls}
    if "what do you say" in asked:
        return "report"
    return "naming" if "what is wrong" in asked and decision.part == "recognize" else decision.item


def _of_item(
    decision: Decision, about: str, knowing: Sequence[Knowing], elements: Sequence[ElementCount],
) -> _Lost:
    said = [_in_flight(decision), _by_vote(decision, calls=about == "report")]
    loss = decision.lost
    if about == "naming":
        said += [_late(each) for each in knowing]
        loss += _not_named(knowing)
    if about == "report":
        said.append(_not_said(elements))
        loss += _unsaid(elements)
    return _Lost(loss, about, Point(decision.item, " ".join(filter(None, said)), decision.why, decision.wanted,
                                    decision.source, False))


def _in_flight(decision: Decision) -> str:
    when = "" if decision.at_s is None else f" at {clock(decision.at_s)}"
    return f"In flight: {decision.verdict}{when}."


def _by_vote(decision: Decision, *, calls: bool) -> str:
    if decision.share is None:
        return ""
    if calls:
        said = f"{percent(decision.share)} of the calls" if decision.share else "No call"
        return f"{said} said all of it."
    if decision.share in (0.0, 1.0):
        return f"In the vote: {'everybody' if decision.share else 'nobody'}."
    return f"In the vote: {percent(decision.share)} of the room."


def _well(decision: Decision, *, calls: bool) -> Point:
    said = " ".join(filter(None, (_in_flight(decision), _by_vote(decision, calls=calls))))
    return Point(decision.item, said, decision.why, decision.wanted, decision.source, True)


# --- what no sheet has -------------------------------------------------------------------------------


def _not_named(knowing: Sequence[Knowing]) -> float:
    """Return the loss of all failures that were not named by all once they could be known."""
    loss = 0.0
    for each in knowing:
        after = [share for t, share in each.shares if each.evidence_s is not None and t >= each.evidence_s]
        loss += NAMING_WEIGHT * (1.0 - sum(after) / len(after)) if after else 0.0
    return loss


def _late(each: Knowing) -> str:
    if each.evidence_s is None or not any(t >= each.evidence_s for t, _ in each.shares):
        return ""
    if each.room_s is None:
        return (f"A careful cross-check in flight could have known from {clock(each.evidence_s)}; "
                "no poll had most of the room name it.")
    later = each.room_s - each.evidence_s
    if later <= 0.0:
        return f"Most of the room named it at {clock(each.room_s)}, before a careful cross-check in flight would have."
    return (f"A careful cross-check in flight could have known from {clock(each.evidence_s)}; "
            f"most of the room named it at {clock(each.room_s)}, {lasting(later)} later.")


def _of_knowing(knowing: Sequence[Knowing]) -> Iterator[_Lost]:
    said = " ".join(filter(None, map(_late, knowing)))
    if said:
        yield _Lost(_not_named(knowing), "naming", Point(
            "Know what has failed", said, NAMING_WHY, "", sources.RECOGNITION, False))


def _unsaid(elements: Sequence[ElementCount]) -> float:
    """Return the loss of the calls that lacked contents of a report."""
    return REPORT_WEIGHT * sum(1.0 - each.said / each.of for each in elements) / len(elements) if elements else 0.0


def _not_said(elements: Sequence[ElementCount]) -> str:
    lacking = [f"{each.element} ({each.of - each.said} of {each.of})" for each in elements if each.said < each.of]
    return f"Calls that did not say: {', '.join(lacking)}." if lacking else ""


def _of_report(elements: Sequence[ElementCount]) -> Iterator[_Lost]:
    if said := _not_said(elements):
        yield _Lost(_unsaid(elements), "report", Point(
            "Say all four: who, what failed, how far it limits you, what you want", said, REPORT_WHY, "",
            sources.REPORT, False))


def _of_certain(sureness: Sequence[Sureness]) -> Iterator[_Lost]:
    answers = sum(each.answers for each in sureness)
    if answers < LEAST_ANSWERS:
        return
    certain = max(sureness, key=lambda each: each.level)
    wrong = certain.answers - certain.right
    if wrong:
        yield _Lost(CERTAIN_WEIGHT * wrong / answers, "certain", Point(
            "Certain is not right", f"{wrong} of {certain.answers} answers that were {certain.words} were not right.",
            CERTAIN_WHY, "", sources.FALSE_ALARM, False))
