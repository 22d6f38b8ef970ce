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
from drill.scenario.names import COVERABLE, REFERENCES, TOLD, URGENCIES, rightly_named, same_place, words_of
from drill.scenario.units import HPA_PER_INHG, PRESSURE, UnitError, read_amount

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
_MOST_INHG = 50.0  # a smaller number is inches of mercury, a greater one hectopascals
_LEAST_HPA, _MOST_HPA = 900.0, 1_080.0
_ROUNDING = 1e-6  # hPa
RUN_UP_RPM = 1_700
"""From here on an engine is run up; 1,700 to 1,800 is usual (common practice, no source)."""


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
    of: str = ""  # "place", "checklist", "code", "frequency", "instruments", "setting": what may follow instead
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


def _sets(action: Action, wanted: str, _: Told) -> bool:
    align, (what, *pressure) = cast(m.Align, action), wanted.split(maxsplit=1)
    if align.what != what or not pressure:
        return align.what == what
    wanted_hpa, near_hpa = setting_of(pressure[0])
    if align.hpa is not None:   # set in whole hectopascals, it cannot be nearer
        return abs(align.hpa - wanted_hpa) <= max(near_hpa, 0.5) + _ROUNDING
    return align.inhg is not None and abs(align.inhg * HPA_PER_INHG - wanted_hpa) <= near_hpa + _ROUNDING


def setting_of(words: str) -> tuple[float, float]:
    """Return an altimeter setting, and how near to it is on it, in hPa; a bare number is clear by its size.

    On it is within half of the last digit in which a setting is given: 0.005 inHg or 0.5 hPa. UnitError for what is no
    setting.
    """
    number = words.replace(".", "", 1)
    bare = number.isascii() and number.isdigit()
    said = f"{words} {'inHg' if float(words) < _MOST_INHG else 'hPa'}" if bare else words
    hpa = read_amount(said, PRESSURE)
    if not _LEAST_HPA <= hpa <= _MOST_HPA:
        raise UnitError("out-of-range", f"`{words[:40]}` is no altimeter setting", "from 900 to 1080 hPa",
                        "write one like `29.86 inHg` or `1011 hPa`")
    return hpa, 0.005 * HPA_PER_INHG if said.lower().endswith("inhg") else 0.5


def _answers(action: Action, _: str, __: Told) -> bool:
    return cast(m.Transmit, action).meaning.answers


def _sets_power(action: Action, wanted: str, _: Told) -> bool:
    change = cast(m.Power, action).change
    return not wanted or change == wanted or (wanted, change) in {("less", "idle"), ("more", "full")}


def _runs_up(action: Action, _: str, __: Told) -> bool:
    power = cast(m.Power, action)
    return power.change == "full" or (power.to_rpm or 0) >= RUN_UP_RPM


def _switches(action: Action, wanted: str, _: Told) -> bool:
    switch = cast(m.Switch, action)
    return wanted in ("", switch.what, f"{switch.what} {switch.to}")


def _breaker(to: str) -> Test:
    def test(action: Action, wanted: str, _: Told) -> bool:
        breaker = cast(m.Breaker, action)
        return breaker.to == to and wanted in ("", breaker.what)

    return test


def _diagnoses(action: Action, wanted: str, told: Told) -> bool:
    if isinstance(action, m.Transmit):   # who reports a failure has named it
        return bool(action.meaning.equipment) and _reports(action, wanted, told)
    failed = frozenset(cast(m.Diagnose, action).failed)
    return bool(failed) if not wanted else rightly_named(wanted, failed)


def planned(action: Action) -> m.Decide | None:
    """Return the decision in `action`, or None; a call that asks for a field or is bound for one is a diversion."""
    if isinstance(action, m.Decide):
        return action
    if isinstance(action, m.Transmit):
        call = action.meaning
        if call.places and (call.intentions or "named_airport" in call.assistance):
            return m.Decide("divert", call.places[0])
        return m.Decide("cancel_ifr") if call.cancels_ifr else None
    return None


