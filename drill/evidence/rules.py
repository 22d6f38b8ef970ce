"""Direct rules: what a gauge, a light, a flag or a dark screen says alone, by Wald's test for faults of known size.

Each knows its failure's size, so one or two readings decide. What is not in the field of view counts only after the
time in which a careful cross-check comes round to it: the looks' intervals are the author's choice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from drill.airplane.airframe import Airframe
from drill.airplane.constants import ALTERNATOR_RPM, FOOT, KNOT, PUMP_FULL_RPM, G
from drill.evidence import wald
from drill.evidence.filters import held_for, lately
from drill.evidence.readings import Readings

GAUGE_S = 30               # a careful cross-check comes round to the gauges about so often (common practice, no source)
FLAG_S = 10                # a flag on an instrument of the scan
LIGHT_S = 5                # a light in the field of view
SPEED_S = 3                # an airspeed that nothing flies at
SUCTION_LOST_INHG = 3.5
SUCTION_HIGH_INHG = 6.5
SUCTION_SIGMA = 0.2        # of a healthy gauge, with its reading
VOLTS, VOLTS_HIGH, VOLTS_SIGMA = 28.0, 32.0, 0.3
DISCHARGE_A, AMPS_SIGMA = -8.0, 1.0
SURELY_RPM = 100.0         # four reading errors: at idle neither pump nor alternator proves anything
WORKS_RPM = 1800.0
NOSE_DEG = 5.0
ZOOM_S, ZOOM_SHARE = 30, 0.5   # so much of the speed that was lost so lately is found again as height
FALLS_FPM = -500.0
AUTOPILOT_BANK_DEG = 30.0
GYROS_UP_S = 300           # after the start up to five minutes (FAA-H-8083-15, 1999; FAA-H-8083-15A p. 3-37)


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing to be seen, what it is a failure of, and how soon the scan comes by.

    `says` gives the log likelihood ratios (T, N) of failed against healthy from the readings; NaN: nothing to be seen.
    """

    name: str
    words: str
    of: str
    look_s: int
    says: Callable[[Readings, Airframe], Any]


def _suction(wrong: float) -> Callable[[Readings, Airframe], Any]:
    def says(readings: Readings, frame: Airframe) -> Any:
        ratio = wald.normal(readings["suction_inhg"], frame.suction_regulated_inhg,
                            frame.suction_regulated_inhg + wrong, SUCTION_SIGMA)
        return np.where(readings["rpm"] < PUMP_FULL_RPM + SURELY_RPM, np.nan, ratio)   # idle proves nothing
    return says


def _flag(name: str) -> Callable[[Readings, Airframe], Any]:
    return lambda readings, _: wald.seen(readings[name])


def _dark(name: str, switch: str) -> Callable[[Readings, Airframe], Any]:
    def says(readings: Readings, _: Airframe) -> Any:
        meant = (readings[switch] > 0.5) & (readings["avionics"] > 0.5)
        return np.where(meant, wald.seen(1.0 - readings[name]), np.nan)
    return says


def _radios(readings: Readings) -> Any:
    """Return how many of radio, GPS and transponder are dark that should not be."""
    dark = [(readings[name] < 0.5) & (readings[switch] > 0.5)
            for name, switch in (("radio_on", "avionics"), ("gps_on", "gps"), ("transponder_on", "transponder"))]
    return np.where(readings["avionics"] > 0.5, sum(each.astype(int) for each in dark), 0)


def _together(readings: Readings, _: Airframe) -> Any:
    return wald.seen((_radios(readings) >= 2).astype(float))


def _alone(name: str, switch: str) -> Callable[[Readings, Airframe], Any]:
    says = _dark(name, switch)
    return lambda readings, frame: np.where(_radios(readings) >= 2, -wald.BOUND, says(readings, frame))


def _gps(readings: Readings, frame: Airframe) -> Any:
    return _alone("gps_on", "gps")(readings, frame) if frame.gps_fitted else np.full(readings.shape, np.nan)


def _volts(readings: Readings, _: Airframe) -> Any:
    return wald.normal(readings["volts"], VOLTS, VOLTS_HIGH, VOLTS_SIGMA)


def _discharge(readings: Readings, _: Airframe) -> Any:
    meant = (readings["alternator"] > 0.5) & (readings["rpm"] > ALTERNATOR_RPM + SURELY_RPM)
    return np.where(meant, wald.normal(readings["amps"], 0.0, DISCHARGE_A, AMPS_SIGMA), np.nan)


def _light(readings: Readings, _: Airframe) -> Any:
    meant = (readings["alternator"] > 0.5) & (readings["rpm"] > ALTERNATOR_RPM + SURELY_RPM)
    return np.where(meant, wald.seen(readings["low_voltage_light"]), np.nan)


def _dead_bus(readings: Readings, _: Airframe) -> Any:
    return wald.normal(readings["volts"], VOLTS, 0.0, VOLTS)


