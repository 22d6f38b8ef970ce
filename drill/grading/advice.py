"""What would have been right after a failure: built from what reveals it and from what still works at that moment."""

from __future__ import annotations

from collections.abc import Collection

from drill.flight.readings import FIELDS_OF, instrument_name
from drill.grading.affected import catalogued, listed, right_names, spoiled
from drill.grading.timeline import Onset

_TELLS = {"attitude_indicator": "bank", "turn_coordinator": "bank", "heading_indicator": "heading",
          "magnetic_compass": "heading", "navigation": "heading", "altimeter": "climb",
          "vertical_speed_indicator": "climb", "standby_instrument": "bank"}
_GAUGES = frozenset({"suction_gauge", "ammeter", "voltmeter", "tachometer", "radio", "transponder"})
_DARKENS = frozenset({"gps", "avionics bus"})   # parts whose failure the GPS shows by its own dark screen
_FLAGGED = frozenset({"turn_coordinator", "standby_instrument"})


def check(onset: Onset, bad: Collection[str]) -> str:
    """Return the look that shows the failure, as it is typed; empty if nothing that still works can.

    `bad` are all the instruments that cannot be believed then, by this failure and by others.
    """
    entry = catalogued(onset)
    reveals = () if entry is None else entry.revealed_by
    gauges = [each for each in reveals
              if each in _GAUGES or (each == "navigation" and onset.part in _DARKENS)]
    suspects = sorted(spoiled(onset) or ({_own(onset)} & FIELDS_OF.keys()) - _GAUGES)
    said = [f"look at the {_and([f'{instrument_name(each)}' for each in gauges])}"] if gauges else []
    for suspect in suspects:
        if suspect in reveals and suspect in _FLAGGED:
            said.append(f"look at the {instrument_name(suspect)}")
        sound = [each for each in reveals if each in _TELLS and each != suspect and each not in bad]
        alike = [each for each in sound if _TELLS[each] == _TELLS.get(suspect)]
        if alike or sound:
            said.append(f"compare the {instrument_name(suspect)} with the {instrument_name((alike or sound)[0])}")
    return "; ".join(said)


def fly_on(instrument: str, bad: Collection[str]) -> str:
    """Return what to fly by instead of `instrument`, while none of `bad` can be believed."""
    if instrument == "heading_indicator":
        return ("heading by the compass in steady flight, turns timed" if "magnetic_compass" not in bad
                else "heading by the GPS track, turns timed")
    heading = next((each for each in ("heading_indicator", "magnetic_compass") if each not in bad), "navigation")
    if instrument == "attitude_indicator" and "turn_coordinator" not in bad:
        return f"fly partial panel: {listed(('turn_coordinator', heading, 'altimeter', 'airspeed_indicator'))}"
    if instrument == "turn_coordinator" and "attitude_indicator" not in bad:
        return f"fly full panel: bank by the attitude indicator, heading by the {instrument_name(heading)}"
    return f"wings level by the {instrument_name(heading)}: it stands still when they are"


def report(onset: Onset, bad: Collection[str], *, facility: str, callsign: str, cloud: bool) -> str:
    """Return a whole report of the failure in one call: who, what failed, how far that limits, what is wanted."""
    names = right_names(onset)
    failed = onset.part if not names or onset.part.startswith("vacuum") else listed(names[0])
    if "attitude_indicator" in bad:
        limits = "partial panel"
    elif "heading_indicator" in bad:
        limits = "unable to hold headings"
    elif "turn_coordinator" in bad:
        limits = "unable to make timed turns"
    elif onset.part == "alternator":
        limits = "able to continue while the battery lasts"
    else:
        limits = f"limited panel without the {failed}"
    place = " in cloud" if cloud else ""
    return f"{facility}, {callsign}, lost our {failed}, {limits}{place}, request vectors to better weather"


def _own(onset: Onset) -> str:
    return onset.part.replace(" ", "_")


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', the '.join(names[:-1])} and the {names[-1]}"
