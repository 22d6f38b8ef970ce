"""What is only asked, supposed, past, quoted, denied or somebody else's reports nothing and orders nothing.

The lines are our own (common practice, no source); that nothing may be heard that was not said is the first rule of
the labels.
"""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import BreakOff, Compare, Context, Look, Transmit, Unclear

HERE = Context("Larkspur 04W", "Tallowby Approach", ("Wendle", "Tallowby", "Marrowby"))


def call(words: str):
    return read_call(f"approach, 04W, {words}", HERE)


@pytest.mark.parametrize("words", [
    "did you say the vacuum failed?", "say again, who lost the vacuum pump?", "is our transponder out?",
    "has anyone reported the GPS out?", "what would you do with a failed attitude indicator?",
    "do airplanes with failed gyros get priority?", "were you told our vacuum failed? it did not",
])
def test_a_question_reports_no_failure(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "none of our gyros have failed", "we haven't had any alternator failure", "negative vacuum problem",
    "negative on the vacuum failure", "no ice, no engine trouble", "it is not true that our alternator failed",
    "cancel my report of the vacuum failure", "disregard the alternator failure", "alternator failure resolved",
    "attitude indicator is no longer failed", "vacuum problem is solved", "vacuum problem went away",
    "the battery is far from dead", "zero failures on this vacuum pump so far", "recovered from the alternator failure",
])
def test_a_denied_or_mended_failure_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "we heard Juniper 22K lost his vacuum pump", "the guy ahead of us says his attitude indicator tumbled",
    "traffic ahead just said his engine quit", "our wingman's attitude indicator failed", "tower's radio is dead",
    "tell Juniper 22K his transponder is not working", "your transmitter is scratchy", "fire engine on the runway",
    "company traffic has lost his engine", "the ground vehicle engine died on the runway",
])
def test_the_trouble_of_others_is_not_ours(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "should the alternator quit we will divert to Wendle", "in the event of an engine failure we will land",
    "suppose the attitude indicator failed", "checking whether the transponder failed",
    "expecting to lose the VOR beyond 40 miles",
    "we had a vacuum failure last week, all fixed now", "vacuum pump replaced after failure yesterday",
    "attitude indicator was inop on the last flight and repaired", "just kidding about the vacuum failure",
    "we watched a video on vacuum failures", "just reading about gyro failures here",
])
def test_what_is_supposed_past_or_a_joke_is_no_failure(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "smoke on the horizon", "lost the horizon in the haze", "my headset battery is dead",
    "passenger's phone battery died", "the vacuum cleaner at the hangar is broken", "no gyro in the way",
    "AI wrote my flight plan wrong", "dead reckoning by compass, all normal", "suction down to 4.9, normal",
    "compass is swinging in the turn, as always", "airspeed all over the place in this chop",
    "the weather radio is out at Tallowby",
])
def test_what_only_sounds_like_a_part_of_the_airplane_is_none(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize(("words", "part"), [
    ("did you copy that our vacuum pump failed", "vacuum_system"), ("the vacuum failed, did you get that?",
                                                                    "vacuum_system"),
    ("request your help with a failed attitude indicator", "attitude_indicator"),
    ("can we get vectors, the DG is spinning", "heading_indicator"), ("what do I do, the alternator quit",
                                                                      "alternator"),
])
def test_a_failure_that_is_told_beside_a_question_is_heard(words: str, part: str) -> None:
    assert call(words).equipment == (part,)


@pytest.mark.parametrize("words", [
    "should we declare an emergency?", "are you declaring an emergency for us?", "do I need to declare an emergency?",
    "we heard a mayday on guard", "copy the pan call from Juniper", "we have a non emergency request",
    "practice pan", "training mayday, training mayday", "mayday? no, not yet", "did somebody call mayday?",
    "the frying pan is loose in the cabin",
])
def test_urgency_that_is_asked_about_heard_or_practised_is_not_declared(words: str) -> None:
    assert call(words).urgency == "none"


@pytest.mark.parametrize("words", [
    "trucks not required", "ambulance not needed", "priority not required", "vectors not required",
    "fire trucks in sight", "surveillance aircraft above us in sight",
])
def test_a_service_that_is_not_wanted_is_not_asked_for(words: str) -> None:
    assert call(words).assistance == ()


@pytest.mark.parametrize("words", ["the airplane ahead is diverting to Wendle", "we have no intention to divert",
                                   "did we cancel IFR?", "would you recommend diverting?"])
def test_what_others_mean_to_do_is_not_our_intention(words: str) -> None:
    assert not call(words).intentions


@pytest.mark.parametrize("line", [
    "what happens if I pull the alternator breaker?", "did I cover the AI?", "what if I cover the AI",
    "did I pull the alternator breaker?", "is the master on", "what is squawk 7700", "are the wings level?",
    "am I on partial panel?", "are we descending to 3000?", "should we descend to 3000?", "why is the battery off",
    "would turning the battery off help?", "would it help to cover the AI?", "cleared altitude 6000? no",
])
def test_a_question_changes_nothing_in_the_airplane(line: str) -> None:
    assert all(isinstance(action, Look | Compare | Unclear) for action in read(line, HERE))


@pytest.mark.parametrize("line", [
    "cover the AI? not yet", "turn left? no", "squawk 7700? no", "ident? no", "go around? no",
    "stop the timer? not yet",
    "declare an emergency? not yet", "request vectors? no",
])
def test_what_is_asked_of_oneself_and_denied_is_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize("line", [
    "I would never cover the attitude indicator", "no way I'm descending", "hold off on the descent",
    "cancel the descent", "forget the descent", "no battery off", "no squawk 7700",
    "he said turn left heading 240", "they told the other guy to climb to 5000",
    "the other airplane is descending to 3000", "someone turned the pitot heat off", "the pitot heat is off",
    "the battery is off", "I was going to descend", "descend in 10 minutes", "later I will cover the AI",
    "the altimeter shows 3000", "fuel left 30", "altitude was 5000", "squawk was 7700",
    "wouldn't it be silly to turn the battery off", "the manual says turn the battery off",
    "almost turned the battery off", "battery is off, right?",
    "I don't think the vacuum pump failed", "I doubt the vacuum failed", "nobody said the vacuum failed",
    "everything is fine, no vacuum failure", "vacuum failed? no", "last week the vacuum pump failed",
    "imagine the vacuum pump quit", "he thinks the vacuum failed",
    "tell my passengers we are diverting", "tell myself to stay calm",
])
def test_what_is_forbidden_told_past_or_doubted_is_not_done(line: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_what_comes_after_a_denied_order_is_done() -> None:
    climb, = read("rather than descend, climb to 5000", HERE)
    assert climb.as_labels() == {"action": "altitude", "to_ft": 5000, "direction": "climb"}


def test_a_look_before_another_act_is_the_look_alone() -> None:
    assert read("before I cover the AI, look at the compass", HERE) == [Look("magnetic_compass")]


def test_a_checklist_is_left_as_well_as_begun() -> None:
    assert read("stop the checklist", HERE) == [BreakOff()]


def test_what_is_said_to_atc_is_still_said_whole() -> None:
    said, = read("tell approach we do not think the vacuum failed", HERE)
    assert isinstance(said, Transmit)
    assert said.meaning.equipment == ()
