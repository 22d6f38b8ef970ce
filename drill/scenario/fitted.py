"""Which parts and switches an airplane has: a failure of one that it lacks can be flown, and nobody ever sees it."""

from __future__ import annotations

from collections.abc import Mapping

from drill.airplane.airframe import Airframe
from drill.language.meaning import SWITCHES

PART_OF: Mapping[str, str] = {
    "standby_instrument": "standby attitude", "autopilot": "autopilot", "turn_coordinator": "turn coordinator",
    "gps": "gps", "standby_vacuum": "standby vacuum",
}
"""Parts in the catalogue's words, by the codes of what acts are done to; only those that an airplane may lack."""


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


def switches_of(airframe: Airframe) -> tuple[str, ...]:
    """Return the switches of the airplane, as codes. The autopilot's is none: what it does the panel says."""
    return tuple(each for each in SWITCHES if each != "autopilot" and is_fitted(PART_OF.get(each, ""), airframe))
