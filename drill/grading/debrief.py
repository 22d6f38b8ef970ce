"""The debrief as data: a pure function of scenario and record gives it, every face and file prints it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from drill.cautions import CAUTIONS as CAUTIONS  # every reader of a debrief finds them here

Verdict: TypeAlias = Literal[
    "done", "late", "out of order", "incomplete", "missed", "broken", "kept", "not needed", "remark"
]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: which item, how it went, when, why it matters, where that is written."""

    item: str
    part: str                              # aviate, decide, communicate, recognize, manage
    verdict: Verdict
    at_s: float | None                     # when it happened; None: it never did
    reason: str                            # what happened and why it matters, in plain words
    source: str
    weight: str                            # critical, major, minor
    panel: str = ""                        # the panel at that moment, in words
    readings: str = ""                     # of that panel, what the finding is about
    better: str = ""                       # what would have been right (the item's example)
    score: float | None = None             # 0 to 1; None: does not count
    cost: float = 0.0                      # points of the whole score (0 to 100) that it took away


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """Something that could have killed: caps the grade."""

    act: str
    at_s: float
    reason: str
    source: str
    part: str = "aviate"                   # the part whose score it caps as well
    panel: str = ""                        # the panel at that moment, in words
    readings: str = ""                     # of that panel, what the act is about


@dataclass(frozen=True, slots=True)
class EndingReached:
    """How the flight ended."""

    id: str
    outcome: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class FailureStory:
    """One occurrence of a failure: when it began, could have been known, was acted on and how, and was over."""

    name: str
    part: str
    how: str
    began_s: float
    evidence_s: float | None               # None: never, or the flight ended before
    evidence: str                          # what showed it
    first_act_s: float | None
    first_act: str
    named_s: float | None                  # first right name, to oneself or to ATC
    says: str                              # what the part did, in one sentence
    healed_s: float | None = None          # when it came back; None: it never did in this flight


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of what ATC heard: which element of a call, what, and the words that said it ("" if nobody knows)."""

    element: str
    value: str
    words: str


@dataclass(frozen=True, slots=True)
class CallHeard:
    """A call marked up by element, with what ATC did not know by then and the parts that nothing was heard in."""

    at_s: float
    words: str
    heard: tuple[Piece, ...]
    not_heard: tuple[str, ...]
    unread: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far the airplane strayed, beside the ACS tolerance: the hands' doing more than the pilot's."""

    what: str                              # heading, altitude, airspeed, bank
    worst: float
    unit: str
    tolerance: float
    beyond_s: float                        # seconds outside the tolerance


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything that the debrief says."""

    scenario: str
    board_title: str
    title: str
    aim: str
    seed: int
    airplane: str
    flown_s: float
    complete: bool                         # False: the record was cut off before an ending
    ending: EndingReached | None
    score: float | None                    # 0 to 100
    capped: bool                           # an unsafe act holds the score down
    parts: dict[str, float | None]         # aviate ... manage: 0 to 100; None: nothing to grade
    unsafe_acts: tuple[UnsafeAct, ...]
    findings: tuple[Finding, ...]
    failures: tuple[FailureStory, ...]
    deviations: tuple[Deviation, ...]
    questions: tuple[str, ...]             # asked of the pilot before telling
    answers: tuple[tuple[str, str], ...]   # (question, answer)
    discuss: str
    editions: str                          # of the record, the model and the grader
    cautions: tuple[str, ...] = CAUTIONS
    calls: tuple[CallHeard, ...] = ()      # those of trouble, marked up
