"""The small faces at the edge of the panel: where needles stand, what is written, and that any size can be drawn."""

import re
from collections.abc import Sequence
from dataclasses import fields
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.strip import Strip

from drill.airplane.panel import Panel
from drill.cockpit.faces import clock, compass, course, gauges, gps, lamps, standby
from drill.cockpit.faces.face import Dial, Face
from drill.cockpit.ink import Ink
from drill.flight.readings import FIELDS_OF, WHOLE_PANEL

SHOWN: dict[str, float] = dict.fromkeys((each.name for each in fields(Panel)), 0.0) | {
    "compass_deg": 240.0, "suction_inhg": 4.9, "volts": 28.1, "amps": 5.0, "rpm": 2340.0, "gps_on": 1.0,
    "track_deg": 243.0, "groundspeed_kt": 95.0, "course_deviation": -0.3, "clock_s": 754.0,
}
FACES: tuple[Face, ...] = (compass.FACE, course.FACE, gauges.SUCTION, gauges.AMMETER, gauges.VOLTMETER,
                           gauges.TACHOMETER, gps.FACE, clock.FACE, standby.FACE, *lamps.LAMPS)
LIT = Dial(low_vacuum_light=True, without=frozenset())


def drawn(face: Face, width: int, height: int, dial: Dial = LIT, ink: Ink | None = None, **shown: float) -> list[Strip]:
    return face.draw(face.key(SHOWN | shown, dial), width, height, ink or Ink(), dial)


def words(strips: Sequence[Strip]) -> str:
    return "\n".join(strip.text for strip in strips)


def colors(strips: Sequence[Strip]) -> set[str]:
    return {str(colour.name) for strip in strips for piece in strip if piece.style is not None
            for colour in (piece.style.color, piece.style.bgcolor) if colour is not None}


# --- compass -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("heading", [0, 5, 90, 180, 359])
def test_the_heading_stands_under_the_lubber_line(heading: int) -> None:
    assert compass.card_dot(heading, heading, 36) == pytest.approx(18)


@pytest.mark.parametrize(("mark", "heading"), [(250, 240), (10, 350), (0, 345), (30, 0)])
def test_greater_headings_stand_left_of_the_lubber_line_on_the_card(mark: int, heading: int) -> None:
    at = compass.card_dot(mark, heading, 36)
    mirrored = compass.card_dot(2 * heading - mark, heading, 36)
    assert at is not None
    assert mirrored is not None
    assert at < 18 < mirrored
    assert 18 - at == pytest.approx(mirrored - 18)


def test_the_far_side_of_the_card_is_not_seen() -> None:
    assert compass.card_dot(60, 0, 36) is None
    assert compass.card_dot(180, 0, 36) is None


@pytest.mark.parametrize("plain", [False, True])
def test_the_figures_of_the_card_run_from_greater_to_lesser(plain: bool) -> None:
    row = next(strip.text for strip in drawn(compass.FACE, 18, 6, ink=Ink(plain=plain)) if "24" in strip.text)
    assert row.index("W") < row.index("24") < row.index("21")
    row = next(strip.text for strip in drawn(compass.FACE, 18, 6, ink=Ink(plain=plain), compass_deg=3.0)
               if "33" in strip.text)
    assert row.index("3 ") < row.index("N") < row.index("33")


def test_the_compass_moves_by_one_degree_and_is_printed_to_five() -> None:
    keys = {compass.FACE.key(SHOWN | {"compass_deg": 240 + tenth / 10}, LIT) for tenth in range(-4, 5)}
    assert keys == {240}
    assert words(drawn(compass.FACE, 18, 6, compass_deg=241.0)) != words(drawn(compass.FACE, 18, 6, compass_deg=242.0))
    assert "COMPASS 240" in words(drawn(compass.FACE, 18, 6, compass_deg=242.4))
    assert "COMPASS 360" in words(drawn(compass.FACE, 18, 6, compass_deg=359.7))
    assert "COMP 245" in words(drawn(compass.FACE, 8, 3, compass_deg=243.0))


# --- course needle -----------------------------------------------------------------------------------


