"""A flight that begins on the ramp: what can be done there, what has to wait, and how it is graded."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from drill.flight import seeds
from drill.flight.events import Acted, Ended, Heard
from drill.flight.flight import Flight
from drill.grading import grade
from drill.scenario import load
from drill.scenario.model import Scenario
from flight.flights import finished, of

HERE = Path(__file__).parents[2] / "procedures" / "departure-from-averholt.yaml"


@cache
def averholt() -> Scenario:
    return load(HERE)


def seed_of(variation: str) -> int:
    return next(seed for seed in range(100) if seeds.variation(averholt(), seed) == variation)


def parked(seed: int = 1) -> Flight:
    flight, _ = Flight.start(averholt(), seed)
    return flight


def said(flight: Flight, line: str) -> Acted:
    events = flight.enter(line) + finished(flight)
    return of(Acted, events)[-1]


def test_the_engine_runs_and_nothing_moves_until_the_brakes_are_off() -> None:
    flight = parked()
    flight.advance(30.0)
    assert flight.panel.rpm == pytest.approx(1000.0, abs=30.0)
    assert (flight.panel.airspeed_kt, flight.panel.groundspeed_kt) == (0.0, 0.0)
    said(flight, "taxi")
    flight.advance(20.0)
    assert flight.panel.groundspeed_kt == pytest.approx(8.0, abs=1.0)
    said(flight, "stop")
    flight.advance(10.0)
    assert flight.panel.groundspeed_kt == pytest.approx(0.0, abs=0.1)


def test_power_is_set_by_the_tachometer_against_the_brakes() -> None:
    flight = parked()
    said(flight, "taxi")
    assert "brakes set" in said(flight, "power 1800").result
    flight.advance(20.0)
    assert flight.panel.rpm == pytest.approx(1800.0, abs=40.0)
    assert flight.panel.groundspeed_kt == pytest.approx(0.0, abs=0.5)
    assert said(flight, "power 2600").refused


@pytest.mark.parametrize("line", ["climb to 3000", "go around", "airspeed 90 knots", "divert to Stennor",
                                  "turn left 90 degrees"])
def test_what_belongs_to_the_air_is_refused_in_words(line: str) -> None:
    done = said(parked(), line)
    assert done.refused
    assert "on the ground" in done.result or "standing" in done.result


def test_a_taxi_turn_goes_by_eye_whatever_the_unset_heading_indicator_shows() -> None:
    flight = parked()
    said(flight, "taxi")
    flight.advance(5.0)
    said(flight, "turn right 90 degrees")
    flight.advance(25.0)
    flown = (flight.truths.heading_deg - 120.0) % 360.0
    assert flown == pytest.approx(90.0, abs=5.0)


@pytest.mark.parametrize(("side", "flown"), [("left", 270.0), ("right", 90.0)])
def test_a_taxi_turn_for_which_nothing_is_said_ends_on_the_taxiway_that_crosses(side: str, flown: float) -> None:
    flight = parked()
    said(flight, "taxi")
    flight.advance(5.0)
    said(flight, f"turn {side}")
    flight.advance(60.0)
    assert (flight.truths.heading_deg - 120.0) % 360.0 == pytest.approx(flown, abs=5.0)


@pytest.mark.parametrize("call", ["request progressive taxi", "can we get progressive taxi instructions",
                                  "I'd like progressive taxi please"])
def test_progressive_taxi_that_is_asked_for_is_answered_and_not_only_acknowledged(call: str) -> None:
    # AIM 4-3-18 (from memory): it may be asked for
    flight = parked()
    heard = " ".join(each.words for each in of(Heard, flight.enter(f"say Averholt Ground, Larkspur 8817M, {call}")
                                               + flight.advance(20.0)))
    assert "unable progressive taxi, follow the taxiway signs to runway two seven, hold short" in heard


def test_nobody_on_the_ground_is_asked_to_verify_a_heading_or_an_altitude() -> None:
    flight = parked()
    heard = " ".join(each.words.lower() for each in of(Heard, flight.advance(200.0)))
    assert "verify" not in heard
    assert "altitude alert" not in heard


def test_a_sound_airplane_passes_its_check_and_goes() -> None:
    seed = seed_of("patience")
    flight, events = Flight.start(averholt(), seed)
    for until, line in ((246.0, "say we will advise when ready, 8817M"),
                        (312.0, "set the heading indicator to the compass"), (320.0, "taxi"),
                        (326.0, "turn right 60 degrees"), (332.0, "look at the attitude indicator"),
                        (336.0, "say taxi to runway 27 via Alpha, hold short, 8817M"), (350.0, "stop"),
                        (356.0, "power 1800"), (380.0, "look at the suction gauge"), (395.0, "depart as filed")):
        events += flight.advance(until - flight.t_s) + flight.enter(line)
    events += flight.advance(30.0)
    assert of(Ended, events)[-1].ending == "off to Quenby"
    assert abs(flight.panel.bank_deg) < 5.0           # FAA-H-8083-15 check list: more in a taxi turn is unreliable
    assert 4.5 <= flight.panel.suction_inhg <= 5.5
    debrief = grade(averholt(), events, seed)
    assert debrief.score is not None
    assert debrief.score >= 90
    assert not [each for each in debrief.findings if each.part == "aviate"]   # no airplane was flown


def test_leaving_under_instrument_rules_with_a_failed_item_is_unsafe() -> None:
    # 14 CFR 91.205(d), 91.213(a)
    flight, events = Flight.start(averholt(), seed_of("tired pump"))
    events += flight.advance(60.0) + flight.enter("depart as filed") + flight.advance(20.0)
    assert of(Ended, events)[-1].ending == "into the overcast"
    debrief = grade(averholt(), events, 1)
    assert [each.act for each in debrief.unsafe_acts] == ["No departure under instrument rules with it"]


def test_leaving_by_visual_rules_wants_the_placard() -> None:
    # 14 CFR 91.213(d)
    seed = seed_of("rough bearing")
    for lines, ending in ((("placard the attitude indicator", "depart VFR"), "by the book"),
                          (("depart VFR",), "without the book")):
        flight, events = Flight.start(averholt(), seed)
        events += flight.advance(320.0)
        for line in lines:
            events += flight.enter(line) + finished(flight)
        events += flight.advance(70.0)
        assert of(Ended, events)[-1].ending == ending
