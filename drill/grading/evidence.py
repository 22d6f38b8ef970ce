"""The evidence clock: when what was shown could have told an attentive pilot that something was wrong.

It reads the panel and never the truth; only which signs it asks for depends on the failed part. It is a lower bound on
what a careful cross-check could have known, not what anybody ought to have seen. The lengths of a look and of a
disagreement are the author's choices, made on the safe side of the hands' wander; a finer clock can replace
`evidence` as it stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.atmosphere import pressure_pa, tas_mps, temperature_k
from drill.airplane.constants import DEG, FOOT, KNOT, RAD
from drill.airplane.dials import SUCTION_GREEN_INHG
from drill.airplane.motion import standard_bank_rad
from drill.flight.events import Trace
from drill.grading.affected import looked_at
from drill.grading.timeline import Onset, Timeline, number

LOOK_S = 30.0            # a careful cross-check comes round to the gauges about this often (common practice, no source)
LIGHT_S = 5.0            # a light in the field of view
FLAG_S = 10.0            # a flag on an instrument of the scan
SUCTION_LOW_INHG = 4.0   # green is 4.5 to 5.5 (FAA-H-8083-15B; the airplane's handbook rules); half an inch below it
BANK_APART_DEG = 6.0
BANK_APART_S = 15.0
TURN_SLACK = 0.6         # for each degree a second of turn beyond half of one
HEADING_APART_DEG = 10.0
HEADING_APART_S = 30.0
STEADY_DPS = 1.0         # the compass is honest only in straight and level flight
NEEDLE_FULL_DPS = 5.0    # beyond, the turn needle is at its stop and shows no rate
DISCHARGE_A = -3.0
LOOKED_S = 2.0           # a look takes in so many seconds of readings
LOOKS_TOGETHER_S = 15.0  # looks so near each other are one comparison (the author's choice)
SUCTION_BACK_INHG = -0.5   # as `_suction` has it: in the green again


@dataclass(frozen=True, slots=True)
class Evidence:
    """When and by what a failure showed itself."""

    t: float
    words: str


@dataclass(frozen=True, slots=True)
class Sign:
    """A thing to be seen. `apart` is how far a reading is from right, None where nothing can be told at that moment.

    `read_on` are all the instruments that it takes; with one of them covered there is nothing to be seen. The sign is
    there once `apart` has been above `limit` for `for_s` seconds of readings (a disagreement that wanders with the
    air: its mean, without sign), or at once, when the pilot looks at all of `read_on` and `apart` is above `look_limit`
    (`limit` unless given).
    """

    words: str
    read_on: frozenset[str]
    for_s: float
    limit: float
    apart: Callable[[Trace], float | None]
    wanders: bool = False
    look_limit: float | None = None


def implied_bank_deg(turn_rate_dps: float, airspeed_kt: float, altitude_ft: float) -> float:
    """Return the bank (degrees) of a coordinated turn at that rate, by airspeed and altimeter in standard air."""
    height = min(max(altitude_ft, -1000.0), 30_000.0) * FOOT
    speed = tas_mps(FLOATS, min(max(airspeed_kt, 0.0), 400.0) * KNOT, pressure_pa(height), temperature_k(height))
    return float(standard_bank_rad(FLOATS, turn_rate_dps * DEG, speed)) * RAD


def _suction(trace: Trace) -> float | None:
    return SUCTION_LOW_INHG - number(trace.shown, "suction_inhg", 5.0)


def _banks(trace: Trace) -> float | None:
    rate = number(trace.shown, "turn_rate_dps")
    if number(trace.shown, "turn_flag") > 0.0 or number(trace.shown, "attitude_tumbled") > 0.0:
        return None
    implied = implied_bank_deg(rate, *_speed_and_height(trace))
    bank = number(trace.shown, "bank_deg")
    if abs(rate) >= NEEDLE_FULL_DPS and bank * rate > 0.0 and abs(bank) > abs(implied):
        return None
    # Nobody demands the agreement of straight flight in a turn: the needle lags, and a skid moves it.
    turning = max(abs(rate), abs(bank / implied_bank_deg(1.0, *_speed_and_height(trace)))) - 0.5
    return (bank - implied) / math.hypot(1.0, TURN_SLACK * max(turning, 0.0))


def _speed_and_height(trace: Trace) -> tuple[float, float]:
    # With no airspeed to be read the needle still means a bank; a slow airplane's is the least of it.
    return max(60.0, number(trace.shown, "airspeed_kt")), number(trace.shown, "altitude_ft")


def _headings(trace: Trace) -> float | None:
    if abs(number(trace.shown, "turn_rate_dps")) > STEADY_DPS:
        return None
    apart = number(trace.shown, "heading_deg") - number(trace.shown, "compass_deg")
    return float(wrap_deg(FLOATS, apart))


def _flag(name: str) -> Callable[[Trace], float | None]:
    return lambda trace: number(trace.shown, name)


def _discharge(trace: Trace) -> float | None:
    return DISCHARGE_A - number(trace.shown, "amps")


SUCTION = Sign("the suction gauge was below 4 inches", frozenset({"suction_gauge"}), LOOK_S, 0.0, _suction,
               look_limit=SUCTION_LOW_INHG - SUCTION_GREEN_INHG[0])
VACUUM_LIGHT = Sign("the low-vacuum light was on", frozenset({"suction_gauge"}), LIGHT_S, 0.5,
                    _flag("low_vacuum_light"))
TUMBLED = Sign("the attitude indicator had tumbled", frozenset({"attitude_indicator"}), FLAG_S, 0.5,
               _flag("attitude_tumbled"))
BANKS = Sign("the attitude indicator and the turn coordinator did not show the same bank",
             frozenset({"attitude_indicator", "turn_coordinator"}), BANK_APART_S, BANK_APART_DEG, _banks, wanders=True)
HEADINGS = Sign("the heading indicator and the compass were more than 10 degrees apart in steady flight",
                frozenset({"heading_indicator", "magnetic_compass"}), HEADING_APART_S, HEADING_APART_DEG, _headings,
                wanders=True)
TURN_FLAG = Sign("the turn coordinator's flag was out", frozenset({"turn_coordinator"}), FLAG_S, 0.5,
                 _flag("turn_flag"))
VOLTAGE_LIGHT = Sign("the low-voltage light was on", frozenset({"voltmeter"}), LIGHT_S, 0.5,
                     _flag("low_voltage_light"))
DISCHARGE = Sign("the ammeter showed a discharge", frozenset({"ammeter"}), LOOK_S, 0.0, _discharge)

_VACUUM = (SUCTION, VACUUM_LIGHT, TUMBLED, BANKS, HEADINGS)
_SIGNS_OF: Mapping[str, tuple[Sign, ...]] = {
    "vacuum pump": _VACUUM,
    "vacuum filter": _VACUUM,
    "vacuum line": _VACUUM,
    "attitude indicator": (TUMBLED, BANKS),
    "heading indicator": (HEADINGS,),
    "turn coordinator": (TURN_FLAG, BANKS),
    "magnetic compass": (HEADINGS,),
    "alternator": (VOLTAGE_LIGHT, DISCHARGE, TURN_FLAG),
    # Stuck where it was, dark or idle, these show nothing by themselves.
    "suction gauge": (),
    "low vacuum light": (),
    "standby vacuum": (),
}
PARTS = frozenset(_SIGNS_OF)
"""Parts whose failures this clock knows the signs of."""


def signs_of(part: str) -> tuple[Sign, ...]:
    """Return the signs that a failure of `part` can give; none for a part that is not of `PARTS`."""
    return _SIGNS_OF.get(part, ())


def evidence(line: Timeline, onset: Onset) -> Evidence | None:
    """Return when and by what this occurrence of the failure showed itself first; None: never while it lasted."""
    traces = _lasting(line, onset, onset.t)
    found = [sign for each in signs_of(onset.part) if (sign := _first(line, each, traces)) is not None]
    return min(found, key=lambda sign: sign.t, default=None)


def unreliable_s(line: Timeline, onset: Onset, instrument: str, evident_s: float) -> float | None:
    """Return when (s) a careful cross-check could have known that `instrument` itself was not to be flown by.

    The heading indicator outlives the pump by minutes: it is bad once it has left the compass, or is covered. For any
    other instrument that is when the failure showed itself.
    """
    if instrument != "heading_indicator" or onset.part == "heading indicator":
        return evident_s
    traces = _lasting(line, onset, evident_s)
    apart = _first(line, HEADINGS, traces)
    covered = next((trace.t for trace in traces if instrument in trace.covered), None)
    return min((t for t in (covered, None if apart is None else apart.t) if t is not None), default=None)


def still_shown(line: Timeline, onset: Onset, start: float) -> Iterator[tuple[Trace, bool]]:
    """Yield the traces from `start` (s), with whether the failure still counts: suction that is back is no longer out.

    A gauge that never fell (a clog behind its tap) says nothing about the gyros either way.
    """
    by_gauge = SUCTION in signs_of(onset.part)
    fell = False
    for trace in line.between(onset.t):
        apart = _suction(trace) if by_gauge else None
        fell = fell or (apart is not None and apart > 0.0)
        if trace.t >= start:
            yield trace, trace.t < onset.end_s and (apart is None or not fell or apart > SUCTION_BACK_INHG)


def _lasting(line: Timeline, onset: Onset, start: float) -> list[Trace]:
    """Return the traces from `start` (s) on, as long as the failure lasted."""
    return [trace for trace in line.between(start, onset.end_s) if trace.t < onset.end_s]


def _first(line: Timeline, sign: Sign, traces: Iterable[Trace]) -> Evidence | None:
    looks = [(deed.t, seen) for deed in line.deeds if (seen := looked_at(deed.action) & sign.read_on)]
    look_limit = sign.limit if sign.look_limit is None else sign.look_limit
    sustained: list[tuple[float, float]] = []
    for trace in traces:
        apart = None if sign.read_on & set(trace.covered) else sign.apart(trace)
        if apart is None:
            continue
        sustained.append((trace.t, apart))
        if _shows(sustained, sign, trace.t, sign.for_s, sign.limit):
            return Evidence(trace.t, sign.words)
        look = _looked(looks, sign.read_on, trace.t)
        if look is not None and _shows(sustained, sign, trace.t, LOOKED_S, look_limit):
            # The look was over before the second was: what is done at once upon it comes after the evidence.
            return Evidence(look, f"{sign.words}, and was looked at")
    return None


def _looked(looks: Sequence[tuple[float, frozenset[str]]], wanted: frozenset[str], t: float) -> float | None:
    """Return when, within the second up to `t`, a look ended that with those shortly before it saw all of `wanted`."""
    last = max((look for look, _ in looks if t - 1.0 < look <= t), default=None)
    if last is None:
        return None
    seen = frozenset().union(*(each for look, each in looks if last - LOOKS_TOGETHER_S <= look <= last))
    return last if wanted <= seen else None


def _shows(readings: list[tuple[float, float]], sign: Sign, t: float, for_s: float, limit: float) -> bool:
    wanted = int(for_s) + 1
    if len(readings) < wanted:
        return False
    window = readings[-wanted:]
    # Readings that cannot be told (a turn, a cover) may lie between; too many of them and the older ones are stale.
    if t - window[0][0] > 3.0 * for_s:
        return False
    if sign.wanders:
        return abs(sum(apart for _, apart in window)) / wanted > limit
    return all(apart > limit for _, apart in window)