def _decides(plan: str) -> Test:
    def test(action: Action, wanted: str, _: Told) -> bool:
        decision = planned(action)
        on_the_radio = isinstance(action, m.Transmit)
        if decision is None or not (decision.plan == plan or (on_the_radio and decision.plan == "divert")):
            return False
        where = cast(m.Transmit, action).meaning.places if on_the_radio else (decision.where or "",)
        return not wanted or any(same_place(each, wanted) for each in where)

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


def _cancels_ifr(action: Action, _: str, __: Told) -> bool:
    return action.meaning.cancels_ifr if isinstance(action, m.Transmit) else cast(m.Decide, action).plan == "cancel_ifr"


def _plan(plan: str, says: str, *, on_the_radio: bool = False) -> Verb:
    return Verb((m.Decide, m.Transmit) if on_the_radio else m.Decide, _decides(plan), of="place", says=says)


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
    "cover": Verb(m.Cover, _field("what"), COVERABLE, says="covers an instrument"),
    "uncover": Verb(m.Uncover, _field("what"), COVERABLE, says="uncovers an instrument"),
    "fly by": Verb(
        m.FlyBy,
        _flies_by,
        REFERENCES,
        needs_object=True,
        says="tells the hands what to trust",
    ),
    "turn": Verb(m.Turn, _field("direction"), ("left", "right"), says="orders a turn"),
    "track": Verb(m.Track, _field("what"), ("course_needle",), says="follows the course needle"),
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
    "run up": Verb(m.Power, _runs_up, says=f"sets run-up power: {RUN_UP_RPM} rpm or more"),
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
        _sets,
        ("heading_indicator", "altimeter"),
        of="setting",
        needs_object=True,
        says="sets the heading indicator to the compass, or the altimeter, if so said to a pressure",
    ),
    "start timer": Verb(m.Timer, _is("to", "start"), says="starts the timer"),
    "stop timer": Verb(m.Timer, _is("to", "stop"), says="stops the timer"),
    "diagnose": Verb(
        (m.Diagnose, m.Transmit),
        _diagnoses,
        m.EQUIPMENT,
        says="says to oneself, or reports, what has failed, by any right name",
    ),
    "divert": _plan("divert", "decides to divert, or tells or asks ATC so", on_the_radio=True),
    "continue": _plan("continue", "decides to go on"),
    "land": _plan("land", "decides to land, or tells or asks ATC so", on_the_radio=True),
    "hold": _plan("hold", "decides to hold"),
    "return to ramp": _plan("return_to_ramp", "decides to go back to the ramp"),
    "abort takeoff": _plan("abort_takeoff", "stops the take-off"),
    "shut down": _plan("shut_down", "shuts down"),
    "cancel IFR": Verb((m.Decide, m.Transmit), _cancels_ifr, says="cancels IFR, as a decision or in a call"),
    "stop taxi": _plan("stop_taxi", "stops taxiing"),
    "depart VFR": _plan("depart_vfr", "decides to depart by visual flight rules"),
    "taxi": Verb(m.Taxi, _any, says="begins to roll"),
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
    "reply": Verb(m.Transmit, _replies, REPLIES, says="answers ATC with this word"),
    "answer": Verb(m.Transmit, _answers, says="makes a call that follows a line of ATC, in whatever words"),
    "call": Verb(m.Transmit, _any, says="says anything on the radio"),
    "wait": Verb(m.Wait, _any, says="lets time pass"),
    "break off": Verb(m.BreakOff, _any, says="drops what is being done"),
}
"""Every verb in its one spelling. `words` also knows other spellings of some."""

ANSWERS = frozenset({"report", "diagnose", "cover", "fly by", "declare"})
"""Verbs that answer a failure: an item made of them asks for nothing in a flight in which nothing failed."""

KNOWN_ONCE_SAID = frozenset({"report", "diagnose", "declare", "ask for", "tell"})
"""Verbs about what ATC knows after a call: reports add up, so each later call does them again. They are not counted."""
