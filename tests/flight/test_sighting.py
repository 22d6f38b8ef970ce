"""Fields that are come to by eye: led straight there by the track, seen before they are cleared, led back to if passed.

FAA JO 7110.65 7-4-3 (a visual approach only to a field in sight), 3-10-5 (a landing with its runway), by memory.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from drill.flight import controller
from drill.flight.weather import bearing_deg, distance_nm
from drill.language import read_call
from flight.talk import HERE, Talk
from flight.test_approach import flown, near
from flight.test_final import cruise, heading_in

CLOUD = "Larkspur 5304W, in cloud, request vectors to Wendle"


def over() -> Talk:
    talk = Talk()
    talk.scenario = cruise()
    talk.state = controller.begin(talk.scenario)
    talk.radar = replace(HERE, altitude_ft=6000.0)
    return talk


def heard(talk: Talk, words: str) -> str:
    call = controller.understood(talk.state, read_call(words, talk.scenario.context), talk.scenario.context)
    talk.state = controller.hear(talk.state, call)
    return " ".join(talk.wait(12))


def obeying(talk: Talk, seconds: int, *, error_deg: float = 0.0) -> list[str]:
    """Fly every heading that is given, with a heading instrument that is wrong by `error_deg`; what is said."""
    said: list[str] = []
    wanted = talk.state.heading_deg
    for _ in range(seconds):
        track = talk.radar.track_deg
        if wanted is not None:
            off = (wanted + error_deg - track + 180.0) % 360.0 - 180.0
            track = (track + max(-3.0, min(3.0, off))) % 360.0
        new = flown(talk, 1.0, track)
        for words in new:
            given = heading_in(words) if "is heading" not in words else None
            wanted = float(given) if given is not None else wanted
        said += new
    return said


@pytest.mark.parametrize("error_deg", [0.0, 15.0, -18.0])
def test_vectors_straight_to_a_field_lead_there_by_the_track_whatever_the_heading_instrument_shows(
        error_deg: float) -> None:
    talk = over()
    heard(talk, CLOUD)
    field = talk.scenario.fields[2]
    nearest, times = 99.0, []
    for _ in range(1000):
        if any("vectors to Wendle" in each for each in obeying(talk, 1, error_deg=error_deg)):
            times.append(talk.t)
        nearest = min(nearest, distance_nm(field, talk.radar.north_nm, talk.radar.east_nm))
    assert nearest < 1.0
    assert all(later - earlier >= 60.0 for earlier, later in pairwise(times))


def test_who_flies_straight_there_is_not_corrected() -> None:
    talk = over()
    heard(talk, CLOUD)
    field = talk.scenario.fields[2]
    bearing = bearing_deg(field, talk.radar.north_nm, talk.radar.east_nm)
    assert not [each for each in flown(talk, 500.0, bearing) if "turn" in each]


def test_a_visual_approach_is_cleared_when_the_field_is_in_sight_and_a_landing_when_it_is_near() -> None:
    talk = over()
    heard(talk, CLOUD)
    talk.radar = near(talk.scenario.fields[2], 9.8, 78.0, altitude_ft=5000.0)
    said = " ".join(flown(talk, 30.0))
    assert "Wendle is twelve o'clock, one zero miles, descend at your discretion, maintain two thousand six hundred, " \
           "report the field in sight" in said
    assert "cleared" not in said
    assert "cleared visual approach runway two seven, wind two seven zero at one one" in heard(
        talk, "04W, airport in sight")
    said = " ".join(flown(talk, 150.0))
    assert said.count("wind two seven zero at one one, runway two seven, cleared to land") == 1
    assert "report" not in said


def test_a_field_that_is_not_reported_is_asked_for_again() -> None:
    talk = over()
    heard(talk, CLOUD)
    talk.radar = near(talk.scenario.fields[2], 9.8, 78.0, altitude_ft=5000.0)
    assert sum("report the field in sight" in each for each in flown(talk, 300.0)) == 3


def test_who_passes_the_field_unseen_is_told_and_led_back_and_not_without_end() -> None:
    talk = over()
    heard(talk, CLOUD)
    talk.radar = near(talk.scenario.fields[2], 4.0, 78.0, altitude_ft=5000.0)
    said = flown(talk, 900.0)
    passed = [each for each in said if "you have passed Wendle" in each]
    assert "two miles at your six o'clock, turn" in passed[0] or "one mile at your six o'clock, turn" in passed[0]
    assert "report the field in sight" in passed[0]
    assert passed[-1].endswith("say intentions.")
    assert len(passed) <= 3


def test_a_field_in_sight_far_behind_is_not_believed() -> None:
    talk = over()
    talk.radar = near(talk.scenario.fields[2], -40.0, 78.0, altitude_ft=5000.0)
    assert "cleared" not in heard(talk, "Larkspur 5304W, airport in sight, request visual approach")


def test_near_the_field_a_report_of_it_clears_the_landing_with_runway_and_wind() -> None:
    talk = over()
    talk.radar = near(talk.scenario.fields[2], 3.0, 270.0, altitude_ft=2600.0)
    said = heard(talk, "Larkspur 5304W, field in sight")
    assert "wind two seven zero at one one, runway two seven, cleared to land" in said


def test_in_a_block_or_a_hold_nobody_is_told_that_he_is_high() -> None:
    for words in ("request block five to seven thousand", "request hold over Tallowby"):
        talk = over()
        heard(talk, "Larkspur 5304W, diverting to Tallowby")
        talk.radar = near(talk.scenario.fields[0], 9.0, 240.0, altitude_ft=6000.0)
        said = heard(talk, f"Larkspur 5304W, {words}") + " ".join(talk.wait(60))
        assert "approved" in said
        assert "you are high" not in said
        said = heard(talk, "04W is ready for the approach") + " ".join(talk.wait(30))
        assert "proceed direct Tallowby" in said
        assert "you are high for the approach" in said


def test_who_flies_away_from_the_field_that_he_saw_is_asked_for_it_again() -> None:
    talk = over()
    talk.radar = near(talk.scenario.fields[2], 3.0, 270.0, altitude_ft=2600.0)
    heard(talk, "Larkspur 5304W, field in sight")
    said = flown(talk, 500.0)
    assert sum("landing clearance cancelled, report the field in sight" in each for each in said) == 1
    assert talk.state.approach is None


def test_a_field_in_sight_behind_is_to_be_verified_and_then_believed() -> None:
    talk = over()
    field = next(each for each in talk.scenario.fields if each.name == "Wendle")
    heard(talk, CLOUD)
    talk.radar = near(field, -2.0, 90.0)
    assert "verify Wendle in sight" in heard(talk, "Larkspur 5304W, runway in sight")
    assert "cleared to land" in heard(talk, "Larkspur 5304W, Wendle in sight")


@pytest.mark.parametrize("again", ["Larkspur 5304W, Wendle in sight", "affirmative, field in sight, 04W"])
def test_who_flies_away_from_the_field_is_not_believed_the_second_time_either(again: str) -> None:
    talk = over()
    field = next(each for each in talk.scenario.fields if each.name == "Wendle")
    heard(talk, CLOUD)
    talk.radar = near(field, -6.0, 90.0)
    assert "verify Wendle in sight" in heard(talk, "Larkspur 5304W, runway in sight")
    said = heard(talk, again)
    assert "cleared" not in said
    assert "turn " in said, "back to it"
    assert "report the field in sight" in said


@pytest.mark.parametrize(("miles", "altitude_ft", "why"), [
    (8.0, 2600.0, "visibility there is reported at two"), (1.5, 2600.0, "ceiling there is reported at seven hundred"),
])
def test_a_field_that_the_weather_hides_is_to_be_verified_once(miles: float, altitude_ft: float, why: str) -> None:
    talk = over()
    field = next(each for each in talk.scenario.fields if each.name == "Tallowby")
    heard(talk, "Larkspur 5304W, request vectors to Tallowby")
    talk.radar = near(field, miles, 240.0, altitude_ft=altitude_ft)
    said = heard(talk, "Larkspur 5304W, runway in sight")
    assert f"{why}, verify Tallowby in sight" in said
    assert "cleared" in heard(talk, "affirm, 04W"), "he may look through a hole"


def test_a_no_to_verify_the_field_in_sight_is_no_sight() -> None:
    talk = over()
    field = next(each for each in talk.scenario.fields if each.name == "Tallowby")
    heard(talk, "Larkspur 5304W, request vectors to Tallowby")
    talk.radar = near(field, 1.5, 240.0, altitude_ft=2600.0)
    heard(talk, "Larkspur 5304W, runway in sight")
    assert "report the field in sight" in heard(talk, "negative, 04W")
    assert not talk.state.in_sight


def test_below_the_clouds_and_near_the_runway_it_is_believed_at_once() -> None:
    talk = over()
    field = next(each for each in talk.scenario.fields if each.name == "Tallowby")
    heard(talk, "Larkspur 5304W, request vectors to Tallowby")
    talk.radar = near(field, 1.2, 240.0, altitude_ft=900.0)
    assert "cleared to land" in heard(talk, "Larkspur 5304W, runway in sight")
