"""Quantities as an author writes them."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.scenario import units as u
from drill.scenario.units import UnitError, read_amount, read_share, read_wind


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("5000 ft", u.FEET, 5000.0),
        ("5,000 feet", u.FEET, 5000.0),
        ("FL90", u.FEET, 9000.0),
        ("-1280 ft", u.FEET, -1280.0),
        ("110 kt", u.KNOTS, 110.0),
        ("3 h 10 min", u.MINUTES, 190.0),
        ("3 h 10 min", u.SECONDS, 11_400.0),
        ("90s", u.SECONDS, 90.0),
        ("2 hr", u.SECONDS, 7_200.0),
        ("1.5 min", u.SECONDS, 90.0),
        ("1.5 nm", u.MILES, 1.5),
        ("240", u.HEADING, 240.0),
        ("080", u.HEADING, 80.0),
        ("3 deg", u.DEGREES, 3.0),
        ("10 sm", u.VISIBILITY, 10.0),
        ("1013 hPa", u.PRESSURE, 1013.0),
        ("4.5 inHg", u.SUCTION, 4.5),
        ("5 C", u.CELSIUS, 5.0),
        ("-700 fpm", u.CLIMB, -700.0),
        ("0.95", u.PLAIN, 0.95),
        ("95 %", u.PLAIN, 0.95),
    ],
)
def test_a_quantity_reads_in_the_models_unit(text: str, unit: u.Unit, value: float) -> None:
    assert read_amount(text, unit) == pytest.approx(value)


def test_standard_pressure_in_inches_is_standard_pressure() -> None:
    # ICAO Doc 7488: 1013.25 hPa; 29.92 inHg is its usual rounding (14 CFR 91.121)
    assert read_amount("29.92 inHg", u.PRESSURE) == pytest.approx(1013.25, abs=0.2)


@pytest.mark.parametrize(
    ("text", "unit", "rule", "remedy"),
    [
        ("5000", u.FEET, "unit-missing", "write 5000 ft"),
        ("5000 m", u.FEET, "wrong-unit", "write 5000 ft"),
        ("110 mph", u.KNOTS, "wrong-unit", "write 95.6 kt"),     # a nautical mile is 1852 m, a statute one 1609.344 m
        ("48 km", u.MILES, "wrong-unit", "write 25.9 nm"),
        ("8 km", u.VISIBILITY, "wrong-unit", "write 4.97 sm"),
        ("48 furlongs", u.MILES, "wrong-unit", "write 48 nm"),
        ("12:30", u.SECONDS, "time-with-colon", "write 12 min 30 s or 12 h 30 min"),
        ("4", u.SECONDS, "unit-missing", "write 4 min or 4 s"),
        ("4 ft", u.SECONDS, "wrong-unit", "write 4 min"),
        ("high", u.FEET, "not-a-quantity", "write it like 5000 ft"),
        ("5000 ft or so", u.FEET, "wrong-unit", "write 5000 ft"),
        ("1e9 ft", u.FEET, "wrong-unit", "write 1 ft"),
        ("", u.FEET, "not-a-quantity", "write it like 5000 ft"),
    ],
)
def test_what_is_wrong_with_a_quantity_is_said_with_the_remedy(text: str, unit: u.Unit, rule: str, remedy: str) -> None:
    with pytest.raises(UnitError) as caught:
        read_amount(text, unit)
    assert (caught.value.rule, caught.value.remedy) == (rule, remedy)


def test_wind_has_a_direction_and_a_speed() -> None:
    assert read_wind("270 at 20 kt") == (270.0, 20.0)
    assert read_wind("calm") == (0.0, 0.0)
    with pytest.raises(UnitError, match="no unit"):
        read_wind("270 at 20")


def test_a_share_lies_between_none_and_all() -> None:
    assert read_share("1 in 5") == 0.2
    assert read_share("20 %") == 0.2
    assert read_share("0") == 0.0
    for text in ("2", "5 in 1", "1 in 0", "-1 %", "often"):
        with pytest.raises(UnitError):
            read_share(text)


@given(st.integers(0, 23), st.integers(0, 59), st.integers(0, 59))
def test_a_time_in_parts_is_the_sum_of_its_parts(hours: int, minutes: int, seconds: int) -> None:
    assert read_amount(f"{hours} h {minutes} min {seconds} s", u.SECONDS) == hours * 3600 + minutes * 60 + seconds


@given(st.text(max_size=30), st.sampled_from([*u.BY_CODE.values(), u.PRESSURE, u.HEADING]))
def test_any_text_is_a_quantity_or_a_unit_error(text: str, unit: u.Unit) -> None:
    for read in (lambda: read_amount(text, unit), lambda: read_wind(text), lambda: read_share(text)):
        with contextlib.suppress(UnitError):
            assert read() is not None
