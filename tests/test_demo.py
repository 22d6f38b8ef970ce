"""The flights in demo/: the same seed flown well, late and badly ends differently and is graded in that order."""

from __future__ import annotations

import contextlib
import io
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from drill.cli import main

DEMO = Path(__file__).parent.parent / "demo"
NAME = "cruise-to-tallowby"
pytestmark = pytest.mark.long


@dataclass(frozen=True)
class Flown:
    """A demo flight's JSON debrief and what was printed while it was flown."""

    debrief: dict[str, Any]
    printed: str

    def finding(self, item: str) -> dict[str, Any]:
        return next(each for each in self.debrief["findings"] if each["item"].startswith(item))


@pytest.fixture(scope="module")
def flights(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Flown]:
    return {how: _fly(how, tmp_path_factory.mktemp(how)) for how in ("well", "late", "badly")}


def _fly(how: str, folder: Path, name: str = NAME) -> Flown:
    record = folder / "flight.jsonl"
    printed, debrief = io.StringIO(), io.StringIO()
    script = DEMO / f"{name}-{how}.txt"
    with contextlib.redirect_stdout(printed):
        assert main(["fly", name, "--plain", "--pace", "turns", "--seed", "1", "--script", str(script),
                     "--record", str(record)]) == 0
    with contextlib.redirect_stdout(debrief):
        assert main(["debrief", str(record), "--json"]) == 0
    return Flown(json.loads(debrief.getvalue()), printed.getvalue())


def test_the_three_flights_end_differently(flights: dict[str, Flown]) -> None:
    endings = {how: flown.debrief["ending"] for how, flown in flights.items()}
    assert {how: (ending["id"], ending["outcome"]) for how, ending in endings.items()} == {
        "well": ("on top", "safe"), "late": ("runway in sight", "landed"), "badly": ("upset", "loss of control")}


def test_the_good_flight_scores_most_and_the_bad_one_least(flights: dict[str, Flown]) -> None:
    well, late, badly = (flights[how].debrief["score"] for how in ("well", "late", "badly"))
    assert well >= 85
    assert well > late > badly


def test_only_the_bad_flight_has_unsafe_acts(flights: dict[str, Flown]) -> None:
    assert flights["well"].debrief["unsafe_acts"] == []
    assert flights["late"].debrief["unsafe_acts"] == []
    assert "Do not give up the clearance in cloud" in {each["act"] for each in flights["badly"].debrief["unsafe_acts"]}


@pytest.mark.parametrize(("how", "item", "verdict", "at_s"), [
    # the times are those at which the script's lines are done: its own time, and what each act takes
    ("well", "Recognize", "done", 4 * 60 + 54), ("well", "Stop following", "done", 4 * 60 + 58),
    ("well", "Tell ATC", "done", 5 * 60 + 33), ("well", "Choose visual weather", "done", 5 * 60 + 33),
    ("late", "Recognize", "done", 11 * 60 + 44), ("late", "Stop following", "done", 11 * 60 + 48),
    ("late", "Tell ATC", "incomplete", 13 * 60 + 38), ("late", "Name the failed part", "late", 13 * 60 + 28),
    ("late", "Say that it is urgent", "remark", 13 * 60 + 38),
    ("badly", "Do not give up the clearance", "broken", 12 * 60 + 3),
])
def test_the_findings_stand_at_their_moments(
    flights: dict[str, Flown], how: str, item: str, verdict: str, at_s: float,
) -> None:
    finding = flights[how].finding(item)
    assert finding["verdict"] == verdict
    assert finding["at_s"] == pytest.approx(at_s, abs=2.0)


@pytest.mark.parametrize("item", ["Tell ATC", "Stop following", "Choose visual weather", "Name the failed part"])
def test_what_was_never_done_is_said_to_be_missed(flights: dict[str, Flown], item: str) -> None:
    finding = flights["badly"].finding(item)
    assert (finding["verdict"], finding["at_s"]) == ("missed", None)


def test_the_controller_notices_the_heading_before_the_late_pilot_does(flights: dict[str, Flown]) -> None:
    printed = flights["late"].printed
    assert printed.index("verify heading") < printed.index("> compare the attitude indicator")


def test_nothing_printed_before_the_debrief_names_the_failure(flights: dict[str, Flown]) -> None:
    for flown in flights.values():
        before = flown.printed.split("DEBRIEF")[0]
        told = " ".join(line for line in before.splitlines() if not line.lstrip()[:6].count(">")).lower()
        assert "suction lost" not in told
        assert "shears" not in told


@pytest.fixture(scope="module")
def letters(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Flown]:
    name = "letters-for-marrowby"
    return {how: _fly(how, tmp_path_factory.mktemp(how), name) for how in ("well", "late", "badly")}


@pytest.mark.long
def test_an_autopilot_on_a_dying_horizon_flies_into_a_spiral_unless_it_is_switched_off(
    letters: dict[str, Flown],
) -> None:
    # FAA-H-8083-15B ch. 11: an autopilot coupled to a failed gyro follows it
    endings = {how: flown.debrief["ending"]["outcome"] for how, flown in letters.items()}
    assert endings["well"] == "safe"
    assert endings["late"] == "safe"
    assert endings["badly"] in ("loss of control", "broke up")
    well, late, badly = (letters[how].debrief["score"] for how in ("well", "late", "badly"))
    assert well >= 90
    assert well > late > badly
    assert letters["well"].debrief["unsafe_acts"] == letters["late"].debrief["unsafe_acts"] == []
    assert letters["badly"].finding("Take the airplane from the autopilot")["verdict"] == "missed"


