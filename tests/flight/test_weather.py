"""Where the cloud is and what is seen outside."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from drill.flight.flight import Flight
from drill.flight.weather import bearing_deg, distance_nm, field_position, in_cloud, outside_words, visual
from drill.language.meaning import Look
from flight.flights import done, short


def _over(name: str) -> tuple[float, float]:
    return next(field_position(field) for field in short().fields if field.name == name)


def test_on_the_way_the_forecast_layer_rules() -> None:
    assert in_cloud(short(), 0.0, 0.0, 5000)
    assert not in_cloud(short(), 0.0, 0.0, 1400)
    assert not in_cloud(short(), 0.0, 0.0, 7300)


def test_within_ten_miles_of_a_field_its_own_ceiling_rules() -> None:
    assert in_cloud(short(), *_over("Tallowby"), 400 + 701)
    assert not in_cloud(short(), *_over("Tallowby"), 400 + 699)
    assert not in_cloud(short(), *_over("Wendle"), 5000)


def test_in_cloud_there_is_nothing_to_see() -> None:
    assert outside_words(short(), 0.0, 0.0, 5000) == "white, nothing to see"
    assert not visual(short(), 0.0, 0.0, 5000)


def test_on_top_there_is_a_deck_below() -> None:
    assert outside_words(short(), 0.0, 0.0, 8000) == "clear above, a level deck of cloud below"
    assert visual(short(), 0.0, 0.0, 8000)


def test_below_the_base_the_ground_is_in_sight() -> None:
    assert outside_words(short(), 0.0, 0.0, 1200) == "the ground in sight, cloud above"


def test_a_field_in_clear_air_is_seen_from_near() -> None:
    assert outside_words(short(), *_over("Wendle"), 2000) == "the ground in sight, clear sky, Wendle in sight"


@given(st.floats(-50, 50), st.floats(-50, 50))
def test_bearing_and_distance_lead_to_the_field(north: float, east: float) -> None:
    for field in short().fields:
        angle, distance = math.radians(bearing_deg(field, north, east)), distance_nm(field, north, east)
        there = north + distance * math.cos(angle), east + distance * math.sin(angle)
        assert math.dist(there, field_position(field)) < 1e-6


def test_rime_is_seen_on_the_strut_where_ice_forms_and_only_there() -> None:
    weather = short().weather
    icy = replace(weather, air=replace(weather.air, icing="light", freezing_level_ft=4000.0))
    warm = replace(weather, air=replace(weather.air, icing="light", freezing_level_ft=6000.0))
    for seen, words in ((icy, "ice: rime is growing on the strut"), (warm, "ice: none")):
        flight, _ = Flight.start(replace(short(), weather=seen), 1)
        assert done(flight, Look("ice")).result.startswith(words)
