"""A spiral caught late: the recovery neither zooms nor goes on for ever, and the altitude is flown back to."""

from __future__ import annotations

from pathlib import Path

import pytest

from drill.airplane.controls import RECOVER
from drill.flight.events import Trace
from drill.flight.flight import Flight
from drill.scenario import load
from flight.flights import of

PROCEDURES = Path(__file__).parents[2] / "procedures"


@pytest.mark.long
def test_a_recovery_from_a_late_spiral_does_not_zoom_and_ends_and_the_altitude_is_flown_back_to() -> None:
    scenario = load(PROCEDURES / "cruise-to-tallowby.yaml")
    flight, _ = Flight.start(scenario, 1)
    flight.advance(600.0)
    while abs(flight.truths.bank_deg) <= 60.0:
        flight.advance(1.0)
    assert flight.ended is None
    flight.enter("level the wings by the turn coordinator")
    flight.advance(4.0)
    controls = flight.state.cockpit.controls
    assert controls.lateral == RECOVER
    stall_kt = scenario.airplane.airframe.stall_kt
    traces = of(Trace, flight.advance(60.0))
    assert flight.ended is None
    assert max(each.true["pitch_deg"] for each in traces) < 25.0
    assert min(each.true["airspeed_kt"] for each in traces) > 1.2 * stall_kt
    assert flight.state.cockpit.controls.lateral != RECOVER
    flight.advance(300.0)
    assert abs(flight.panel.altitude_ft - controls.altitude_ft) < 300.0
