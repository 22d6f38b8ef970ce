"""What a typed line can mean: actions in the cockpit, calls on the radio, and what ATC has been told so far.

The names are those of a cockpit and of the AIM. `Action.as_labels` gives the plain mapping in which the labelled
corpora and the records write an action.

The module is long because it is one vocabulary: a small class for each thing that a pilot can do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, ClassVar, Literal, TypeAlias

from drill.language.lexicon import Lexicon, standard

EQUIPMENT = (
    "vacuum_system", "attitude_indicator", "heading_indicator", "turn_coordinator", "airspeed_indicator", "altimeter",
    "vertical_speed_indicator", "pitot", "static_system", "magnetic_compass", "alternator", "battery",
    "electrical_system", "radio", "transponder", "navigation", "autopilot", "engine", "standby_instrument",
)
"""What can be said to have failed."""

IN_SIGHT = (
    "attitude_indicator", "heading_indicator", "turn_coordinator", "airspeed_indicator", "altimeter",
    "vertical_speed_indicator", "magnetic_compass", "suction_gauge", "ammeter", "voltmeter", "tachometer", "clock",
    "navigation", "fuel", "panel", "outside", "breakers", "ice", "vacuum_system", "alternator", "transponder", "radio",
    "autopilot", "engine", "standby_instrument",
)
"""What can be looked at."""

ASSISTANCE = (
    "no_gyro_vectors", "vectors", "radar_approach", "nearest_airport", "named_airport", "vmc", "altitude_change",
    "block_altitude", "priority", "weather", "relay", "hold", "visual_approach", "rescue", "frequency",
)
"""What can be asked of ATC."""

SWITCHES = (
    "pitot_heat", "alternate_static", "standby_vacuum", "alternator", "battery", "avionics", "landing_light",
    "nav_lights", "strobes", "autopilot", "carburettor_heat", "standby_instrument", "beacon", "gps", "transponder",
    "second_radio",
)

PLANS = (
    "divert", "continue", "return_to_ramp", "abort_takeoff", "land", "hold", "shut_down", "cancel_ifr", "stop_taxi",
    "depart_vfr",
)

Urgency: TypeAlias = Literal["mayday", "emergency", "pan-pan", "none"]
Weather: TypeAlias = Literal["imc", "vmc", "icing", "unstated"]
ReplyKind: TypeAlias = Literal[
    "unable", "standby", "say_again", "affirmative", "negative", "roger", "wilco", "readback", "cancels_emergency"
]


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer to ATC inside a call; the numbers are those read back."""

    kind: ReplyKind
    heading_deg: int | None = None
    altitude_ft: int | None = None
    frequency: str | None = None
    code: str | None = None


@dataclass(frozen=True, slots=True)
class Call:
    """One transmission, as understood. The fields are the labels of the corpus; those after `intentions` are more."""

    words: str = ""
    facility: bool = False
    callsign: Literal["given", "wrong", "absent"] = "absent"
    urgency: Urgency = "none"
    equipment: tuple[str, ...] = ()
    impairment: bool = False
    assistance: tuple[str, ...] = ()
    conditions: Weather = "unstated"
    altitude_ft: int | None = None
    heading_deg: int | None = None
    position: bool = False
    souls: int | None = None
    fuel_min: int | None = None
    intentions: bool = False
    replies: tuple[Reply, ...] = ()
    places: tuple[str, ...] = ()              # known places that are asked for or headed to, as the context spells them
    altitude_wanted_ft: int | None = None
    heading_wanted_deg: int | None = None
    rejoined: tuple[str, ...] = ()            # equipment said to be working again
    cancels_ifr: bool = False                 # asked for or stated now; not put off, conditional, denied or asked
    declines_emergency: bool = False          # said that no emergency is declared ("not declaring")
    trouble: bool = False                     # said that something is wrong, and not what
    shortened: bool = False                   # the callsign was given, but not in full
    answers: bool = False                     # it follows a line of ATC; known in flight, not from the words


