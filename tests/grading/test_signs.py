"""Each sign of a failure, one second at a time: what the panel must show for it, and where nothing can be told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.airplane.failures import CATALOGUE
from drill.flight.events import Trace
from drill.grading import signs
from drill.grading.signs import SIGNS_OF, Sign, airspeed_by_pitch_kt

from .builders import flown

ONE = next(event for event in flown(seconds=1) if isinstance(event, Trace))
BANK_OF_TURN = 18.0        # of a standard-rate turn at 110 kt and 5,000 ft, a little less than the formula's 18.03


def trace(shown: dict[str, float], *facts: str, t: float = 600.0) -> Trace:
    return replace(ONE, t=t, shown={**ONE.shown, **shown}, facts=facts)


def beyond(sign: Sign, shown: dict[str, float], *facts: str, t: float = 600.0) -> bool | None:
    """Whether the sign is there at this second; None where nothing can be told."""
    apart = sign.apart(trace(shown, *facts, t=t))
    return None if apart is None else abs(apart) > sign.limit if sign.wanders else apart > sign.limit


@pytest.mark.parametrize(("sign", "shown", "seen"), [
    (signs.SUCTION, {"suction_inhg": 3.99}, True), (signs.SUCTION, {"suction_inhg": 4.0}, False),
    (signs.SUCTION, {"suction_inhg": 0.0, "rpm": 900.0}, None),          # at idle it proves nothing
    (signs.SUCTION_HIGH, {"suction_inhg": 5.6}, True), (signs.SUCTION_HIGH, {"suction_inhg": 5.5}, False),
    (signs.VACUUM_LIGHT, {"low_vacuum_light": 1.0}, True), (signs.VACUUM_LIGHT, {"low_vacuum_light": 0.0}, False),
    (signs.TUMBLED, {"attitude_tumbled": 1.0}, True), (signs.TUMBLED, {}, False),
    (signs.BANKS, {"bank_deg": 6.4}, True), (signs.BANKS, {"bank_deg": 6.0}, False),
    (signs.BANKS, {"bank_deg": -6.4}, True), (signs.BANKS, {"bank_deg": BANK_OF_TURN, "turn_rate_dps": 3.0}, False),
    (signs.BANKS, {"bank_deg": -BANK_OF_TURN, "turn_rate_dps": 3.0}, True),
    (signs.BANKS, {"bank_deg": BANK_OF_TURN - 8.0, "turn_rate_dps": 3.0}, False),     # nobody demands it in a turn
    (signs.BANKS, {"bank_deg": 20.0, "turn_flag": 1.0}, None),
    (signs.BANKS, {"bank_deg": 20.0, "attitude_tumbled": 1.0}, None),
    (signs.BANKS, {"bank_deg": 40.0, "turn_rate_dps": 5.0}, None),        # the needle is at its stop
    (signs.BANKS, {"bank_deg": -40.0, "turn_rate_dps": 5.0}, True),
    (signs.HEADINGS, {"heading_deg": 250.1}, True), (signs.HEADINGS, {"heading_deg": 229.9}, True),
    (signs.HEADINGS, {"heading_deg": 250.0}, False),
    (signs.HEADINGS, {"heading_deg": 5.0, "compass_deg": 356.0}, False),
    (signs.HEADINGS, {"heading_deg": 7.0, "compass_deg": 356.0}, True),
    (signs.HEADINGS, {"heading_deg": 300.0, "turn_rate_dps": 1.1}, None),
    (signs.HEADINGS, {"heading_deg": 300.0, "turn_rate_dps": -1.1}, None),
    (signs.HEADINGS, {"heading_deg": 300.0, "turn_rate_dps": 1.0}, True),
    (signs.TURN_FLAG, {"turn_flag": 1.0}, True), (signs.TURN_FLAG, {}, False),
    (signs.VOLTAGE_LIGHT, {"low_voltage_light": 1.0}, True), (signs.VOLTAGE_LIGHT, {}, False),
    (signs.DISCHARGE, {"amps": -3.1}, True), (signs.DISCHARGE, {"amps": -3.0}, False),
    (signs.NO_AIRSPEED, {"airspeed_kt": 42.9}, True), (signs.NO_AIRSPEED, {"airspeed_kt": 43.0}, False),
    (signs.NO_AIRSPEED, {"airspeed_kt": 0.0, "vertical_speed_fpm": -1001.0}, None),   # a dive out of a stall
    (signs.NO_AIRSPEED, {"airspeed_kt": 0.0, "rpm": 1800.0}, None),
    (signs.NO_AIRSPEED, {"airspeed_kt": 0.0, "rpm": 1801.0, "vertical_speed_fpm": -1000.0}, True),
    (signs.AIRSPEED_BY_PITCH, {}, False), (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0}, True),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 60.0}, True),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0, "bank_deg": 10.1}, None),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0, "bank_deg": -10.1}, None),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0, "bank_deg": 10.0}, True),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0, "attitude_tumbled": 1.0}, None),
    (signs.AIRSPEED_BY_PITCH, {"airspeed_kt": 150.0, "pitch_deg": -20.0}, None),
    (signs.DEAD_STILL, {"vertical_speed_fpm": 1.9}, True), (signs.DEAD_STILL, {"vertical_speed_fpm": -2.0}, False),
    (signs.DEAD_STILL, {"vertical_speed_fpm": 0.0, "airspeed_kt": 42.9}, None),
    (signs.DEAD_STILL, {"vertical_speed_fpm": 0.0, "airspeed_kt": 43.0}, True),
    (signs.VOLTS_HIGH, {"volts": 30.1}, True), (signs.VOLTS_HIGH, {"volts": 30.0}, False),
    (signs.BUS_DEAD, {"volts": 9.9}, True), (signs.BUS_DEAD, {"volts": 10.0}, False),
    (signs.GPS_DARK, {"gps_on": 0.0}, True), (signs.GPS_DARK, {"gps_on": 1.0}, False),
    (signs.RADIO_DARK, {"radio_on": 0.0}, True), (signs.RADIO_DARK, {"radio_on": 1.0}, False),
    (signs.TRANSPONDER_DARK, {"transponder_on": 0.0}, True), (signs.TRANSPONDER_DARK, {"transponder_on": 1.0}, False),
    (signs.STANDBY_FLAG, {"standby_flag": 1.0}, True), (signs.STANDBY_FLAG, {"standby_flag": 0.0}, False),
    (signs.STANDBY_BANK, {"standby_bank_deg": 6.1}, True), (signs.STANDBY_BANK, {"standby_bank_deg": 6.0}, False),
    (signs.STANDBY_BANK, {"standby_bank_deg": 10.0, "bank_deg": 10.0}, False),
    (signs.STANDBY_BANK, {"standby_bank_deg": 60.0, "standby_flag": 1.0}, None),
    (signs.STANDBY_BANK, {"standby_bank_deg": 60.0, "attitude_tumbled": 1.0}, None),
    (signs.AUTOPILOT_BANKS, {"autopilot_on": 1.0, "bank_deg": -30.1}, True),
    (signs.AUTOPILOT_BANKS, {"autopilot_on": 1.0, "bank_deg": 30.0}, False),
    (signs.AUTOPILOT_BANKS, {"bank_deg": 60.0}, None),
    (signs.RPM_LOW, {"rpm": 1799.0}, True), (signs.RPM_LOW, {"rpm": 1800.0}, False),
])
def test_a_sign_is_there_when_its_reading_is_beyond_its_limit(
    sign: Sign, shown: dict[str, float], seen: bool | None,
) -> None:
    assert beyond(sign, shown) is seen


@pytest.mark.parametrize(("sign", "facts", "t", "seen"), [
    (signs.TUMBLED, ("is parked",), 299.0, None), (signs.TUMBLED, ("is taxiing",), 299.0, None),
    (signs.TUMBLED, ("is parked",), 300.0, True), (signs.TUMBLED, (), 10.0, True),
    (signs.BANKS, ("is taxiing",), 600.0, None), (signs.BANKS, ("is parked",), 200.0, None),
    (signs.BANKS, ("is parked",), 600.0, True), (signs.HEADINGS, ("is parked",), 600.0, None),
    (signs.HEADINGS, ("is taxiing",), 600.0, None),
])
def test_on_the_ground_gyros_are_given_time_and_a_turn_has_no_bank(
    sign: Sign, facts: tuple[str, ...], t: float, seen: bool | None,
) -> None:
    # up to five minutes after the start: FAA-H-8083-15 (1999), FAA-H-8083-15A p. 3-37
    shown = {"heading_deg": 300.0} if sign is signs.HEADINGS else {"bank_deg": 20.0}
    assert beyond(sign, {**shown, "attitude_tumbled": 1.0} if sign is signs.TUMBLED else shown, *facts, t=t) is seen


def since(sign: Sign, before: dict[str, float], now: dict[str, float], seconds: float) -> float | None:
    assert sign.since is not None
    return sign.since[1](trace(now, t=600.0 + seconds), trace(before))


def test_a_climb_by_the_needle_is_set_against_the_feet_that_the_altimeter_gained() -> None:
    climbing = {"vertical_speed_fpm": 500.0}
    assert since(signs.CLIMBS, climbing, {**climbing, "altitude_ft": 5250.0}, 30.0) == pytest.approx(0.0)
    assert since(signs.CLIMBS, {"vertical_speed_fpm": 300.0}, {**climbing, "altitude_ft": 5100.0},
                 30.0) == pytest.approx(200.0)
    assert since(signs.CLIMBS, climbing, climbing, 0.0) is None
    assert since(signs.CLIMBS, climbing, {**climbing, "altimeter_setting_hpa": 1000.0}, 30.0) is None


def test_hands_of_the_altimeter_stick_where_they_do_not_move_while_the_needle_shows_a_climb() -> None:
    down = {"vertical_speed_fpm": -400.0}
    assert since(signs.HANDS_STICK, down, {**down, "altitude_ft": 5001.9}, 5.0) == 400.0
    assert since(signs.HANDS_STICK, down, {**down, "altitude_ft": 4998.0}, 5.0) == 0.0


def test_an_autopilot_has_let_go_where_its_light_was_on_and_is_out() -> None:
    assert since(signs.AUTOPILOT_OFF, {"autopilot_on": 1.0}, {"autopilot_on": 0.0}, 10.0) == 1.0
    assert since(signs.AUTOPILOT_OFF, {"autopilot_on": 0.0}, {"autopilot_on": 0.0}, 10.0) == 0.0
    assert signs.AUTOPILOT_OFF.apart(trace({})) is None


def test_a_pitch_that_asks_for_no_lift_says_nothing_of_the_speed_and_more_of_it_says_less_speed() -> None:
    assert airspeed_by_pitch_kt(-6.0, 0.0) is None
    level, nose_up, climbing = (airspeed_by_pitch_kt(*each) for each in ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0)))
    assert level is not None
    assert nose_up is not None
    assert nose_up < level - 20.0
    assert climbing == pytest.approx(level)
    assert 100.0 < level < 130.0       # the airplane of the class in cruise


def test_every_part_that_can_fail_has_its_signs_and_only_latent_ones_have_none() -> None:
    assert {part for part, _ in CATALOGUE} == set(SIGNS_OF)
    assert {part for part, given in SIGNS_OF.items() if not given} == {
        "suction gauge", "low vacuum light", "standby vacuum", "low voltage light", "transmitter"}
