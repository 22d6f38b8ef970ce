"""Control: what the pilot commanded (the reference trusted, one thing at a time, rates), and what came of it.

The hands' own wander is not the pilot's; it is told by `deviations`.
"""

from __future__ import annotations

from drill.airplane.controls import BY_TURN, HOLD_ALTITUDE, KEEP_TURNING, TURN_TO_HEADING
from drill.flight.events import Trace
from drill.grading import sources
from drill.grading.affected import FLOWN_BY, listed, spoiled, trusted
from drill.grading.debrief import Finding
from drill.grading.recognize import MEAN_S, by_people
from drill.grading.situation import Situation
from drill.grading.timeline import Onset, clock, lasting, number
from drill.language.meaning import Altitude, Turn

AT_ONCE_S = 5.0          # two orders so near each other are given together (the author's choice)
ALTITUDE_TO_GO_FT = 150.0  # and so much, or such a turn, still to go means that the first order is not done yet
RATE_TO_GO_DPS = 1.5
STANDARD_DPS = 3.0
RATE_SLACK_DPS = 0.1


def grade_control(situation: Situation) -> list[Finding]:
    """Return the findings on flying the airplane."""
    if not situation.line.traces:
        return []
    return [
        *(finding for onset in situation.onsets for finding in _trust(situation, onset)),
        *_bank(situation), *_speed(situation), *_one_thing(situation), *_rate(situation),
    ]


def _left(situation: Situation, onset: Onset, start: float) -> float | None:
    """Return the first moment (s) from `start` at which the hands flew by nothing that the failure had spoiled."""
    bad = spoiled(onset) & FLOWN_BY
    return next((trace.t for trace in situation.line.between(start) if not trusted(trace.controls) & bad), None)


def _trust(situation: Situation, onset: Onset) -> list[Finding]:
    bad = spoiled(onset) & FLOWN_BY
    evident = situation.evident_s(onset)
    if not bad or evident is None:
        return []
    item = f"Stop flying by the {listed(bad)}"
    left = _left(situation, onset, evident)
    end = situation.line.flown_s if onset.healed is None else min(onset.healed, situation.line.flown_s)
    if left is not None and left < end + 1.0:
        delay = left - evident
        told = ("" if delay <= 1.0 else f"{lasting(delay)} after that ") + "the hands no longer flew by"
        return [situation.finding(
            item, "aviate", "late" if delay > MEAN_S else "done", left,
            f"A careful cross-check could have known at {clock(evident)}. {told[0].upper()}{told[1:]} what had failed.",
            sources.GYROS, weight="critical", score=by_people(delay))]
    if situation.line.ended is None and end - evident <= MEAN_S:
        return []
    then = situation.line.at(evident)
    still = listed(trusted(then.controls) & bad) if then is not None else listed(bad)
    return [situation.finding(
        item, "aviate", "missed", evident,
        f"A careful cross-check could have known at {clock(evident)}. The hands went on flying by the {still} for the "
        f"{lasting(end - evident)} that were left.", sources.GYROS, weight="critical",
        better="fly partial panel: turn coordinator, compass, altimeter and airspeed", score=0.0)]


def _bank(situation: Situation) -> list[Finding]:
    worst = max(situation.line.traces, key=lambda trace: abs(number(trace.true, "bank_deg")))
    bank = abs(number(worst.true, "bank_deg"))
    item = "Keep the bank small"
    if bank <= 30.0:
        return [situation.finding(item, "aviate", "kept", None,
                                  f"The airplane never banked beyond 30 degrees; the most was {bank:.0f}.",
                                  sources.BANK, score=1.0)]
    limit, score = (60, 0.0) if bank > 60.0 else (45, 0.3) if bank > 45.0 else (30, 0.6)
    first = next(trace for trace in situation.line.traces if abs(number(trace.true, "bank_deg")) > 30.0)
    return [situation.finding(
        item, "aviate", "broken", first.t,
        f"The airplane banked beyond 30 degrees at {clock(first.t)}; the most was {bank:.0f} at {clock(worst.t)}, "
        f"beyond {limit}. In cloud a steep bank becomes a spiral.", sources.BANK,
        weight="critical" if bank > 45.0 else "major", better="level wings", score=score)]


