"""Failures of the electrical system and of what hangs on it."""

from __future__ import annotations

from drill.airplane.constants import BATTERY_OLD_SHARE, BELT_SHARE, REGULATOR_VOLTS, VOLTAGE_REGULATOR_S
from drill.airplane.failure import Effect, Failure, Parameter

_ELECTRICAL = frozenset({"electrical_system"})
_ALTERNATOR = frozenset({"alternator"})
_BATTERY = frozenset({"battery"})
_NAVIGATION = frozenset({"navigation"})
_RADIO = frozenset({"radio"})
_TRANSPONDER = frozenset({"transponder"})

FAILURES = (
    Failure(
        "alternator", "quits", "The alternator stops charging; the battery carries everything from then on.",
        (), (_ALTERNATOR, _ELECTRICAL), (), "E", ("ammeter", "voltmeter"),
        "The ammeter shows a discharge at once, the low-voltage light comes within minutes, and in the end radios, "
        "navigation and turn coordinator go.",
        (Effect("alternator", 0.0),),
    ),
    Failure(
        "alternator", "belt slips", "The alternator's belt slips and it gives only a small part of its current.",
        (Parameter("share of its current", BELT_SHARE, "1"),), (_ALTERNATOR, _ELECTRICAL), (), "E",
        ("ammeter", "voltmeter"),
        "Nothing with little switched on. With lights or pitot heat the bus falls to the battery, the ammeter shows a "
        "discharge, and it comes back when they are switched off.",
        (Effect("alternator", BELT_SHARE, graded=True),),
    ),
    Failure(
        "voltage regulator", "sticks high", "The voltage regulator no longer holds the alternator back.",
        (Parameter("volts too many", REGULATOR_VOLTS, "V"), Parameter("over", VOLTAGE_REGULATOR_S, "s")),
        (_ALTERNATOR, _ELECTRICAL), (), "E", ("voltmeter", "ammeter"),
        "The voltmeter climbs, the ammeter shows a heavy charge; above 32 volts the field trips, and from then on the "
        "battery carries everything. Alternator off and on brings it back until it trips again.",
        (Effect("regulator_volts", REGULATOR_VOLTS, over_s=VOLTAGE_REGULATOR_S, graded=True),),
    ),
    Failure(
        "battery", "is old", "The battery holds only a part of what it should.",
        (Parameter("share of its capacity", BATTERY_OLD_SHARE, "1"),), (_BATTERY, _ELECTRICAL), (), "E",
        ("voltmeter",),
        "Nothing, while the alternator works. On the battery alone the volts fall in half the time or less.",
        (Effect("battery_capacity", BATTERY_OLD_SHARE, graded=True),),
    ),
    Failure(
        "main bus", "loses all power", "The main bus is cut off from alternator and battery.",
        (), (_ELECTRICAL,), (), "E", ("voltmeter", "attitude_indicator", "magnetic_compass"),
        "Radios, GPS, transponder and lights go dark at once; the turn coordinator's flag comes out and its needle "
        "dies within a minute or two. Air-driven and pressure instruments go on.",
        (Effect("bus", 0.0),),
    ),
    Failure(
        "avionics bus", "loses power", "The avionics bus has no power; everything else electrical has.",
        (), (_ELECTRICAL,), (_RADIO, _NAVIGATION), "E", ("radio", "transponder", "navigation"),
        "Radios, GPS and transponder go dark together, with volts and turn coordinator in order.",
        (Effect("avionics_power", 0.0),),
    ),
    Failure(
        "low voltage light", "does not light", "The bulb of the low-voltage light has burnt out.",
        (), (), (), "E", ("voltmeter", "ammeter"),
        "Nothing, until the volts are low: then the light stays dark.",
        (Effect("low_voltage_light", 0.0),),
    ),
    Failure(
        "gps", "loses its signal", "The GPS receiver has lost the satellites.",
        (), (_NAVIGATION,), (), "E", ("navigation",),
        "The screen gives no position and the course needle shows its flag; all else electrical works.",
        (Effect("gps_signal", 0.0),),
    ),
    Failure(
        "transmitter", "goes dead", "The transmitter of the first radio goes dead; the receiver works.",
        (), (_RADIO,), (), "E", ("radio",),
        "Nothing is to be seen. You hear others and nobody answers; the second radio is heard.",
        (Effect("transmitter", 0.0),),
    ),
    Failure(
        "transponder", "goes dead", "The transponder no longer answers.",
        (), (_TRANSPONDER,), (), "E", ("transponder",),
        "Its lamp is dark; radar no longer shows altitude and code.",
        (Effect("transponder", 0.0),),
    ),
)
