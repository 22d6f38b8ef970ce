"""Unsafe acts: what could have killed. Each caps the grade.

Never unsafe: declaring, refusing, asking for help. Neither is looked for here.
"""

from __future__ import annotations

from drill.flight.events import Trace
from drill.flight.readings import clock_words as clock
from drill.flight.readings import instrument_name
from drill.grading import sources, subjects
from drill.grading.affected import FLOWN_BY, spoiled, trusted
from drill.grading.debrief import UnsafeAct
from drill.grading.evidence import still_shown
from drill.grading.situation import Situation
from drill.grading.timeline import Onset, number
from drill.language.meaning import Uncover
from drill.scenario.acts import ActPattern
from drill.scenario.model import Field
from drill.scenario.names import same_place

HELD_S = 3               # seconds below a minimum altitude before it is called so: turbulence is no descent
FLOWN_S = 5              # seconds of flying by an uncovered instrument
CANCELS = ActPattern("cancel IFR")
APPROACH_NM = 10.0       # a cleared approach is flown within this distance of its field (the author's choice)


def unsafe_acts(situation: Situation) -> list[tuple[str, UnsafeAct]]:
    """Return the unsafe acts that no scenario need name, each with its subject, in the order of time."""
    found = [
        *((subjects.CANCEL, act) for act in _cancelled(situation)),
        *((subjects.ALTITUDE, act) for act in _too_low(situation)),
        *(("", act) for act in _trusted_again(situation)),
        *_out_of_limits(situation),
    ]
    return sorted(found, key=lambda each: each[1].at_s)


def _act(
    situation: Situation, act: str, at_s: float, part: str, reason: str, source: str, *about: str,
) -> UnsafeAct:
    return UnsafeAct(act=act, at_s=at_s, reason=reason, source=source, part=part, panel=situation.panel_at(at_s),
                     readings=situation.readings_at(at_s, about))


def _in_cloud(trace: Trace | None) -> bool:
    return trace is not None and "is in cloud" in trace.facts


def _cancelled(situation: Situation) -> list[UnsafeAct]:
    for deed in situation.line.deeds:
        cancels = deed.heard and CANCELS.matches(deed.action, deed.told)
        if cancels and _in_cloud(situation.line.at(deed.t)):
            return [_act(
                situation, "Cancelled IFR in cloud", deed.t, "decide",
                f"At {clock(deed.t)} IFR was cancelled while the airplane was in cloud: no separation, no help, no "
                "clearance to be there.", sources.CANCEL)]
    return []


def _too_low(situation: Situation) -> list[UnsafeAct]:
    low = 0
    for trace in situation.line.traces:
        if _lost(trace):
            return []
        floor = _floor_ft(situation, trace)
        low = low + 1 if _below(situation, trace, floor) else 0
        if low >= HELD_S:
            return [_act(
                situation, "Below a minimum altitude without visual reference", trace.t, "decide",
                f"At {clock(trace.t)} the airplane was in cloud at {number(trace.true, 'altitude_ft'):.0f} feet; the "
                f"minimum there was {floor:.0f}. Below it nothing keeps the ground away.", sources.MINIMUM_ALTITUDE,
                "altimeter")]
    return []


def _below(situation: Situation, trace: Trace, floor_ft: float) -> bool:
    if not _in_cloud(trace) or number(trace.true, "altitude_ft", floor_ft) >= floor_ft:
        return False
    if number(trace.true, "on_ground") > 0.0:
        return False
    # An altimeter that stands still above the minimum, before anything could have told so, is nobody's act.
    lies = number(trace.shown, "altitude_ft", floor_ft) >= floor_ft + 100.0
    known = [t for onset in situation.onsets if (t := situation.evident_s(onset)) is not None]
    return not lies or any(t <= trace.t for t in known)


