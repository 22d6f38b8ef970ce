"""The scenario as checked, frozen data, for the flight, the story, the grader and the checker.

Units here are those in the names. Every part that can be wrong carries `place`, where it stands in its file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.clean import Clean
from drill.language.lexicon import Lexicon, standard
from drill.language.meaning import Context
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import Condition
from drill.scenario.poll import Poll
from drill.scenario.problems import Place

Part: TypeAlias = Literal["aviate", "decide", "communicate", "recognize", "manage"]
PARTS: tuple[Part, ...] = ("aviate", "decide", "communicate", "recognize", "manage")
Weight: TypeAlias = Literal["critical", "major", "minor"]
Asks: TypeAlias = Literal[
    "", "yes", "nature", "intentions", "emergency", "control", "conditions", "fuel", "people", "more", "readback"
]
ASKS: tuple[Asks, ...] = (
    "yes", "nature", "intentions", "emergency", "control", "conditions", "fuel", "people", "more", "readback")
"""What a line of ATC asks for; yes: something else; control: whether heading and altitude can be kept; conditions: IMC
or VMC; more: fuel and people on board."""
WhenAble: TypeAlias = Literal["control", "conditions", "fuel", "people"]
WHEN_ABLE: tuple[WhenAble, ...] = ("control", "conditions", "fuel", "people")
"""What the controller asks for by himself once the first rush is over, in this order."""
Mistake: TypeAlias = Literal["callsign", "altitude", "heading", "side"]
MISTAKES: tuple[Mistake, ...] = ("callsign", "altitude", "heading", "side")
"""What the controller can get wrong, once each: side is that of a turn."""
InsteadOf: TypeAlias = Literal["", "answer", "handling", "missed approach"]
INSTEAD_OF: tuple[InsteadOf, ...] = ("answer", "handling", "missed approach")
"""What a line of ATC can stand in for: the controller's own answer to the call just heard, his words that he handles
the flight as an emergency, those on a missed approach."""
Need: TypeAlias = Literal["callsign", "equipment", "impairment", "assistance"]
NEEDS: tuple[Need, ...] = ("callsign", "equipment", "impairment", "assistance")

OUTCOMES = (
    "safe", "landed", "stayed on the ground", "unresolved", "loss of control", "hit the ground", "broke up",
    "below minimums",
)
"""How a flight can end; the first three are good."""

LIMIT_ENDINGS = ("ground", "break-up", "time up")
"""Endings that the model itself can reach; an author may give them words, otherwise they have plain ones.

Break-up and ground come before every cue and branch of their second, time up after them.
"""


@dataclass(frozen=True, slots=True)
class Airplane:
    """An airplane document: the model's numbers and what its handbook says."""

    name: str                                             # file stem, e.g. larkspur-180
    title: Clean                                          # "Larkspur 180"
    airframe: Airframe
    checklists: tuple[tuple[Clean, tuple[Clean, ...]], ...]  # (name, steps), names in lower case
    text: str                                             # the whole document, as read


@dataclass(frozen=True, slots=True)
class Start:
    """Where and how the flight begins."""

    phase: str
    altitude_ft: float
    heading_deg: float
    airspeed_kt: float
    on_board: int
    fuel_min: float
    clock: Clean = Clean("12:00")  # noqa: RUF009 - NewType is no call; local time, for the words
    altimeter_hpa: float = 1013.25                        # in its window; so set, the altimeter shows `altitude_ft`
    autopilot: bool = False                               # switched on
    on_ground: bool = False                               # parked with the engine running
    gyros_running: bool = True                            # False: the engine has just been started


@dataclass(frozen=True, slots=True)
class Cloud:
    """One layer, feet above mean sea level; a field's own ceiling rules within ten miles of it."""

    base_ft: float
    tops_ft: float


