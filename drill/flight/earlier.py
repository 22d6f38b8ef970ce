"""What traces of earlier editions of the model do not have, and what stands for it: a thing not fitted, or healthy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict

from drill.airplane.controls import Controls

_CONTROLS = asdict(Controls())

ADDED: Mapping[str, Mapping[str, float]] = {
    "shown": {
        "standby_bank_deg": 0.0, "standby_pitch_deg": 0.0, "standby_flag": 1.0, "standby_testing": 0.0,
        "autopilot_on": 0.0, "radio_on": 1.0, "transponder_on": 1.0,
    },
    "true": {"pitot_ice": 0.0, "icing": 0.0, "battery_charge": 1.0, "parked": 0.0},
    "controls": {name: _CONTROLS[name] for name in (
        "rpm", "taxi_kt", "autopilot", "beacon", "gps", "transponder", "second_radio", "standby_instrument")},
}
"""By part of a trace: the fields that edition 2 of the model added to those of edition 1, each with its stand-in."""


def completed(part: str, numbers: Mapping[str, float]) -> dict[str, float]:
    """Return the numbers of a trace's part with stand-ins for all that edition 2 added, if none of it is there."""
    added = ADDED.get(part, {})
    if any(name in numbers for name in added):
        return dict(numbers)
    return {**added, **numbers}
