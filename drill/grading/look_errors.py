"""Errors of the cross-check where a look is the only way to see: fixation, omission, emphasis.

They are found only in a flight that was told in words: there the record has every look. Before a drawn panel nobody
knows where the eyes were, and the debrief says since when the panel showed it instead. The three are the handbook's
(FAA-H-8083-15B ch. 6, from memory): staring at one instrument, leaving one out, leaning on one instead of several.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.flight.readings import instrument_name
from drill.grading.advice import check
from drill.grading.affected import catalogued, looked_at
from drill.grading.debrief import Finding
from drill.grading.recognize import first_response
from drill.grading.situation import FULL_S, Situation
from drill.grading.timeline import Onset, lasting
from drill.grading.typical_errors import FREE

CROSS_CHECK = "FAA-H-8083-15B ch. 6 (cross-check errors; from memory)"

ONLY_LOOKED_AT = frozenset({"suction_gauge", "voltmeter", "ammeter", "tachometer", "magnetic_compass", "navigation",
                            "standby_instrument"})
"""Instruments of which words tell nothing unless they are looked at."""

STARED = 4               # looks at one instrument and no other,
STARED_S = 60.0          # over so long; these and those below are our choice
LOOKS = 6                # so many looks tell how they are shared out,
LEANED = 0.6             # and so large a share on one is emphasis


@dataclass(frozen=True, slots=True)
class _Look:
    t: float
    at: frozenset[str]


def look_errors(situation: Situation) -> list[Finding]:
    """Return the cross-check errors between a failure's evidence and the first act on it, one a failure at most."""
    return [finding for onset in situation.onsets for finding in _of_failure(situation, onset)]


def _of_failure(situation: Situation, onset: Onset) -> Iterator[Finding]:
    evident = situation.evident_s(onset)
    if evident is None:
        return
    response = first_response(situation, onset)
    until = min(situation.over_s(onset), situation.line.flown_s if response is None else response[0].began)
    if until - evident <= FULL_S or not _only_words(situation, onset.t, until):
        return
    looks = [_Look(deed.t, seen) for deed in situation.line.deeds
             if onset.t <= deed.t < until and (seen := looked_at(deed.action))]
    found = _omitted(onset, looks) or _stared(looks) or _leaned(looks)
    if found:
        item, at, words = found
        yield situation.finding(
            item, "recognize", "remark", evident if at is None else at,
            f"It could have been known at {clock(evident)}; the first act on it "
            f"{'never came' if response is None else f'came {lasting(until - evident)} later'}. {words} {FREE}",
            CROSS_CHECK, better=check(onset, situation.bad_at(evident)), about=_reveals(onset))


def _only_words(situation: Situation, start: float, end: float) -> bool:
    """Say whether the flight was told in words all the time from `start` to `end` (s)."""
    seats = [each for each in situation.line.seated if each.t <= end]
    return bool(seats) and situation.line.saw_at(start) == "words" and all(
        each.before == "words" for each in seats if each.t >= start)


def _reveals(onset: Onset) -> tuple[str, ...]:
    entry = catalogued(onset)
    return () if entry is None else tuple(each for each in entry.revealed_by if each in ONLY_LOOKED_AT)


def _omitted(onset: Onset, looks: Sequence[_Look]) -> tuple[str, float | None, str] | None:
    reveals = _reveals(onset)
    if not reveals or any(look.at & set(reveals) for look in looks):
        return None
    names = " and the ".join(instrument_name(each) for each in reveals)
    return "Omission", None, (f"From {clock(onset.t)} on the {names} {'was' if len(reveals) == 1 else 'were'} never "
                              "looked at, and in words nothing else tells of it.")


def _stared(looks: Sequence[_Look]) -> tuple[str, float | None, str] | None:
    for place, look in enumerate(looks):
        if len(look.at) != 1 or (place and looks[place - 1].at == look.at):
            continue
        run = [look]
        for each in looks[place + 1 :]:
            if each.at != look.at:
                break
            run.append(each)
        if len(run) >= STARED and run[-1].t - run[0].t >= STARED_S:
            return "Fixation", run[0].t, (
                f"From {clock(run[0].t)} to {clock(run[-1].t)} the {instrument_name(min(look.at))} was looked at "
                f"{len(run)} times, and nothing else.")
    return None


def _leaned(looks: Sequence[_Look]) -> tuple[str, float | None, str] | None:
    single = Counter(min(look.at) for look in looks if len(look.at) == 1)
    if len(looks) < LOOKS or not single:
        return None
    most, count = single.most_common(1)[0]
    if count < LEANED * len(looks):
        return None
    return "Emphasis", looks[0].t, (f"Of {len(looks)} looks {count} went to the {instrument_name(most)} alone: one "
                                    "instrument was leaned on where several belong together.")
