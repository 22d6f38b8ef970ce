"""What the controller knows and is about to say, and the rule for what to ask next."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from drill.flight.no_gyro import Turns
from drill.language.meaning import Call, Told

_NEVER = -1e6


@dataclass(frozen=True, slots=True)
class Radar:
    """What the controller sees of the airplane."""

    north_nm: float
    east_nm: float
    altitude_ft: float
    track_deg: float


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
    asks: bool = False            # wants an answer by itself
    to_us: bool = True


@dataclass(frozen=True, slots=True)
class Spoken:
    """A line as it goes out."""

    voice: str
    words: str
    to_us: bool


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
    unanswered_since_s: float | None = None
    nudges: int = 0
    place: str = ""                       # where the airplane is being helped to
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
    noticed_s: float = _NEVER
    notices: int = 0                      # said to a pilot who has not answered since
    alerted_s: float = _NEVER


def in_trouble(told: Told) -> bool:
    """Say whether ATC has been told of something wrong."""
    return bool(told.equipment) or told.impairment or told.urgency != "none"


def next_question(state: ControllerState) -> tuple[str, str]:
    """Return the key and the words of the one thing to ask for now; two empty texts when nothing is missing.

    An altitude that was asked for without a number comes first; then who, what is wrong, what is wanted, whether it
    is an emergency. None of these is put more than twice, the last once.
    """
    told, put = state.told, Counter(state.asked)
    if state.wants_altitude:
        return "altitude", "say altitude wanted"
    if not told.callsign and put["identification"] < 2:
        return "identification", "say callsign"
    if not in_trouble(told):
        return "", ""
    if not told.equipment and not told.impairment and put["nature"] < 2:
        return "nature", "say nature of the problem"
    if not told.assistance and not told.intentions and not told.places and put["intentions"] < 2:
        return "intentions", "say intentions"
    if told.urgency == "none" and not put["emergency"]:
        return "emergency", "are you declaring an emergency?"
    return "", ""
