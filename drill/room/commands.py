"""What the facilitator can ask of the host. Each is answered by a Done or a Refusal in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from drill.room.events import Kind, Way

PACES = (1, 2, 4)
"""How many seconds of flight a second on the wall can give."""


@dataclass(frozen=True, slots=True)
class Brief:
    """Begin the briefing."""


@dataclass(frozen=True, slots=True)
class Fly:
    """Let the flight run, `pace` seconds of it a second, to the next poll. Also sets another pace while it runs."""

    pace: int = 1


@dataclass(frozen=True, slots=True)
class Stop:
    """Stop the flight where it is."""


@dataclass(frozen=True, slots=True)
class Advance:
    """Let so many seconds of flight pass at once, to the next poll at most."""

    seconds: float


@dataclass(frozen=True, slots=True)
class OpenPoll:
    """Open a poll: one of the scenario's by its id, or the facilitator's own `question` of some `kind`.

    With neither the next one of the scenario. `answers` are the words of an own question's answers; `does` the lines
    that do them, "" for none.
    """

    poll: str = ""
    question: str = ""
    kind: Kind = "what next"
    answers: tuple[str, ...] = ()
    does: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Close:
    """Close the poll that is open and, unless told otherwise, show what came of it on the wall."""

    show: bool = True


@dataclass(frozen=True, slots=True)
class Reveal:
    """Show on the wall what came of the last poll, which was closed without."""


@dataclass(frozen=True, slots=True)
class CountHands:
    """Raised hands by answer key, in the last poll; they count beside the votes and replace an earlier count."""

    counts: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Choose:
    """How the room goes on after a poll. `line`: what is entered where the way is `own`; in a tie, `answer` breaks it.

    majority: the line of the answer with the most votes is entered. sheet: the flight is flown as the grade sheet would
    have, to the next poll. fork: both, side by side in the same air.
    """

    way: Way
    line: str = ""
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Enter:
    """Give the room's flight a line, as if a pilot had typed it."""

    line: str


@dataclass(frozen=True, slots=True)
class ShowFace:
    """Let one instrument fill the wall (`attitude_indicator` ...), or the whole panel again (None)."""

    instrument: str | None = None


@dataclass(frozen=True, slots=True)
class Hide:
    """Keep somebody's name and words from the wall."""

    phone: str


@dataclass(frozen=True, slots=True)
class Show:
    """Show them again."""

    phone: str


@dataclass(frozen=True, slots=True)
class Rename:
    """Give somebody another name or table; None leaves it."""

    phone: str
    name: str | None = None
    table: str | None = None


@dataclass(frozen=True, slots=True)
class Remove:
    """Send a phone out: its vote in the open poll no longer counts, what is closed stays as the room saw it."""

    phone: str


@dataclass(frozen=True, slots=True)
class Strike:
    """Keep from the wall what one phone typed in one poll."""

    poll: str
    phone: str


@dataclass(frozen=True, slots=True)
class Debrief:
    """Begin the debrief: what was true may be shown from now on."""


@dataclass(frozen=True, slots=True)
class End:
    """End the evening; a poll that is open is closed."""


@dataclass(frozen=True, slots=True)
class More:
    """Give the part of the evening that runs now so many minutes more (or, negative, fewer)."""

    minutes: float


Command: TypeAlias = (
    Brief | Fly | Stop | Advance | OpenPoll | Close | Reveal | CountHands | Choose | Enter | ShowFace | Hide | Show
    | Rename | Remove | Strike | Debrief | End | More
)

Because: TypeAlias = Literal[
    "not now",      # the stage does not allow it
    "unknown",      # no such phone, poll, answer, instrument
    "removed",      # the phone was sent out
    "full",         # as many phones as there may be
    "wrong",        # the value cannot be taken as it is
    "unwritten",    # the record takes no more; nothing was changed
]


@dataclass(frozen=True, slots=True)
class Done:
    """A command was carried out; `words` say what came of it, where there is something to say."""

    words: str = ""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Nothing was changed; `words` say why and what to do, `because` which sort of reason it is."""

    words: str
    because: Because = "not now"


@dataclass(frozen=True, slots=True)
class Receipt:
    """A vote that is counted and on disk: as it was understood."""

    poll: str
    answer: str
    words: str
    sure: int | None
