"""What is only asked, supposed, past, quoted, denied or somebody else's reports nothing and orders nothing.

The lines are our own (common practice, no source); that nothing may be heard that was not said is the first rule of
the labels.
"""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.calls import by_grammar
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


@pytest.mark.parametrize("words", [
    "that overhauled vacuum pump is earning its keep", "shop swapped the dead DG out, new one is a beauty",
    "the new alternator they fitted on Tuesday is singing along nicely",
    "we did the static check, the altimeter passes",
    "we tested the autopilot disconnect, it kicks off as it should", "both receivers cross-checked, no flags",
    "the alternator was replaced, now she charges like new", "the static drains are clear",
    "when we got her the attitude indicator was shot, it's been replaced", "before the refit the GPS was rubbish",
    "the DG used to wander, since the overhaul it stays put", "last owner had a dead radio in it, ripped it out",
    "back in the day I had the engine quit over Wendle", "I lost an alternator in cloud two winters ago",
    "our old transponder was dying, this is the replacement", "the VOR never left", "the engine is sweet",
])
def test_a_part_that_was_tested_renewed_or_bad_long_ago_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "the tug's battery is flat so we're waiting", "the fuel truck's battery has died", "the tow car has a dead battery",
    "the Mooney behind us has a rough engine, not us", "it's not us with the dead transponder",
    "we're not the one with the failed gyros", "it's my brother's airplane that has the bad vacuum pump",
    "the club's other ship has no attitude indicator", "your other customer has a dead DG, we'll listen out for him",
    "someone's left a pitot cover on the taxiway", "there's a pitot cover lying by the hold",
    "some other fellow's stuck mike is squealing", "chap ahead of me in the queue has a dead transponder",
    "that aircraft calling you has a stuck mic", "there's a chap on guard with a dead alternator",
    "your localizer has a notam, out of service till noon", "glideslope's out of service at Wendle, we have the notam",
    "changed the battery in the ELT and it tripped",
])
def test_what_is_wrong_with_another_airplane_a_truck_or_a_station_is_not_ours(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "my student keyed up while reading the vacuum failure page out loud",
    "we were just reading through the alternator failure checklist",
    "that was us rehearsing the lost radio call, sorry",
    "my copilot was reciting the vacuum failure items", "we were quizzing each other on alternator failures",
    "reading from the book, with a failed alternator shed the load",
    "quiz question, what fails when the static port is "
    "blocked", "what does the book say about a frozen altimeter", "the examiner asked me about a static blockage",
])
def test_what_is_read_aloud_or_studied_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize("words", [
    "could have sworn the engine coughed, it was the passenger",
    "I was convinced the AI was leaning, turns out we were "
    "turning", "what I took for a rough engine was the cabin door rattling", "the dead radio was my own finger",
    "the failed transponder was just the switch in standby", "the so-called vacuum failure was a kinked hose",
    "I take back what I said about the rough engine, it was the vent", "I panicked about the alternator for nothing",
    "we were told the GPS might be jammed here, ours is solid", "I mistook the turn for a toppled horizon",
    "no idea why I said alternator failure, it's charging", "not sure where you got the engine failure from",
    "thanks for the help with the dead radio earlier",
    "thanks for your patience with our rough engine, we're parked now",
    "parked at the gate with the engine stopped, thanks",
])
def test_what_only_seemed_wrong_or_is_behind_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize(("words", "part"), [
    ("that new vacuum pump they put in has died already", "vacuum_system"),
    ("the alternator they replaced on Tuesday is not charging", "alternator"),
    ("we're the ones with the rough engine", "engine"),
    ("the tug's battery has died and so has ours", "battery"),
    ("could have sworn it was the gauge, turns out the vacuum pump has quit", "vacuum_system"),
    ("hood's off, simulated stuff is over, now the real alternator has quit", "alternator"),
    ("the dead radio is our number two", "radio"),
    ("mechanic said the alternator was fine, it isn't", "alternator"),
    ("thanks for asking, the alternator is still dead", "alternator"),
    ("only squawk is my turn coordinator, doesn't so much as twitch", "turn_coordinator"),
    ("the engine was fine until now, it's just gone rough", "engine"),
    ("we tested the autopilot and it failed", "autopilot"), ("the old alternator has given up at last", "alternator"),
    ("my copilot's airspeed is blank, mine is fine", "airspeed_indicator"),
    ("I have a red X where my attitude indicator used to be", "attitude_indicator"),
    ("the altimeter never left the peg", "altimeter"),
])
def test_a_failure_told_in_like_words_is_still_heard(words: str, part: str) -> None:
    assert call(words).equipment == (part,)


