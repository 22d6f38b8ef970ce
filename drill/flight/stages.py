"""The controller's state machine: four stages, what leads from one to the next, and what is asked for in each.

    from       to         when
    any other  declared   the pilot declares
    declared   trouble    the pilot takes it back
    routine    trouble    something is wrong: reported, with or without saying what, or seen on radar (code 7700, wild
                          flight)
    trouble    handled    no word of emergency, but control is going, or the horizon is gone in cloud, or the author has
                          the controller say so
    handled    trouble    what spoke for it has been done away with
    trouble    routine    all is well

`CHANGES` is that table. In `handled` and `declared` headings and altitudes are the pilot's, the frequency stays, and
nobody is told to stand by. `FIRST` is asked for with an answer, `LATER` once the first rush is over; one thing a
transmission, in their order (FAA JO 7110.65 10-2-1, by memory), only what is missing, and none too often.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from drill.flight.controller_state import ControllerState, Stage, emergency, powerless
from drill.flight.natures import airplane_sound
from drill.flight.replacing import replace

TAKE_ATTITUDE = frozenset({"attitude_indicator", "vacuum_system", "electrical_system"})
"""What, reported failed in cloud, leaves a pilot without a horizon as far as ATC can know."""
LOST_HEADING = frozenset({"heading_indicator", "vacuum_system", "electrical_system"})
"""What, reported failed, leaves a pilot without a gyro for the heading: a heading is what such a pilot cannot fly."""
RADIOS = frozenset({"radio", "transponder"})
"""What, reported failed, takes nothing from the flying."""
NO_PLAN = frozenset({"altitude_change", "block_altitude", "weather", "frequency", "relay", "priority"})
"""What can be asked for without any plan."""
FIELD = "field"          # the question whether the field is in sight
ANYTHING = "anything"    # a scenario's own question, to which any plain words are the answer
LEFT_OPEN_S = 25.0       # "are you declaring?" has been left unanswered so long
STILL_WILD_S = 20.0      # radar has shown wild flight so long, and nobody has said why


@dataclass(frozen=True, slots=True)
class Change:
    """A way from one stage to another."""

    of: tuple[Stage, ...]
    why: str
    when: Callable[[ControllerState], bool]
    to: Stage


@dataclass(frozen=True, slots=True)
class Wanted:
    """Something to ask for, until it is known, at most so often; `aloft`: not on the ground."""

    key: str
    words: str
    most: int
    known: Callable[[ControllerState], bool]
    routine: bool = False                 # asked for without any trouble, too
    aloft: bool = False


def wrong(state: ControllerState) -> bool:
    """Say whether something is wrong, as far as ATC has been told or can see."""
    told = state.told
    author = state.author_handles and "author" not in state.spent
    return bool(told.equipment) or told.impairment or told.urgency != "none" or state.emergency_code or (
        state.trouble or author or state.control in ("partial", "unable") or state.seen.wild_at_s is not None or (
            told.conditions == "icing"))


def reasons(state: ControllerState) -> frozenset[str]:
    """Return why ATC would handle an undeclared flight as an emergency (FAA JO 7110.65 10-1-1, by memory)."""
    told, seen = state.told, state.seen
    found: set[str] = set()
    if state.control == "unable":
        found.add("control")
    if state.author_handles:
        found.add("author")
    if (told.equipment & TAKE_ATTITUDE or state.control == "partial") and told.conditions in ("imc", "icing"):
        found.add("attitude")
    known = bool(told.equipment) or told.impairment or state.emergency_code
    if seen.wild_at_s is not None and (known or state.now_s - seen.wild_at_s >= STILL_WILD_S):
        found.add("radar")
    return frozenset() if seen.on_ground else frozenset(found - set(state.spent))


def _to_be_handled(state: ControllerState) -> bool:
    """Say whether it is time: at once where control is going, else when the pilot was asked and has not said yes."""
    why = reasons(state)
    left = bool({"emergency", "no_gyro"} & set(state.asked)) and state.now_s - state.question_s >= LEFT_OPEN_S
    return bool(why & {"control", "radar", "author"}) or ("attitude" in why and (state.declined or left))


CHANGES = (
    Change(("routine", "trouble", "handled"), "the pilot declares", lambda state: state.told.urgency != "none",
           "declared"),
    Change(("declared",), "the pilot takes it back", lambda state: state.told.urgency == "none", "trouble"),
    Change(("routine",), "something is wrong", wrong, "trouble"),
    Change(("trouble",), "no word of emergency, but control is going", _to_be_handled, "handled"),
    Change(("handled",), "that has been done away with", lambda state: not reasons(state), "trouble"),
    Change(("trouble",), "all is well", lambda state: not wrong(state), "routine"),
)

FIRST = (
    Wanted("altitude", "say altitude wanted", 2, lambda state: not state.wants_altitude, routine=True),
    Wanted("identification", "say callsign", 2,
           lambda state: state.told.callsign or state.contact or not state.told.calls, routine=True),
    Wanted("nature", "say nature of the problem", 2,
           lambda state: bool(state.told.equipment or state.natures) or state.told.impairment or (
               state.control == "unable" or (state.trouble and "nature" in state.asked))),
    Wanted("intentions", "say intentions", 2, lambda state: bool(
        state.told.assistance - NO_PLAN or state.told.intentions or state.told.places or state.place)),
    Wanted("emergency", "are you declaring an emergency?", 2,
           lambda state: emergency(state) or state.declined, aloft=True),
)
LATER = (
    Wanted("control", "are you able to maintain your heading and altitude?", 1,
           lambda state: bool(state.control) or state.told.impairment or powerless(state) or (
               not state.told.equipment - RADIOS and (airplane_sound(state.natures) or (
                   bool(state.told.equipment) and not state.natures))), aloft=True),
    Wanted("conditions", "are you in IMC or VMC?", 1, lambda state: state.told.conditions != "unstated", aloft=True),
    Wanted("fuel", "when able, say fuel remaining in time", 1,
           lambda state: state.told.fuel or powerless(state), aloft=True),
    Wanted("people", "when able, say people on board", 1, lambda state: state.told.souls, aloft=True),
)
_BY_KEY = {each.key: each for each in (*FIRST, *LATER)}


def moved(state: ControllerState) -> ControllerState:
    """Return the controller in the stage that the table leads to by what is known now."""
    for _ in CHANGES:                     # a table without a circle ends sooner
        change = next((each for each in CHANGES if state.stage in each.of and each.when(state)), None)
        if change is None:
            break
        state = _entered(state, change.to)
    return state


def _entered(state: ControllerState, stage: Stage) -> ControllerState:
    if stage in ("handled", "declared"):
        return replace(state, stage=stage, own_heading=True, own_altitude=True)
    if stage == "routine":
        of_trouble = state.question in _BY_KEY and not _BY_KEY[state.question].routine
        return replace(state, stage=stage, handling_said=False, more_at_s=None,
                       question="" if of_trouble else state.question)
    return replace(state, stage=stage, handling_said=False)


def taken_back(state: ControllerState) -> ControllerState:
    """Return the controller after the pilot has cancelled the emergency: today's reasons count no more."""
    seen = replace(state.seen, wild_since_s=None, wild_at_s=None)
    return replace(state, spent=tuple(sorted({*state.spent, *reasons(state)})), control="", seen=seen,
                   emergency_code=False, trouble=False)


