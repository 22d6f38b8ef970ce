"""A debrief in short pieces of plain text, as a screen wants it. Light: no grading and no screen is needed for it.

Everything in `Told` is data of the plainest kind, so that another process can work it out and hand it over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from drill.cockpit.debrief.timeline import Lane, Moment


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing told: a heading of a line and a paragraph."""

    heading: str
    words: str


@dataclass(frozen=True, slots=True)
class Plot:
    """What was shown and what was true of one quantity. The lines have a value for each time of `t` (s), or none.

    `scale` and `true_scale` are the ends of their scales; a line is broken where it jumps by more than `jump` (None:
    never). `covered` are stretches of time in which the instrument was covered, `band` the edges of its green band.
    """

    name: str
    unit: str
    true_unit: str
    t: tuple[float, ...]
    shown: tuple[float | None, ...]
    true: tuple[float | None, ...]
    scale: tuple[float, float]
    true_scale: tuple[float, float]
    ticks: tuple[tuple[float, str], ...]
    jump: float | None
    covered: tuple[tuple[float, float], ...]
    band: tuple[float, float] | None
    words: str                             # what it shows, in a sentence


@dataclass(frozen=True, slots=True)
class Call:
    """A call marked up. `segments` are its words in stretches: (words, state, what they were heard as)."""

    at: str
    segments: tuple[tuple[str, str, str], ...]
    unseen: tuple[str, ...]                # heard, but by no words that can be shown
    not_heard: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """A debrief in pieces. `score` and the scores of `parts` are 0 to 100, None where there is nothing to grade."""

    title: str
    board_title: str
    flight: str                            # airplane, seed, how long, editions
    aim: str
    outcome: str
    ending: str
    complete: bool
    score: float | None
    score_words: str
    parts: tuple[tuple[str, float | None], ...]
    unsafe: tuple[Entry, ...]
    failed: tuple[Entry, ...]
    nothing_failed: str                    # told in place of failures
    work: tuple[Entry, ...]
    well: tuple[Entry, ...]
    not_needed: tuple[Entry, ...]
    strayed: tuple[str, ...]
    strayed_note: str                      # what is to be known of it
    questions: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    discuss: str
    cautions: tuple[str, ...]
    length_s: float
    moments: tuple[Moment, ...]
    lanes: tuple[Lane, ...]
    plots: tuple[Plot, ...] = ()
    calls: tuple[Call, ...] = ()
    published: tuple[str, ...] = ()        # the published scales, a sentence each, behind what is to be known of them
    airframe: dict[str, Any] = field(default_factory=dict)    # of the airplane, for the marks on its faces


def as_data(pieces: Told) -> dict[str, Any]:
    """Return `pieces` as data that JSON can carry."""
    return asdict(pieces)


def from_data(data: dict[str, Any]) -> Told:
    """Return what `as_data` made data of. KeyError, TypeError or ValueError if it is something else."""
    entries = ("unsafe", "failed", "work", "well", "not_needed")
    rows = ("parts", "answers")
    made: dict[str, Any] = {
        **data,
        "plots": tuple(_plot(each) for each in data["plots"]),
        "calls": tuple(Call(each["at"], tuple((words, state, label) for words, state, label in each["segments"]),
                            tuple(each["unseen"]), tuple(each["not_heard"])) for each in data["calls"]),
        **{name: tuple(Entry(**each) for each in data[name]) for name in entries},
        **{name: tuple((first, second) for first, second in data[name]) for name in rows},
        **{name: tuple(data[name]) for name in ("strayed", "questions", "cautions", "published")},
        "moments": tuple(Moment(**{**each, "details": tuple((label, words) for label, words in each["details"]),
                                   "covered": tuple(each["covered"])}) for each in data["moments"]),
        "lanes": tuple(Lane(each["name"], tuple((t, mark) for t, mark in each["marks"]),
                            tuple((begin, end, fill) for begin, end, fill in each["stretches"]))
                       for each in data["lanes"]),
    }
    return Told(**made)


def _plot(data: dict[str, Any]) -> Plot:
    pairs = {name: tuple((first, second) for first, second in data[name]) for name in ("ticks", "covered")}
    rows = {name: tuple(data[name]) for name in ("t", "shown", "true", "scale", "true_scale")}
    return Plot(**{**data, **pairs, **rows, "band": None if data["band"] is None else tuple(data["band"])})


def with_answers(pieces: Told, answers: Sequence[tuple[str, str]]) -> Told:
    """Return `pieces` with `answers` that were given after the record had been read."""
    return replace(pieces, answers=tuple(answers))


def bar(score: float | None, cells: int, *, plain: bool = False) -> str:
    """Return a score of 0 to 100 as a bar of `cells`; nothing to grade is a row of spaces."""
    full, empty = ("#", ".") if plain else ("█", "·")
    if score is None:
        return " " * cells
    filled = min(cells, max(0, round(score / 100.0 * cells)))
    return full * filled + empty * (cells - filled)
