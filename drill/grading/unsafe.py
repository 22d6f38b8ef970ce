"""Unsafe acts: what could have killed. Each caps the grade.

Never unsafe: declaring, refusing, asking for help. Neither is looked for here.
"""

from __future__ import annotations

from drill.airplane.controls import HOLD_ALTITUDE
from drill.flight.events import Trace
from drill.flight.readings import clock_words as clock
from drill.flight.readings import instrument_name
from drill.grading import sources, subjects
from drill.grading.affected import FLOWN_BY, flown_by, spoiled
from drill.grading.debrief import Finding, UnsafeAct
from drill.grading.evidence import still_shown
from drill.grading.situation import Situation
from drill.grading.timeline import Deed, Onset, Timeline, number
from drill.language.meaning import Transmit, Uncover
from drill.scenario.acts import ActPattern
from drill.scenario.model import Field
from drill.scenario.names import same_place

HELD_S = 3               # seconds below a minimum altitude before it is called so: turbulence is no descent
WANDER_FT = 100.0        # IR.IV.A.S1 (FAA-S-ACS-8C): the hands' own, about an altitude at or above the minimum
CLIMBING_FPM = 200.0     # no descent: on the way up, as after a missed approach (the author's choice)
ON_APPROACH_FT = 50.0    # the same about an approach's minimums (the author's choice; the standard allows none)
ORDERED_S = 10           # seconds below by however little, where nothing ordered keeps the airplane above it
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
                     readings=situation.readings_at(at_s, about), about=about)


def _in_cloud(trace: Trace | None) -> bool:
    return trace is not None and "is in cloud" in trace.facts


def cancels(line: Timeline, deed: Deed) -> bool:
    """Say whether the deed cancelled IFR: ATC heard it, and the clearance did not remain in effect."""
    return deed.heard and CANCELS.matches(deed.action, deed.told) and not taken_back(line, deed)


def taken_back(line: Timeline, deed: Deed) -> bool:
    """Say whether a cancellation came to nothing: ATC kept the clearance, or the pilot took it back before the end."""
    received = min((heard.t for heard in line.heard if heard.to_us and heard.t >= deed.t
                    and "cancellation received" in heard.words.lower()), default=line.flown_s + 1.0)
    kept = any(heard.to_us and "clearance remains in effect" in heard.words.lower()
               for heard in line.heard if deed.t <= heard.t < received)
    return kept or any(isinstance(later.action, Transmit)
                       and any(reply.kind == "negative" for reply in later.action.meaning.replies)
                       for later in line.calls() if deed.t < later.t < received)


def grade_cancellation(situation: Situation) -> list[Finding]:
    """Return a remark on a cancellation in cloud that came to nothing."""
    if _cancelled(situation):
        return []
    line = situation.line
    deed = next((each for each in line.deeds if each.heard and CANCELS.matches(each.action, each.told)
                 and _in_cloud(line.at(each.t))), None)
    if deed is None:
        return []
    return [situation.finding(
        "Cancel IFR in visual conditions only", "decide", "remark", deed.t,
        f"At {clock(deed.t)}, in cloud, IFR was offered to be cancelled. It was taken back in time: the clearance "
        "remained in effect.", sources.CANCEL, weight="minor",
        better="keep the clearance until in visual conditions", score=0.5)]


def _cancelled(situation: Situation) -> list[UnsafeAct]:
    line = situation.line
    for deed in line.deeds:
        if not cancels(line, deed):
            continue
        false = _confirmed_in_cloud(line, deed)
        if false is not None and not _in_cloud(line.at(deed.t)):
            return [_act(
                situation, "Cancelled IFR in cloud", false.t, "decide",
                f"At {clock(false.t)} ATC was told of visual conditions, in cloud, and cancelled IFR by it: no "
                "separation, no help, no clearance to be there.", sources.CANCEL)]
        if _in_cloud(line.at(deed.t)):
            return [_act(
                situation, "Cancelled IFR in cloud", deed.t, "decide",
                f"At {clock(deed.t)} IFR was cancelled while the airplane was in cloud: no separation, no help, no "
                "clearance to be there.", sources.CANCEL)]
    return []


