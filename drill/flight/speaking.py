"""The line that goes out: who is called and how, the next question behind it, how long it lasts, what becomes known.

Before contact, and once more in it, the callsign is said in full (AIM 4-2-4). A line of more than `MOST_WORDS` words
goes out in two.
"""

from __future__ import annotations

import re

from drill.flight.altitudes import joined
from drill.flight.controller_state import ControllerState, Line, Spoken, emergency
from drill.flight.mistakes import slipped
from drill.flight.phraseology import altitude_words, field_weather, filled, heading_words, spoken_callsign
from drill.flight.replacing import replace
from drill.flight.silence import by_ident
from drill.flight.stages import ANYTHING, known, next_question, words_for
from drill.scenario.model import Scenario

WORDS_PER_SECOND = 2.8   # a controller's brisk speech
MOST_WORDS = 40
FAR_OFF_S = 1e6
AGAIN_S = 20.0           # a question that is open is not put again sooner
CALLSIGN_SHORTENED = 2   # lines to the airplane in contact: the second one is the first that shortens
_THERE_FT = 300.0        # what radar shows so far from a level is not at it (FAA JO 7110.65 5-2-17, by memory)
_AT_LEVEL = re.compile(r"\bat (\d{4,5})\b[^.?]*\?")
_QUESTION_WORDS = 8      # of the longest that follows an answer
_ASKS = re.compile(r"\b(?:when (?:able|you can), )?(?:say|verify|report)\b", re.IGNORECASE)


def spoken(scenario: Scenario, state: ControllerState, t_s: float,
           room_s: float = FAR_OFF_S) -> tuple[ControllerState, list[Spoken]]:
    """Return the controller after the line that is due goes out, if one is and the frequency is free.

    `room_s`: the seconds that it may take; an urgent one does not wait.
    """
    due = [each for each in state.lines if each.due_s <= t_s]
    if not due or t_s < state.frequency_free_s:
        return state, []
    line = min(due, key=lambda each: (not each.urgent, not each.answer, each.due_s))
    if not line.urgent and len(line.words.split()) / WORDS_PER_SECOND > room_s:
        return state, []
    rest = tuple(each for each in state.lines if each is not line)
    if line.hands_off and emergency(state):
        return replace(state, lines=rest), []
    if _asks_from_afar(state, line):
        return replace(state, lines=rest, question="" if line.question == state.question else state.question), []
    callsign = spoken_callsign(scenario.callsign, short=state.contact and state.said >= CALLSIGN_SHORTENED - 1)
    if line.plain:
        words = filled(line.words, callsign=callsign, heading_deg=state.heading_deg, altitude_ft=state.altitude_ft)
        key = line.question if line.to_us else ""
        if line.only_asks and known(state, key):
            return replace(state, lines=rest), []
    else:
        names = tuple(each.name for each in scenario.fields)
        line, more = _parted(line, MOST_WORDS - len(callsign.split()), names, t_s)
        rest = (*more, *rest)
        key, question = next_question(state) if line.ask and t_s >= state.quiet_until_s else (line.question, "")
        if line.ask and key and key == state.question and t_s - state.question_s < AGAIN_S and (
                state.heard_s <= state.question_s):
            key, question = "", ""        # it has just been put and not been answered
        said = line.words + question
        if line.words and question:
            said = f"{line.words}. {question[0].upper()}{question[1:]}"
        if not said or (not line.answer and key == line.question and known(state, key)):
            return replace(state, lines=rest), []
        address = "aircraft calling" if key == "identification" else callsign
        words = f"{address}, {said}"
        words = words if words.endswith("?") else words + "."
    mistake, meant = "", words
    if line.to_us and line.words != state.last_words:
        state = replace(state, slip=None if state.slip is not None and state.slip.what in state.unsaid else state.slip)
        state, words, mistake = slipped(state, words, callsign)
    put, words = words, by_ident(state, words)
    free = t_s + len(words.split()) / WORDS_PER_SECOND + 1.0
    asks = line.asks or bool(key)
    unread = state.unsaid if line.to_us else ()
    altitude_said = "altitude" in unread
    state = replace(
        state, lines=rest, frequency_free_s=free,
        last_words=(meant if mistake == "callsign" else words) if line.to_us else state.last_words,
        asked=(*state.asked, key) if key else state.asked,
        question=key if key and line.to_us else state.question,
        question_s=t_s if key and line.to_us else state.question_s,
        question_words=_question_in(put, callsign, key) if key and line.to_us else state.question_words,
        repeats=state.repeats if not key or not line.to_us else state.repeats + 1 if key == state.question else 0,
        read_out=_read_out(scenario, state, words, t_s) if line.to_us else state.read_out,
        spoken_of=_last_named(scenario, words) or state.spoken_of,
        others_s=state.others_s if line.to_us else t_s,
        aired=(state.heading_deg, state.altitude_ft) if line.to_us else state.aired,
        given_s=t_s if altitude_said else state.given_s, given_plain=line.plain if altitude_said else state.given_plain,
        unsaid=() if line.to_us else state.unsaid,
        unread=(*state.unread, *unread),
        gave=_instructed(state, line) or state.gave if line.to_us else state.gave,
        said=state.said + 1 if line.to_us and state.contact else state.said,
        wants_altitude=state.wants_altitude and key != "altitude",
        addressed_s=free if line.to_us else state.addressed_s,
        unanswered_since_s=free if line.asks else None if asks and line.to_us else state.unanswered_since_s,
    )
    wants = _wants(state, line, words, key, given=bool(unread)) if line.to_us else ""
    return state, [Spoken(line.voice or scenario.clearance.facility, words, line.to_us, wants, mistake)]


