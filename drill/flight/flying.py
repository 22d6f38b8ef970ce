"""From one state of a flight to the next: steps of the airplane, acts beginning and ending, and the whole second."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from drill.airplane import autopilot
from drill.airplane.atmosphere import altitude_m, pressure_pa
from drill.airplane.constants import FOOT
from drill.airplane.controls import HOLD_RPM, RECOVER, WINGS_LEVEL, Controls
from drill.airplane.draws import Draws
from drill.airplane.electrical import transmits
from drill.airplane.failures import CATALOGUE, Active, faults_at
from drill.airplane.faults import Faults
from drill.airplane.model import Start, align_heading, read, truths
from drill.airplane.model import begin as begin_airplane
from drill.airplane.panel import Panel, Truths
from drill.airplane.straight import Steps
from drill.airplane.world import World
from drill.flight import controller, seeds
from drill.flight.acts import apply, cost
from drill.flight.cockpit import Cockpit, Seen, autopilot_flying, reference
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.equipment import on_frequency
from drill.flight.events import (
    Acted,
    Assigned,
    Began,
    Dropped,
    Ended,
    Entered,
    Event,
    Failed,
    Healed,
    Heard,
    Noted,
    Told,
    Trace,
)
from drill.flight.labels import call_data, told_data
from drill.flight.observe import facts, page, rounded, switches_asked, values
from drill.flight.on_the_ground import TAXI_RPM
from drill.flight.readings import shown_of
from drill.flight.replacing import replace
from drill.flight.state import STEPS_A_SECOND, Doing, FlightState, Onset
from drill.flight.tracking import kept_on_course
from drill.flight.weather import field_position, outside_words
from drill.language import read_call
from drill.language.meaning import Action, BreakOff, Call, Context, Decide, Ident, Transmit, Wait
from drill.scenario import story
from drill.scenario.model import Effect, End, Fail, Go, Heal, Note, Say, Scenario, Tell
from drill.scenario.moment import Observation

_LIMIT_WORDS = {
    "ground": ("hit the ground", "The airplane has met the ground."),
    "break-up": ("broke up", "The airplane has come apart in the air."),
    "time up": ("unresolved", "The time of this exercise is over."),
}
CALLED = "broken off: you are called"
_RECOVERED_DPS = 0.8                            # wings level again,
_RECOVERED_KT, _RECOVERED_FPM = 12.0, 1500.0    # the airspeed near what is ordered, and not on the way through it;
_RECOVERED_S = 8.0                              # or in the green arc for so long


@dataclass(frozen=True, slots=True)
class Setting:
    """What does not change during a flight."""

    scenario: Scenario
    seed: int
    world: World
    draws: Draws
    context: Context
    steps: Steps
    sides: dict[str, float] = field(default_factory=dict)
    switches: tuple[str, ...] = ()              # those that the scenario asks about, as codes


def setting_of(scenario: Scenario, seed: int) -> Setting:
    """Return the setting of a flight of `scenario` under `seed`, a whole number from 0 up."""
    world = World(scenario.airplane.airframe, scenario.weather.air)
    return Setting(
        scenario, seed, world, Draws(seed), scenario.context, Steps(world),
        {plan.name: seeds.side(plan.name, seed) for plan in scenario.failures},
        switches_asked(scenario),
    )


def begin(setting: Setting) -> tuple[FlightState, list[Event]]:
    """Return a flight at its first moment and what happens there."""
    scenario = setting.scenario
    start, air = scenario.start, scenario.weather.air
    course: dict[str, Any] = {}
    for each in scenario.fields:
        if scenario.course is not None and each.name == scenario.course[0]:
            north, east = field_position(each)
            course = {"course_north_nm": north, "course_east_nm": east, "course_deg": float(scenario.course[1])}
    controls = Controls(heading_deg=float(start.heading_deg), altitude_ft=float(start.altitude_ft),
                        airspeed_kt=float(start.airspeed_kt), altimeter_setting_hpa=float(start.altimeter_hpa),
                        autopilot=float(start.autopilot),
                        **course)
    if start.on_ground:
        controls = replace(controls, power=HOLD_RPM, rpm=TAXI_RPM)
    right_ft = _rightly_set_ft(start.altitude_ft, start.altimeter_hpa, air.pressure_hpa)
    begins = Start(right_ft, start.heading_deg, start.airspeed_kt, start.fuel_min, float(start.on_ground),
                   float(start.gyros_running))
    airplane = begin_airplane(setting.world, begins, setting.draws)
    if start.autopilot:
        airplane = replace(airplane, autopilot=autopilot.engaged(airplane.autopilot))
    if right_ft != start.altitude_ft and not start.on_ground:   # the hands have settled on the altimeter as it is set
        shown_ft = float(start.altitude_ft)
        airplane = replace(airplane, hands=replace(airplane.hands, altitude_ft=shown_ft, altimeter_was_ft=shown_ft))
    told, effects = story.begin(scenario, seeds.times(scenario, setting.seed))
    state = FlightState(0, airplane, Cockpit(controls, code=scenario.clearance.code), told, controller.begin(scenario))
    events: list[Event] = [Entered(0.0, told.phase)]
    state = _happen(setting, state, effects, events)
    events.append(_assigned(state.atc, 0.0))
    panel, true = _panel(setting, state), truths(setting.world, airplane, controls)
    events.append(_trace(setting, state, panel, true))
    return state, events


def _rightly_set_ft(shown_ft: float, setting_hpa: float, pressure_hpa: float) -> float:
    """Return what an altimeter set to `pressure_hpa` shows (ft) where one set to `setting_hpa` shows `shown_ft`."""
    if setting_hpa == pressure_hpa:
        return shown_ft
    return float(altitude_m(pressure_pa(shown_ft * FOOT, 0.0, 100.0 * setting_hpa), 100.0 * pressure_hpa) / FOOT)


def time_s(state: FlightState) -> float:
    """Return the flight time in seconds, to a tenth."""
    return state.steps / STEPS_A_SECOND


def faults_now(setting: Setting, state: FlightState) -> Faults:
    """Return what is broken in the present second."""
    if not state.onsets:
        return _NOTHING_BROKEN
    second = state.steps // STEPS_A_SECOND
    plans = {plan.name: plan for plan in setting.scenario.failures}
    return faults_at(
        Active(CATALOGUE[plan.part, plan.how], float(second - each.began // STEPS_A_SECOND),
               setting.sides[each.failure], plan.severity)
        for each in state.onsets for plan in (plans[each.failure],)
    )


_NOTHING_BROKEN = Faults()
ENGINE_STOPS = "The engine coughs twice and stops."
"""What is told when the last of the fuel is used: that is heard and felt, and why is for the pilot to find out."""


def panel_now(setting: Setting, state: FlightState) -> Panel:
    """Return what is shown now."""
    return _panel(setting, state)


def _panel(setting: Setting, state: FlightState) -> Panel:
    return read(setting.world, state.airplane, state.cockpit.controls, faults_now(setting, state), setting.draws)


def fly(setting: Setting, state: FlightState, until: int) -> tuple[FlightState, list[Event]]:
    """Return the flight at step `until`, or earlier: at the first step at which something happens, or at its end."""
    goal = min(until, (state.steps // STEPS_A_SECOND + 1) * STEPS_A_SECOND)
    if state.doing is not None:
        goal = min(goal, max(state.doing.until, state.steps + 1))
    airplane, controls, draws = state.airplane, state.cockpit.controls, setting.draws
    faults = faults_now(setting, state)
    was_whole = airplane.motion.broken < 0.5 and airplane.motion.on_ground < 0.5
    airplane = setting.steps.fly(airplane, controls, faults, draws, goal - state.steps, limits=was_whole)
    met_limit = was_whole and (airplane.motion.broken > 0.5 or airplane.motion.on_ground > 0.5)
    steps = state.steps + airplane.step - state.airplane.step
    used_up = state.airplane.motion.fuel_gal > 0.0 >= airplane.motion.fuel_gal and faults.engine > 0.0
    state = replace(state, steps=steps, airplane=airplane)
    events: list[Event] = [Told(time_s(state), ENGINE_STOPS)] if used_up else []
    if state.doing is not None and steps >= state.doing.until:
        state = _finish(setting, state, events)
        state = start_next(setting, state, events)
    if met_limit or steps % STEPS_A_SECOND == 0:
        state = _second(setting, state, events, whole=steps % STEPS_A_SECOND == 0)
    return state, events


def start_next(setting: Setting, state: FlightState, events: list[Event]) -> FlightState:
    """Begin the act that waits, if nothing is being done."""
    if state.doing is not None or state.ended is not None or not state.waiting:
        return state
    action = state.waiting[0]
    seconds, attention = cost(action, setting.scenario)
    talks = isinstance(action, Transmit)
    controls = replace(state.cockpit.controls, attention=attention, transmitting=1.0 if talks else 0.0)
    events.append(Began(time_s(state), action.as_labels(), seconds))
    return replace(
        state, waiting=state.waiting[1:], cockpit=replace(state.cockpit, controls=controls),
        doing=Doing(action, state.steps, state.steps + round(seconds * STEPS_A_SECOND)),
    )


def break_off(state: FlightState, events: list[Event]) -> FlightState:
    """Drop the act being done and all that wait."""
    dropped = ((state.doing.action,) if state.doing is not None else ()) + state.waiting
    now = time_s(state)
    events.append(Dropped(now, tuple(each.as_labels() for each in dropped)))
    action = BreakOff()
    events.append(Acted(now, action.as_labels(), now))
    return replace(_hands_free(state), waiting=(), acts=(*state.acts, action))


def _hands_free(state: FlightState) -> FlightState:
    controls = replace(state.cockpit.controls, attention=1.0, transmitting=0.0)
    return replace(state, doing=None, cockpit=replace(state.cockpit, controls=controls))


def _seen(setting: Setting, state: FlightState) -> Seen:
    true = truths(setting.world, state.airplane, state.cockpit.controls)
    return Seen(
        setting.scenario, shown_of(_panel(setting, state)),
        outside_words(setting.scenario, true.north_nm, true.east_nm, true.altitude_ft, parked=true.parked > 0.5),
        true.north_nm, true.east_nm, float(state.airplane.hands.reckoned_deg), float(true.throttle),
        time_s(state), float(true.fuel_min), float(true.icing) > 0.5,
        true.parked > 0.5, float(true.groundspeed_kt), float(true.heading_deg),
    )


def _finish(setting: Setting, state: FlightState, events: list[Event]) -> FlightState:
    """End the act being done: what it changes, and what the pilot gets from it."""
    doing = state.doing
    if doing is None:
        return state
    seen = _seen(setting, state)
    state = _hands_free(state)
    began, now = doing.began / STEPS_A_SECOND, time_s(state)
    if isinstance(doing.action, Transmit):
        return _transmitted(setting, state, doing.action, seen, began, events)
    effect = apply(doing.action, state.cockpit, seen)
    if doing.called:
        effect = replace(effect, result=CALLED)
    carried_out = effect.action or doing.action
    state = replace(state, cockpit=effect.cockpit)
    if effect.set_heading_indicator_to is not None:
        state = replace(state, airplane=align_heading(state.airplane, effect.set_heading_indicator_to))
    if not effect.refused:
        state = replace(state, acts=(*state.acts, carried_out))
    events.append(Acted(now, carried_out.as_labels(), began, effect.result, refused=effect.refused))
    return state


def _transmitted(setting: Setting, state: FlightState, said: Transmit, seen: Seen, began: float,
                 events: list[Event]) -> FlightState:
    now = time_s(state)
    meaning = said.meaning if said.meaning != Call() else read_call(said.call, setting.context)
    heard = transmits(state.cockpit.controls, faults_now(setting, state), seen.shown["volts"])
    if not (heard and on_frequency(state.cockpit, setting.scenario.clearance.frequency)):
        dark = seen.shown["radio_on"] < 0.5
        why = "the radio is dark: nothing goes out" if dark else "no answer: nobody has heard it"
        events.append(Acted(now, said.as_labels(), began, why, heard=False, meaning=call_data(meaning),
                            told=told_data(state.atc.told)))
        return state
    meaning = replace(controller.understood(state.atc, meaning, setting.context),
                      answers=controller.awaits(state.atc, began))
    state = replace(state, atc=controller.hear(state.atc, meaning),
                    acts=(*state.acts, replace(said, meaning=meaning)))
    events.append(Acted(now, said.as_labels(), began, meaning=call_data(meaning), told=told_data(state.atc.told)))
    return state


def _second(setting: Setting, state: FlightState, events: list[Event], *, whole: bool) -> FlightState:
    """Let the story look, the controller speak and the record take its line; at a limit, the story alone."""
    scenario, now = setting.scenario, time_s(state)
    state = _recovered(setting, state)
    if whole and state.cockpit.tracking:
        state = replace(state, cockpit=kept_on_course(state.cockpit, _seen(setting, state)))
    panel = _panel(setting, state)
    true = truths(setting.world, state.airplane, state.cockpit.controls)
    seen = Observation(
        now, _values(setting, state, panel, true),
        facts(scenario, panel, true, state.cockpit, (each.failure for each in state.onsets), setting.switches),
        state.acts,
        broken=true.broken > 0.5, on_ground=true.on_ground > 0.5,
    )
    pressed = any(isinstance(each, Ident) for each in state.acts)
    told, effects = story.step(scenario, state.story, seen)
    before = (state.atc.heading_deg, state.atc.altitude_ft, state.atc.approach)
    state = _happen(setting, replace(state, story=told, acts=()), effects, events)
    if whole and state.ended is None:
        talks = state.doing is not None and isinstance(state.doing.action, Transmit)
        radar = Radar(float(true.north_nm), float(true.east_nm), float(true.altitude_ft), float(true.track_deg),
                      _code_seen(setting, state, panel), true.parked > 0.5, pressed and panel.transponder_on > 0.5)
        atc, spoken = controller.step(scenario, state.atc, radar, now, pilot_talks=talks, seed=setting.seed)
        state = replace(state, atc=atc)
        if panel.radio_on > 0.5 and on_frequency(state.cockpit, scenario.clearance.frequency):
            events += [Heard(now, each.voice, each.words, each.to_us, each.mistake, each.wants) for each in spoken]
            if any(each.to_us for each in spoken):
                state = _called(state, wanted=any(bool(each.wants) for each in spoken))
    if (state.atc.heading_deg, state.atc.altitude_ft, state.atc.approach) != before:
        events.append(_assigned(state.atc, now))
    if whole or state.ended is not None:
        events.append(_trace(setting, state, panel, true))
    if state.ended is not None:
        events.append(state.ended)
        state = replace(_hands_free(state), waiting=())
    return state


def _code_seen(setting: Setting, state: FlightState, panel: Panel) -> str:
    """Return the transponder's code as radar sees it, "" for a dark one."""
    return (state.cockpit.code or setting.scenario.clearance.code) if panel.transponder_on > 0.5 else ""


