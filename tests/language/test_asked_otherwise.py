"""What is asked of ATC in the many ways in which people ask (our own lines; common practice, no source)."""

from __future__ import annotations

import pytest

from drill.language import read_call
from drill.language.calls import by_grammar
from drill.language.meaning import Context

HERE = Context("Larkspur 8TX", "Dunmere Approach", ("Wendle", "Ashby", "Tallowby"))


def asked(words: str) -> list[str]:
    return list(read_call(f"Dunmere Approach, Larkspur 8TX, {words}", HERE).assistance)


def heard(words: str) -> list[str]:
    """What the grammar alone hears asked."""
    return list(by_grammar(f"Dunmere Approach, Larkspur 8TX, {words}", HERE).assistance)


@pytest.mark.parametrize(("service", "words"), [
    ("weather", "what's it doing at Wendle right now"), ("weather", "can you check the conditions at Wendle for us"),
    ("weather", "do you have the latest for Ashby"), ("weather", "say current altimeter and winds at Wendle"),
    ("weather", "how are the ceilings up north"), ("weather", "any idea how thick this layer is"),
    ("weather", "what are the tops around here"), ("weather", "could you look up the Wendle weather"),
    ("weather", "is it snowing at Ashby"), ("weather", "is Wendle still VFR"),
    ("weather", "we'd like an update on the Ashby weather"), ("weather", "what's the viz at Wendle"),
    ("weather", "anyone reporting ice below six thousand"), ("weather", "got a METAR for Wendle?"),
    ("vectors", "can you point me at the field"), ("vectors", "need a heading home"),
    ("vectors", "give us a steer for the airfield"), ("vectors", "which way should I turn to get to the localizer"),
    ("vectors", "request headings until established"), ("vectors", "would like radar guidance to the final"),
    ("vectors", "please vector us"), ("vectors", "radar vectors to final please"),
    ("no_gyro_vectors", "we'll need no gyro vectors"),
    ("no_gyro_vectors", "can you give us turns by start and stop"),
    ("no_gyro_vectors", "call my turns please, I have no gyros"), ("no_gyro_vectors", "we'd appreciate no-gyro"),
    ("no_gyro_vectors", "request no gyro"), ("no_gyro_vectors", "tell me when to start and stop turning"),
    ("no_gyro_vectors", "please tell us start turn and stop turn"), ("radar_approach", "can you talk us down"),
    ("radar_approach", "do you have a PAR available"),
    ("radar_approach", "request surveillance approach runway two seven"),
    ("radar_approach", "could you give us a radar approach"), ("radar_approach", "we'd like an ASR"),
    ("nearest_airport", "where's the nearest place to land"), ("nearest_airport", "what's the closest airport"),
    ("nearest_airport", "get me on the ground anywhere"), ("nearest_airport", "need to land at the nearest airport"),
    ("nearest_airport", "any airport will do"), ("nearest_airport", "find me a runway, any runway"),
    ("nearest_airport", "we'd like the closest suitable field"), ("nearest_airport", "direct to nearest"),
    ("vmc", "is there any VFR around"), ("vmc", "can you get me out of the clouds"),
    ("vmc", "where can I find clear skies"), ("vmc", "vectors to VFR conditions please"),
    ("vmc", "I'd like to get on top"), ("vmc", "which direction to better weather"), ("vmc", "need to get visual"),
    ("vmc", "how far to VMC"), ("altitude_change", "could we have six thousand"),
    ("altitude_change", "any chance of lower"), ("altitude_change", "we need to come down"),
    ("altitude_change", "like to go up to eight"), ("altitude_change", "requesting descent due icing"),
    ("altitude_change", "can we climb"), ("altitude_change", "can you give us higher"),
    ("altitude_change", "request four thousand"), ("altitude_change", "we'd like to start down"),
    ("altitude_change", "need out of this altitude"), ("altitude_change", "request a lower altitude"),
    ("block_altitude", "we need a block, five to seven"),
    ("block_altitude", "can we have the block between 4000 and 6000"),
    ("block_altitude", "request block altitude four to five thousand"), ("priority", "we'd like priority handling"),
    ("priority", "can you get us in ahead of the others"), ("priority", "need to be number one"),
    ("priority", "no delay please, expedite us"), ("relay", "please tell my wife I'll be late"),
    ("relay", "could you pass a message to company"), ("relay", "would you call the FBO at Wendle for us"),
    ("relay", "let maintenance know we're coming back"), ("relay", "can you phone ahead for us"),
    ("hold", "can we hold somewhere"), ("hold", "request hold over present position"),
    ("hold", "we'd like to circle here for a while"), ("hold", "request a few turns in the hold"),
    ("hold", "could we do a 360 here while we sort this out"), ("visual_approach", "request the visual"),
    ("visual_approach", "can we get the visual approach runway two seven"),
    ("visual_approach", "field in sight, like the visual"), ("rescue", "have the trucks standing by"),
    ("rescue", "we want the fire brigade"), ("rescue", "request emergency equipment"),
    ("rescue", "please roll the fire trucks"), ("rescue", "ambulance needed on landing"),
    ("rescue", "crash crew please"), ("rescue", "get the emergency services out"),
    ("frequency", "request to stay with you"), ("frequency", "can I change to tower"),
    ("frequency", "can we remain this frequency"), ("frequency", "request frequency change to company"),
    ("frequency", "don't hand us off please"), ("frequency", "mind if I leave the frequency"),
    ("frequency", "keep me on this frequency"), ("named_airport", "take us to Wendle"),
    ("named_airport", "we'd like to land at Wendle"), ("named_airport", "request clearance direct Wendle"),
    ("named_airport", "can we go to Ashby instead"), ("named_airport", "request the ILS at Wendle"),
    ("named_airport", "we want to go back to Wendle"), ("named_airport", "request amended clearance to Ashby"),
    ("weather", "could you get us the Ashby ATIS"), ("weather", "what are they reporting at Wendle"),
    ("weather", "how's Wendle looking"), ("weather", "any icing reports along our route"),
    ("weather", "we need the current weather for Ashby"), ("weather", "can you read me the Wendle METAR"),
    ("weather", "where are the thunderstorms"), ("weather", "what's the freezing level"),
    ("weather", "any turbulence reported ahead"), ("weather", "are you showing any precip ahead of us"),
    ("weather", "what sort of ceiling has Ashby got"), ("weather", "do they have a ceiling at Ashby"),
    ("weather", "how about the winds at Wendle"), ("vectors", "heading to the airport please"),
    ("vectors", "I need vectors"), ("vectors", "vectors for final would help"), ("vectors", "we'll take vectors"),
    ("vectors", "can you vector me around"), ("vectors", "could I get a suggested heading"),
    ("vectors", "request initial vector"), ("vectors", "I'd like you to steer us"),
    ("vectors", "can you line us up with the runway"), ("vectors", "get us lined up for runway 27"),
    ("vectors", "any chance of a vector"), ("no_gyro_vectors", "I have no heading indicator, can you call my turns"),
    ("no_gyro_vectors", "need you to tell me start turn stop turn"),
    ("no_gyro_vectors", "are you able to give no-gyro vectors"), ("no_gyro_vectors", "could we do no gyro turns"),
    ("radar_approach", "can you give me a PAR"), ("radar_approach", "talk me in please"),
    ("radar_approach", "request radar talkdown"), ("radar_approach", "is a surveillance approach available"),
    ("no_gyro_vectors+radar_approach", "request no-gyro ASR approach"),
    ("no_gyro_vectors+radar_approach", "we would like a no gyro PAR"),
    ("nearest_airport", "I want to land as soon as possible at the nearest field"),
    ("nearest_airport", "which airport is closest to us"), ("nearest_airport", "nearest runway please"),
    ("nearest_airport", "what do you have that's close"), ("nearest_airport", "need somewhere to land right now"),
    ("nearest_airport", "where can I put this down"), ("nearest_airport", "request the nearest suitable airport"),
    ("nearest_airport", "what's nearby we can land at"), ("vmc", "get me out of this cloud"),
    ("vmc", "is it clear anywhere"), ("vmc", "can you find us some blue sky"), ("vmc", "where's the nearest VMC"),
    ("vmc", "take me to visual conditions"), ("vmc", "request vectors to VFR"),
    ("altitude_change", "we have to descend"), ("altitude_change", "request climb to eight thousand"),
    ("altitude_change", "we're going to need lower"), ("altitude_change", "lower when able"),
    ("altitude_change", "any lower altitude available"), ("altitude_change", "can we get down to four"),
    ("altitude_change", "could you clear us up to seven"), ("altitude_change", "need higher to get out of ice"),
    ("altitude_change", "looking for higher"), ("altitude_change", "requesting higher altitude"),
    ("altitude_change", "we'd love lower"), ("altitude_change", "would 5000 be available"),
    ("block_altitude", "block 5000 to 6000 please"), ("block_altitude", "can you approve a block altitude"),
    ("block_altitude", "need a couple of thousand feet block"), ("priority", "can we have priority"),
    ("priority", "requesting priority landing"), ("priority", "please put us first in line"),
    ("priority", "we need to land first"), ("priority", "straight in with priority please"),
    ("relay", "advise flight service we're diverting, please"), ("relay", "could you let Wendle know we're coming"),
    ("relay", "please notify my company"), ("relay", "tell the club at Wendle we're ok"),
    ("relay", "can someone contact my base"), ("hold", "we need a hold to run the checklist"),
    ("hold", "like to hold at present position"), ("hold", "can we get holding instructions"),
    ("hold", "need a few minutes in a hold"), ("hold", "request to orbit"),
    ("visual_approach", "we'd like a visual"), ("visual_approach", "request visual approach"),
    ("visual_approach", "runway in sight, request visual"), ("rescue", "need fire trucks at the runway"),
    ("rescue", "please alert the fire department"), ("rescue", "request crash equipment"),
    ("rescue", "we'll need an ambulance"), ("rescue", "can you have paramedics meet us"),
    ("rescue", "equipment standing by please"), ("rescue", "send help, we're going down"),
    ("frequency", "may we stay on your frequency"), ("frequency", "what frequency for tower"),
    ("frequency", "can you keep us, we'd rather not switch"), ("frequency", "request to switch to unicom"),
    ("frequency", "like to go off frequency for a minute"), ("frequency", "can we get back to our last frequency"),
    ("frequency", "requesting frequency"), ("named_airport", "can you get me to Ashby"),
    ("named_airport", "any chance of going to Ashby"), ("named_airport", "I'd like Ashby please"),
    ("named_airport", "we want Ashby"),
    ("weather", "I'd appreciate the Wendle weather"), ("weather", "do you know what the bases are doing"),
    ("weather", "let us have the latest Ashby observation"), ("weather", "what's the weather like further east"),
    ("weather", "we could use a ceiling report"), ("weather", "any PIREPs on the tops"),
    ("weather", "current conditions at Wendle please"),
    ("weather", "information on the weather at Wendle requested"), ("weather", "what visibility are you reporting"),
    ("vectors", "we'd be glad of vectors"), ("vectors", "please provide radar vectors"),
    ("vectors", "could use some vectors"), ("vectors", "would appreciate a heading"),
    ("vectors", "need guidance to the airport by radar"), ("vectors", "request steers to final approach"),
    ("vectors", "we will need headings from you"), ("vectors", "give me a vector, any vector"),
    ("vectors", "you'll have to vector me"), ("vectors", "can I have vectors for the ILS"),
    ("vectors", "vectors to the final approach course, please"),
    ("no_gyro_vectors", "we're going to need no-gyro vectors"), ("no_gyro_vectors", "please give no-gyro headings"),
    ("no_gyro_vectors", "start and stop turns on your command please"),
    ("no_gyro_vectors", "can you handle a no-gyro"), ("no_gyro_vectors", "we request that you call our turns"),
    ("radar_approach", "can we do an ASR"), ("radar_approach", "any radar approach will do"),
    ("radar_approach", "is PAR available"), ("radar_approach", "we want a surveillance approach"),
    ("no_gyro_vectors+radar_approach", "need a no-gyro surveillance approach"),
    ("nearest_airport", "closest place with a runway"), ("nearest_airport", "we need the nearest landing strip"),
    ("nearest_airport", "need a runway fast, whatever's close"),
    ("nearest_airport", "get me to the nearest airport"),
    ("nearest_airport", "where is the nearest suitable airfield"),
    ("nearest_airport", "request diversion to the nearest field"),
    ("nearest_airport", "give me distance and direction to the nearest airport"), ("vmc", "we want to find VFR"),
    ("vmc", "can you get us to good weather"), ("vmc", "which way to the clear"), ("vmc", "we'd like to be VMC"),
    ("vmc", "where's the edge of this stuff"), ("vmc", "can you direct me to clear air"),
    ("vmc", "looking for visual conditions"), ("altitude_change", "we'd like to descend"),
    ("altitude_change", "could use a lower altitude"), ("altitude_change", "would like to get up to seven thousand"),
    ("altitude_change", "requesting six"), ("altitude_change", "have you got nine thousand available"),
    ("altitude_change", "immediate descent please"), ("altitude_change", "is higher possible"),
    ("altitude_change", "request to climb"), ("altitude_change", "we'll need to go down"),
    ("altitude_change", "want four thousand if you've got it"), ("altitude_change", "need immediate lower"),
    ("block_altitude", "we'd like a block altitude"), ("block_altitude", "request the block six to eight"),
    ("priority", "request priority to land"), ("priority", "we need to get in right away"),
    ("priority", "would appreciate no delay"), ("relay", "please inform the school"),
    ("relay", "would you pass that on to the tower at Wendle"), ("relay", "could you ring my husband"),
    ("relay", "tell our ops we're returning"), ("relay", "can you get word to my wife"),
    ("relay", "let the FBO know please"), ("hold", "we'd like to enter a hold"),
    ("hold", "any chance of a hold at PELLO"), ("hold", "request to hold to troubleshoot"),
    ("hold", "want to stay here in a hold"), ("visual_approach", "can I do a visual"),
    ("visual_approach", "requesting the visual to runway two seven"),
    ("visual_approach", "would like the visual approach"), ("rescue", "emergency services please"),
    ("rescue", "send the fire department"), ("rescue", "please have ambulance waiting"),
    ("rescue", "we'd like the equipment out"), ("rescue", "request ARFF"),
    ("rescue", "have crash rescue on standby"), ("frequency", "can we stay here on this frequency"),
    ("frequency", "what was that frequency"), ("frequency", "please don't change my frequency"),
    ("frequency", "permission to leave frequency"), ("frequency", "I'd like to remain on this frequency"),
    ("named_airport", "request divert to Ashby"), ("named_airport", "can we land at Wendle"),
    ("named_airport", "please clear us to Ashby"), ("named_airport", "would like direct Wendle"),
    ("named_airport", "need to get into Wendle"), ("named_airport", "any objection to Wendle"),
    ("named_airport+vectors", "need vectors to Wendle"), ("named_airport+radar_approach", "request PAR at Wendle"),
    ("named_airport+visual_approach", "request visual approach at Wendle"),
    ("altitude_change+vectors", "request lower and vectors"),
    ("nearest_airport+vectors", "vectors to the nearest airport please"),
    ("named_airport+weather", "request direct Ashby, and what's the weather there"),
    ("rescue", "I may be landing gear up, get the trucks out please"),
])
def test_a_service_is_asked_for_in_other_words(service: str, words: str) -> None:
    assert asked(words) == service.split("+")


