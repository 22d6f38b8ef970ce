"""Lines of ATC that ask for what it has been told on every way to them: such a line is left unsaid in every flight."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

from drill.check.rules import warning
from drill.check.standing import Way, value_at
from drill.scenario.conditions import All, AnyOf, Condition, Did, Fact
from drill.scenario.model import Cue, Go, Say, Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem

Known: TypeAlias = frozenset[str]

_SAYS: Mapping[str, str] = {
    "nature": "what has failed", "emergency": "that it is an emergency",
    "intentions": "what the pilot intends", "conditions": "whether the flight is in cloud",
    "fuel": "the fuel on board", "people": "the people on board",
}
_EVERYTHING: Known = frozenset(_SAYS)


def check_asking(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each line that asks for what is known whenever its phase is entered or the line is due."""
    known = _known_on_entry(scenario)
    found = []
    for phase in scenario.phases:
        if phase.name not in known:
            continue
        for cue in phase.cues:
            there = known[phase.name] | (_told_by(cue.when) if cue.when is not None else frozenset())
            found += [
                _known_already(say.asks, tree, way) for say, way in _lines(cue, phase.name)
                if _answered(say.asks, there) and say.heading_deg is None and say.altitude_ft is None
                and say.cleared_approach is None and not say.at_discretion
            ]
    return found


def _answered(asks: str, known: Known) -> bool:
    return {"fuel", "people"} <= known if asks == "more" else asks in known


def _known_already(asks: str, tree: Node, way: Way) -> Problem:
    told = _SAYS.get(asks, "fuel and people")
    return warning(value_at(tree, *way, "asks"), "asks-what-is-known",
                   f"`asks: {asks}`: on every way here ATC has been told {told}, so the line is never said",
                   "a question whose answer is known stays unsaid",
                   "ask for something else, say the line without `asks`, or delete it")


def _lines(cue: Cue, phase: str) -> list[tuple[Say, Way]]:
    _, kind, number = cue.key.rsplit("/", 2)
    way: Way = ("phases", phase, {"cue": "cues"}.get(kind, kind), int(number))
    says = [each for each in cue.effects if isinstance(each, Say)]
    if kind == "atc" or len(says) == 1:
        return [(each, way) for each in says[:1]]
    return [(each, (*way, "say", count)) for count, each in enumerate(says)]


def _known_on_entry(scenario: Scenario) -> dict[str, Known]:
    """Return for each phase that can be entered what ATC knows whichever way it is entered (a greatest fixed point)."""
    known: dict[str, Known] = {scenario.start.phase: frozenset()}
    changed = True
    while changed:
        changed = False
        for phase in scenario.phases:
            if phase.name not in known:
                continue
            for branch in phase.branches:
                goes = branch.effects[-1]
                if not isinstance(goes, Go):
                    continue
                there = known[phase.name] | _told_by(branch.when)
                before = known.get(goes.phase, _EVERYTHING)
                if goes.phase not in known or before & there != before:
                    known[goes.phase] = before & there
                    changed = True
    return known


def _told_by(condition: Condition) -> Known:
    """Return what ATC certainly knows when `condition` holds."""
    match condition:
        case All(parts):
            return frozenset().union(*map(_told_by, parts))
        case AnyOf(parts):
            return frozenset(_EVERYTHING).intersection(*map(_told_by, parts)) if parts else frozenset()
        case Fact("reported", _):
            return frozenset({"nature"})
        case Fact("declared", _):
            return frozenset({"emergency"})
        case Fact("told", of):
            return {"conditions": frozenset({"conditions"}), "intentions": frozenset({"intentions"}),
                    "fuel": frozenset({"fuel"}),
                    "souls": frozenset({"people"})}.get(of, frozenset())
        case Did(pattern):
            return {"report": frozenset({"nature"}), "declare": frozenset({"emergency"})}.get(pattern.verb, frozenset())
        case _:
            return frozenset()


