"""What the controller knows and is about to say, and the rule for what to ask next."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from drill.flight.no_gyro import Turns
from drill.language.meaning import Call, Told

_NEVER = -1e6
FAR_NM = 1e6


@dataclass(frozen=True, slots=True)
class Radar:
    """What the controller sees of the airplane."""

    north_nm: float
    east_nm: float
    altitude_ft: float
    track_deg: float
    code: str = ""                # of the transponder; "": none is seen
    on_ground: bool = False       # taxiing or parked: no radar, nothing to notice


@dataclass(frozen=True, slots=True)
class Received:
    """A call that waits for its answer, and what was new in it."""

    call: Call
    declares: bool
    reports: tuple[str, ...]
    expected: bool = False        # it follows a line that wanted an answer


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
    question: str = ""            # and puts this question of `next_question`, or "more"
    only_asks: bool = False       # and is left unsaid once that is known
    turns: bool = False           # begins or ends a turn, or gives a heading
    to_us: bool = True


@dataclass(frozen=True, slots=True)
class Spoken:
    """A line as it goes out."""

    voice: str
    words: str
    to_us: bool
    wants: bool = False           # it asks this airplane for something, or turns it


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
    question: str = ""                    # the one that is open
    answers: int = 0
    quiet_until_s: float = 0.0            # the pilot has said "standby"
    more_at_s: float | None = None
    addressed_s: float = _NEVER           # when the last line to this airplane was said
    unanswered_since_s: float | None = None
    nudges: int = 0
    place: str = ""                       # where the airplane is being helped to
    planned: bool = False                 # the pilot has said or asked for something that is a plan
    heard_s: float = _NEVER               # when the last call was heard
    prompts: int = 0                      # "say intentions" into a long silence
    radar_approach: bool = False          # asked for, and to be had there
    descent_given: bool = False
    outbound_deg: float | None = None     # led away from the field, to lose height before the approach
    brought_down: bool = False            # and that has been done
    course_deg: float | None = None       # of the cleared approach,
    miles_called: int = 0                 # the last range given in it,
    closest_nm: float = FAR_NM            # how near it has come to its field,
    in_sight: bool = False                # and whether the pilot sees the field
    altimeter: str = ""                   # digits of the setting that was given last
    emergency_code: bool = False          # 7700 has been seen
    ifr_cancelled: bool = False
    own_heading: bool = False             # headings are the pilot's affair now
    own_altitude: bool = False
    turns: Turns | None = None
    track_was_deg: float | None = None
    assigned: tuple[float | None, float | None] = (None, None)   # heading and altitude as last given,
    assigned_s: float = _NEVER                                    # when,
    unsaid: tuple[str, ...] = ()                                  # which of them is not on the air yet,
    unread: tuple[str, ...] = ()                                  # or not read back yet
    wants_altitude: bool = False          # a change of altitude was asked for without saying which
    altitude_was_off_ft: float = 0.0
    altitude_off_since_s: float | None = None
    heading_was_off_deg: float = 0.0
    heading_off_since_s: float | None = None
    noticed_s: float = _NEVER             # when the altitude was last asked about,
    heading_noticed_s: float = _NEVER     # and the heading
    notices: int = 0                      # said to a pilot who has not answered since
    alerted_s: float = _NEVER
    alerts: int = 0                       # of low altitude, since the pilot last called; each waits longer


def in_trouble(state: ControllerState) -> bool:
    """Say whether ATC knows of something wrong, be it only by the emergency code."""
    told = state.told
    return bool(told.equipment) or told.impairment or told.urgency != "none" or state.emergency_code


def own_altitude(state: ControllerState) -> bool:
    """Say whether altitudes stay the pilot's, whatever is assigned: in an emergency or a cleared approach."""
    return state.told.urgency != "none" or state.approach is not None


def no_plan(state: ControllerState) -> ControllerState:
    """Return the controller after an approach or a plan has come to nothing."""
    return replace(state, approach=None, place="", planned=False, turns=None, radar_approach=False, course_deg=None,
                   miles_called=0, closest_nm=FAR_NM, in_sight=False, descent_given=False, outbound_deg=None,
                   brought_down=False)


def known(state: ControllerState, question: str) -> bool:
    """Say whether `question` (nature, intentions, emergency, more) has been answered; False for any other."""
    told = state.told
    return {
        "nature": bool(told.equipment) or told.impairment,
        "intentions": bool(state.place),
        "emergency": told.urgency != "none",
        "more": told.fuel and told.souls,
    }.get(question, False)


def next_question(state: ControllerState) -> tuple[str, str]:
    """Return the key and the words of the one thing to ask for now; two empty texts when nothing is missing.

    An altitude that was asked for without a number comes first; then who, what is wrong, what is wanted, whether it
    is an emergency. None of these is put more than twice, the last once.
    """
    told, put = state.told, Counter(state.asked)
    if state.wants_altitude:
        return "altitude", "say altitude wanted"
    if not told.callsign and told.calls and put["identification"] < 2:
        return "identification", "say callsign"
    if not in_trouble(state):
        return "", ""
    if not told.equipment and not told.impairment and put["nature"] < 2:
        return "nature", "say nature of the problem"
    if not (told.assistance or told.intentions or told.places or state.place) and put["intentions"] < 2:
        return "intentions", "say intentions"
    if told.urgency == "none" and not put["emergency"]:
        return "emergency", "are you declaring an emergency?"
    return "", ""
