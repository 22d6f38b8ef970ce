"""The story: `step(StoryState, Observation) -> (StoryState, effects)`, pure; one meaning for all who follow it.

Order inside a step, once and for all: what the pilot has done adds up; break-up and the ground; failures and events
whose time has come; cues of the phase; branches, in the author's order; the time limit. An airplane that has broken up
or met the ground ends the flight there, whatever a branch would make of that second. At most one phase is left in a
step, and the phase entered is looked at in the next one. After the end nothing happens any more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from drill.language.meaning import Action, Transmit
from drill.scenario.acts import ActPattern, planned
from drill.scenario.conditions import Condition, acts_in, evaluate
from drill.scenario.deeds import once_more
from drill.scenario.model import ActTree, Cue, Effect, End, Fail, Go, Heal, Note, Scenario
from drill.scenario.moment import Observation, StoryState
from drill.scenario.names import same_place
from drill.scenario.truth import PlainTruth


def begin(scenario: Scenario, times: Mapping[str, float | None]) -> tuple[StoryState, tuple[Effect, ...]]:
    """Return the story at its first moment and what happens there.

    `times` has an entry, in seconds or None for never, for each failure (by name) and event (by cue key); an event
    without one comes at its earliest time. Failures of time 0 have happened before the flight is taken up.
    """
    drawn = {cue.key: cue.after_s for cue in scenario.events} | dict(times)
    state = StoryState(phase=scenario.start.phase, t_s=0.0, entered_s=0.0, times=tuple(sorted(drawn.items())))
    state, failed = _timed_failures(scenario, state)
    state, entered = _enter(scenario, state, scenario.start.phase)
    return state, (*failed, *entered)


def step(scenario: Scenario, state: StoryState, seen: Observation) -> tuple[StoryState, tuple[Effect, ...]]:
    """Return the story after `seen`, and what happens, in order."""
    if state.ended is not None:
        return state, ()
    state = _with_acts(scenario, replace(state, t_s=seen.t_s), seen.acts)
    if seen.broken or seen.on_ground:
        state, done = _apply(scenario, state, (End("break-up" if seen.broken else "ground"),))
        return state, tuple(done)
    state, done = _timed_failures(scenario, state)
    effects = list(done)

    phase = scenario.phase(state.phase)
    for cue, starts_s in _due(scenario, state):
        if cue.key in state.fired or seen.t_s < starts_s or not _may(cue, state, seen):
            continue
        state, done = _apply(scenario, replace(state, fired=state.fired | {cue.key}), cue.effects)
        effects += done
        if state.ended is not None or _moves(cue.effects):
            return state, tuple(effects)

    truth = PlainTruth(state, seen)
    holding = tuple(
        (since if since is not None else seen.t_s) if evaluate(branch.when, truth) else None
        for branch, since in zip(phase.branches, state.holding, strict=True)
    )
    state = replace(state, holding=holding)
    for branch, since in zip(phase.branches, holding, strict=True):
        if since is not None and seen.t_s - since >= branch.for_s:
            state, done = _apply(scenario, state, branch.effects)
            return state, (*effects, *done)

    if seen.t_s >= scenario.time_limit_s:
        state, done = _apply(scenario, state, (End("time up"),))
        effects += done
    return state, tuple(effects)


def every_condition(scenario: Scenario) -> Iterator[Condition]:
    """Yield every condition that the scenario speaks of: in its story, on its grade sheet, in its polls."""
    cues = [*scenario.events, *(cue for phase in scenario.phases for cue in phase.cues)]
    every = (
        *(branch.when for phase in scenario.phases for branch in phase.branches),
        *(condition for cue in cues for condition in (cue.when, cue.unless)),
        *(condition for item in scenario.grade_sheet for condition in (item.keep, item.when, item.before)),
        *(poll.when for poll in scenario.polls),
    )
    return (each for each in every if each is not None)


def patterns_of(scenario: Scenario) -> Iterator[ActPattern]:
    """Yield every act pattern that the scenario speaks of, in conditions and on the grade sheet."""
    for condition in every_condition(scenario):
        yield from (act.pattern for act in acts_in(condition))
    for item in scenario.grade_sheet:
        for tree in (item.do, item.never):
            yield from tree_patterns(tree)


def effects_of(scenario: Scenario) -> Iterator[Effect]:
    """Yield whatever the story can make happen, by itself or in a branch."""
    for event in scenario.events:
        yield from event.effects
    for phase in scenario.phases:
        yield from phase.enter
        for cue in phase.cues:
            yield from cue.effects
        for branch in phase.branches:
            yield from branch.effects


def tree_patterns(tree: ActTree | None) -> Iterator[ActPattern]:
    """Yield the patterns of an act tree; None has none."""
    if tree is None:
        return
    if tree.pattern is not None:
        yield tree.pattern
    for part in tree.parts:
        yield from tree_patterns(part)


def _with_acts(scenario: Scenario, state: StoryState, acts: tuple[Action, ...]) -> StoryState:
    if not acts:
        return state
    counted = _counted(scenario)
    told, plan, did, here = state.told, state.plan, state.did, state.did_here
    for act in acts:
        if isinstance(act, Transmit):
            told = told.with_call(act.meaning)
        if (decision := planned(act)) is not None:
            plan = f"{decision.plan} {_place(scenario, decision.where)}".strip()
        for (pattern, since), most in counted.items():
            if (not since or since in state.started) and pattern.matches(act, told):
                did = once_more(did, pattern.key, since, most)
                here = here if since else once_more(here, pattern.key, since, most)
    return replace(state, told=told, plan=plan, did=did, did_here=here)


def _counted(scenario: Scenario) -> dict[tuple[ActPattern, str], int]:
    """Return what the scenario asks for, as an act and a failure since which (or ""), and how often at the most."""
    counted = {(pattern, ""): 1 for pattern in patterns_of(scenario)}
    for condition in every_condition(scenario):
        for act in acts_in(condition):
            key = (act.pattern, act.since)
            counted[key] = max(counted.get(key, 1), act.times)
    return counted


def _place(scenario: Scenario, where: str | None) -> str:
    """Return the place as the scenario spells it, where it is one of its fields."""
    if where is None:
        return ""
    names = sorted((field.name for field in scenario.fields), key=lambda name: name.casefold() != where.casefold())
    return next((name for name in names if same_place(name, where)), where)


def _timed_failures(scenario: Scenario, state: StoryState) -> tuple[StoryState, list[Effect]]:
    times, effects = dict(state.times), list[Effect]()
    for plan in scenario.failures:
        at_s = times.get(plan.name)
        if at_s is not None and state.t_s >= at_s and (plan.name not in state.started or plan.every_s is not None):
            state, done = _apply(scenario, state, (Fail(plan.name),))
            effects += done
            if done and plan.every_s is not None:
                state = _due_again(state, plan.name, state.t_s + plan.every_s)
        began_s = dict(state.since).get(plan.name)
        if began_s is not None and plan.lasts_s is not None and state.t_s >= began_s + plan.lasts_s:
            again_s = dict(state.times).get(plan.name)
            if plan.every_s is not None and at_s is None:   # the story began it
                again_s = began_s + plan.every_s
            state, done = _apply(scenario, state, (Heal(plan.name),))
            state = _due_again(state, plan.name, again_s)
            effects += done
    return state, effects


def _due_again(state: StoryState, failure: str, at_s: float | None) -> StoryState:
    return replace(state, times=tuple(sorted({**dict(state.times), failure: at_s}.items())))


def _due(scenario: Scenario, state: StoryState) -> Iterator[tuple[Cue, float]]:
    """Yield the scenario's events and the phase's cues, each with the flight time from which it may happen."""
    times = dict(state.times)
    for event in scenario.events:
        at_s = times.get(event.key)
        if at_s is not None:
            yield event, at_s
    for cue in scenario.phase(state.phase).cues:
        yield cue, state.entered_s + cue.after_s


def _may(cue: Cue, state: StoryState, seen: Observation) -> bool:
    truth = PlainTruth(state, seen)
    if cue.unless is not None and evaluate(cue.unless, truth):
        return False
    return cue.when is None or bool(evaluate(cue.when, truth))


def _moves(effects: tuple[Effect, ...]) -> bool:
    return any(isinstance(effect, Go | End) for effect in effects)


def _apply(scenario: Scenario, state: StoryState, effects: tuple[Effect, ...]) -> tuple[StoryState, list[Effect]]:
    """Return the story after `effects`, and those that changed something. Nothing follows a Go or an End."""
    happened: list[Effect] = []
    for effect in effects:
        match effect:
            case Fail(name):
                if name in state.started and name not in state.healed:
                    continue
                state = replace(
                    state,
                    started=state.started | {name},
                    healed=state.healed - {name},
                    since=tuple(sorted({**dict(state.since), name: state.t_s}.items())),
                )
            case Heal(name):
                if name not in state.started or name in state.healed:
                    continue
                state = replace(
                    state,
                    healed=state.healed | {name},
                    since=tuple(each for each in state.since if each[0] != name),
                )
                state = _due_again(state, name, None)   # what the story mends does not come back by itself
            case Note(flag):
                if flag in state.notes:
                    continue
                state = replace(state, notes=state.notes | {flag})
            case Go(name):
                state, entered = _enter(scenario, state, name)
                return state, [*happened, effect, *entered]
            case End(name):
                return replace(state, ended=name), [*happened, effect]
            case _:
                pass
        happened.append(effect)
    return state, happened


def _enter(scenario: Scenario, state: StoryState, name: str) -> tuple[StoryState, list[Effect]]:
    phase = scenario.phase(name)
    events = {cue.key for cue in scenario.events}
    state = replace(
        state,
        phase=name,
        entered_s=state.t_s,
        did_here=frozenset(),
        fired=state.fired & events,
        holding=(None,) * len(phase.branches),
    )
    return _apply(scenario, state, tuple(effect for effect in phase.enter if not isinstance(effect, Go | End)))