@dataclass(frozen=True, slots=True)
class Weather:
    """What the forecast says and what the airplane meets."""

    cloud: Cloud | None
    air: Air                                              # wind, turbulence, ice, temperature, pressure, ground
    freezing_level_ft: float | None
    words: Clean
    coded: tuple[Clean, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """A place to land, as seen from where the flight begins."""

    name: Clean
    bearing_deg: float
    distance_nm: float
    elevation_ft: float
    ceiling_ft: float | None                              # above the field; None: clear
    tops_ft: float | None
    visibility_sm: float
    approaches: tuple[Clean, ...]
    runway_deg: float | None
    minimums_ft: float | None                             # above mean sea level, of the best approach
    weather: Clean
    radar_approach: bool


@dataclass(frozen=True, slots=True)
class Clearance:
    """What ATC has cleared at the start."""

    facility: Clean
    frequency: Clean
    altitude_ft: float
    heading_deg: float
    code: Clean
    limit: Clean
    radar_approach: bool                                  # the facility can give one
    mood: Literal["helpful", "busy"]
    mistakes: tuple[Mistake, ...] = ()                    # what the controller gets wrong, once each, in this order
    when_able: tuple[WhenAble, ...] = WHEN_ABLE           # what he asks for by himself when the first rush is over


@dataclass(frozen=True, slots=True)
class FailurePlan:
    """A failure that the scenario holds ready. Without `at_s` it comes only when an effect brings it."""

    name: str
    part: str
    how: str
    at_s: float | None
    spread_s: float                                       # drawn uniformly from [at, at + spread]
    lasts_s: float | None                                 # heals by itself after this time
    severity: float                                       # 1: the catalogue's default rate or size
    place: Place
    every_s: float | None = None                          # and comes back so long after it began, again and again


@dataclass(frozen=True, slots=True)
class Variation:
    """One of the ways in which a flight can go wrong; the seed draws one by its share."""

    name: str
    share: int
    fails: tuple[str, ...]                                # names of failures; none: nothing of what varies fails
    place: Place


@dataclass(frozen=True, slots=True)
class Tell:
    """Words of the story to the pilot."""

    words: Clean


@dataclass(frozen=True, slots=True)
class Say:
    """Words heard on the radio; `{callsign}`, `{heading}` and `{altitude}` are filled in by the controller.

    A heading or altitude becomes the assigned one; `at_discretion` leaves the altitude to the pilot from now on.
    `asks` is set for a line that wants an answer, and says what it asks for where the controller asks for that too:
    then it is not put again, neither by the controller nor, once the answer is known, by the scenario.
    """

    words: Clean
    voice: Clean | None = None                            # None: the facility
    heading_deg: float | None = None
    altitude_ft: float | None = None
    cleared_approach: Clean | None = None
    asks: Asks = ""
    at_discretion: bool = False
    hands_off: bool = False                               # to another frequency; unsaid in an emergency
    instead_of: InsteadOf = ""


@dataclass(frozen=True, slots=True)
class Fail:
    """A failure begins."""

    failure: str


@dataclass(frozen=True, slots=True)
class Heal:
    """A failure ends."""

    failure: str


@dataclass(frozen=True, slots=True)
class Note:
    """A named flag is raised."""

    flag: str


@dataclass(frozen=True, slots=True)
class Go:
    """The story moves to another phase."""

    phase: str


@dataclass(frozen=True, slots=True)
class End:
    """The story ends."""

    ending: str


Effect: TypeAlias = Tell | Say | Fail | Heal | Note | Go | End


@dataclass(frozen=True, slots=True)
class Cue:
    """Something that happens by itself, once each time its phase is entered (a scenario's own cues: once a flight).

    It happens at the first second at which `after_s` has passed since the phase was entered, `when` holds and `unless`
    does not. A scenario's cue counts from the start of the flight and may be drawn from [after, after + spread].
    """

    key: str                                              # unique, e.g. "cruise/atc/0" or "event/traffic"
    after_s: float
    spread_s: float
    when: Condition | None
    unless: Condition | None
    effects: tuple[Effect, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Branch:
    """A way out of a phase. The first branch that holds wins; `for_s` is how long it must hold without a break."""

    when: Condition
    for_s: float
    effects: tuple[Effect, ...]                           # said and done on the way, the last one a Go or an End
    place: Place


@dataclass(frozen=True, slots=True)
class Phase:
    """One stage of the story."""

    name: str
    enter: tuple[Effect, ...]
    cues: tuple[Cue, ...]
    branches: tuple[Branch, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Ending:
    """A way the flight can end."""

    name: str
    outcome: str
    tell: Clean
    place: Place


@dataclass(frozen=True, slots=True)
class Within:
    """A time window that the author has chosen: `seconds` after a failure's onset, the evidence, or an item done."""

    seconds: float
    of: Literal["failure", "evidence", "item", "start"]
    name: str | None                                      # the failure's or item's name where there can be several


@dataclass(frozen=True, slots=True)
class ActTree:
    """Acts joined by any or all; a leaf has one pattern."""

    how: Literal["one", "any", "all"]
    pattern: ActPattern | None = None
    parts: tuple[ActTree, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the grade sheet: something to do, something never to do, or something to keep."""

    name: Clean
    part: Part
    weight: Weight
    do: ActTree | None
    never: ActTree | None
    keep: Condition | None
    when: Condition | None                                # the item applies only if this has held at some time
    after: str | None                                     # another item's name that has to come first
    before: Condition | None                              # too late once this has held
    within: Within | None
    needs: tuple[Need, ...]
    example: Clean | None                                 # the words that do it
    why: Clean
    source: Clean
    unsafe: bool                                          # breaking a `never` or `keep` is an unsafe act
    place: Place


@dataclass(frozen=True, slots=True)
class DebriefWords:
    """What is asked of the pilot after the flight, and what the author wants said."""

    ask: tuple[Clean, ...]
    discuss: Clean


@dataclass(frozen=True, slots=True)
class TakenUp:
    """The story is taken up in a later phase than the author's first."""

    phase: str
    failed: tuple[str, ...]                               # failures that have begun by then


@dataclass(frozen=True, slots=True)
class Scenario:
    """A checked scenario."""

    name: str                                             # file stem
    edition: int
    board_title: Clean                                    # all that the pilot sees before the debrief
    title: Clean
    aim: Clean
    covers: tuple[Clean, ...]
    airplane: Airplane
    callsign: Clean
    start: Start
    weather: Weather
    minimum_altitude_ft: float
    fields: tuple[Field, ...]
    clearance: Clearance
    course: tuple[Clean, float] | None                    # course needle: its field, and the inbound course (deg)
    briefing: Clean
    minutes: float                                        # about how long it takes
    time_limit_s: float
    nothing_fails: float                                  # share of seeds in which no failure happens
    failures: tuple[FailurePlan, ...]
    events: tuple[Cue, ...]
    phases: tuple[Phase, ...]
    endings: tuple[Ending, ...]
    grade_sheet: tuple[Item, ...]
    debrief: DebriefWords
    cautions: tuple[Clean, ...]                           # the author's own; drill's are always shown
    text: str = field(repr=False, default="")
    variations: tuple[Variation, ...] = ()                # none: every failure can happen in every flight
    lexicon: Lexicon | None = None                        # with the words of a country or a place; None: the standard
    taken_up: TakenUp | None = None                       # by an author who looks at one phase; `start` is as it says
    polls: tuple[Poll, ...] = ()                          # of a room that flies together; none: the usual ones

    @property
    def context(self) -> Context:
        """What is known before a line is read in a flight of this scenario."""
        places = tuple(field.name for field in self.fields)
        return Context(self.callsign, self.clearance.facility, places, self.lexicon or standard())

    def phase(self, name: str) -> Phase:
        """Return the phase called `name`; KeyError if there is none."""
        for phase in self.phases:
            if phase.name == name:
                return phase
        raise KeyError(name)

    def ending(self, name: str) -> Ending:
        """Return the ending called `name`; KeyError if there is none."""
        for ending in self.endings:
            if ending.name == name:
                return ending
        raise KeyError(name)

