"""What can still be judged in a scenario with faults: the document without the parts that have them.

A part that has a fault (a branch, a cue, an item, a phase ...) is taken out of the tree whole, and what then refers to
it as well, until the rest loads; of a failure or a field only the key, where it can do without. For a section that no
scenario is without (the start, the clearance ...) the one of a new scenario stands in. Of the rest only such findings
are told as no mend of what was taken out can make untrue: those about one text, one item or one failure by itself.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from collections.abc import Mapping as Map
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeAlias

from drill.airplane.failures import CATALOGUE
from drill.check.passes import PASSES
from drill.scenario.document import SCENARIO
from drill.scenario.loading import Airplanes, airplanes_beside, read_tree
from drill.scenario.model import Scenario
from drill.scenario.places import Listing, Mapping, Node, Text, nodes
from drill.scenario.problems import DocumentError, Place, Problem
from drill.scenario.shelf import procedures

MOST_ROUNDS = 12
NAMED = frozenset({"failures", "variations", "events", "phases", "endings", "fields"})
"""Sections whose entries stand by themselves, each under its name."""
BY_KEYS = frozenset({"failures", "fields"})
"""Those of them whose entries are tried without a faulty key first; it decides nothing of what is told."""
ALONE = frozenset({
    "comment-cuts-text", "example-missing", "gives-it-away", "graded-twice", "line-too-long", "markup-in-text",
    "needs-without-a-call", "not-in-words", "reason-says-nothing", "says-otherwise", "source-names-nothing",
    "unfinished-text", "unsafe-act-pays", "unsafe-without-effect",
})
"""Kinds of findings about one part by itself."""
BY_EXAMPLE = frozenset({"example-does-not-do-it", "example-leaves-out", "window-too-short"})
"""The same, where the words of an example are read, in which places, callsigns and local words may stand."""
READ_BY = frozenset({"fields", "usage", "local words", "callsign", "clearance"})
"""Sections that decide how words are read."""
_HELD_BY = frozenset({"airplane", "start", "weather", "fields", "time limit", "ground", "minimum altitude"})
"""Sections that decide what a condition can come to."""
AT_ODDS_BY = _HELD_BY | {"clearance", "failures"}
RESTING_ON: Map[str, frozenset[str]] = {
    **dict.fromkeys(BY_EXAMPLE, READ_BY),
    **dict.fromkeys(("always-holds", "branch-never-wins", "never-holds", "left-at-once"), _HELD_BY),
    **dict.fromkeys(("item-nobody-fails", "item-nobody-satisfies", "items-contradict"),
                    _HELD_BY | {"failures", "variations"}),
    "approach-unknown": frozenset({"fields"}),
    "fuel-runs-out": frozenset({"start", "time limit", "phases", "events", "grade sheet"}),
    "ice-without-heat": frozenset({"start", "weather", "clearance", "briefing", "phases", "events", "grade sheet"}),
    "named-of-another-variation": frozenset({"failures", "variations", "phases", "events"}),
    "names-another-part": frozenset({"failures"}),
    "nearly-named": frozenset({"fields", "callsign", "clearance"}),
    "no-way-down": frozenset({"fields", "endings"}),
    "part-not-fitted": frozenset({"airplane"}),
    "runway-downwind": frozenset({"fields", "weather"}),
    "too-low": _HELD_BY | {"clearance"},
    "window-past-the-end": frozenset({"failures", "time limit"}),
    "window-too-early": frozenset({"failures", "events", "phases"}),
}
"""Kinds of findings that are told as long as nothing was cut out of the sections on which they rest."""

OWN_STORY = frozenset({"phases", "endings", "grade sheet", "failures"})
"""Sections for which nothing stands in: without them there is nothing to judge."""
WHOLE = frozenset({"start", "clearance"})
"""Sections of which hardly a key can be missed: a fault in one takes it out whole, and another stands in."""
FIELD_STANDS_IN: Map[str, str] = {"bearing": "090", "distance": "30 nm", "ceiling": "clear"}
"""The keys without which there is no field."""
STAND_IN = "stand-in.yaml"
Point: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Rest:
    """A scenario without its faulty parts, its tree, what its second look has found, and the sections cut."""

    scenario: Scenario | None
    tree: Node
    problems: tuple[Problem, ...]
    cut: frozenset[str]


def still_found(tree: Node, text: str, file: str, airplanes: Airplanes, faults: Sequence[Problem]) -> list[Problem]:
    """Return what is wrong with the parts of a document that have no faults of the loader; `faults` are those."""
    rest = _rest(_named_ways(tree, faults), text, file, airplanes, faults)
    if rest is None:
        return []
    told = {*ALONE, "at-odds", *(rule for rule, sections in RESTING_ON.items() if not rest.cut & sections)}
    if rest.scenario is not None and not rest.cut & {"callsign", "clearance"} and (
            _names_below(tree, "fields") == {field.name for field in rest.scenario.fields}):
        told.add("nearly-named")       # of the fields only keys were cut
    scenario = rest.scenario
    found = [*rest.problems, *(() if scenario is None else (
        problem for each in PASSES for problem in each(scenario, rest.tree)))]
    return [each for each in found if each.rule in told and each not in faults and each.place.file == file]


def _rest(tree: Node, text: str, file: str, airplanes: Airplanes, faults: Sequence[Problem]) -> _Rest | None:
    """Return what is left without the faulty parts; None where no scenario is."""
    wrong: Iterable[Problem] = [each for each in faults if each.rule != "unknown-how"]
    later: list[Problem] = []
    cut = {"failures"} if any(each.rule == "unknown-how" for each in faults) else set[str]()
    if cut and not any(each.level == "error" for each in wrong):
        scenario, problems = read_tree(tree, text, file, airplanes)
        if scenario is not None:
            return _Rest(scenario, tree, tuple(each for each in problems if each.rule in BY_EXAMPLE), frozenset(cut))
        wrong = problems
    for _ in range(MOST_ROUNDS):
        points = [(each.place.line, each.place.column) for each in wrong if each.level == "error"]
        if any(each.place.file != file for each in wrong if each.level == "error"):
            return None
        smaller, sections = _without(tree, points)
        whole, standing_in = _completed(smaller) if isinstance(smaller, Mapping) else (None, frozenset[str]())
        if whole is None or not sections | standing_in:
            return None
        cut |= sections | standing_in
        tree = whole
        try:
            scenario, problems = read_tree(tree, text, file, airplanes)
        except DocumentError:
            return None
        later += [each for each in problems if each.rule in BY_EXAMPLE
                  or (each.rule == "at-odds" and not cut & AT_ODDS_BY)]
        if scenario is not None:
            return _Rest(scenario, tree, tuple(later), frozenset(cut))
        wrong = problems
    return None


def _names_below(tree: Node, section: str) -> set[str]:
    entries = tree.entries if isinstance(tree, Mapping) else ()
    return {each.value for name, value in entries if name.value == section and isinstance(value, Mapping)
            for each, _ in value.entries}


def _named_ways(tree: Node, faults: Sequence[Problem]) -> Node:
    """Return the tree with a way in which its part does fail for each failure of which only the way is unknown."""
    unknown = {each.place for each in faults if each.rule == "unknown-how"}
    if not unknown or not isinstance(tree, Mapping):
        return tree
    return replace(tree, entries=tuple(
        (name, replace(value, entries=tuple((each, _failing(plan, unknown)) for each, plan in value.entries)))
        if name.value == "failures" and isinstance(value, Mapping) else (name, value) for name, value in tree.entries))


def _failing(plan: Node, unknown: Collection[Place]) -> Node:
    if not isinstance(plan, Mapping):
        return plan
    part = next((value.value for name, value in plan.entries if name.value == "part" and isinstance(value, Text)), "")
    ways = [how for known, how in CATALOGUE if known == part.lower()]
    return replace(plan, entries=tuple(
        (name, replace(value, value=ways[0]) if name.value == "how" and name.place in unknown and ways
         and isinstance(value, Text) else value) for name, value in plan.entries))


def _without(tree: Node, points: Collection[Point]) -> tuple[Node | None, frozenset[str]]:
    """Return the tree without the parts in which `points` stand, and the sections that they were cut out of."""
    if not isinstance(tree, Mapping):
        return None, frozenset()
    left, cut = [], set[str]()
    for place, (name, value) in enumerate(tree.entries):
        start = _point(name.place)
        end = _point(tree.entries[place + 1][0].place) if place + 1 < len(tree.entries) else None
        inside = [each for each in points if start <= each and (end is None or each < end)]
        if not inside:
            left.append((name, value))
            continue
        cut.add(name.value)
        apart = min(inside) > start and name.value not in WHOLE
        kept = _cut(value, inside, end, name.value) if apart else None
        if kept is not None:
            left.append((name, kept))
    return replace(tree, entries=tuple(left)), frozenset(cut)


def _completed(tree: Mapping) -> tuple[Mapping | None, frozenset[str]]:
    """Return the tree with a stand-in for each section that it lacks and cannot be without, and what these are.

    None where there is no story.
    """
    there = {name.value for name, _ in tree.entries}
    lacking = {key.name for key in SCENARIO.keys if key.required} - there
    if lacking & OWN_STORY or not lacking:
        return (None if lacking else tree), frozenset()
    first = next((name for section, phases in tree.entries if section.value == "phases"
                  and isinstance(phases, Mapping) for name, _ in phases.entries), None)
    stand_in = _stand_in()
    if first is None or stand_in is None:
        return None, frozenset()
    entries = [(name, _begun_in(value, first) if name.value == "start" else value)
               for name, value in stand_in.entries if name.value in lacking]
    return replace(tree, entries=(*tree.entries, *entries)), frozenset(lacking)


@lru_cache(maxsize=1)
def _stand_in() -> Mapping | None:
    """Return a sound scenario's tree, whose places are in no file of the author's."""
    # What writes a scenario loads a template engine, and few documents have such a fault.
    from drill.check.new import CannotWrite, Wishes, written

    try:
        wishes = Wishes("larkspur-180", (("vacuum pump", "shaft shears"),))
        text = written(wishes, airplanes_beside(procedures() / STAND_IN), STAND_IN)
        tree = nodes(text, STAND_IN)
    except (CannotWrite, DocumentError):
        return None
    return tree if isinstance(tree, Mapping) else None


def _begun_in(start: Node, phase: Text) -> Node:
    """Return a flight's start in `phase`, which it names."""
    if not isinstance(start, Mapping):
        return start
    return replace(start, entries=tuple((name, replace(phase, place=name.place) if name.value == "phase" else value)
                                        for name, value in start.entries))


