"""What radar shows of N airplanes second by second, as arrays: `flight.watching.tracked` and what is counted beside it.

The controller himself is `flight.controller.step`, called for one flight at a time. While he has nothing to say to a
flight (`resting`) only what he sees goes on, here; before he looks again it is put back into his state (`into`). A test
holds these equations against his own.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from drill.airplane.arith import ARRAYS, wrap_deg
from drill.check.pilots.columns import cut
from drill.flight import steering, watching
from drill.flight.controller import begin
from drill.flight.controller_state import ControllerState, Seen
from drill.flight.replacing import replace
from drill.flight.steering import HEADING_OFF_DEG, beside_deg
from drill.scenario.model import Scenario

_SEEN = ("altitude_ft", "track_deg", "climb_fpm", "turning_dps", "wild_since_s", "wild_at_s", "low_since_s",
         "turned_deg", "north_nm", "east_nm", "speed_kt", "rapid_since_s")
COUNTED = ("altitude_was_off_ft", "altitude_off_since_s", "heading_was_off_deg", "heading_off_since_s", "drift_deg",
            "drift_on_deg", "drift_seen_s", "closest_nm")
_MAY_LACK = frozenset({"altitude_ft", "track_deg", "wild_since_s", "wild_at_s", "low_since_s", "north_nm", "east_nm",
                       "rapid_since_s", "altitude_off_since_s", "heading_off_since_s", "drift_on_deg"})


class RadarWatch:
    """What the controllers of N flights have seen; NaN stands for None."""

    def __init__(self, scenario: Scenario, count: int) -> None:
        self._scenario = scenario
        self._wind = begin(scenario).wind
        self.now = {name: np.full(count, np.nan if name in _MAY_LACK else 0.0) for name in (*_SEEN, *COUNTED)}
        self._before = self.now
        self.on_ground = np.zeros(count, dtype=bool)
        self._was_on_ground = self.on_ground
        self.heading_deg = np.full(count, np.nan)            # as assigned
        self.beside_deg = np.full(count, np.nan)             # of it, by the track
        self.altitude_ft = np.full(count, np.nan)
        self.own_heading = np.zeros(count, dtype=bool)
        self.own_altitude = np.zeros(count, dtype=bool)
        self.turned_by_word = np.zeros(count, dtype=bool)    # no-gyro turns
        self.assigned_s = np.zeros(count)
        self.approach_nm = np.full((2, count), np.nan)       # north and east of the field of a cleared approach

    def advance(self, t_s: float, north_nm: Any, east_nm: Any, altitude_ft: Any, track_deg: Any,
                on_ground: Any) -> None:
        """Look at the radar, one second after the last look."""
        was = self._before = self.now
        self._was_on_ground, self.on_ground = self.on_ground, on_ground
        first = np.isnan(was["altitude_ft"])
        climb = np.where(first, 0.0, (altitude_ft - was["altitude_ft"]) * 60.0)
        turning = np.where(first, 0.0, wrap_deg(ARRAYS, track_deg - was["track_deg"]))
        leap = (abs(climb) > watching._LEAP_FPM) | (abs(turning) > watching._LEAP_DPS)
        climb, turning = np.where(leap, was["climb_fpm"], climb), np.where(leap, was["turning_dps"], turning)
        climb = was["climb_fpm"] + (climb - was["climb_fpm"]) * watching._SMOOTHED
        turning = was["turning_dps"] + (turning - was["turning_dps"]) * watching._SMOOTHED
        wild = ~on_ground & ((abs(climb) > watching.WILD_FPM) | (abs(turning) > watching.WILD_DPS))
        wild_since = _since(was["wild_since_s"], wild, t_s)
        wild_at = np.where((t_s - wild_since >= watching.WILD_S) & np.isnan(was["wild_at_s"]), t_s, was["wild_at_s"])
        low = altitude_ft < self._scenario.minimum_altitude_ft - watching.ALTITUDE_OFF_FT
        over = (abs(turning) < watching._STRAIGHT_DPS) | (turning * was["turned_deg"] < 0.0)
        now_kt = np.hypot(north_nm - was["north_nm"], east_nm - was["east_nm"]) * 3600.0
        speed = was["speed_kt"]
        smooth = np.where(speed == 0.0, now_kt, speed + (now_kt - speed) * watching._SMOOTHED)
        speed = np.where(now_kt <= watching._LEAP_KT, smooth, speed)
        self.beside_deg = beside = beside_deg(self._wind, speed, self.heading_deg, track_deg, ARRAYS)
        self.now = {
            "altitude_ft": altitude_ft, "track_deg": track_deg, "climb_fpm": climb, "turning_dps": turning,
            "wild_since_s": wild_since, "wild_at_s": wild_at, "low_since_s": _since(was["low_since_s"], low, t_s),
            "turned_deg": np.where(over, 0.0, was["turned_deg"] + turning), "north_nm": north_nm, "east_nm": east_nm,
            "speed_kt": speed,
            "rapid_since_s": _since(was["rapid_since_s"], climb < -watching.RAPID_FPM, t_s),
            "closest_nm": np.fmin(was["closest_nm"], np.hypot(self.approach_nm[0] - north_nm,
                                                              self.approach_nm[1] - east_nm)),
            **self._drift(was, turning, beside, t_s), **self._off(was, altitude_ft, beside, on_ground, t_s),
        }

    def _drift(self, was: dict[str, Any], turning: Any, shown: Any, t_s: float) -> dict[str, Any]:
        taken = (~np.isnan(self.heading_deg) & (abs(turning) <= steering.STEADY_DPS)
                 & (t_s - self.assigned_s >= steering._TAKEN_UP_S) & (abs(shown) <= HEADING_OFF_DEG))
        alike = abs(wrap_deg(ARRAYS, self.heading_deg - was["drift_on_deg"])) <= steering._ALIKE_DEG
        seconds = np.where(alike, was["drift_seen_s"], 0.0)
        before = np.where(seconds > 0.0, was["drift_deg"], 0.0)
        share = np.maximum(steering._SMOOTHED, 1.0 / (seconds + 1.0))
        return {"drift_deg": np.where(taken, before + (shown - before) * share, was["drift_deg"]),
                "drift_on_deg": np.where(taken, self.heading_deg, was["drift_on_deg"]),
                "drift_seen_s": np.where(taken, seconds + 1.0, was["drift_seen_s"])}

    def _off(self, was: dict[str, Any], altitude_ft: Any, beside: Any, on_ground: Any, t_s: float) -> dict[str, Any]:
        feet = np.nan_to_num(abs(altitude_ft - self.altitude_ft))
        most_ft = _fading(feet, was["altitude_was_off_ft"])
        astray = (feet > watching.ALTITUDE_OFF_FT) & (feet > most_ft - watching._CLOSING_FT) & ~self.own_altitude
        degrees = np.nan_to_num(abs(beside))
        most_deg = _fading(degrees, was["heading_was_off_deg"])
        strays = ((degrees > HEADING_OFF_DEG) & (degrees > most_deg - watching._CLOSING_DEG) & ~self.own_heading
                  & ~self.turned_by_word)
        new = {"altitude_was_off_ft": most_ft, "altitude_off_since_s": _since(was["altitude_off_since_s"], astray, t_s),
               "heading_was_off_deg": most_deg, "heading_off_since_s": _since(was["heading_off_since_s"], strays, t_s)}
        return {name: np.where(on_ground, was[name], value) for name, value in new.items()}

    def into(self, which: int, atc: ControllerState, t_s: float, *, before: bool) -> ControllerState:
        """Return the controller of flight `which` with what he saw until `t_s`: the last look, or the one `before`."""
        held = self._before if before else self.now
        on_ground = bool((self._was_on_ground if before else self.on_ground)[which])
        value = {name: _number(column.item(which), name) for name, column in held.items()}
        seen = Seen(on_ground=on_ground, **{name: value[name] for name in _SEEN})  # type: ignore[arg-type]
        return replace(atc, now_s=t_s, seen=seen, **{name: value[name] for name in COUNTED})

    def keep(self, where: Any) -> None:
        """Go on with the flights at the places `where` alone."""
        cut(self, where, len(self.on_ground))

    def adopt(self, which: int, atc: ControllerState) -> None:
        """Take over what the controller of flight `which` has seen and assigned by now."""
        for part, names in ((atc.seen, _SEEN), (atc, COUNTED)):
            for name in names:
                value = getattr(part, name)
                self.now[name][which] = np.nan if value is None else value
        self.heading_deg[which] = np.nan if atc.heading_deg is None else atc.heading_deg
        self.altitude_ft[which] = np.nan if atc.altitude_ft is None else atc.altitude_ft
        self.own_heading[which], self.own_altitude[which] = atc.own_heading, atc.own_altitude
        self.turned_by_word[which] = atc.turns is not None
        self.assigned_s[which] = atc.assigned_s


def _since(was: Any, holds: Any, t_s: float) -> Any:
    return np.where(holds, np.where(np.isnan(was), t_s, was), np.nan)


def _fading(off: Any, farthest: Any) -> Any:
    return np.where(off >= farthest, off, farthest + (off - farthest) / 8.0)


def _number(value: float, name: str) -> float | None:
    return None if name in _MAY_LACK and value != value else value
