"""What the card of an airplane says of its loads and its battery is what the model makes of them."""

import re
from dataclasses import replace

import pytest

from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.electrical import life_min, load_a
from drill.airplane.world import World
from drill.scenario import find, load
from drill.scenario.model import Scenario


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return load(find("supper-at-sandrick"))


def card(scenario: Scenario) -> str:
    return next(" ".join(steps) for name, steps in scenario.airplane.checklists if name == "electrical load")


def test_the_minutes_on_the_card_are_those_of_the_battery(scenario: Scenario) -> None:
    told = re.findall(r"(\d+) minutes at (\d+) amperes", card(scenario))
    assert len(told) == 3
    for minutes, amps in told:
        assert life_min(float(amps), scenario.airplane.airframe.battery_ah) == pytest.approx(float(minutes), abs=1.0)


@pytest.mark.parametrize(("said", "switch", "on"), [
    (r"Landing light (\S+) amperes", "landing_light", 1.0), (r"pitot heat (\S+)", "pitot_heat", 1.0),
    (r"Strobes (\S+) amperes", "strobes", 0.0), (r"position lights (\d+)", "nav_lights", 0.0),
    (r"beacon (\S+)", "beacon", 0.0), (r"GPS ([\d.]+)", "gps", 0.0), (r"second radio ([\d.]+)", "second_radio", 0.0),
    (r"Transponder (\S+) amperes", "transponder", 0.0), (r"turn coordinator ([\d.]+)", "turn_breaker", 0.0),
    (r"Autopilot (\S+) amperes", "autopilot", 1.0), (r"Each call (\S+) amperes", "transmitting", 1.0),
])
def test_the_amperes_on_the_card_are_those_of_the_bus(scenario: Scenario, said: str, switch: str, on: float) -> None:
    world = World(scenario.airplane.airframe, scenario.weather.air, FLOATS)
    found = re.search(said, card(scenario))
    assert found is not None
    changed = replace(Controls(), **{switch: on})
    drawn = abs(float(load_a(world, changed)) - float(load_a(world, Controls())))
    assert drawn == pytest.approx(float(found[1]), abs=0.05)