@pytest.mark.parametrize("words", [
    "forget the lower, the fellow ahead says he is in the ice down at six", "the Baron ahead says he is in cloud",
    "briefer swore we'd be in icing by now", "forecast said icing", "the static drains are clear",
])
def test_a_weather_of_others_or_one_only_foretold_is_not_the_callers(words: str) -> None:
    assert call(words).conditions == "unstated"


@pytest.mark.parametrize("words", [
    "traffic twelve o'clock at six thousand, looking", "don't bother with the winds at nine",
    "wind two four zero at fifteen",
    "he is ten thousand feet above anything we could reach", "GPS is doing a grand job",
    "five minutes at two thousand revs",
    "the ridge is at five thousand two hundred", "last week we were in cloud at six",
    "we paid five thousand for this radio",
])
def test_a_figure_of_traffic_wind_or_ground_is_not_the_callers_altitude(words: str) -> None:
    assert call(words).altitude_ft is None


@pytest.mark.parametrize(("words", "feet"), [
    ("we're in plain wet cloud at six", 6000), ("all three say four thousand", 4000),
    ("wind is awful here at eight thousand", 8000), ("over the ridge at five thousand two hundred", 5200),
    ("he says he's fine, we're level at seven", 7000),
])
def test_the_callers_own_altitude_is_heard_beside_others(words: str, feet: int) -> None:
    assert call(words).altitude_ft == feet


@pytest.mark.parametrize("words", [
    "if that gap over the ridge closes up we'll be back", "is the compass rose by the fuel pumps still painted?",
    "somebody has dropped a glove on taxiway bravo", "had it rebuilt over the winter", "ask me over a beer",
])
def test_a_place_that_is_supposed_asked_about_or_somebody_elses_is_no_position(words: str) -> None:
    assert not call(words).position


@pytest.mark.parametrize("words", [
    "cancel what I asked for, the surveillance approach", "keep the vectors for somebody who is lost",
    "the vectors you gave us were perfect",
])
def test_a_service_that_is_given_back_or_praised_is_not_asked_for(words: str) -> None:
    assert call(words).assistance == ()


@pytest.mark.parametrize("words", [
    "the one with the bad engine is our sister ship", "he's the one with no gyros",
    "glad to hear the fellow with the dead gyros made it", "what happened to the guy with the engine failure",
    "how far back did the jet with the engine trouble land", "we just finished a vacuum failure lesson",
    "lucky the pitot didn't freeze",
    "I'd rather lose an alternator than fly in that", "suction drops at idle, always does",
    "left mag was rough on the run up but it cleared with leaning", "tell the shop the battery has arrived",
    "the horizon was sticky until they cleaned it, now it's perfect",
])
def test_what_is_said_of_whom_it_befell_or_of_what_has_passed_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()


@pytest.mark.parametrize(("words", "part"), [
    ("unlike the other fellow we really have lost an engine", "engine"),
    ("we're the airplane with the rough engine", "engine"),
    ("the alternator came back for a minute and quit again", "alternator"),
    ("the AI was erect on the ground, now it's leaning", "attitude_indicator"),
    ("they told me the vacuum pump was good, well it has quit", "vacuum_system"),
    ("exercise complete but the alternator won't come back on", "alternator"),
])
def test_a_failure_set_against_what_was_well_is_heard(words: str, part: str) -> None:
    assert by_grammar(f"approach, 04W, {words}", HERE).equipment == (part,)