@pytest.mark.parametrize("across", [28, 36, 44, 300])
def test_the_course_needle_stands_over_the_dot_of_its_deflection(across: int) -> None:
    gap = course.spacing(across)
    for dot in range(-5, 6):
        fiftieths = course.FACE.key(SHOWN | {"course_deviation": dot / 5}, LIT).fiftieths
        assert course.needle_dot(fiftieths, across) == pytest.approx(across / 2 + dot * gap)
    assert 0 <= course.needle_dot(-50, across) < course.needle_dot(50, across) < across


def test_the_course_needle_moves_by_two_hundredths_and_stops_at_full_scale() -> None:
    key = course.FACE.key
    assert key(SHOWN | {"course_deviation": 0.305}, LIT) == key(SHOWN | {"course_deviation": 0.295}, LIT)
    assert key(SHOWN | {"course_deviation": 0.32}, LIT) != key(SHOWN | {"course_deviation": 0.3}, LIT)
    assert key(SHOWN | {"course_deviation": 3.0}, LIT) == key(SHOWN | {"course_deviation": 1.0}, LIT)


@pytest.mark.parametrize("size", [(8, 3), (10, 6), (18, 6), (22, 8), (150, 42)])
def test_a_flag_says_off_only_when_the_needle_is_not_usable(size: tuple[int, int]) -> None:
    assert "OFF" in words(drawn(course.FACE, *size, course_flag=1.0))
    assert "OFF" not in words(drawn(course.FACE, *size, course_flag=0.0))


def test_the_needle_crosses_the_face_where_the_reading_is() -> None:
    plain = Ink(plain=True)
    for deviation, column in ((0.0, 9), (-1.0, 1), (1.0, 16)):
        top = drawn(course.FACE, 18, 6, ink=plain, course_deviation=deviation)[0].text
        assert [place for place, character in enumerate(top) if character == "|"] == [column]


# --- gauges ------------------------------------------------------------------------------------------


def test_needles_stand_at_the_marks_of_their_scales() -> None:
    end = gauges.SWEEP_DEG
    for gauge, low, high in ((gauges.SUCTION, 0, 8), (gauges.AMMETER, -60, 60), (gauges.VOLTMETER, *gauges.VOLTS),
                             (gauges.TACHOMETER, 0, 3500)):
        assert gauge.scale.angle(low) == pytest.approx(-end)
        assert gauge.scale.angle(high) == pytest.approx(end)
        assert gauge.scale.angle((low + high) / 2) == pytest.approx(0)
        assert gauge.scale.angle(low - 1000) == pytest.approx(-end)
        assert gauge.scale.angle(high + 1000) == pytest.approx(end)


def test_charge_stands_right_of_the_middle_and_discharge_left() -> None:
    assert gauges.AMMETER.scale.angle(0) == pytest.approx(0)
    assert gauges.AMMETER.scale.angle(20) == pytest.approx(-gauges.AMMETER.scale.angle(-20)) == pytest.approx(22)
    assert "12 discharge" in words(drawn(gauges.AMMETER, 22, 8, amps=-12.0))
    assert "12 charge" in words(drawn(gauges.AMMETER, 22, 8, amps=12.2))


@pytest.mark.parametrize(("gauge", "name", "same", "other"), [
    (gauges.SUCTION, "suction_inhg", (4.86, 4.94), 5.01), (gauges.AMMETER, "amps", (11.6, 12.4), 12.6),
    (gauges.VOLTMETER, "volts", (28.06, 28.14), 28.16), (gauges.TACHOMETER, "rpm", (2336.0, 2344.0), 2346.0),
])
def test_a_gauge_is_redrawn_for_a_step_of_its_scale_only(gauge: gauges.Gauge, name: str, same: tuple[float, float],
                                                         other: float) -> None:
    one, two, three = (gauge.key(SHOWN | {name: value}, LIT) for value in (*same, other))
    assert one == two != three


@pytest.mark.parametrize("size", [(8, 3), (10, 6), (14, 6), (18, 6), (22, 8), (40, 14)])
def test_falling_suction_changes_no_color_and_writes_no_word(size: tuple[int, int]) -> None:
    good = drawn(gauges.SUCTION, *size, Dial())
    gone = drawn(gauges.SUCTION, *size, Dial(), suction_inhg=0.0, low_vacuum_light=1.0)
    assert words(good) != words(gone)
    assert "LOW" not in words(gone)
    assert colors(gone) <= colors(good) | {Ink().green}     # a needle in the band may hide its last colored cell


