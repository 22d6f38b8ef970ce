"""Headings as they are given: with the wind allowed for, to the right side, and no more often than it is worth.

Common practice, no source; FAA JO 7110.65 5-6-2 has the words, from memory.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.flight.weather import bearing_deg
from drill.language import read_call
from drill.language.numbers import DIGITS
from drill.scenario import find, load
from flight.talk import Talk

_GIVEN = re.compile(r"\b(?:turn (left|right)|fly) heading (\w+ \w+ \w+)")
_AIRSPEED_KT, _STANDARD_DPS, _LOWEST_FT = 105.0, 3.0, 1100.0


class Obedient(Talk):
    """An airplane that flies each heading in the scenario's wind, swinging about it as a tired pilot does."""

    def __init__(self, stem: str, *, wind_from_deg: float, wind_kt: float, swing_deg: float = 0.0) -> None:
        super().__init__()
        made = load(find(stem))
        air = replace(made.weather.air, wind_from_deg=wind_from_deg, wind_kt=wind_kt)
        self.scenario = replace(made, weather=replace(made.weather, air=air))
        self.state = controller.begin(self.scenario)
        self.heading, self.swing_deg = self.state.heading_deg or 0.0, swing_deg
        self.wind = wind_from_deg, wind_kt
        self.radar = Radar(0.0, 0.0, self.scenario.start.altitude_ft, self.heading)
        self.given: list[tuple[float, str, float]] = []   # when, to which side, heading

    def say(self, words: str) -> list[str]:
        context = self.scenario.context
        call = controller.understood(self.state, read_call(words, context), context)
        self.state = controller.hear(self.state, call)
        return self.go(15.0)

    def go(self, seconds: float) -> list[str]:
        """Fly on; what is said."""
        said: list[str] = []
        for _ in range(round(seconds)):
            wanted = self.given[-1][2] if self.given and self.t - self.given[-1][0] > 5.0 else self.heading
            off = (wanted - self.heading + 180.0) % 360.0 - 180.0
            self.heading = (self.heading + max(-_STANDARD_DPS, min(_STANDARD_DPS, off))) % 360.0
            flown = math.radians(self.heading + self.swing_deg * math.sin(self.t / 7.0))
            blows = math.radians(self.wind[0] + 180.0)
            north = _AIRSPEED_KT * math.cos(flown) + self.wind[1] * math.cos(blows)
            east = _AIRSPEED_KT * math.sin(flown) + self.wind[1] * math.sin(blows)
            self.radar = replace(self.radar, north_nm=self.radar.north_nm + north / 3600.0,
                                 east_nm=self.radar.east_nm + east / 3600.0,
                                 track_deg=math.degrees(math.atan2(east, north)) % 360.0,
                                 altitude_ft=max(self.state.altitude_ft or _LOWEST_FT, self.radar.altitude_ft - 10.0))
            heard = self.wait(1.0)
            said += heard
            for words in heard:
                found = None if "if missed" in words else _GIVEN.search(words)
                if found is not None:
                    digits = "".join(DIGITS[each] for each in found.group(2).split())
                    self.given.append((self.t, found.group(1) or "", float(digits)))
        return said


WINDS = [(285.0, 32.0), (10.0, 30.0), (200.0, 35.0), (90.0, 25.0)]


@pytest.mark.parametrize("wind", WINDS)
def test_the_first_heading_makes_the_track_good_in_a_strong_wind(wind: tuple[float, float]) -> None:
    talk = Obedient("cruise-to-tallowby", wind_from_deg=wind[0], wind_kt=wind[1])
    talk.go(20.0)
    talk.say("Larkspur 5304W, request vectors to Wendle")
    talk.go(90.0)
    wendle = next(each for each in talk.scenario.fields if each.name == "Wendle")
    bearing = bearing_deg(wendle, talk.radar.north_nm, talk.radar.east_nm)
    assert abs((bearing - talk.radar.track_deg + 180.0) % 360.0 - 180.0) <= 6.0


@pytest.mark.parametrize("wind", WINDS)
@pytest.mark.parametrize("stem", ["cruise-to-tallowby", "supper-at-sandrick"])
def test_on_the_way_to_an_approach_each_turn_is_to_the_side_of_the_new_heading_and_none_is_taken_back(
        stem: str, wind: tuple[float, float]) -> None:
    talk = Obedient(stem, wind_from_deg=wind[0], wind_kt=wind[1], swing_deg=6.0)
    talk.go(60.0)
    name = "Orrinfell" if stem.startswith("cruise") else "Eskelby"
    talk.say(f"{talk.scenario.callsign}, request vectors for the surveillance approach at {name}")
    for _ in range(1500):
        talk.go(1.0)
        if talk.state.miles_called == 5:
            break
    assert talk.state.miles_called == 5
    changes = [(now[0] - before[0], now[1], (now[2] - before[2] + 180.0) % 360.0 - 180.0)
               for before, now in pairwise(talk.given)]
    small = [(side, by) for _, side, by in changes if 0.0 < abs(by) < 60.0]
    assert small
    assert all((side == "right") == (by > 0.0) for side, by in small), small
    assert all(after_s >= 10.0 for after_s, _, _ in changes), changes
    there_and_back = [each for each in pairwise(small) if each[0][1] == -each[1][1]]
    assert len(there_and_back) <= 1, small


@pytest.mark.parametrize(("beside_nm", "wind_from_deg"), [(-0.4, 200.0), (0.4, 340.0)])
def test_on_final_nobody_is_turned_farther_from_his_course(beside_nm: float, wind_from_deg: float) -> None:
    talk = Obedient("cruise-to-tallowby", wind_from_deg=wind_from_deg, wind_kt=30.0, swing_deg=5.0)
    talk.go(60.0)
    talk.say("Larkspur 5304W, request vectors for the surveillance approach at Orrinfell")
    said: list[str] = []
    pushed = False
    for _ in range(2000):
        said += talk.go(1.0)
        if talk.state.miles_called == 6 and not pushed:   # something sets it aside
            pushed = True
            talk.radar = replace(talk.radar, north_nm=talk.radar.north_nm + beside_nm)
        if talk.state.miles_called == 1:
            break
    told = [each for each in said if "of course, turn" in each]
    assert told
    for each in told:
        assert ("right of course, turn right" in each) + ("left of course, turn left" in each) == 0, each
