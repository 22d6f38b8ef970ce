"""Parity residuals: what two independent sources say of the same thing, one less the other. Zero but for errors.

Each is a number a second, of readings alone. Where the airplane's own numbers enter (its lift and drag, its propeller)
they stand for what a pilot knows of pitch, power and airspeed by heart; this makes the clock a lower bound.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from drill.airplane import atmosphere, compass, motion
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS
from drill.airplane.constants import (
    CARBURETTOR_HEAT_POWER,
    DEG,
    FLAP_DRAG_PER_DEG,
    FOOT,
    FPM,
    GPS_LAG_S,
    KNOT,
    LIFT_ZERO_PITCH,
    RAD,
    SEA_PRESSURE_PA,
    TAS_MIN_MPS,
    TURN_CANT,
    VSI_LEAK_S,
    VSI_MOST_FPM,
    G,
)
from drill.airplane.controls import Controls
from drill.airplane.world import World
from drill.evidence.erection import turn_errors
from drill.evidence.filters import carried_on, change, held_for, lately, mean_of_late, turned, wrapped
from drill.evidence.readings import Readings

USES: Mapping[str, tuple[str, ...]] = {
    "bank and needle": ("bank_deg", "turn_rate_dps"),
    "card and needle": ("heading_deg", "turn_rate_dps"),
    "compass and card": ("compass_deg", "heading_deg"),
    "compass and card lately": ("compass_deg", "heading_deg"),
    "pitch and altimeter": ("pitch_deg", "airspeed_kt", "altitude_ft"),
    "vertical speed and altimeter": ("vertical_speed_fpm", "altitude_ft"),
    "power and airspeed": ("airspeed_kt", "altitude_ft", "rpm"),
    "throttle and tachometer": ("rpm", "throttle", "airspeed_kt"),
    "track and card": ("track_deg", "heading_deg"),
    "groundspeed and airspeed": ("groundspeed_kt", "airspeed_kt"),
    "standby and bank": ("standby_bank_deg", "bank_deg"),
    "standby and pitch": ("standby_pitch_deg", "pitch_deg"),
    "bank and card": ("bank_deg", "heading_deg"),
    "standby and card": ("standby_bank_deg", "heading_deg"),
}
"""The residuals, in the order of their columns, and the readings that each compares."""

SAYS: Mapping[str, str] = {
    "bank and needle": "the attitude indicator's bank and the turn coordinator",
    "card and needle": "the heading indicator and the turn coordinator",
    "compass and card": "the compass and the heading indicator",
    "compass and card lately": "the compass and the heading indicator, over the last minutes,",
    "pitch and altimeter": "the pitch with the airspeed, and what the altimeter did",
    "vertical speed and altimeter": "the vertical speed indicator and the altimeter",
    "power and airspeed": "the power on the tachometer and what airspeed and altitude did",
    "throttle and tachometer": "the throttle and the tachometer",
    "track and card": "the GPS track and the heading indicator",
    "groundspeed and airspeed": "the GPS groundspeed and the airspeed",
    "standby and bank": "the standby attitude display's bank and the attitude indicator's",
    "standby and pitch": "the standby attitude display's pitch and the attitude indicator's",
    "bank and card": "the attitude indicator's bank and the heading indicator",
    "standby and card": "the standby attitude display and the heading indicator",
}
"""What each compares, in words."""

NAMES = tuple(USES)
STILL = ("vertical_speed_fpm", "airspeed_kt", "pitch_deg")
"""Needles that rough air keeps moving: how lively each is, is a residual of another kind."""

WITHOUT_NEEDLE = ("bank and card", "standby and card")
"""Asked only while there is no turn coordinator to be read (`asked`), the second only without a horizon besides: they
say nothing that the others do not."""

NEEDLE_FULL_DPS = 5.0        # beyond, the turn needle is at its stop and shows no rate
BANK_MOST_DEG = 60.0         # beyond, nobody cross-checks
STRAIGHT_DPS = 0.8           # what counts as straight, on two of needle, horizon and card, and for how long
STRAIGHT_S = 12
SWINGS_DPS, SWINGS_S = 3.0, 5.0   # nobody reads a card that swings faster, in the mean of so long
TAN_DIP = 2.0                # of the field, in middle latitudes
DIPS_S, DIPS_DEG = 10.0, 2.0   # in the mean of so long; so much of it doubles nearly what is allowed for
GAIN_S = 5.0                 # so long a mean of what speed is gained erects a horizon
TURN_SLACK = 0.15 / 0.25     # nobody demands straight flight's agreement in a turn: for each deg/s beyond half of one
CLIMB_SLACK = 0.6              # nor level flight's in a climb: for each m/s beyond 0.7
CLIMB_FREE_MPS = 0.7
GAIN_SLACK, GAIN_FREE_MPS2 = 3.0, 0.5   # the GPS lags: for each m/s2 of speed gained or lost beyond a little
OVER_S = 8                # and until so long after either
SLOW_SLACK, SLOW_FREE = 20.0, 0.35   # nor a polar's where gusts come near the stall: for each share of the lift beyond
SLOW_S = 15.0             # by airspeed and by pitch as well, averaged over so long
REMEMBERS_S = 600.0          # so long are remembered the wind that the GPS has shown, and how compass and card stood:
REMEMBERS_LEAST = 0.1        # a card creeps a little by itself; a minute of either before it says anything
LIVELY_S, BEFORE_S = 15.0, 10.0   # the variance over this time of what is quicker than that
MOMENT_S, UNREST_S, UNREST_LEAST = 3.0, 120.0, 0.3   # how rough the air is
LULL_S = 300                 # a lull so long does not make it smooth
KNOB_DEG = 10.0              # a card that jumps further within a second was set with its knob
_LEAST = 0.6


def _air(readings: Readings) -> tuple[Any, Any]:
    """Return pressure (Pa) and temperature (K) outside, by altimeter and thermometer."""
    height = np.clip(_altitude_at_standard_ft(readings), -1000.0, 30_000.0) * FOOT
    return atmosphere.pressure_pa(height), atmosphere.temperature_k(height, readings["warmer_c"])


def _true_airspeed_mps(readings: Readings) -> Any:
    """Return the true airspeed (m/s) that goes with the readings."""
    return atmosphere.tas_mps(ARRAYS, np.clip(readings["airspeed_kt"], 0.0, 400.0) * KNOT, *_air(readings))


def _credible(tas: Any, frame: Airframe) -> Any:
    """Return the airspeed (m/s) that turns are reckoned with: the last minutes' that the airplane can fly at."""
    flies = np.where(tas > 0.8 * frame.stall_kt * KNOT, tas, np.nan)
    late = mean_of_late(flies, 60.0, 1e-6)
    usual = 2.0 * frame.stall_kt * KNOT
    return np.where(np.isfinite(late), late, usual)