@pytest.mark.parametrize(("words", "part"), [
    ("aircraft with no engine", "engine"),
    ("this airplane with no vacuum wants vectors", "vacuum_system"),
    ("student pilot with a failed attitude indicator in cloud", "attitude_indicator"),
    ("we are the aircraft with no vacuum", "vacuum_system"),
    ("solo pilot with a dead DG", "heading_indicator"),
    ("vacuum pump has failed no idea why", "vacuum_system"),
    ("no idea why the vacuum pump failed", "vacuum_system"),
    ("our dead alternator is a serious concern", "alternator"),
    ("our failed engine is a write off", "engine"),
    ("broken DG is our only trouble", "heading_indicator"),
    ("the DG fails to move as it should", "heading_indicator"),
    ("turn coordinator refuses to turn as it should", "turn_coordinator"),
    ("the altimeter hardly reads as it should", "altimeter"),
    ("the attitude indicator is slow to erect as it should", "attitude_indicator"),
    ("the DG is drifting instead of holding as it should", "heading_indicator"),
    ("the DG no longer holds as it should", "heading_indicator"),
    ("the AI never came up like it should", "attitude_indicator"),
    ("suction was fine until we reset the pump then it failed", "vacuum_system"),
    ("the alternator was working until we reset the breaker then it quit", "alternator"),
    ("we have tried the autopilot disconnect and it does not disconnect", "autopilot"),
    ("we tried the autopilot disconnect and it does nothing", "autopilot"),
    ("my instructor asked me to tell you that the AI failed", "attitude_indicator"),
    ("my student asked me to report a vacuum failure", "vacuum_system"),
    ("thought the vacuum failed and it has", "vacuum_system"),
    ("rough engine, carb heat has not fixed it", "engine"),
    ("vacuum pump failed just before takeoff", "vacuum_system"),
])
def test_the_callers_own_failure_is_heard_in_words_that_are_used_of_others(words: str, part: str) -> None:
    assert call(words).equipment == (part,)
    assert by_grammar(f"approach, 04W, {words}", HERE).equipment == (part,)


@pytest.mark.parametrize("words", [
    "are you talking to the airplane with no radio", "some fellow with a dead AI wants you",
    "no idea why you think the vacuum failed", "our dead alternator was only a tripped breaker",
    "so called vacuum failure is just the gauge", "the supposed alternator failure is nothing",
    "the DG drifts by design", "the DG stuck until we tapped it", "tested the autopilot disconnect",
    "the examiner asked about a failed vacuum pump", "no speed reductions please", "no speed limits please",
    "thought the vacuum failed but it's the gauge", "pump's failed on this one before",
    "this airplane has a history of vacuum failures, all normal now", "rough engine, carb heat fixed it",
    "engine rough earlier, carb heat cleared it", "pitot was frozen, it's clear now",
    "alternator light flickered, ok now", "no autopilot on this airplane", "we don't have gyro problems",
])
def test_what_passed_was_tried_or_is_only_spoken_of_is_not_reported(words: str) -> None:
    assert call(words).equipment == ()
    assert by_grammar(f"approach, 04W, {words}", HERE).equipment == ()


@pytest.mark.parametrize("words", ["roger no gyro", "no-gyro roger", "understand no-gyro, standing by"])
def test_a_service_acknowledged_is_no_failure_and_no_condition(words: str) -> None:
    heard = call(words)
    assert (heard.equipment, heard.impairment, heard.assistance) == ((), False, ())


@pytest.mark.parametrize("words", [
    "roger, no-gyro vectors", "roger vectors to the ILS", "roger, priority, thank you", "roger trucks standing by",
    "don't give us weather", "don't give us lower", "not ready for vectors",
])
def test_what_is_acknowledged_or_declined_is_not_asked_for(words: str) -> None:
    assert call(words).assistance == ()


@pytest.mark.parametrize(("words", "service"), [
    ("roger, we have lost the vacuum, no-gyro vectors", "no_gyro_vectors"),
    ("roger, could we have no-gyro vectors", "no_gyro_vectors"), ("wilco, and request lower", "altitude_change"),
    ("roger, need priority", "priority"), ("why don't you give us lower please", "altitude_change"),
])
def test_what_is_asked_for_after_a_roger_is_heard(words: str, service: str) -> None:
    assert call(words).assistance == (service,)


def test_traffic_in_distress_that_is_copied_is_no_mayday() -> None:
    assert call("mayday traffic copied, standing by").urgency == "none"
    assert call("mayday, traffic on our left, engine failure").urgency == "mayday"


@pytest.mark.parametrize(("words", "feet"), [
    ("volts at 11 and dropping", None), ("amps at 12", None), ("bus voltage at 10", None), ("oil at 5", None),
    ("rpm at 2400, altitude 5000", 5000), ("lost the alternator at 4000", 4000), ("lost vacuum at 5000", 5000),
    ("QNH one thousand five", None), ("level at three thousand five please", 3500),
])
def test_a_gauges_figure_or_a_pressure_is_no_altitude(words: str, feet: int | None) -> None:
    assert call(words).altitude_ft == feet
