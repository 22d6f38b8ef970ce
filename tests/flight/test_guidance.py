"""What is said of an approach before it and on it, and past its missed approach point.

FAA JO 7110.65 5-10-2 to 5-10-4, 5-10-10, 5-10-11, 5-11-2, 5-11-3, 5-11-5 and 5-11-6; 5-10-12 and 5-10-14 by memory.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from drill.flight import controller
from drill.flight.events import Assigned, Heard
from drill.flight.final import GATE_NM
from drill.flight.flight import Flight
from drill.flight.phraseology import heading_words
from drill.language import read_call
from drill.language.meaning import Transmit
from flight.flights import of
from flight.talk import Talk
from flight.test_approach import ILS, RADAR, TALLOWBY, flown, inbound, near
from flight.test_final import NO_GYRO, approaching, cruise, placed, radar_at
from flight.test_final import RADAR as SURVEILLANCE
from flight.test_final import flown as flown_down

NO_GYRO_THERE = "Larkspur 5304W requests no-gyro vectors to Tallowby"


def before(call: str = SURVEILLANCE) -> str:
    return " ".join(approaching(12.0, 0.0, 270.0, call=call).wait(160))


@pytest.mark.parametrize("words", [
    "this will be a surveillance approach to runway two seven at Orrinfell, missed approach point is one mile from "
    "runway",
    "Orrinfell altimeter two niner niner zero, wind two seven zero at niner",
    "if missed approach, climb and maintain three thousand, fly heading two seven zero",
    "if no transmissions are received for one minute in the pattern or fifteen seconds on final, proceed VFR. If "
    "unable, maintain three thousand, proceed to Wendle",
])
def test_before_a_radar_approach_all_is_said_that_has_to_be_known_and_once(words: str) -> None:
    assert before().count(words) == 1


def test_without_gyros_it_is_called_a_no_gyro_approach_and_is_missed_straight_ahead() -> None:
    said = before(NO_GYRO)
    assert "this will be a no-gyro surveillance approach to runway two seven" in said
    assert "if missed approach, climb and maintain three thousand, straight ahead" in said


def test_a_second_approach_at_the_same_field_needs_none_of_it_again() -> None:
    talk = approaching(12.0, 0.0, 270.0)
    talk.wait(160)
    talk.state = controller.hear(talk.state, read_call(SURVEILLANCE, talk.scenario.context))
    assert "if no transmissions" not in " ".join(talk.wait(160))


def test_on_final_the_course_is_told_about_every_fifteen_seconds_and_the_range_every_mile() -> None:
    said: list[tuple[float, str]] = []
    talk = inbound(RADAR)
    for _ in range(330):
        said += [(talk.t, each) for each in flown(talk, 1.0)]
    final = [(t, each) for t, each in said if "course" in each or "missed approach point, if" in each]
    assert max(later[0] - earlier[0] for earlier, later in pairwise(final)) <= 22.0
    for miles in ("five miles", "four miles", "three miles", "two miles", "one mile"):
        assert any(f"{miles} from runway" in each for _, each in said)
    whole = " ".join(each for _, each in said)
    assert whole.count("Do not acknowledge further transmissions") == 1
    assert whole.index("prepare to descend in one mile, minimum descent altitude one thousand forty") < whole.index(
        "descend to your minimum descent altitude, one thousand forty")
    assert "report runway in sight" in whole


def test_past_the_missed_approach_point_nobody_is_left_in_silence() -> None:
    talk = inbound(RADAR)
    flown(talk, 60.0)
    talk.radar = replace(talk.radar, altitude_ft=1100.0)
    said: list[tuple[float, str]] = []
    for _ in range(360):
        said += [(talk.t, each) for each in flown(talk, 1.0)]
    point = next(at for at, (_, each) in enumerate(said) if "over missed approach point" in each)
    after = said[point:]
    assert "if runway not in sight, climb and maintain three thousand, fly heading two four zero" in after[1][1]
    assert "low altitude alert, check your altitude immediately, minimum altitude in your area is three thousand. " \
           "You have passed Tallowby, climb and maintain three thousand, fly heading two four zero" in after[2][1]
    assert all(later[0] - earlier[0] <= 45.0 for earlier, later in pairwise(after[:3]))
    assert talk.state.approach is None


def test_who_climbs_over_the_missed_approach_point_without_a_word_is_given_what_was_briefed() -> None:
    talk = inbound(RADAR)
    flown(talk, 60.0)
    talk.radar = replace(talk.radar, altitude_ft=1100.0)
    while talk.state.miles_called != 1:
        flown(talk, 1.0)
    said: list[str] = []
    for _ in range(25):
        talk.radar = replace(talk.radar, altitude_ft=talk.radar.altitude_ft + 12.0)
        said += flown(talk, 1.0)
    assert "radar shows you climbing, climb and maintain three thousand, fly heading two four zero" in " ".join(said)


def test_with_the_runway_in_sight_the_landing_is_cleared_with_wind_and_runway_and_guidance_ends() -> None:
    talk = approaching(9.5, 0.0, 270.0)
    talk.wait(110)
    talk.radar = radar_at(talk.scenario.fields[0], 2.5, 0.0, 270.0, 1200.0)
    talk.wait(5)
    talk.state = controller.hear(talk.state, read_call("Larkspur 5304W, runway in sight", talk.scenario.context))
    assert "wind two seven zero at niner, runway two seven, cleared to land" in " ".join(talk.wait(12))
    assert not any("course" in each or "not in sight" in each for each in flown(talk, 90.0))


def test_a_low_approach_is_approved_with_what_to_do_after_it() -> None:
    talk = inbound(RADAR)
    said = " ".join(talk.say("04W, this will be a low approach only, request the surveillance approach"))
    assert "after completing low approach, climb and maintain three thousand, fly heading two four zero" in said


@pytest.mark.parametrize(("beside_nm", "side"), [(-0.6, "left"), (0.6, "right")])
def test_who_leaves_the_course_of_an_ils_is_told_and_then_sent_up(beside_nm: float, side: str) -> None:
    talk = inbound(ILS)
    flown(talk, 120.0)
    talk.radar = near(TALLOWBY, 5.0, 240.0, beside_nm=beside_nm, altitude_ft=2400.0)
    said = flown(talk, 50.0)
    off = next(at for at, each in enumerate(said) if f"radar shows you well {side} of course" in each)
    assert any(f"you are well {side} of course, approach clearance cancelled, climb and maintain three thousand" in each
               for each in said[off + 1:])
    assert talk.state.approach is None


def test_who_stays_on_the_course_of_an_ils_is_not_told_so() -> None:
    assert not any("of course" in each for each in flown(inbound(ILS), 330.0))


def test_every_heading_that_is_assigned_has_been_said() -> None:
    whole = cruise()
    flight, _ = Flight.start(replace(whole, failures=(), phases=tuple(
        replace(each, branches=(), cues=()) for each in whole.phases)), 10)
    flight.act(Transmit("Orrinfell Approach, Larkspur 5304W, request vectors to Tallowby"))
    events = [each for _ in range(700) for each in flight.advance(1.0)]
    said = " ".join(each.words for each in of(Heard, events))
    headings = {each.heading_deg for each in of(Assigned, events) if each.heading_deg is not None}
    assert all(f"heading {heading_words(each)}" in said for each in headings - {whole.clearance.heading_deg})


def test_a_heading_that_is_not_flown_is_given_again_and_then_turns_on_the_word_are_offered() -> None:
    talk = Talk()
    talk.say("Larkspur 5304W requests vectors to Wendle")
    said = flown(talk, 300.0)
    assert sum("radar shows your track two four zero, turn left heading zero eight zero" in each for each in said) == 2
    assert any("do you want no-gyro vectors?" in each for each in said)


@pytest.mark.long
@pytest.mark.parametrize(("bearing", "miles", "runway_deg"), [(90, 15, 270.0), (180, 8, 270.0), (300, 14, 360.0)])
def test_no_turn_without_gyros_is_taken_back_by_the_next_one_on_the_way_to_final(bearing: int, miles: int,
                                                                                runway_deg: float) -> None:
    _, _, said = flown_down(placed(bearing, miles, runway_deg), NO_GYRO, 1 + bearing)
    called = [words.rpartition(", ")[2] for at, words in said if at > GATE_NM or at < 0.0
              if words.endswith(("turn left.", "turn right."))]
    assert len(called) <= 7


def test_the_first_no_gyro_turn_follows_at_once_on_how_turns_are_made() -> None:
    talk = Talk()
    said = talk.say(f"{NO_GYRO_THERE}, vacuum failure, partial panel in cloud") + talk.wait(30)
    word = next(at for at, each in enumerate(said) if "on my word" in each)
    assert said[word + 1].endswith(("turn right.", "turn left."))


def test_below_the_minimum_altitude_a_vector_begins_above_it_and_none_is_changed_in_the_climb() -> None:
    # FAA JO 7110.65 5-6-1, by memory: vectors at or above the minimum vectoring altitude
    talk = inbound(ILS)
    talk.radar = near(TALLOWBY, -1.0, 240.0, altitude_ft=1500.0)
    assert "leaving three thousand, fly heading" in " ".join(talk.say("04W, request vectors to Wendle"))
    said: list[str] = []
    for _ in range(60):
        talk.radar = replace(talk.radar, altitude_ft=talk.radar.altitude_ft + 8.0)
        said += flown(talk, 1.0)
    assert not any("turn" in each for each in said)


def test_who_is_well_off_course_is_not_sent_down_and_then_sent_up() -> None:
    talk = approaching(9.5, 0.0, 270.0)
    talk.wait(110)
    field = talk.scenario.fields[0]
    said: list[str] = []
    for miles in (5.2, 4.9, 4.5, 4.0, 3.4, 3.0):
        talk.radar = radar_at(field, miles, 1.0, 270.0, 2600.0)
        said += talk.wait(20)
    assert not any("descend to your minimum descent altitude" in each for each in said)
    assert any("of course, approach clearance cancelled" in each for each in said)


def on_the_way_down() -> Talk:
    """A radar approach, descending on its course some three miles out."""
    talk = inbound(RADAR)
    for _ in range(400):
        flown(talk, 1.0)
        if "descent" in talk.state.final_told:
            break
    assert "descent" in talk.state.final_told
    return talk


@pytest.mark.parametrize("off_deg", [-50.0, 50.0])
def test_who_strays_in_the_descent_of_a_radar_approach_is_sent_up(off_deg: float) -> None:
    talk = on_the_way_down()
    talk.radar = replace(talk.radar, altitude_ft=1600.0)
    said = " ".join(flown(talk, 60.0, 240.0 + off_deg))
    assert "approach clearance cancelled, climb and maintain three thousand" in said
    assert talk.state.approach is None


@pytest.mark.parametrize(("way", "back"), [(-1.6, "turn right heading"), (1.6, "turn left heading")])
def test_who_turns_away_from_the_final_course_is_turned_back_before_the_turn_ends(way: float, back: str) -> None:
    talk = on_the_way_down()
    said = [each for second in range(30) for each in flown(talk, 1.0, (240.0 + way * second) % 360.0)]
    assert back in " ".join(said)


def test_who_is_beside_the_course_in_the_descent_and_comes_back_to_it_is_talked_on() -> None:
    talk = on_the_way_down()
    flown(talk, 10.0, 250.0)
    assert "cancelled" not in " ".join(flown(talk, 60.0, 236.0))


def test_below_minimums_on_final_the_alert_names_them() -> None:
    # FAA JO 7110.65 2-1-6
    talk = on_the_way_down()
    least = next(each.minimums_ft for each in talk.scenario.fields if each.name == "Tallowby")
    talk.scenario = replace(talk.scenario, fields=tuple(
        replace(each, minimums_ft=least or 800.0) for each in talk.scenario.fields))
    talk.radar = replace(talk.radar, altitude_ft=(least or 800.0) - 200.0)
    said = " ".join(flown(talk, 25.0))
    assert "low altitude alert, check your altitude immediately, minimum descent altitude is" in said