@pytest.mark.long
def test_the_horizon_leans_while_the_autopilot_keeps_the_heading(letters: dict[str, Flown]) -> None:
    before = letters["badly"].printed.split("> look at the attitude indicator")[1].split("> look at the heading")[0]
    assert "left wing down" in before
    assert "verify heading" not in before


@pytest.fixture(scope="module")
def ramp(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Flown]:
    name = "departure-from-averholt"
    return {how: _fly(how, tmp_path_factory.mktemp(how), name) for how in ("well", "late", "badly")}


def test_a_check_on_the_ramp_is_graded_by_patience_engine_speed_and_the_decision(ramp: dict[str, Flown]) -> None:
    # FAA-H-8083-15 (1999): up to five minutes; 14 CFR 91.205(d), 91.213
    well, late, badly = (ramp[how].debrief["score"] for how in ("well", "late", "badly"))
    assert well >= 95
    assert well > late > badly
    assert {how: flown.debrief["ending"]["id"] for how, flown in ramp.items()} == {
        "well": "another day", "late": "another day", "badly": "into the overcast"}
    assert ramp["late"].finding("Give the gyros five minutes")["verdict"] == "broken"
    assert ramp["well"].finding("Judge the suction at run-up speed")["verdict"] == "done"
    assert [each["act"] for each in ramp["badly"].debrief["unsafe_acts"]] == [
        "No departure under instrument rules with it"]


def test_on_the_ramp_nothing_is_graded_that_belongs_to_the_air(ramp: dict[str, Flown]) -> None:
    for flown in ramp.values():
        assert not [each for each in flown.debrief["findings"] if each["part"] == "aviate"]
        assert flown.debrief["deviations"] == []


@pytest.fixture(scope="module")
def hills(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Flown]:
    name = "over-to-sorrelton"
    return {how: _fly(how, tmp_path_factory.mktemp(how), name) for how in ("well", "late", "badly")}


def test_a_needle_that_rises_with_the_altitude_is_flown_by_pitch_and_power_or_into_a_stall(
    hills: dict[str, Flown],
) -> None:
    # FAA-H-8083-15B ch. 5: opening and drain closed, the airspeed indicator behaves as an altimeter
    assert {how: flown.debrief["ending"]["id"] for how, flown in hills.items()} == {
        "well": "in the warm", "late": "in the warm", "badly": "upset"}
    well, late, badly = (hills[how].debrief["score"] for how in ("well", "late", "badly"))
    assert well >= 90
    assert well > late > badly
    assert hills["well"].debrief["unsafe_acts"] == hills["late"].debrief["unsafe_acts"] == []
    assert hills["badly"].finding("Take off no power for that needle")["verdict"] == "broken"
    assert "Keep the speed of a flying wing" in {each["act"] for each in hills["badly"].debrief["unsafe_acts"]}


def test_the_controller_sees_the_speed_that_the_needle_hides(hills: dict[str, Flown]) -> None:
    printed = " ".join(hills["badly"].printed.split("DEBRIEF")[0].split())
    assert "your groundspeed is down to five zero knots" in printed
    assert "pitot" not in printed.lower().replace("pitot heat", "")


@pytest.fixture(scope="module")
def supper(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Flown]:
    name = "supper-at-sandrick"
    return {how: _fly(how, tmp_path_factory.mktemp(how), name) for how in ("well", "late", "badly")}


@pytest.mark.long            # 15, 51 and 38 minutes of flight
def test_a_battery_is_shed_and_told_of_or_goes_dark_in_cloud(supper: dict[str, Flown]) -> None:
    # 14 CFR 91.185, 91.187; AIM 6-4-2
    assert {how: flown.debrief["ending"]["id"] for how, flown in supper.items()} == {
        "well": "on the final", "late": "unheard and down", "badly": "dark and silent"}
    well, late, badly = (supper[how].debrief["score"] for how in ("well", "late", "badly"))
    assert well >= 90
    assert well > late > badly
    assert supper["well"].debrief["unsafe_acts"] == supper["late"].debrief["unsafe_acts"] == []
    assert supper["late"].finding("Seven six zero zero when nobody answers")["verdict"] == "done"
    assert supper["late"].finding("Unheard, keep route and altitude")["verdict"] == "kept"
    assert supper["badly"].finding("Switch on nothing that can wait")["verdict"] == "broken"
    assert [each["act"] for each in supper["badly"].debrief["unsafe_acts"]] == ["Do not give up the clearance in cloud"]


@pytest.mark.long
def test_what_lives_on_current_goes_in_its_order_and_sooner_with_lamps_on(supper: dict[str, Flown]) -> None:
    late, badly = (" ".join(supper[how].printed.split("DEBRIEF")[0].split()) for how in ("late", "badly"))
    signs = ["low voltage light on", "When you press the button the hiss does not change", "Transponder: dark",
             "GPS: screen dark", "The last light goes"]
    places = [badly.index(sign) for sign in signs]
    assert places == sorted(places)
    assert signs[-1] not in late
    assert "alternator" not in badly.lower()
