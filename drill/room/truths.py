"""What is true of the flight as it stands, for the facilitator alone. Pure; no view of wall, phone or desk has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drill.flight.events import Event, Trace
from drill.grading.debrief import FailureStory
from drill.grading.grade import grade
from drill.scenario.model import Scenario


@dataclass(frozen=True, slots=True)
class TrueNow:
    """How the airplane really flies, as of the last second. Right and up are positive; headings are magnetic."""

    t_s: float
    bank_deg: float
    pitch_deg: float
    heading_deg: float
    altitude_ft: float
    airspeed_kt: float
    vertical_speed_fpm: float


def true_now(events: Sequence[Event]) -> TrueNow | None:
    """Return how the airplane of a flight with these `events` flies now; None before its first second."""
    last = next((each for each in reversed(events) if isinstance(each, Trace)), None)
    return None if last is None else TrueNow(last.t, *(last.true[name] for name in (
        "bank_deg", "pitch_deg", "heading_deg", "altitude_ft", "airspeed_kt", "vertical_speed_fpm")))


def failures_so_far(scenario: Scenario, seed: int, events: Sequence[Event]) -> tuple[FailureStory, ...]:
    """Return what has failed up to now, and from when it could have been known. Some tenths of a second's work."""
    return grade(scenario, events, seed).failures