@dataclass(frozen=True, slots=True)
class Told:
    """What ATC knows: the union of all calls heard so far."""

    calls: int = 0
    callsign: bool = False
    facility: bool = False
    urgency: Urgency = "none"
    equipment: frozenset[str] = frozenset()
    impairment: bool = False
    assistance: frozenset[str] = frozenset()
    conditions: Weather = "unstated"
    altitude: bool = False
    heading: bool = False
    position: bool = False
    souls: bool = False
    fuel: bool = False
    intentions: bool = False
    places: frozenset[str] = frozenset()

    def with_call(self, call: Call) -> Told:
        """Return what is known after `call` as well. The strongest urgency stays until it is cancelled."""
        order: tuple[Urgency, ...] = ("none", "pan-pan", "emergency", "mayday")
        urgency = max(self.urgency, call.urgency, key=order.index)
        if any(reply.kind == "cancels_emergency" for reply in call.replies):
            urgency = "none"
        return Told(
            calls=self.calls + 1,
            callsign=self.callsign or call.callsign == "given",
            facility=self.facility or call.facility,
            urgency=urgency,
            equipment=(self.equipment | set(call.equipment)) - set(call.rejoined),
            impairment=self.impairment or call.impairment,
            assistance=self.assistance | set(call.assistance),
            conditions=call.conditions if call.conditions != "unstated" else self.conditions,
            altitude=self.altitude or call.altitude_ft is not None,
            heading=self.heading or call.heading_deg is not None,
            position=self.position or call.position,
            souls=self.souls or call.souls is not None,
            fuel=self.fuel or call.fuel_min is not None,
            intentions=self.intentions or call.intentions,
            places=self.places | set(call.places),
        )


