"""Two or three flights that part at a moment, side by side: how they ended, what was done, how the airplane flew.

A pure function of the flights' events, like a debrief. What is compared is what came after they parted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from drill.flight.events import Event, Trace
from drill.flight.readings import clock_words as clock
from drill.grading.debrief import AS_DATA, Debrief, FailureStory
from drill.grading.deed_words import deed_words
from drill.grading.grade import grade
from drill.grading.telling import PART_SHORT, parts
from drill.grading.timeline import Deed, Timeline, lasting, number, timeline
from drill.language.meaning import Transmit
from drill.scenario.model import Scenario

MOST_TIMES = 10
STEPS_S = (10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 300.0, 600.0, 1200.0, 3600.0)
MOST_ACTS = 200          # of one flight; a stranger's record may have more
STEEP_DEG = 30.0
NOTHING = "-"


@dataclass(frozen=True, slots=True)
class Way:
    """One of the flights: what it is called, and its events from its beginning."""

    name: str
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Parted:
    """Flights of a scenario that part at `at_s` (s), to be compared. `air`: what is to be known of the air.

    `model` is the edition of the airplane's model that flew the first of them.
    """

    scenario: Scenario
    seed: int
    ways: tuple[Way, ...]
    at_s: float
    air: str
    model: str


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that is compared: `values` are those of the ways, in their order, in words."""

    __pydantic_config__: ClassVar = AS_DATA

    what: str
    """What is compared."""
    values: tuple[str, ...]
    """What it was in each of the flights, in words."""

    @property
    def differs(self) -> bool:
        """Whether it was not the same in all of them."""
        return len(set(self.values)) > 1


@dataclass(frozen=True, slots=True)
class ActThen:
    """An act after the flights parted: when (s), of which of them (its place), in the past tense."""

    __pydantic_config__: ClassVar = AS_DATA

    t: float
    """When it was begun, seconds of flight."""
    way: int
    """Whose it was: the place among the names."""
    words: str
    """What was done."""


@dataclass(frozen=True, slots=True)
class Flown:
    """How an airplane really flew at a moment."""

    __pydantic_config__: ClassVar = AS_DATA

    bank_deg: float
    """Bank, degrees, right positive."""
    heading_deg: float
    """Magnetic heading, degrees."""
    altitude_ft: float
    """Altitude above sea level, feet."""
    airspeed_kt: float
    """Airspeed, knots."""


@dataclass(frozen=True, slots=True)
class Then:
    """How each of the flights flew at a moment."""

    __pydantic_config__: ClassVar = AS_DATA

    t: float
    """The moment, seconds of flight."""
    flown: tuple[Flown | None, ...]
    """How each of them flew then; null: it was over."""


@dataclass(frozen=True, slots=True)
class Beside:
    """The flights side by side, from the moment `at_s` (s) at which they part."""

    __pydantic_config__: ClassVar = AS_DATA

    at_s: float
    """When they part, seconds of flight."""
    air: str
    """What is to be known of the air; empty where it is the very same."""
    names: tuple[str, ...]
    """What the flights are called, in the order of all that follows."""
    endings: tuple[str, ...]
    """How each of them ended, and the words for it."""
    rows: tuple[Row, ...]
    """What came of it: score, acts on failures, control."""
    acts: tuple[ActThen, ...]
    """What was done in each after they parted, in the order of time."""
    times: tuple[Then, ...]
    """How each of them really flew, at some moments."""


def beside_of(parted: Parted) -> Beside:
    """Return flights that part side by side."""
    return beside(parted.scenario, parted.seed, parted.ways, parted.at_s, parted.air)


def beside(scenario: Scenario, seed: int, ways: Sequence[Way], at_s: float, air: str = "") -> Beside:
    """Return the flights of `ways`, which part at `at_s` (s), side by side."""
    debriefs = [grade(scenario, way.events, seed) for way in ways]
    lines = [timeline(way.events) for way in ways]
    return Beside(
        at_s=at_s, air=air, names=tuple(way.name for way in ways), endings=tuple(_ending(each) for each in debriefs),
        rows=(*_outcomes(debriefs), *_control(lines, at_s)), acts=_acts(lines, at_s), times=tuple(_times(lines, at_s)),
    )


def _ending(debrief: Debrief) -> str:
    if debrief.ending is None:
        return f"no ending yet at {clock(debrief.flown_s)}"
    return f"{debrief.ending.outcome} at {clock(debrief.flown_s)}"


