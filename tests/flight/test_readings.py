"""What the panel shows, in words."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane.panel import Panel
from drill.flight.readings import (
    FIELDS_OF,
    WHOLE_PANEL,
    clock_words,
    panel_words,
    reading_words,
)
from drill.language.meaning import IN_SIGHT

LEVEL = {each.name: 0.0 for each in fields(Panel)} | {
    "airspeed_kt": 110.0, "altitude_ft": 5000.0, "heading_deg": 240.0, "compass_deg": 238.0, "suction_inhg": 4.94,
    "volts": 28.0, "rpm": 2410.0, "track_deg": 236.0, "groundspeed_kt": 95.0, "gps_on": 1.0,
    "altimeter_setting_hpa": 1013.25,
}
ANY_PANEL = st.fixed_dictionaries({name: st.floats(-4000, 20000) for name in LEVEL})


def test_flight_time_is_minutes_and_two_digits_of_seconds() -> None:
    times = (0, 5, 59.99, 60 - 1e-9, 60, 3725.4)
    assert [clock_words(t) for t in times] == ["0:00", "0:05", "0:59", "1:00", "1:00", "62:05"]


def test_a_close_look_at_the_altimeter_reads_its_setting() -> None:
    at_29_86 = LEVEL | {"altimeter_setting_hpa": 29.86 * 33.8639}
    assert reading_words("altimeter", at_29_86, closely=True) == "altimeter: 5,000 feet, set to 29.86"
    assert reading_words("altimeter", at_29_86) == "altimeter: 5,000 feet"
    assert reading_words("altimeter", at_29_86, {"altimeter"}, closely=True) == "altimeter: covered"


def test_a_bank_is_told_by_the_wing_that_is_down() -> None:
    assert reading_words("attitude_indicator", LEVEL | {"bank_deg": -4.2}) == (
        "attitude indicator: 4 degrees left wing down, nose level")


def test_a_tumbled_horizon_is_told_as_it_looks_and_not_what_it_means() -> None:
    words = reading_words("attitude_indicator", LEVEL | {"attitude_tumbled": 1.0}, closely=True)
    assert words == "attitude indicator: the horizon bar lies on its side"


def test_the_suction_gauge_is_read_to_a_tenth_of_an_inch() -> None:
    assert reading_words("suction_gauge", LEVEL) == "suction: 4.9 inches, in the green"


def test_suction_outside_4_5_to_5_5_inches_is_read_as_outside_the_green() -> None:
    # FAA-H-8083-15B, from memory: 4.5 to 5.5 inHg is the usual range; the airplane's handbook prevails.
    assert reading_words("suction_gauge", LEVEL | {"suction_inhg": 4.3}) == "suction: 4.3 inches, below the green"
    assert reading_words("suction_gauge", LEVEL | {"suction_inhg": 5.7}) == "suction: 5.7 inches, above the green"


def test_a_close_look_reads_the_bank_against_the_marks() -> None:
    banked = LEVEL | {"bank_deg": 24.0}
    assert reading_words("attitude_indicator", banked, closely=True).endswith("between the 20 and 30 marks")
    assert "mark" not in reading_words("attitude_indicator", banked)
    assert "mark" not in reading_words("attitude_indicator", banked, {"attitude_indicator"}, closely=True)


def test_the_turn_coordinator_tells_wings_and_ball() -> None:
    assert reading_words("turn_coordinator", LEVEL) == "turn coordinator: wings level, ball centered"
    assert "standard rate left" in reading_words("turn_coordinator", LEVEL | {"turn_rate_dps": -3.0})
    assert "red flag" in reading_words("turn_coordinator", LEVEL | {"turn_flag": 1.0})


def test_north_is_read_as_three_six_zero() -> None:
    assert reading_words("heading_indicator", LEVEL | {"heading_deg": 359.8}) == "heading indicator: 360"


def test_a_covered_instrument_is_not_read() -> None:
    words = panel_words(LEVEL | {"bank_deg": 33.0}, {"attitude_indicator"})
    assert "Attitude indicator: covered." in words
    assert "33" not in words


def test_a_dark_screen_gives_no_track() -> None:
    assert "236" not in reading_words("navigation", LEVEL | {"gps_on": 0.0})


def test_every_field_of_the_panel_is_shown_by_some_instrument() -> None:
    shown = {name for names in FIELDS_OF.values() for name in names}
    assert shown == {each.name for each in fields(Panel)}


def test_what_the_panel_does_not_show_cannot_be_read() -> None:
    with pytest.raises(ValueError, match="outside"):
        reading_words("outside", LEVEL)


@given(ANY_PANEL, st.sets(st.sampled_from(IN_SIGHT)))
def test_any_panel_can_be_told(shown: dict[str, float], covered: set[str]) -> None:
    assert panel_words(shown, covered).count(":") >= len(WHOLE_PANEL)
