"""A pilot who does not answer is asked whether he hears, ever more seldom, and then tried without words.

FAA JO 7110.65 10-4-4 and 5-2-8, AIM 6-4-1 and 6-4-2, by memory; the intervals are the author's.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from drill.clean import Clean
from drill.flight.events import Heard
from drill.language.meaning import Cover, FlyBy, Ident, Transmit
from drill.scenario.model import Say
from flight.flights import begun, finished, of
from flight.talk import HERE, Talk
from flight.test_no_gyro import CALL, _obeyed

RIDE = Say(Clean("{callsign}, how is the ride?"), asks="yes")


def times(talk: Talk, seconds: int, words: str) -> list[float]:
    """When a line with `words` is said within `seconds`."""
    return [talk.t for _ in range(seconds) for each in talk.wait(1) if words in each]


def test_whether_he_hears_is_asked_twice_and_then_tried_by_ident_and_turn_at_growing_intervals() -> None:
    talk = Talk()
    talk.line(RIDE)
    said = [(talk.t, each) for _ in range(1000) for each in talk.wait(1)]
    tries = [(t, each) for t, each in said if "hear me" in each or "if you read" in each]
    assert ["hear me" in each for _, each in tries[:4]] == [True, True, False, False]
    assert "if you read, ident" in tries[2][1]
    assert "if you read, turn left heading two one zero" in tries[3][1]
    gaps = [later[0] - earlier[0] for earlier, later in pairwise(tries)]
    assert gaps == sorted(gaps)


def test_nobody_is_called_over_what_he_was_told_a_moment_ago() -> None:
    talk = Talk()
    talk.line(RIDE)
    talk.wait(40)
    talk.line(Say(Clean("{callsign}, traffic two o'clock, six miles.")))
    said = [(talk.t, each) for _ in range(120) for each in talk.wait(1)]
    told = next(t for t, each in said if "traffic" in each)
    asked = next(t for t, each in said if "hear me" in each)
    assert asked - told >= 45.0


def test_a_silent_pilot_is_called_no_more_than_twice_in_two_minutes() -> None:
    talk = Talk()
    talk.line(RIDE)
    assert len(times(talk, 125, "hear me")) <= 2
    assert len(times(talk, 120, "hear")) + len(times(talk, 1, "if you read")) <= 2


def test_the_search_has_an_end() -> None:
    talk = Talk()
    talk.line(RIDE)
    talk.wait(2400)
    assert not times(talk, 1200, "if you read")


def test_an_ident_is_observed_and_answered_with_what_a_silent_pilot_needs() -> None:
    talk = Talk()
    talk.line(RIDE)
    while not times(talk, 1, "if you read, ident"):
        assert talk.t < 300.0
    talk.wait(20)
    talk.radar = replace(talk.radar, ident=True)
    said = talk.wait(1)
    talk.radar = replace(talk.radar, ident=False)
    said += talk.wait(10)
    assert "ident observed. Acknowledge with ident. Wendle is heading zero eight zero" in said[0]
    assert "minimum altitude in your area is three thousand" in said[0]
    assert not times(talk, 900, "hear me")


def test_a_turn_is_observed() -> None:
    talk = Talk()
    talk.line(RIDE)
    while not times(talk, 1, "if you read, turn left"):
        assert talk.t < 500.0
    assert "turn observed, resume your heading" in " ".join(talk.fly(12, turning_dps=-3.0))


def test_the_radio_code_is_noticed_and_nothing_is_asked_in_words() -> None:
    talk = Talk()
    talk.radar = replace(HERE, code="7600")
    said = " ".join(talk.wait(900))
    assert said.count("radar shows you squawking seven six zero zero, if you read, ident") == 1
    assert "hear me" not in said
    assert "say intentions" not in said.lower()


def test_an_emergency_code_without_a_word_is_asked_for_its_nature_and_again_once_there_is_a_word() -> None:
    talk = Talk()
    talk.radar = replace(HERE, code="7700")
    said = " ".join(talk.wait(300))
    assert said.lower().count("say nature of the problem") == 1
    assert "fuel" not in said
    assert "IMC" not in said
    assert "say nature" in talk.say("Larkspur 5304W, mayday")[0].lower()


def test_questions_that_stay_unanswered_are_followed_by_how_do_you_hear_me() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W, vacuum failure, in cloud")
    said = " ".join(talk.wait(600))
    assert said.index("maintain your heading and altitude?") < said.index("how do you hear me") < said.index("ident")


def test_who_follows_called_turns_is_not_asked_whether_he_hears() -> None:
    flight, _ = begun()
    for action in (Cover("attitude_indicator"), Cover("heading_indicator"), FlyBy("partial_panel"), Transmit(CALL)):
        flight.act(action)
    said = [each.words for each in of(Heard, _obeyed(flight, 400.0))]
    assert any(each.endswith("stop turn.") for each in said)
    assert not any("hear me" in each or "if you read" in each for each in said)


def test_who_flies_the_heading_that_he_is_given_hears() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    talk.line(RIDE)
    said = talk.wait(10)
    while abs(talk.radar.track_deg - 80.0) > 4.0:
        said += talk.fly(1, turning_dps=-3.0)
    said += talk.fly(100)
    assert not any("hear me" in each for each in said)


def test_a_pilot_who_presses_ident_in_the_air_is_seen() -> None:
    flight, _ = begun()                   # at thirty seconds the scenario says something that wants an answer
    said: list[str] = []
    while not any("if you read, ident" in each for each in said):
        said += [each.words for each in of(Heard, flight.advance(1.0))]
        assert flight.t_s < 300.0
    flight.act(Ident())
    said += [each.words for each in of(Heard, [*finished(flight), *flight.advance(30.0)])]
    assert any("ident observed. Acknowledge with ident" in each for each in said)
