"""What N flights see of themselves at one second, as conditions ask for it: quantities and facts, on arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from drill.airplane.arith import ARRAYS, wrap_deg
from drill.airplane.controls import BY_COMPASS, BY_GPS_TRACK, Controls
from drill.airplane.hands import Hands
from drill.airplane.panel import Panel, Truths
from drill.check.pilots.waking import Stories
from drill.flight import tracking
from drill.flight.observe import values
from drill.flight.weather import FIELD_RADIUS_NM, cloud_layer, distance_nm, field_position
from drill.scenario.model import Scenario
from drill.scenario.truth import ArrayTruth, fact_key

_ROUNDING = 1e-6                           # in doubt the flight is asked
_OFF = ("heading off", "altitude off")


@dataclass(frozen=True, slots=True)
class Observed:
    """Quantities and facts of N flights, arrays of shape (N,). `of_flight`: what does not wait for the story."""

    values: Mapping[str, Any]
    states: Mapping[str, Any]              # "is in cloud" and so on
    cloud: Any

    def truth(self, stories: Stories, t_s: float, instead: Mapping[str, Any] | None = None) -> ArrayTruth:
        """Return what holds at `t_s`, with the stories as they stand now and some facts in the place of theirs."""
        now = {**self.values, "time": np.full(stories.count, t_s), "time in phase": t_s - stories.entered_s}
        return ArrayTruth(stories.count, now, {**stories.facts, **self.states, **(instead or {})}, stories.acts,
                          stories.acts_here)


def observed(scenario: Scenario, panel: Panel, true: Truths, heading_deg: Any, altitude_ft: Any) -> Observed:
    """Return what is seen; `heading_deg` and `altitude_ft` are as assigned, NaN for nothing assigned."""
    seen = values(scenario, panel, true, heading_deg=heading_deg, altitude_ft=altitude_ft, t_s=0.0, in_phase_s=0.0,
                  m=ARRAYS)
    for name in _OFF:
        seen[name] = np.nan_to_num(seen[name])
    parked = true.parked > 0.5
    cloud = in_cloud(scenario, true.north_nm, true.east_nm, true.altitude_ft)
    states = {
        "in cloud": cloud, "stalled": true.stalled > 0.5, "in a spiral": true.spiral > 0.5,
        "broken": true.broken > 0.5, "on the ground": true.on_ground > 0.5,
        "parked": parked & (true.groundspeed_kt < 0.5), "taxiing": parked & (true.groundspeed_kt >= 0.5),
        "autopilot on": panel.autopilot_on > 0.5,
    }
    return Observed(seen, {fact_key("is", name): holds for name, holds in states.items()}, cloud)


def in_cloud(scenario: Scenario, north_nm: Any, east_nm: Any, altitude_ft: Any) -> Any:
    """Return which of N positions are inside cloud; as `flight.weather.in_cloud` for one."""
    cloud = scenario.weather.cloud
    base, tops = np.full((2, len(north_nm)), np.nan)
    if cloud is not None:
        base[:], tops[:] = cloud.base_ft, cloud.tops_ft
    nearest = np.full(len(north_nm), np.inf)
    for field in scenario.fields:
        away = distance_nm(field, north_nm, east_nm, ARRAYS)
        here = away < nearest
        nearest = np.where(here, away, nearest)
        layer = cloud_layer(scenario, *field_position(field)) or (np.nan, np.nan)
        far = (np.nan, np.nan) if cloud is None else (cloud.base_ft, cloud.tops_ft)
        within = away <= FIELD_RADIUS_NM
        base = np.where(here, np.where(within, layer[0], far[0]), base)
        tops = np.where(here, np.where(within, layer[1], far[1]), tops)
    return (base <= altitude_ft) & (altitude_ft <= tops)


def off_course(panel: Panel, controls: Controls, hands: Hands) -> Any:
    """Return for which of N flights that follow the course needle `flight.tracking` may order another heading."""
    cut = np.clip(tracking._CUT_DEG * panel.course_deviation, -tracking.MOST_CUT_DEG, tracking.MOST_CUT_DEG)
    kept = np.where(controls.heading_by == BY_COMPASS, hands.reckoned_deg, panel.heading_deg)
    steady = abs(panel.turn_rate_dps) < tracking._STEADY_DPS
    known = (controls.heading_by != BY_GPS_TRACK) & (panel.gps_on > 0.5) & steady
    drift = np.where(known, wrap_deg(ARRAYS, kept - panel.track_deg), 0.0)
    wanted = wrap_deg(ARRAYS, controls.course_deg + cut + drift - controls.heading_deg)
    return steady & (panel.course_flag < 0.5) & (abs(wanted) >= tracking._WORTH_DEG - _ROUNDING)
