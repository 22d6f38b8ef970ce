"""The debrief as data: a pure function of scenario and record gives it, every face and file prints it.

Each field is described where it stands; the descriptions are those of the JSON Schema of a debrief.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal, TypeAlias

from pydantic import ConfigDict

from drill.cautions import CAUTIONS as CAUTIONS  # every reader of a debrief finds them here

Verdict: TypeAlias = Literal[
    "done", "late", "out of order", "incomplete", "missed", "broken", "kept", "not needed", "remark"
]

AS_DATA = ConfigDict(use_attribute_docstrings=True, extra="forbid", json_schema_serialization_defaults_required=True)
"""How what is told becomes data: no key but these, each of them always there and described."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: which item, how it went, when, why it matters, where that is written."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    item: str
    """What is graded, in the words of the grade sheet or of the grader."""
    part: str
    """Of which part of flying it is: aviate, decide, communicate, recognize or manage."""
    verdict: Verdict
    """How it went."""
    at_s: float | None
    """When it happened, seconds of flight; null: it never did."""
    reason: str
    """What happened and why it matters, in plain words."""
    source: str
    """Where that is written."""
    weight: str
    """How much it counts: critical, major or minor."""
    panel: str = ""
    """The panel at that moment, in words; empty if it is not known."""
    readings: str = ""
    """Of that panel, what the finding is about."""
    better: str = ""
    """What would have been right: the item's example."""
    score: float | None = None
    """0 to 1; null: it does not count."""
    cost: float = 0.0
    """Points of the whole score (0 to 100) that it took away."""
    about: tuple[str, ...] = ()
    """The instruments that it is about, by their codes."""


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """Something that could have killed: caps the grade."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    act: str
    """What was done."""
    at_s: float
    """When, seconds of flight."""
    reason: str
    """What happened and why it matters, in plain words."""
    source: str
    """Where that is written."""
    part: str = "aviate"
    """The part of flying whose score it caps as well."""
    panel: str = ""
    """The panel at that moment, in words; empty if it is not known."""
    readings: str = ""
    """Of that panel, what the act is about."""
    about: tuple[str, ...] = ()
    """The instruments that it is about, by their codes."""


@dataclass(frozen=True, slots=True)
class EndingReached:
    """How the flight ended."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    id: str
    """The ending's name in the scenario."""
    outcome: str
    """How it ended, in a word or two: safe, landed, loss of control ..."""
    words: str = ""
    """What was told to the pilot at the end."""


@dataclass(frozen=True, slots=True)
class FailureStory:
    """One occurrence of a failure: when it began, could have been known, was acted on and how, and was over."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    name: str
    """The failure's name in the scenario."""
    part: str
    """The part of the airplane that failed."""
    how: str
    """How it failed."""
    began_s: float
    """When it began, seconds of flight."""
    evidence_s: float | None
    """From when what was shown could have told a careful pilot; null: never, or the flight ended before."""
    evidence: str
    """What showed it."""
    first_act_s: float | None
    """The first act that dealt with it; null: there was none."""
    first_act: str
    """What that act was."""
    named_s: float | None
    """When it was first named rightly, to oneself or to ATC; null: it never was."""
    says: str
    """What the part did, in one sentence."""
    healed_s: float | None = None
    """When it came back; null: it never did in this flight."""
    instrument_s: float | None = None
    """From when a careful cross-check could have named an instrument that was wrong; null: never, or nobody can say."""
    instrument: str = ""
    """By what it could be named."""
    system_s: float | None = None
    """From when it could have named what had failed, by its whole name; null: never, or nobody can say."""
    system: str = ""
    """By what that could be named."""
    prompted_s: float | None = None
    """When ATC, before the pilot's first act, had said something of what the failure did; null: it had not."""
    alarm_s: float | None = None
    """From when comparing could have told that something was wrong, if not what; null: never, or nobody can say."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of what ATC heard in a call."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    element: str
    """Which element of a call it is, in words."""
    value: str
    """What was heard; empty where the element says it all."""
    words: str
    """The words that said it; empty if nobody knows."""
    start: int = 0
    """Where these words begin in those of the call, counted in characters; equal to `end` if nobody knows."""
    end: int = 0
    """Where they end."""


@dataclass(frozen=True, slots=True)
class CallHeard:
    """A call marked up by element, with what ATC did not know by then and the parts that nothing was heard in."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    at_s: float
    """When it had been said, seconds of flight."""
    words: str
    """The words of the call."""
    heard: tuple[Piece, ...]
    """What was heard in them, in their order."""
    not_heard: tuple[str, ...]
    """The elements of a report that ATC did not know even after it."""
    unread: tuple[str, ...]
    """The parts of the call that said nothing to ATC."""


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far the airplane strayed, beside the ACS tolerance: the hands' doing more than the pilot's."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    what: str
    """Heading, altitude, airspeed or bank; also those that ATC assigned."""
    worst: float
    """The farthest, in `unit`."""
    unit: str
    """deg, ft or kt."""
    tolerance: float
    """What the standard allows, in `unit`."""
    beyond_s: float
    """Seconds outside the tolerance."""


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything that the debrief says."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    scenario: str
    """The scenario's name."""
    board_title: str
    """What the pilot saw before the flight; it gives nothing away."""
    title: str
    """What the flight was about."""
    aim: str
    """What it was to practice."""
    seed: int
    """The number that drew the air and the failures."""
    airplane: str
    """The type of airplane."""
    flown_s: float
    """How long the flight lasted, seconds."""
    complete: bool
    """Whether it came to an ending; otherwise the record was cut off before."""
    ending: EndingReached | None
    """The ending; null if there is none."""
    score: float | None
    """0 to 100; null: there was nothing to grade."""
    capped: bool
    """Whether an unsafe act holds the score down."""
    parts: dict[str, float | None]
    """The score of each part of flying (aviate, decide, communicate, recognize, manage); null: nothing to grade."""
    unsafe_acts: tuple[UnsafeAct, ...]
    """What could have killed, in the order of time."""
    findings: tuple[Finding, ...]
    """What was found, good and bad, in the order of time; what never happened last."""
    failures: tuple[FailureStory, ...]
    """What failed."""
    deviations: tuple[Deviation, ...]
    """How far the airplane strayed from what was ordered or assigned; no part of the score."""
    questions: tuple[str, ...]
    """What the pilot was asked before anything was told."""
    answers: tuple[tuple[str, str], ...]
    """(question, answer), as far as there was one."""
    discuss: str
    """What there is to talk about, in the author's words."""
    editions: str
    """The editions of the scenario's format and of the grader."""
    cautions: tuple[str, ...] = CAUTIONS
    """What this debrief is not; to be shown with it wherever it is shown."""
    calls: tuple[CallHeard, ...] = ()
    """The calls of trouble, marked up by element."""