def _outcomes(debriefs: Sequence[Debrief]) -> Iterator[Row]:
    yield Row("Ending", tuple(_ending(each) for each in debriefs))
    yield Row("Score", tuple(NOTHING if each.score is None else f"{each.score:.0f} of 100" for each in debriefs))
    graded = [dict(parts(each)) for each in debriefs]
    for part, short in PART_SHORT.items():
        if any(each[part] is not None for each in graded):
            yield Row(short, tuple(NOTHING if (score := each[part]) is None else f"{score:.0f}" for each in graded))
    yield Row("Unsafe acts", tuple("; ".join(act.act for act in each.unsafe_acts) or "none" for each in debriefs))
    for key in dict.fromkeys((story.name, story.part, story.began_s) for each in debriefs for story in each.failures):
        yield Row(f"First act: {key[1]}", tuple(_first_act(each, key) for each in debriefs))
        yield Row(f"Named: {key[1]}", tuple(_named(each, key) for each in debriefs))


def _story(debrief: Debrief, key: tuple[str, str, float]) -> FailureStory | None:
    return next((each for each in debrief.failures if (each.name, each.part, each.began_s) == key), None)


def _first_act(debrief: Debrief, key: tuple[str, str, float]) -> str:
    story = _story(debrief, key)
    if story is None:
        return "did not fail"
    return "none" if story.first_act_s is None else f"{clock(story.first_act_s)} {story.first_act}"


def _named(debrief: Debrief, key: tuple[str, str, float]) -> str:
    story = _story(debrief, key)
    return NOTHING if story is None else "never" if story.named_s is None else clock(story.named_s)


def _control(lines: Sequence[Timeline], at_s: float) -> Iterator[Row]:
    """Yield the worst of each value after the moment, as the airplane really flew."""
    after = [[trace for trace in line.between(at_s) if number(trace.true, "parked") < 0.5] for line in lines]
    if not any(after):
        return
    measures: tuple[tuple[str, Callable[[Trace], float], Callable[[float], str], bool], ...] = (
        ("Most bank", lambda trace: abs(number(trace.true, "bank_deg")), lambda value: f"{value:.0f} deg", True),
        ("Most airspeed", lambda trace: number(trace.true, "airspeed_kt"), lambda value: f"{value:.0f} kt", True),
        ("Lowest", lambda trace: number(trace.true, "altitude_ft"), lambda value: f"{value:,.0f} ft", False),
        ("Fastest descent", lambda trace: -number(trace.true, "vertical_speed_fpm"),
         lambda value: f"{max(0.0, value):,.0f} ft/min", True),
    )
    for what, of, said, most in measures:
        yield Row(what, tuple(_worst(traces, of, said, most=most) for traces in after))
    yield Row(f"Banked over {STEEP_DEG:.0f}", tuple(
        lasting(sum(1 for trace in traces if abs(number(trace.true, "bank_deg")) > STEEP_DEG)) for traces in after))


def _worst(
    traces: Sequence[Trace], of: Callable[[Trace], float], said: Callable[[float], str], *, most: bool,
) -> str:
    if not traces:
        return NOTHING
    worst = max(traces, key=of) if most else min(traces, key=of)
    return f"{said(of(worst))} at {clock(worst.t)}"


def _acts(lines: Sequence[Timeline], at_s: float) -> tuple[ActThen, ...]:
    found: list[ActThen] = []
    for way, line in enumerate(lines):
        acts = [ActThen(deed.began, way, words) for deed in line.deeds
                if deed.began >= at_s - 1e-6 and (words := _told(deed))]
        found += acts[:MOST_ACTS]
    return tuple(sorted(found, key=lambda each: (each.t, each.way)))


def _told(deed: Deed) -> str:
    words = deed_words(deed.action)
    return f"{words} (heard by nobody)" if words and isinstance(deed.action, Transmit) and not deed.heard else words


def _times(lines: Sequence[Timeline], at_s: float) -> Iterator[Then]:
    last = max((line.flown_s for line in lines), default=at_s)
    step = next((each for each in STEPS_S if (last - at_s) / each <= MOST_TIMES), STEPS_S[-1])
    for place in range(min(MOST_TIMES, int((last - at_s) / step)) + 1):
        yield Then(at_s + step * place, tuple(_flown(line, at_s + step * place) for line in lines))


def _flown(line: Timeline, t: float) -> Flown | None:
    trace = line.at(t)
    if trace is None or t > line.flown_s + 1.0:
        return None
    return Flown(*(round(number(trace.true, name), 1) for name in ("bank_deg", "heading_deg", "altitude_ft",
                                                                   "airspeed_kt")))