def _altitude_at_standard_ft(readings: Readings) -> Any:
    """Return the altimeter's reading as at the standard setting, so that turning its knob moves nothing."""
    setting = readings["altimeter_setting_hpa"] * 100.0
    pressure = atmosphere.pressure_pa(readings["altitude_ft"] * FOOT) / SEA_PRESSURE_PA * setting
    return atmosphere.altitude_m(pressure) / FOOT


def residuals(readings: Readings, frame: Airframe) -> tuple[Any, Any, Any]:
    """Return the residuals (T, N, R) in the order of `NAMES`, and how lively the needles of `STILL` are (T, N, S).

    NaN: nothing can be told at that moment. Units are those of the readings compared (deg, deg/s, m/s, kt, rpm);
    liveliness is the logarithm of a variance. The third, (T, N, 2), is by how much (deg, one sigma) a healthy horizon
    may have leant otherwise, in bank and in pitch, than is reckoned here; less where residuals are given slack.
    """
    needle = readings["turn_rate_dps"]
    height = _altitude_at_standard_ft(readings)
    tas = _true_airspeed_mps(readings)
    speed = _credible(tas, frame)
    banked, standby = (np.where(np.abs(readings[name]) < BANK_MOST_DEG, readings[name], np.nan)
                       for name in ("bank_deg", "standby_bank_deg"))
    by_card = turned(readings["heading_deg"])
    by_card = np.where(np.abs(by_card) < KNOB_DEG, by_card, np.nan)
    level = np.zeros_like(banked)
    rate = _most_say(3.0, needle, _in_bank(banked, speed), by_card)
    bank = banked - turn_errors(banked, rate, level)[0]   # what leans in a turn shows less of it than is flown
    rate = _most_say(3.0, needle, _in_bank(bank, speed), by_card)
    leans, nods, _ = turn_errors(banked, rate, level)
    _, gained, strays = turn_errors(banked, rate, _gain(readings, tas, rate))
    bank = banked - leans
    by_bank, by_standby = _in_bank(bank, speed), _in_bank(standby, speed)
    shown = _by_needle(needle, np.where(np.isfinite(banked), banked, standby), rate, speed)

    turning = lately(np.abs(_most_say(5.0, needle, by_bank, by_card)), OVER_S)
    in_turn = np.sqrt(1.0 + (TURN_SLACK * np.maximum(turning - 0.5, 0.0)) ** 2)
    climb = change(height) * FOOT
    rises = lately(np.abs(np.nan_to_num(mean_of_late(climb, 5.0, 0.2))), OVER_S)
    in_climb = np.sqrt(1.0 + (CLIMB_SLACK * np.maximum(rises - CLIMB_FREE_MPS, 0.0)) ** 2)

    gains = lately(np.abs(np.nan_to_num(mean_of_late(change(tas), 3.0, 0.2))), OVER_S)
    in_change = GAIN_SLACK * np.maximum(gains - GAIN_FREE_MPS2, 0.0)
    off = np.where(_straight(readings["compass_deg"], shown, by_bank, by_card),
                   wrapped(_by_compass(readings, frame) - readings["heading_deg"]), np.nan)
    dips = _turning_error(rate, readings["heading_deg"], speed)
    pitch_path, excess, revolutions = _by_the_polar(
        readings, frame, tas, climb, rate * DEG, readings["pitch_deg"] - gained)
    in_path = np.hypot(np.hypot(in_climb, in_turn - 1.0), _slow(readings, frame, tas, climb))
    across, along = _by_the_wind(readings, tas)
    columns = {
        "bank and needle": (by_bank - shown) / in_turn,
        "card and needle": (by_card - shown) / in_turn,
        "compass and card": off / dips,
        "compass and card lately": _parted(off) / dips,
        "pitch and altimeter": (pitch_path - climb) / in_path,
        "vertical speed and altimeter": _climbs(readings, climb) / in_climb,
        "power and airspeed": excess / in_path,   # what moves one of these four alike moves the others
        "throttle and tachometer": revolutions / np.hypot(1.0, in_turn - 1.0),
        "track and card": across / in_turn,
        "groundspeed and airspeed": along / np.hypot(np.hypot(1.0, in_turn - 1.0), np.hypot(in_change, in_climb - 1.0)),
        "standby and bank": (standby - bank) / in_turn,
        "standby and pitch": (readings["standby_pitch_deg"] - readings["pitch_deg"] + nods) / in_turn,
        "bank and card": (by_bank - by_card) / in_turn,
        "standby and card": (by_standby - by_card) / in_turn,
    }
    flies = readings["on_ground"] < 0.5
    stacked = np.stack([np.where(flies, columns[name], np.nan) for name in NAMES], axis=-1)
    lively = np.stack([np.where(flies, liveliness(readings[name]), np.nan) for name in STILL], axis=-1)
    return stacked, lively, np.nan_to_num(strays) / np.stack([in_turn, in_path], axis=-1)