def test_a_low_vacuum_light_is_where_the_airplane_has_one() -> None:
    for size in ((8, 3), (10, 6), (18, 6), (150, 42)):
        assert "LOW VAC" in words(drawn(gauges.SUCTION, *size, LIT, low_vacuum_light=1.0))
        assert "LOW VAC" not in words(drawn(gauges.SUCTION, *size, LIT))
        assert "LOW VAC" not in words(drawn(gauges.SUCTION, *size, Dial(), low_vacuum_light=1.0))


@pytest.mark.parametrize("size", [(8, 3), (10, 6), (18, 6), (150, 42)])
def test_the_low_voltage_light_is_a_word(size: tuple[int, int]) -> None:
    assert "LOW VOLT" in words(drawn(gauges.VOLTMETER, *size, low_voltage_light=1.0))
    assert "LOW VOLT" not in words(drawn(gauges.VOLTMETER, *size))


def test_the_green_band_is_marked_by_shape_too_and_is_the_airplanes_own() -> None:
    plain = Ink(plain=True)
    for size in ((8, 3), (18, 6), (22, 8), (40, 14)):
        text = words(drawn(gauges.SUCTION, *size, ink=plain, suction_inhg=0.0))
        assert text.index("[") < text.index("]")
    assert words(drawn(gauges.SUCTION, 40, 14, Dial(suction_green=(3.0, 4.0)))) != words(drawn(gauges.SUCTION, 40, 14))


@pytest.mark.parametrize("size", [(14, 6), (18, 6), (22, 8), (150, 42)])
def test_the_suction_stands_as_a_number_beside_its_title(size: tuple[int, int]) -> None:
    assert re.search(r"SUCTION +4\.9", drawn(gauges.SUCTION, *size)[-1].text)


@pytest.mark.parametrize("size", [(14, 6), (18, 6), (22, 8), (26, 9)])
@pytest.mark.parametrize("tenths", range(30, 61, 2))
def test_figures_stay_whole_where_the_needle_passes(size: tuple[int, int], tenths: int) -> None:
    def figures(inches: float) -> list[str]:
        return [re.sub(r"[^0-9]", " ", strip.text) for strip in drawn(gauges.SUCTION, *size, suction_inhg=inches)[:-1]]

    assert figures(tenths / 10) == figures(0.0)


def test_a_large_needle_is_broken_where_it_crosses_a_figure_and_whole_elsewhere() -> None:
    def gaps(inches: float) -> int:
        column = [strip.text[75] for strip in drawn(gauges.SUCTION, 150, 42, suction_inhg=inches)[:-1]]
        return "".join("#" if each != " " else " " for each in column).strip().count(" ")

    assert gaps(4.0) >= 1
    whole = drawn(gauges.AMMETER, 150, 42, amps=15.0)
    assert all(row.text.strip() for row in whole[:-1])


@pytest.mark.parametrize("gauge", [gauges.SUCTION, gauges.AMMETER, gauges.VOLTMETER, gauges.TACHOMETER])
@pytest.mark.parametrize("size", [(13, 6), (14, 6), (18, 6), (22, 8)])
def test_the_words_below_a_gauge_leave_the_last_column_free(gauge: gauges.Gauge, size: tuple[int, int]) -> None:
    assert drawn(gauge, *size, amps=-12.0)[-1].text[-1] == " "


# --- GPS and clock -----------------------------------------------------------------------------------


def test_the_gps_writes_track_and_groundspeed_while_it_has_power() -> None:
    lit = words(drawn(gps.FACE, 18, 6))
    assert "243" in lit
    assert "95 kt" in lit
    assert "360" in words(drawn(gps.FACE, 18, 6, track_deg=359.6))
    dark = words(drawn(gps.FACE, 18, 6, gps_on=0.0))
    assert "dark" in dark
    assert not any(character.isdigit() for character in dark)


def test_the_gps_writes_bearing_and_distance_of_what_it_leads_to() -> None:
    alone = words(drawn(gps.FACE, 18, 6))
    assert ("TRK" in alone, "GS" in alone, "BRG" in alone, "DIST" in alone) == (True, True, False, False)
    for size in ((14, 6), (18, 6), (22, 8)):
        leading = words(drawn(gps.FACE, *size, bearing_deg=359.7, distance_nm=12.34))
        assert re.search(r"BRG +360", leading)
        assert re.search(r"DIST +12\.3 nm", leading)
    assert re.search(r"DIST +123 nm", words(drawn(gps.FACE, 18, 6, bearing_deg=5.0, distance_nm=123.4)))


