"""One flight: typed lines and acts in, time in, events out. The only thing in this room that changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from drill.airplane.model import truths
from drill.airplane.panel import Panel, Truths
from drill.clean import clean_line
from drill.flight import flying
from drill.flight.cockpit import autopilot_flying, reference
from drill.flight.controller_state import ControllerState
from drill.flight.events import Asked, Ended, Event, Typed
from drill.flight.flying import Setting
from drill.flight.labels import action_data
from drill.flight.state import MOST_WAITING, STEPS_A_SECOND, FlightState
from drill.flight.understanding import answers
from drill.language import read, read_call
from drill.language.meaning import Action, BreakOff, Decide, Diagnose, Transmit, Unclear
from drill.language.sending import kept_back
from drill.scenario.model import Scenario

_STEP_US = 1_000_000 // STEPS_A_SECOND
MOST_AT_ONCE_S = 24 * 3600.0
TOO_MUCH = "That is more than can wait its turn. Let some of it be done, or break off."


class Flight:
    """One flight of one scenario under one seed."""

    __slots__ = ("_by", "_setting", "_state")

    def __init__(self, setting: Setting, state: FlightState, by: str = "typed") -> None:
        self._setting = setting
        self._state = state
        self._by = by

    @classmethod
    def start(cls, scenario: Scenario, seed: int, by: str = "typed") -> tuple[Flight, list[Event]]:
        """Return a flight of `scenario` at its first moment, and what happens there.

        `seed` is a whole number from 0 up; `by` says which pilot flies: typed, script, exemplar, simulated, room.
        """
        setting = flying.setting_of(scenario, seed)
        state, events = flying.begin(setting)
        return cls(setting, state, by), events

    def fork(self) -> Flight:
        """Return a flight that goes on from here on its own, through the same air."""
        return Flight(self._setting, self._state, self._by)

    def hand_to(self, by: str) -> None:
        """Let another pilot (`typed`, `exemplar` ...) fly from here on."""
        self._by = by

    @property
    def scenario(self) -> Scenario:
        """The scenario flown."""
        return self._setting.scenario

    @property
    def seed(self) -> int:
        """The seed that everything random comes from."""
        return self._setting.seed

    @property
    def by(self) -> str:
        """Which pilot flies."""
        return self._by

    @property
    def state(self) -> FlightState:
        """Everything, frozen."""
        return self._state

    @property
    def t_s(self) -> float:
        """Flight time in seconds, to a tenth."""
        return flying.time_s(self._state)

    @property
    def panel(self) -> Panel:
        """What is shown now, covered instruments included."""
        return flying.panel_now(self._setting, self._state)

    @property
    def truths(self) -> Truths:
        """What the airplane really does; not for the pilot's eyes."""
        return truths(self._setting.world, self._state.airplane, self._state.cockpit.controls)

    @property
    def phase(self) -> str:
        """The phase of the story; not for the pilot's eyes."""
        return self._state.story.phase

    @property
    def ended(self) -> Ended | None:
        """How the flight ended, or None while it lasts."""
        return self._state.ended

    @property
    def covered(self) -> tuple[str, ...]:
        """The covered instruments."""
        return self._state.cockpit.covered

    @property
    def reference(self) -> str:
        """What the flight goes by: full_panel, partial_panel, or what is trusted joined by +."""
        airframe = self.scenario.airplane.airframe
        return reference(self._state.cockpit.controls, autopilot_flying(airframe, self.panel.autopilot_on))

    @property
    def parked(self) -> bool:
        """Whether the airplane is on the ground with the engine running, standing or taxiing."""
        return bool(self._state.airplane.motion.parked > 0.5)

    @property
    def atc(self) -> ControllerState:
        """What the controller knows and has assigned."""
        return self._state.atc

    @property
    def busy(self) -> tuple[Action, float] | None:
        """The act being done and the seconds that it will still take."""
        doing = self._state.doing
        return None if doing is None else (doing.action, (doing.until - self._state.steps) / STEPS_A_SECOND)

    @property
    def waiting(self) -> tuple[Action, ...]:
        """The acts that wait their turn."""
        return self._state.waiting

    @property
    def idle(self) -> bool:
        """Whether nothing is being done and nothing waits."""
        return self._state.doing is None and not self._state.waiting

    def enter(self, line: str) -> list[Event]:
        """Take a line as typed. What is not understood is asked back, takes no time and changes nothing."""
        words = clean_line(line)
        if self.ended is not None or not words:
            return []
        actions = read(words, self._setting.context)
        if not kept_back(words, actions, self._setting.context) and answers(
                self._state.atc, words, actions, self._setting.context):
            kept = [each for each in actions if isinstance(each, Decide | Diagnose)]   # it is decided as well as said
            actions = [Transmit(words, read_call(words, self._setting.context)), *kept]
        return self._take(words, actions)

    def act(self, action: Action) -> list[Event]:
        """Take one action, as if a line that means it had been typed."""
        return [] if self.ended is not None else self._take("", [action])

    def _take(self, line: str, actions: Sequence[Action]) -> list[Event]:
        labels = tuple(each.as_labels() if line else action_data(each) for each in actions)
        events: list[Event] = [Typed(self.t_s, line, labels, self._by)]
        todo = [each for each in actions if not isinstance(each, Unclear)]
        events += [Asked(self.t_s, each.ask) for each in actions if isinstance(each, Unclear)]
        breaks = any(isinstance(each, BreakOff) for each in todo)
        if not breaks and len(todo) + len(self._state.waiting) > MOST_WAITING:
            return [*events, Asked(self.t_s, TOO_MUCH)]
        self._state = flying.queued(self._setting, self._state, todo[:MOST_WAITING], events)
        return events

    def advance(self, seconds: float, stop_at: Callable[[Event], bool] | None = None) -> list[Event]:
        """Let `seconds` of flight pass in steps of 0.1 s and return what happens; less than a step is kept for later.

        Stops after the step in which an event satisfies `stop_at`, and at the end of the flight. ValueError for a
        time that is negative, not a number, or longer than a day.
        """
        if not 0.0 <= seconds <= MOST_AT_ONCE_S:
            raise ValueError(f"a flight can be advanced by 0 to {MOST_AT_ONCE_S:.0f} seconds, not by {seconds}")
        total = self._state.left_us + round(seconds * 1_000_000)
        state = _with_left(self._state, total % _STEP_US)
        until = state.steps + total // _STEP_US
        happened: list[Event] = []
        while state.steps < until and state.ended is None:
            state, events = flying.fly(self._setting, state, until)
            happened += events
            if stop_at is not None and any(stop_at(each) for each in events):
                break
        self._state = state
        return happened


def _with_left(state: FlightState, left_us: int) -> FlightState:
    return state if state.left_us == left_us else replace(state, left_us=left_us)
