"""What a failure reaches: the instruments that it spoils, what it may rightly be called, and who flies by them."""

from __future__ import annotations

from collections.abc import Mapping

from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
)
from drill.airplane.failures import CATALOGUE, Failure
from drill.flight.events import Trace
from drill.flight.readings import WHOLE_PANEL
from drill.grading.timeline import Onset, number
from drill.language.meaning import Action, Checklist, Compare, Cover, Diagnose, FlyBy, Look, Switch, Told, Transmit

FLOWN_BY = frozenset({"attitude_indicator", "heading_indicator", "turn_coordinator", "standby_instrument"})
"""Instruments that the hands can be told to trust and that can be left for others."""

CONTROL_BY = frozenset({"attitude_indicator", "turn_coordinator", "standby_instrument"})
"""Those of them that bank and pitch are flown by: with a bad one control is lost, with a bad heading only the way."""

_VACUUM_DRIVEN = frozenset({"attitude_indicator", "heading_indicator"})
_INSTEAD_OF = {
    "attitude_indicator": ("partial_panel", "turn_coordinator", "altimeter", "airspeed_indicator",
                           "vertical_speed_indicator", "standby_instrument"),
    "heading_indicator": ("partial_panel", "magnetic_compass", "navigation"),
    "turn_coordinator": ("full_panel", "attitude_indicator"),
    "standby_instrument": ("full_panel", "partial_panel", "attitude_indicator", "turn_coordinator"),
}
_SPOILS = {
    "pitot": frozenset({"airspeed_indicator"}),
    "static_system": frozenset({"altimeter", "vertical_speed_indicator", "airspeed_indicator"}),
    "airspeed_indicator": frozenset({"airspeed_indicator"}),
    "altimeter": frozenset({"altimeter"}),
    "vertical_speed_indicator": frozenset({"vertical_speed_indicator"}),
}
_RESTORES = {"vacuum pump": "standby_vacuum", "vacuum filter": "standby_vacuum", "vacuum line": "standby_vacuum",
             "vacuum regulator": "standby_vacuum", "alternator": "alternator", "static ports": "alternate_static",
             "pitot tube": "pitot_heat", "pitot heat": "pitot_heat"}
_GAUGES_OF = {
    "vacuum_system": frozenset({"suction_gauge"}), "alternator": frozenset({"ammeter", "voltmeter"}),
    "engine": frozenset({"tachometer"}), "panel": frozenset(WHOLE_PANEL),
}


def catalogued(onset: Onset) -> Failure | None:
    """Return the catalogue's entry for the failure, None for a part that this version does not know."""
    return CATALOGUE.get((onset.part, onset.how))


def says(onset: Onset, came_back: bool = False) -> str:
    """Return in one sentence what the part did; of one that `came_back` not that it was for good."""
    entry = catalogued(onset)
    if onset.says or entry is None:
        return onset.says or f"{onset.part}: {onset.how}"
    return entry.says.replace("from then on", "for a time") if came_back else entry.says


def right_names(onset: Onset) -> tuple[frozenset[str], ...]:
    """Return the sets of equipment names, each of which names the failure rightly."""
    entry = catalogued(onset)
    if entry is None:
        return (frozenset({onset.part.replace(" ", "_")}),)
    return (*entry.named_right_as, *entry.also_right)


def rightly_names(onset: Onset, said: frozenset[str]) -> bool:
    """Say whether `said` holds one of the failure's right names."""
    return any(names <= said for names in right_names(onset))


def spoiled(onset: Onset) -> frozenset[str]:
    """Return the instruments that can no longer be believed."""
    named = frozenset(name for names in right_names(onset) for name in names)
    if "vacuum_system" in named:
        return _VACUUM_DRIVEN
    return (named & FLOWN_BY).union(*(_SPOILS.get(name, frozenset()) for name in named))


def flown_by(trace: Trace) -> frozenset[str]:
    """Return the instruments that the airplane is flown by now: the hands', or those of the autopilot that flies."""
    if number(trace.shown, "autopilot_on") < 0.5:
        return trusted(trace.controls)
    if "attitude_indicator" in trace.reference.split("+"):
        return _VACUUM_DRIVEN
    return trusted({**trace.controls, "bank_by": BY_TURN})


def trusted(controls: Mapping[str, float]) -> frozenset[str]:
    """Return the instruments that the hands are told to fly by, of those that can be left for others."""
    found = set()
    if number(controls, "bank_by") == BY_ATTITUDE or number(controls, "pitch_by") == BY_HORIZON:
        found.add("attitude_indicator")
    if number(controls, "bank_by") == BY_TURN:
        found.add("turn_coordinator")
    if number(controls, "bank_by") == BY_STANDBY or number(controls, "pitch_by") == BY_STANDBY_HORIZON:
        found.add("standby_instrument")
    if number(controls, "heading_by") == BY_HEADING_INDICATOR:
        found.add("heading_indicator")
    return frozenset(found)


def responds(onset: Onset, action: Action, told: Told) -> str:
    """Return in words how `action` deals with the failure; empty if it does not. `told` is what ATC knew after it."""
    bad = spoiled(onset)
    match action:
        case Cover(what=what) if what in bad:
            return f"covered the {spoken(what)}"
        case FlyBy(what=what) if leaves(what, bad):
            return f"flew by {spoken(what)}"
        case Transmit(meaning=call) if call.equipment and rightly_names(onset, told.equipment):
            return "told ATC"
        case Diagnose(failed=failed) if rightly_names(onset, frozenset(failed)):
            return f"named it: {listed(failed)}"
        case Switch(what="autopilot", to="off") if bad & _VACUUM_DRIVEN:
            return "switched the autopilot off"
        case Switch(what=what) if _RESTORES.get(onset.part) == what:
            return f"switched {spoken(what)}"
        case Checklist(name=str(name)) if right_names(onset) and _part_word(onset) in name.lower():
            return f"read the checklist {name}"
    return ""


def leaves(reference: str, bad: frozenset[str]) -> bool:
    """Say whether flying by `reference` (as in `FlyBy.what`) means flying by something else than one of `bad`."""
    return any(reference in _INSTEAD_OF.get(instrument, ()) for instrument in bad)


def looked_at(action: Action) -> frozenset[str]:
    """Return the instruments that an act of looking brings before the eyes; empty if it is none.

    The whole panel is every instrument on it, a system is its gauges.
    """
    match action:
        case Look(at=at):
            seen: tuple[str, ...] = (at,)
        case Compare(what=what):
            seen = what
        case _:
            return frozenset()
    return frozenset().union(*(_GAUGES_OF.get(each, frozenset({each})) for each in seen))


def spoken(name: str) -> str:
    """Return an instrument's or a reference's name as it is said."""
    return name.replace("_", " ")


def listed(names: tuple[str, ...] | frozenset[str]) -> str:
    """Return `names` as a list in words."""
    words = [spoken(name) for name in (sorted(names) if isinstance(names, frozenset) else names)]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else "nothing"


def _part_word(onset: Onset) -> str:
    return onset.part.split()[0].lower()
