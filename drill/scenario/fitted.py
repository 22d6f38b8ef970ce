"""Which parts an airplane has: a failure of one that it lacks can be flown, and nobody ever sees it."""

from __future__ import annotations

from drill.airplane.airframe import Airframe


def is_fitted(part: str, airframe: Airframe) -> bool:
    """Say whether the airplane has `part` (as the catalogue of failures calls it)."""
    match part:
        case "low vacuum light":
            return airframe.low_vacuum_light_fitted
        case "standby vacuum":
            return airframe.standby_vacuum_fitted
        case "turn coordinator":
            return airframe.turn_coordinator_fitted
        case "standby attitude":
            return airframe.standby_attitude_fitted
        case "gps":
            return airframe.gps_fitted
        case "autopilot":
            return airframe.autopilot != "none"
        case _:
            return True
