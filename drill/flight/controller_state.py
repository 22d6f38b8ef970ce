"""What the controller knows, has assigned, has asked and is about to say."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from drill.flight.final import Leg
from drill.flight.no_gyro import Turns
from drill.language.meaning import Call, Told

_NEVER = -1e6
FAR_NM = 1e6
Stage: TypeAlias = Literal["routine", "trouble", "handled", "declared"]
"""Where the controller stands with the airplane; what leads from one to the next is in `stages`."""

Control: TypeAlias = Literal["", "able", "partial", "unable"]
"""What the pilot has said of keeping heading and altitude; partial: with what instruments are left."""


@dataclass(frozen=True, slots=True)
class Radar:
    """What the controller sees of the airplane."""

    north_nm: float
    east_nm: float
    altitude_ft: float
    track_deg: float
    code: str = ""                # of the transponder; "": none is seen
    on_ground: bool = False       # taxiing or parked: no radar, nothing to notice
    ident: bool = False           # pressed just now


@dataclass(frozen=True, slots=True)
class Seen:
    """What radar has shown of late: rates smoothed over some seconds, since when they are wild, or it is low."""

    altitude_ft: float | None = None
    track_deg: float | None = None
    climb_fpm: float = 0.0
    turning_dps: float = 0.0
    wild_since_s: float | None = None
    wild_at_s: float | None = None        # when that was taken for more than a moment; None: it never was
    low_since_s: float | None = None      # since when below the minimum altitude
    on_ground: bool = False
    turned_deg: float = 0.0               # how far round the turn that is on has gone, right positive
    north_nm: float | None = None
    east_nm: float | None = None
    speed_kt: float = 0.0                 # over the ground, smoothed
    rapid_since_s: float | None = None    # since when it descends at more than fifteen hundred feet a minute


@dataclass(frozen=True, slots=True)
class Received:
    """A call that waits for its answer, and what was new in it."""

    call: Call
    declares: bool
    reports: tuple[str, ...]
    natures: tuple[str, ...] = ()         # what is wrong that is no equipment, by the names of `natures`
    expected: bool = False        # it follows a line that wanted an answer
    missed: tuple[str, ...] = ()  # what was assigned and not read back, before he was asked whether he hears
    due_s: float = 0.0            # a busy controller comes back to it then
    stood_by: bool = False        # and has said so
    heard_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Line:
    """Words that wait for the frequency. `plain` words are said as they are, others after the callsign."""

    due_s: float
    words: str
    voice: str = ""               # "": the facility
    plain: bool = False
    answer: bool = False          # the controller's own answer to a call
    ask: bool = False             # followed by the next question, if something is missing by then
    asks: bool = False            # wants an answer by itself,
    question: str = ""            # and puts this question of `stages`, or "more"
    only_asks: bool = False       # and is left unsaid once that is known
    turns: bool = False           # begins or ends a turn, or gives a heading
    to_us: bool = True
    hands_off: bool = False       # sends the airplane to another frequency; not in an emergency
    handling: bool = False        # says that it is an emergency to him; unsaid once it is none any more
    plan: bool = False            # belongs to what the pilot means to do, and is dropped with it
    born_s: float = 0.0
    urgent: bool = False          # goes before all that waits: an alert, the end of a turn, a wrong read-back


@dataclass(frozen=True, slots=True)
class Spoken:
    """A line as it goes out."""

    voice: str
    words: str
    to_us: bool
    wants: str = ""               # what it wants of this airplane (see `events.Heard`), "" for nothing
    mistake: str = ""             # what the controller has got wrong in it, of `scenario.model.MISTAKES`


@dataclass(frozen=True, slots=True)
class Slip:
    """A mistake that the controller has made and nobody has corrected."""

    what: str                     # of `scenario.model.MISTAKES`
    right: str                    # what should have been said, in words
    number: float | None = None   # and, of an altitude (ft) or a heading (deg), in figures
    said_s: float = 0.0           # when it was made


@dataclass(frozen=True, slots=True)
class ControllerState:
    """What the controller knows, has assigned, has asked and is about to say."""

    heading_deg: float | None = None
    altitude_ft: float | None = None
    approach: str | None = None
    told: Told = field(default_factory=Told)
    contact: bool = False
    received: tuple[Received, ...] = ()
    lines: tuple[Line, ...] = ()
    frequency_free_s: float = 0.0
    last_words: str = ""
    asked: tuple[str, ...] = ()           # every question put so far
    question: str = ""                    # the one that is open: until it is answered, withdrawn or replaced,
    question_s: float = _NEVER            # and when it was put
    question_words: str = ""              # the words for it,
    repeats: int = 0                      # and how often it was put again
    offered: str = ""                     # the field that an open offer is about
    no_help: bool = False                 # the pilot has said that no help is needed
    trouble: bool = False                 # or that something is wrong, and not what
    natures: tuple[str, ...] = ()         # what is wrong that is no equipment, by the names of `natures`
    author_handles: bool = False          # the scenario has said that it is handled as an emergency
    others_s: float = _NEVER              # when a line to somebody else was last said
    answers: int = 0
    quiet_until_s: float = 0.0            # the pilot has said "standby"
    more_at_s: float | None = None        # from when on it is asked for what can wait
    addressed_s: float = _NEVER           # when the last line to this airplane was said
    unanswered_since_s: float | None = None
    nudges: int = 0                       # tries to reach a pilot who has not answered,
    asked_heard: int = 0                  # questions put when the pilot was last known to hear,
    tried: str = ""                       # the last one without words: "ident", "turn",
    tried_deg: float = 0.0                # and the track (deg) before it
    wordless: bool = False                # he answers by ident and not by voice
    place: str = ""                       # where the airplane is being helped to,
    last_place: str = ""                  # or was, before that came to nothing
    wish: tuple[str, ...] = ()            # the help that was asked for without saying where to
    read_out: tuple[tuple[str, float], ...] = ()   # the fields whose weather was read, and when
    spoken_of: str = ""                   # the field that was last named on the air
    planned: bool = False                 # the pilot has said or asked for something that is a plan
    heard_s: float = _NEVER               # when the last call was heard
    prompts: int = 0                      # "say intentions" into a long silence
    radar_approach: bool = False          # asked for, and to be had there
    descent_given: bool = False
    own_descent_s: float = _NEVER         # when the scenario last left the descent to the pilot
    outbound_deg: float | None = None     # led away from the field, to lose height before the approach
    brought_down: bool = False            # and that has been done
    vectored: bool = False                # headings lead it to `place`,
    strayed: int = 0                      # how often one has not been flown, and was given again,
    vector_s: float = _NEVER              # the last one given when,
    vector_leg: Leg = ""                  # and for which leg
    aside: bool = False                   # beside its way, around weather
    leg: Leg = ""                         # of the way to final, on which
    side: float = 0.0                     # of the centreline
    wind: tuple[float, float] = (0.0, 0.0)   # from where (deg), and how strong (knots)
    drift_deg: float = 0.0                # the assigned heading less the track on a straight, and less the wind,
    drift_on_deg: float | None = None     # on which heading that was,
    drift_seen_s: float = 0.0               # and for how many seconds it was seen
    missed_told: bool = False             # what to do when a radar approach is missed has been said
    briefed: tuple[str, ...] = ()         # the field of a radar approach, and what has been said of it beforehand
    final_told: tuple[str, ...] = ()      # what has been said on final, by the names of `guidance`,
    final_s: float = _NEVER               # and when it was last said where the airplane is
    point_ft: float = 0.0                 # how high (ft) it was over its missed approach point
    sight_asked: int = 0                  # how often it was asked to report the field in sight
    passed: int = 0                       # and how often it has passed it unseen
    landing: bool = False                 # cleared to land
    low_approach: bool = False            # it is to be a low approach and no landing
    holding: bool = False                 # in a hold or a block of altitudes, until it asks for something else
    course_deg: float | None = None       # of the cleared approach,
    miles_called: int = 0                 # the last range given in it,
    closest_nm: float = FAR_NM            # how near it has come to its field,
    in_sight: bool = False                # and whether the pilot sees the field
    missed_s: float = _NEVER              # when an approach last came to nothing
    altimeter: str = ""                   # digits of the setting that was given last
    emergency_code: bool = False          # 7700 has been seen
    sight_doubted: bool = False           # a field reported in sight lay behind, and was to be verified
    ifr_cancelled: bool = False
    own_heading: bool = False             # headings are the pilot's affair now
    own_altitude: bool = False
    turns: Turns | None = None
    assigned: tuple[float | None, float | None] = (None, None)   # heading and altitude as last given,
    assigned_s: float = _NEVER                                    # when,
    turned_from_deg: float | None = None  # the track when a heading was last given, until that is flown
    aired: tuple[float | None, float | None] = (None, None)       # the same as last said on the air,
    unsaid: tuple[str, ...] = ()                                  # which of them is not on the air yet,
    unread: tuple[str, ...] = ()                                  # or not read back yet
    gave: str = ""                        # what was last instructed: heading, turn, altitude, approach, frequency
    wants_altitude: bool = False          # a change of altitude was asked for without saying which
    altitude_was_off_ft: float = 0.0
    altitude_off_since_s: float | None = None
    heading_was_off_deg: float = 0.0
    heading_off_since_s: float | None = None
    direct_off_since_s: float | None = None   # since when an airplane cleared direct has flown another way,
    direct_told: int = 0                      # and how often it has been told so
    noticed_s: float = _NEVER             # when the altitude was last asked about,
    heading_noticed_s: float = _NEVER     # and the heading
    notices: int = 0                      # said to a pilot who has not answered since
    given_s: float = _NEVER               # when an altitude was last said,
    given_plain: bool = False             # and whether by a line of the scenario
    warned_s: float = _NEVER              # when it was last said that radar shows it turning or coming down,
    warnings: int = 0                     # and how often
    alerted_s: float = _NEVER
    alerts: int = 0                       # of low altitude, since the pilot last called; each waits longer
    stage: Stage = "routine"
    now_s: float = 0.0                    # flight time of the last look at the radar
    seen: Seen = field(default_factory=Seen)
    declined: bool = False                # the pilot has said that it is no emergency
    control: Control = ""
    spent: tuple[str, ...] = ()           # reasons to handle it as an emergency that the pilot has done away with
    handling_said: bool = False
    said: int = 0                         # lines to this airplane since there is contact
    shortened_first: bool = False         # the pilot has shortened the callsign before the controller did
    mistakes: tuple[str, ...] = ()        # still to be made, in the author's order
    slip: Slip | None = None


def in_trouble(state: ControllerState) -> bool:
    """Say whether ATC knows of something wrong, be it only by the emergency code or by what radar shows."""
    return state.stage != "routine"


def emergency(state: ControllerState) -> bool:
    """Say whether the airplane is an emergency to ATC, declared or not."""
    return state.stage in ("handled", "declared")


def powerless(state: ControllerState) -> bool:
    """Say whether the engine is out, or does not give what it should, as far as has been told."""
    return "engine" in state.told.equipment


def must_land(state: ControllerState) -> bool:
    """Say whether an airplane has to come down by the shortest way: no engine, or a fire and no approach asked for."""
    return powerless(state) or ("fire" in state.natures and not state.radar_approach)


def own_altitude(state: ControllerState) -> bool:
    """Say whether altitudes stay the pilot's, whatever is assigned: in an emergency or a cleared approach."""
    return emergency(state) or state.approach is not None or must_land(state)


def no_plan(state: ControllerState) -> ControllerState:
    """Return the controller after an approach or a plan has come to nothing."""
    return replace(state, approach=None, place="", last_place=state.place or state.last_place, planned=False,
                   turns=None, radar_approach=False, course_deg=None, miles_called=0, closest_nm=FAR_NM, in_sight=False,
                   descent_given=False, outbound_deg=None, brought_down=False, vectored=False, leg="",
                   missed_told=False, final_told=(), sight_asked=0, passed=0, landing=False, low_approach=False)