def _called(state: FlightState, *, wanted: bool) -> FlightState:
    """End a wait with the next step: one for a call with any call, another where ATC wants something (`wanted`).

    A wait with acts behind it goes on: cutting it short would do them early, and spoil a timed turn.
    """
    doing = state.doing
    if doing is None or not isinstance(doing.action, Wait):
        return state
    if doing.action.until_called:
        return replace(state, doing=replace(doing, until=state.steps))
    if not wanted or state.waiting:
        return state
    return replace(state, doing=replace(doing, until=state.steps, called=True))


def _recovered(setting: Setting, state: FlightState) -> FlightState:
    """End a recovery from an upset once the wings are level and the airspeed is back, or safe for some seconds."""
    controls = state.cockpit.controls
    if controls.lateral != RECOVER:
        return state if state.safe_since is None else replace(state, safe_since=None)
    panel, frame = _panel(setting, state), setting.scenario.airplane.airframe
    safe = frame.stall_kt < panel.airspeed_kt <= frame.cruise_most_kt
    since = (state.safe_since if state.safe_since is not None else state.steps) if safe else None
    state = replace(state, safe_since=since)
    near = (abs(panel.airspeed_kt - controls.airspeed_kt) <= _RECOVERED_KT
            and abs(panel.vertical_speed_fpm) <= _RECOVERED_FPM)
    settled = since is not None and state.steps - since >= _RECOVERED_S * STEPS_A_SECOND
    if abs(panel.turn_rate_dps) > _RECOVERED_DPS or not (near or settled):
        return state
    controls = replace(controls, lateral=WINGS_LEVEL)
    return replace(state, safe_since=None, cockpit=replace(state.cockpit, controls=controls))


