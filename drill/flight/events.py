"""What happens in a flight: frozen, flat and few. `t` is flight time in seconds, to a tenth.

The same events go to the faces and, as JSON lines, into the record.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field


@dataclass(frozen=True, slots=True)
class Typed:
    """A line that the pilot entered and the actions read from it (their labels)."""

    t: float
    line: str
    actions: tuple[dict[str, Any], ...]
    by: str = "typed"                      # which pilot: typed, script, exemplar, simulated, room
    kind: Literal["typed"] = "typed"


@dataclass(frozen=True, slots=True)
class Asked:
    """A question back to the pilot: the line was not understood, cost nothing and is not graded."""

    t: float
    words: str
    kind: Literal["asked"] = "asked"


@dataclass(frozen=True, slots=True)
class Began:
    """An act begins; it will take `seconds`."""

    t: float
    act: dict[str, Any]
    seconds: float
    kind: Literal["began"] = "began"


@dataclass(frozen=True, slots=True)
class Acted:
    """An act is done. For a transmission: it has been said and, where `heard`, received.

    `meaning` is the call as understood (the labels of the corpus), `told` the union of all calls so far.
    """

    t: float
    act: dict[str, Any]
    began: float
    result: str = ""                       # what the pilot gets from it: a reading, a checklist step, a refusal and why
    heard: bool = True
    meaning: dict[str, Any] | None = None
    told: dict[str, Any] | None = None
    refused: bool = False                  # it could not be done and changed nothing; `result` says why
    kind: Literal["acted"] = "acted"


@dataclass(frozen=True, slots=True)
class Dropped:
    """Acts that were broken off before they were done."""

    t: float
    acts: tuple[dict[str, Any], ...]
    kind: Literal["dropped"] = "dropped"


@dataclass(frozen=True, slots=True)
class Heard:
    """Words heard on the radio; `mistake` is what ATC has got wrong in them, not for the pilot's eyes.

    `wants` is what they want of the pilot: the name of a question (`flight.stages`), `reply` to any other, `readback`
    of a heading or an altitude, a `turn` to be begun or ended, `given` for what needs no more than to be heard, as any
    heading; "": nothing, or a record from before this was written.
    """

    t: float
    voice: str
    words: str
    to_us: bool = True
    mistake: str = ""                      # "" or callsign, altitude, heading, side
    wants: str = ""
    kind: Literal["heard"] = "heard"


@dataclass(frozen=True, slots=True)
class Assigned:
    """ATC's present assignment, when it changes."""

    t: float
    heading_deg: float | None
    altitude_ft: float | None
    approach: str | None = None
    kind: Literal["assigned"] = "assigned"


@dataclass(frozen=True, slots=True)
class Told:
    """Words of the story to the pilot."""

    t: float
    words: str
    kind: Literal["told"] = "told"


@dataclass(frozen=True, slots=True)
class Entered:
    """The story has entered a phase. Not for the pilot's eyes before the debrief."""

    t: float
    phase: str
    kind: Literal["entered"] = "entered"


@dataclass(frozen=True, slots=True)
class Failed:
    """A failure has begun. Not for the pilot's eyes before the debrief."""

    t: float
    failure: str
    part: str
    how: str
    kind: Literal["failed"] = "failed"


@dataclass(frozen=True, slots=True)
class Healed:
    """A failure has ended. Not for the pilot's eyes before the debrief."""

    t: float
    failure: str
    kind: Literal["healed"] = "healed"


@dataclass(frozen=True, slots=True)
class Noted:
    """A flag of the story has been raised."""

    t: float
    flag: str
    kind: Literal["noted"] = "noted"


@dataclass(frozen=True, slots=True)
class Ended:
    """The flight is over."""

    t: float
    ending: str
    outcome: str
    words: str
    kind: Literal["ended"] = "ended"


@dataclass(frozen=True, slots=True)
class Trace:
    """One second of the flight: everything that grading may see. Numbers are rounded for the page, not for resuming.

    `shown` is the panel, `true` the truths, `values` every observed quantity of `scenario.quantities`, `facts` the
    observed facts, `controls` the orders to the hands, `covered` the covered instruments, `busy` the act being done.
    """

    t: float
    shown: dict[str, float]
    true: dict[str, float]
    values: dict[str, float]
    facts: tuple[str, ...]
    controls: dict[str, float]
    covered: tuple[str, ...]
    reference: str                         # full_panel, partial_panel, or the instruments joined by +
    busy: str                              # kind of the act being done, or ""
    phase: str
    kind: Literal["trace"] = "trace"


@dataclass(frozen=True, slots=True)
class Reflected:
    """What the pilot answered in the debrief, before being told."""

    t: float
    question: str
    answer: str
    kind: Literal["reflected"] = "reflected"


@dataclass(frozen=True, slots=True)
class Paused:
    """The pilot paused or went on, or the flight was taken up again from its record."""

    t: float
    how: Literal["paused", "went on", "resumed"]
    kind: Literal["paused"] = "paused"


@dataclass(frozen=True, slots=True)
class Branched:
    """The controls were taken again here: what came before is the flight of another record.

    `record` is that file's name, without a folder, and `before` a fingerprint of what was recorded in it until then.
    `words` say what is to be known of the air: empty where it is the very same.
    """

    t: float
    record: str
    before: str
    by: str = "typed"                      # which pilot flies on: typed, exemplar
    words: str = ""
    kind: Literal["branched"] = "branched"


@dataclass(frozen=True, slots=True)
class Seated:
    """From here on the pilot sits before the whole panel as it is drawn, or is told in words what a look finds."""

    t: float
    before: Literal["panel", "words"]
    kind: Literal["seated"] = "seated"


Event: TypeAlias = (
    Typed | Asked | Began | Acted | Dropped | Heard | Assigned | Told | Entered | Failed | Healed | Noted | Ended
    | Trace | Reflected | Paused | Branched | Seated
)

AnyEvent: TypeAlias = Annotated[Event, Field(discriminator="kind")]

OF_FACES = (Paused, Reflected, Branched, Seated)
"""Kinds that the faces write into a record and that no flight gives."""

HIDDEN = (Entered, Failed, Healed, Noted, Trace, Assigned)
"""Kinds that no face may show while the flight lasts."""
