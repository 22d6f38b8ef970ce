"""The whole of a flight at one step, frozen, and its way to JSON and back without the loss of a bit."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Annotated, Any, TypeAlias

from pydantic import TypeAdapter, ValidationError

from drill.airplane.autopilot import Autopilot
from drill.airplane.compass import Compass
from drill.airplane.electrical import Electrical
from drill.airplane.gyro_state import Gyros
from drill.airplane.hands import Hands
from drill.airplane.model import State
from drill.airplane.motion import Motion
from drill.airplane.navigation import Navigation
from drill.airplane.pitot_static import PitotStatic
from drill.airplane.solid_state import Standby
from drill.airplane.vacuum import Vacuum
from drill.flight.acts import DOABLE
from drill.flight.cockpit import Cockpit, numbers_from
from drill.flight.controller_state import ControllerState
from drill.flight.events import Ended
from drill.flight.labels import ActionData, ReadBy, cleaned
from drill.scenario.model import Scenario
from drill.scenario.moment import StoryState

STEPS_A_SECOND = 10
MOST_WAITING = 40        # acts; more than anybody means
GREATEST = 1_000_000     # no number of a flight is greater, in the units of the cockpit and of the model


_SYSTEMS: dict[str, type[Any]] = {
    "motion": Motion, "vacuum": Vacuum, "gyros": Gyros, "compass": Compass, "electrical": Electrical,
    "pitot_static": PitotStatic, "navigation": Navigation, "hands": Hands, "standby": Standby, "autopilot": Autopilot,
}


def _airplane_from(data: Any) -> State:
    if isinstance(data, State):
        return data
    if not isinstance(data, dict) or set(data) != {"step", *_SYSTEMS} or type(data["step"]) is not int:
        raise ValueError("this is no state of an airplane")
    return State(step=data["step"], **{name: numbers_from(kind, data[name]) for name, kind in _SYSTEMS.items()})


Airplane: TypeAlias = Annotated[State, ReadBy(_airplane_from, asdict)]


@dataclass(frozen=True, slots=True)
class Doing:
    """The act being done; steps since the flight began."""

    action: ActionData
    began: int
    until: int
    called: bool = False          # a wait that ATC has ended


@dataclass(frozen=True, slots=True)
class Onset:
    """An active failure and the step at which it began."""

    failure: str
    began: int


@dataclass(frozen=True, slots=True)
class FlightState:
    """Everything that a flight is, but for the scenario and the seed."""

    steps: int
    airplane: Airplane
    cockpit: Cockpit
    story: StoryState
    atc: ControllerState
    doing: Doing | None = None
    waiting: tuple[ActionData, ...] = ()
    acts: tuple[ActionData, ...] = ()        # done since the story last looked
    onsets: tuple[Onset, ...] = ()
    ended: Ended | None = None
    safe_since: int | None = None            # step from which the airspeed has been in the green arc in a recovery
    left_us: int = 0                         # time given and not yet flown, microseconds, less than a step


_ADAPTER: TypeAdapter[FlightState] = TypeAdapter(FlightState)


def bounded(data: Any) -> bool:
    """Say whether every number in JSON data is finite and no greater than any number of a flight."""
    if isinstance(data, dict):
        return all(bounded(each) for each in data.values())
    if isinstance(data, list | tuple):
        return all(bounded(each) for each in data)
    return not isinstance(data, int | float) or -GREATEST <= data <= GREATEST   # False for what is not a number


def state_data(state: FlightState) -> dict[str, Any]:
    """Return `state` as JSON data, every number to the last bit."""
    data: dict[str, Any] = _plain(_ADAPTER.dump_python(state))
    return data


def _plain(value: Any) -> Any:
    """Return `value` as JSON data. Sets come sorted: their own order differs from one run of Python to the next."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    return [_plain(each) for each in value] if isinstance(value, tuple | list) else value


def state_from(data: Any, scenario: Scenario) -> FlightState:
    """Return the state that `data` holds. ValueError in plain words if it is no state of a flight of `scenario`."""
    try:
        if not bounded(data):
            raise ValueError("the state has a number that no flight has")
        state: FlightState = cleaned(_ADAPTER.validate_python(data))
    except RecursionError as error:
        raise ValueError("the state is nested too deeply") from error
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        raise ValueError("the state is damaged at " + ".".join(str(each) for each in first["loc"])) from error
    queued = [*([state.doing.action] if state.doing is not None else []), *state.waiting]
    if any(action.kind not in DOABLE for action in queued):
        raise ValueError("the state has an act in hand that nobody can do")
    failures = {plan.name for plan in scenario.failures}
    phases = {phase.name for phase in scenario.phases}
    branches = len(scenario.phase(state.story.phase).branches) if state.story.phase in phases else -1
    if (state.steps < 0 or state.airplane.step != state.steps or branches != len(state.story.holding)
            or any(each.failure not in failures or not 0 <= each.began <= state.steps for each in state.onsets)
            or (state.doing is not None and not 0 <= state.doing.began <= state.steps <= state.doing.until)
            or len(state.waiting) > MOST_WAITING or not 0 <= state.left_us < 1_000_000 // STEPS_A_SECOND):
        raise ValueError("the state does not belong to this scenario")
    return state
