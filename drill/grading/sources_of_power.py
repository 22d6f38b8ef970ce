"""What each instrument runs on: two that share it can agree and both be wrong."""

from __future__ import annotations

from collections.abc import Mapping

from drill.airplane.airframe import Airframe

VACUUM = "the vacuum pump"
CURRENT = "the electrical system"
STATIC = "the static ports"


def runs_on(airframe: Airframe) -> Mapping[str, str]:
    """Return by instrument, as codes, what it runs on in an airplane like this."""
    return {
        "attitude_indicator": VACUUM,
        "heading_indicator": VACUUM if airframe.heading_drive == "vacuum" else CURRENT,
        "turn_coordinator": CURRENT, "navigation": CURRENT, "course_needle": CURRENT,
        "altimeter": STATIC, "vertical_speed_indicator": STATIC, "airspeed_indicator": STATIC,
    }
