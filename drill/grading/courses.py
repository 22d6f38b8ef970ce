"""How each of several flights that part really flew, along its time: bank, heading, altitude, airspeed. Pure."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from drill.flight.events import Trace
from drill.flight.readings import clock_words as clock
from drill.flight.readings import three_digits
from drill.grading.beside import Way
from drill.grading.series import MOST_POINTS, thinned

BEFORE_S = 60.0
"""How much (s) of what the flights have in common is shown before they part."""


@dataclass(frozen=True, slots=True)
class Trail:
    """The course of one quantity in one flight: its values at the times `t` (s); null where none was recorded."""

    t: tuple[float, ...]
    values: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Course:
    """The course of one quantity in each of the flights, in their order. `circular`: 360 is 0 again."""

    name: str
    unit: str
    circular: bool
    trails: tuple[Trail, ...]


@dataclass(frozen=True, slots=True)
class _Quantity:
    name: str
    field: str
    unit: str
    digits: int = 0
    circular: bool = False


_QUANTITIES = (
    _Quantity("bank", "bank_deg", "deg", 1), _Quantity("heading", "heading_deg", "deg", circular=True),
    _Quantity("altitude", "altitude_ft", "ft"), _Quantity("airspeed", "airspeed_kt", "kt"),
)


def courses(ways: Sequence[Way], at_s: float, most: int = MOST_POINTS) -> tuple[Course, ...]:
    """Return the courses of `ways` from a minute before they part at `at_s` (s); none of what no flight recorded.

    Each line has at most about `most` points, its extremes among them.
    """
    traces = [[event for event in way.events if isinstance(event, Trace) and event.t >= at_s - BEFORE_S]
              for way in ways]
    return tuple(course for course in (_course(quantity, traces, most) for quantity in _QUANTITIES)
                 if any(value is not None for trail in course.trails for value in trail.values))


def _course(quantity: _Quantity, flights: Sequence[Sequence[Trace]], most: int) -> Course:
    return Course(quantity.name, quantity.unit, quantity.circular,
                  tuple(_trail(quantity, traces, most) for traces in flights))


def _trail(quantity: _Quantity, traces: Sequence[Trace], most: int) -> Trail:
    values = [_number(trace, quantity) for trace in traces]
    places = thinned((values,), most)
    return Trail(tuple(round(traces[place].t, 1) for place in places), tuple(values[place] for place in places))


def _number(trace: Trace, quantity: _Quantity) -> float | None:
    value = trace.true.get(quantity.field)
    return round(value, quantity.digits) if value is not None and math.isfinite(value) else None


# --- in words ----------------------------------------------------------------------------------------


def course_words(course: Course, names: Sequence[str], at_s: float) -> str:
    """Return what the courses come to from `at_s` (s) on, flight by flight."""
    return " ".join(f"{name}: {words}." for name, words in zip(names, each_in_words(course, at_s), strict=True))


def each_in_words(course: Course, at_s: float) -> Iterator[str]:
    """Yield of each flight what its course comes to from `at_s` (s) on."""
    say = _SAYS[course.name]
    for trail in course.trails:
        known = [(t, value) for t, value in zip(trail.t, trail.values, strict=True)
                 if value is not None and t >= at_s]
        yield say(known) if known else "over by then"


def _bank(known: Sequence[tuple[float, float]]) -> str:
    t, most = max(known, key=lambda each: abs(each[1]))
    side = "right" if most > 0 else "left"
    return "wings level" if abs(most) < 1.5 else f"at most {abs(most):.0f}° {side}, at {clock(t)}"


def _heading(known: Sequence[tuple[float, float]]) -> str:
    (_, first), (t, last) = known[0], known[-1]
    return f"from {three_digits(first)}° to {three_digits(last)}° at {clock(t)}"


def _between(unit: str) -> Callable[[Sequence[tuple[float, float]]], str]:
    def say(known: Sequence[tuple[float, float]]) -> str:
        least, most = min(known, key=lambda each: each[1]), max(known, key=lambda each: each[1])
        return (f"least {least[1]:,.0f} {unit} at {clock(least[0])}, most {most[1]:,.0f} {unit} at {clock(most[0])}, "
                f"{known[-1][1]:,.0f} {unit} at last")
    return say


_SAYS: dict[str, Callable[[Sequence[tuple[float, float]]], str]] = {
    "bank": _bank, "heading": _heading, "altitude": _between("ft"), "airspeed": _between("kt"),
}
