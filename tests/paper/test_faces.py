"""The faces on paper: they show what the panel shows, no more and no less, whatever it shows."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import fields, replace
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane.airframe import Airframe
from drill.airplane.panel import Panel
from drill.airplane.pointers import airspeed_deg, airspeed_high_kt, hundreds_deg, vertical_speed_deg
from drill.flight.readings import absent, panel_words
from drill.paper.faces.panel import FACES, LESSER, SIX, grounds, panel
from drill.paper.svg import at

PLAIN = Airframe()
FULL = replace(PLAIN, standby_attitude_fitted=True, autopilot="horizon", low_vacuum_light_fitted=True)
IN_PLACE = replace(PLAIN, turn_coordinator_fitted=False, standby_attitude_fitted=True)
AIRPLANES = [PLAIN, FULL, IN_PLACE, replace(PLAIN, gps_fitted=False)]
SHOWN = {each.name: 0.0 for each in fields(Panel)} | {
    "airspeed_kt": 110.0, "altitude_ft": 5980.0, "altimeter_setting_hpa": 1011.2, "heading_deg": 243.0,
    "compass_deg": 238.0, "suction_inhg": 5.0, "volts": 28.0, "rpm": 2430.0, "gps_on": 1.0, "track_deg": 237.0,
    "groundspeed_kt": 106.0, "radio_on": 1.0, "transponder_on": 1.0, "standby_flag": 1.0}


def drawn(shown: Mapping[str, float] = SHOWN, airframe: Airframe = PLAIN, covered: Collection[str] = ()) -> str:
    return str(panel("p", "The panel", {**SHOWN, **shown}, covered, (), airframe))


def words_in(drawing: str) -> list[str]:
    tree = ElementTree.fromstring(drawing)  # noqa: S314 - ours
    return [each.text or "" for each in tree.iter() if each.tag.endswith("text")]


@pytest.mark.parametrize(("reading", "shown"), [
    ({"airspeed_kt": 104.4}, "104 KT"), ({"altitude_ft": 12_347.0}, "12,340"),
    ({"vertical_speed_fpm": -1160.0}, "-1150"),
    ({"heading_deg": 7.0}, "007"), ({"heading_deg": 0.2}, "360"), ({"compass_deg": 238.0}, "240"),
    ({"suction_inhg": 3.26}, "3.3 IN"), ({"amps": -12.4}, "-12"), ({"volts": 24.06}, "24.1"), ({"rpm": 2434.0}, "2430"),
    ({"track_deg": 1.0}, "001"), ({"altimeter_setting_hpa": 1016.26}, "30.01 IN"),
])
def test_a_reading_stands_on_its_face_in_figures(reading: dict[str, float], shown: str) -> None:
    assert shown in words_in(drawn(reading))


@settings(max_examples=60, deadline=None)
@given(st.fixed_dictionaries({each.name: st.floats(-1e5, 1e5) for each in fields(Panel)}), st.sampled_from(AIRPLANES),
       st.sets(st.sampled_from([*SIX, *LESSER])), st.sets(st.sampled_from([*SIX, *LESSER])))
def test_any_panel_is_a_sound_drawing_that_says_what_it_shows(
    shown: dict[str, float], airframe: Airframe, covered: set[str], about: set[str],
) -> None:
    drawing = str(panel("p", "The panel at 4:00", shown, covered, about, airframe))
    tree = ElementTree.fromstring(drawing)  # noqa: S314 - ours
    told = [each.text for each in tree if each.tag.endswith(("title", "desc"))]
    assert told == ["The panel at 4:00", panel_words(shown, covered, absent(airframe))]
    assert not re.search(r"\b(nan|inf)\b", drawing)
    there = {code for code in (*SIX, *LESSER) if code not in absent(airframe)
             and (code != "navigation" or airframe.gps_fitted)}
    assert drawing.count("f-about") == len(about & there)
    assert drawing.count("COVERED") == len(covered & there)
    assert {each for each in FACES if f'href="#face-{each}"' in drawing} == there


@pytest.mark.parametrize("code", [*SIX, *LESSER])
def test_a_covered_instrument_shows_nothing_of_its_reading(code: str) -> None:
    one = drawn({"bank_deg": 0.0}, FULL, [code])
    other = drawn({"bank_deg": 33.0, "airspeed_kt": 70.0, "altitude_ft": 100.0, "turn_rate_dps": 3.0,
                   "heading_deg": 10.0, "vertical_speed_fpm": 900.0, "suction_inhg": 1.0, "amps": 9.0, "volts": 20.0,
                   "rpm": 900.0,
                   "compass_deg": 99.0, "course_deviation": 0.5, "track_deg": 9.0, "standby_flag": 0.0}, FULL, [code])
    start = one.index(f'href="#face-{code}"')
    end = one.index("COVERED", start)
    assert one[start:end] == other[other.index(f'href="#face-{code}"') : other.index("COVERED")]


@pytest.mark.parametrize(("class_", "deg", "shown"), [
    ("airspeed", airspeed_deg(104.0, airspeed_high_kt(PLAIN.never_exceed_kt)), {"airspeed_kt": 104.0}),
    ("altitude", hundreds_deg(5250.0), {"altitude_ft": 5250.0}),
    ("vertical speed", vertical_speed_deg(700.0), {"vertical_speed_fpm": 700.0}),
])
def test_a_needle_points_where_that_of_the_screen_does(class_: str, deg: float, shown: dict[str, float]) -> None:
    x, y = at((50.0, 50.0), 44.0, deg)
    needles = re.findall(r'<line [^>]*x2="([-\d.]+)" y2="([-\d.]+)" class="f-needle"', drawn(shown))
    assert any(abs(float(one) - x) < 0.02 and abs(float(other) - y) < 0.02 for one, other in needles), class_


def test_the_horizon_leans_against_the_bank_and_stays_in_sight() -> None:
    assert "rotate(-20 50 50) translate(0 7.5)" in drawn({"bank_deg": 20.0, "pitch_deg": 5.0})
    assert "translate(0 -34)" in drawn({"pitch_deg": -80.0})


@pytest.mark.parametrize(("airframe", "shown", "word", "there"), [
    (PLAIN, {"turn_flag": 1.0}, "OFF", True), (PLAIN, {"turn_flag": 0.0}, "OFF", False),
    (PLAIN, {"low_vacuum_light": 1.0}, "LOW VACUUM", False), (FULL, {"low_vacuum_light": 1.0}, "LOW VACUUM", True),
    (PLAIN, {"low_voltage_light": 1.0}, "LOW VOLTAGE", True), (PLAIN, {"gps_on": 0.0}, "DARK", True),
    (PLAIN, {"course_flag": 1.0}, "FLAG", True), (FULL, {"standby_flag": 1.0}, "NO ATTITUDE", True),
    (FULL, {"standby_testing": 1.0}, "SELF-TEST", True), (PLAIN, {"standby_flag": 1.0}, "NO ATTITUDE", False),
    (FULL, {"standby_flag": 0.0}, "NO ATTITUDE", False),
])
def test_flags_and_lights_are_in_sight_when_they_are_shown_and_fitted(
    airframe: Airframe, shown: dict[str, float], word: str, there: bool,
) -> None:
    assert (word in words_in(drawn(shown, airframe))) == there


def test_what_is_printed_is_there_once_for_all_panels_and_every_use_of_it_is_defined() -> None:
    printed = str(grounds(PLAIN))
    names = re.findall(r'id="([^"]+)"', printed)
    assert len(names) == len(set(names))
    used = set(re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', drawn({"standby_flag": 0.0}, FULL)))
    assert {one or other for one, other in used} <= set(names)


def test_the_arcs_of_the_airspeed_indicator_differ_by_more_than_color() -> None:
    printed = str(grounds(PLAIN))
    assert all(f'class="f-{name}"' in printed for name in ("white", "green", "yellow", "red"))
