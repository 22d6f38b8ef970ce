"""Act patterns: the words in which a scenario speaks of what a pilot does, matched against actions.

`cover attitude indicator`, `fly by partial panel`, `divert to Wendle`, `report vacuum system`, `ask for vectors`,
`declare emergency`, `look suction gauge`, `diagnose vacuum system`, `reply unable` and so on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias, cast

from drill.language import meaning as m
from drill.language.meaning import Action, Told
from drill.scenario.names import INSTRUMENTS, REFERENCES, TOLD, URGENCIES, rightly_named, same_place, words_of

_ON_PANEL = frozenset(m.IN_SIGHT) - {"outside", "breakers", "ice", "panel"}
_SEEN_AS = {  # where the reading of a thing is found
    "suction_gauge": frozenset({"vacuum_system"}),
    "vacuum_system": frozenset({"suction_gauge"}),
    "ammeter": frozenset({"alternator"}),
    "voltmeter": frozenset({"alternator"}),
    "alternator": frozenset({"ammeter", "voltmeter"}),
    "tachometer": frozenset({"engine"}),
    "engine": frozenset({"tachometer"}),
}


@dataclass(frozen=True, slots=True)
class ActPattern:
    """A verb and what it is done to, in codes. `key` is its one spelling in words, e.g. `cover attitude indicator`."""

    verb: str
    object: str = ""

    @property
    def key(self) -> str:
        """The one spelling of the pattern."""
        return words_of(f"{self.verb} {self.object}".strip())

    def matches(self, action: Action, told: Told) -> bool:
        """Say whether `action` does this; `told` is what ATC knows after it (reports add up over calls)."""
        known = VERBS.get(self.verb)
        return known is not None and isinstance(action, known.kind) and known.test(action, self.object, told)


Test: TypeAlias = Callable[[Action, str, Told], bool]


@dataclass(frozen=True, slots=True)
class Verb:
    """How a verb matches: the kind of action, and a test of it against the pattern's object and what ATC knows."""

    kind: type[Action] | tuple[type[Action], ...]
    test: Test
    objects: tuple[str, ...] = ()  # codes that may follow; empty: none, or those of `of`
    of: str = ""  # "place", "checklist", "code", "frequency", "instruments": what may follow instead
    needs_object: bool = False
    says: str = ""


def _any(_: Action, __: str, ___: Told) -> bool:
    return True


def _field(name: str) -> Test:
    """Return a test of one field against the object; no object matches everything."""

    def test(action: Action, wanted: str, _: Told) -> bool:
        return not wanted or getattr(action, name) == wanted

    return test


def _is(name: str, value: str) -> Test:
    def test(action: Action, _: str, __: Told) -> bool:
        return bool(getattr(action, name) == value)

    return test


def _looks(action: Action, wanted: str, _: Told) -> bool:
    at = {action.at} if isinstance(action, m.Look) else set(cast(m.Compare, action).what)
    if not wanted:
        return isinstance(action, m.Look)
    return wanted in at or bool(_SEEN_AS.get(wanted, frozenset()) & at) or (at == {"panel"} and wanted in _ON_PANEL)


def _compares(action: Action, wanted: str, _: Told) -> bool:
    return set(wanted.split(" with ")) - {""} <= set(cast(m.Compare, action).what)


def _flies_by(action: Action, wanted: str, _: Told) -> bool:
    by = cast(m.FlyBy, action).what
    whole = {
        "full_panel": ("attitude_indicator", "heading_indicator"),
        "partial_panel": ("turn_coordinator", "magnetic_compass"),
    }
    return not wanted or by == wanted or wanted in whole.get(by, ())


def _sets_power(action: Action, wanted: str, _: Told) -> bool:
    change = cast(m.Power, action).change
    return not wanted or change == wanted or (wanted, change) in {("less", "idle"), ("more", "full")}


def _switches(action: Action, wanted: str, _: Told) -> bool:
    switch = cast(m.Switch, action)
    return wanted in ("", switch.what, f"{switch.what} {switch.to}")


def _breaker(to: str) -> Test:
    def test(action: Action, wanted: str, _: Told) -> bool:
        breaker = cast(m.Breaker, action)
        return breaker.to == to and wanted in ("", breaker.what)

    return test


def _diagnoses(action: Action, wanted: str, _: Told) -> bool:
    failed = frozenset(cast(m.Diagnose, action).failed)
    return bool(failed) if not wanted else rightly_named(wanted, failed)


def _decides(plan: str) -> Test:
    def test(action: Action, wanted: str, _: Told) -> bool:
        decision = cast(m.Decide, action)
        return decision.plan == plan and (not wanted or same_place(decision.where or "", wanted))

    return test


def _reads(action: Action, wanted: str, _: Told) -> bool:
    name = cast(m.Checklist, action).name
    return name is not None if not wanted else same_place(name or "", wanted)


def _reports(_: Action, wanted: str, told: Told) -> bool:
    return rightly_named(wanted, told.equipment) if wanted else bool(told.equipment)


def is_declared(told: Told, wanted: str) -> bool:
    """Say whether at least `wanted` (of URGENCIES) has been declared; a stronger word satisfies a weaker one."""
    order = ("none", "pan-pan", "emergency", "mayday")
    least = 1 if wanted in ("", "anything") else order.index(wanted)
    return order.index(told.urgency) >= least


def has_told(told: Told, element: str) -> bool:
    """Say whether ATC has been told `element` (of TOLD)."""
    if element == "conditions":
        return told.conditions != "unstated"
    return bool(getattr(told, element))


def _replies(action: Action, wanted: str, _: Told) -> bool:
    replies = cast(m.Transmit, action).meaning.replies
    return any(not wanted or reply.kind == wanted for reply in replies)


