"""How long each act takes, how much of the pilot it leaves for flying, and what it does.

The times are common practice timed by hand, no source, except where a reason stands beside them; they are short
enough that a practised pilot would not feel held up.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

from drill.flight import equipment, judging, on_the_ground, orders
from drill.flight.cockpit import Cockpit, Effect, Seen, done, refused
from drill.language import meaning
from drill.language.meaning import Action, Checklist, Look, Power, StopTurn, Transmit, Wait
from drill.scenario.model import Scenario

WORDS_PER_MINUTE = 150.0   # clear speech; radio practice asks for an even rate of not more than 100 to 150
KEYING_S = 1.0             # pick up the microphone, listen, key
STEP_READING_S = 4.0       # read one checklist step and find the place again
LONGEST_WAIT_S = 600.0
STRAIGHT_DPS = 1.0

FLYING, GLANCE, HAND, TALKING, READING, HEAD_DOWN = 1.0, 0.9, 0.75, 0.7, 0.5, 0.35
"""Share of the pilot that goes on flying: orders, a look, a hand on a switch, radio, reading, looking down."""


class Cost(NamedTuple):
    """Seconds that an act takes, and the share of the pilot that goes on flying meanwhile."""

    seconds: float
    attention: float


_COSTS: dict[str, Cost] = {
    "look": Cost(2.0, GLANCE),            # one deliberate fixation and its thought
    "compare": Cost(4.0, GLANCE),         # two of them
    "cover": Cost(4.0, READING),          # find a piece of paper, stick it on
    "uncover": Cost(2.0, HAND),
    "fly_by": Cost(2.0, FLYING),          # a change of scan
    "turn": Cost(1.0, FLYING),
    "track": Cost(2.0, FLYING),           # a change of scan
    "level_wings": Cost(1.0, FLYING),
    "stop_turn": Cost(1.0, FLYING),
    "turn_rate": Cost(1.0, FLYING),
    "altitude": Cost(1.0, FLYING),
    "airspeed": Cost(1.0, FLYING),
    "power": Cost(1.0, FLYING),
    "pitch": Cost(1.0, FLYING),
    "flaps": Cost(2.0, HAND),
    "switch": Cost(2.0, HAND),
    "breaker": Cost(4.0, READING),        # the row of breakers is low and small
    "squawk": Cost(4.0, READING),
    "ident": Cost(1.0, HAND),
    "tune": Cost(4.0, READING),
    "align": Cost(4.0, HAND),
    "timer": Cost(1.0, HAND),
    "diagnose": Cost(2.0, GLANCE),
    "decide": Cost(3.0, HAND),
    "go_around": Cost(2.0, FLYING),
    "taxi": Cost(2.0, FLYING),
    "checklist": Cost(STEP_READING_S, READING),
    "checklist_item": Cost(2.0, READING),
    "write_up": Cost(8.0, HEAD_DOWN),
    "break_off": Cost(0.0, FLYING),
}
_WHOLE_SCAN_S = 5.0        # once round the six instruments, the gauges and the needle


def cost(action: Action, scenario: Scenario) -> Cost:
    """Return what `action` costs; seconds are a positive multiple of 0.1."""
    match action:
        case Transmit(call=words):
            return Cost(_tenths(KEYING_S + 60.0 * len(words.split()) / WORDS_PER_MINUTE), TALKING)
        case Wait(seconds=seconds):
            wanted = seconds if math.isfinite(seconds) else LONGEST_WAIT_S
            return Cost(_tenths(min(max(wanted, 0.1), LONGEST_WAIT_S)), FLYING)
        case Look(at="panel"):
            return Cost(_WHOLE_SCAN_S, GLANCE)
        case Checklist(name=name):
            found = None if name is None else judging.checklist_named(scenario, name)
            steps = 1 if found is None else max(1, len(found[1]))
            return Cost(STEP_READING_S * steps, READING)
    return _COSTS[action.kind]


def _tenths(seconds: float) -> float:
    return max(1, round(seconds * 10)) / 10


def _wait(cockpit: Cockpit, action: Wait, seen: Seen) -> Effect:  # noqa: ARG001 - every act has the same shape
    return done(cockpit)


def _transmit(cockpit: Cockpit, action: Transmit, seen: Seen) -> Effect:  # noqa: ARG001
    return done(cockpit)


_DOES: dict[str, Callable[[Cockpit, Any, Seen], Effect]] = {
    "look": judging.look, "compare": judging.compare, "cover": orders.cover, "uncover": orders.uncover,
    "fly_by": orders.fly_by, "turn": orders.turn, "track": orders.track, "level_wings": orders.level_wings,
    "stop_turn": orders.stop_turn,
    "turn_rate": orders.turn_rate, "altitude": orders.altitude, "airspeed": orders.airspeed, "power": orders.power,
    "pitch": orders.pitch, "flaps": orders.flaps, "switch": equipment.switch, "breaker": equipment.breaker,
    "squawk": equipment.squawk, "ident": equipment.ident, "tune": equipment.tune, "align": equipment.align,
    "timer": equipment.timer, "transmit": _transmit, "diagnose": judging.diagnose, "decide": judging.decide,
    "go_around": orders.go_around, "checklist": judging.checklist, "checklist_item": judging.checklist_item,
    "write_up": judging.write_up, "wait": _wait, "taxi": on_the_ground.taxi,
}


def apply(action: Action, cockpit: Cockpit, seen: Seen) -> Effect:
    """Return what `action`, its time having passed, does. Whether a transmission is heard is not decided here."""
    does = _DOES.get(action.kind)
    if does is None:
        return refused(cockpit, f"there is nothing to do for: {action.kind.replace('_', ' ')}")
    if why := on_the_ground.refusal(action, seen):
        return refused(cockpit, why)
    if seen.parked and isinstance(action, Power):
        return on_the_ground.power(cockpit, action, seen)
    if seen.parked and isinstance(action, StopTurn) and abs(seen.shown["turn_rate_dps"]) < STRAIGHT_DPS:
        return on_the_ground.stopped(cockpit)   # "stop" on a straight taxiway means the airplane
    return does(cockpit, action, seen)


DOABLE = tuple(kind for kind in (each.kind for each in vars(meaning).values()
                                 if isinstance(each, type) and issubclass(each, Action)) if kind in _DOES)
"""Kinds of action that can be done."""
