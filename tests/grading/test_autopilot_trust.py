"""What an autopilot flies by, the flight trusts, whatever the hands are told."""

from __future__ import annotations

import pytest

from drill.airplane.controls import BY_PRESSURE, BY_TURN
from drill.flight.events import Trace
from drill.grading.affected import flown_by, responds
from drill.grading.timeline import Onset
from drill.language.meaning import Switch, Told

PARTIAL = {"bank_by": BY_TURN, "pitch_by": BY_PRESSURE, "heading_by": 1.0}


def trace(reference: str, *, flies: float, controls: dict[str, float] | None = None) -> Trace:
    return Trace(10.0, {"autopilot_on": flies}, {}, {}, (), PARTIAL if controls is None else controls, (), reference,
                 "", "cruise")


@pytest.mark.parametrize(("reference", "flies", "by"), [
    ("autopilot+attitude_indicator+heading_indicator", 1.0, {"attitude_indicator", "heading_indicator"}),
    ("autopilot+turn_coordinator+magnetic_compass+altimeter", 1.0, {"turn_coordinator"}),
    ("partial_panel", 0.0, {"turn_coordinator"}),
])
def test_a_flying_autopilot_goes_by_its_own_sources(reference: str, flies: float, by: set[str]) -> None:
    assert flown_by(trace(reference, flies=flies)) == by


def test_switching_it_off_deals_with_a_bad_horizon_and_not_with_a_dead_alternator() -> None:
    off = Switch("autopilot", "off")
    horizon = Onset("it", "attitude indicator", "rotor stops", 60.0, 900.0)
    charging = Onset("it", "alternator", "quits", 60.0, 900.0)
    assert responds(horizon, off, Told()) == "switched the autopilot off"
    assert responds(charging, off, Told()) == ""
