"""Failures of the vacuum system."""

from __future__ import annotations

from drill.airplane.constants import (
    CLOG_S,
    CLOG_SHARE,
    LEAK_S,
    LEAK_SHARE,
    PUMP_WEAK_SHARE,
    REGULATOR_HIGH_INHG,
    REGULATOR_LOW_INHG,
    REGULATOR_S,
)
from drill.airplane.failure import ATTITUDE, HEADING, VACUUM, Effect, Failure, Parameter

FAILURES = (
    Failure(
        "vacuum pump", "shaft shears", "The drive shaft of the vacuum pump shears; there is no suction from then on.",
        (), (VACUUM, ATTITUDE | HEADING), (ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass", "altimeter", "airspeed_indicator"),
        "The suction gauge falls to nothing within seconds. The horizon leans a few degrees in the first minutes, then "
        "ever faster; the heading indicator goes a little later.",
        (Effect("pump", 0.0),),
    ),
    Failure(
        "vacuum pump", "weakens", "The vacuum pump is worn and no longer keeps up at low engine speed.",
        (Parameter("suction lost", PUMP_WEAK_SHARE, "1"),), (VACUUM,), (), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "Suction is in the green at cruise power and falls when power is reduced; then the gyros grow sluggish.",
        (Effect("pump", 1.0 - PUMP_WEAK_SHARE, graded=True),),
    ),
    Failure(
        "vacuum filter", "clogs", "The filter of the vacuum system clogs little by little.",
        (Parameter("area blocked", CLOG_SHARE, "1"), Parameter("over", CLOG_S, "s")),
        (VACUUM, ATTITUDE | HEADING), (ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "The suction gauge sinks over many minutes (or does not, where it is tapped before the filter); late, the "
        "horizon and the heading indicator grow slow and wrong.",
        (Effect("clog", CLOG_SHARE, over_s=CLOG_S, graded=True),),
    ),
    Failure(
        "vacuum line", "leaks", "A hose of the vacuum system comes loose and leaks.",
        (Parameter("suction lost", LEAK_SHARE, "1"), Parameter("over", LEAK_S, "s")),
        (VACUUM, ATTITUDE | HEADING), (ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "The suction gauge sinks within minutes, further when power is reduced.",
        (Effect("leak", LEAK_SHARE, over_s=LEAK_S, graded=True),),
    ),
    Failure(
        "vacuum regulator", "sets too low", "The vacuum regulator lets in too much air and holds too little suction.",
        (Parameter("suction lost", REGULATOR_LOW_INHG, "inHg"), Parameter("over", REGULATOR_S, "s")),
        (VACUUM,), (), "V", ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "The suction gauge sinks below the green and stays there at any power; the gyros turn too slowly and the "
        "horizon is slow to come back after turns.",
        (Effect("regulator_inhg", -REGULATOR_LOW_INHG, over_s=REGULATOR_S, graded=True),),
    ),
    Failure(
        "vacuum regulator", "sets too high", "The vacuum regulator has stuck shut and holds too much suction.",
        (Parameter("suction added", REGULATOR_HIGH_INHG, "inHg"), Parameter("over", REGULATOR_S, "s")),
        (VACUUM,), (), "V", ("suction_gauge",),
        "The suction gauge stands above the green at cruise power; the gyros show nothing amiss, but they wear.",
        (Effect("regulator_inhg", REGULATOR_HIGH_INHG, over_s=REGULATOR_S, graded=True),),
    ),
    Failure(
        "suction gauge", "sticks", "The needle of the suction gauge sticks where it is.",
        (), (), (), "V", ("attitude_indicator", "turn_coordinator", "heading_indicator"),
        "The gauge shows the same at any power, whatever the gyros do.",
        (Effect("suction_gauge", 0.0),),
    ),
    Failure(
        "low vacuum light", "does not light", "The bulb of the low-vacuum light has burnt out.",
        (), (), (), "E", ("suction_gauge",),
        "Nothing, until the suction is low: then the light stays dark.",
        (Effect("low_vacuum_light", 0.0),),
    ),
    Failure(
        "standby vacuum", "does not work", "The standby vacuum pump does not run when it is switched on.",
        (), (), (), "E", ("suction_gauge",),
        "Nothing, until it is needed: then the suction does not come back.",
        (Effect("standby_vacuum", 0.0),),
    ),
)