def _plan(plan: str, says: str) -> Verb:
    return Verb(m.Decide, _decides(plan), of="place", says=says)


REPLIES = (
    "unable",
    "standby",
    "say_again",
    "affirmative",
    "negative",
    "roger",
    "wilco",
    "readback",
    "cancels_emergency",
)

_WITH_BREAKERS = tuple(name for name in m.IN_SIGHT if name not in {"panel", "outside", "breakers", "ice"})

VERBS: Mapping[str, Verb] = {
    "look": Verb(
        (m.Look, m.Compare),
        _looks,
        m.IN_SIGHT,
        says="looks at something; the whole panel counts for each instrument on it",
    ),
    "compare": Verb(m.Compare, _compares, of="instruments", says="sets instruments against each other"),
    "cover": Verb(m.Cover, _field("what"), INSTRUMENTS, says="covers an instrument"),
    "uncover": Verb(m.Uncover, _field("what"), INSTRUMENTS, says="uncovers an instrument"),
    "fly by": Verb(
        m.FlyBy,
        _flies_by,
        REFERENCES,
        needs_object=True,
        says="tells the hands what to trust",
    ),
    "turn": Verb(m.Turn, _field("direction"), ("left", "right"), says="orders a turn"),
    "level wings": Verb(m.LevelWings, _any, says="stops banking"),
    "stop turn": Verb(m.StopTurn, _any, says="stops the turn where it is"),
    "turn at": Verb(
        m.TurnRate, _field("rate"), ("standard", "half"), says="turns at standard or half rate from now on"
    ),
    "climb": Verb(m.Altitude, _is("direction", "climb"), says="orders a climb"),
    "descend": Verb(m.Altitude, _is("direction", "descend"), says="orders a descent"),
    "hold altitude": Verb(m.Altitude, _is("direction", "hold"), says="orders an altitude held"),
    "fly airspeed": Verb(m.Airspeed, _any, says="orders an airspeed"),
    "power": Verb(m.Power, _sets_power, ("more", "less", "idle", "full"), says="sets power"),
    "pitch": Verb(m.Pitch, _field("to"), ("up", "down", "level"), says="sets pitch"),
    "flaps": Verb(m.Flaps, _any, says="sets flaps"),
    "switch": Verb(
        m.Switch,
        _switches,
        (*m.SWITCHES, *(f"{name} {to}" for name in m.SWITCHES for to in ("on", "off"))),
        needs_object=True,
        says="puts a switch on or off",
    ),
    "pull breaker": Verb(m.Breaker, _breaker("pull"), _WITH_BREAKERS, says="pulls a circuit breaker"),
    "reset breaker": Verb(m.Breaker, _breaker("reset"), _WITH_BREAKERS, says="resets a circuit breaker"),
    "squawk": Verb(m.Squawk, _field("code"), of="code", says="sets a transponder code"),
    "ident": Verb(m.Ident, _any, says="presses ident"),
    "tune": Verb(m.Tune, _field("frequency"), of="frequency", says="tunes a frequency"),
    "set": Verb(
        m.Align,
        _field("what"),
        ("heading_indicator", "altimeter"),
        needs_object=True,
        says="sets the heading indicator to the compass, or the altimeter",
    ),
    "start timer": Verb(m.Timer, _is("to", "start"), says="starts the timer"),
    "stop timer": Verb(m.Timer, _is("to", "stop"), says="stops the timer"),
    "diagnose": Verb(m.Diagnose, _diagnoses, m.EQUIPMENT, says="says to oneself what has failed, by any right name"),
    "divert": _plan("divert", "decides to divert"),
    "continue": _plan("continue", "decides to go on"),
    "land": _plan("land", "decides to land"),
    "hold": _plan("hold", "decides to hold"),
    "return to ramp": _plan("return_to_ramp", "decides to go back to the ramp"),
    "abort takeoff": _plan("abort_takeoff", "stops the take-off"),
    "shut down": _plan("shut_down", "shuts down"),
    "cancel IFR": _plan("cancel_ifr", "cancels IFR"),
    "stop taxi": _plan("stop_taxi", "stops taxiing"),
    "go around": Verb(m.GoAround, _any, says="goes around"),
    "checklist": Verb(m.Checklist, _reads, of="checklist", says="reads a checklist of the airplane"),
    "tick checklist": Verb(m.ChecklistItem, _any, says="ticks the present item of the checklist"),
    "write up": Verb(m.WriteUp, _field("how"), ("defer", "placard", "enter"), says="writes a defect up"),
    "report": Verb(
        m.Transmit, _reports, m.EQUIPMENT, says="makes a call after which ATC knows that this failed, by any right name"
    ),
    "declare": Verb(
        m.Transmit,
        lambda _, wanted, told: is_declared(told, wanted),
        URGENCIES,
        says="makes a call after which this, or a stronger word, is declared",
    ),
    "ask for": Verb(
        m.Transmit,
        lambda _, wanted, told: wanted in told.assistance,
        m.ASSISTANCE,
        needs_object=True,
        says="makes a call after which this has been asked for",
    ),
    "tell": Verb(
        m.Transmit,
        lambda _, wanted, told: has_told(told, wanted),
        TOLD,
        needs_object=True,
        says="makes a call after which ATC knows this",
    ),
    "reply": Verb(m.Transmit, _replies, REPLIES, says="answers ATC"),
    "call": Verb(m.Transmit, _any, says="says anything on the radio"),
    "wait": Verb(m.Wait, _any, says="lets time pass"),
    "break off": Verb(m.BreakOff, _any, says="drops what is being done"),
}
"""Every verb in its one spelling. `words` also knows other spellings of some."""