def _values(setting: Setting, state: FlightState, panel: Panel, true: Truths) -> dict[str, float]:
    now = time_s(state)
    return values(setting.scenario, panel, true, heading_deg=state.atc.heading_deg, altitude_ft=state.atc.altitude_ft,
                  t_s=now, in_phase_s=now - state.story.entered_s)


def _happen(setting: Setting, state: FlightState, effects: tuple[Effect, ...], events: list[Event]) -> FlightState:
    """Let the effects of the story happen, in order."""
    now = time_s(state)
    for effect in effects:
        match effect:
            case Tell(words):
                events.append(Told(now, words))
            case Say():
                state = replace(state, atc=controller.say(state.atc, effect, now))
            case Fail(name):
                plan = next(each for each in setting.scenario.failures if each.name == name)
                state = replace(state, onsets=(*state.onsets, Onset(name, state.steps)))
                events.append(Failed(now, name, plan.part, plan.how))
            case Heal(name):
                state = replace(state, onsets=tuple(each for each in state.onsets if each.failure != name))
                events.append(Healed(now, name))
            case Note(flag):
                events.append(Noted(now, flag))
            case Go(phase):
                events.append(Entered(now, phase))
            case End(name):
                state = replace(state, ended=_ending(setting.scenario, name, now))
    return state