def _gain(readings: Readings, tas: Any, rate: Any) -> Any:
    """Return how fast speed is gained (m/s2), from the true airspeed (m/s) and the rate of turn (deg/s).

    By airspeed, by groundspeed, and by what the velocity over the ground gains along the heading, in which there is no
    wind, but which the GPS shows a moment late: the one between the others, for any may be wrong. Without GPS airspeed.
    """
    speed, track = readings["groundspeed_kt"] * KNOT, readings["track_deg"] * DEG
    ahead = (readings["heading_deg"] - rate * (GPS_LAG_S + 0.5)) * DEG
    along = change(speed * np.cos(track)) * np.cos(ahead) + change(speed * np.sin(track)) * np.sin(ahead)
    by_air, *by_ground = (mean_of_late(each, GAIN_S, 0.2) for each in (change(tas), change(speed), along))
    return np.where(np.isfinite(by_ground).all(axis=0), np.median([by_air, *by_ground], axis=0), by_air)


def _in_bank(bank_deg: Any, speed: Any) -> Any:
    """Return the rate of turn (deg/s) of a coordinated turn in this bank (deg) at a speed (m/s)."""
    return G / speed * np.tan(bank_deg * DEG) * RAD


def _by_needle(needle: Any, bank_deg: Any, rate: Any, speed: Any) -> Any:
    """Return the rate of turn (deg/s) that a turn coordinator says: less the roll that its canted gyro feels as well,
    and of the whole turn, of which it feels the share about the airplane's own axis.
    """
    leans = np.arctan(speed * np.clip(rate, -NEEDLE_FULL_DPS, NEEDLE_FULL_DPS) * DEG / G)
    rolls = TURN_CANT * np.nan_to_num(change(bank_deg))
    return (np.where(np.abs(needle) < NEEDLE_FULL_DPS, needle, np.nan) - rolls) / np.cos(leans)


