"""Conditions that always or never hold where they stand, and cues that never come."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from drill.check.abstract import Way
from drill.check.abstract_atoms import IN_PHASE, TIME
from drill.check.abstract_diagrams import NO
from drill.check.explore import Explored
from drill.check.explore_words import named_at, said
from drill.scenario.conditions import All, AnyOf, Condition
from drill.scenario.model import Cue, Phase
from drill.scenario.problems import Problem


def condition_findings(seen: Explored) -> Iterator[Problem]:
    """Yield the parts of branches' conditions that never hold, or always do, in every state that can be come to."""
    program = seen.program
    taken = {program.ways[each] for each in seen.taken}
    for phase in program.scenario.phases:
        states = list(seen.in_phase(phase.name))
        if not states:
            continue
        for number, branch in enumerate(phase.branches):
            if Way("branch", phase.name, number=number) not in taken:
                continue      # of the whole branch it has been told that it is never taken
            if not branch.for_s and _always(seen, states, branch.when, phase):
                yield Problem(branch.place, "always-holds",
                              f"`{said(branch.when)}` always holds when phase `{phase.name}` is looked at",
                              "the phase lasts one second, and no later branch of it is ever taken",
                              "ask for something that can be otherwise, or give the branch a `for`", "warning")
            for part, wanted in _parts(branch.when):
                if not wanted and _never(seen, states, part, phase):
                    yield Problem(branch.place, "never-holds",
                                  f"`{said(part)}` never holds in phase `{phase.name}`",
                                  "the branch is taken without it",
                                  "correct it, or delete this part", "warning")
                elif wanted and _always(seen, states, part, phase):
                    yield Problem(branch.place, "always-holds",
                                  f"`{said(part)}` always holds in phase `{phase.name}`",
                                  "the branch asks for nothing by it",
                                  "correct it, or delete this part", "warning")


def _parts(condition: Condition) -> Iterator[tuple[Condition, bool]]:
    """Yield the parts of a condition, and whether all of them have to hold (else any)."""
    if isinstance(condition, All | AnyOf):
        for part in condition.parts:
            yield part, isinstance(condition, All)
            yield from _parts(part)


def _never(seen: Explored, states: list[int], condition: Condition, phase: Phase) -> bool:
    program = seen.program
    held = program.symbols.diagrams.every(program.moment[phase.name], program.symbols.of_condition(condition))
    return held == NO or not seen.allows(program.guards(held), states)


def _always(seen: Explored, states: list[int], condition: Condition, phase: Phase) -> bool:
    program = seen.program
    symbols = program.symbols
    other = symbols.diagrams.every(program.moment[phase.name], symbols.negate(symbols.of_condition(condition)))
    return other == NO or not seen.allows(program.guards(other), states)


def cue_findings(seen: Explored) -> Iterator[Problem]:
    """Yield the cues and events that never happen, in phases that can be come to."""
    scenario = seen.program.scenario
    reached = [phase for phase in scenario.phases if next(seen.in_phase(phase.name), None) is not None]
    for phase in reached:
        for cue in phase.cues:
            if not _may_happen(seen, cue, phase):
                yield _never_due(cue, f"this cue of phase `{phase.name}` never happens")
    for event in scenario.events:
        if event.after_s <= scenario.time_limit_s and not any(_may_happen(seen, event, phase) for phase in reached):
            name = event.key.removeprefix("event/")
            named = replace(event, place=named_at(scenario, name, event.place))
            yield _never_due(named, f"the event `{name}` never happens")


def _may_happen(seen: Explored, cue: Cue, phase: Phase) -> bool:
    program = seen.program
    symbols, every = program.symbols, program.symbols.diagrams.every
    key = TIME if cue.key.startswith("event/") else IN_PHASE
    late = [symbols.atom(each) for each in symbols.cuts(key) if float(each[2]) < cue.after_s or (
        float(each[2]) == cue.after_s and each[3] == ">=")]
    unless = NO if cue.unless is None else symbols.of_condition(cue.unless)
    held = every(program.moment[phase.name], *late, symbols.of_condition(cue.when), symbols.negate(unless))
    return held != NO and seen.allows(program.guards(held), list(seen.in_phase(phase.name)))


def _never_due(cue: Cue, wrong: str) -> Problem:
    return Problem(cue.place, "cue-never-due", wrong,
                   "its condition never holds there, or the phase is always over before it is due",
                   "correct `when` or `unless`, let it come earlier, or delete it", "warning")
