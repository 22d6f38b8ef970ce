"""Help for a pilot who has lost the horizon or cannot hold the airplane up: calm, one thing at a time.

What radar shows, the one thing to do now, and turns at his word (FAA JO 7110.65 10-2-1 and AIM 5-4-11, by memory); who
sinks is told how low he may (14 CFR 91.3(b)) and what is known of the cloud.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.answering import Answering
from drill.flight.controller_state import ControllerState, in_trouble, powerless
from drill.flight.phraseology import altitude_words, heading_words
from drill.flight.replying import NO_GYRO, Question
from drill.flight.steering import beside_deg, turn_words
from drill.language.patterns import compiled, laid_out

_LOST = compiled(r"""
    \bwhich way (?:is|am i|are we)\b|\bdisorient\w*\b|\bvertigo\b|
    \b(?:everything|my head|the room)(?: is|'s)? spinning\b|\bdizzy\b|
    \b(?:can ?not|can't|do not know|don't know|unable to|not able to) (?:tell|say|feel|see)?(?: if| whether| which way)
    [ ](?:we are|i am|we're|i'm|it is|am i|are we) (?:\w+ )?(?:turning|level|climbing|descending|banked|upright|up)\b|
    \bin a (?:spiral|spin|turn i)\b|\bgraveyard spiral\b|\bupside down\b""")
_UNABLE = r"\b(?:unable to|can ?not|can't|not able to|could not)"
_STUCK = compiled(rf"""
    {_UNABLE} (?:stop|get out of|come out of|recover from|roll out of)(?: the| this| our| my)? (?:turn\w*|spiral|bank|
    roll)\b|
    {_UNABLE} (?:keep|hold|get|level)(?: the| my| our)? wings(?: level)?\b""")
"""He cannot end a turn: a turn at his word is no help until he can."""
_SIDE = laid_out(r"""
    \bturn left or right\b|\bleft or right\W*$|^\W*(?:left|right)(?: turn)?\?|
    ^(?:(?:ok|uh|um|sorry|and)[ ,]+)*which (?:way|side|direction)\W*$|
    \bwhich way (?:do|should|shall|can) (?:i|we) (?:turn|go|fly)\b""")
_ASKS = compiled(rf"""
    {_SIDE}|
    \bwhat (?:do|should|shall|can) (?:i|we) do\b|
    \bhelp (?:me|us)\b|\bplease help\b|^(?:\w+[ ,]+)*help[.! ]*$|\b(?:need|want) (?:some )?help\b""")
_SHOWS = compiled(r"""
    \b(?:am i|are we|is it|do you (?:show|see|have) (?:me|us)) (?:still |really |now |in a |flying )*(?:
    level|turning|turn|straight|climbing|descending|banked|right side up|upright)\b(?! (?:to|for|onto|on|at)\b)""")
_WHICH_WAY = re.compile(_SIDE)
_NO_LONGER = re.compile(r"\b(?:not|no longer|no)\b[^,.]*\b(?:disorient|spiral|spin|vertigo)|"
                        r"\bout of the (?:spiral|spin)\b")
_SINKS = compiled(r"""
    \b(?:unable to|can ?not|can't|can not|not able to|could not) (?:hold|maintain|keep|stay at)(?: an?| the| our| my)?
    [ ](?:altitude|level|\d|one|two|three|four|five|six|seven|eight|nine|ten)\b\w*|\blosing altitude\b|
    \b(?:we are|i am|are) sinking\b|\b(?:ice|icing)(?: is)? (?:getting|growing|becoming) (?:worse|heav\w+|bad)\b""")
_TURNS_DPS = 1.0
_FAR_OFF_DEG = 30.0      # beyond what a compass misreads in rough air (the author's choice)
_CLIMBS_FPM = 250.0
_MOST_OFFERS = 2


def cries(words: str) -> bool:
    """Say whether a line asks for help, for what to do, or for what radar shows of the airplane."""
    said = words.lower().replace("\u2019", "'")
    return any(each.search(said) for each in (_LOST, _ASKS, _SHOWS)) and not _NO_LONGER.search(said)


def which_way(words: str) -> bool:
    """Say whether a line asks to which side to turn."""
    return _WHICH_WAY.search(words.lower()) is not None


def steadied(a: Answering) -> Answering:
    """Tell a pilot who does not know which way is up what radar shows and what to do, and offer turns at his word."""
    state, words = a.state, a.call.words.lower().replace("\u2019", "'")
    stuck = _STUCK.search(words) is not None and in_trouble(state)
    lost = (stuck or _LOST.search(words) is not None) and not _NO_LONGER.search(words)
    known = bool(state.told.equipment or state.natures or state.control) or state.told.impairment or (
        "nature" in state.asked)          # he has been asked what it is, and still asks for help
    asks = known and in_trouble(state) and _ASKS.search(words) is not None
    if _SHOWS.search(words) and not (lost or asks or a.radar.on_ground or a.call.assistance):
        return _shown(a)
    if not lost and not in_trouble(state) and state.turns is None and state.heading_deg is not None and (
            _WHICH_WAY.search(words) and not a.radar.on_ground):
        return a.saying(turn_words(state, a.radar.track_deg, state.heading_deg), closed=True)
    if not (lost or asks) or a.radar.on_ground or a.call.assistance or a.call.places or "cancels_emergency" in a.kinds:
        return a
    if powerless(state) and not lost:
        return a
    if stuck and state.turns is not None:
        turns = replace(state.turns, suspended=True, doubted=False, way=0, off_since_s=None)
        state = replace(state, turns=turns)
    if state.turns is not None and not state.turns.suspended:
        side = {-1: "turn left now, stop on my word", 1: "turn right now, stop on my word"}.get(
            state.turns.way, "fly straight ahead, I will tell you when to turn")
        return a.saying([side, level_words(state)], closed=True)
    if asks and not lost and state.vectored and state.heading_deg is not None:
        return a.saying(turn_words(state, a.radar.track_deg, state.heading_deg), closed=True)
    turning = abs(state.seen.turning_dps) > _TURNS_DPS
    shown = _flown(a)
    what = level_words(state)
    what = what if turning else what.replace("level the wings by", "keep the wings level by")
    said = [*([] if a.said else ["roger"]), f"{shown}, {what}"]
    # nobody holds him to a heading now, nor who has no horizon to an altitude
    state = replace(state, question="", own_heading=True, own_altitude=state.own_altitude or lost)
    if state.turns is None and a.scenario.fields and state.asked.count(NO_GYRO) < _MOST_OFFERS:
        return a.saying(said, state, question=Question("do you want no-gyro vectors?", NO_GYRO), closed=True)
    return a.saying(said, state, closed=True)


def _flown(a: Answering) -> str:
    """Return what radar shows of the turn."""
    rate = a.state.seen.turning_dps
    return f"radar shows you in a {'left' if rate < 0 else 'right'} turn" if abs(rate) > _TURNS_DPS else (
        f"radar shows you flying straight, track {heading_words(a.radar.track_deg)}")


def off_heading(a: Answering) -> Answering:
    """Tell a pilot without a heading gyro what radar shows, where that is no heading like the one that he reports."""
    state, said = a.state, a.call.heading_deg
    led = state.turns is not None and state.heading_deg is None and not a.radar.on_ground
    if said is None or not led or a.said or a.kinds & {"readback", "unable"} or a.call.words.rstrip().endswith("?"):
        return a
    beside = abs(float(beside_deg(state.wind, state.seen.speed_kt, float(said), a.radar.track_deg)))
    return a if beside < _FAR_OFF_DEG else a.saying(_flown(a), state)


def _shown(a: Answering) -> Answering:
    """Tell who asks whether he turns, climbs or descends what radar shows of that, and in trouble what to do."""
    seen, now = a.state.seen, altitude_words(a.radar.altitude_ft)
    how = "level at" if abs(seen.climb_fpm) <= _CLIMBS_FPM else (
        "climbing through" if seen.climb_fpm > 0.0 else "descending through")
    does = f", {level_words(a.state)}" if in_trouble(a.state) and abs(seen.turning_dps) > _TURNS_DPS else ""
    return a.saying(f"{_flown(a)}, {how} {now}{does}", closed=True)


def level_words(state: ControllerState) -> str:
    """Return the one thing to do, by an instrument that has not been reported failed."""
    out = state.told.equipment
    if not out & {"turn_coordinator", "electrical_system"}:
        return "level the wings by the turn coordinator"
    if not out & {"attitude_indicator", "vacuum_system"}:
        return "level the wings by the attitude indicator"
    return "keep the wings level and hands light on the controls"


def sinking(a: Answering) -> Answering:
    """Give who cannot hold his altitude the altitudes down to the minimum, and what is known of the cloud."""
    state, call = a.state, a.call
    words = call.words.lower().replace("\u2019", "'")
    if not _SINKS.search(words) or "altitude_change" in call.assistance or "block_altitude" in call.assistance or (
            powerless(state) or a.radar.on_ground or call.words.rstrip().endswith("?")):
        return a
    icing = state.told.conditions == "icing" or "icing" in state.natures
    cloud, level_ft = a.scenario.weather.cloud, a.scenario.weather.freezing_level_ft
    known: list[str] = []
    if icing and cloud is not None:
        known.append(f"Bases are reported at {altitude_words(cloud.base_ft)}, tops at {altitude_words(cloud.tops_ft)}")
    if icing and level_ft is not None:
        known.append(f"Freezing level {altitude_words(level_ft)}")
    state = replace(state, altitude_ft=None, own_altitude=True, wants_altitude=False, question="" if (
        state.question == "altitude") else state.question)
    least = altitude_words(a.scenario.minimum_altitude_ft)
    free = [] if any("minimum altitude" in each for each in a.said) else [
        f"{'' if a.said else 'roger, '}descend at your discretion, minimum altitude in your area is {least}"]
    return replace(a.saying([*free, *known], state, call=replace(call, altitude_wanted_ft=None)),
                   kinds=a.kinds - {"unable"})
