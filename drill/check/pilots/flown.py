"""Flights of simulated pilots flown side by side: the airplanes as arrays, what happens in each by the flight itself.

Nothing is decided here. A flight is `flight.flying.fly` on a `FlightState`, as everywhere; but it is called only for
those flights and in those seconds in which something can happen: an act ends, the story may move (`waking`), the
controller looks up (`resting`). The tenths in between only move airplanes, and they are moved together by
`airplane.fleet`. `sleeps=False` calls every flight every second, which is slow and comes to the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from drill.airplane import fleet
from drill.airplane.arith import ARRAYS
from drill.airplane.controls import RECOVER, Controls
from drill.airplane.draws import Draws
from drill.airplane.failures import CATALOGUE
from drill.airplane.faults import Faults
from drill.airplane.model import State, read, truths
from drill.airplane.panel import Panel, Truths
from drill.airplane.world import World
from drill.check.pilots.columns import Settings, built, leaves, one_of, some_of, with_one
from drill.check.pilots.observed import Observed, observed, off_course
from drill.check.pilots.pilot import Sight, SimulatedPilot, alarming
from drill.check.pilots.radar import RadarWatch
from drill.check.pilots.resting import Resting, may_rest, unchanged
from drill.check.pilots.sheet_truths import SheetTruths
from drill.check.pilots.waking import Stories
from drill.flight import controller, flying
from drill.flight.controller_state import ControllerState, Radar
from drill.flight.events import Acted, Assigned, Ended, Event, Failed, Healed, Heard, Trace
from drill.flight.replacing import replace
from drill.flight.state import STEPS_A_SECOND, FlightState
from drill.language.meaning import Action, Transmit
from drill.scenario.model import Scenario
from drill.scenario.truth import fact_key

_FAR = 1 << 40                                   # a step that never comes
_HANDS = ("bank_by", "heading_by", "pitch_by", "lateral", "heading_deg", "direction", "turn_by_deg", "turn_rate_dps",
          "vertical", "altitude_ft", "climb_fpm", "pitch_deg", "power", "airspeed_kt", "throttle", "attention",
          "altimeter_setting_hpa", "transmitting")   # each flight has its own, so that the airplane is compiled once
_NEWS = (Acted, Assigned, Ended, Failed, Healed, Heard)
_FEWER = 0.75                                    # so many of the airplanes still flying, the others are left behind


@dataclass(slots=True)
class Kept:
    """What is kept of one flight: its events but for the traces; the traces of moments at which something happened,
    the last one with its values; and what the pilot ordered when."""

    events: list[Event] = field(default_factory=list)
    traces: list[Trace] = field(default_factory=list)
    orders: list[tuple[float, tuple[Action, ...]]] = field(default_factory=list)


class Crowd:
    """N flights of one scenario, each with its seed and pilot, from their first moment to their endings.

    Arrays are of those that still fly, in their order; `who` are their places among all.
    """

    def __init__(self, scenario: Scenario, seeds: Sequence[int], pilots: Sequence[SimulatedPilot], *,
                 sleeps: bool = True, compiled: bool | None = None) -> None:
        self.scenario, self.seeds, self.pilots = scenario, list(seeds), list(pilots)
        self._sleeps, self._compiled = sleeps, compiled
        count = len(self.seeds)
        self.kept = [Kept() for _ in self.seeds]
        self.second = 0
        self.who = np.arange(count)
        self.live = np.ones(count, dtype=bool)
        self._settings = [flying.setting_of(scenario, seed) for seed in self.seeds]
        self._world = World(scenario.airplane.airframe, scenario.weather.air, ARRAYS)
        self._draws = Draws(self.seeds)
        self._controls = Settings(Controls, count, _HANDS)
        effects = {plan.name: CATALOGUE[plan.part, plan.how].effects for plan in scenario.failures}
        self._faults = Settings(Faults, count, sorted({each.field for mine in effects.values() for each in mine}))
        self._ramps_s = {name: max(each.over_s for each in mine) for name, mine in effects.items()}
        self._ramping = np.full(count, -np.inf)              # until when (s) a failure still grows
        self._until = np.full(count, _FAR)                   # the step at which the act being done ends
        self._tracks = np.zeros(count, dtype=bool)           # follows the course needle
        self._recovers = np.zeros(count, dtype=bool)         # from an upset: the hands look each second
        self._acted = np.zeros(count, dtype=bool)            # has done something since the story last looked
        self._looked = np.zeros(count)                       # the second at which each flight last looked about it
        self._pilot_s = np.zeros(count)                      # when each pilot has something to do
        self._panel_was = np.zeros((2, count))               # autopilot and transponder, a second ago
        self._believed = {fact_key("failed", plan.name): np.zeros(count, dtype=bool) for plan in scenario.failures}
        self._stories, self._radar = Stories(scenario, count), RadarWatch(scenario, count)
        self._resting, self.sheet = Resting(scenario, count), SheetTruths(scenario, count)
        self._news: list[list[Event]] = [[] for _ in self.seeds]
        begun = [flying.begin(setting) for setting in self._settings]
        self._states: list[FlightState] = [state for state, _ in begun]
        self._airplane = built([np.array(each) for each in zip(*(
            list(leaves(state.airplane)) for state in self._states), strict=True)], 0)
        for which, (state, events) in enumerate(begun):
            self._take(which, state, events, new=True)
            self._radar.adopt(which, state.atc)

    def fly(self, most_s: float = np.inf) -> None:
        """Fly all to their endings, or until `most_s` of flight."""
        self._look_about(wake=False)
        while self.live.any() and self.second < most_s:
            self._leave_behind()
            self._pass_second()

    @property
    def _varies(self) -> set[str]:
        return {*(f"controls.{each}" for each in self._controls.varies),
                *(f"faults.{each}" for each in self._faults.varies)}

    def _pass_second(self) -> None:
        at = self.second * STEPS_A_SECOND
        end = at + STEPS_A_SECOND
        while at < end:
            goal = min(end, int(self._until[self.live & (self._until > at)].min(initial=_FAR)))
            before = self._airplane
            self._airplane = fleet.fly(self._world, before, self._controls.all(), self._faults.all(), self._draws,
                                       goal - at, self._varies, self._compiled)
            self._limits(before, at, goal)
            at = goal
            if at < end and (due := np.flatnonzero(self.live & (self._until <= at))).size:
                columns = leaves(self._airplane)
                for which in due:
                    self._happens(int(which), columns, at)
        self.second += 1
        self._look_about(wake=True)

    def _limits(self, before: State, start: int, end: int) -> None:
        """End the flights that broke up or met the ground between two steps, each at its own step."""
        now, was = self._airplane.motion, before.motion
        met = self.live & (was.broken < 0.5) & (was.on_ground < 0.5) & ((now.broken > 0.5) | (now.on_ground > 0.5))
        for which in np.flatnonzero(met):
            place = np.array([which])
            controls, faults = (
                type(part)(**{each.name: value[place] if np.ndim(value := getattr(part, each.name)) else value
                              for each in fields(part)}) for part in (self._controls.all(), self._faults.all()))
            alone, draws = some_of(before, place), Draws([self.seeds[self.who[which]]])
            for at in range(start, end):
                last = alone
                alone = fleet.fly(self._world, alone, controls, faults, draws, 1, self._varies, self._compiled)
                if alone.motion.broken[0] > 0.5 or alone.motion.on_ground[0] > 0.5:
                    self._happens(int(which), [column[[0] * (which + 1)] for column in leaves(last)], at, at + 1)
                    break

    def _happens(self, which: int, columns: Sequence[Any], step: int, until: int | None = None) -> None:
        """Let what is due in flight `which` at `step` happen; with `until`, what comes in the steps up to then."""
        was = self._states[which]
        airplane = one_of(columns, which, step)
        whole = until is None and step % STEPS_A_SECOND == 0
        looked = (step - 1 if whole else step) // STEPS_A_SECOND
        atc = was.atc
        if self._looked[which] != looked:
            atc = self._radar.into(which, atc, float(looked), before=whole)
        state, events = flying.fly(self._settings[which], replace(was, steps=step, airplane=airplane, atc=atc),
                                   step if until is None else until)
        if state.airplane is not airplane and state.ended is None:
            self._airplane = with_one(self._airplane, which, state.airplane)
        self._looked[which] = looked + whole
        self._acted[which] = bool(state.acts)
        self._take(which, state, events)
        self._radar.adopt(which, state.atc)
        if whole and not state.acts:
            self._let_rest(which, atc, state)
        elif whole or state.atc is not was.atc:
            self._resting.wake(which)

    def _let_rest(self, which: int, was: ControllerState, state: FlightState) -> None:
        """Let the controller rest, who was so a second ago, if nothing came of looking."""
        code = state.cockpit.code or self.scenario.clearance.code
        if unchanged(was, state.atc) and may_rest(self.scenario, state.atc, code):
            self._resting.rest(which, state.atc, float(self.second), self._radar)
        else:
            self._resting.wake(which)

    def _listens(self, which: int, true: Truths, panel: Panel) -> bool:
        """Let the controller alone look at flight `which`; False, and nothing has happened, if he has something to say.

        Then the whole of the second is flown by the flight itself, in which he will say it.
        """
        state, t = self._states[which], float(self.second)
        was = state.atc if self._looked[which] == t - 1.0 else self._radar.into(which, state.atc, t - 1.0, before=True)
        code = state.cockpit.code or self.scenario.clearance.code
        radar = Radar(true.north_nm.item(which), true.east_nm.item(which), true.altitude_ft.item(which),
                      true.track_deg.item(which), code if panel.transponder_on[which] > 0.5 else "",
                      bool(true.parked[which] > 0.5))
        talks = state.doing is not None and isinstance(state.doing.action, Transmit)
        seed = self.seeds[self.who[which]]
        atc, spoken = controller.step(self.scenario, was, radar, t, pilot_talks=talks, seed=seed)
        if spoken or _assigned(atc) != _assigned(was):
            return False
        self._looked[which] = t
        state = self._states[which] = replace(state, atc=atc)
        self._radar.adopt(which, atc)
        self._let_rest(which, was, state)
        return True

    def _take(self, which: int, state: FlightState, events: Sequence[Event], *, new: bool = False) -> None:
        """Take over what has become of flight `which`."""
        kept, was = self.kept[self.who[which]], self._states[which]
        self._states[which] = state
        for event in events:
            if isinstance(event, Trace):
                if state.ended is None:
                    event = replace(event, shown={}, true={}, values={})
                kept.traces.append(event)
                self._stories.note(which, state.story, frozenset(event.facts))
            else:
                kept.events.append(event)
                if isinstance(event, _NEWS):
                    self._news[which].append(event)
        self._controls.set(which, state.cockpit.controls)
        self._until[which] = _FAR if state.doing is None else max(state.doing.until, state.steps + 1)
        self._tracks[which] = state.cockpit.tracking
        self._recovers[which] = state.cockpit.controls.lateral == RECOVER
        if new or was.onsets != state.onsets:
            self._faults.set(which, flying.faults_now(self._settings[which], state))
            self._ramping[which] = max((each.began / STEPS_A_SECOND + self._ramps_s[each.failure] + 1.0
                                        for each in state.onsets), default=-np.inf)
        if state.ended is not None:
            self.live[which], self._until[which] = False, _FAR

    def _look_about(self, *, wake: bool) -> None:
        """Look at every flight at a whole second: let happen what may, note the sheet, let the pilots act."""
        t, step = float(self.second), self.second * STEPS_A_SECOND
        for which in np.flatnonzero(self.live & (self._ramping >= t)):
            state = replace(self._states[which], steps=step)
            self._faults.set(int(which), flying.faults_now(self._settings[which], state))
        controls, faults = self._controls.all(arrays=True), self._faults.all()
        panel = read(self._world, self._airplane, controls, faults, self._draws)
        true = truths(self._world, self._airplane, controls)
        if wake:
            self._radar.advance(t, true.north_nm, true.east_nm, true.altitude_ft, true.track_deg, true.parked > 0.5)
            seen = observed(self.scenario, panel, true, self._radar.heading_deg, self._radar.altitude_ft)
            panel_is = np.stack([panel.autopilot_on, panel.transponder_on])
            awake = self.live if not self._sleeps else self.live & (
                self._acted | self._recovers | (self._until <= step) | (panel_is != self._panel_was).any(axis=0)
                | (self._tracks & off_course(panel, controls, self._airplane.hands))
                | self._stories.may_move(t, seen.truth(self._stories, t), self.live))
            looks = self.live & ~awake & self._resting.looks(t, self._radar)
            self._panel_was = panel_is
            columns = leaves(self._airplane)
            for which in np.flatnonzero(awake | looks):
                if awake[which] or not self._listens(int(which), true, panel):
                    self._happens(int(which), columns, step)
        seen = observed(self.scenario, panel, true, self._radar.heading_deg, self._radar.altitude_ft)
        self.sheet.note(seen.truth(self._stories, t), panel)
        self._pilots_act(panel, seen, t)

    def _pilots_act(self, panel: Panel, seen: Observed, t: float) -> None:
        opened = self.sheet.opened(seen.truth(self._stories, t, self._believed), self.live)
        acts = (self._pilot_s <= t) | alarming(self.scenario.airplane.airframe, panel.airspeed_kt, panel.turn_rate_dps)
        acts |= np.fromiter(map(bool, self._news), dtype=bool, count=len(self._news))
        acts[list(opened)] = True
        for which in np.flatnonzero(acts & self.live):
            state, place = self._states[which], self.who[which]
            sight = Sight(t, panel.altitude_ft.item(which), panel.airspeed_kt.item(which),
                          panel.turn_rate_dps.item(which), state.atc.question, bool(seen.cloud[which]))
            news, self._news[which] = self._news[which], []
            pilot = self.pilots[place]
            actions = pilot.next(sight, news, opened.get(int(which), ()))
            self._pilot_s[which] = pilot.due_s
            for name, believed in self._believed.items():
                believed[which] = name.removeprefix("failed ") in pilot.doubted
            if actions:
                events: list[Event] = []
                state = replace(state, steps=self.second * STEPS_A_SECOND)
                state = flying.queued(self._settings[which], state, actions, events)
                self.kept[place].orders.append((t, tuple(actions)))
                self._take(int(which), state, events)

    def _leave_behind(self) -> None:
        """Go on with those that still fly alone, once there are enough others."""
        if self.live.sum() > _FEWER * len(self.live):
            return
        where = np.flatnonzero(self.live)
        for part in (self._controls, self._faults, self._stories, self._radar, self._resting, self.sheet):
            part.keep(where)
        self._airplane = some_of(self._airplane, where)
        for name in ("who", "live", "_ramping", "_until", "_tracks", "_recovers", "_acted", "_looked", "_pilot_s"):
            setattr(self, name, getattr(self, name)[where])
        self._panel_was = self._panel_was[:, where]
        self._believed = {name: each[where] for name, each in self._believed.items()}
        for name in ("_settings", "_states", "_news"):
            held = getattr(self, name)
            setattr(self, name, [held[which] for which in where])
        self._draws = Draws([self.seeds[place] for place in self.who])


def _assigned(atc: ControllerState) -> tuple[float | None, float | None, str | None]:
    return atc.heading_deg, atc.altitude_ft, atc.approach
