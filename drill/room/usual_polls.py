"""The polls of a scenario whose author has written none, and the answers of a poll that was written without them. Pure.

Five polls: a first look before anything can have failed, two more at what is wrong, one at what to do next, one at
what to say. What is suspected is what can fail here, among parts of other systems: the list does not say which it is.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass

from drill.airplane.failures import CATALOGUE
from drill.language import read
from drill.language.meaning import EQUIPMENT, Transmit
from drill.room.events import Kind
from drill.scenario.conditions import Condition
from drill.scenario.fitted import is_fitted
from drill.scenario.model import Scenario
from drill.scenario.names import words_of
from drill.scenario.onsets import failing_between

NOTHING = ("Nothing is wrong", "nothing is wrong")
"""Always the last answer to what is wrong, and the line that says so."""

QUESTIONS: dict[Kind, str] = {
    "what is wrong": "What is wrong, if anything?",
    "what next": "What do you do next?",
    "what do you say": "What do you say to ATC?",
    "how sure": "How sure are you?",
}
SURE_WORDS = {1: "a guess", 2: "rather unsure", 3: "rather sure", 4: "certain"}

SUSPECTS = 5
STEPS = 4
LONGEST_ANSWER = 60
FIRST_LOOK_S = 90.0
LOOKS_AGAIN_S = 90.0       # after the last failure can have begun,
THEN_S = 60.0              # and then from poll to poll
LAST_S = 180.0

_IN_THE_AIR = ("Cover the airspeed indicator, fly by pitch and power", "cover the airspeed indicator")
_ON_THE_GROUND = ("Wait and see what the instruments do", "wait two minutes")
_OF_NEXT = ("aviate", "decide", "manage")
_CALLED = {"pitot": "pitot tube", "static_system": "static ports", "navigation": "GPS", "radio": "transmitter"}
_DISCUSS: dict[Kind, tuple[str, ...]] = {
    "what is wrong": ("What on the panel says so, and what would show it if it were otherwise?",
                      "Which of the instruments that agree share a source?"),
    "what next": ("What does it cost, and what can be left for later?",),
    "what do you say": ("What does the controller need to know to be of help?",),
    "how sure": ("What would make you surer?",),
}


@dataclass(frozen=True, slots=True)
class Asking:
    """A poll before its answers have keys: (says, does) each."""

    name: str
    kind: Kind
    question: str
    answers: tuple[tuple[str, str], ...]
    discuss: tuple[str, ...]
    at_s: float | None
    when: Condition | None = None


def usual_polls(scenario: Scenario) -> list[Asking]:
    """Return five polls with their moments, in order; fewer where the flight is too short for them."""
    first_s, last_s = failing_between(scenario)
    look_s = FIRST_LOOK_S if first_s is None else min(FIRST_LOOK_S, float(int(first_s / 2.0)))
    again_s = (look_s if last_s is None else max(look_s, last_s)) + LOOKS_AGAIN_S
    moments: tuple[tuple[str, Kind, float], ...] = (
        ("First look", "what is wrong", look_s),
        ("Second look", "what is wrong", again_s),
        ("Next", "what next", again_s + THEN_S),
        ("The call", "what do you say", again_s + 2.0 * THEN_S),
        ("Last look", "what is wrong", again_s + 2.0 * THEN_S + LAST_S),
    )
    answers: dict[Kind, tuple[tuple[str, str], ...]] = {
        "what is wrong": suspects(scenario), "what next": next_steps(scenario)}
    return [Asking(name, kind, QUESTIONS[kind], answers.get(kind, ()), _DISCUSS[kind], at_s)
            for name, kind, at_s in moments if at_s < scenario.time_limit_s]


def suspects(scenario: Scenario) -> tuple[tuple[str, str], ...]:
    """Return what may be thought to have failed, as (says, does): what can fail here, among parts of other systems."""
    failures = [CATALOGUE[plan.part, plan.how] for plan in scenario.failures]
    chosen = list(dict.fromkeys(name for each in failures if (name := first_name(each.part, each.how))))
    also = {name for each in failures for names in (*each.named_right_as, *each.also_right) for name in names}
    seen = {each.power_group for each in failures}
    for fresh in (True, False):     # one of each other system first
        for name, group in _others(scenario):
            if len(chosen) < SUSPECTS and name not in (*chosen, *also) and (group not in seen) is fresh:
                chosen.append(name)
                seen.add(group)
    return tuple(suspected(name) for name in sorted(chosen, key=EQUIPMENT.index))


def _others(scenario: Scenario) -> list[tuple[str, str]]:
    """Return (name, system) of whatever can fail in this airplane, in an order that the scenario's name decides."""
    airframe = scenario.airplane.airframe
    found = {name: failure.power_group for (part, how), failure in CATALOGUE.items()
             if is_fitted(part, airframe) and (name := first_name(part, how))}
    return sorted(found.items(), key=lambda each: zlib.crc32(f"{scenario.name} {each[0]}".encode()))


def first_name(part: str, how: str) -> str:
    """Return what a failure is first of all called; "" for one that nobody can name."""
    return next((name for names in CATALOGUE[part, how].named_right_as if len(names) == 1 for name in names), "")


def suspected(name: str) -> tuple[str, str]:
    """Return the answer that this equipment (a code) has failed, as (says, does)."""
    called = _CALLED.get(name, words_of(name))
    return f"The {called}", f"I think the {called} {'have' if called.endswith('ports') else 'has'} failed"


def next_steps(scenario: Scenario) -> tuple[tuple[str, str], ...]:
    """Return what may be done next, as (says, does): what the sheet would have done, among what it would not."""
    steps = [("Go on as cleared", ""), ("Look at the whole panel once more", "look at the whole panel")]
    for item in scenario.grade_sheet:
        line = str(item.example or "")
        if item.part not in _OF_NEXT or not 0 < len(line) <= LONGEST_ANSWER or len(steps) > STEPS:
            continue
        if not any(isinstance(each, Transmit) for each in read(line, scenario.context)):
            steps.append((line[:1].upper() + line[1:], line))
    steps.append(_ON_THE_GROUND if scenario.start.on_ground else _IN_THE_AIR)
    return tuple(sorted(steps, key=lambda each: zlib.crc32(f"{scenario.name} {each[0]}".encode())))
