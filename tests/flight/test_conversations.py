"""Whatever is said and wherever radar sees the airplane, the conversation keeps its rules."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.flight.phraseology import spoken_callsign
from drill.flight.speaking import WORDS_PER_SECOND
from drill.flight.stages import CHANGES, FIRST, LATER
from drill.language import read_call
from drill.scenario.model import MISTAKES, Mistake, Say
from flight.talk import CONTEXT, HERE, Talk

CALLS = (
    "Orrinfell Approach, Larkspur 5304W", "04W, radio check", "mayday mayday mayday, Larkspur 5304W, vacuum failure",
    "pan-pan, pan-pan, pan-pan, Larkspur 5304W, we have lost the attitude indicator, partial panel in cloud",
    "Larkspur 5304W has lost the vacuum pump", "04W, request no-gyro vectors to Wendle", "request vectors to Tallowby",
    "request a surveillance approach at Tallowby", "request lower", "request climb to seven thousand", "six thousand",
    "affirm", "negative", "not declaring, 04W", "no emergency", "IMC", "VMC, 04W", "four hours", "an hour and ten",
    "two", "two souls", "unable", "unable heading, 04W", "unable frequency change, remaining with you", "standby",
    "say again", "what airports are near us", "where am I", "say altimeter", "weather at Wendle", "what are the tops",
    "cancel IFR",
    "cancel the emergency, 04W", "going missed, Larkspur 5304W", "runway in sight", "heading zero eight zero, 04W",
    "seven thousand, 04W", "I am losing control", "everything is fine", "confirm left turn?", "was that for 04W?",
    "Bramble 71K, request climb", "request block altitude five to six thousand", "request hold", "diverting to Wendle",
    "roger", "wilco, 04W", "request frequency change", "request lower, mayday, unable, cancel IFR, affirm, standby",
)
LINES = (
    Say("{callsign}, what would you like to do?", asks="intentions"),  # type: ignore[arg-type]
    Say("{callsign}, when able, say fuel and people.", asks="more"),  # type: ignore[arg-type]
    Say("{callsign}, descend and maintain {altitude}.", altitude_ft=4000.0, asks="readback"),  # type: ignore[arg-type]
    Say("{callsign}, cleared ILS 24 approach.", cleared_approach="ILS 24"),  # type: ignore[arg-type]
    Say("{callsign}, contact Averholt Approach on one two six point seven.", hands_off=True),  # type: ignore[arg-type]
    Say("Thistle 9VR, good day.", voice="Another"),  # type: ignore[arg-type]
)
QUESTIONS = ("say callsign", "say nature of the problem", "are you declaring", "are you able to maintain your heading",
             "are you in imc or vmc", "say fuel remaining in time", "say people on board", "are you able to turn")
TURNS = st.lists(st.tuples(
    st.one_of(st.sampled_from(CALLS), st.sampled_from(LINES), st.text(max_size=40)),
    st.floats(-400.0, 400.0), st.floats(-15.0, 15.0), st.integers(0, 90)), max_size=8)


def flown_on(radar: Radar, climb_fpm: float, turning_dps: float) -> Radar:
    return replace(radar, altitude_ft=max(500.0, radar.altitude_ft + climb_fpm), track_deg=(
        radar.track_deg + turning_dps) % 360.0)


@pytest.mark.long
@settings(deadline=None, max_examples=120)
@given(TURNS, st.sampled_from(["helpful", "busy"]), st.lists(st.sampled_from(MISTAKES), unique=True),
       st.sampled_from([0.0, 20.0, 24.0]))
def test_no_conversation_breaks_a_rule(
    turns: list[tuple[str | Say, float, float, int]], mood: str, mistakes: list[Mistake], east_nm: float,
) -> None:
    talk = Talk()
    clearance = replace(talk.scenario.clearance, mood=mood, mistakes=tuple(mistakes))  # type: ignore[arg-type]
    talk.scenario = replace(talk.scenario, clearance=clearance)
    talk.state = controller.begin(talk.scenario)
    talk.radar = replace(HERE, east_nm=east_nm)
    names = [spoken_callsign(talk.scenario.callsign, short=short) for short in (True, False)]
    put: Counter[str] = Counter()
    free_s, again, heard = 0.0, False, set[str]()
    for said, climb_fpm, turning_dps, seconds in turns:
        if isinstance(said, Say):
            talk.state = controller.say(talk.state, said, talk.t)
        else:
            again = again or "again" in said or "?" in said    # what was asked for once more is no new question
            talk.state = controller.hear(
                talk.state, controller.understood(talk.state, read_call(said, CONTEXT), CONTEXT))
        for second in range(seconds):
            talk.t += 1.0
            talk.radar = flown_on(talk.radar, climb_fpm if second < 20 else 0.0, turning_dps if second < 20 else 0.0)
            told = talk.state.told
            talk.state, spoken = controller.step(
                talk.scenario, talk.state, talk.radar, talk.t, pilot_talks=False, seed=1)
            assert len(spoken) <= 1, "never two lines at once"
            for each in spoken:
                assert talk.t >= free_s, "never over another line"
                free_s = talk.t + len(each.words.split()) / WORDS_PER_SECOND
                assert len(each.words.split()) <= 40, each.words
                lower = each.words.lower()
                asked = [words for words in QUESTIONS if words in lower]
                assert len(asked) <= 1, each.words
                if each.to_us and each.mistake != "callsign" and not lower.startswith(("aircraft", "station")):
                    assert any(name.lower() in lower for name in names), each.words
                if again and each.words in heard:
                    continue
                heard.add(each.words)
                put.update(asked)
                if "say intentions" in lower and ("climb and maintain" in lower or "stay at or above" in lower):
                    put["say intentions"] = 0     # an approach has come to nothing, so they are new ones
                put["say intentions"] += "say intentions" in lower
                assert not ("say callsign" in lower and told.callsign)
                assert not ("are you declaring" in lower and told.urgency != "none")
                assert not ("imc or vmc" in lower and told.conditions != "unstated")
                assert not ("fuel remaining" in lower and told.fuel)
                assert not ("people on board" in lower and told.souls)
    assert all(count <= 2 for count in put.values()), put


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.why)
def test_no_change_of_stage_leads_back_to_where_it_comes_from(change: object) -> None:
    assert change.to not in change.of  # type: ignore[attr-defined]


def test_every_question_of_the_tables_has_words_that_the_rules_above_look_for() -> None:
    words = {each.words for each in (*FIRST, *LATER)} - {"say altitude wanted", "say intentions"}
    assert all(any(known in each.lower() for known in QUESTIONS) for each in words)