def _cut(node: Node, points: Collection[Point], end: Point | None, section: str = "") -> Node | None:
    """Return a section without its faulty parts; None where it has none that could be taken out alone."""
    if isinstance(node, Listing):
        starts = [_point(each.place) for each in node.items]
        kept = [each for each, hit in zip(node.items, _hit(starts, end, points), strict=True) if not hit]
        return replace(node, items=tuple(kept)) if 0 < len(kept) < len(node.items) else None
    if not isinstance(node, Mapping):
        return None
    starts = [_point(name.place) for name, _ in node.entries]
    entries = []
    for place, ((name, value), hit) in enumerate(zip(node.entries, _hit(starts, end, points), strict=True)):
        if not hit:
            entries.append((name, value))
        elif section in NAMED:
            last = starts[place + 1] if place + 1 < len(starts) else end
            smaller = (_stood_in(_cut(value, points, last), section) if section in BY_KEYS
                       and isinstance(value, Mapping) else
                       _of_phase(value, points, last))     # a branch or a cue can go without its phase
            if smaller is not None and smaller != value:
                entries.append((name, smaller))
    return replace(node, entries=tuple(entries)) if entries else None


def _stood_in(node: Node | None, section: str) -> Node | None:
    """Return a field with the usual value for each key that it cannot be without, so that its name stays."""
    if section != "fields" or not isinstance(node, Mapping):
        return node
    lacking = FIELD_STANDS_IN.keys() - {name.value for name, _ in node.entries}
    return replace(node, entries=(*node.entries, *(
        (Text(key, node.place), Text(FIELD_STANDS_IN[key], node.place)) for key in sorted(lacking))))


def _of_phase(node: Node, points: Collection[Point], end: Point | None) -> Node | None:
    """Return a phase without its faulty branches and cues; None where the fault is in none of them."""
    if not isinstance(node, Mapping):
        return None
    starts = [_point(name.place) for name, _ in node.entries]
    entries = []
    for place, ((name, value), hit) in enumerate(zip(node.entries, _hit(starts, end, points), strict=True)):
        if not hit:
            entries.append((name, value))
            continue
        smaller = _cut(value, points, starts[place + 1] if place + 1 < len(starts) else end)
        if not isinstance(value, Listing) or smaller is None:
            return None
        entries.append((name, smaller))
    return replace(node, entries=tuple(entries)) if len(entries) == len(node.entries) else None


def _hit(starts: Sequence[Point], end: Point | None, points: Collection[Point]) -> list[bool]:
    """Say of each of the parts that begin at `starts`, in their order, whether one of `points` stands in it."""
    ends = [*starts[1:], end][:len(starts)]
    return [any(start <= each and (last is None or each < last) for each in points)
            for start, last in zip(starts, ends, strict=True)]


def _point(place: Place) -> Point:
    return place.line, place.column
