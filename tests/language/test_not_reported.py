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
    "did you say the vacuum failed?", "did our transponder fail?",
    "say again, who lost the vacuum pump?", "is our transponder out?",
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


@pytest.mark.parametrize("words", [
    "we lost the vacuum pump, disregard", "vacuum pump failed. belay that", "vacuum pump failed, strike that",
    "vacuum failure, correction, no failure", "vacuum pump failed. correction, it did not fail",
    "vacuum pump failed, no it hasn't", "vacuum pump failed, sorry, disregard, it's working",
    "vacuum pump failed... just kidding", "the AI tumbled but has recovered", "the AI failed but now works",
    "the AI has stopped tumbling", "preflight showed a weak vacuum pump but it's okay",
    "stuck mic has freed itself, the radio is fine again",
])
def test_a_failure_that_is_taken_back_or_over_in_the_same_call_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


def test_what_is_taken_back_is_the_last_thing_said() -> None:
    said = call("vacuum pump failed, request lower, disregard")
    assert said.equipment == ("vacuum_system",)
    assert said.assistance == ()


@pytest.mark.parametrize("words", [
    "our vacuum pump is brand new", "our altimeter is calibrated", "our transponder is mode S",
    "the AI is electrically driven", "the GPS is approach certified", "the altimeter is agreeing with yours",
    "vertical speed is minus five hundred", "airspeed is building", "airspeed is decreasing as we climb",
    "engine is producing full power", "engine is leaned", "the radio is crystal clear",
    "autopilot is capturing the glideslope", "the autopilot is leveling us", "heading indicator is realigning",
    "the AI has stabilised", "attitude indicator is covered with a sticky note",
    "attitude indicator has shown nothing unusual", "we have turned off the autopilot",
])
def test_what_a_part_does_or_is_like_is_no_failure(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "low vacuum light out", "low vacuum light went out", "low vac light is off", "spurious low vacuum light",
    "testing the low vacuum light", "flag on the AI went away", "that vac light was a false alarm",
])
def test_a_warning_that_is_out_false_or_tried_warns_of_nothing(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "that last aircraft said he lost vacuum", "if you lose our radio we will proceed to Wendle",
    "center lost us on the radio", "worst case we lose the vacuum pump", "lost comms procedure is Wendle",
    "the shop told me the AI was weak", "the old vacuum pump failed last week, this one is new",
    "no signs of vacuum failure", "not due to a vacuum failure", "vacuum failure ruled out",
    "could not reproduce the vacuum failure", "can't find anything wrong with the AI",
    "unable to find a fault with the alternator", "checking for a vacuum failure", "no GPS on board",
    "the flap motor has failed", "the hydraulic pump is leaking", "sorry, wrong frequency on the radio",
    "I hope the vacuum doesn't fail", "ready for no-gyro", "getting a lot of static on the radio",
])
def test_neither_others_trouble_nor_what_is_feared_sought_or_never_fitted_is_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", ["is my transponder working?", "I hope the transponder works"])
def test_what_is_asked_or_hoped_is_not_said_to_work(words: str) -> None:
    assert call(words).rejoined == ()


@pytest.mark.parametrize(("words", "failed"), [
    ("the AI is not the problem, it is the vacuum", ("vacuum_system",)),
    ("alternator rather than vacuum has failed", ("alternator",)),
    ("it wasn't the vacuum that failed, it was the alternator", ("alternator",)),
    ("the vacuum has not failed, the alternator has", ("alternator",)),
    ("not the vacuum, the alternator", ("alternator",)),
    ("other than the heading indicator everything works", ("heading_indicator",)),
    ("not sure the AI is right", ("attitude_indicator",)),
    ("the attitude indicator and turn coordinator disagree, altimeter fine",
     ("attitude_indicator", "turn_coordinator")),
])
def test_of_two_parts_the_one_that_failed_is_reported(words: str, failed: tuple[str, ...]) -> None:
    assert call(words).equipment == failed


@pytest.mark.parametrize("words", [
    "would you like us to declare", "declining to declare", "we considered declaring an emergency",
    "I'd declare if I were you", "he declared an emergency", "is the aircraft in front declaring an emergency",
    "who called mayday", "happy to take the mayday relay", "pan pan cancelled", "declaring? no sir, not declaring",
    "that mayday was an accident",
])
def test_an_emergency_that_is_asked_about_considered_or_anothers_is_not_declared(words: str) -> None:
    assert call(words).urgency == "none"


def test_a_mayday_is_lowered_to_a_pan() -> None:
    assert call("downgrade the mayday to pan pan").urgency == "pan-pan"


@pytest.mark.parametrize(("words", "asked"), [
    ("we won't be needing no-gyro vectors", ()), ("vectors won't be necessary", ()),
    ("no longer requesting priority", ()), ("not requesting priority", ()), ("please tell the trucks to go home", ()),
    ("you can stop the no-gyro vectors now", ()), ("request vectors, correction, request lower", ("altitude_change",)),
])
def test_what_is_no_longer_wanted_is_not_asked_for(words: str, asked: tuple[str, ...]) -> None:
    assert call(words).assistance == asked


@pytest.mark.parametrize("words", ["request vectors to Wendle, correction Marrowby",
                                   "request vectors to Wendle, no, to Marrowby"])
def test_a_corrected_place_is_the_one_meant(words: str) -> None:
    assert call(words).places == ("Marrowby",)


@pytest.mark.parametrize("words", ["traffic at 3000 in sight", "is 4000 available?", "unable 4000", "7700 is set",
                                   "tops reported at 6", "estimating the Wendle VOR at three two"])
def test_what_is_not_the_callers_altitude_is_none(words: str) -> None:
    assert call(words).altitude_ft is None


@pytest.mark.parametrize("words", [
    "help, help, I do not know which way is up", "everything is spinning, I can't read anything",
    "the instruments disagree", "I don't know where I am", "the pilot is incapacitated, I am a passenger",
    "we have ice all over the wings", "20 minutes of fuel left", "out of fuel soon", "we are lost",
    "my passenger is having a heart attack",
])
def test_trouble_in_plain_words_is_heard_as_trouble(words: str) -> None:
    assert call(words).trouble
