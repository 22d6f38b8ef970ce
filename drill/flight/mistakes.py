"""Mistakes that the author has the controller make: a wrong figure, the wrong side, another callsign; each once.

The mistake is made in the first line that has room for it. What was said is then what is assigned. A pilot who doubts
it or repeats the right figure hears "correction"; one who does not notice flies what he was told. A turn to the wrong
side is what radar shows, and the controller corrects it himself.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState, Slip
from drill.flight.information import asked_about
from drill.flight.phraseology import altitude_words, heading_words
from drill.language.meaning import Call

_FEET_OFF, _DEGREES_OFF = 1000.0, 100.0   # one digit of the figure (the author's choice)
NOTICED_WITHIN_S = 90.0                   # later, only a doubt that names the figure is about it
_SEEN_DEG = 20.0                          # of a turn to the wrong side, until it is seen
_CEILING_FT = 17000.0                     # above it altitudes are flight levels
_DOUBTS = re.compile(
    r"\b(?:confirm|verify|correction|did you|was that|is that|are you sure|you said|do you mean|"
    r"say again (?:the )?(?:callsign|heading|altitude|turn|side)|(?:that is|that's) (?:wrong|not))\b|\?", re.IGNORECASE)
_ALTITUDE = re.compile(r"\b(?:altitude|thousand|climb\w*|descend\w*|descent|level)\b|\b\d{1,2},?\d00\b", re.IGNORECASE)
_HEADING = re.compile(r"\b(?:heading|left|right|turn\w*)\b", re.IGNORECASE)
_SIDE = re.compile(r"\bturn (left|right)\b")


def slipped(state: ControllerState, words: str, callsign: str) -> tuple[ControllerState, str, str]:
    """Return the controller after a line to this airplane, the words as they are said, and the mistake ("": none)."""
    for what in state.mistakes:
        wrong, slip, state_after = _wrong(state, words, callsign, what)
        if slip is not None:
            left = tuple(each for each in state.mistakes if each != what)
            return replace(state_after, mistakes=left, slip=replace(slip, said_s=state.now_s)), wrong, what
    return state, words, ""


def _wrong(state: ControllerState, words: str, callsign: str,
           what: str) -> tuple[str, Slip | None, ControllerState]:
    match what:
        case "altitude" if state.altitude_ft is not None and "altitude" in state.unsaid:
            right = altitude_words(state.altitude_ft)
            off = _FEET_OFF if state.altitude_ft + _FEET_OFF <= _CEILING_FT else -_FEET_OFF
            wrong_ft = state.altitude_ft + off
            said = re.sub(rf"\bmaintain {right}\b(?! \w+ hundred\b)", f"maintain {altitude_words(wrong_ft)}", words)
            slip = Slip(what, f"maintain {right}", state.altitude_ft)
            after = replace(state, altitude_ft=wrong_ft, assigned=(state.assigned[0], wrong_ft))
        case "heading" if state.heading_deg is not None and "heading" in state.unsaid:
            right = heading_words(state.heading_deg)
            flown = (state.heading_deg + _DEGREES_OFF) % 360.0
            said = re.sub(rf"\bheading {right}\b", f"heading {heading_words(flown)}", words)
            slip = Slip(what, f"fly heading {right}", state.heading_deg)
            after = replace(state, heading_deg=flown, assigned=(flown, state.assigned[1]))
        case "side" if (side := _SIDE.search(words)) is not None:
            other = "left" if side.group(1) == "right" else "right"
            said = _SIDE.sub(f"turn {other}", words, count=1)
            slip, after = Slip(what, f"turn {side.group(1)}"), state
        case "callsign" if callsign in words:
            said = words.replace(callsign, _another(callsign))
            rest = words.replace(f"{callsign}, ", "", 1).rstrip(".").split(". ")
            stays = [each for each in rest if not (each.endswith("?") or each.casefold().startswith("say "))]
            slip, after = Slip(what, ", ".join(["that was for you", ". ".join(stays)][:1 + bool(stays)])), state
        case _:
            return words, None, state
    return (said, slip, after) if said != words else (words, None, state)


def _another(callsign: str) -> str:
    """Return a callsign that is easily taken for this one: its last character is another."""
    *before, last = callsign.split()
    return " ".join([*before, "kilo" if last != "kilo" else "mike"])


def noticed(state: ControllerState, call: Call) -> bool:
    """Say whether a call doubts the last mistake, or repeats what would have been right."""
    slip = state.slip
    if slip is None or asked_about(call) or _about_another(slip, call):
        return False
    if state.now_s - slip.said_s > NOTICED_WITHIN_S:
        return _DOUBTS.search(call.words) is not None and _names_it(state, slip, call)
    if _DOUBTS.search(call.words) or (not state.question and any(each.kind == "negative" for each in call.replies)):
        return True
    match slip.what:
        case "altitude":
            figures = (call.altitude_ft, call.altitude_wanted_ft, *(each.altitude_ft for each in call.replies))
        case "heading":
            figures = (call.heading_deg, call.heading_wanted_deg, *(each.heading_deg for each in call.replies))
            return slip.number is not None and any((each - round(slip.number)) % 360 == 0 for each in figures
                                                   if each is not None)
        case "side":
            return re.search(rf"\b{slip.right.rpartition(' ')[2]}\b", call.words, re.IGNORECASE) is not None
        case _:
            return False
    return slip.number is not None and round(slip.number) in figures


def _about_another(slip: Slip, call: Call) -> bool:
    """Say whether a call is about something that the mistake was not in: an altitude, or a heading."""
    altitude, heading = _ALTITUDE.search(call.words) is not None, _HEADING.search(call.words) is not None
    if slip.what == "altitude":
        return heading and not altitude
    return slip.what in ("heading", "side") and altitude and not heading


def _names_it(state: ControllerState, slip: Slip, call: Call) -> bool:
    """Say whether a call names the wrong figure, which is still assigned."""
    match slip.what:
        case "heading" if state.heading_deg is not None:
            return call.heading_deg is not None and (call.heading_deg - round(state.heading_deg)) % 360 == 0
        case "altitude" if state.altitude_ft is not None:
            return round(state.altitude_ft) in (call.altitude_ft, call.altitude_wanted_ft)
        case _:
            return False


def wrong_side_seen(state: ControllerState) -> str:
    """Return the words for a turn to a heading that radar shows go to the wrong side, as it was given; "" for none.

    The called turns of no-gyro vectors are stopped and called again by `vectoring`.
    """
    slip, heading = state.slip, state.heading_deg
    if slip is None or slip.what != "side" or heading is None or state.turns is not None:
        return ""
    way = 1.0 if slip.right.endswith("right") else -1.0
    return f"correction, {slip.right} heading {heading_words(heading)}" if (
        state.seen.turned_deg * way <= -_SEEN_DEG) else ""


def corrected(state: ControllerState) -> tuple[ControllerState, str]:
    """Return the controller with the mistake taken back, and the words for it."""
    slip = state.slip
    if slip is None:
        return state, ""
    state = replace(state, slip=None)
    if slip.what == "altitude":
        state = replace(state, altitude_ft=slip.number)
    if slip.what == "heading":
        state = replace(state, heading_deg=slip.number)
    if slip.what == "callsign":           # only now has it been said to this airplane
        state = replace(state, unsaid=tuple(
            name for name, number in (("heading", state.heading_deg), ("altitude", state.altitude_ft))
            if number is not None))
    return state, f"correction, {slip.right}"