def _speed(situation: Situation) -> list[Finding]:
    frame = situation.scenario.airplane.airframe
    worst = max(situation.line.traces, key=lambda trace: number(trace.true, "airspeed_kt"))
    speed = number(worst.true, "airspeed_kt")
    item = "Keep the speed in the green"
    if speed <= frame.cruise_most_kt:
        return [situation.finding(item, "aviate", "kept", None,
                                  f"The most was {speed:.0f} knots, inside the green arc.", sources.SPEED,
                                  weight="minor", score=1.0)]
    beyond = speed > frame.never_exceed_kt
    return [situation.finding(
        item, "aviate", "broken", worst.t,
        f"{speed:.0f} knots at {clock(worst.t)}, beyond "
        + (f"never-exceed speed ({frame.never_exceed_kt:.0f})." if beyond
           else f"the green arc ({frame.cruise_most_kt:.0f}); that is for smooth air only."),
        sources.SPEED, weight="critical" if beyond else "minor",
        better="reduce power, level wings, then raise the nose", score=0.0 if beyond else 0.5)]


def _partial(trace: Trace | None) -> bool:
    return trace is not None and number(trace.controls, "bank_by") == BY_TURN


def _climbing(trace: Trace | None) -> bool:
    """Say whether an ordered change of altitude is still under way."""
    return (trace is not None and number(trace.controls, "vertical") == HOLD_ALTITUDE
            and abs(number(trace.shown, "altitude_ft") - number(trace.controls, "altitude_ft")) > ALTITUDE_TO_GO_FT)


def _turning(trace: Trace | None) -> bool:
    """Say whether an ordered turn is still under way."""
    return (trace is not None and number(trace.controls, "lateral") in (TURN_TO_HEADING, KEEP_TURNING)
            and abs(number(trace.shown, "turn_rate_dps")) > RATE_TO_GO_DPS)


def _one_thing(situation: Situation) -> list[Finding]:
    line = situation.line
    if not any(_partial(trace) for trace in line.traces):
        return []
    turns = [deed for deed in line.deeds if isinstance(deed.action, Turn) and _partial(line.at(deed.t))]
    levels = [deed for deed in line.deeds if isinstance(deed.action, Altitude) and deed.action.direction != "hold"
              and _partial(line.at(deed.t))]
    if not turns and not levels:
        return []
    together = sorted(
        {max(turn.t, level.t) for turn in turns for level in levels if abs(turn.t - level.t) <= AT_ONCE_S}
        | {turn.t for turn in turns if _climbing(line.at(turn.began - 1.0))}
        | {level.t for level in levels if _turning(line.at(level.began - 1.0))}
    )
    item = "One thing at a time on partial panel"
    if not together:
        return [situation.finding(item, "aviate", "kept", None,
                                  "Turns and changes of altitude were ordered one after the other.", sources.ONE_THING,
                                  weight="minor", score=1.0)]
    return [situation.finding(
        item, "aviate", "broken", together[0],
        f"At {clock(together[0])} a turn was ordered on top of a change of altitude, or the reverse. On partial "
        "panel each takes the whole scan.", sources.ONE_THING, weight="minor",
        better="the turn first; level; then the altitude", score=0.5 if len(together) == 1 else 0.0)]


def _rate(situation: Situation) -> list[Finding]:
    traces = [trace for trace in situation.line.traces if _partial(trace)]
    fast = [trace for trace in traces
            if abs(number(trace.controls, "turn_rate_dps", STANDARD_DPS)) > STANDARD_DPS + RATE_SLACK_DPS]
    item = "Standard rate or less on partial panel"
    if fast:
        rate = abs(number(fast[0].controls, "turn_rate_dps"))
        return [situation.finding(
            item, "aviate", "broken", fast[0].t,
            f"At {clock(fast[0].t)} a turn at {rate:.1f} degrees a second was ordered; on partial "
            "panel no more than 3.", sources.RATE, weight="minor", better="standard-rate turns", score=0.0)]
    if not traces:
        return []
    return [situation.finding(item, "aviate", "kept", None, "No turn was ordered at more than 3 degrees a second.",
                              sources.RATE, weight="minor", score=1.0)]
