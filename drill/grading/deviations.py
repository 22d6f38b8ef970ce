"""How far the airplane strayed from what was ordered, beside the tolerances of the instrument standards.

IR.IV.A.S1 (FAA-S-ACS-8C): altitude within 100 ft, heading within 10 degrees, airspeed within 10 kt, bank within 5
degrees in turns. The hands fly, so this is told beside the grade and is no part of it. Each value counts from when it
was first reached after its order, so that a change that was ordered is no deviation; what ATC assigned counts after 90
seconds whether reached or not, unless the airplane is on its way there by an order to it. Who orders the wings level
wants to fly straight: there it counts how far the heading has turned within a minute, and slow drift does not.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import (
    HOLD_AIRSPEED,
    HOLD_ALTITUDE,
    HOLD_HEADING,
    KEEP_TURNING,
    TURN_TO_HEADING,
    WINGS_LEVEL,
)
from drill.airplane.steering import turn_bank_deg
from drill.flight.events import Assigned, Trace
from drill.grading.debrief import Deviation
from drill.grading.timeline import number

REACHED_FT = 100.0       # until then the speed is the climb's or the descent's
ASSIGNED_S = 90.0        # to hear, read back and fly what ATC assigned (the author's choice)
BY_ATC = " assigned by ATC"
STRAIGHT = "heading, wings ordered level"
STRAIGHT_S, SETTLES_S = 60.0, 15.0   # it is compared with that of a minute before, and not while the wings come level
ROLL_OUT_DEG = 15.0      # a turn to a heading is being ended within about half the bank of it, and some


@dataclass(frozen=True, slots=True)
class _Measure:
    what: str
    unit: str
    tolerance: float
    order: Callable[[Trace], tuple[float, ...] | None]   # what is ordered; None: nothing to be kept now
    off: Callable[[Trace], float]                        # how far from it, without sign
    within_s: float = math.inf                           # so long after the order it counts, reached or not
    under_way: Callable[[Trace], bool] = lambda _: False   # not yet to be kept
    always: Callable[[Trace], bool] = lambda _: False      # counts whether reached or under way


def deviations(
    traces: Sequence[Trace], assigned: Sequence[Assigned] = (), free_s: float | None = None,
    cruise_most_kt: float = math.inf,
) -> tuple[Deviation, ...]:
    """Return the worst of each value and for how long (s) it was beyond its tolerance; without traces nothing.

    `assigned` are ATC's assignments in the order of time; headings and altitudes are the pilot's from `free_s` on.
    Speed beyond the green arc (`cruise_most_kt`) counts in every climb and descent.
    """
    traces = [trace for trace in traces if number(trace.true, "parked") < 0.5]
    bound = [trace for trace in traces if free_s is None or trace.t < free_s]
    measures = [*((measure, traces) for measure in (*_MEASURES, _airspeed(traces, cruise_most_kt))),
                *((measure, bound) for measure in _by_atc(assigned))]
    found = [_measured(measure, of) for measure, of in measures] + [_straight(traces)]
    return tuple(each for each in found if each is not None)


def _straight(traces: Iterable[Trace]) -> Deviation | None:
    """Return how far the airplane turned within a minute while it was to fly wings level; None: it never was to."""
    past: deque[Trace] = deque()
    since: float | None = None
    worst = beyond = 0.0
    seen = False
    for trace in traces:
        if number(trace.controls, "lateral", -1.0) != WINGS_LEVEL or number(trace.shown, "autopilot_on") > 0.5:
            past.clear()
            since = None
            continue
        since = trace.t if since is None else since
        if trace.t - since < SETTLES_S:
            continue
        past.append(trace)
        while trace.t - past[0].t > STRAIGHT_S:
            past.popleft()
        off = _apart(number(trace.true, "heading_deg"), number(past[0].true, "heading_deg"))
        seen, worst = True, max(worst, off)
        beyond += 1.0 if off > 10.0 else 0.0
    if not seen:
        return None
    return Deviation(what=STRAIGHT, worst=round(worst, 1), unit="deg", tolerance=10.0, beyond_s=beyond)


def _measured(measure: _Measure, traces: Iterable[Trace]) -> Deviation | None:
    worst = beyond = 0.0
    order: tuple[float, ...] | None = None
    reached = seen = False
    since = 0.0
    for trace in traces:
        now = measure.order(trace)
        if now != order:
            order, reached, since = now, False, trace.t
        if now is None:
            continue
        off, always = measure.off(trace), measure.always(trace)
        if measure.under_way(trace) and not always:
            continue
        reached = reached or off <= measure.tolerance or trace.t - since >= measure.within_s
        if reached or always:
            seen = True
            worst = max(worst, off)
            beyond += 1.0 if off > measure.tolerance else 0.0
    if not seen:
        return None
    return Deviation(what=measure.what, worst=round(worst, 1), unit=measure.unit, tolerance=measure.tolerance,
                     beyond_s=beyond)


def _altitude_order(trace: Trace) -> tuple[float, ...] | None:
    if number(trace.controls, "vertical") != HOLD_ALTITUDE or "altitude_ft" not in trace.controls:
        return None
    return (number(trace.controls, "altitude_ft"),)


def _heading_order(trace: Trace) -> tuple[float, ...] | None:
    if number(trace.controls, "lateral", -1.0) not in (HOLD_HEADING, TURN_TO_HEADING):
        return None
    return (number(trace.controls, "heading_deg"),)


def _airspeed_order(trace: Trace) -> tuple[float, ...] | None:
    if number(trace.controls, "power", -1.0) != HOLD_AIRSPEED or "airspeed_kt" not in trace.controls:
        return None
    return (number(trace.controls, "airspeed_kt"),)


def _airspeed(traces: Sequence[Trace], cruise_most_kt: float) -> _Measure:
    changing = _changing(traces)
    return _Measure("airspeed", "kt", 10.0, _airspeed_order, _off("airspeed_kt"),
                    under_way=lambda trace: trace.t in changing,
                    always=lambda trace: number(trace.true, "airspeed_kt") > cruise_most_kt)


def _changing(traces: Sequence[Trace]) -> frozenset[float]:
    """Return the times (s) from each order to another altitude until it was first reached."""
    found: set[float] = set()
    order: tuple[float, ...] | None = None
    reached = True
    for trace in traces:
        now = _altitude_order(trace)
        if now != order:
            order, reached = now, now is None
        reached = reached or _off("altitude_ft")(trace) <= REACHED_FT
        if not reached:
            found.add(trace.t)
    return frozenset(found)


def _turn_order(trace: Trace) -> tuple[float, ...] | None:
    lateral = number(trace.controls, "lateral", -1.0)
    if lateral == KEEP_TURNING or (lateral == TURN_TO_HEADING and _heading_off(trace) > ROLL_OUT_DEG):
        return (lateral, number(trace.controls, "heading_deg"), number(trace.controls, "turn_rate_dps"))
    return None


def _heading_off(trace: Trace) -> float:
    return _apart(number(trace.true, "heading_deg"), number(trace.controls, "heading_deg"))


def _apart(one_deg: float, other_deg: float) -> float:
    return abs(float(wrap_deg(FLOATS, one_deg - other_deg)))


def _bank_off(trace: Trace) -> float:
    speed, altitude = number(trace.true, "airspeed_kt"), number(trace.true, "altitude_ft")
    wanted = float(turn_bank_deg(FLOATS, number(trace.controls, "turn_rate_dps"), speed, altitude))
    return abs(abs(number(trace.true, "bank_deg")) - abs(wanted))


def _by_atc(assigned: Sequence[Assigned]) -> tuple[_Measure, ...]:
    """The same against what ATC assigned, whatever was ordered to the hands."""
    times = [event.t for event in assigned]

    def given(trace: Trace) -> Assigned | None:
        place = bisect_right(times, trace.t) - 1
        return assigned[place] if place >= 0 else None

    def altitude(trace: Trace) -> tuple[float, ...] | None:
        event = given(trace)
        return None if event is None else _known(event.altitude_ft)

    def heading(trace: Trace) -> tuple[float, ...] | None:
        event = given(trace)
        return None if event is None or event.approach is not None else _known(event.heading_deg)

    def off_altitude(trace: Trace) -> float:
        return _finite(abs(number(trace.true, "altitude_ft") - (altitude(trace) or (0.0,))[0]))

    def off_heading(trace: Trace) -> float:
        return _finite(abs(float(wrap_deg(FLOATS, number(trace.true, "heading_deg") - (heading(trace) or (0.0,))[0]))))

    there: dict[tuple[float, ...], bool] = {}

    def climbing(trace: Trace) -> bool:
        wanted = altitude(trace)
        ordered = _altitude_order(trace)
        if wanted is None or ordered is None or abs(ordered[0] - wanted[0]) > REACHED_FT:
            return False
        key = (*wanted, float(bisect_right(times, trace.t)))
        there[key] = there.get(key, False) or off_altitude(trace) <= REACHED_FT
        return not there[key]

    return (_Measure(f"altitude{BY_ATC}", "ft", 100.0, altitude, off_altitude, ASSIGNED_S, climbing),
            _Measure(f"heading{BY_ATC}", "deg", 10.0, heading, off_heading, ASSIGNED_S))


def _known(value: float | None) -> tuple[float, ...] | None:
    return (value,) if value is not None and math.isfinite(value) else None


def _finite(away: float) -> float:
    return away if math.isfinite(away) else 0.0


def _off(name: str) -> Callable[[Trace], float]:
    def off(trace: Trace) -> float:
        return _finite(abs(number(trace.true, name) - number(trace.controls, name)))
    return off


_MEASURES = (
    _Measure("altitude", "ft", 100.0, _altitude_order, _off("altitude_ft")),
    _Measure("heading", "deg", 10.0, _heading_order, _heading_off),
    _Measure("bank", "deg", 5.0, _turn_order, _bank_off),
)
