"""Errors that pilots typically make with a failed instrument, found in what was done. They are told, not counted.

What they came to is graded where it shows: how soon the failure was recognized, what was flown by, what the airplane
did. Nothing here is found in a pilot who had no evidence yet.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from drill.airplane.controls import HOLD_ALTITUDE
from drill.flight.events import Trace
from drill.flight.readings import clock_words as clock
from drill.flight.readings import instrument_name
from drill.grading import sources
from drill.grading.advice import check, fly_on
from drill.grading.affected import CONTROL_BY, flown_by, spoiled
from drill.grading.debrief import Finding
from drill.grading.deed_words import deed_words
from drill.grading.situation import Situation
from drill.grading.sources_of_power import runs_on
from drill.grading.timeline import Deed, Onset, lasting, number
from drill.language.meaning import Compare, Cover, Diagnose, LevelWings, StopTurn, Transmit, Turn

FREE = "Told, not counted: what came of it is graded where it shows."
BELIEVED_S = 20.0        # flown by so long after two were compared, they were believed (these limits are our choice)
LIES_DEG = 8.0           # a horizon that is off by so much steers by its error
STEEP_DEG, STEEPER_DEG = 25.0, 5.0       # beyond a standard turn's bank, and growing
OFF_FT, FURTHER_FT = 200.0, 100.0        # off the altitude ordered, and leaving it
INDEPENDENT = frozenset({"turn_coordinator", "magnetic_compass", "navigation", "standby_instrument", "altimeter",
                         "vertical_speed_indicator", "airspeed_indicator", "heading_indicator"})


def typical_errors(situation: Situation) -> list[Finding]:
    """Return the typical errors found, each kind once a failure."""
    found: list[Finding] = []
    for onset in situation.onsets:
        found += _pair_believed(situation, onset)
        found += _chased(situation, onset)
    return [*found, *_talked(situation)]


# --- two instruments on one source -------------------------------------------------------------------


def _pair_believed(situation: Situation, onset: Onset) -> Iterator[Finding]:
    """Believing two instruments because they agree, where both run on what has failed.

    Either they were compared with each other alone and then flown by, or the one that disagreed was called failed.
    """
    evident = situation.evident_s(onset)
    if evident is None:
        return
    on = runs_on(situation.scenario.airplane.airframe)
    bad = frozenset(each for each in spoiled(onset) if each in on)
    shared = {on[each] for each in bad}
    if len(bad) < 2 or len(shared) != 1:
        return
    for deed in situation.line.deeds:
        if evident <= deed.t < situation.over_s(onset) and (how := _believes(situation, deed, bad)):
            source = next(iter(shared))
            yield situation.finding(
                "Trust no pair that shares its source", "recognize", "remark", deed.t,
                f"At {clock(deed.t)} the pilot {how}. {_named(sorted(bad))} agreed, but both run on {source}: when it "
                f"fails they go wrong together, and their agreement proves nothing. It had failed at {clock(onset.t)}. "
                f"{FREE}", sources.GYROS, better=check(onset, situation.bad_at(deed.t)),
                about=(*sorted(bad), "turn_coordinator", "suction_gauge"))
            return


def _believes(situation: Situation, deed: Deed, bad: Collection[str]) -> str:
    """Return in words how `deed` shows that the instruments `bad` were believed; "" if it does not."""
    after = situation.line.at(deed.t + BELIEVED_S)
    flies = after is not None and bool(flown_by(after) & set(bad))
    match deed.action:
        case Compare(what=what) if len(set(what)) > 1 and set(what) <= set(bad) and flies:
            return f"{deed_words(deed.action)}, and flew on by them"
        case Diagnose(failed=failed) if flies and (sound := _sound(situation, deed, failed, bad)):
            return f"took the {sound} for the one that had failed"
        case Cover(what=what) if flies and (sound := _sound(situation, deed, (what,), bad)):
            return f"covered the {sound}, which was right"
    return ""


def _sound(situation: Situation, deed: Deed, named: Collection[str], bad: Collection[str]) -> str:
    """Return the name of a sound instrument among `named`, where only such are named; "" if there is none."""
    if set(named) & (set(bad) | situation.bad_at(deed.t)):
        return ""
    return next((instrument_name(each) for each in named if each in INDEPENDENT), "")


# --- steering by the instrument that failed ----------------------------------------------------------


def _chased(situation: Situation, onset: Onset) -> Iterator[Finding]:
    """Ordering the bank by an indicator that is off by so much that the order steers by its error."""
    evident = situation.evident_s(onset)
    if evident is None or "attitude_indicator" not in spoiled(onset):
        return
    orders = [deed for deed in situation.line.deeds
              if isinstance(deed.action, LevelWings | StopTurn | Turn) and evident <= deed.began
              and deed.began < situation.over_s(onset) and _by_its_error(situation.line.at(deed.began))]
    if not orders:
        return
    first = orders[0]
    trace = situation.line.at(first.began)
    if trace is None:
        return
    times = ", ".join(clock(deed.began) for deed in orders[:6]) + (" and later" if len(orders) > 6 else "")
    yield situation.finding(
        "Do not chase the failed gyro", "aviate", "remark", first.began,
        f"At {times} the bank was ordered while {_who(trace)} flew by the attitude indicator, which was wrong. At "
        f"{clock(first.began)} it showed {_bank(number(trace.shown, 'bank_deg'))}; the airplane had "
        f"{_bank(number(trace.true, 'bank_deg'))}. Whoever levels such a horizon banks the airplane. {FREE}",
        sources.GYROS, better=fly_on("attitude_indicator", situation.bad_at(first.began)),
        about=("attitude_indicator", "turn_coordinator"))


def _who(trace: Trace) -> str:
    return "the autopilot" if number(trace.shown, "autopilot_on") > 0.5 else "the hands"


def _by_its_error(trace: Trace | None) -> bool:
    if trace is None or "attitude_indicator" not in flown_by(trace) & CONTROL_BY:
        return False
    return abs(number(trace.shown, "bank_deg") - number(trace.true, "bank_deg")) > LIES_DEG


def _bank(degrees: float) -> str:
    whole = round(degrees)
    if not whole:
        return "wings level"
    return f"{abs(whole)} degree{'' if abs(whole) == 1 else 's'} of {'right' if whole > 0 else 'left'} bank"


# --- talking before flying ---------------------------------------------------------------------------


def _talked(situation: Situation) -> Iterator[Finding]:
    """Beginning a call while bank or altitude ran away, so that they were further off when it was over."""
    for deed in situation.line.calls():
        if isinstance(deed.action, Transmit) and (ran := _ran_away(situation, deed)):
            yield situation.finding(
                "Fly first, then talk: nothing running away", "communicate", "remark", deed.began,
                f"The call at {clock(deed.began)} took {lasting(deed.t - deed.began)}, and {ran}. Nobody on the radio "
                f"can level the wings. {FREE}", sources.CONTROL_FIRST,
                better="level wings; when the needles stand still, the call",
                about=("attitude_indicator", "turn_coordinator", "altimeter"))
            return


def _ran_away(situation: Situation, deed: Deed) -> str:
    """Return what ran away while the call was made, in words; "" if nothing did."""
    during = list(situation.line.between(deed.began, deed.t))
    begin = situation.line.at(deed.began)
    if begin is None or not during or number(begin.true, "parked") > 0.5:
        return ""
    bank = abs(number(begin.true, "bank_deg"))
    most = max(abs(number(trace.true, "bank_deg")) for trace in during)
    if bank > STEEP_DEG and most - bank >= STEEPER_DEG:
        return f"the bank grew from {bank:.0f} to {most:.0f} degrees meanwhile"
    off = [_off_ft(trace) for trace in (begin, *during)]
    if off[0] > OFF_FT and max(off) - off[0] >= FURTHER_FT and off[-1] >= off[0]:
        return f"the airplane went from {off[0]:.0f} to {max(off):.0f} feet off its altitude meanwhile"
    return ""


def _off_ft(trace: Trace) -> float:
    """Return how far (ft) the airplane is from the altitude that it is to hold; 0 where it is to hold none."""
    if number(trace.controls, "vertical", -1.0) != HOLD_ALTITUDE:
        return 0.0
    return abs(number(trace.true, "altitude_ft") - number(trace.controls, "altitude_ft"))


def _named(instruments: Collection[str]) -> str:
    names = [instrument_name(each) for each in instruments]
    return f"The {' and the '.join(names)}" if len(names) == 2 else f"The {', the '.join(names)}"
