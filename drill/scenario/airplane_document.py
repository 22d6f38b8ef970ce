"""Edition 1 of the airplane document: a key for each field of Airframe, made from its name and unit, and checklists."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from drill.airplane.airframe import Airframe
from drill.scenario import units as u
from drill.scenario.document import PROSE
from drill.scenario.mappings import Key, Keys, ListOf, Named
from drill.scenario.shapes import Amount, Choice, Flag, Words

_UNIT_ENDINGS: Mapping[str, u.Unit] = {
    "_per_mps": u.PLAIN,
    "_per_rad": u.PER_RADIAN,
    "_kg": u.KILOGRAMS,
    "_m2": u.SQUARE_METRES,
    "_kw": u.KILOWATTS,
    "_gph": u.GALLONS_AN_HOUR,
    "_kt": u.KNOTS,
    "_mps": u.METRES_A_SECOND,
    "_g": u.LOAD,
    "_inhg": u.SUCTION,
    "_deg": u.DEGREES,
    "_s": u.SECONDS,
    "_ah": u.AMPERE_HOURS,
}
_KEPT_IN_THE_KEY = ("_per_mps",)  # a unit that nobody writes: the key says it and the number stands alone
_CHOICES = {"suction_gauge_at": ("gyros", "manifold"), "instruments": ("fresh", "worn"),
            "heading_drive": ("vacuum", "electric"), "autopilot": ("none", "horizon", "turn coordinator")}
_SPAN = 10.0  # an airplane ten times heavier or faster than the Larkspur is a slip of the pen


def _airframe_key(name: str, default: float | bool | str) -> Key:
    says = f"default {default}"
    if isinstance(default, str):
        return Key(_words(name), Choice(_CHOICES[name]), says)
    if isinstance(default, bool):
        return Key(_words(name), Flag(), says)
    ending = next((each for each in _UNIT_ENDINGS if name.endswith(each)), "")
    unit = _UNIT_ENDINGS[ending] if ending else u.RPM if name.startswith("rpm_") else u.PLAIN
    stem = name if ending in _KEPT_IN_THE_KEY else name.removesuffix(ending)
    if unit is u.DEGREES:
        return Key(_words(stem), Amount(unit, -90.0, 90.0), says)
    low, high = sorted((default / _SPAN, default * _SPAN))
    return Key(_words(stem), Amount(unit, low, high), says)


def _words(name: str) -> str:
    return name.replace("_", " ")


AIRFRAME_KEYS: Mapping[str, Key] = {
    each.name: _airframe_key(each.name, getattr(Airframe(), each.name)) for each in dataclasses.fields(Airframe)
}
"""By field of Airframe: the key that sets it."""

AIRPLANE = Keys(
    (
        Key("drill", Amount(u.PLAIN, 1, 1_000, whole=True), "edition of this format: 1", required=True),
        Key("title", Words(most=60), "its name", required=True),
        Key("description", PROSE, "what it is; says that it is invented"),
        *AIRFRAME_KEYS.values(),
        Key("checklists", Named(ListOf(Words()), "checklist"), "names, each with its steps"),
    )
)