def _floor_ft(situation: Situation, trace: Trace) -> float:
    """Return the lowest altitude (ft) for cloud here: within ten miles of the field of a cleared approach, its own."""
    scenario = situation.scenario
    cleared = [event.approach for event in situation.line.assigned if event.t <= trace.t and event.approach is not None]
    if cleared:
        field = _field_of(cleared[-1], scenario.fields, trace)
        if field is not None:
            return field.minimums_ft if field.minimums_ft is not None else field.elevation_ft
    return scenario.minimum_altitude_ft


def _field_of(approach: str, fields: tuple[Field, ...], trace: Trace) -> Field | None:
    near = [field for field in fields if number(trace.values, f"distance to {field.name}", 999.0) <= APPROACH_NM]
    named = [field for field in near
             if field.name.lower() in approach.lower() or any(same_place(approach, each) for each in field.approaches)]
    return next(iter(named or near), None)


def _trusted_again(situation: Situation) -> list[UnsafeAct]:
    for onset in situation.onsets:
        for deed in situation.line.deeds:
            if isinstance(deed.action, Uncover) and deed.t > onset.t:
                what = deed.action.what
                flown = _flown_by(situation, onset, what, deed.t) if what in spoiled(onset) & FLOWN_BY else None
                if flown is not None:
                    return [_act(
                        situation, "Trusted a covered instrument again", flown, "aviate",
                        f"The {instrument_name(what)} was uncovered at {clock(deed.t)}, while it still failed, and at "
                        f"{clock(flown)} the hands flew by it again.", sources.GYROS, what,
                        "magnetic_compass" if what == "heading_indicator" else "turn_coordinator")]
    return []


def _flown_by(situation: Situation, onset: Onset, what: str, start: float) -> float | None:
    seconds = 0
    for trace, shown in still_shown(situation.line, onset, start):
        if what in trace.covered:
            return None
        seconds = seconds + 1 if shown and what in trusted(trace.controls) else 0
        if seconds >= FLOWN_S:
            return trace.t - FLOWN_S + 1.0
    return None


def _lost(trace: Trace) -> bool:
    return any(number(trace.true, name) > 0.0 for name in ("spiral", "broken"))


def _out_of_limits(situation: Situation) -> list[tuple[str, UnsafeAct]]:
    frame = situation.scenario.airplane.airframe
    ended = situation.line.ended
    found: list[tuple[str, UnsafeAct]] = []
    lost = next((trace.t for trace in situation.line.traces if _lost(trace)), None)
    if lost is None and ended is not None and situation.lost_control:
        lost = ended.t
    if lost is not None:
        how = {"hit the ground": "; in the end it met the ground", "broke up": "; in the end it broke up"}.get(
            ended.outcome if ended is not None else "", "")
        found.append((subjects.BANK, _act(
            situation, "Lost control of the airplane", lost, "aviate",
            f"At {clock(lost)} the airplane was out of control{how}.", sources.CONTROL,
            "attitude_indicator", "turn_coordinator", "airspeed_indicator", "altimeter")))
    if ended is not None and ended.outcome == "below minimums":
        found.append((subjects.ALTITUDE, _act(
            situation, "Went below minimums", ended.t, "decide",
            f"At {clock(ended.t)} the airplane was below the approach's minimums without the runway in sight.",
            sources.MINIMUM_ALTITUDE, "altimeter")))
    for name, subject, act, limit, instruments in (
        ("beyond_never_exceed", subjects.SPEED, "Beyond never-exceed speed", f"{frame.never_exceed_kt:.0f} knots", ()),
        ("beyond_limit_load", "", "Beyond the limit load", f"{frame.load_limit_g:.1f} g", ("turn_coordinator",)),
    ):
        beyond = next((trace.t for trace in situation.line.traces if number(trace.true, name) > 0.0), None)
        if beyond is not None:
            found.append((subject, _act(
                situation, act, beyond, "aviate", f"At {clock(beyond)} the airplane was beyond its limit of {limit}.",
                sources.LIMITS, "airspeed_indicator", *instruments)))
    return found
