"""Failures of the autopilot itself; that it follows a leaning horizon is none of them."""

from __future__ import annotations

from drill.airplane.failure import AUTOPILOT, Effect, Failure

FAILURES = (
    Failure(
        "autopilot", "runs away", "The roll servo of the autopilot drives to one side and does not stop.",
        (), (AUTOPILOT,), (), "E", ("attitude_indicator", "turn_coordinator", "heading_indicator"),
        "With the autopilot engaged the airplane rolls on to one side, and every bank instrument shows it; switched "
        "off, the airplane is flown by hand as ever.",
        (Effect("autopilot_runs", 1.0, sided=True),),
    ),
    Failure(
        "autopilot", "lets go unannounced", "The autopilot lets go of the controls; only its light goes out.",
        (), (AUTOPILOT,), (), "E", ("autopilot", "altimeter", "heading_indicator"),
        "The autopilot's light is out, and the hands have the airplane.",
        (Effect("autopilot_holds", 0.0),),
    ),
)
