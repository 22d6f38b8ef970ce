"""The signs of failures: what of the panel's readings shows that something is wrong, and for how long it must.

Every sign reads what is shown and nothing else. Lengths and limits are the author's choices, made on the safe side of
the hands' wander, where no source is named.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.atmosphere import pressure_pa, tas_mps, temperature_k
from drill.airplane.constants import DEG, FOOT, FPM, KNOT, LIFT_ZERO_PITCH, PUMP_FULL_RPM, RAD
from drill.airplane.dials import SUCTION_GREEN_INHG
from drill.airplane.motion import standard_bank_rad
from drill.flight.events import Trace
from drill.grading.timeline import number

LOOK_S = 30.0            # a careful cross-check comes round to the gauges about this often (common practice, no source)
LIGHT_S = 5.0            # a light in the field of view
FLAG_S = 10.0            # a flag on an instrument of the scan
SUCTION_LOW_INHG = 4.0   # green is 4.5 to 5.5 (FAA-H-8083-15B; the airplane's handbook rules); half an inch below it
GYROS_UP_S = 300.0         # after the start up to five minutes (FAA-H-8083-15, 1999; FAA-H-8083-15A p. 3-37)
BANK_APART_DEG = 6.0
BANK_APART_S = 15.0
TURN_SLACK = 0.6         # for each degree a second of turn beyond half of one
HEADING_APART_DEG = 10.0
HEADING_APART_S = 30.0
STEADY_DPS = 1.0         # the compass is honest only in straight and level flight
NEEDLE_FULL_DPS = 5.0    # beyond, the turn needle is at its stop and shows no rate
DISCHARGE_A = -3.0
AIRSPEED_LEAST_KT = 43.0   # 0.8 of the stall speed of the class: nothing of it flies there
DIVE_FPM = 1000.0
AIRSPEED_APART_KT = 30.0
AIRSPEED_APART_S = 20.0
STRAIGHT_DEG = 10.0
PATH_TAS_MPS = 58.0
LIFT_LEAST = 0.12
STILL_FPM = 2.0
CLIMB_APART_FPM = 100.0
CLIMB_APART_S = 30.0
STICKS_S = 5.0
STICKS_FPM = 250.0
STUCK_FT = 2.0
LOOKED_AGAIN_S = 3.0
VOLTS_MOST = 30.0
VOLTS_DEAD = 10.0
AUTOPILOT_BANK_DEG = 30.0
RPM_LEAST = 1800.0
_CLASS = Airframe()


@dataclass(frozen=True, slots=True)
class Sign:
    """A thing to be seen. `apart` is how far a reading is from right, None where nothing can be told at that moment.

    `read_on` are all the instruments that it takes; with one of them covered there is nothing to be seen. The sign is
    there once `apart` has been above `limit` for `for_s` seconds of readings (a disagreement that wanders with the
    air: its mean, without sign), or at once, when the pilot looks at all of `read_on` and `apart` is above `look_limit`
    (`limit` unless given).
    """

    words: str
    read_on: frozenset[str]
    for_s: float
    limit: float
    apart: Callable[[Trace], float | None]
    wanders: bool = False
    look_limit: float | None = None
    since: tuple[float, Callable[[Trace, Trace], float | None]] | None = None   # used for `apart`: how many seconds
    # back, and how far from right a reading is, seen against what was shown then


def implied_bank_deg(turn_rate_dps: float, airspeed_kt: float, altitude_ft: float) -> float:
    """Return the bank (degrees) of a coordinated turn at that rate, by airspeed and altimeter in standard air."""
    height = min(max(altitude_ft, -1000.0), 30_000.0) * FOOT
    speed = tas_mps(FLOATS, min(max(airspeed_kt, 0.0), 400.0) * KNOT, pressure_pa(height), temperature_k(height))
    return float(standard_bank_rad(FLOATS, turn_rate_dps * DEG, speed)) * RAD


def _warming_up(trace: Trace) -> bool:
    """Say whether the gyros may still be coming up: on the ground, in the first minutes after the start."""
    return trace.t < GYROS_UP_S and ("is parked" in trace.facts or "is taxiing" in trace.facts)


def _suction(trace: Trace) -> float | None:
    if number(trace.shown, "rpm", PUMP_FULL_RPM) < PUMP_FULL_RPM:   # low suction at idle proves nothing
        return None
    return SUCTION_LOW_INHG - number(trace.shown, "suction_inhg", 5.0)


def _banks(trace: Trace) -> float | None:
    rate = number(trace.shown, "turn_rate_dps")
    if "is taxiing" in trace.facts or _warming_up(trace):   # a turn on the ground has no bank to be shown
        return None
    if number(trace.shown, "turn_flag") > 0.0 or number(trace.shown, "attitude_tumbled") > 0.0:
        return None
    implied = implied_bank_deg(rate, *_speed_and_height(trace))
    bank = number(trace.shown, "bank_deg")
    if abs(rate) >= NEEDLE_FULL_DPS and bank * rate > 0.0 and abs(bank) > abs(implied):
        return None
    # Nobody demands the agreement of straight flight in a turn: the needle lags, and a skid moves it.
    turning = max(abs(rate), abs(bank / implied_bank_deg(1.0, *_speed_and_height(trace)))) - 0.5
    return (bank - implied) / math.hypot(1.0, TURN_SLACK * max(turning, 0.0))


def _speed_and_height(trace: Trace) -> tuple[float, float]:
    # With no airspeed to be read the needle still means a bank; a slow airplane's is the least of it.
    return max(60.0, number(trace.shown, "airspeed_kt")), number(trace.shown, "altitude_ft")


def _headings(trace: Trace) -> float | None:
    if "is parked" in trace.facts or "is taxiing" in trace.facts:   # not yet set
        return None
    if abs(number(trace.shown, "turn_rate_dps")) > STEADY_DPS:
        return None
    apart = number(trace.shown, "heading_deg") - number(trace.shown, "compass_deg")
    return float(wrap_deg(FLOATS, apart))


def _by_the_past(trace: Trace) -> float | None:  # noqa: ARG001
    return None   # nothing is told by one moment alone: see `Sign.since`


def _flag(name: str) -> Callable[[Trace], float | None]:
    return lambda trace: number(trace.shown, name)


def _discharge(trace: Trace) -> float | None:
    return DISCHARGE_A - number(trace.shown, "amps")


def _dark(name: str) -> Callable[[Trace], float | None]:
    return lambda trace: 1.0 - number(trace.shown, name, 1.0)


def _no_airspeed(trace: Trace) -> float | None:
    shown = trace.shown
    falls = number(shown, "vertical_speed_fpm") < -DIVE_FPM
    works = number(shown, "rpm", 2400.0) > RPM_LEAST   # and not standing on the ground with the engine at idle
    return None if falls or not works else AIRSPEED_LEAST_KT - number(shown, "airspeed_kt", 110.0)


def airspeed_by_pitch_kt(pitch_deg: float, path_deg: float) -> float | None:
    """Return the airspeed (knots) of straight flight at a pitch and flight path; None where pitch says too little.

    What the wing needs to carry an airplane of the class: the angle of attack is pitch less path.
    """
    lift = _CLASS.lift_slope_per_rad * (pitch_deg - path_deg) * DEG + LIFT_ZERO_PITCH
    return None if lift < LIFT_LEAST else _CLASS.stall_kt * math.sqrt(_CLASS.lift_max / lift)


def _airspeed_by_pitch(trace: Trace) -> float | None:
    shown = trace.shown
    if number(shown, "attitude_tumbled") > 0.0 or abs(number(shown, "bank_deg")) > STRAIGHT_DEG:
        return None
    # A wrong airspeed would spoil the path as well; near level one for the class is right enough.
    path_deg = math.asin(max(-0.3, min(0.3, number(shown, "vertical_speed_fpm") * FPM / PATH_TAS_MPS))) * RAD
    implied = airspeed_by_pitch_kt(number(shown, "pitch_deg"), path_deg)
    return None if implied is None else number(shown, "airspeed_kt", 110.0) - implied


def _dead_still(trace: Trace) -> float | None:
    if number(trace.shown, "airspeed_kt", 110.0) < AIRSPEED_LEAST_KT:
        return None
    return STILL_FPM - abs(number(trace.shown, "vertical_speed_fpm"))


def _climbs(trace: Trace, before: Trace) -> float | None:
    seconds = trace.t - before.t
    if number(trace.shown, "altimeter_setting_hpa") != number(before.shown, "altimeter_setting_hpa"):
        return None
    moved = number(trace.shown, "altitude_ft") - number(before.shown, "altitude_ft")
    rates = number(trace.shown, "vertical_speed_fpm"), number(before.shown, "vertical_speed_fpm")
    return sum(rates) / 2.0 - moved * 60.0 / seconds if seconds > 0.0 else None


def _hands_stick(trace: Trace, before: Trace) -> float | None:
    moved = abs(number(trace.shown, "altitude_ft") - number(before.shown, "altitude_ft"))
    return abs(number(trace.shown, "vertical_speed_fpm")) if moved < STUCK_FT else 0.0


def _standby_bank(trace: Trace) -> float | None:
    shown = trace.shown
    if number(shown, "standby_flag", 1.0) > 0.5 or number(shown, "attitude_tumbled") > 0.0:
        return None
    return number(shown, "standby_bank_deg") - number(shown, "bank_deg")


def _let_go(trace: Trace, before: Trace) -> float | None:
    return number(before.shown, "autopilot_on") - number(trace.shown, "autopilot_on")


def _autopilot_bank(trace: Trace) -> float | None:
    return abs(number(trace.shown, "bank_deg")) if number(trace.shown, "autopilot_on") > 0.5 else None


SUCTION = Sign("the suction gauge was below 4 inches", frozenset({"suction_gauge"}), LOOK_S, 0.0, _suction,
               look_limit=SUCTION_LOW_INHG - SUCTION_GREEN_INHG[0])
VACUUM_LIGHT = Sign("the low-vacuum light was on", frozenset({"suction_gauge"}), LIGHT_S, 0.5,
                    _flag("low_vacuum_light"))
TUMBLED = Sign("the attitude indicator had tumbled", frozenset({"attitude_indicator"}), FLAG_S, 0.5,
               lambda trace: None if _warming_up(trace) else number(trace.shown, "attitude_tumbled"))
BANKS = Sign("the attitude indicator and the turn coordinator did not show the same bank",
             frozenset({"attitude_indicator", "turn_coordinator"}), BANK_APART_S, BANK_APART_DEG, _banks, wanders=True)
HEADINGS = Sign("the heading indicator and the compass were more than 10 degrees apart in steady flight",
                frozenset({"heading_indicator", "magnetic_compass"}), HEADING_APART_S, HEADING_APART_DEG, _headings,
                wanders=True)
TURN_FLAG = Sign("the turn coordinator's flag was out", frozenset({"turn_coordinator"}), FLAG_S, 0.5,
                 _flag("turn_flag"))
VOLTAGE_LIGHT = Sign("the low-voltage light was on", frozenset({"voltmeter"}), LIGHT_S, 0.5,
                     _flag("low_voltage_light"))
DISCHARGE = Sign("the ammeter showed a discharge", frozenset({"ammeter"}), LOOK_S, 0.0, _discharge)

SUCTION_HIGH = Sign("the suction gauge was above its green arc", frozenset({"suction_gauge"}), LOOK_S, 0.0,
                    lambda trace: number(trace.shown, "suction_inhg", 5.0) - SUCTION_GREEN_INHG[1])
NO_AIRSPEED = Sign("the airspeed indicator read less than an airplane flies at", frozenset({"airspeed_indicator"}),
                   FLAG_S / 2.0, 0.0, _no_airspeed)
AIRSPEED_BY_PITCH = Sign("the airspeed was not the one that goes with the pitch and the vertical speed",
                         frozenset({"airspeed_indicator", "attitude_indicator"}), AIRSPEED_APART_S, AIRSPEED_APART_KT,
                         _airspeed_by_pitch, wanders=True)
DEAD_STILL = Sign("the vertical speed stood dead still, as it never does in flight",
                  frozenset({"vertical_speed_indicator", "altimeter"}), LOOK_S, 0.0, _dead_still)
CLIMBS = Sign("the vertical speed indicator and the altimeter did not show the same climb",
              frozenset({"vertical_speed_indicator", "altimeter"}), CLIMB_APART_S, CLIMB_APART_FPM,
              _by_the_past, wanders=True, since=(CLIMB_APART_S, _climbs))
HANDS_STICK = Sign("the altimeter stood still while the vertical speed indicator showed a climb or descent",
                   frozenset({"vertical_speed_indicator", "altimeter"}), LOOKED_AGAIN_S, STICKS_FPM,
                   _by_the_past, since=(STICKS_S, _hands_stick))
VOLTS_HIGH = Sign("the voltmeter showed more than 30 volts", frozenset({"voltmeter"}), LOOK_S, VOLTS_MOST,
                  lambda trace: number(trace.shown, "volts", 28.0))
BUS_DEAD = Sign("the voltmeter showed a dead bus", frozenset({"voltmeter"}), FLAG_S, 0.0,
                lambda trace: VOLTS_DEAD - number(trace.shown, "volts", 28.0))
GPS_DARK = Sign("the GPS screen was dark", frozenset({"navigation"}), FLAG_S, 0.5, _dark("gps_on"))
RADIO_DARK = Sign("the radio was dark", frozenset({"radio"}), FLAG_S, 0.5, _dark("radio_on"))
TRANSPONDER_DARK = Sign("the transponder was dark", frozenset({"transponder"}), LOOK_S, 0.5, _dark("transponder_on"))
STANDBY_FLAG = Sign("the standby attitude display was crossed out", frozenset({"standby_instrument"}), FLAG_S, 0.5,
                    _flag("standby_flag"))
STANDBY_BANK = Sign("the standby attitude display and the attitude indicator did not show the same bank",
                    frozenset({"standby_instrument", "attitude_indicator"}), BANK_APART_S, BANK_APART_DEG,
                    _standby_bank, wanders=True)
AUTOPILOT_OFF = Sign("the autopilot had let go", frozenset({"autopilot"}), LOOKED_AGAIN_S, 0.5,
                     _by_the_past, since=(FLAG_S, _let_go))
AUTOPILOT_BANKS = Sign("the autopilot banked more than it ever does by itself", frozenset({"attitude_indicator"}),
                       LOOKED_AGAIN_S, AUTOPILOT_BANK_DEG, _autopilot_bank)
RPM_LOW = Sign("the tachometer showed less than an engine at work", frozenset({"tachometer"}), FLAG_S, 0.0,
               lambda trace: RPM_LEAST - number(trace.shown, "rpm", 2400.0))

COMPARISONS = frozenset({BANKS, HEADINGS, AIRSPEED_BY_PITCH, STANDBY_BANK, DEAD_STILL, CLIMBS})
"""Disagreements that the sequential test judges better, where it can; what a look sees of them counts always."""

_VACUUM = (SUCTION, VACUUM_LIGHT, TUMBLED, BANKS, HEADINGS)
_PITOT = (NO_AIRSPEED, AIRSPEED_BY_PITCH)
_STATIC = (DEAD_STILL, AIRSPEED_BY_PITCH, HANDS_STICK)
_CHARGING = (VOLTAGE_LIGHT, DISCHARGE, TURN_FLAG)
SIGNS_OF: Mapping[str, tuple[Sign, ...]] = {
    "vacuum pump": _VACUUM,
    "vacuum filter": _VACUUM,
    "vacuum line": _VACUUM,
    "vacuum regulator": (SUCTION_HIGH, *_VACUUM),
    "attitude indicator": (TUMBLED, BANKS),
    "heading indicator": (HEADINGS,),
    "turn coordinator": (TURN_FLAG, BANKS),
    "standby attitude": (STANDBY_FLAG, STANDBY_BANK),
    "magnetic compass": (HEADINGS,),
    "autopilot": (AUTOPILOT_OFF, AUTOPILOT_BANKS),
    "pitot tube": _PITOT,
    "pitot heat": _PITOT,
    "airspeed indicator": _PITOT,
    "static ports": _STATIC,
    "static line": _STATIC,
    "altimeter": (HANDS_STICK,),
    "vertical speed indicator": (CLIMBS,),
    "alternator": _CHARGING,
    "battery": _CHARGING,
    "voltage regulator": (VOLTS_HIGH, *_CHARGING),
    "main bus": (BUS_DEAD, RADIO_DARK, GPS_DARK, TURN_FLAG),
    "avionics bus": (RADIO_DARK, GPS_DARK, TRANSPONDER_DARK),
    "gps": (GPS_DARK,),
    "transponder": (TRANSPONDER_DARK,),
    "engine": (RPM_LOW,),
    # Stuck where it was, dark, idle or silent, these show nothing by themselves.
    "suction gauge": (),
    "low vacuum light": (),
    "standby vacuum": (),
    "low voltage light": (),
    "transmitter": (),
}
"""The signs that a failure of each part can give."""
