"""Vectors to the final approach course: from wherever it begins, an approach ends along its runway (AIM 5-4-11)."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.flight.events import Heard
from drill.flight.final import GATE_NM, Leg, leg_at, leg_track_deg, spot_of
from drill.flight.flight import Flight
from drill.flight.weather import distance_nm, field_position
from drill.language import read_call
from drill.language.meaning import Altitude, Cover, FlyBy, StopTurn, Transmit, Turn, TurnRate
from drill.scenario import load
from drill.scenario.model import Field, Scenario
from flight.flights import of
from flight.talk import Talk

NO_GYRO = ("Orrinfell Approach, Larkspur 5304W, vacuum failure, partial panel in cloud, request no-gyro vectors to "
           "Orrinfell")
RADAR = "Orrinfell Approach, Larkspur 5304W, request a surveillance approach at Orrinfell"
BEARINGS, MILES = range(0, 360, 30), (8, 15, 25)
NUMBERS = dict(zip(("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "niner"), "0123456789",
                   strict=True))


@cache
def cruise() -> Scenario:
    return load(Path(__file__).parents[2] / "procedures" / "cruise-to-tallowby.yaml")


def placed(bearing: int, miles: int, runway_deg: float | None = 270.0, altitude_ft: float = 4000.0) -> Scenario:
    """The cruise without its story and its failure, and with Orrinfell where it is wanted."""
    whole = cruise()
    near = next(each for each in whole.fields if each.name == "Orrinfell")
    near = replace(near, bearing_deg=float(bearing), distance_nm=float(miles), runway_deg=runway_deg)
    return replace(
        whole, fields=(near, *(each for each in whole.fields if each.name != "Orrinfell")), failures=(),
        start=replace(whole.start, heading_deg=float(bearing), altitude_ft=altitude_ft),
        phases=tuple(replace(each, branches=(), cues=()) for each in whole.phases))


def heading_in(words: str) -> int | None:
    """The heading that a line assigns."""
    before, _, after = words.partition("heading ")
    if not after or "missed approach" in before:
        return None
    return int("".join(NUMBERS[each.strip(".,")] for each in after.split()[:3]))


@pytest.mark.parametrize("miles", MILES)
@pytest.mark.parametrize("bearing", BEARINGS)
def test_the_legs_lead_from_every_side_to_a_final_that_begins_five_to_eight_miles_out(bearing: int, miles: int) -> None:
    field = placed(bearing, miles).fields[0]
    north, east, track = 0.0, 0.0, float(bearing)
    leg: Leg = ""
    side, sharpest, began_nm = 0.0, 0.0, 99.0
    spot = spot_of(field, 270.0, north, east, track)
    for _ in range(2500):
        spot = spot_of(field, 270.0, north, east, track)
        now, side = leg_at(leg, side, spot)
        if now == "final" and leg != "final":
            began_nm, sharpest = spot.before_nm, abs(spot.off_deg)
        leg = now
        if leg == "final" and spot.before_nm < 0.1:
            break
        off = (leg_track_deg(leg, side, spot, 270.0) - track + 180.0) % 360.0 - 180.0
        track = (track + max(-3.0, min(3.0, off))) % 360.0
        north += 0.028 * math.cos(math.radians(track))
        east += 0.028 * math.sin(math.radians(track))
    assert leg == "final"
    assert began_nm >= 5.0
    assert sharpest <= 31.0, "an intercept at thirty degrees at most (AIM 5-4-11; JO 7110.65 5-9-2, by memory)"
    assert abs(spot.beside_nm) < 0.1
    assert abs(spot.off_deg) < 5.0


def flown(scenario: Scenario, call: str, seed: int) -> tuple[float, float, list[tuple[float, str]]]:
    """Fly an approach by the word of ATC: how near the field it comes, its track beside the runway, what is said."""
    flight, _ = Flight.start(scenario, seed)
    field = scenario.fields[0]
    gyros = "no-gyro" not in call
    if not gyros:
        for action in (Cover("attitude_indicator"), Cover("heading_indicator"), FlyBy("partial_panel")):
            flight.act(action)
    flight.act(Transmit(call))
    said: list[tuple[float, str]] = []
    spot = spot_of(field, float(field.runway_deg or 0.0), 0.0, 0.0, 0.0)
    while flight.t_s < 2400.0 and flight.ended is None:
        heard = of(Heard, flight.advance(1.0))
        true = flight.truths
        spot = spot_of(field, float(field.runway_deg or 0.0), true.north_nm, true.east_nm, true.track_deg)
        if flight.atc.miles_called and spot.before_nm < 0.0:
            return distance_nm(field, true.north_nm, true.east_nm), spot.off_deg, said
        for each in heard:
            said.append((spot.before_nm, each.words))
            _obeyed(flight, each.words, gyros=gyros)
    raise AssertionError(f"no approach came of it: {said[-3:]}, {spot}")


def _obeyed(flight: Flight, words: str, *, gyros: bool) -> None:
    if "half standard rate turns" in words:
        flight.act(TurnRate("half"))
    if words.endswith("stop turn."):
        flight.act(StopTurn())
    elif words.endswith(("turn left.", "turn right.")):
        flight.act(Turn("left" if words.endswith("left.") else "right"))
    elif gyros and (heading := heading_in(words)) is not None:
        side = "left" if "turn left" in words else "right" if "turn right" in words else "shortest"
        flight.act(Turn(side, heading_deg=heading))  # type: ignore[arg-type]
    if "descend and maintain" in words:
        flight.act(Altitude(to_ft=2600, direction="descend"))
    if "minimum descent altitude" in words:
        flight.act(Altitude(to_ft=1100, direction="descend"))


def check(bearing: int, miles: int, runway_deg: float, call: str) -> list[tuple[float, str]]:
    nearest, off_deg, said = flown(placed(bearing, miles, runway_deg), call, seed=1 + bearing)
    assert nearest < 0.4
    assert abs(off_deg) < 20.0
    cleared = next(number for number, (_, words) in enumerate(said) if "cleared surveillance" in words)
    turns = [at for at, words in said[cleared:] if words.endswith(("turn left.", "turn right."))]
    assert not [at for at in turns if at < 1.2], "no turn is begun in the last mile"
    return said


@pytest.mark.parametrize(("bearing", "miles", "runway_deg"), [
    (180, 8, 270.0), (210, 15, 90.0), pytest.param(90, 15, 270.0, marks=pytest.mark.long),
    pytest.param(300, 8, 360.0, marks=pytest.mark.long)])
def test_without_gyros_an_approach_ends_along_its_runway_in_wind_and_from_any_side(bearing: int, miles: int,
                                                                                 runway_deg: float) -> None:
    said = check(bearing, miles, runway_deg, NO_GYRO)
    cleared = next(number for number, (_, words) in enumerate(said) if "cleared surveillance" in words)
    near = [words for at, words in said[cleared:] if at < GATE_NM and words.endswith(("turn left.", "turn right."))]
    assert len(near) <= 8


@pytest.mark.parametrize(("bearing", "miles", "runway_deg"), [(30, 8, 270.0), (330, 15, 360.0)])
def test_with_headings_it_does_as_well(bearing: int, miles: int, runway_deg: float) -> None:
    check(bearing, miles, runway_deg, RADAR)


@pytest.mark.long
@pytest.mark.parametrize("runway_deg", [270.0, 360.0, 90.0])
@pytest.mark.parametrize("call", [NO_GYRO, RADAR])
@pytest.mark.parametrize("miles", MILES)
@pytest.mark.parametrize("bearing", BEARINGS)
def test_every_side_and_distance_ends_along_the_runway(bearing: int, miles: int, call: str, runway_deg: float) -> None:
    check(bearing, miles, runway_deg, call)


def radar_at(field: Field, before_nm: float, beside_nm: float, track_deg: float, altitude_ft: float) -> Radar:
    north, east = field_position(field)
    angle = math.radians(float(field.runway_deg or 0.0))
    return Radar(north - before_nm * math.cos(angle) - beside_nm * math.sin(angle),
                 east - before_nm * math.sin(angle) + beside_nm * math.cos(angle), altitude_ft, track_deg)


def approaching(before_nm: float, beside_nm: float, track_deg: float, altitude_ft: float = 2600.0,
                call: str = RADAR) -> Talk:
    talk = Talk()
    talk.scenario = placed(205, 16)
    talk.state = controller.begin(talk.scenario)
    talk.radar = radar_at(talk.scenario.fields[0], before_nm, beside_nm, track_deg, altitude_ft)
    talk.state = controller.hear(talk.state, controller.understood(
        talk.state, read_call(call, talk.scenario.context), talk.scenario.context))
    return talk


def test_an_altitude_is_kept_until_final_and_a_descent_given_on_it() -> None:
    talk = approaching(9.5, 0.0, 270.0)
    said = " ".join(talk.wait(110))
    assert "cleared surveillance runway two seven approach, maintain two thousand six hundred until advised" in said
    assert "discretion" not in said
    assert talk.state.altitude_ft == 2600.0
    talk.radar = radar_at(talk.scenario.fields[0], 4.95, 0.0, 270.0, 2600.0)
    assert "descend to your minimum descent altitude" in " ".join(talk.wait(20))
    assert talk.state.altitude_ft is None


def test_a_radar_approach_comes_with_its_altimeter_setting_and_missed_approach_instructions_once() -> None:
    # AIM 5-4-11; FAA JO 7110.65 5-10 and 5-12, by memory
    said = approaching(9.5, 0.0, 270.0).wait(110)
    assert sum("Orrinfell altimeter two niner niner zero, wind two seven zero at niner" in each for each in said) == 1
    assert sum("if missed approach, climb and maintain three thousand, fly heading two seven zero" in each
               for each in said) == 1


def test_an_ils_is_cleared_with_an_altitude_until_established() -> None:
    talk = approaching(9.5, 0.0, 270.0, call="Larkspur 5304W, request vectors to Orrinfell")
    field = replace(talk.scenario.fields[0], approaches=("ILS 27",))  # type: ignore[arg-type]
    talk.scenario = replace(talk.scenario, fields=(field, *talk.scenario.fields[1:]))
    said = " ".join(talk.wait(110))
    assert "maintain two thousand six hundred until established on the final approach course" in said


@pytest.mark.parametrize("words", ["say missed approach instructions", "request the missed approach procedure"])
def test_who_asks_for_missed_approach_instructions_gets_them_and_goes_on(words: str) -> None:
    talk = approaching(9.5, 0.0, 270.0)
    talk.wait(110)
    assert "if missed approach, climb and maintain three thousand" in " ".join(talk.say(f"Larkspur 5304W, {words}"))
    assert talk.state.approach is not None


def test_nobody_is_called_high_while_turning_away_or_on_a_downwind() -> None:
    talk = approaching(2.0, 3.0, 90.0, altitude_ft=6000.0)
    said = " ".join(talk.wait(110))
    assert "you are high" not in said
    assert "descend and maintain two thousand six hundred" in said


def test_nobody_is_called_high_in_a_no_gyro_turn() -> None:
    talk = approaching(9.0, 0.0, 180.0, altitude_ft=6000.0, call=NO_GYRO)
    said = talk.wait(30)
    assert any(each.endswith("turn right.") for each in said)
    assert "you are high" not in " ".join([*said, *talk.fly(20, turning_dps=3.0)])


def test_a_field_without_a_known_runway_is_flown_to_straight() -> None:
    talk = approaching(9.5, 0.0, 270.0)
    field = replace(talk.scenario.fields[0], runway_deg=None)
    talk.scenario = replace(talk.scenario, fields=(field, *talk.scenario.fields[1:]))
    assert "cleared surveillance" in " ".join(talk.wait(110))
    assert (talk.state.leg, talk.state.course_deg) == ("", 270.0)
