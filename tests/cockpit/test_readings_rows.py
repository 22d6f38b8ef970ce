"""The compact panel: a row an instrument, in words and figures, and what happens when there are few rows."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.strip import Strip

from drill.airplane.panel import Panel
from drill.cockpit.faces.face import Dial, SpeedArc
from drill.cockpit.faces.readings import readings_rows, rows_key, shared
from drill.cockpit.faces.scale import column_of, scale_line, share_of
from drill.cockpit.ink import Ink
from drill.flight.readings import FIELDS_OF, WHOLE_PANEL

NAMES = [each.name for each in fields(Panel)]
SHOWN: dict[str, float] = dict.fromkeys(NAMES, 0.0) | {
    "airspeed_kt": 110.0, "altitude_ft": 5420.0, "vertical_speed_fpm": -450.0, "altimeter_setting_hpa": 1013.25,
    "bank_deg": 18.0, "pitch_deg": 2.0, "heading_deg": 242.0, "turn_rate_dps": 3.0, "ball": 0.4, "compass_deg": 236.0,
    "suction_inhg": 4.9, "volts": 28.1, "amps": 12.0, "rpm": 2340.0, "gps_on": 1.0, "track_deg": 243.0,
    "groundspeed_kt": 95.0, "course_deviation": -0.3,
}
DIAL = Dial(arcs=(SpeedArc("green", 53, 125), SpeedArc("yellow", 125, 158), SpeedArc("red", 158, 158)))
LIT = Dial(low_vacuum_light=True)


def rows(width: int = 46, height: int = 14, covered: Sequence[str] = (), dial: Dial = DIAL,
         skip: Sequence[str] = (), changed: Mapping[str, float] = MappingProxyType({})) -> list[str]:
    return [strip.text for strip in readings_rows(SHOWN | dict(changed), covered, dial, width, height, Ink(), skip)]


def row(label: str, **shown: float) -> str:
    return next(each for each in rows(changed=shown) if each.startswith(label))


def colors(strip: Strip) -> set[str]:
    return {str(piece.style.color.name) for piece in strip if piece.style is not None and piece.style.color is not None}


# --- the scale ---------------------------------------------------------------------------------------


def test_a_pointer_stands_in_the_column_of_its_share() -> None:
    assert [column_of(share, 11) for share in (0, 0.5, 1)] == [0, 5, 10]
    assert share_of(3, -6, 6) == pytest.approx(0.75)
    assert share_of(99, -6, 6) == 1
    assert scale_line(11, 0.8, (0, 0.5, 1)) == "┼────┼──▲─┼"
    assert scale_line(11, 0.8, (0, 0.5, 1), plain=True) == "+----+--^-+"


def test_a_band_keeps_its_brackets_while_the_pointer_is_in_it() -> None:
    for share in (0.5, 0.6, 0.7):
        line = scale_line(11, share, band=(0.5, 0.7))
        assert line[4] == "["
        assert line[8] == "]"


# --- rows --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [38, 46, 60])
def test_fourteen_rows_hold_the_whole_panel_in_the_order_of_the_scan(width: int) -> None:
    labels = [each.split()[0] for each in rows(width)]
    assert labels == ["ATTITUDE", "AIRSPEED", "ALTITUDE", "VERT", "HEADING", "TURN", "COMPASS", "SUCTION", "VOLTS",
                      "AMPS", "RPM", "GPS", "COURSE", "RADIO"]


@pytest.mark.parametrize(("label", "shown", "said"), [
    ("ATTITUDE", {}, "18 right, 2 up"),
    ("ATTITUDE", {"bank_deg": -7.0, "pitch_deg": -3.2}, "7 left, 3 down"),
    ("ATTITUDE", {"bank_deg": 1.0, "pitch_deg": 0.5}, " level"),
    ("ATTITUDE", {"bank_deg": 1.0, "pitch_deg": 4.0}, "level, 4 up"),
    ("ATTITUDE", {"attitude_tumbled": 1.0}, "bar on its side"),
    ("AIRSPEED", {}, "110 kt"),
    ("ALTITUDE", {}, "5,420 ft  29.92"),
    ("VERT SPD", {}, "down 450 fpm"),
    ("VERT SPD", {"vertical_speed_fpm": 40.0}, "level"),
    ("HEADING", {}, "242"),
    ("HEADING", {"heading_deg": 359.8}, "360"),
    ("TURN", {}, "standard R [--|o-]"),
    ("TURN", {"turn_rate_dps": -1.5, "ball": 0.0}, "half std L [--o--]"),
    ("TURN", {"turn_rate_dps": -4.5, "ball": -0.9}, "over std L [o-|--]"),
    ("TURN", {"turn_flag": 1.0, "turn_rate_dps": 0.6}, "OFF slight R --|o-"),
    ("COMPASS", {}, " 235"),
    ("SUCTION", {}, "4.9 in"),
    ("VOLTS", {"volts": 23.84, "low_voltage_light": 1.0}, "LOW VOLT 23.8 V"),
    ("AMPS", {}, "12 charge"),
    ("AMPS", {"amps": -22.0}, "22 discharge"),
    ("RPM", {}, "2340"),
    ("GPS", {}, "TRK 243  GS 95 kt"),
    ("GPS", {"bearing_deg": 251.2, "distance_nm": 12.34}, "TRK 243 GS 95 BRG 251 12.3 NM"),
    ("GPS", {"gps_on": 0.0}, "dark"),
    ("COURSE", {}, "left 1.5 dots"),
    ("COURSE", {"course_deviation": 0.05}, "centered"),
    ("COURSE", {"course_deviation": 0.68}, "right 3.4 dots"),
    ("COURSE", {"course_deviation": 1.0}, "full right"),
    ("COURSE", {"course_flag": 1.0}, "OFF"),
])
def test_a_row_says_the_reading(label: str, shown: dict[str, float], said: str) -> None:
    assert said in row(label, **shown)


@pytest.mark.parametrize("feet", [5980.0, 6000.0, 6020.0])
def test_at_a_cruising_level_the_altitude_stands_near_the_middle_of_its_scale(feet: float) -> None:
    def column(altitude_ft: float) -> int:
        return row("ALTITUDE", altitude_ft=altitude_ft).index("▲")

    assert column(5600.0) < column(5800.0) < column(feet) < column(6200.0) < column(6400.0)
    assert abs(column(feet) - (column(5520.0) + column(6480.0)) / 2) <= 1


@pytest.mark.parametrize(("label", "name"), [("HEADING", "heading_deg"), ("COMPASS", "compass_deg")])
def test_the_quarters_stand_on_the_scale_of_a_heading(label: str, name: str) -> None:
    assert "N───E─" in row(label, **{name: 300.0})
    places = row(label, **{name: 300.0})[9:26]
    assert [letter for letter in places if letter in "NESW"] == list("NESWN")
    for heading, letter in ((90.0, "E"), (180.0, "S"), (270.0, "W")):
        assert row(label, **{name: heading})[9:26].index("▲") == places.index(letter)


def test_green_stands_between_brackets_on_the_airspeed_scale_and_the_never_exceed_speed_at_its_mark() -> None:
    def column(knots: float) -> int:
        return row("AIRSPEED", airspeed_kt=knots).index("▲")

    still = row("AIRSPEED", airspeed_kt=90.0)
    assert still.index("[") < column(54.0) < column(124.0) < still.index("]") < still.index("X")
    assert column(158.0) == still.index("X")


def test_the_vertical_speed_goes_no_further_than_its_needle() -> None:
    assert "up 2000 fpm" in row("VERT SPD", vertical_speed_fpm=3500.0)


@pytest.mark.parametrize("width", [38, 46, 60])
def test_the_last_column_stays_free(width: int) -> None:
    for ball in (-1.0, 0.0, 1.0):
        assert all(each[-1] == " " for each in rows(width, changed={"ball": ball}))


def test_standard_rate_stands_at_its_mark() -> None:
    for rate in (-3.0, 3.0):
        still = row("TURN", turn_rate_dps=0.0)
        turning = row("TURN", turn_rate_dps=rate)
        pointer = turning.index("▲")
        assert still[pointer] == "┼"
        assert (pointer > still.index("▲")) == (rate > 0)


def test_a_covered_instrument_is_covered_and_keeps_its_row() -> None:
    for height in (13, 10, 7):
        text = "\n".join(rows(height=height, covered=("heading_indicator",)))
        assert text.count("COVERED") == 1
        assert "242" not in text


def test_the_key_of_a_covered_instrument_does_not_change() -> None:
    assert rows_key(SHOWN, ("tachometer",)) == rows_key(SHOWN | {"rpm": 900.0}, ("tachometer",))
    assert rows_key(SHOWN, ("tachometer",)) != rows_key(SHOWN, ())


def test_noise_below_what_a_row_shows_does_not_change_the_key() -> None:
    noise = {"airspeed_kt": 110.3, "altitude_ft": 5426.0, "vertical_speed_fpm": -440.0, "bank_deg": 18.3,
             "compass_deg": 234.0, "suction_inhg": 4.93, "volts": 28.13, "amps": 12.3, "rpm": 2343.0,
             "course_deviation": -0.303, "clock_s": 99.0}
    assert rows_key(SHOWN | noise, ()) == rows_key(SHOWN, ())


@pytest.mark.parametrize(("name", "value"), [
    ("airspeed_kt", 111.0), ("altitude_ft", 5440.0), ("suction_inhg", 4.8), ("volts", 28.2), ("amps", 13.0),
    ("rpm", 2350.0), ("compass_deg", 239.0), ("course_flag", 1.0), ("turn_flag", 1.0), ("gps_on", 0.0),
    ("attitude_tumbled", 1.0), ("low_voltage_light", 1.0), ("altimeter_setting_hpa", 1010.0),
])
def test_what_a_row_shows_is_in_the_key(name: str, value: float) -> None:
    assert rows_key(SHOWN | {name: value}, ()) != rows_key(SHOWN, ())
    assert rows(changed={name: value}) != rows()


def test_falling_suction_changes_no_color_and_writes_no_word() -> None:
    good, gone = (readings_rows(SHOWN | {"suction_inhg": inches, "low_vacuum_light": 1.0}, (), DIAL, 46, 13, Ink())[7]
                  for inches in (4.9, 0.3))
    assert colors(good) == colors(gone)
    assert "LOW" not in gone.text
    assert "LOW VAC" in rows(dial=LIT, changed={"low_vacuum_light": 1.0})[7]


def test_an_airplane_without_gps_has_no_row_for_it() -> None:
    assert not any(each.startswith("GPS") for each in rows(dial=Dial(gps=False)))


def test_an_instrument_shown_elsewhere_can_be_left_out() -> None:
    text = rows(height=13, skip=("attitude_indicator",))
    assert text[0].startswith("AIRSPEED")
    assert len(text) == 13
    assert text[-2].startswith("COURSE")


def test_radio_and_transponder_stand_in_the_last_row_and_go_dark_there() -> None:
    assert rows(changed={"radio_on": 1.0, "transponder_on": 0.0})[-1].split() == ["RADIO", "ON", "TRANSPONDER", "dark"]


def test_only_an_airplane_that_has_them_shows_a_standby_horizon_and_an_autopilot() -> None:
    fitted = Dial(arcs=DIAL.arcs, without=frozenset())
    shown = {"standby_bank_deg": -12.0, "standby_pitch_deg": 3.0, "autopilot_on": 1.0}
    text = rows(height=15, dial=fitted, changed=shown)
    assert any(each.startswith("STANDBY") and "12 left, 3 up" in each for each in text)
    assert text[-1].split()[:2] == ["AUTOPILOT", "ON"]
    assert not any("STANDBY" in each or "AP ON" in each or "AUTOPILOT" in each for each in rows(changed=shown))


@pytest.mark.parametrize(("field", "word"), [("standby_flag", "FAIL"), ("standby_testing", "self-test")])
def test_a_standby_horizon_without_an_attitude_says_why(field: str, word: str) -> None:
    fitted = Dial(arcs=DIAL.arcs, without=frozenset())
    text = rows(height=15, dial=fitted, changed={"standby_bank_deg": 44.0, field: 1.0})
    stands = next(each for each in text if each.startswith("STANDBY"))
    assert word in stands
    assert "44" not in stands


# --- few rows ----------------------------------------------------------------------------------------


def test_volts_and_amps_are_the_first_to_share_a_row() -> None:
    lamps = ("autopilot", "radio", "transponder")
    rest = [code for code in WHOLE_PANEL if code not in lamps]
    assert shared(WHOLE_PANEL, 15) == [*((code,) for code in rest), lamps]
    joined = shared(WHOLE_PANEL, 14)
    assert [group for group in joined if len(group) == 2] == [("voltmeter", "ammeter")]
    text = rows(height=13)
    assert any("28.1 V" in each and "12 charge" in each for each in text)


@pytest.mark.parametrize("height", range(8, 16))
def test_eight_rows_are_enough_for_every_instrument(height: int) -> None:
    groups = shared(WHOLE_PANEL, height)
    assert len(groups) <= height
    assert sorted(code for group in groups for code in group) == sorted(WHOLE_PANEL)


@pytest.mark.parametrize("width", [38, 42, 46, 60])
def test_narrow_rows_show_whole_figures(width: int) -> None:
    worst = {"bank_deg": -170.0, "pitch_deg": -40.0, "altitude_ft": 14_980.0, "volts": 23.8, "low_voltage_light": 1.0,
             "amps": -52.0, "suction_inhg": 0.2, "low_vacuum_light": 1.0, "turn_flag": 1.0}
    text = "\n".join(rows(width, 7, dial=LIT, changed=worst))
    assert "~" not in text
    for said in ("23.8 V", "0.2 in", "14,980 ft", "52 discharge", "LOW", "OFF", "2340", "243"):
        assert said in text


finite = st.floats(allow_nan=False, allow_infinity=False)
READINGS = st.fixed_dictionaries(dict.fromkeys(NAMES, finite | st.floats(-100, 4000) | st.floats(-1, 1)))


@settings(max_examples=80, deadline=None)
@given(shown=READINGS, width=st.integers(8, 80), height=st.integers(1, 20), plain=st.booleans(),
       covered=st.sets(st.sampled_from(sorted(FIELDS_OF))))
def test_any_finite_reading_at_any_size_fills_the_rows_exactly(
        shown: dict[str, float], width: int, height: int, plain: bool, covered: set[str]) -> None:
    strips = readings_rows(shown, covered, LIT, width, height, Ink(plain=plain))
    assert len(strips) == height
    for strip in strips:
        assert strip.cell_length == width == sum(piece.cell_length for piece in strip)
        assert not plain or strip.text.isascii()