@dataclass(frozen=True, slots=True)
class Context:
    """What the reader knows before a line: who is flying, who is called, which places there are."""

    callsign: str
    facility: str
    places: tuple[str, ...] = ()
    lexicon: Lexicon = field(default_factory=standard, repr=False)


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that the pilot does. Each kind is a subclass of its own."""

    kind: ClassVar[str] = ""
    unlabelled_when: ClassVar[Mapping[str, Any]] = {}   # fields that the labels leave out at this value

    def as_labels(self) -> dict[str, Any]:
        """Return `{"action": kind, ...}` with the fields that are set; tuples as lists."""
        labels: dict[str, Any] = {"action": self.kind}
        for each in fields(self):
            value = getattr(self, each.name)
            if isinstance(value, Call) or (each.name in self.unlabelled_when
                                           and self.unlabelled_when[each.name] == value):
                continue
            labels[each.name] = list(value) if isinstance(value, tuple) else value
        return labels


@dataclass(frozen=True, slots=True)
class Look(Action):
    """Look at one instrument, or at the whole panel, or outside."""

    kind: ClassVar[str] = "look"
    at: str = "panel"


@dataclass(frozen=True, slots=True)
class Compare(Action):
    """Set two or more instruments against each other."""

    kind: ClassVar[str] = "compare"
    what: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Cover(Action):
    """Put something over an instrument."""

    kind: ClassVar[str] = "cover"
    what: str = "attitude_indicator"


@dataclass(frozen=True, slots=True)
class Uncover(Action):
    """Take the cover off again."""

    kind: ClassVar[str] = "uncover"
    what: str = "attitude_indicator"


@dataclass(frozen=True, slots=True)
class FlyBy(Action):
    """Tell the hands what to trust: partial_panel, full_panel, or one instrument."""

    kind: ClassVar[str] = "fly_by"
    what: str = "full_panel"


@dataclass(frozen=True, slots=True)
class Turn(Action):
    """Turn to a heading or by an amount; with neither, turn until told to stop."""

    kind: ClassVar[str] = "turn"
    direction: Literal["left", "right", "shortest"] = "shortest"
    heading_deg: int | None = None
    by_deg: int | None = None


@dataclass(frozen=True, slots=True)
class Track(Action):
    """Follow a course: fly its heading with a cut toward the needle."""

    kind: ClassVar[str] = "track"
    what: Literal["course_needle"] = "course_needle"


@dataclass(frozen=True, slots=True)
class LevelWings(Action):
    """Stop banking."""

    kind: ClassVar[str] = "level_wings"


@dataclass(frozen=True, slots=True)
class StopTurn(Action):
    """Stop the turn where it is (the answer to ATC's "stop turn")."""

    kind: ClassVar[str] = "stop_turn"


@dataclass(frozen=True, slots=True)
class TurnRate(Action):
    """Turn at standard or at half standard rate from now on."""

    kind: ClassVar[str] = "turn_rate"
    rate: Literal["standard", "half"] = "standard"


@dataclass(frozen=True, slots=True)
class Altitude(Action):
    """Climb, descend, or hold; hold with None keeps the present altitude. `by_ft` is an amount from there, above 0."""

    kind: ClassVar[str] = "altitude"
    unlabelled_when: ClassVar[Mapping[str, Any]] = {"by_ft": None}
    to_ft: int | None = None
    direction: Literal["climb", "descend", "hold"] = "hold"
    by_ft: int | None = None


@dataclass(frozen=True, slots=True)
class Airspeed(Action):
    """Fly an airspeed in knots."""

    kind: ClassVar[str] = "airspeed"
    to_kt: int = 100


@dataclass(frozen=True, slots=True)
class Power(Action):
    """Set power: to an engine speed, or more, less, idle, full."""

    kind: ClassVar[str] = "power"
    to_rpm: int | None = None
    change: Literal["more", "less", "idle", "full"] | None = None


@dataclass(frozen=True, slots=True)
class Pitch(Action):
    """Nose up, down or level; `by_deg` degrees when given."""

    kind: ClassVar[str] = "pitch"
    to: Literal["up", "down", "level"] = "level"
    by_deg: int | None = None


@dataclass(frozen=True, slots=True)
class Flaps(Action):
    """Flaps to a setting in degrees."""

    kind: ClassVar[str] = "flaps"
    to_deg: int = 0


@dataclass(frozen=True, slots=True)
class Switch(Action):
    """Put a switch on or off; alternate static open is on."""

    kind: ClassVar[str] = "switch"
    what: str = "pitot_heat"
    to: Literal["on", "off"] = "on"


@dataclass(frozen=True, slots=True)
class Breaker(Action):
    """Pull or reset a circuit breaker."""

    kind: ClassVar[str] = "breaker"
    what: str = "turn_coordinator"
    to: Literal["pull", "reset"] = "pull"


@dataclass(frozen=True, slots=True)
class Squawk(Action):
    """Set a transponder code of four digits."""

    kind: ClassVar[str] = "squawk"
    code: str = "1200"


@dataclass(frozen=True, slots=True)
class Ident(Action):
    """Press the transponder's ident."""

    kind: ClassVar[str] = "ident"


@dataclass(frozen=True, slots=True)
class Tune(Action):
    """Tune a frequency."""

    kind: ClassVar[str] = "tune"
    frequency: str = ""


@dataclass(frozen=True, slots=True)
class Align(Action):
    """Set the heading indicator to the compass, or the altimeter to a pressure."""

    kind: ClassVar[str] = "align"
    what: Literal["heading_indicator", "altimeter"] = "heading_indicator"
    to: Literal["magnetic_compass"] | None = None
    hpa: int | None = None
    inhg: float | None = None


@dataclass(frozen=True, slots=True)
class Timer(Action):
    """Start or stop the timer."""

    kind: ClassVar[str] = "timer"
    to: Literal["start", "stop"] = "start"


@dataclass(frozen=True, slots=True)
class Transmit(Action):
    """Say `call` on the radio; `meaning` is what it says."""

    kind: ClassVar[str] = "transmit"
    call: str = ""
    meaning: Call = field(default_factory=Call)


@dataclass(frozen=True, slots=True)
class Diagnose(Action):
    """Say, to oneself, what has failed."""

    kind: ClassVar[str] = "diagnose"
    failed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Decide(Action):
    """Take a decision; `where` is a place as typed, or None."""

    kind: ClassVar[str] = "decide"
    plan: str = "continue"
    where: str | None = None


@dataclass(frozen=True, slots=True)
class Taxi(Action):
    """Begin to roll on the ground. Stopping is a decision (`stop_taxi`)."""

    kind: ClassVar[str] = "taxi"


@dataclass(frozen=True, slots=True)
class GoAround(Action):
    """Go around, or fly the missed approach."""

    kind: ClassVar[str] = "go_around"


@dataclass(frozen=True, slots=True)
class Checklist(Action):
    """Read a checklist of the airplane; None asks which there are."""

    kind: ClassVar[str] = "checklist"
    name: str | None = None


@dataclass(frozen=True, slots=True)
class ChecklistItem(Action):
    """Tick the present item of the checklist as done."""

    kind: ClassVar[str] = "checklist_item"


@dataclass(frozen=True, slots=True)
class WriteUp(Action):
    """Defer, placard or enter a defect in the maintenance record."""

    kind: ClassVar[str] = "write_up"
    how: Literal["defer", "placard", "enter"] = "enter"
    what: str | None = None


@dataclass(frozen=True, slots=True)
class Wait(Action):
    """Let time pass: so many seconds, or until ATC calls, but no longer than that."""

    kind: ClassVar[str] = "wait"
    unlabelled_when: ClassVar[Mapping[str, Any]] = {"until_called": False}
    seconds: float = 10.0
    until_called: bool = False


@dataclass(frozen=True, slots=True)
class BreakOff(Action):
    """Drop what is being done and what waits."""

    kind: ClassVar[str] = "break_off"


@dataclass(frozen=True, slots=True)
class Unclear(Action):
    """Nothing that can be done; `ask` is the question back to the pilot."""

    kind: ClassVar[str] = "unclear"
    ask: str = ""
