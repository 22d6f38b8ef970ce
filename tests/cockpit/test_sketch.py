"""The sketch shows where everything lies as seen from the airplane, at any size, in dots, ASCII and words."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.clean import clean_line
from drill.cockpit.briefing.sketch import framed, ring_distances, sketch, sketch_words
from drill.cockpit.ink import Ink
from drill.scenario import Scenario, load, shipped
from drill.scenario.model import Field

SIZES = [(40, 14), (60, 20), (90, 30)]


BASE = load(shipped()["cruise-to-tallowby"])


@pytest.fixture
def scenario() -> Scenario:
    return BASE


def rows(scenario: Scenario, width: int, height: int, *, plain: bool = False) -> list[str]:
    strips = sketch(scenario, width, height, Ink(), plain=plain)
    assert len(strips) == height
    assert {strip.cell_length for strip in strips} == {width}
    assert all(sum(segment.cell_length for segment in strip) == width for strip in strips)
    return ["".join(segment.text for segment in strip) for strip in strips]


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("plain", [False, True])
def test_every_field_the_airplane_wind_north_and_minimum_altitude_are_named_at_each_size(
    scenario: Scenario, width: int, height: int, plain: bool,
) -> None:
    drawn = rows(scenario, width, height, plain=plain)
    said = "\n".join(drawn)
    for field in scenario.fields:
        assert field.name in said
    assert "you" in said
    assert "wind 270 at 20 kt" in drawn[0]
    assert drawn[0].rstrip().endswith("N ^" if plain else "N ↑")
    assert "minimum altitude 2,600 ft" in drawn[-1]
    assert "course 236" in said
    assert " nm" in said


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_plain_is_ascii_alone(scenario: Scenario, width: int, height: int) -> None:
    assert all(row.isascii() for row in rows(scenario, width, height, plain=True))


def test_north_is_up_and_east_is_right(scenario: Scenario) -> None:
    frame = framed(scenario.fields, 90, 30)
    for bearing, across, down in ((0, 0, -1), (90, 1, 0), (180, 0, 1), (270, -1, 0)):
        x, y = frame.dot(bearing, 10.0)
        assert x - frame.x == pytest.approx(across * 10.0 * frame.scale, abs=1e-6)
        assert y - frame.y == pytest.approx(down * 10.0 * frame.scale, abs=1e-6)


def test_tallowby_to_the_southwest_stands_left_of_and_below_wendle_in_the_east(scenario: Scenario) -> None:
    drawn = rows(scenario, 90, 30)
    at = {
        name: next((row.index(name), y) for y, row in enumerate(drawn) if name in row)
        for name in ("Tallowby", "Wendle")
    }
    assert at["Tallowby"][0] < at["Wendle"][0]
    assert at["Tallowby"][1] > at["Wendle"][1]


def test_of_many_fields_only_those_are_named_whose_names_have_room(scenario: Scenario) -> None:
    fields = tuple(
        replace(scenario.fields[0], name=clean_line(f"Field{number:02d}"), bearing_deg=number * 47.0 % 360.0,
                distance_nm=5.0 + number * 1.7) for number in range(30)
    )
    drawn = rows(replace(scenario, fields=fields, course=None), 57, 21)
    begun = sum(row.count("Fi") for row in drawn)
    whole = [name for row in drawn for name in re.findall(r"Field\d\d", row)]
    assert 8 <= len(whole) == len(set(whole)) == begun, "no name is written over another"


@given(
    bearings=st.lists(st.tuples(st.floats(1, 360), st.floats(0, 500)), max_size=8),
    width=st.integers(20, 120), height=st.integers(8, 40),
)
@settings(max_examples=60, deadline=None)
def test_whatever_fields_there_are_all_lie_within_the_sketch(
    bearings: list[tuple[float, float]], width: int, height: int,
) -> None:
    base = BASE
    fields: tuple[Field, ...] = tuple(
        replace(base.fields[0], name=clean_line(f"F{number}"), bearing_deg=bearing, distance_nm=distance)
        for number, (bearing, distance) in enumerate(bearings)
    )
    frame = framed(fields, width, height)
    for field in fields:
        x, y = frame.dot(field.bearing_deg, field.distance_nm)
        assert 0 <= x < width * 2
        assert 0 <= y < height * 4
    rings = ring_distances(frame, width, height)
    assert rings == sorted(rings)
    rows(replace(base, fields=fields, course=None), width, height)


def test_a_name_that_is_wide_long_or_marked_up_keeps_the_rows_whole(scenario: Scenario) -> None:
    odd = tuple(
        replace(scenario.fields[0], name=clean_line(name), bearing_deg=90.0 * number)
        for number, name in enumerate(("山川山川", "[bold red]x[/nope]", "N" * 200, "e\u0301a\u0300"))
    )
    for width, height in SIZES:
        rows(replace(scenario, fields=odd, course=None), width, height)
    assert "[bold red]x[" in "".join(rows(replace(scenario, fields=odd, course=None), 90, 30))


def test_the_words_list_what_the_sketch_shows(scenario: Scenario) -> None:
    said = sketch_words(scenario)
    for wanted in (
        "You: at the middle of the rings, heading 240, 6,000 feet.",
        "Tallowby: bearing 236, 42 nautical miles, runway 24.",
        "Orrinfell: bearing 205, 16 nautical miles, runway 27.",
        "Course to Tallowby: 236 inbound, the broken line.",
        "Wind from 270 at 20 knots; the arrow flies with it.",
        "Minimum altitude 2,600 feet.",
    ):
        assert wanted in said


def test_calm_wind_has_no_arrow(scenario: Scenario) -> None:
    calm = replace(scenario, weather=replace(scenario.weather, air=replace(scenario.weather.air, wind_kt=0.0)))
    assert rows(calm, 40, 14)[0].startswith(" wind calm")
    assert "Wind calm." in sketch_words(calm)
