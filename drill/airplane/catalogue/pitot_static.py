"""Failures of the pitot and static systems and of the three instruments that hang on them."""

from __future__ import annotations

from drill.airplane.constants import (
    ALTIMETER_STICK_FT,
    PITOT_CLOSES_S,
    STATIC_CLOSED_LAG_S,
    STATIC_LEAK_SHARE,
    VERTICAL_SPEED_OFF_FPM,
)
from drill.airplane.failure import Effect, Failure, Parameter

PITOT = frozenset({"pitot"})
STATIC = frozenset({"static_system"})
AIRSPEED = frozenset({"airspeed_indicator"})
ALTIMETER = frozenset({"altimeter"})
VERTICAL_SPEED = frozenset({"vertical_speed_indicator"})

_NOT_BY_PITOT = ("attitude_indicator", "altimeter", "vertical_speed_indicator", "tachometer", "navigation")
_NOT_BY_STATIC = ("attitude_indicator", "tachometer", "navigation")

FAILURES = (
    Failure(
        "pitot tube", "closes little by little",
        "The opening of the pitot tube closes little by little while its drain stays open; heat does not clear it.",
        (Parameter("over", PITOT_CLOSES_S, "s"),), (PITOT,), (AIRSPEED,), "P", _NOT_BY_PITOT,
        "The airspeed sags over some minutes and at last reads nothing, while pitch, power and altitude are as before.",
        (Effect("pitot_ram", 1.0, over_s=PITOT_CLOSES_S, graded=True),),
    ),
    Failure(
        "pitot tube", "blocked with its drain open",
        "The opening of the pitot tube is blocked; the pressure in the line bleeds away through the drain.",
        (), (PITOT,), (AIRSPEED,), "P", _NOT_BY_PITOT,
        "The airspeed falls to nothing within seconds, while pitch, power and altitude are as before.",
        (Effect("pitot_ram", 1.0),),
    ),
    Failure(
        "pitot tube", "blocked with its drain",
        "Opening and drain of the pitot tube are blocked together; the pressure in the line is trapped.",
        (), (PITOT,), (AIRSPEED,), "P", _NOT_BY_PITOT,
        "In level flight the needle stands dead still, even in rough air; in a climb it rises and in a descent it "
        "falls as an altimeter does.",
        (Effect("pitot_ram", 1.0), Effect("pitot_drain", 1.0)),
    ),
    Failure(
        "pitot heat", "does not heat", "The heating element of the pitot tube has burnt out.",
        (), (PITOT,), (AIRSPEED,), "P", _NOT_BY_PITOT,
        "Nothing, until ice forms: then the airspeed sags over some minutes though the switch is on. The ammeter may "
        "show that nothing draws when it is switched.",
        (Effect("pitot_heat", 0.0),),
    ),
    Failure(
        "static ports", "close", "The static ports are closed; the pressure in the static line is trapped.",
        (), (STATIC, ALTIMETER | VERTICAL_SPEED), (ALTIMETER, AIRSPEED, VERTICAL_SPEED), "S", _NOT_BY_STATIC,
        "Altimeter and vertical speed stand dead still. The airspeed reads too little above the altitude where it "
        "happened and too much below it. With the alternate source all three come back.",
        (Effect("static_block", 1.0),),
    ),
    Failure(
        "static ports", "close partly", "The static ports are all but closed; pressure comes through them slowly.",
        (Parameter("lag", STATIC_CLOSED_LAG_S, "s"),),
        (STATIC, ALTIMETER | VERTICAL_SPEED), (ALTIMETER, AIRSPEED, VERTICAL_SPEED), "S", _NOT_BY_STATIC,
        "In level flight nothing. In a climb or descent altimeter and vertical speed come late, and the airspeed is "
        "off until they have caught up.",
        (Effect("static_lag_s", STATIC_CLOSED_LAG_S, graded=True),),
    ),
    Failure(
        "static line", "breaks in the cabin", "The static line has come apart and feels the cabin's lower pressure.",
        (Parameter("share of impact pressure", STATIC_LEAK_SHARE, "1"),),
        (STATIC,), (ALTIMETER, AIRSPEED, VERTICAL_SPEED), "S", _NOT_BY_STATIC,
        "The vertical speed shows a short climb; from then on the altimeter reads some fifty feet and the airspeed a "
        "few knots too much. The alternate source changes nothing.",
        (Effect("static_leak", STATIC_LEAK_SHARE, graded=True),),
    ),
    Failure(
        "airspeed indicator", "sticks", "The needle of the airspeed indicator sticks where it is.",
        (), (AIRSPEED,), (PITOT,), "P", _NOT_BY_PITOT,
        "The needle stands dead still, also when pitch and power change; in a climb it does not rise.",
        (Effect("airspeed_stuck", 1.0),),
    ),
    Failure(
        "altimeter", "sticks and jumps", "The hands of the altimeter stick and move in jumps.",
        (Parameter("jump", ALTIMETER_STICK_FT, "ft"),), (ALTIMETER,), (), "S",
        ("vertical_speed_indicator", "attitude_indicator", "navigation"),
        "In level flight the altimeter stands still for long; in a climb or descent it moves by jumps while the "
        "vertical speed is steady.",
        (Effect("altimeter_stick_ft", ALTIMETER_STICK_FT, graded=True),),
    ),
    Failure(
        "vertical speed indicator", "is off zero", "The needle of the vertical speed indicator is off its zero.",
        (Parameter("needle off", VERTICAL_SPEED_OFF_FPM, "ft/min"),), (VERTICAL_SPEED,), (), "S",
        ("altimeter", "attitude_indicator", "airspeed_indicator"),
        "The needle shows a climb or descent while the altimeter holds.",
        (Effect("vertical_speed_off_fpm", VERTICAL_SPEED_OFF_FPM, sided=True, graded=True),),
    ),
)
