"""Published values against the model: any row of a known kind, in other words and with other numbers."""

from __future__ import annotations

import csv
import json
import math
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane.__main__ import main
from drill.airplane.comparing import computed
from drill.airplane.given import CannotComputeError, in_unit
from drill.airplane.published import COLUMNS, BadTableError, compare, table

from .flights import DATA

SHIPPED = DATA / "physics_checks.csv"
EARTH_DPH = 15.041   # sidereal rate of the earth, deg/h
FT, KT, SEA_PA, GAS = 0.3048, 1852.0 / 3600.0, 101325.0, 287.05287
G = 9.80665


def made(situation: str, inputs: str, unit: str) -> float:
    found, unused = computed(situation, inputs)
    assert unused == ()
    return in_unit(found.value, found.dimension, unit)


def file_of(folder: Path, *rows: str, header: str = ",".join(COLUMNS)) -> Path:
    path = folder / "values.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def test_every_shipped_row_is_within_its_tolerance(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", str(SHIPPED)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == "48 of 48 within tolerance"
    assert all(line.endswith("ok") for line in lines[1:-1])


def test_a_changed_expected_value_is_off_and_makes_the_command_fail(
    tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    with SHIPPED.open(newline="") as file:
        rows = list(csv.DictReader(file))
    rows[20]["expected"] = str(float(rows[20]["expected"]) * 1.01)
    changed = tmp_path / "changed.csv"
    with changed.open("w", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    assert main(["compare", str(changed), "--json"]) == 1
    printed = json.loads(capsys.readouterr().out)
    assert (printed["within"], printed["of"]) == (47, 48)
    assert [row["id"] for row in printed["rows"] if row["state"] != "ok"] == [rows[20]["id"]]


# Closed forms, each written here once more and apart from the model

def isa(feet: float) -> tuple[float, float]:
    """Pressure (Pa) and temperature (K) of ISO 2533 at an altitude (ft)."""
    kelvin = 288.15 - 0.0065 * feet * FT
    return SEA_PA * (kelvin / 288.15) ** (G / (GAS * 0.0065)), kelvin


def impact(kcas: float) -> float:
    """Impact pressure (Pa) of the compressible pitot equation, gamma 1.4."""
    return float(SEA_PA * ((1.0 + 0.2 * (kcas * KT / math.sqrt(1.4 * GAS * 288.15)) ** 2) ** 3.5 - 1.0))


def indicated(pascal: float) -> float:
    ratio = (max(pascal, 0.0) / SEA_PA + 1.0) ** (2.0 / 7.0) - 1.0
    return math.sqrt(5.0 * ratio) * math.sqrt(1.4 * GAS * 288.15) / KT


def pressure_height(pascal: float, setting_pa: float = SEA_PA) -> float:
    return float(288.15 / 0.0065 * (1.0 - (pascal / setting_pa) ** (GAS * 0.0065 / G)) / FT)


number = st.floats
banks = st.floats(-70.0, 70.0).filter(lambda bank: abs(bank) > 0.5)
fast = settings(max_examples=25, deadline=None)


@fast
@given(banks, st.floats(50.0, 200.0))
def test_level_turns_are_those_of_the_closed_form_to_either_side(bank: float, tas: float) -> None:
    rate = math.degrees(G * math.tan(math.radians(bank)) / (tas * KT))
    inputs = f"tas_kt={tas}; bank_deg={bank}"
    assert made("coordinated level turn: heading rate", inputs, "deg/s") == pytest.approx(rate, rel=1e-6)
    assert made("Coordinated level turn - rate of turn", inputs, "rad/s") == pytest.approx(math.radians(rate), rel=1e-6)
    radius = (tas * KT) ** 2 / (G * math.tan(math.radians(abs(bank)))) / FT
    assert made("coordinated level turn: radius", inputs, "ft") == pytest.approx(radius, rel=1e-6)
    load = 1.0 / math.cos(math.radians(bank))
    assert made("load factor in a level turn", f"bank_deg={bank}", "g") == pytest.approx(load, rel=1e-6)
    assert made("stall speed in a level turn", f"vs_wings_level_kcas=48; bank_deg={bank}", "KCAS") == pytest.approx(
        48.0 * math.sqrt(load), rel=1e-6)


@fast
@given(st.floats(60.0, 250.0), st.sampled_from([(3.0, "standard"), (1.5, "half-standard")]), st.floats(-360.0, 360.0))
def test_standard_and_half_standard_rate(tas: float, rate: tuple[float, str], change: float) -> None:
    bank = math.degrees(math.atan(math.radians(rate[0]) * tas * KT / G))
    assert made(f"bank for a {rate[1]}-rate turn", f"tas_kt={tas}", "deg") == pytest.approx(bank)
    assert made(f"bank for a rate turn ({rate[0]} deg/s)", f"tas_kt={tas}", "deg") == pytest.approx(bank)
    seconds = abs(change) / rate[0]
    assert made(f"timed {rate[1]}-rate turn: time (lead ignored)", f"heading_change_deg={change}", "s") == (
        pytest.approx(seconds, abs=1e-4))


@fast
@given(st.floats(70.0, 140.0), st.floats(1500.0, 4000.0), st.floats(0.5, 1.0))
def test_maneuvering_speed_goes_with_the_root_of_the_weight(va: float, most: float, share: float) -> None:
    inputs = f"weight_lb={share * most}; va_max_kt={va}; weight_max_lb={most}"
    for spelling in ("maneuvering", "manoeuvring"):
        assert made(f"{spelling} speed at lower weight", inputs, "kt") == pytest.approx(va * math.sqrt(share))


@fast
@given(st.floats(-1000.0, 36_000.0), st.floats(30.0, 250.0))
def test_air_and_airspeeds_are_those_of_the_standard_atmosphere(feet: float, kcas: float) -> None:
    pascal, kelvin = isa(feet)
    where = f"pressure_altitude_ft={feet}"
    assert made("standard atmosphere: temperature", where, "K") == pytest.approx(kelvin)
    assert made("standard atmosphere: temperature", where, "C") == pytest.approx(kelvin - 273.15, abs=1e-6)
    assert made("standard atmosphere: pressure", where, "hPa") == pytest.approx(pascal / 100.0)
    assert made("standard atmosphere: density", where, "kg/m3") == pytest.approx(pascal / (GAS * kelvin))
    assert made("impact pressure from CAS", f"kcas={kcas}", "Pa") == pytest.approx(impact(kcas))
    mach = math.sqrt(5.0 * ((impact(kcas) / pascal + 1.0) ** (2.0 / 7.0) - 1.0))
    tas = mach * math.sqrt(1.4 * GAS * kelvin) / KT
    assert made("TAS from CAS, ISA temperature", f"{where}; kcas={kcas}", "kt") == pytest.approx(tas)
    assert made("CAS from TAS, ISA temperature", f"ktas={tas}; {where}", "kt") == pytest.approx(kcas)


@fast
@given(st.floats(500.0, 12_000.0), st.floats(-1500.0, 1500.0), st.floats(60.0, 160.0))
def test_blocked_lines_trap_their_pressure_above_and_below(blocked: float, change: float, kcas: float) -> None:
    # q = qc(true) + p(now) - p(blocked); q = p_total(blocked) - p(now); zero or less reads 0
    now = blocked + change
    then_pa, now_pa = isa(blocked)[0], isa(now)[0]
    where = f"now_at_ft={now}; blocked_at_ft={blocked}"
    assert made("static port blocked: ASI reading (zero or less reads 0)", f"true_kcas={kcas}; {where}", "kt") == (
        pytest.approx(indicated(impact(kcas) + now_pa - then_pa), abs=0.01))
    assert made("pitot and drain blocked: ASI reading", f"{where}; kcas_when_blocked={kcas}", "kt") == (
        pytest.approx(indicated(impact(kcas) + then_pa - now_pa), abs=0.01))
    assert made("static port blocked: altimeter reading", f"{where}; setting_hPa=1013.25", "ft") == (
        pytest.approx(blocked, abs=0.01))
    assert made("static ports plugged: altimeter", f"{where}; setting_hPa=1003", "ft") == (
        pytest.approx(pressure_height(then_pa, 100_300.0), abs=0.01))


def test_a_blocked_pitot_with_its_drain_open_reads_nothing() -> None:   # FAA-H-8083-15B, -25: airspeed falls to zero
    inputs = "blocked_at_ft=4000; now_at_ft=4000; kcas_when_blocked=100"
    assert made("pitot blocked, drain open: ASI reading", inputs, "kt") == pytest.approx(0.0, abs=0.5)


@fast
@given(st.floats(0.0, 12_000.0), st.floats(-400.0, 0.0), st.floats(60.0, 160.0), st.floats(970.0, 1045.0),
       st.floats(-20.0, 20.0))
def test_alternate_source_and_a_wrong_setting_displace_the_altimeter(
    feet: float, cabin: float, kcas: float, qnh: float, wrong: float,
) -> None:
    assert made("alternate static source: altimeter over-read",
                f"cabin_minus_ambient_Pa={cabin}; true_pressure_altitude_ft={feet}", "ft") == pytest.approx(
        pressure_height(isa(feet)[0] + cabin) - feet, abs=0.01)
    assert made("alternate static source: ASI reading", f"true_kcas={kcas}; cabin_minus_ambient_Pa={cabin}", "kt") == (
        pytest.approx(indicated(impact(kcas) - cabin)))
    static = qnh * 100.0 * isa(feet)[0] / SEA_PA
    assert made("altimeter over-read with a setting too high",
                f"set_hPa={qnh + wrong}; true_setting_hPa={qnh}; true_altitude_ft={feet}", "ft") == pytest.approx(
        pressure_height(static, (qnh + wrong) * 100.0) - feet, abs=0.01)


@fast
@given(st.floats(-75.0, 75.0), st.floats(-75.0, 75.0), st.floats(-250.0, 250.0))
def test_a_free_gyro_drifts_with_the_earth_in_both_hemispheres(latitude: float, nut: float, east: float) -> None:
    earth = -EARTH_DPH * math.sin(math.radians(latitude))
    assert made("heading indicator, ideal free gyro: apparent drift", f"latitude_deg={latitude}; stationary; no nut",
                "deg/h") == pytest.approx(earth, abs=1e-9)
    set_for = EARTH_DPH * math.sin(math.radians(nut))
    assert made("heading indicator with latitude nut: apparent drift",
                f"nut_set_for_deg={nut}; latitude_deg={latitude}", "deg/h") == pytest.approx(earth + set_for, abs=1e-9)
    carried = -east / 60.0 * math.tan(math.radians(latitude))
    way = f"east_groundspeed_kt={east}" if east > 0.0 else f"west_groundspeed_kt={-east}"
    assert made("heading indicator: transport wander", f"latitude_deg={latitude}; {way}", "deg/h") == pytest.approx(
        carried, abs=1e-9)


def apart(one: float, other: float) -> float:
    return abs((one - other + 180.0) % 360.0 - 180.0)


@fast
@given(st.floats(-65.0, 65.0), st.floats(-40.0, 40.0), st.floats(0.0, 359.9), st.floats(-3.0, 3.0))
def test_a_compass_settles_level_with_apparent_gravity(
    latitude: float, bank: float, heading: float, accel: float,
) -> None:
    h, b, e = math.radians(heading), math.radians(bank), math.atan(accel / G)
    tan_dip = 2.0 * math.tan(math.radians(latitude))
    turning = math.degrees(math.atan2(math.sin(h) * math.cos(b) - tan_dip * math.sin(b), math.cos(h)))
    assert apart(made("compass in a steady coordinated turn (bank + = right): steady reading",
                      f"magnetic_heading_deg={heading}; bank_deg={bank}; latitude_deg={latitude}", "deg"),
                 turning) < 1e-6
    dip = math.degrees(math.atan(tan_dip))
    straight = math.degrees(math.atan2(math.sin(h), math.cos(h) * math.cos(e) + tan_dip * math.sin(e)))
    assert apart(made("compass under steady forward acceleration, wings level: steady reading",
                      f"dip_deg={dip}; accel_mps2={accel}; magnetic_heading_deg={heading}", "deg"), straight) < 1e-6


@fast
@given(st.floats(0.0, 60.0), st.floats(0.0, 25.0), st.sampled_from(["north", "south", "east", "west"]),
       st.booleans())
def test_compass_turns_undershoot_north_and_overshoot_south(lat: float, bank: float, to: str, right: bool) -> None:
    # FAA-H-8083-15, compass turns; lead is half the bank
    target = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}[to]
    before = bank / 2.0 + {"north": lat, "south": -lat}.get(to, 0.0)
    way = "right" if right else "left"
    reading = made("compass turn, rule of thumb: compass reading at which to start the roll-out",
                   f"bank_deg={bank}; {way}_turn_to={to}; latitude_deg={lat}", "deg")
    assert apart(reading, target - before if right else target + before) < 1e-9


@fast
@given(st.floats(5.0, 60.0), st.sampled_from([1.0, 5.0, 20.0]), st.floats(1.0, 80.0), st.floats(1.0, 1.4))
def test_battery_life_is_peukerts(capacity: float, hours: float, amps: float, exponent: float) -> None:
    life = hours * (capacity / (amps * hours)) ** exponent * 60.0
    assert made("battery life at constant current, Peukert",
                f"current_A={amps}; exponent={exponent}; capacity_Ah={capacity}; rated_hours={hours}", "min") == (
        pytest.approx(life, rel=1e-9))


@pytest.mark.parametrize(("situation", "inputs", "unit", "value"), [
    ("COORDINATED LEVEL TURN: heading rate", "bank_deg = 30 ; tas_kt = 120", "deg/s", 5.255),
    ("coordinated level turn: heading rate; left", "bank_deg=-30; tas_kt=120", "deg/s", -5.255),
    ("coordinated level turn: heading rate", "bank=30 deg, tas=120 kt", "deg/s", 5.255),
    ("coordinated level turn: radius", "bank_deg=30; tas_mps=61.733", "m", 673.1),
    ("heading indicator, ideal free gyro: apparent drift (south)", "latitude=30S; no nut", "deg/h", 7.520),
    ("altimeter over-read with a setting too high", "true_altitude_ft=0; set_inHg=30.92; true_setting_inHg=29.92", "ft",
     907.0),
    ("TAS from CAS, ISA+10", "kcas=100; pressure_altitude_ft=10000", "kt", 116.22 * (278.338 / 268.338) ** 0.5),
    ("TAS from CAS", "kcas=100; pressure_altitude_ft=10000; oat_c=5.188", "kt", 116.22 * (278.338 / 268.338) ** 0.5),
    ("timed turn", "heading_change_deg=45; rate_deg_per_s=1.5", "s", 30.0),
    ("heading indicator, free gyro: apparent drift", "latitude_deg=30; no nut; after_min=15", "deg", -1.88),
    ("battery life, Peukert", "capacity_Ah=24; current_A=35; exponent_k=1.2", "h", 38.2 / 60.0),
    ("compass turn, rule of thumb: roll-out", "bank_deg=16; turn_to=S; turn=right; latitude_deg=40", "deg", 212.0),
    ("alternate static source: airspeed over-read", "true_kcas=110; cabin_below_ambient_hPa=1.5", "kt", 4.07),
    ("static ports closed: VSI", "blocked_at_ft=6000; now_at_ft=6900", "ft/min", 0.0),
    ("timed half standard rate turn", "heading_change_deg=45", "s", 30.0),   # FAA-H-8083-15A p. 5-21
    ("compass turn, rule of thumb: roll-out", "latitude_deg=30; left_turn_to=360; bank_deg=14", "deg", 37.0),
])
def test_other_words_and_units_mean_the_same(situation: str, inputs: str, unit: str, value: float) -> None:
    assert made(situation, inputs, unit) == pytest.approx(value, rel=2e-3)


@pytest.mark.parametrize(("situation", "inputs", "why"), [
    ("colour of the sky", "bank_deg=3", "no kind of situation"),
    ("coordinated level turn: heading rate", "tas_kt=120", "needs the bank"),
    ("coordinated level turn: heading rate", "bank_deg=30; tas_kt=0", "more than nothing"),
    ("coordinated level turn: heading rate", "bank_deg=90; tas_kt=100", "no level turn"),
    ("coordinated level turn: radius", "bank_deg=0; tas_kt=100", "no radius"),
    ("standard atmosphere: pressure", "pressure_altitude_ft=90000", "outside the model's air"),
    ("standard atmosphere: pressure", "pressure_altitude_ft=nan", "needs the pressure altitude"),
    ("pitot blocked: ASI reading", "blocked_at_ft=1; now_at_ft=2; kcas_when_blocked=90", "say which"),
    ("heading indicator: apparent drift", "latitude_deg=91", "no latitude"),
    ("compass turn, rule of thumb: lead", "latitude_deg=40; turn_to=north; bank_deg=10", "way of the turn"),
    ("battery life, Peukert", "capacity_Ah=0; current_A=3", "more than nothing"),
    ("load factor in a level turn", "bank=30 stone", "the unit 'stone'"),
])
def test_what_cannot_be_computed_is_said(situation: str, inputs: str, why: str) -> None:
    with pytest.raises(CannotComputeError, match=why):
        computed(situation, inputs)


@fast
@given(st.text(max_size=60), st.text(alphabet="abklst_=;,0123456789.-eE ()", max_size=60))
def test_any_words_at_all_give_a_number_or_a_reason(situation: str, inputs: str) -> None:
    for words in (situation, "stall " + situation, "compass " + situation, "isa pressure " + situation):
        with suppress(CannotComputeError):
            assert math.isfinite(computed(words, inputs)[0].value)


GOOD = "A1,load factor in a level turn,bank_deg=60,2,g,0.01,closed form"


@pytest.mark.parametrize(("row", "why"), [
    ("A2,load factor in a level turn,bank_deg=60,two,g,0.01,x", ":3: expected is 'two': write a number"),
    ("A2,load factor in a level turn,bank_deg=60,nan,g,0.01,x", ":3: expected is 'nan'"),
    ("A2,load factor in a level turn,bank_deg=60,2,g,-1,x", ":3: tolerance is below zero"),
    ("A2,load factor in a level turn,bank_deg=60,2,furlong,1,x", ":3: 'furlong' is no unit"),
    ("A2,load factor", ":3: has 2 cells where the first line has 7"),
    ("A1,load factor in a level turn,bank_deg=60,2,g,0.01,x", ":3: the id stands on line 2 already"),
    ("A2,tea,bank_deg=60,2,g,0.01,x", ":3: no kind of situation"),
])
def test_a_broken_row_is_named_with_its_line_and_the_others_are_compared(
    row: str, why: str, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["compare", str(file_of(tmp_path, GOOD, row))]) == 1
    printed = capsys.readouterr().out
    assert "values.csv" + why in printed
    assert "not computed" in printed
    assert printed.endswith("1 of 2 within tolerance\n")


Write = Callable[[Path], object]


@pytest.mark.parametrize(("write", "why"), [
    (lambda path: None, "cannot be read"),
    (lambda path: path.mkdir(), "cannot be read"),
    (lambda path: path.write_text(""), ":1:1: has no column id"),
    (lambda path: path.write_text("id,situation\n1,2\n"), ":1:1: has no column inputs, expected"),
    (lambda path: path.write_bytes(b"id,situation\n1,\xff\n"), ":2:3: is not UTF-8"),
    (lambda path: path.write_text(",".join(COLUMNS) + '\nA,"open\n'), ": is not CSV"),
])
def test_a_file_that_is_no_table_is_an_error_in_words(
    write: Write, why: str, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / "bad.csv"
    write(path)
    assert main(["compare", str(path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert why in printed.err
    assert "Traceback" not in printed.err


def test_text_of_a_table_is_cleaned_before_it_is_shown(tmp_path: Path) -> None:
    path = file_of(tmp_path, "\x1b[31mA1,load factor \x1b]0;x\x07in a level\u202e turn,bank_deg=60,2,g,0.01,x")
    shown = table(compare(path))
    assert not any(ord(each) < 32 for each in shown.replace("\n", ""))
    assert "\u202e" not in shown
    assert shown.endswith("1 of 1 within tolerance")


def test_an_input_of_no_use_is_said(tmp_path: Path) -> None:
    row = compare(file_of(tmp_path, "A1,load factor in a level turn,bank_deg=60; mass_lb=2000,2,g,0.01,x"))[0]
    assert row.state == "ok"
    assert row.why.endswith("values.csv:2: mass_lb made no difference")


def test_angles_are_compared_round_the_circle(tmp_path: Path) -> None:
    asked = "latitude_deg=0; bank_deg=0; magnetic_heading_deg=359.95"
    row = f"A1,compass in a steady coordinated turn: steady reading,{asked},0,deg,0.1,x"
    assert compare(file_of(tmp_path, row))[0].state == "ok"


def test_a_table_larger_than_any_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    path.write_bytes(b"x" * 4_000_001)
    with pytest.raises(BadTableError, match="larger than 4,000,000 bytes"):
        compare(path)


def test_a_reader_that_leaves_and_a_terminal_of_few_characters_end_no_command_with_a_traceback(tmp_path: Path) -> None:
    row = "load factor in a level turn,bank_deg=60,2,g,0.01,x"
    path = file_of(tmp_path, *(f"\u00e9{count},{row}" for count in range(1000)))   # more than a pipe holds
    command = f"PYTHONIOENCODING=ascii {sys.executable} -m drill.airplane compare {path} | head -n 2"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)   # noqa: S607
    assert done.stderr == ""
    assert done.stdout.splitlines()[1].startswith("?0 ")
