"""The evidence clock: when what was shown could have told an attentive pilot that something was wrong.

It reads the panel and never the truth; only which signs it asks for depends on the failed part. It is a lower bound on
what a careful cross-check could have known, not what anybody ought to have seen. The lengths of a look and of a
disagreement are the author's choices, made on the safe side of the hands' wander; a finer clock can replace
`evidence` as it stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from drill.airplane.arith import FLOATS, wrap_deg
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
AIRSPEED_DEAD_KT = 35.0


@dataclass(frozen=True, slots=True)
class Evidence:
    """When and by what a failure showed itself."""

    t: float
    words: str


@dataclass(frozen=True, slots=True)
class Sign:
    """A thing to be seen. `apart` is how far a reading is from right, None where nothing can be told at that moment.

    It is there once `apart` has been above `limit` for `for_s` seconds of readings (a disagreement that wanders
    with the air: its mean, without sign), or at once, when the pilot looks at one of `seen_on` and finds it so.
    """

    words: str
    seen_on: frozenset[str]
    covered_by: str
    for_s: float
    limit: float
    apart: Callable[[Trace], float | None]
    wanders: bool = False


def implied_bank_deg(turn_rate_dps: float, airspeed_kt: float, altitude_ft: float) -> float:
    """Return the bank (degrees) of a coordinated turn at that rate; true airspeed by 2 percent a thousand feet.

    tan(bank) = rate x V / g, g 9.80665 m/s2.
    """
    speed = airspeed_kt * (1.0 + 0.02 * altitude_ft / 1000.0) * 0.514444
    return math.degrees(math.atan(math.radians(turn_rate_dps) * speed / 9.80665))


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


def _airspeed_dead(trace: Trace) -> float | None:
    return AIRSPEED_DEAD_KT - number(trace.shown, "airspeed_kt", 100.0)


_PANEL = frozenset({"panel"})
_GYROS = frozenset({"attitude_indicator", "heading_indicator"})
SUCTION = Sign("the suction gauge was below 4 inches", _PANEL | {"suction_gauge", "vacuum_system"}, "suction_gauge",
               LOOK_S, 0.0, _suction)
VACUUM_LIGHT = Sign("the low-vacuum light was on", _PANEL | {"vacuum_system"}, "", LIGHT_S, 0.5,
                    _flag("low_vacuum_light"))
TUMBLED = Sign("the attitude indicator had tumbled", _PANEL | {"attitude_indicator"}, "attitude_indicator", FLAG_S, 0.5,
               _flag("attitude_tumbled"))
BANKS = Sign("the attitude indicator and the turn coordinator did not show the same bank",
             _PANEL | {"attitude_indicator", "turn_coordinator"}, "attitude_indicator", BANK_APART_S, BANK_APART_DEG,
             _banks, wanders=True)
HEADINGS = Sign("the heading indicator and the compass were more than 10 degrees apart in steady flight",
                _PANEL | {"heading_indicator", "magnetic_compass"}, "heading_indicator", HEADING_APART_S,
                HEADING_APART_DEG, _headings, wanders=True)
TURN_FLAG = Sign("the turn coordinator's flag was out", _PANEL | {"turn_coordinator"}, "turn_coordinator", FLAG_S, 0.5,
                 _flag("turn_flag"))
VOLTAGE_LIGHT = Sign("the low-voltage light was on", _PANEL | {"alternator", "voltmeter"}, "", LIGHT_S, 0.5,
                     _flag("low_voltage_light"))
DISCHARGE = Sign("the ammeter showed a discharge", _PANEL | {"ammeter", "alternator"}, "ammeter", LOOK_S, 0.0,
                 _discharge)
AIRSPEED = Sign("the airspeed indicator had fallen to nothing", _PANEL | {"airspeed_indicator"}, "airspeed_indicator",
                FLAG_S, 0.0, _airspeed_dead)

EVERY = (SUCTION, VACUUM_LIGHT, TUMBLED, BANKS, HEADINGS, TURN_FLAG, VOLTAGE_LIGHT, DISCHARGE, AIRSPEED)
_VACUUM = (SUCTION, VACUUM_LIGHT, TUMBLED, BANKS, HEADINGS)
_SIGNS_OF = {
    "vacuum pump": _VACUUM,
    "vacuum filter": _VACUUM,
    "vacuum line": _VACUUM,
    "attitude indicator": (TUMBLED, BANKS),
    "heading indicator": (HEADINGS,),
    "turn coordinator": (TURN_FLAG, BANKS),
    "magnetic compass": (HEADINGS,),
    "alternator": (VOLTAGE_LIGHT, DISCHARGE, TURN_FLAG),
    "pitot tube": (AIRSPEED,),
    "suction gauge": (),                   # stuck where it was, it shows nothing by itself
}


def signs_of(part: str) -> tuple[Sign, ...]:
    """Return the signs that a failure of `part` can give; every known one for a part that has no list."""
    return _SIGNS_OF.get(part, EVERY)


def evidence(line: Timeline, onset: Onset) -> Evidence | None:
    """Return when and by what the failure showed itself first; None: never, or not before the record ended."""
    end = math.inf if onset.healed is None else onset.healed
    traces = list(line.between(onset.t, end))
    found = [sign for each in signs_of(onset.part) if (sign := _first(line, each, traces)) is not None]
    return min(found, key=lambda sign: sign.t, default=None)


def still_shown(line: Timeline, onset: Onset, t: float) -> bool:
    """Say whether the failure's own sign is (still) to be seen at `t`: suction that is back is no longer out."""
    trace = line.at(t)
    if trace is None or (onset.healed is not None and t >= onset.healed):
        return False
    if SUCTION in signs_of(onset.part):
        apart = _suction(trace)
        return apart is not None and apart > -0.5
    return True


def _first(line: Timeline, sign: Sign, traces: Iterable[Trace]) -> Evidence | None:
    looks = [deed.t for deed in line.deeds if looked_at(deed.action) & sign.seen_on]
    sustained: list[tuple[float, float]] = []
    for trace in traces:
        apart = None if sign.covered_by in trace.covered else sign.apart(trace)
        if apart is None:
            continue
        sustained.append((trace.t, apart))
        if _shows(sustained, sign, trace.t, sign.for_s):
            return Evidence(trace.t, sign.words)
        if any(trace.t - 1.0 < look <= trace.t for look in looks) and _shows(sustained, sign, trace.t, 2.0):
            return Evidence(trace.t, f"{sign.words}, and was looked at")
    return None


def _shows(readings: list[tuple[float, float]], sign: Sign, t: float, for_s: float) -> bool:
    wanted = int(for_s) + 1
    if len(readings) < wanted:
        return False
    window = readings[-wanted:]
    # Readings that cannot be told (a turn, a cover) may lie between; too many of them and the older ones are stale.
    if t - window[0][0] > 3.0 * for_s:
        return False
    if sign.wanders:
        return abs(sum(apart for _, apart in window)) / wanted > sign.limit
    return all(apart > sign.limit for _, apart in window)