@pytest.mark.parametrize("words", [
    "we have the weather, thanks", "we got the ATIS, information delta", "weather here is fine",
    "we don't need vectors", "traffic in sight", "maintaining six thousand", "leaving seven for six",
    "fuel is fine, two hours", "we're in the hold over PELLO", "cleared for the visual, runway 27",
    "contact tower 118.3, good day", "approach frequency is busy today", "thanks for the priority",
    "we are number two for landing", "turning left heading 240", "climbing to eight thousand",
    "descending through five", "no need for the fire trucks", "we can see the emergency vehicles",
    "roger, direct Wendle", "ILS runway 27, cleared", "the nearest airport was Wendle, we passed it",
    "we had vectors to final earlier", "the radar approach went well", "not asking for anything",
    "lower is not needed", "we'll stay at six", "on top at niner thousand", "our company knows already",
    "I'll call my wife after landing", "the winds are strong up here", "ceiling is ragged below us",
    "it's clear above", "we are out of the cloud now", "we'd been given block four to six, leaving it now",
    "level at flight level niner zero", "request cancelled", "never mind the weather", "forget the lower",
    "rescue helicopter in sight",
])
def test_what_is_only_spoken_of_is_not_asked_for(words: str) -> None:
    assert asked(words) == []


@pytest.mark.parametrize("words", [
    "disregard our last about the vectors, we have the field", "scrap the block, we're steady at six",
    "belay the request for lower", "drop the request for vectors, we have it in sight",
    "take back the request for the nearest airport", "we asked for lower a while back, please cancel that",
    "request vectors to Wendle, scratch that", "request lower cancel that", "forget what we said about lower",
    "we changed our minds about the descent", "we had asked for priority, we've changed our minds",
    "we no longer want the surveillance approach", "lower, no, we're fine here", "we'll do without the vectors",
    "we don't need the vectors any more, will proceed visually to Wendle", "that's enough vectors, we're visual",
])
def test_a_request_taken_back_is_asked_for_no_more(words: str) -> None:
    assert heard(words) == []