@pytest.mark.parametrize("width", [13, 14, 18, 22])
def test_lines_of_the_gps_leave_the_last_column_free(width: int) -> None:
    assert all(strip.text[-1] == " " for strip in drawn(gps.FACE, width, 6, bearing_deg=5.0, distance_nm=12.3))


def test_a_dark_screen_is_the_same_whatever_it_would_show() -> None:
    assert gps.FACE.key(SHOWN | {"gps_on": 0.0}, LIT) == gps.FACE.key(
        SHOWN | {"gps_on": 0.0, "track_deg": 10.0, "groundspeed_kt": 300.0}, LIT)


def test_where_there_is_no_gps_there_is_only_panel() -> None:
    blank = drawn(gps.FACE, 18, 6, Dial(gps=False))
    assert words(blank).strip() == ""
    assert colors(blank) <= {Ink().panel, Ink().mark}


def test_the_clock_shows_elapsed_time_and_what_else_is_known() -> None:
    alone = words(drawn(clock.FACE, 18, 6))
    assert "12:34" in alone
    assert "LOCAL" not in alone
    assert "TIMER" not in alone
    all_three = words(drawn(clock.FACE, 18, 6, local_s=14 * 3600 + 332.0, timer_s=95.0))
    assert [said in all_three for said in ("14:05:32", "1:35", "12:34")] == [True] * 3


def test_local_time_goes_past_midnight() -> None:
    assert "00:00:04" in words(drawn(clock.FACE, 18, 6, local_s=86_404.0))


def test_the_clock_changes_once_a_second() -> None:
    keys = [clock.FACE.key({"clock_s": tenth / 10, "local_s": 50_000.4 + tenth / 10}, LIT) for tenth in range(101)]
    assert sum(before != after for before, after in pairwise(keys)) == 10


# --- all of them -------------------------------------------------------------------------------------


def test_every_face_has_the_code_of_an_instrument_that_can_be_read() -> None:
    codes = [face.code for face in FACES]
    assert len(set(codes)) == len(codes)
    assert set(codes) <= {*WHOLE_PANEL, "clock"}
    assert all(face.title == face.title.upper() for face in FACES)


finite = st.floats(allow_nan=False, allow_infinity=False)
SIZES = st.tuples(st.integers(8, 160), st.integers(3, 46)) | st.tuples(st.integers(8, 24), st.integers(3, 9))


@settings(max_examples=150, deadline=None)
@given(face=st.sampled_from(FACES), size=SIZES, plain=st.booleans(), gps_fitted=st.booleans(), data=st.data())
def test_any_finite_reading_at_any_size_fills_the_face_exactly(
        face: Face, size: tuple[int, int], plain: bool, gps_fitted: bool, data: st.DataObject) -> None:
    names = [*FIELDS_OF[face.code], *(("local_s", "timer_s") if face.code == "clock" else ())]
    usual = st.floats(-100, 4000)
    readings = {name: data.draw(usual | finite, label=name) for name in names}
    dial = Dial(gps=gps_fitted, low_vacuum_light=gps_fitted, without=frozenset() if gps_fitted else Dial().without)
    width, height = size
    strips = drawn(face, width, height, dial, Ink(plain=plain), **readings)
    assert len(strips) == height
    for strip in strips:
        assert strip.cell_length == width == sum(piece.cell_length for piece in strip)
        assert not plain or strip.text.isascii()


def test_a_standby_horizon_that_is_flagged_shows_no_attitude_but_that_it_failed() -> None:
    for width, height in ((19, 5), (40, 20)):
        assert "FAIL" in words(drawn(standby.FACE, width, height, standby_flag=1.0, standby_bank_deg=30.0))
        assert "SELF-TEST" in words(drawn(standby.FACE, width, height, standby_testing=1.0))
        assert drawn(standby.FACE, width, height, standby_flag=1.0, standby_bank_deg=30.0) == drawn(
            standby.FACE, width, height, standby_flag=1.0, standby_bank_deg=-30.0)


def test_the_red_line_stands_on_the_tachometer_alone() -> None:
    assert Ink().red in colors(drawn(gauges.TACHOMETER, 20, 6))
    assert Ink().red not in colors(drawn(gauges.VOLTMETER, 20, 6))
