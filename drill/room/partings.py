"""Where the room went both ways: what came of each, from the moment they parted to where the second one ended. Pure.

Both are graded up to the same moment, so that what the room did later does not count for it or against it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from drill.flight.events import Ended, Event, Trace
from drill.flight.readings import clock_words as clock
from drill.grading.beside import Beside, Row, Way, beside
from drill.grading.debrief import Debrief, Finding
from drill.grading.grade import grade
from drill.grading.telling import PART_SHORT
from drill.room.evening import Evening
from drill.room.outcome import DoneThen, ItemBothWays, Measured, Parting, WayFlown
from drill.scenario.model import Scenario

NAMES = ("The room", "The grade sheet")
GRADED = frozenset({"Ending", "Score", *PART_SHORT.values()})
"""Rows of two flights side by side that a WayFlown or its items tell already."""

_NOT_GRADED = frozenset({"not needed", "remark"})


def partings(
    evening: Evening, scenario: Scenario, room: Sequence[Event], sheets: Mapping[str, Sequence[Event]],
) -> tuple[Parting, ...]:
    """Return what came of both ways each time the room flew both, in their order. It takes up to some seconds.

    `room` are the events of the room's flight, `sheets` those of the grade sheet's by the name of the record; one that
    is not there is not told of.
    """
    found = []
    chosen = [held.id for held in evening.polls
              if held.closed and held.chosen is not None and held.chosen.way == "fork"]
    for place, forked in enumerate(evening.forks):
        sheet = sheets.get(forked.records[-1], ())
        last = next((each.t for each in reversed(sheet) if isinstance(each, Trace)), None)
        if last is None:
            continue
        until_s = evening.fork_ends[place] if place < len(evening.fork_ends) else last
        ways = (_until(room, until_s), _until(sheet, until_s))
        found.append(_parting(evening, scenario, ways, chosen[place] if place < len(chosen) else None, forked.at_s))
    return tuple(found)


def _until(events: Sequence[Event], until_s: float) -> tuple[Event, ...]:
    """Return the events up to the second `until_s`: what was entered at that very moment came after it."""
    last = next((place for place in range(len(events) - 1, -1, -1)
                 if isinstance(each := events[place], Trace | Ended) and each.t <= until_s + 1e-6), len(events) - 1)
    return tuple(events[:last + 1])


def _parting(
    evening: Evening, scenario: Scenario, ways: tuple[tuple[Event, ...], ...], poll: str | None, at_s: float,
) -> Parting:
    seed = evening.begun.seed
    debriefs = [grade(scenario, events, seed) for events in ways]
    seen = beside(scenario, seed, [Way(name, events) for name, events in zip(NAMES, ways, strict=True)], at_s)
    return Parting(
        poll=poll, at_s=at_s, until_s=max(each.flown_s for each in debriefs),
        ways=tuple(_way(place, debrief, seen) for place, debrief in enumerate(debriefs)),
        items=_items(scenario, debriefs),
        measures=tuple(Measured(each.what, _with_guesses(each, debriefs)) for each in seen.rows
                       if each.what not in GRADED))


def _with_guesses(row: Row, debriefs: Sequence[Debrief]) -> tuple[str, ...]:
    """Return the values of a row; before the first act that knew of a failure stands a guess that both ways share."""
    part = row.what.removeprefix("First act: ")
    if part == row.what:
        return row.values
    return tuple(_with_guess(value, part, debrief) for value, debrief in zip(row.values, debriefs, strict=True))


def _with_guess(value: str, part: str, debrief: Debrief) -> str:
    guess_s = min((each.at_s for each in debrief.findings if each.item == f"Recognize: {part}"
                   and each.at_s is not None), default=None)
    acts = [each.first_act_s for each in debrief.failures if each.part == part and each.first_act_s is not None]
    if guess_s is None or not acts or guess_s >= min(acts):
        return value
    return f"{clock(guess_s)}, again {value}"


def _way(place: int, debrief: Debrief, seen: Beside) -> WayFlown:
    return WayFlown(
        NAMES[place], seen.endings[place], debrief.ending is not None, debrief.score,
        sum(each.cost for each in debrief.findings),
        tuple(DoneThen(each.t, each.words) for each in seen.acts if each.way == place))


def _items(scenario: Scenario, debriefs: Sequence[Debrief]) -> tuple[ItemBothWays, ...]:
    """Return what was graded in either way: the sheet's items in its order, then those of the grader's own."""
    graded = [_by_item(debrief.findings) for debrief in debriefs]
    sheet = [str(each.name) for each in scenario.grade_sheet]
    others = [name for findings in graded for name in findings if name not in sheet]
    return tuple(_item([findings.get(name, ()) for findings in graded]) for name in dict.fromkeys([*sheet, *others])
                 if any(name in findings for findings in graded))


def _by_item(findings: Sequence[Finding]) -> dict[str, list[Finding]]:
    """Return what was found by item: a failure that was guessed and then known of is found twice."""
    found: dict[str, list[Finding]] = {}
    for each in findings:
        if each.verdict not in _NOT_GRADED:
            found.setdefault(each.item, []).append(each)
    return found


def _item(both: Sequence[Sequence[Finding]]) -> ItemBothWays:
    """Return one item: what was found first is told as when it happened, so that what both share reads alike."""
    first = next(each[0] for each in both if each)
    return ItemBothWays(
        first.item, first.weight, tuple(each[0].verdict if each else None for each in both),
        tuple(each[0].at_s if each else None for each in both),
        tuple(sum(one.cost for one in each) for each in both),
        tuple(each[-1].at_s if len(each) > 1 else None for each in both))
