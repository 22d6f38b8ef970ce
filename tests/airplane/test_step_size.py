"""A tenth of a second is a short enough step: the same calm flights in steps of other lengths."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from drill.airplane import STEP_S

SCRIPT = Path(__file__).with_name("flown_in_steps.py")
FINEST_S = 0.01
# Bounds on what 200 s of flight may differ from the same in steps of 0.01 s: measured 0.4 deg, 1.8 ft and 0.2 s on a
# dead horizon, where every error grows, and 0.02 deg and 0.01 ft by partial panel, where the hands take it out.
BOUNDS = {"on the horizon": (0.6, 3.0, 0.3), "partial panel": (0.1, 0.1, 0.0)}


def flown(seconds: float) -> dict[str, dict[str, Any]]:
    done = subprocess.run([sys.executable, str(SCRIPT), str(seconds)], capture_output=True, text=True, check=True)
    found: dict[str, dict[str, Any]] = json.loads(done.stdout)
    return found


@pytest.mark.long
def test_steps_of_a_tenth_of_a_second_fly_as_steps_of_a_hundredth() -> None:
    finest = flown(FINEST_S)
    for seconds in (STEP_S, 0.05, 0.02):
        coarse = flown(seconds)
        for how, (heading, altitude, spiral) in BOUNDS.items():
            one, other = coarse[how], finest[how]
            assert one["heading_deg"] == pytest.approx(other["heading_deg"], abs=heading), (how, seconds)
            assert one["altitude_ft"] == pytest.approx(other["altitude_ft"], abs=altitude), (how, seconds)
            if other["spiral_s"] is not None:
                assert one["spiral_s"] == pytest.approx(other["spiral_s"], abs=spiral), (how, seconds)
        assert coarse["on the horizon"]["spiral_s"] is not None
        assert coarse["partial panel"]["spiral_s"] is None


@pytest.mark.long
def test_a_flight_in_steps_of_half_a_second_is_another_flight() -> None:
    # what the comparison above would show if the step were too long
    coarse, finer = flown(0.5), flown(0.1)
    assert abs(coarse["on the horizon"]["heading_deg"] - finer["on the horizon"]["heading_deg"]) > 0.6
