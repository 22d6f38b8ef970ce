"""Alternator, battery and bus: how long the battery lasts, what goes dark first, and what shedding gains."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane import CATALOGUE, Active, Airframe, Controls, Faults, Start, World, electrical, faults_at
from drill.airplane.constants import OVER_VOLTS, STEP_S

from .flights import CHECKS, Single, single

ON_BATTERY = Faults(alternator=0.0)


# Peukert's law, t = H (C / (I H))^k
@pytest.mark.parametrize("row", ["P46", "P47"])
def test_battery_life_at_constant_current(row: str) -> None:
    check = CHECKS[row]
    given_ = check.given
    assert check.holds(electrical.life_min(given_["current_A"], given_["capacity_Ah"], given_["rated_hours"],
                                           given_["exponent"]))


# The same by hand: 60 (24 / I)^1.2 minutes at 24 Ah and one hour
@pytest.mark.parametrize(("amps", "minutes"), [(8.0, 224.0), (12.0, 138.0), (18.0, 85.0), (24.0, 60.0), (35.0, 38.0),
                                               (45.0, 28.0)])
def test_twice_the_current_is_less_than_half_the_time(amps: float, minutes: float) -> None:
    assert electrical.life_min(amps) == pytest.approx(minutes, abs=0.6)


@pytest.mark.parametrize(("amps", "reached"), [
    # minutes to 24.5 V (light), 24, 21, 20 and 18 V: worked out beforehand from the battery's figures [C]
    (20.0, {24.5: 1.2, 24.0: 8.3, 21.0: 60.7, 20.0: 64.8, 18.0: 73.0}),
    (35.0, {24.0: 0.4, 21.0: 20.8, 20.0: 27.9, 18.0: 33.8}),
])
def test_the_bus_sinks_past_its_limits_when_it_should(amps: float, reached: dict[float, float],
                                                      monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(electrical, "load_a", lambda *_: amps)
    world, bus = World(), electrical.start(0.0)
    seen: dict[float, float] = {}
    for count in range(round(80 * 60 / STEP_S)):
        bus = electrical.advance(world, bus, Controls(), ON_BATTERY, 2400.0)
        for volts in reached:
            if bus.volts < volts:
                seen.setdefault(volts, count * STEP_S / 60.0)
    assert seen == pytest.approx(reached, abs=0.25)


def test_half_an_hour_on_the_battery_with_what_instrument_flight_needs() -> None:
    # 14 CFR 23.1353(h), text before 2017: 30 minutes
    needs = Controls(alternator=0.0, strobes=0.0, nav_lights=1.0)
    assert electrical.life_min(electrical.load_a(World(), needs)) > 30.0


@pytest.mark.parametrize("switch", ["nav_lights", "strobes", "beacon", "gps", "transponder", "second_radio",
                                    "avionics"])
def test_each_load_that_is_shed_gains_minutes(switch: str) -> None:
    world = World()
    with_it, without = (electrical.load_a(world, Controls(alternator=0.0, **{switch: on})) for on in (1.0, 0.0))
    assert electrical.life_min(without) > electrical.life_min(with_it) + 1.0


def on_the_battery(minutes: float, **switches: float) -> Single:
    return single(faults=ON_BATTERY, controls=Controls(alternator=0.0, **switches)).fly(minutes * 60.0)


def volts_of(flight: Single, volts: float) -> Single:
    """The same flight with a battery at which the bus has these volts."""
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = (low + high) / 2.0
        bus = replace(flight.state.electrical, charge=middle, surface_volts=0.0)
        now = electrical.advance(flight.world, bus, flight.controls, flight.faults, 2400.0).volts
        low, high = (middle, high) if now < volts else (low, middle)
    flight.state = replace(flight.state, electrical=replace(flight.state.electrical, charge=high, surface_volts=0.0))
    return flight.fly(1.0)


def test_the_order_in_which_things_go_dark() -> None:
    # transmitter below 21 V, transponder 20, GPS 18, receiver 16 (chosen)
    flight = on_the_battery(0.1)
    dark = []
    for volts in (22.0, 20.5, 19.0):
        flight = volts_of(flight, volts)
        panel = flight.panel
        dark.append((electrical.transmits(flight.controls, flight.faults, panel.volts), panel.transponder_on > 0.5,
                     panel.gps_on > 0.5, panel.radio_on > 0.5))
    assert dark == [(True, True, True, True), (False, True, True, True), (False, False, True, True)]
    for volts, receives in ((17.0, 1.0), (15.0, 0.0)):
        bus = replace(flight.state.electrical, volts=volts)
        assert electrical.radio_on(flight.world, bus, flight.controls, flight.faults) == receives


def failed(part: str, how: str, seconds: float, **controls: float) -> Single:
    flight = single(controls=Controls(**controls))
    for second in range(round(seconds)):
        flight.faults = faults_at([Active(CATALOGUE[part, how], float(second))])
        flight.fly(1.0)
    return flight


def test_a_regulator_that_sticks_high_climbs_and_trips_the_field_and_the_switch_brings_it_back() -> None:
    flight = failed("voltage regulator", "sticks high", 15.0)
    assert 28.5 < flight.panel.volts <= OVER_VOLTS
    assert flight.panel.amps > 1.0
    flight = failed("voltage regulator", "sticks high", 60.0)
    assert flight.panel.volts < 27.0
    assert flight.panel.amps < 0.0
    flight.controls = Controls(alternator=0.0)
    flight.fly(2.0)
    flight.controls, flight.faults = Controls(), Faults()
    assert flight.fly(2.0).panel.volts == 28.0


def test_a_slipping_belt_carries_little_and_no_more() -> None:
    little = failed("alternator", "belt slips", 5.0, strobes=0.0, nav_lights=0.0)
    assert (little.panel.volts, little.panel.low_voltage_light) == (28.0, 0.0)
    much = failed("alternator", "belt slips", 5.0, pitot_heat=1.0, landing_light=1.0)
    assert much.panel.amps < -20.0


def test_without_the_main_bus_all_that_is_electric_is_dark_and_the_rest_goes_on() -> None:
    panel = failed("main bus", "loses all power", 180.0).panel
    assert (panel.volts, panel.radio_on, panel.transponder_on, panel.gps_on) == (0.0, 0.0, 0.0, 0.0)
    assert panel.turn_flag == 1.0
    assert panel.suction_inhg == pytest.approx(5.0, abs=0.1)
    assert abs(panel.bank_deg) < 10.0


def test_the_avionics_bus_takes_the_radios_and_leaves_the_needle() -> None:
    panel = failed("avionics bus", "loses power", 5.0).panel
    assert (panel.radio_on, panel.transponder_on, panel.gps_on, panel.turn_flag) == (0.0, 0.0, 0.0, 0.0)
    assert panel.volts == 28.0


def test_the_second_radio_speaks_for_a_dead_transmitter() -> None:
    dead = Faults(transmitter=0.0)
    assert electrical.transmits(Controls(), dead, 28.0)
    assert not electrical.transmits(Controls(second_radio=0.0), dead, 28.0)
    assert not electrical.transmits(Controls(avionics=0.0), Faults(), 28.0)


def test_a_stopped_engine_takes_alternator_and_full_suction_along_at_gliding_speed() -> None:
    flight = single(faults=Faults(engine=0.0), start=Start(altitude_ft=8000.0, airspeed_kt=80.0),
                    controls=Controls(altitude_ft=2000.0, airspeed_kt=75.0)).fly(60.0)
    assert 600.0 < flight.panel.rpm < 1000.0      # windmilling
    assert flight.panel.amps < 0.0
    assert flight.panel.suction_inhg < 4.0
    assert flight.panel.vertical_speed_fpm < -300.0


@given(st.lists(st.sampled_from([0.0, 1.0]), min_size=8, max_size=8), st.floats(0.0, 1.0), st.floats(0.2, 1.0))
@settings(max_examples=60)
def test_an_old_battery_never_outlasts_a_new_one(switches: list[float], charge: float, share: float) -> None:
    names = ("pitot_heat", "landing_light", "nav_lights", "strobes", "beacon", "gps", "transponder", "avionics")
    controls = Controls(alternator=0.0, **dict(zip(names, switches, strict=True)))
    world, bus = World(), replace(electrical.start(0.0), charge=charge)
    new = electrical.advance(world, bus, controls, ON_BATTERY, 2400.0)
    old = electrical.advance(world, bus, controls, Faults(alternator=0.0, battery_capacity=share), 2400.0)
    assert old.charge <= new.charge <= charge


def test_a_bigger_battery_lasts_longer() -> None:
    charges = [single(airframe=Airframe(battery_ah=ah), faults=ON_BATTERY).fly(60.0).truth.battery_charge
               for ah in (12.0, 24.0, 48.0)]
    assert all(less < more for less, more in pairwise(charges))
