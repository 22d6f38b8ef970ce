"""What a tireless pilot reads off the panel once a second: the values shown, each with an honest error.

Nothing true is read. The one thing that no dial shows is where the throttle stands: the pilot's own hand has it there.
Errors are drawn from a stream of their own, addressed by the flight's seed and the block of seconds, so that a record
graded again, or cut off, is read the same way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from drill.airplane.seeding import generators

SIGMA: Mapping[str, float] = {
    "bank_deg": 1.0, "pitch_deg": 0.5, "heading_deg": 1.0, "turn_rate_dps": 0.3, "compass_deg": 2.5,
    "airspeed_kt": 1.0, "altitude_ft": 8.0, "vertical_speed_fpm": 40.0, "rpm": 25.0, "throttle": 0.01,
    "track_deg": 0.5, "groundspeed_kt": 0.5, "standby_bank_deg": 1.0, "standby_pitch_deg": 0.5,
}
"""What is read, and how well: one sigma, chosen (physics, evidence clock)."""

GAUGE_SIGMA: Mapping[str, float] = {"suction_inhg": 0.1, "volts": 0.2, "amps": 1.0}
"""The gauges beside the flight instruments: read when the scan comes round to them."""

FLAGS = ("attitude_tumbled", "turn_flag", "gps_on", "standby_flag", "low_vacuum_light", "low_voltage_light", "radio_on",
         "transponder_on", "autopilot_on", "course_flag")
"""Lights, flags and what is on or off, 0 or 1."""

SETTINGS: Mapping[str, float] = {"altimeter_setting_hpa": 1013.25, "flaps_deg": 0.0, "carburettor_heat": 0.0,
                                 "alternate_static": 0.0, "on_ground": 0.0, "gyros_up": 1.0, "avionics": 1.0,
                                 "gps": 1.0, "transponder": 1.0, "alternator": 1.0, "autopilot": 0.0,
                                 "pitot_heat": 0.0, "landing_light": 0.0, "warmer_c": 0.0}
"""What the pilot has set, or knows, and what stands for it where nobody says; `warmer_c` is what the thermometer
outside shows more than standard."""

READ_ON: Mapping[str, str] = {
    "bank_deg": "attitude_indicator", "pitch_deg": "attitude_indicator", "attitude_tumbled": "attitude_indicator",
    "heading_deg": "heading_indicator", "turn_rate_dps": "turn_coordinator", "turn_flag": "turn_coordinator",
    "compass_deg": "magnetic_compass", "airspeed_kt": "airspeed_indicator", "altitude_ft": "altimeter",
    "vertical_speed_fpm": "vertical_speed_indicator", "rpm": "tachometer", "throttle": "throttle",
    "track_deg": "navigation", "groundspeed_kt": "navigation", "gps_on": "navigation", "course_flag": "navigation",
    "standby_bank_deg": "standby_instrument", "standby_pitch_deg": "standby_instrument",
    "standby_flag": "standby_instrument", "suction_inhg": "suction_gauge", "low_vacuum_light": "suction_gauge",
    "volts": "voltmeter", "low_voltage_light": "voltmeter", "amps": "ammeter", "radio_on": "radio",
    "transponder_on": "transponder", "autopilot_on": "autopilot",
}
"""The instrument that shows each."""

_STREAM = 61       # of the reading errors; the model's own streams are the first few
_BLOCK_S = 600
_DRAWN = (*SIGMA, *GAUGE_SIGMA)


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings by name, arrays (T, N): one a second of N flights. NaN: nothing to be read there at that moment."""

    of: Mapping[str, Any]

    @property
    def shape(self) -> tuple[int, int]:
        """(T, N)."""
        seconds, flights = next(iter(self.of.values())).shape
        return seconds, flights

    def __getitem__(self, name: str) -> Any:
        return self.of[name]

    def part(self, start: int, end: int) -> Readings:
        """Return the seconds from `start` up to `end`."""
        return Readings({name: values[start:end] for name, values in self.of.items()})


def errors(seeds: Sequence[int], seconds: int) -> Any:
    """Return standard normal errors (T, N, readings), in the order of `SIGMA` and then `GAUGE_SIGMA`."""
    drawn = np.empty((seconds, len(seeds), len(_DRAWN)))
    for block in range(-(-seconds // _BLOCK_S)):
        start = block * _BLOCK_S
        count = min(_BLOCK_S, seconds - start)
        for flight, generator in enumerate(generators(seeds, _STREAM, block)):
            drawn[start:start + count, flight] = generator.standard_normal((_BLOCK_S, len(_DRAWN)))[:count]
    return drawn


def read(shown: Mapping[str, Any], seeds: Sequence[int], covered: Mapping[str, Any] | None = None) -> Readings:
    """Return what is read of the values `shown`, arrays (T, N) by name, in flights of these seeds.

    A name that is missing, or not a finite number, is not read. `covered` has for an instrument, by its name in
    `READ_ON`, a truth (T, N): nothing is read of it then. What shows a flag, is dark or has tumbled is not read either.
    """
    shape = np.shape(next(iter(shown.values())))
    drawn = errors(seeds, shape[0])
    of: dict[str, Any] = {}
    nothing = np.full(shape, np.nan)
    for place, (name, sigma) in enumerate({**SIGMA, **GAUGE_SIGMA}.items()):
        value = np.asarray(shown.get(name, nothing), dtype=float)
        of[name] = np.where(np.isfinite(value), value, np.nan) + sigma * drawn[:, :, place]
    for name in FLAGS:
        of[name] = np.asarray(shown.get(name, nothing), dtype=float)
    for name, usual in SETTINGS.items():
        of[name] = np.asarray(shown.get(name, np.full(shape, usual)), dtype=float)
    for name, instrument in READ_ON.items():
        if covered and instrument in covered:
            of[name] = np.where(covered[instrument], np.nan, of[name])
    out = {
        "attitude_indicator": of["attitude_tumbled"] > 0.5, "turn_coordinator": of["turn_flag"] > 0.5,
        "navigation": ~(of["gps_on"] > 0.5), "standby_instrument": ~(of["standby_flag"] < 0.5),
    }
    for name in SIGMA:
        if READ_ON[name] in out:
            of[name] = np.where(out[READ_ON[name]], np.nan, of[name])
    return Readings(of)
