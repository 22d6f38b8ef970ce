"""Control: what the pilot commanded (the reference trusted, one thing at a time, rates), and what came of it.

The hands' own wander is not the pilot's; it is told by `deviations`.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.controls import BY_TURN, HOLD_ALTITUDE, KEEP_TURNING, TURN_TO_HEADING
from drill.flight.events import Trace
from drill.flight.readings import clock_words as clock
from drill.grading import sources, subjects
from drill.grading.advice import fly_on
from drill.grading.affected import CONTROL_BY, FLOWN_BY, flown_by, spoiled, spoken
from drill.grading.debrief import Finding
from drill.grading.evidence import still_shown, unreliable_s
from drill.grading.recognize import by_people
from drill.grading.situation import FULL_S, MEAN_S, Situation
from drill.grading.timeline import Deed, Onset, Timeline, lasting, number
from drill.language.meaning import Altitude, Turn

AT_ONCE_S = 5.0          # two orders so near each other are given together (the author's choice)
ALTITUDE_TO_GO_FT = 150.0  # and so much, or such a turn, still to go means that the first order is not done yet
RATE_TO_GO_DPS = 1.5
ASKED_S = 30.0           # what ATC asked for so long ago at most is ATC's order, not the pilot's
_TURN_WORDS = ("turn left", "turn right", "stop turn", "fly heading")
_ALTITUDE_WORDS = ("descend", "climb")
_ON_TOP = {True: "a turn was ordered on top of a change of altitude",
           False: "a change of altitude was ordered on top of a turn"}
AGAIN_S = 5.0            # flying by a bad instrument again for less than this is a slip of the record, no return


_TELLS_BANK = ("attitude_indicator", "turn_coordinator")


def grade_control(situation: Situation) -> list[Finding]:
    """Return the findings on flying the airplane."""
    if not situation.line.traces:
        return []
    return [
        *(finding for onset in situation.onsets for finding in _trust(situation, onset)),
        *_bank(situation), *_speed(situation), *_one_thing(situation),
    ]


@dataclass(frozen=True, slots=True)
class _Use:
    """How long the hands flew by one bad instrument, once it could be known: `left` is None if they never left it."""

    flown_s: float
    left: float | None
    again: float | None
    mended: bool                           # it was not left: the failure was over, or its source was back


def _use(situation: Situation, onset: Onset, instrument: str, since: float) -> _Use:
    flown = run = 0.0
    left = again = None
    mended = False
    for trace, counts in still_shown(situation.line, onset, since):
        by_it = instrument in flown_by(trace)
        if by_it and counts:
            flown, run = flown + 1.0, run + 1.0
            if left is not None and not mended and again is None and run >= AGAIN_S:
                again = trace.t - run + 1.0
        else:
            run = 0.0
            if left is None:
                left, mended = trace.t, by_it
    return _Use(flown, left, again, mended)


def _trust(situation: Situation, onset: Onset) -> list[Finding]:
    """Each instrument for itself, over all the time that followed. Flying heading by a heading indicator that still
    agrees with the compass is a good answer to a dead pump."""
    evident = situation.evident_s(onset)
    if evident is None:
        return []
    found: list[Finding] = []
    for bad in sorted(spoiled(onset) & FLOWN_BY):
        known = unreliable_s(situation.line, onset, bad, evident)
        if known is not None:
            found.extend(_trusted(situation, onset, bad, known))
    return found


def _trusted(situation: Situation, onset: Onset, bad: str, known: float) -> list[Finding]:
    use = _use(situation, onset, bad, known)
    weight = "critical" if bad in CONTROL_BY else "major"
    could = _could_have_known(situation, onset, bad, known)
    found: list[Finding] = []
    if not situation.on_sheet(subjects.leave(bad)):
        found.extend(_left(situation, onset, use, bad, known, could, weight))
    if use.again is not None and not situation.on_sheet(subjects.back_to(bad)):
        found.append(situation.finding(
            f"Do not go back to the {spoken(bad)}", "aviate", "broken", use.again,
            f"{could} The hands left it at {clock(use.left or known)} and flew by it again from {clock(use.again)}, "
            f"while it was still not to be trusted; {lasting(use.flown_s)} by it in all.", sources.GYROS,
            weight=weight, better=fly_on(bad, situation.bad_at(use.again)),
            score=min(0.5, by_people(use.flown_s)), about=_about(bad)))
    return found


def _could_have_known(situation: Situation, onset: Onset, bad: str, known: float) -> str:
    """Say when it could be known that `bad` was not to be flown by, or that it was covered before it could."""
    line = situation.line
    trace = line.at(known)
    if bad != "heading_indicator" or onset.part == "heading indicator" or trace is None or bad not in trace.covered:
        return f"A careful cross-check could have known at {clock(known)}."
    bare = max((each.t for each in line.between(0.0, known) if bad not in each.covered), default=None)
    since = line.traces[0].t if bare is None else next(each.t for each in line.between(bare) if each.t > bare)
    return f"Covered at {clock(since)}, before it went wrong."


def _about(bad: str) -> tuple[str, ...]:
    return ("heading_indicator", "magnetic_compass") if bad == "heading_indicator" else _TELLS_BANK


def _left(
    situation: Situation, onset: Onset, use: _Use, bad: str, known: float, could: str, weight: str,
) -> list[Finding]:
    item = f"Stop flying by the {spoken(bad)}" + (f", again at {clock(onset.t)}" if situation.again(onset) else "")
    healed = use.mended and use.left is not None and use.left >= onset.end_s
    if use.left is None or healed:
        waited = situation.over_s(onset) - known
        if waited <= FULL_S if healed else situation.too_soon(waited):
            return []
        left = f"until the failure was over at {clock(onset.end_s)}" if healed else "that were left"
        return [situation.finding(
            item, "aviate", "missed", known,
            f"{could} The hands went on flying by it for the {lasting(waited)} {left}.", sources.GYROS,
            weight=weight, better=fly_on(bad, situation.bad_at(known)), score=0.0, about=_about(bad))]
    delay = use.left - known
    ended = "its source was back" if use.mended else "the hands no longer flew by it"
    told = f"By then {ended}." if delay <= 1.0 else f"{lasting(delay)} after that {ended}."
    return [situation.finding(
        item, "aviate", "late" if delay > MEAN_S else "done", use.left, f"{could} {told}", sources.GYROS,
        weight=weight, score=by_people(delay))]


def _bank(situation: Situation) -> list[Finding]:
    if situation.on_sheet(subjects.BANK):
        return []
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
        weight="critical" if bank > 45.0 else "major", better="level wings", score=score,
        about=_TELLS_BANK)]


def _speed(situation: Situation) -> list[Finding]:
    if situation.on_sheet(subjects.SPEED):
        return []
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
        better="reduce power, level wings, then raise the nose", score=0.0 if beyond else 0.5,
        about=("airspeed_indicator",))]


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


def _asked(line: Timeline, deed: Deed) -> bool:
    """Say whether ATC had just asked for this turn or this change of altitude."""
    words = _TURN_WORDS if isinstance(deed.action, Turn) else _ALTITUDE_WORDS
    return any(heard.to_us and 0.0 <= deed.began - heard.t <= ASKED_S and any(each in heard.words.lower()
               for each in words) for heard in line.heard)


def _later_asked(line: Timeline, turn: Deed, level: Deed) -> bool:
    """Say whether the later of the two was asked for by ATC; of two given in one line, both."""
    later = [deed for deed in (turn, level) if deed.t == max(turn.t, level.t)]
    return all(_asked(line, deed) for deed in later)


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
        {(max(turn.t, level.t), _ON_TOP[turn.t > level.t]) for turn in turns for level in levels
         if abs(turn.t - level.t) <= AT_ONCE_S and not _later_asked(line, turn, level)}
        | {(turn.t, _ON_TOP[True]) for turn in turns
           if _climbing(line.at(turn.began - 1.0)) and not _asked(line, turn)}
        | {(level.t, _ON_TOP[False]) for level in levels
           if _turning(line.at(level.began - 1.0)) and not _asked(line, level)}
    )
    item = "One thing at a time on partial panel"
    if not together:
        return [situation.finding(item, "aviate", "kept", None,
                                  "Turns and changes of altitude were ordered one after the other.", sources.ONE_THING,
                                  weight="minor", score=1.0)]
    return [situation.finding(
        item, "aviate", "broken", together[0][0],
        f"At {clock(together[0][0])} {together[0][1]}. On partial panel each takes the whole scan.",
        sources.ONE_THING, weight="minor", better="the turn first; level; then the altitude",
        score=0.5 if len({t for t, _ in together}) == 1 else 0.0)]