@pytest.mark.parametrize("words", [
    "stand the fire trucks down, the gear is locked", "I asked for the trucks earlier. stand them down",
    "call off the crash crew", "you can send the trucks home", "hold the trucks, we don't want them",
    "don't send the trucks, we don't need them", "don't wake the fire crew for us",
    "the crash trucks are lined up already", "the fire crew can relax",
])
def test_who_is_sent_home_is_not_called_out(words: str) -> None:
    assert heard(words) == []


@pytest.mark.parametrize(("service", "words"), [
    ("altitude_change", "cancel the request for lower, request higher instead"),
    ("altitude_change", "request higher, no forget higher, request lower"),
    ("altitude_change", "request lower, no, I mean higher"),
    ("altitude_change", "we've changed our mind, request higher"),
    ("altitude_change", "forget the vectors, just give us lower"),
    ("altitude_change", "not asking for priority, only lower"),
    ("weather", "no vectors, only the weather at Wendle please"),
    ("weather", "request vectors. correction: no vectors, only the weather at Wendle"),
    ("named_airport+vectors", "scratch the nearest airport, vectors to Wendle instead"),
    ("no_gyro_vectors+radar_approach", "a surveillance approach is what we want, make it a no-gyro one please"),
    ("no_gyro_vectors", "want no gyro vectors. and tell the field to have an ambulance, no scratch that"),
    ("vectors", "disregard priority, vectors will do"),
])
def test_what_is_asked_for_instead_stands(service: str, words: str) -> None:
    assert heard(words) == service.split("+")


