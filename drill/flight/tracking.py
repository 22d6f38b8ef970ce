"""Following the course needle: the heading of the course, and a cut toward the needle."""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import BY_GPS_TRACK, Controls
from drill.flight.cockpit import Cockpit, Seen, heading_kept

MOST_CUT_DEG = 30.0      # common practice, no source
_CUT_DEG = 60.0          # at full scale; half of it is the most
_STEADY_DPS = 1.0        # drift is read between turns, not in them
_WORTH_DEG = 2.0         # a smaller change of heading is not ordered


def course_heading(controls: Controls, seen: Seen) -> float | None:
    """Return the heading (deg, on the heading reference) that leads back to the course; None under the needle's flag.

    With the GPS alight it allows for the drift that heading and track show.
    """
    shown = seen.shown
    if shown["course_flag"] > 0.5:
        return None
    cut = FLOATS.clip(_CUT_DEG * shown["course_deviation"], -MOST_CUT_DEG, MOST_CUT_DEG)
    drift = 0.0
    if controls.heading_by != BY_GPS_TRACK and shown["gps_on"] > 0.5 and abs(shown["turn_rate_dps"]) < _STEADY_DPS:
        drift = wrap_deg(FLOATS, heading_kept(controls, seen) - shown["track_deg"])
    return float((controls.course_deg + cut + drift) % 360.0)


def kept_on_course(cockpit: Cockpit, seen: Seen) -> Cockpit:
    """Return `cockpit` with the heading ordered anew where the needle wants another one; not in a turn, nor unseen."""
    wanted = course_heading(cockpit.controls, seen)
    if wanted is None or "navigation" in cockpit.covered or abs(seen.shown["turn_rate_dps"]) >= _STEADY_DPS:
        return cockpit
    if abs(wrap_deg(FLOATS, wanted - cockpit.controls.heading_deg)) < _WORTH_DEG:
        return cockpit
    return replace(cockpit, controls=replace(cockpit.controls, heading_deg=wanted))