def _ending(scenario: Scenario, name: str, now: float) -> Ended:
    """Return an ending in the author's words, or, for a limit that has none, in plain ones."""
    for ending in scenario.endings:
        if ending.name == name:
            return Ended(now, name, ending.outcome, ending.tell)
    return Ended(now, name, *_LIMIT_WORDS.get(name, ("unresolved", "")))


def _assigned(atc: ControllerState, now: float) -> Assigned:
    return Assigned(now, atc.heading_deg, atc.altitude_ft, atc.approach)


def _trace(setting: Setting, state: FlightState, panel: Panel, true: Truths) -> Trace:
    failed = [each.failure for each in state.onsets]
    return Trace(
        time_s(state), page(panel), page(true), rounded(_values(setting, state, panel, true)),
        tuple(sorted(facts(setting.scenario, panel, true, state.cockpit, failed, setting.switches))),
        page(state.cockpit.controls), state.cockpit.covered,
        reference(state.cockpit.controls, autopilot_flying(setting.scenario.airplane.airframe, panel.autopilot_on)),
        state.doing.action.kind if state.doing is not None else "", state.story.phase,
    )


def _said(setting: Setting, action: Action) -> Action:
    """Return the act that does what is meant: IFR is not cancelled by deciding to, but by telling ATC."""
    if isinstance(action, Decide) and action.plan == "cancel_ifr":
        words = f"{setting.scenario.callsign}, cancel IFR"
        return Transmit(words, read_call(words, setting.context))
    return action


def queued(setting: Setting, state: FlightState, actions: list[Action], events: list[Event]) -> FlightState:
    """Put acts in the queue, in order, each as it is done; begin the first if nothing is being done."""
    for action in actions:
        if isinstance(action, BreakOff):
            state = break_off(state, events)
        else:
            state = replace(state, waiting=(*state.waiting, _said(setting, action)))
    return start_next(setting, state, events)
