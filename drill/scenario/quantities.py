"""The closed list of quantities that a condition may compare, and of facts that it may name."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number that is observed each second."""

    name: str
    unit: str        # the unit of the observed value: deg, ft, kt, s, nm, inHg, V, A, rpm, dps, fpm, g, min, share
    says: str        # one line for an author


QUANTITIES: tuple[Quantity, ...] = (
    Quantity("true bank", "deg", "bank of the airplane, without sign"),
    Quantity("true pitch", "deg", "pitch of the airplane, nose up positive"),
    Quantity("true heading", "deg", "magnetic heading of the airplane"),
    Quantity("true altitude", "ft", "altitude of the airplane above mean sea level"),
    Quantity("true airspeed", "kt", "calibrated airspeed of the airplane"),
    Quantity("true vertical speed", "fpm", "climb positive"),
    Quantity("true turn rate", "dps", "turn rate of the airplane, without sign"),
    Quantity("load factor", "g", "load factor"),
    Quantity("height", "ft", "height above the ground"),
    Quantity("heading off", "deg", "angle between true heading and the assigned heading, without sign"),
    Quantity("altitude off", "ft", "distance of the true altitude from the assigned one, without sign"),
    Quantity("shown bank", "deg", "bank on the attitude indicator, without sign"),
    Quantity("shown pitch", "deg", "pitch on the attitude indicator"),
    Quantity("standby bank", "deg", "bank on the standby attitude indicator, without sign"),
    Quantity("shown heading", "deg", "heading indicator"),
    Quantity("shown compass", "deg", "magnetic compass"),
    Quantity("shown altitude", "ft", "altimeter"),
    Quantity("shown airspeed", "kt", "airspeed indicator"),
    Quantity("shown vertical speed", "fpm", "vertical speed indicator"),
    Quantity("shown turn rate", "dps", "turn coordinator, without sign"),
    Quantity("suction", "inHg", "suction gauge"),
    Quantity("volts", "V", "voltmeter"),
    Quantity("amps", "A", "ammeter, charge positive"),
    Quantity("rpm", "rpm", "tachometer"),
    Quantity("track", "deg", "GPS ground track"),
    Quantity("groundspeed", "kt", "GPS groundspeed"),
    Quantity("course needle", "share", "course needle from the centre, without sign; 1 is full scale"),
    Quantity("time", "s", "time since the flight began"),
    Quantity("time in phase", "s", "time since the phase was entered"),
    Quantity("fuel", "min", "fuel left, in minutes"),
    Quantity("distance to", "nm", "distance to a field"),
    Quantity("bearing to", "deg", "magnetic bearing to a field"),
)

BY_NAME = {quantity.name: quantity for quantity in QUANTITIES}

STATES = ("in cloud", "stalled", "in a spiral", "broken", "on the ground", "autopilot on", "parked", "taxiing")
"""What `Fact("is", ...)` may name."""
