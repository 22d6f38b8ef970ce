"""What is assigned, against what a pilot reads back, says that he does or is at, and asks to have confirmed.

A figure that radar does not show is to be verified (FAA JO 7110.65 5-2-17: three hundred feet). Who leaves an
assignment without an emergency is held to it and asked why (14 CFR 91.123).
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.anew import wants_ifr
from drill.flight.answering import Answering
from drill.flight.controller_state import ControllerState, emergency
from drill.flight.ifr import SAME_ALTITUDE_FT
from drill.flight.information import INFORMS, asked_about
from drill.flight.mistakes import corrected, noticed
from drill.flight.phraseology import altimeter_in, altitude_words, approach_words, heading_words, setting_in
from drill.flight.replying import Question, bare
from drill.flight.saying import just_said, said_now
from drill.language.numbers import spoken_digits
from drill.language.patterns import compiled

SHOWN = "shown"          # the question about an altitude that radar does not show
_NEAR_FT, _NEAR_DEG = 150.0, 10.0
_READ_BACK = frozenset({"readback", "wilco", "roger"})
_CHECKS = compiled(r"""
    \b(?:confirm|verify|say again|was that|is that|did you say|what (?:is|was)(?=.*\b(?:assigned|cleared|clearance)\b)|
    (?:are we|am i)(?= cleared)|what are we cleared|
    which (?=(?:altitude|heading) (?:was|is|did)))\b.*
    \b(?:heading|altitude|clearance|cleared|assigned|\d{3,5}|\d+ thousand)\b""")
_HEADING = re.compile(r"\bheading\b|\bturn\b")
_ALTITUDE = re.compile(r"\baltitude\b|\bthousand\b|\b\d{4,5}\b|\blevel\b")
_CLEARED = re.compile(r"\bclear(?:ance|ed)\b(?! to \d)")
_NUMBER = re.compile(r"\b\d{3,5}\b")
_OTHER = re.compile(r"\b(?:squawk|code|frequency|altimeter|runway|callsign|weather|wind|ceiling)\b")
_LEAVES = compiled(r"""
    \b(?:we are|i am|we will|i will|now|am|are)? ?(climbing|descending|turning|leaving)(?: \w+){0,4}?
    [ ](?:to|for)(?: heading)? (\d{2,5})\b""")
_BECAUSE = compiled(r"""
    \b(climbing|descending|turning)\b(?: \w+)? (?:due to|because of|for|to get out of|out of|to avoid)
    (?: the)?(?: \w+)? (ice|icing|weather|turbulence|terrain|traffic)\b""")
_REASONED = re.compile(r"\b(?:so (?:we|i)|because|due to|missed|going around|breaking off)\b")
_AT = compiled(r"""
    \b(?:level|maintaining|we are at|i am at|at)(?: at)? (?:flight level )?(\d{4,5})\b""")
_NOT_THERE = re.compile(r"\b(?:from|until|to level|will be|when|cross|report)\b")


def read_back(a: Answering) -> Answering:
    """Correct a wrong read-back, or the controller's own mistake when the pilot has noticed it."""
    if noticed(a.state, a.call):
        state, words = corrected(a.state)
        left = replace(a.call, assistance=(), altitude_wanted_ft=None, heading_wanted_deg=None, places=(),
                       intentions=False)  # the reason for the doubt
        return a.saying(words, state, call=left)
    state, words = _readback_wrong(a.state, a)
    return a.saying(words, state)


def _readback_wrong(state: ControllerState, a: Answering) -> tuple[ControllerState, str]:
    """Return the words that correct a wrong read-back, "" for none; what is corrected is to be read back again.

    What has just been said for later ("if missed approach, climb and maintain ...") is rightly read back as well.
    """
    wrong, unread = [], []
    for reply in a.call.replies:
        if reply.kind not in _READ_BACK:
            continue
        heading, altitude = reply.heading_deg, reply.altitude_ft
        assigned = state.heading_deg
        if heading is not None and assigned is not None and (heading - round(assigned)) % 360 != 0 and (
                not just_said(state, rf"(?:turn \w+|fly) heading {heading_words(heading)}")):
            wrong.append(f"heading {heading_words(assigned)}")
            unread.append("heading")
        if altitude is not None and state.altitude_ft is not None and abs(altitude - state.altitude_ft) > 50 and (
                not just_said(state, rf"maintain {altitude_words(altitude)}\b(?! \w+ hundred)")):
            wrong.append(f"maintain {altitude_words(state.altitude_ft)}")
            unread.append("altitude")
    given = state.altimeter and altimeter_in(state.last_words) == state.altimeter
    said = altimeter_in(a.call.words) or (setting_in(a.call.words) if given else "")
    if said and state.altimeter and said != state.altimeter:
        wrong.append(f"altimeter {spoken_digits(state.altimeter)}")
        unread.append("altimeter")
    if not wrong:
        return state, ""
    return replace(state, unread=tuple(dict.fromkeys(unread))), "negative, " + ", ".join(dict.fromkeys(wrong))