def _most_say(tau_s: float, needle: Any, by_bank: Any, by_card: Any) -> Any:
    """Return the rate of turn (deg/s), each averaged over a time (s): the median of the three, else what needle or card
    says; the horizon, which erects itself to a turn, alone only for want of both.
    """
    late = np.stack([mean_of_late(rate, tau_s, 0.2) for rate in (needle, by_card, by_bank)])
    alone = np.where(np.isfinite(late[0]), late[0], np.where(np.isfinite(late[1]), late[1], late[2]))
    return np.nan_to_num(np.where(np.isfinite(late).all(axis=0), np.median(late, axis=0), alone))


def _straight(card: Any, needle: Any, by_bank: Any, by_card: Any) -> Any:
    """Say whether two of needle, horizon and card have agreed on straight flight for long enough for the compass, whose
    card has come to rest besides.
    """
    agree = sum((np.abs(mean_of_late(rate, 3.0, 0.3)) < STRAIGHT_DPS).astype(int)
                for rate in (needle, by_bank, by_card))
    rests = np.abs(mean_of_late(turned(card), SWINGS_S, 0.3)) < SWINGS_DPS
    return held_for((agree >= 2) & rests, STRAIGHT_S)


def _turning_error(rate: Any, heading_deg: Any, speed: Any) -> Any:
    """Return the slack of the compass, which dips in the gentlest turn from north or south (FAA-H-8083-25, errors)."""
    northerly = mean_of_late(rate * np.cos(heading_deg * DEG), DIPS_S, 0.3)
    return np.hypot(1.0, TAN_DIP * lately(np.abs(np.nan_to_num(northerly)), STRAIGHT_S) * speed / G / DIPS_DEG)


def _by_compass(readings: Readings, frame: Airframe) -> Any:
    """Return the heading (deg) that the compass says, by the correction card beside it."""
    switched = Controls(landing_light=readings["landing_light"], pitot_heat=readings["pitot_heat"])
    card = readings["compass_deg"]
    return card - compass.deviation_deg(World(frame, maths=ARRAYS), card * DEG, switched)


def _climbs(readings: Readings, climb: Any) -> Any:
    """Return what the vertical speed needle shows more (m/s) than the altimeter's movement, seen through its leak."""
    fpm = readings["vertical_speed_fpm"]
    fpm = np.where(np.abs(fpm) < 0.95 * VSI_MOST_FPM, fpm, np.nan)
    return fpm * FPM - mean_of_late(climb, VSI_LEAK_S, 0.5)


def _slow(readings: Readings, frame: Airframe, tas: Any, climb: Any) -> Any:
    """Return what slow flight adds to the slack of the polar: rough air makes more drag there, on and off the stall.

    It is slow only where both airspeed and pitch say so: an airspeed needle that has failed gets no slack by itself.
    """
    force = 0.5 * atmosphere.density(*_air(readings)) * tas * tas * frame.wing_area_m2
    with np.errstate(divide="ignore", invalid="ignore"):
        by_speed = np.minimum(frame.mass_kg * G / force, frame.lift_max)
        path = np.clip(climb / np.maximum(tas, TAS_MIN_MPS), -1.0, 1.0)
    by_pitch = LIFT_ZERO_PITCH + frame.lift_slope_per_rad * (readings["pitch_deg"] * DEG - path)
    shares = [mean_of_late(each, SLOW_S, 0.2) / frame.lift_max for each in (by_speed, by_pitch)]
    slow = np.nan_to_num(np.minimum(*shares))
    return lately(SLOW_SLACK * np.maximum(slow - SLOW_FREE, 0.0), OVER_S)


