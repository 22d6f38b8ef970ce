"""How each of several flights flew, for a plot: from a minute before they part, nothing that stands out lost."""

from __future__ import annotations

import math

import pytest

from drill.flight.events import Event
from drill.grading.beside import Way
from drill.grading.courses import Course, course_words, courses

from .builders import flown

NAMES = ("The flight", "Flown again")


def of(*flights: list[Event], at_s: float = 200.0, most: int = 900) -> dict[str, Course]:
    ways = [Way(name, tuple(events)) for name, events in zip(NAMES, flights, strict=False)]
    return {each.name: each for each in courses(ways, at_s, most)}


def turning(seconds: int = 400) -> list[Event]:
    """A flight that banks to the left from 5:00 on and comes round through north, descending and gaining speed."""
    return [*flown(seconds=seconds, bank=lambda t, _: -0.4 * max(0.0, t - 300.0), altitude=lambda t: 5000.0 - t,
                   true=lambda t: {"heading_deg": (240.0 + t / 2) % 360.0, "airspeed_kt": 110.0 + t // 10})]


def test_a_course_begins_a_minute_before_the_flights_part_and_ends_with_each_flight() -> None:
    bank = of(turning(), turning(300))["bank"]
    assert [(trail.t[0], trail.t[-1]) for trail in bank.trails] == [(140.0, 400.0), (140.0, 300.0)]
    assert [trail.values[-1] for trail in bank.trails] == [-40.0, 0.0]
    assert of(turning(), at_s=30.0)["bank"].trails[0].t[0] == 0.0


@pytest.mark.parametrize(("name", "unit", "circular"), [
    ("bank", "deg", False), ("heading", "deg", True), ("altitude", "ft", False), ("airspeed", "kt", False),
])
def test_bank_heading_altitude_and_airspeed_have_a_course(name: str, unit: str, circular: bool) -> None:
    course = of(turning())[name]
    assert (course.unit, course.circular) == (unit, circular)


@pytest.mark.parametrize(("name", "words"), [
    ("bank", "The flight: at most 40° left, at 6:40. Flown again: wings level."),
    ("heading", "The flight: from 340° to 080° at 6:40. Flown again: from 340° to 030° at 5:00."),
    ("altitude", "The flight: least 4,600 ft at 6:40, most 4,800 ft at 3:20, 4,600 ft at last. "
                 "Flown again: least 4,700 ft at 5:00, most 4,800 ft at 3:20, 4,700 ft at last."),
    ("airspeed", "The flight: least 130 kt at 3:20, most 150 kt at 6:40, 150 kt at last. "
                 "Flown again: least 130 kt at 3:20, most 140 kt at 5:00, 140 kt at last."),
])
def test_in_words_each_flight_is_told_from_where_they_part(name: str, words: str) -> None:
    assert course_words(of(turning(), turning(300))[name], NAMES, 200.0) == words


def test_a_flight_that_was_over_when_they_part_is_told_so() -> None:
    course = of(turning(), turning(190))["bank"]
    assert course_words(course, NAMES, 200.0).endswith("Flown again: over by then.")


def test_a_long_flight_is_thinned_out_and_keeps_its_steepest_bank() -> None:
    steep = [*flown(seconds=2000, bank=lambda t, _: 61.0 if t == 1234.0 else 0.0)]
    trail = of(steep, most=100)["bank"].trails[0]
    assert len(trail.t) < 120
    assert max(value or 0.0 for value in trail.values) == 61.0


def test_what_no_record_holds_has_no_course_and_what_is_no_number_no_place_on_it() -> None:
    assert of([], []) == {}
    odd = [*flown(seconds=300, true=lambda t: {"bank_deg": math.nan if t == 250.0 else 1.0})]
    trail = of(odd)["bank"].trails[0]
    assert trail.values[trail.t.index(250.0)] is None
