"""Instrument faces: pure functions from a quantised reading to strips of terminal cells."""

from __future__ import annotations

from importlib import import_module
from typing import cast

from drill.cockpit.faces.face import Face

_MODULES = {
    "attitude": ("FACE",), "airspeed": ("FACE",), "altimeter": ("FACE",), "vertical_speed": ("FACE",),
    "turn": ("FACE",), "heading": ("FACE",), "compass": ("FACE",), "course": ("FACE",), "gps": ("FACE",),
    "gauges": ("SUCTION", "AMMETER", "VOLTMETER", "TACHOMETER"), "clock": ("FACE",),
    "standby": ("FACE",), "lamps": ("AUTOPILOT", "RADIO", "TRANSPONDER"),
}


def all_faces() -> dict[str, Face]:
    """Return every face by the code of its instrument."""
    faces: dict[str, Face] = {}
    for module, names in _MODULES.items():
        loaded = import_module(f"drill.cockpit.faces.{module}")
        for name in names:
            face = cast(Face, getattr(loaded, name))
            faces[face.code] = face
    return faces
