"""What a check grades, so that one deed is graded once: a built-in check is left out where the sheet grades the same.

A subject is a short name: `cancel IFR` (acts), `true bank` (a quantity), `leave attitude_indicator` and so on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from drill.flight.readings import FIELDS_OF
from drill.grading.affected import FLOWN_BY
from drill.grading.affected import leaves as leaves_bad
from drill.grading.debrief import UnsafeAct
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Fact, Not
from drill.scenario.model import ActTree, Item

CANCEL = "cancel IFR"
REPORT = "report"
ORDER = "control before the call"
PLAN = "plan"
BANK = "true bank"
SPEED = "true airspeed"
ALTITUDE = "true altitude"
SAME_MOMENT_S = 5.0      # a lapse is counted from when it began, a limit from when it was passed


_READ_ON = {
    "bank": ("attitude_indicator", "turn_coordinator"), "turn rate": ("turn_coordinator",),
    "pitch": ("attitude_indicator",), "heading": ("heading_indicator", "magnetic_compass"), "track": ("navigation",),
    "compass": ("magnetic_compass",), "altitude": ("altimeter",), "airspeed": ("airspeed_indicator",),
    "vertical speed": ("vertical_speed_indicator",), "suction": ("suction_gauge",), "volts": ("voltmeter",),
    "amps": ("ammeter",), "rpm": ("tachometer",), "course needle": ("course_needle",),
}                        # by a word in a quantity's name
_SAID = frozenset({"report", "diagnose"})


def leave(instrument: str) -> str:
    """Return the subject of no longer flying by `instrument`."""
    return f"leave {instrument}"


def back_to(instrument: str) -> str:
    """Return the subject of flying by `instrument` again."""
    return f"back to {instrument}"


def gone_back(subjects: Iterable[str]) -> frozenset[str]:
    """Return what an item of these subjects tells once it was done and undone: the instruments gone back to."""
    return frozenset(back_to(each) for each in FLOWN_BY if leave(each) in set(subjects))


def patterns(tree: ActTree | None) -> Iterator[ActPattern]:
    """Yield the patterns of `tree`."""
    if tree is not None:
        if tree.pattern is not None:
            yield tree.pattern
        for part in tree.parts:
            yield from patterns(part)


def subjects_of(item: Item, sheet: Iterable[Item] = ()) -> frozenset[str]:
    """Return what `item` grades; `sheet` is where the item stands that it is to come after."""
    found: set[str] = set(_quantities(item.keep)) if item.keep is not None else set()
    acts = [*patterns(item.do), *patterns(item.never)]
    found |= {CANCEL for pattern in acts if pattern.verb == CANCEL}
    if item.do is None:
        return frozenset(found)
    if item.part == "aviate":
        found |= {leave(bad) for bad in FLOWN_BY if _always_leaves(item.do, bad)}
    if item.part == "decide":
        found.add(PLAN)
    if item.needs and any(pattern.verb == "report" for pattern in acts):
        found.add(REPORT)
        first = next((each for each in sheet if each.name == item.after), None)
        if first is not None and first is not item and any(each.startswith("leave ") for each in subjects_of(first)):
            found.add(ORDER)
    return frozenset(found)


def failures_named(condition: Condition) -> Iterator[str]:
    """Yield the failures that `condition` asks for."""
    match condition:
        case Fact(kind="failed", of=failure):
            yield failure
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from failures_named(part)


def about(item: Item) -> tuple[str, ...]:
    """Return the instruments that `item` is about, in the order of the panel; none for what is said or decided."""
    found = {each for name in (_quantities(item.keep) if item.keep is not None else ())
             for words, instruments in _READ_ON.items() if words in name for each in instruments}
    for pattern in [*patterns(item.do), *patterns(item.never)]:
        if pattern.object in FIELDS_OF and pattern.verb not in _SAID:
            found.add(pattern.object)
        found |= {bad for bad in FLOWN_BY if _leaves(pattern, bad)}
    return tuple(each for each in FIELDS_OF if each in found)


def without_repeats(
    own: Iterable[tuple[str, UnsafeAct]], of_sheet: Iterable[UnsafeAct], subjects: Mapping[str, frozenset[str]],
) -> list[UnsafeAct]:
    """Return `own` (each with its subject) without those that the sheet's unsafe acts tell: same deed, same moment.

    `subjects` is by item name.
    """
    told = [(act.at_s, subjects.get(act.act, frozenset())) for act in of_sheet]
    return [act for subject, act in own
            if not any(subject in graded and abs(at - act.at_s) <= SAME_MOMENT_S for at, graded in told)]


def _leaves(pattern: ActPattern, bad: str) -> bool:
    return (pattern.verb == "cover" and pattern.object == bad) or (
        pattern.verb == "fly by" and leaves_bad(pattern.object, frozenset({bad})))


def _always_leaves(tree: ActTree, bad: str) -> bool:
    """Say whether nobody can do `tree` without leaving `bad`."""
    if tree.how == "one":
        return tree.pattern is not None and _leaves(tree.pattern, bad)
    each = [_always_leaves(part, bad) for part in tree.parts]
    return bool(each) and (all(each) if tree.how == "any" else any(each))


def _quantities(condition: Condition) -> Iterator[str]:
    match condition:
        case Compare():
            yield condition.key
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from _quantities(part)
        case Not(part):
            yield from _quantities(part)
