"""How long after a failure it could be known: measured once a scenario, in flights in which nobody does anything.

The evidence clock (`drill.evidence`) is asked, in the scenario's own kind of air, with a turn and a climb some minutes
after the failure. A simulated pilot's flight takes one of the times so found, by its seed. Where nobody has measured
the airplane's healthy flight it is a minute (`UNMEASURED_S`); on the ground, nothing is known but what a look at the
right place shows.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from drill.airplane.failures import CATALOGUE
from drill.evidence.keeping import known
from drill.evidence.measuring import measure
from drill.evidence.signatures import fitted
from drill.scenario.model import Scenario

FLIGHTS = 24
"""Of each failure."""
UNMEASURED_S = 60.0
"""As a pilot who does what the sheet asks for is given (`grading.exemplar`)."""

Evident = Mapping[str, tuple[float | None, ...]]
"""By the name of the failure: seconds from its onset to the first alarm in each flight measured, None for never."""


def evident(scenario: Scenario, flights: int = FLIGHTS) -> Evident:
    """Return when a tireless cross-check knows of each failure of the scenario; a second or so a failure."""
    frame = scenario.airplane.airframe
    statistics = known(frame)
    plans = {plan.name: CATALOGUE[plan.part, plan.how] for plan in scenario.failures}
    if statistics is None or scenario.start.on_ground:
        return dict.fromkeys(plans, (None if scenario.start.on_ground else UNMEASURED_S,))
    asked = [each for each in dict.fromkeys(plan.key for plan in plans.values()) if fitted(CATALOGUE[each], frame)]
    found = measure([CATALOGUE[key] for key in asked], frame, scenario.weather.air.turbulence, flights,
                    statistics) if asked else []
    times = {key: tuple(None if np.isnan(each) else float(each) for each in one.alarm_s)
             for key, one in zip(asked, found, strict=True)}
    return {name: times.get(plan.key, (None,)) for name, plan in plans.items()}


def of_seed(times: Evident, seed: int) -> dict[str, float | None]:
    """Return the times of one flight, by its seed."""
    return {name: found[seed % len(found)] for name, found in times.items()}