def _no_airspeed(readings: Readings, frame: Airframe) -> Any:
    """No airplane flies so slowly in a level attitude, with power, and without falling.

    Not if the speed has gone into height: an airplane that is pulled up by a horizon bar that sticks is really slow.
    """
    pitch = np.nan_to_num(readings["pitch_deg"])
    flies = ((np.abs(pitch) < NOSE_DEG) & (readings["rpm"] > WORKS_RPM) & (readings["vertical_speed_fpm"] > FALLS_FPM)
             & (readings["on_ground"] < 0.5))
    slow = readings["airspeed_kt"] < 0.8 * frame.stall_kt
    speed = np.maximum(readings["airspeed_kt"], 0.0) * KNOT
    lost_m = (lately(speed, ZOOM_S) ** 2 - speed ** 2) / (2.0 * G)
    gained_m = (readings["altitude_ft"] + lately(-readings["altitude_ft"], ZOOM_S)) * FOOT
    flies &= ~(gained_m > ZOOM_SHARE * lost_m)
    return np.where(flies, wald.seen(slow.astype(float)), np.nan)


def _tumbled(readings: Readings, _: Airframe) -> Any:
    return np.where(readings["gyros_up"] > 0.5, wald.seen(readings["attitude_tumbled"]), np.nan)


def _turn_flag(readings: Readings, frame: Airframe) -> Any:
    return wald.seen(readings["turn_flag"] if frame.turn_coordinator_fitted else 0.0 * readings["turn_flag"])


def _standby_flag(readings: Readings, frame: Airframe) -> Any:
    return wald.seen(readings["standby_flag"] if frame.standby_attitude_fitted else 0.0 * readings["standby_flag"])


def _let_go(readings: Readings, frame: Airframe) -> Any:
    meant = (readings["autopilot"] > 0.5) & (frame.autopilot != "none")
    return np.where(meant, wald.seen(1.0 - readings["autopilot_on"]), np.nan)


def _banks(readings: Readings, _: Airframe) -> Any:
    steep = np.abs(readings["bank_deg"]) > AUTOPILOT_BANK_DEG
    return np.where(readings["autopilot_on"] > 0.5, wald.seen(steep.astype(float)), np.nan)


RULES = (
    Rule("suction low", "the suction gauge was below its green arc", "vacuum_system", GAUGE_S,
         lambda readings, frame: _suction(SUCTION_LOST_INHG - 5.0)(readings, frame)),
    Rule("suction high", "the suction gauge was above its green arc", "vacuum_system", GAUGE_S,
         lambda readings, frame: _suction(SUCTION_HIGH_INHG - 5.0)(readings, frame)),
    Rule("vacuum light", "the low-vacuum light was on", "vacuum_system", LIGHT_S, _flag("low_vacuum_light")),
    Rule("tumbled", "the attitude indicator had tumbled", "attitude_indicator", FLAG_S, _tumbled),
    Rule("turn flag", "the turn coordinator's flag was out", "turn_coordinator", FLAG_S, _turn_flag),
    Rule("standby flag", "the standby attitude display was crossed out", "standby_instrument", FLAG_S, _standby_flag),
    Rule("no airspeed", "the airspeed indicator read less than an airplane flies at", "pitot", SPEED_S, _no_airspeed),
    Rule("voltage light", "the low-voltage light was on", "electrical_system", LIGHT_S, _light),
    Rule("discharge", "the ammeter showed a discharge", "electrical_system", GAUGE_S, _discharge),
    Rule("volts high", "the voltmeter showed more than the regulator should hold", "electrical_system", GAUGE_S,
         _volts),
    Rule("bus dead", "the voltmeter showed a dead bus", "electrical_system", FLAG_S, _dead_bus),
    Rule("radios dark", "radio, GPS and transponder were dark together", "electrical_system", FLAG_S, _together),
    Rule("gps dark", "the GPS screen was dark", "navigation", FLAG_S, _gps),
    Rule("radio dark", "the radio was dark", "radio", FLAG_S, _alone("radio_on", "avionics")),
    Rule("transponder dark", "the transponder was dark", "transponder", GAUGE_S,
         _alone("transponder_on", "transponder")),
    Rule("autopilot off", "the autopilot had let go", "autopilot", SPEED_S, _let_go),
    Rule("autopilot banks", "the autopilot banked more than it ever does by itself", "autopilot", SPEED_S, _banks),
)
"""The direct rules."""


def seen(readings: Readings, frame: Airframe, rules: Sequence[Rule] = RULES) -> Any:
    """Return, second by second, what a careful cross-check knows by direct rules alone: truths (T, N, rules)."""
    says = np.stack([rule.says(readings, frame) for rule in rules], axis=-1)
    out = wald.failed(says)
    return np.stack([held_for(out[:, :, place], rule.look_s) for place, rule in enumerate(rules)], axis=-1)
