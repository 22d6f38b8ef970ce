"""Where the room went both ways: what came of each, from the moment they parted to where the second one ended. Pure.

Both are graded up to the same moment, so that what the room did later does not count for it or against it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from drill.flight.events import Ended, Event, Trace
from drill.grading.beside import Beside, Way, beside
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
    chosen = [number for number, held in enumerate((each for each in evening.polls if each.closed), 1)
              if held.chosen is not None and held.chosen.way == "fork"]
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
    evening: Evening, scenario: Scenario, ways: tuple[tuple[Event, ...], ...], poll: int | None, at_s: float,
) -> Parting:
    seed = evening.begun.seed
    debriefs = [grade(scenario, events, seed) for events in ways]
    seen = beside(scenario, seed, [Way(name, events) for name, events in zip(NAMES, ways, strict=True)], at_s)
    return Parting(
        poll=poll, at_s=at_s, until_s=max(each.flown_s for each in debriefs),
        ways=tuple(_way(place, debrief, seen) for place, debrief in enumerate(debriefs)),
        items=_items(scenario, debriefs),
        measures=tuple(Measured(each.what, each.values) for each in seen.rows
                       if each.what not in GRADED))


def _way(place: int, debrief: Debrief, seen: Beside) -> WayFlown:
    return WayFlown(
        NAMES[place], seen.endings[place], debrief.ending is not None, debrief.score,
        sum(each.cost for each in debrief.findings),
        tuple(DoneThen(each.t, each.words) for each in seen.acts if each.way == place))


def _items(scenario: Scenario, debriefs: Sequence[Debrief]) -> tuple[ItemBothWays, ...]:
    """Return what was graded in either way: the sheet's items in its order, then those of the grader's own."""
    graded = [{each.item: each for each in debrief.findings if each.verdict not in _NOT_GRADED}
              for debrief in debriefs]
    sheet = [str(each.name) for each in scenario.grade_sheet]
    others = [name for findings in graded for name in findings if name not in sheet]
    return tuple(_item([findings.get(name) for findings in graded]) for name in dict.fromkeys([*sheet, *others])
                 if any(name in findings for findings in graded))


def _item(both: Sequence[Finding | None]) -> ItemBothWays:
    first = next(each for each in both if each is not None)
    return ItemBothWays(
        first.item, first.weight, tuple(None if each is None else each.verdict for each in both),
        tuple(None if each is None else each.at_s for each in both),
        tuple(0.0 if each is None else each.cost for each in both))