def confirmed(a: Answering) -> Answering:
    """State what is assigned to a pilot who wants it confirmed, rather than the last line once more."""
    if a.said:
        return a                          # that has just been corrected
    words = confirmation(a)
    return a.saying(words, closed=True) if words else a


def confirmation(a: Answering) -> str:
    """Return what is assigned, to a call that asks for it; "" for any other call."""
    said = bare(a.call, a.scenario.context)
    if not _CHECKS.search(said) or _OTHER.search(said) or a.call.assistance or a.call.urgency != "none":
        return ""
    state = a.state
    figures = [int(each) for each in _NUMBER.findall(said)]
    about_heading = _HEADING.search(said) is not None
    about_altitude = not about_heading and _ALTITUDE.search(said) is not None
    if about_heading:
        assigned = state.heading_deg
        what = "no heading assigned" if assigned is None else f"heading {heading_words(assigned)}"
        right = assigned is not None and any((each - round(assigned)) % 360 == 0 for each in figures)
    elif about_altitude:
        assigned = state.altitude_ft
        what = "altitude at your discretion" if assigned is None else f"maintain {altitude_words(assigned)}"
        right = assigned is not None and round(assigned) in figures
    elif _CLEARED.search(said):
        to = f"cleared {approach_words(state.approach)} approach" if state.approach is not None else (
            f"cleared direct {state.place}" if state.place and not state.vectored else
            f"vectors to {state.place}" if state.place else "cleared as filed")
        return to if state.altitude_ft is None else f"{to}, maintain {altitude_words(state.altitude_ft)}"
    else:
        return ""
    return what if not figures else f"{'affirmative' if right else 'negative'}, {what}"


def unheard(a: Answering) -> Answering:
    """Say once more what was assigned to a pilot who has read nothing back, and is heard again."""
    state, missed = a.state, a.received.missed
    free = emergency(state) or a.radar.on_ground or a.received.declares or a.received.reports or a.received.natures
    if not missed or free or a.call.assistance or a.call.altitude_wanted_ft is not None or a.said:
        return a
    words = [f"maintain {altitude_words(state.altitude_ft)}"] if "altitude" in missed and state.altitude_ft else []
    if "heading" in missed and state.heading_deg is not None:
        words.append(f"fly heading {heading_words(state.heading_deg)}")
    return a.saying(", ".join(words), replace(state, unsaid=missed))


def departed(a: Answering) -> Answering:
    """Hold to his assignment a pilot who says that he leaves it, or is not where radar shows him."""
    state, call = a.state, a.call
    free = emergency(state) or a.radar.on_ground or state.ifr_cancelled or call.urgency != "none" or (
        call.assistance or wants_ifr(call))
    reasoned = bool(a.received.reports or a.received.natures) or _REASONED.search(call.words.lower()) is not None
    if free or a.kinds & {"unable", "readback"} or state.unread or state.question == SHOWN:
        return a
    said = bare(call, a.scenario.context)
    if said_now(said, _BECAUSE):
        return _for_a_reason(a, said)
    leaves = _LEAVES.search(said)
    if leaves is not None and not reasoned and said_now(said, _LEAVES):
        return _left(a, leaves.group(1), int(leaves.group(2)))
    level = None if set(asked_about(call)) & INFORMS else _AT.search(said)
    states = level is not None and not _NOT_THERE.search(said) and not call.cancels_ifr and not call.equipment
    if level is None or not states or abs(int(level.group(1)) - a.radar.altitude_ft) < SAME_ALTITUDE_FT:
        return a
    return a.saying("", question=Question(f"verify altitude, radar shows {altitude_words(a.radar.altitude_ft)}", SHOWN))


def _left(a: Answering, how: str, to: int) -> Answering:
    state = a.state
    if how == "turning" or to < 400:
        if state.own_heading or state.heading_deg is None or (to - round(state.heading_deg)) % 360 == 0:
            return a
        words = f"fly heading {heading_words(state.heading_deg)}, say reason"
    else:
        if state.own_altitude or state.altitude_ft is None or abs(to - state.altitude_ft) <= _NEAR_FT:
            return a
        words = f"maintain {altitude_words(state.altitude_ft)}, say reason"
    return a.saying("", question=Question(words, "reason"), call=replace(a.call, intentions=False))


def _for_a_reason(a: Answering, said: str) -> Answering:
    """Approve what a pilot does for a reason that he names, above the minimum altitude."""
    found = _BECAUSE.search(said)
    how, why = (found.group(1), found.group(2)) if found is not None else ("", "")
    if how == "turning":
        return a.saying(f"roger, turn approved for {why}, advise when able to resume",
                        replace(a.state, own_heading=True, heading_deg=None))
    what = "descent" if how == "descending" else "climb"
    least = altitude_words(a.scenario.minimum_altitude_ft)
    state = replace(a.state, altitude_ft=None, own_altitude=True, wants_altitude=False)
    return a.saying(f"roger, {what} approved for {why}, minimum altitude in your area is {least}", state,
                    question=Question("say altitude wanted", "altitude"))