def known(state: ControllerState, question: str) -> bool:
    """Say whether a question has been answered; False for one that is not of the tables. "more": fuel and people."""
    if question == "more":
        return state.told.fuel and state.told.souls
    if question == "intentions":
        return bool(state.place)
    if question == "emergency":
        return state.told.urgency != "none" or state.declined
    return question in _BY_KEY and question != "altitude" and _BY_KEY[question].known(state)


def words_for(question: str) -> str:
    """Return the controller's own words for a question; "" for one that is not of the tables."""
    return _BY_KEY[question].words if question in _BY_KEY else ""


def next_question(state: ControllerState) -> tuple[str, str]:
    """Return the key and the words of the one thing to ask for now; two empty texts when nothing is missing."""
    return _first_missing(state, FIRST)


def later_question(state: ControllerState, wanted: tuple[str, ...]) -> tuple[str, str]:
    """Return the same of what can wait; `wanted`: the keys that the author leaves to the controller.

    What should have come first, and has not yet for a pilot who had others to talk to, comes first now.
    """
    first = _first_missing(state, tuple(each for each in FIRST if each.key not in state.asked and not each.routine))
    if first[0]:
        return first
    if "more" in state.asked:             # the scenario has asked for fuel and people in its own words
        wanted = tuple(each for each in wanted if each not in ("fuel", "people"))
    return _first_missing(state, tuple(each for each in LATER if each.key in wanted))


def _first_missing(state: ControllerState, questions: tuple[Wanted, ...]) -> tuple[str, str]:
    put = Counter(state.asked)
    if state.no_help and not emergency(state):
        questions = tuple(each for each in questions if each.routine)
    for each in questions:
        if (each.routine or state.stage != "routine") and not (each.aloft and state.seen.on_ground) and (
                put[each.key] < each.most and not each.known(state)):
            return each.key, each.words
    return "", ""