def _confirmed_in_cloud(line: Timeline, asked: Deed) -> Deed | None:
    """Return the false report of visual conditions, made in cloud, by which ATC took a cancellation; None: there is
    none."""
    received = next((heard.t for heard in line.heard if heard.to_us and heard.t >= asked.t
                     and "cancellation received" in heard.words.lower()), None)
    verify = next((heard.t for heard in line.heard if heard.to_us and heard.wants == "visual" and heard.t >= asked.t),
                  None)
    if received is None or verify is None:
        return None
    return next((deed for deed in line.calls() if isinstance(deed.action, Transmit) and deed.heard
                 and verify <= deed.t <= received and _in_cloud(line.at(deed.t))
                 and (deed.action.meaning.conditions == "vmc"
                      or any(reply.kind == "affirmative" for reply in deed.action.meaning.replies))), None)


def _too_low(situation: Situation) -> list[UnsafeAct]:
    deep = low = 0
    for trace in situation.line.traces:
        if _lost(trace):
            return []
        floor, wander = _floor_ft(situation, trace)
        below = _below_ft(situation, trace, floor)
        deep = deep + 1 if below > wander else 0
        low = low + 1 if below > 0.0 and not _kept_above(trace, floor) else 0
        if deep >= HELD_S or low >= ORDERED_S:
            return [_act(
                situation, "Below a minimum altitude without visual reference", trace.t, "decide",
                f"At {clock(trace.t)} the airplane was in cloud at {number(trace.true, 'altitude_ft'):.0f} feet; the "
                f"minimum there was {floor:.0f}. Below it nothing keeps the ground away.",
                sources.BELOW_MINIMUMS if wander == ON_APPROACH_FT else sources.MINIMUM_ALTITUDE, "altimeter")]
    return []


def _kept_above(trace: Trace, floor_ft: float) -> bool:
    return (number(trace.controls, "vertical", -1.0) == HOLD_ALTITUDE
            and number(trace.controls, "altitude_ft", floor_ft - 1.0) >= floor_ft)


def _below_ft(situation: Situation, trace: Trace, floor_ft: float) -> float:
    """Return how far (ft) below the minimum the airplane is by anybody's act; 0: it is not."""
    below = floor_ft - number(trace.true, "altitude_ft", floor_ft)
    if not _in_cloud(trace) or below <= 0.0 or number(trace.true, "on_ground") > 0.0:
        return 0.0
    if number(trace.true, "vertical_speed_fpm") > CLIMBING_FPM:
        return 0.0
    # An altimeter that stands still above the minimum, before anything could have told so, is nobody's act.
    lies = number(trace.shown, "altitude_ft", floor_ft) >= floor_ft + 100.0
    known = [t for onset in situation.onsets if (t := situation.evident_s(onset)) is not None]
    return below if not lies or any(t <= trace.t for t in known) else 0.0


def _floor_ft(situation: Situation, trace: Trace) -> tuple[float, float]:
    """Return the lowest altitude (ft) for cloud here, and how far (ft) hands that keep it may wander below.

    Within ten miles of the field of a cleared approach they are the approach's own.
    """
    scenario = situation.scenario
    cleared = next((event.approach for event in reversed(situation.line.assigned) if event.t <= trace.t), None)
    if cleared is not None:
        field = _field_of(cleared, scenario.fields, trace)
        if field is not None:
            return (field.minimums_ft if field.minimums_ft is not None else field.elevation_ft), ON_APPROACH_FT
    return scenario.minimum_altitude_ft, WANDER_FT


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
        seconds = seconds + 1 if shown and what in flown_by(trace) else 0
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
            sources.BELOW_MINIMUMS, "altimeter")))
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
