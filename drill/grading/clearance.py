"""The clearance: a new altitude that was heard is flown, or ATC hears that it is not."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from drill.airplane.controls import HOLD_ALTITUDE
from drill.flight.events import Assigned, Heard
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import Timeline, lasting, number
from drill.grading.unsafe import cancels
from drill.language.meaning import Transmit
from drill.language.numbers import join_numbers
from drill.language.words import tokens

WITHIN_S = 90.0          # from when the words were heard (the author's choice)
ON_AIR_S = 60.0          # an assignment waits so long at most for a free frequency
SAME_FT = 100.0          # IR.IV.A.S1: that altitude
TOWARD_FT = 200.0        # so far on the way to it, it is being flown, whatever was ordered
ITEM = "Fly the clearance, or say unable"
_OWN_TURNS = re.compile(r"\b(?:any heading|turns?|headings?) at your (?:own )?discretion", re.IGNORECASE)
_ALL_OWN = re.compile(r"\bany heading and any altitude\b|\bhandling you as an emergency\b", re.IGNORECASE)
_AS_YOU_NEED = re.compile(r"\b(?:climb|descen[dt]|maintain)\b[^.]*\bas you need\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Given:
    """A new altitude as the pilot heard it."""

    altitude_ft: float
    heard_s: float
    until_s: float                         # when another assignment took its place, or the time was up


def free_s(situation: Situation) -> float | None:
    """Return when (s) headings and altitudes became the pilot's: ATC knew of an urgency, treated the flight as one by
    itself and said so, or IFR was cancelled.
    """
    line = situation.line
    by_pilot = (deed.t for deed in line.deeds if deed.told.urgency != "none" or cancels(line, deed))
    by_atc = (heard.t for heard in line.heard if heard.to_us and _ALL_OWN.search(heard.words))
    return min((t for t in (next(by_pilot, None), next(by_atc, None)) if t is not None), default=None)


def binding(line: Timeline) -> tuple[Assigned, ...]:
    """Return ATC's assignments as they bind: no altitude from where one was heard to be at the pilot's discretion.

    It binds again with the next altitude that is another. A new number that was never heard binds nobody.
    """
    found: list[Assigned] = []
    last = free_of = None
    changes: list[Assigned | Heard] = [*line.assigned, *(each for each in line.heard if frees(each))]
    for event in sorted(changes, key=lambda each: each.t):
        if isinstance(event, Assigned):
            last = event
            if event.altitude_ft != free_of:
                free_of = None
        elif last is not None:
            free_of = last.altitude_ft
        if last is not None:
            altitude = None if free_of is not None or _unheard(line, last, altitude=True) else last.altitude_ft
            heading = None if _unheard(line, last, altitude=False) else last.heading_deg
            found.append(Assigned(event.t, heading, altitude, last.approach))
    return tuple(found)


def _unheard(line: Timeline, event: Assigned, *, altitude: bool) -> bool:
    """Say whether the altitude (or heading) was assigned anew and never said on the frequency."""
    def number_of(each: Assigned) -> float | None:
        return each.altitude_ft if altitude else each.heading_deg
    value = number_of(event)
    if value is None or not math.isfinite(value):
        return False
    first = event                          # of the assignments up to this one with the same number
    for before in reversed([each for each in line.assigned if each.t < event.t]):
        if number_of(before) != value:
            break
        first = before
    if first == line.assigned[0]:
        return False
    says = _says if altitude else _says_heading
    return not any(says(each, value) for each in line.heard if first.t <= each.t <= first.t + ON_AIR_S)


def _says_heading(heard: Heard, heading_deg: float) -> bool:
    return heard.to_us and "approved" not in heard.words.lower() and heading_in(heard.words, heading_deg)


def heading_in(words: str, heading_deg: float) -> bool:
    """Say whether a heading (deg) is said in `words`, in letters or figures, as a number of its own."""
    return f"{round(heading_deg) % 360 or 360:03d}" in _numbers(words)


def altitude_in(words: str, altitude_ft: float) -> bool:
    """Say whether an altitude (ft) is said in `words`, in letters or figures, as a number of its own."""
    return f"{altitude_ft:.0f}" in _numbers(words)


@lru_cache(maxsize=512)
def _numbers(words: str) -> frozenset[str]:
    return frozenset(token.text for token in join_numbers(tokens(words)) if token.text.isdecimal())


def frees(heard: Heard) -> bool:
    """Say whether ATC leaves altitudes to the pilot; turns at discretion are another thing."""
    words = _OWN_TURNS.sub("", heard.words)
    return heard.to_us and ("discretion" in words.lower() or "any altitude" in words.lower()
                            or _AS_YOU_NEED.search(words) is not None)


def grade_clearance(situation: Situation) -> list[Finding]:
    """Return the finding on altitudes that ATC assigned in flight; none where none was assigned, or any emergency was.

    An altitude at the pilot's discretion asks for nothing; neither does one that was never heard.
    """
    given = [each for each in _given(situation) if not _excused(situation, each)]
    if not given:
        return []
    missed = next((each for each in given if not _flown(situation, each)), None)
    if missed is None:
        return [situation.finding(
            ITEM, "decide", "kept", None, "Each altitude that ATC assigned was ordered or begun in time.",
            sources.CLEARANCE, score=1.0)]
    return [situation.finding(
        ITEM, "decide", "missed", missed.heard_s,
        f"At {clock(missed.heard_s)} ATC assigned {missed.altitude_ft:,.0f} feet. In the {lasting(WITHIN_S)} that "
        "followed it was not ordered, and ATC heard no “unable” and of no emergency. ATC keeps others away from the "
        "airplane where it takes it to be.", sources.CLEARANCE,
        better=f"climb or descend to {missed.altitude_ft:.0f}, or: unable", score=0.0, about=("altimeter",))]


def _given(situation: Situation) -> list[_Given]:
    line = situation.line
    found: list[_Given] = []
    before = situation.scenario.clearance.altitude_ft
    for place, event in enumerate(line.assigned):
        if event.altitude_ft is None or not math.isfinite(event.altitude_ft):
            continue
        new, before = event.altitude_ft != before, event.altitude_ft
        if not new:
            continue
        spoken = next((each for each in line.heard if _says(each, event.altitude_ft)
                       and event.t <= each.t <= event.t + ON_AIR_S), None)
        if spoken is None or frees(spoken):
            continue
        other = next((each.t for each in line.assigned[place + 1:] if each.altitude_ft != event.altitude_ft), None)
        until = spoken.t + WITHIN_S
        # An assignment that was soon taken back, or that the record does not outlast, is nobody's fault.
        if (other is None or other >= until) and line.flown_s >= until:
            found.append(_Given(event.altitude_ft, spoken.t, until))
    return found


def _says(heard: Heard, altitude_ft: float) -> bool:
    return heard.to_us and altitude_in(heard.words, altitude_ft)


def _excused(situation: Situation, given: _Given) -> bool:
    free, line = free_s(situation), situation.line
    freed = any(given.heard_s <= each.t <= given.until_s and frees(each) for each in line.heard)
    return freed or (free is not None and free <= given.until_s) or refused(line, given.heard_s, given.until_s)


def refused(line: Timeline, start: float, end: float) -> bool:
    """Say whether ATC heard “unable” or “negative” from `start` to `end` (s)."""
    return any(
        isinstance(deed.action, Transmit)
        and any(reply.kind in ("unable", "negative") for reply in deed.action.meaning.replies)
        for deed in line.calls() if start <= deed.t <= end)


def _flown(situation: Situation, given: _Given) -> bool:
    began = situation.line.at(given.heard_s)
    off = None if began is None else abs(number(began.true, "altitude_ft") - given.altitude_ft)
    for trace in situation.line.between(given.heard_s, given.until_s):
        ordered = number(trace.controls, "altitude_ft", given.altitude_ft + 2.0 * SAME_FT)
        if number(trace.controls, "vertical") == HOLD_ALTITUDE and abs(ordered - given.altitude_ft) <= SAME_FT:
            return True
        now = abs(number(trace.true, "altitude_ft") - given.altitude_ft)
        if now <= SAME_FT or (off is not None and off - now >= TOWARD_FT):
            return True
    return False