@pytest.mark.parametrize("words", [
    "would you put the descent on hold for now", "hold off on the climb please", "leave the descent for now",
    "not ready for the descent yet", "stand by for a request for lower", "expect us to ask for vectors shortly",
    "once we're past the ridge we'd like lower", "when we get closer we'll ask for the visual",
    "we'll need vectors when we're nearer", "in ten minutes we'll want lower", "later on we'd like lower",
    "we might be asking for Wendle in a while", "in that case we would need a descent",
    "were it to get worse we'd need lower", "depending on the tops we may ask for higher",
    "chances are we'll want lower", "we'd have asked for lower but it's warmer here", "just in case we need lower",
])
def test_a_request_put_off_is_not_made_yet(words: str) -> None:
    assert heard(words) == []


@pytest.mark.parametrize(("service", "words"), [
    ("altitude_change", "wondering whether we could come down a bit"),
    ("altitude_change", "we wouldn't say no to lower"),
    ("altitude_change", "if it's no bother could we have seven thousand"), ("altitude_change", "lower would suit us"),
    ("altitude_change", "we'd still like lower if it's OK"), ("altitude_change", "does six thousand work for you"),
    ("altitude_change", "what are the odds of nine thousand"),
    ("altitude_change", "might we trouble you for five thousand"),
    ("altitude_change", "could we have something smoother"), ("altitude_change", "any joy with higher"),
    ("altitude_change", "can I get out of this ice, up or down doesn't matter"),
    ("altitude_change", "let us down to where it melts"), ("altitude_change", "requesting a level change"),
    ("altitude_change", "lower, traffic permitting"), ("altitude_change", "lower as able"),
    ("altitude_change", "any problem with us climbing"), ("altitude_change", "one thousand feet down please"),
    ("weather", "just wondering if the ceiling at Wendle has come up any"),
    ("weather", "has the fog lifted at Wendle?"),
    ("weather", "do you happen to have the Wendle wind"), ("weather", "is Wendle above minima"),
    ("weather", "curious what sort of day they're having at Wendle, wind and cloud"),
    ("rescue", "get the crews rolling please"), ("rescue", "roll everything you have please"),
    ("rescue", "have everyone standing by please"), ("priority", "could you let us go first"),
    ("named_airport+priority", "we would like to land at Wendle ahead of anyone else"),
    ("priority", "would you bump us to number one"), ("priority", "please hurry us along"),
    ("relay", "please pass all this to our operations"), ("relay", "would you tell Wendle Tower we'll be late"),
    ("relay", "ask Wendle to put the lights on for us"), ("relay", "could you message the club for us"),
    ("hold", "we need somewhere to go round in circles"), ("hold", "park us somewhere while we work this out"),
    ("visual_approach", "would you mind if we just flew the rest visually"),
    ("visual_approach", "could we finish this visually"),
    ("nearest_airport", "quickest airport you can find me please"),
    ("block_altitude", "could we have a block, seven up to nine thousand"),
    ("block_altitude", "could we have anything between four and six thousand"),
    ("block_altitude", "can you give us some room, five to seven thousand"),
    ("frequency", "could we stay with you rather than going over to Wendle"),
    ("frequency", "could you let me stay on this frequency till the descent"),
    ("no_gyro_vectors", "we'd enjoy a few no gyro turns from you"),
    ("no_gyro_vectors", "could we have no gyro steering"),
    ("no_gyro_vectors+radar_approach", "request a surveillance approach, no gyro if you please"),
    ("vectors", "need to be vectored onto the ILS"), ("named_airport+vectors", "please could I be vectored to Wendle"),
    ("vectors", "give us a bearing to steer"), ("named_airport", "Wendle would be best for us"),
    ("named_airport", "can Wendle take us"),
    ("named_airport+no_gyro_vectors", "call the stops of my turns all the way into Wendle"),
])
def test_a_service_is_asked_for_in_a_roundabout_way(service: str, words: str) -> None:
    assert heard(words) == service.split("+")


@pytest.mark.parametrize("words", [
    "steer us to where the cloud ends please", "vectors to some place with no cloud", "point me to where it stays VFR",
    "all I want is a heading to where it stays VMC", "could you steer me out to clear air",
    "steer us somewhere the sun shines please", "turn me toward better weather please", "where does this stuff end",
])
def test_vectors_wanted_for_the_weather_alone_are_asked_to_visual_conditions(words: str) -> None:
    assert heard(words) == ["vmc"]


@pytest.mark.parametrize("words", [
    "let the jet go first please", "give the airliner priority, we can wait", "he wants lower, we do not",
    "the other one asked for lower", "we never asked for priority", "are you asking us to descend",
    "did you say vectors for the ILS?", "we are happier at six now", "seven thousand works for us",
    "we expect to be vectored", "we're being vectored for the ILS", "the odds of that are small",
    "will do it visually", "after the descent we ran the checklist", "we have the vectors for the ILS, thanks",
    "flying where it stays clear", "Wendle would be closed by now", "pull the power back and stay level",
])
def test_words_like_those_of_a_request_ask_for_nothing(words: str) -> None:
    assert heard(words) == []