def _by_the_polar(readings: Readings, frame: Airframe, tas: Any, climb: Any, turn: Any,
                  pitch_deg: Any) -> tuple[Any, Any, Any]:
    """Return climb by pitch and airspeed (m/s), excess of motion over power (m/s2), engine speed over throttle's (rpm).

    `turn` is the rate of turn in rad/s, which says what the wing carries. Engine speeds are compared by their squares,
    as the torques balance, and given in rpm at full power: a gust moves the airspeed needle and not the propeller, and
    what it seems to make of the engine speed itself is twice as much at idle as in cruise.
    """
    density = atmosphere.density(*_air(readings))
    flies = np.where(tas > 0.6 * frame.stall_kt * KNOT, tas, np.nan)
    leans = np.arctan(np.clip(turn, -0.2, 0.2) * flies / G)
    force = 0.5 * density * flies * flies * frame.wing_area_m2
    lift = np.minimum(frame.mass_kg * G / force / np.cos(leans), frame.lift_max)
    attack = (lift - LIFT_ZERO_PITCH) / frame.lift_slope_per_rad
    path = pitch_deg * DEG - attack * np.cos(leans)
    windmills = frame.rpm_windmill_per_mps * flies
    share = np.maximum(readings["rpm"] ** 2 - windmills ** 2, 0.0) / frame.rpm_static ** 2
    thrust = motion.thrust_n(ARRAYS, frame, share * 1000.0 * frame.power_kw, np.maximum(flies, TAS_MIN_MPS))
    drag = force * (frame.drag_zero_lift + FLAP_DRAG_PER_DEG * readings["flaps_deg"]
                    + frame.drag_induced * lift * lift)
    excess = change(flies) + G * climb / flies - (thrust - drag) / frame.mass_kg
    heated = np.where(readings["carburettor_heat"] > 0.5, CARBURETTOR_HEAT_POWER, 1.0)
    power = np.clip(readings["throttle"], 0.0, 1.0) * heated * motion.full_power_w(frame, density)
    by_throttle = motion.engine_rpm(ARRAYS, frame, power, flies)
    return (flies * np.sin(np.clip(path, -0.8, 0.8)), excess,
            (readings["rpm"] ** 2 - by_throttle ** 2) / (2.0 * frame.rpm_static))


def _parted(x: Any) -> Any:
    """Return by how much `x` is more than its mean of the last minutes."""
    return x - mean_of_late(x, REMEMBERS_S, REMEMBERS_LEAST)


def _by_the_wind(readings: Readings, tas: Any) -> tuple[Any, Any]:
    """Return how far the GPS has left (deg across, right positive; kt along) where heading, airspeed and wind lead.

    The wind is the one that GPS, heading and airspeed have shown together over the last minutes.
    """
    heading, track = readings["heading_deg"] * DEG, readings["track_deg"] * DEG
    ground = readings["groundspeed_kt"] * KNOT
    north = _parted(ground * np.cos(track) - tas * np.cos(heading))
    east = _parted(ground * np.sin(track) - tas * np.sin(heading))
    across = east * np.cos(heading) - north * np.sin(heading)
    along = north * np.cos(heading) + east * np.sin(heading)
    return across / np.maximum(tas, TAS_MIN_MPS) * RAD, along / KNOT


def liveliness(x: Any) -> Any:
    """Return the logarithm of the variance, over a quarter of a minute, of how a needle (T, N) moves quickly."""
    quick = x - mean_of_late(x, BEFORE_S, _LEAST)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.log(mean_of_late(quick * quick, LIVELY_S, _LEAST))


def unrest(readings: Readings) -> Any:
    """Return how rough the air is felt and seen to be, (T, N, 2): of turn needle and vertical speed, how far they move
    within moments, as the logarithm of a mean of the last minutes. Where one cannot be read, it stays as it was.
    """
    parts = []
    for name in ("turn_rate_dps", "vertical_speed_fpm"):
        quick = np.abs(readings[name] - mean_of_late(readings[name], MOMENT_S, _LEAST))
        with np.errstate(divide="ignore", invalid="ignore"):
            parts.append(np.log(mean_of_late(quick, UNREST_S, UNREST_LEAST)))
    return lately(carried_on(np.stack(parts, axis=-1)), LULL_S)



def smooth(x: Any, tau_s: float) -> Any:
    """Return residuals (T, N, R) at a scale (s); NaN where too little could be read."""
    return mean_of_late(x, tau_s, _LEAST)


def needle_read(smoothed: Sequence[Any]) -> Any:
    """Say where a turn needle was read lately, (...), by smoothed residuals (..., R) at each scale: at any of them."""
    places = [NAMES.index(name) for name in NAMES if "turn_rate_dps" in USES[name]]
    return np.any([np.isfinite(each[..., places]).any(axis=-1) for each in smoothed], axis=0)


def asked(smoothed: Sequence[Any]) -> tuple[Any, ...]:
    """Return smoothed residuals (..., R) at each scale without those that nobody asks there (`WITHOUT_NEEDLE`)."""
    bank, standby = (NAMES.index(name) for name in WITHOUT_NEEDLE)
    needle = needle_read(smoothed)
    horizon = np.any([np.isfinite(each[..., bank]) for each in smoothed], axis=0)
    found = tuple(each.copy() for each in smoothed)
    for each in found:
        each[needle, bank] = np.nan
        each[needle | horizon, standby] = np.nan
    return found
