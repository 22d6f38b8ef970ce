"""The glide path of an ILS: three degrees down to the runway; in cloud nothing keeps the ground away below it.

Our panel has no glide-slope needle; the path is flown by distance and altitude, some 320 feet a mile. Counted is what
lies off it on a cleared ILS and in cloud: below, lower than ATC has kept the airplane until established, for level
flight to where the path comes down is how an approach begins; above, once the path has come down past the airplane.
Full scale is 0.7 degrees (AIM 1-1-9, from memory), the standard allows three quarters of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.events import Assigned, Trace
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.debrief import Deviation, Finding
from drill.grading.situation import Situation
from drill.grading.timeline import lasting, number
from drill.scenario.model import Field

ITEM = "Keep the glide path"
WHAT = "glide path"
PATH_DEG, FULL_SCALE_DEG = 3.0, 0.7
TOLERANCE_DEG = 0.75 * FULL_SCALE_DEG
THRESHOLD_FT = 50.0
FEET_PER_NM = 6076.0
NEAREST_NM, FARTHEST_NM = 1.0, 12.0
HELD_S = 10.0
ESTABLISHED_FT = 100.0   # IR.IV.A.S1: lower than this below the altitude to be kept until established, it was left
ALIGNED_DEG = 45.0


@dataclass(frozen=True, slots=True)
class _Off:
    """A second of an approach: how far above the path (negative: below), in degrees and in feet."""

    t: float
    deg: float
    feet: float
    distance_nm: float


def grade_glide_path(situation: Situation) -> list[Finding]:
    """Return the finding on the path of a cleared ILS; none where it was not come to in cloud."""
    approach = _approach(situation)
    if not approach:
        return []
    off = [each for each in approach if abs(each.deg) > TOLERANCE_DEG]
    if len(off) < HELD_S:
        return [situation.finding(ITEM, "aviate", "kept", None, "On the ILS the airplane stayed on the glide path.",
                                  sources.GLIDE_PATH, score=1.0)]
    worst = max(off, key=lambda each: abs(each.deg))
    full = abs(worst.deg) > FULL_SCALE_DEG
    below = worst.deg < 0.0
    why = ("Below it nothing in cloud keeps the ground away." if below
           else "From above it there is no landing; an approach that is not flown down is given up aloud.")
    return [situation.finding(
        ITEM, "aviate", "broken", off[0].t,
        f"From {clock(off[0].t)} the airplane was {'below' if off[0].deg < 0.0 else 'above'} the glide path, "
        f"{lasting(len(off))} off it in all; at the worst, {worst.distance_nm:.1f} miles out, {abs(worst.feet):.0f} "
        f"feet {'below' if below else 'above'}{', more than full scale' if full else ''}. The path comes down some "
        f"{FEET_PER_NM * math.tan(math.radians(PATH_DEG)):.0f} feet a mile. {why}", sources.GLIDE_PATH,
        weight="critical" if full and below else "major",
        better="level off until the path comes down to you; or go around" if below else "descend with the path; or go "
        "around, and tell ATC", score=0.0 if full else 0.5, about=("altimeter", "navigation"))]


def glide_path_deviation(situation: Situation) -> tuple[Deviation, ...]:
    """Return how far off the path the airplane was, beside the standard's tolerance; nothing without an ILS."""
    approach = _approach(situation)
    if not approach:
        return ()
    off = [abs(each.deg) for each in approach]
    return (Deviation(what=WHAT, worst=round(max(off), 1), unit="deg", tolerance=round(TOLERANCE_DEG, 1),
                      beyond_s=float(sum(each > TOLERANCE_DEG for each in off))),)


def _approach(situation: Situation) -> list[_Off]:
    """Return the seconds of the first cleared ILS from where the path was come to."""
    line = situation.line
    cleared = [each for each in line.assigned if each.approach is not None and "ils" in each.approach.lower()]
    if not cleared:
        return []
    field = _field(situation, cleared[0])
    kept = next((each.altitude_ft for each in cleared if each.altitude_ft is not None), None)
    kept = situation.scenario.minimum_altitude_ft if kept is None or not math.isfinite(kept) else kept
    if field is None:
        return []
    found = []
    over = next((each.t for each in line.assigned if each.t > cleared[0].t and each.approach is None), math.inf)
    come_to = False
    for trace in line.between(cleared[0].t, over):
        off = _off(trace, field)
        if off is None or "is in cloud" not in trace.facts:
            continue
        come_to = come_to or abs(off.deg) <= TOLERANCE_DEG
        left = number(trace.true, "altitude_ft") < kept - ESTABLISHED_FT
        if (off.deg < 0.0 and left) or (off.deg >= 0.0 and come_to):
            found.append(off)
    return found


def _field(situation: Situation, event: Assigned) -> Field | None:
    trace = situation.line.at(event.t)
    served = [field for field in situation.scenario.fields if any("ils" in each.lower() for each in field.approaches)]
    if trace is None or not served:
        return None
    return min(served, key=lambda field: number(trace.values, f"distance to {field.name}", math.inf))


def _off(trace: Trace, field: Field) -> _Off | None:
    distance = number(trace.values, f"distance to {field.name}", -1.0)
    heading = number(trace.true, "heading_deg")
    course = heading if field.runway_deg is None else field.runway_deg
    if not NEAREST_NM <= distance <= FARTHEST_NM or abs(float(wrap_deg(FLOATS, heading - course))) > ALIGNED_DEG:
        return None
    out_ft = distance * FEET_PER_NM
    height = number(trace.true, "altitude_ft") - field.elevation_ft - THRESHOLD_FT
    return _Off(trace.t, math.degrees(math.atan2(height, out_ft)) - PATH_DEG,
                height - out_ft * math.tan(math.radians(PATH_DEG)), distance)
