"""Words on the ramp: taxiing, the run-up, and leaving under one set of rules or the other."""

from __future__ import annotations

import pytest

from drill.language import read
from drill.language.meaning import Action, Context, Decide, Power, Switch, Taxi, Transmit, WriteUp

RAMP = Context("Larkspur 8817M", "Averholt Ground", ("Averholt", "Quenby", "Stennor"))


@pytest.mark.parametrize("line", ["taxi", "start taxiing", "taxi to runway 27 via alpha", "release the brakes",
                                  "continue taxiing"])
def test_taxiing_is_rolling(line: str) -> None:
    assert read(line, RAMP) == [Taxi()]


@pytest.mark.parametrize("line", ["taxi back to the ramp", "return to the ramp", "taxi to parking"])
def test_back_to_the_ramp_is_a_decision(line: str) -> None:
    assert read(line, RAMP) == [Decide("return_to_ramp")]


@pytest.mark.parametrize("line", ["hold short of runway 27", "set the parking brake", "brakes", "stop taxiing"])
def test_stopping_is_the_brakes(line: str) -> None:
    assert read(line, RAMP) == [Decide("stop_taxi")]


@pytest.mark.parametrize("line", ["run up the engine", "do the run-up", "engine run up", "run the engine up"])
def test_a_run_up_without_a_figure_goes_to_its_usual_speed(line: str) -> None:
    assert read(line, RAMP) == [Power(to_rpm=1800)]


@pytest.mark.parametrize(("line", "plan"), [
    ("depart VFR", "depart_vfr"), ("take off VFR", "depart_vfr"), ("depart as filed", "continue"),
    ("take off", "continue"), ("depart IFR", "continue")])
def test_leaving_says_under_which_rules(line: str, plan: str) -> None:
    assert [each.plan for each in read(line, RAMP) if isinstance(each, Decide)] == [plan]


def test_asking_for_taxi_is_a_call_and_no_rolling() -> None:
    [call] = read("tell ground ready to taxi", RAMP)
    assert isinstance(call, Transmit)


@pytest.mark.parametrize(("line", "act"), [
    ("placard the vacuum system", WriteUp("placard", "vacuum_system")),
    ("turn off the GPS", Switch("gps", "off")), ("transponder off", Switch("transponder", "off")),
    ("beacon off", Switch("beacon", "off")), ("second radio on", Switch("second_radio", "on"))])
def test_defects_and_loads_are_named(line: str, act: Action) -> None:
    assert read(line, RAMP) == [act]