def _asks_from_afar(state: ControllerState, line: Line) -> bool:
    """Say whether a scenario's question is about a level at which radar does not show the airplane: it stays unsaid.

    "how is the ride at six thousand?" is for who is there to tell. What is assigned or offered is not meant.
    """
    here_ft = state.seen.altitude_ft
    asked = _AT_LEVEL.search(joined(line.words)) if line.to_us and line.question == ANYTHING else None
    return asked is not None and here_ft is not None and abs(int(asked.group(1)) - here_ft) > _THERE_FT


def _wants(state: ControllerState, line: Line, words: str, question: str, *, given: bool) -> str:
    """Return what a line wants of this airplane, as `events.Heard` has it; `given`: an assignment changes with it."""
    if question:
        return question
    numbers = [heading_words(state.heading_deg)] if state.heading_deg is not None else []
    numbers += [altitude_words(state.altitude_ft)] if state.altitude_ft is not None else []
    if given and any(each in words for each in numbers):
        return "readback"
    return "turn" if line.turns else "reply" if line.asks else "given" if given else ""


def _question_in(words: str, callsign: str, key: str) -> str:
    """Return what a line asks, without the callsign and what is said before it; his own words where it says no more.

    A scenario's line may only imply its question: "roger the missed approach" with `asks: intentions`.
    """
    last = words.removeprefix(f"{callsign}, ").rstrip(".").rpartition(". ")[2].strip()   # "heading ." of none
    found = _ASKS.search(last)
    if found is None and not last.endswith("?") and words_for(key):
        return words_for(key)
    asked = last if found is None else last[found.start():]
    return asked[:1].lower() + asked[1:]


def _read_out(scenario: Scenario, state: ControllerState, words: str, t_s: float) -> tuple[tuple[str, float], ...]:
    """Return the fields whose weather was read, this line's last."""
    now = tuple((each.name, t_s) for each in scenario.fields if field_weather(each) in words)
    names = {name for name, _ in now}
    return (*(each for each in state.read_out if each[0] not in names), *now) if now else state.read_out


def _last_named(scenario: Scenario, words: str) -> str:
    """Return the field that a line names last, "" for none."""
    return max((each.name for each in scenario.fields if each.name in words), key=words.rfind, default="")


def _instructed(state: ControllerState, line: Line) -> str:
    """Return what a line to this airplane has it do: a frequency, an altitude, a heading or turn; "" for nothing."""
    if line.hands_off:
        return "frequency"
    if line.turns or "heading" in state.unsaid:
        return "heading"
    return "altitude" if "altitude" in state.unsaid else ""


def _parted(line: Line, room: int, names: tuple[str, ...], t_s: float) -> tuple[Line, tuple[Line, ...]]:
    """Return as much of an own line as `room` words take, and the rest; `names` keep their capitals."""
    sentences = line.words.split(". ")
    room -= _QUESTION_WORDS if line.ask else 0
    count, kept = 0, 0
    while kept < len(sentences) and (not kept or count + len(sentences[kept].split()) <= room):
        count += len(sentences[kept].split())
        kept += 1
    if kept == len(sentences):
        return line, ()
    first = replace(line, words=". ".join(sentences[:kept]), ask=False, asks=False, question="")
    left = ". ".join(sentences[kept:])
    if not any(left.startswith(name) for name in names):
        left = f"{left[0].lower()}{left[1:]}"
    return first, (replace(line, due_s=t_s, words=left),)
