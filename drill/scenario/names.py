"""What things may rightly be called: equipment by any right name of its failure, places in any spelling near enough.

Conditions, acts and grading all ask here, so that one report is not right for one of them and wrong for another.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from rapidfuzz.distance import OSA

from drill.airplane.failures import CATALOGUE
from drill.language.meaning import ASSISTANCE, EQUIPMENT, IN_SIGHT, SWITCHES

_LETTERS_A_SLIP = 5  # so many letters excuse one wrong, missing or swapped; at most two

_ALSO_CODES = {
    "vacuum": "vacuum_system",
    "suction": "suction_gauge",
    "horizon": "attitude_indicator",
    "artificial_horizon": "attitude_indicator",
    "directional_gyro": "heading_indicator",
    "standby_attitude_indicator": "standby_instrument",
    "standby_attitude": "standby_instrument",
    "standby_horizon": "standby_instrument",
    "compass": "magnetic_compass",
    "visual_conditions": "vmc",
    "visual_weather": "vmc",
    "climb": "altitude_change",
    "descent": "altitude_change",
    "lower": "altitude_change",
    "higher": "altitude_change",
    "carburetor_heat": "carburettor_heat",
    "alternate_static_source": "alternate_static",
}


def code_of(words: str) -> str:
    """Return the code of a name written in words: `no-gyro vectors` is no_gyro_vectors."""
    code = "_".join(words.lower().replace("-", " ").split())
    return _ALSO_CODES.get(code, code)


def words_of(code: str) -> str:
    """Return a code as words: attitude_indicator is `attitude indicator`, no_gyro_vectors is `no-gyro vectors`."""
    return code.replace("no_gyro", "no-gyro").replace("_", " ")


def all_words(codes: Iterable[str]) -> list[str]:
    """Return many codes as words, in their order."""
    return [words_of(code) for code in codes]


@cache
def _right_names(equipment: str) -> tuple[frozenset[str], ...]:
    names = {frozenset({equipment})}
    for failure in CATALOGUE.values():
        right = tuple(failure.named_right_as)
        if right and right[0] == {equipment}:
            names.update(frozenset(each) for each in (*right, *failure.also_right))
    return tuple(sorted(names, key=sorted))


def rightly_named(equipment: str, said: frozenset[str]) -> bool:
    """Say whether `said` (codes of EQUIPMENT) names what has failed when `equipment` is what an author means.

    The name itself is right, and so is every set of names that the catalogue allows for a failure whose first right
    name is `equipment`: a dead vacuum system is rightly reported as "lost the attitude and heading indicators".
    """
    return any(name <= said for name in _right_names(equipment))


def same_place(one: str, other: str) -> bool:
    """Say whether two spellings mean the same place, as typed by a person: `wendel` is Wendle."""
    one, other = one.casefold().strip(), other.casefold().strip()
    slips = OSA.distance(one, other, score_cutoff=2)
    return bool(one) and bool(other) and slips <= min(2, min(len(one), len(other)) // _LETTERS_A_SLIP)


INSTRUMENTS = tuple(
    name
    for name in IN_SIGHT
    if name
    in {
        "attitude_indicator",
        "heading_indicator",
        "turn_coordinator",
        "airspeed_indicator",
        "altimeter",
        "vertical_speed_indicator",
        "magnetic_compass",
        "suction_gauge",
        "ammeter",
        "voltmeter",
        "tachometer",
        "clock",
        "navigation",
        "standby_instrument",
    }
)
"""What stands on the panel."""

COVERABLE = tuple(name for name in INSTRUMENTS
                  if name not in {"airspeed_indicator", "altimeter", "vertical_speed_indicator"})
"""What can be covered; by the others the hands hold speed and height, and they stay in sight."""

REFERENCES = ("partial_panel", "full_panel", *(name for name in INSTRUMENTS if name not in {
    "suction_gauge", "ammeter", "voltmeter", "tachometer"}), "autopilot")
"""What the hands can be told to fly by."""

TOLD = (
    "callsign",
    "facility",
    "impairment",
    "position",
    "altitude",
    "heading",
    "souls",
    "fuel",
    "intentions",
    "conditions",
)
"""Elements of a call that ATC can have been told."""

URGENCIES = ("anything", "pan-pan", "emergency", "mayday")
"""What can have been declared, weakest first; a stronger word satisfies a weaker one."""

__all__ = [
    "ASSISTANCE",
    "COVERABLE",
    "EQUIPMENT",
    "INSTRUMENTS",
    "IN_SIGHT",
    "REFERENCES",
    "SWITCHES",
    "TOLD",
    "URGENCIES",
    "all_words",
    "code_of",
    "rightly_named",
    "same_place",
    "words_of",
]
