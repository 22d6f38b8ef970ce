"""A flight that begins or is cleared in ice, with nothing about the heat that the pitot tube needs there."""

from __future__ import annotations

import re

from drill.airplane.constants import ICE_FULL_S
from drill.check.rules import warning
from drill.check.standing import value_at
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem
from drill.scenario.units import time_words

_COMMENT = re.compile(r"(?:^|\s)#.*")
_FAILURE = re.compile(r"\bpart:\s*[\"']?pitot[ _]heat\b", re.IGNORECASE)
_HEAT = re.compile(r"\bpitot[ _-]heat", re.IGNORECASE)


def check_icing(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning where ice closes the pitot tube at the first altitude and nothing speaks of pitot heat."""
    air = scenario.weather.air
    lowest = max(air.cloud_base_ft, air.freezing_level_ft)
    begins = None if scenario.start.on_ground else scenario.start.altitude_ft
    where = next((words for words, altitude_ft in (("begins", begins), ("is cleared", scenario.clearance.altitude_ft))
                  if altitude_ft is not None and lowest < altitude_ft < air.cloud_tops_ft), "")
    if air.icing == "none" or not where or scenario.taken_up is not None or _speaks_of_heat(scenario.text):
        return []
    return [warning(value_at(tree, "weather", "icing"), "ice-without-heat",
                    f"the flight {where} in ice, pitot heat starts off, and nothing in the scenario is about it",
                    f"ice closes an unheated pitot tube in {time_words(ICE_FULL_S[air.icing])}: the airspeed dies, "
                    "whatever else fails, and the debrief tells it as a failure",
                    "grade `switch pitot heat on`, or speak of pitot heat in the briefing; or fly below the ice")]


def _speaks_of_heat(text: str) -> bool:
    lines = (_FAILURE.sub("", _COMMENT.sub("", line)) for line in text.splitlines())
    return any(_HEAT.search(line) for line in lines)
