"""The air, against the standard's own numbers and an independent library."""

from __future__ import annotations

import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import ARRAYS, FLOATS, Air, Controls, Start, atmosphere
from drill.airplane.constants import FOOT, KNOT, SEA_PRESSURE_PA

from .flights import CHECKS, single


@pytest.mark.parametrize("row", ["P15", "P17", "P19"])   # ICAO Doc 7488 / ISO 2533
def test_standard_temperature(row: str) -> None:
    check = CHECKS[row]
    assert check.holds(atmosphere.temperature_k(check.given["pressure_altitude_ft"] * FOOT))


@pytest.mark.parametrize("row", ["P16", "P18", "P20"])   # ICAO Doc 7488 / ISO 2533
def test_standard_pressure(row: str) -> None:
    check = CHECKS[row]
    assert check.holds(atmosphere.pressure_pa(check.given["pressure_altitude_ft"] * FOOT))


def test_standard_density_at_6000_ft() -> None:          # ICAO Doc 7488 / ISO 2533
    check = CHECKS["P21"]
    height = check.given["pressure_altitude_ft"] * FOOT
    assert check.holds(atmosphere.density(atmosphere.pressure_pa(height), atmosphere.temperature_k(height)))


@pytest.mark.parametrize("row", ["P22", "P23"])          # compressible pitot equation with ISA, closed form
def test_true_airspeed_from_calibrated(row: str) -> None:
    check = CHECKS[row]
    height = check.given["pressure_altitude_ft"] * FOOT
    tas = atmosphere.tas_mps(FLOATS, check.given["kcas"] * KNOT, atmosphere.pressure_pa(height),
                             atmosphere.temperature_k(height))
    assert check.holds(tas / KNOT)


def test_impact_pressure_of_120_kt() -> None:            # compressible pitot equation, closed form
    check = CHECKS["P24"]
    assert check.holds(atmosphere.impact_of_cas_pa(check.given["kcas"] * KNOT))


@pytest.mark.parametrize("height_m", range(0, 10_501, 1500))
def test_the_air_agrees_with_the_ambiance_library(height_m: int) -> None:
    # ambiance works in geometric height and ISA 1993; geopotential height is what the standard's formulas take
    geopotential = height_m * 6_356_766.0 / (6_356_766.0 + height_m)
    there = Atmosphere(float(height_m))
    assert atmosphere.temperature_k(geopotential) == pytest.approx(float(there.temperature[0]), rel=2e-5)
    pressure = atmosphere.pressure_pa(geopotential)
    assert pressure == pytest.approx(float(there.pressure[0]), rel=2e-5)
    density = atmosphere.density(pressure, atmosphere.temperature_k(geopotential))
    assert density == pytest.approx(float(there.density[0]), rel=3e-5)


def test_altimeter_set_too_high_reads_too_high() -> None:   # ISA altimeter equation
    check = CHECKS["P33"]
    flight = single(air=Air(pressure_hpa=check.given["true_setting_hPa"]),
                    start=Start(altitude_ft=check.given["true_altitude_ft"]),
                    controls=Controls(altimeter_setting_hpa=check.given["set_hPa"]))
    assert check.holds(flight.panel.altitude_ft - flight.truth.altitude_ft)


def test_cold_air_makes_the_altimeter_read_high_by_four_percent_for_ten_degrees() -> None:
    # AIM table 7-2-3; the rule from memory
    flight = single(air=Air(temperature_deviation_c=-30.0), start=Start(altitude_ft=3000.0))
    reads_high = flight.panel.altitude_ft - flight.truth.altitude_ft
    assert reads_high / 3000.0 == pytest.approx(0.12, abs=0.015)


@given(st.floats(-300.0, 10_900.0), st.floats(94_000.0, 106_000.0))
def test_altimeter_equation_undoes_the_pressure(height_m: float, setting_pa: float) -> None:
    pressure = atmosphere.pressure_pa(height_m, 0.0, setting_pa)
    assert atmosphere.altitude_m(pressure, setting_pa) == pytest.approx(height_m, abs=1e-6)


@given(st.floats(10.0, 130.0), st.floats(0.0, 6000.0), st.floats(-30.0, 30.0))
def test_the_airspeed_indicator_undoes_the_pitot_equation(cas: float, height_m: float, warmer: float) -> None:
    pressure, temperature = atmosphere.pressure_pa(height_m, warmer), atmosphere.temperature_k(height_m, warmer)
    tas = atmosphere.tas_mps(FLOATS, cas, pressure, temperature)
    assert atmosphere.cas_mps(FLOATS, atmosphere.impact_pa(tas, pressure, temperature)) == pytest.approx(cas, abs=1e-6)


def test_no_impact_pressure_reads_zero() -> None:
    assert atmosphere.cas_mps(FLOATS, -500.0) == 0.0
    assert atmosphere.cas_mps(ARRAYS, -500.0) == 0.0
    assert atmosphere.altitude_m(SEA_PRESSURE_PA) == 0.0
