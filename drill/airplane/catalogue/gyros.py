"""Failures of the instruments themselves: attitude, heading, turn, compass."""

from __future__ import annotations

from drill.airplane.constants import (
    BEARING_S,
    BEARING_TIMES,
    COMPASS_OFF_DEG,
    HEADING_DRIFT_DPH,
    LEAN_DPM,
    NEEDLE_OFF_DPS,
    STANDBY_LEAN_DPM,
)
from drill.airplane.failure import ATTITUDE, COMPASS, HEADING, STANDBY, TURN, Effect, Failure, Parameter

FAILURES = (
    Failure(
        "attitude indicator", "leans", "The attitude indicator precesses to one side faster than it erects itself.",
        (Parameter("drift", LEAN_DPM, "deg/min"),), (ATTITUDE,), (), "V",
        ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "A bank creeps in on the horizon while suction, heading indicator and turn coordinator are in order.",
        (Effect("attitude_drift_dpm", LEAN_DPM, sided=True, graded=True),),
    ),
    Failure(
        "attitude indicator", "bearing wears out", "The rotor bearing of the attitude indicator breaks up.",
        (Parameter("friction", BEARING_TIMES, "times"), Parameter("over", BEARING_S, "s")),
        (ATTITUDE,), (), "V", ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "The horizon gets slow to come back after turns, then leans, with normal suction.",
        (Effect("attitude_friction", BEARING_TIMES, over_s=BEARING_S, graded=True),),
    ),
    Failure(
        "attitude indicator", "rotor stops", "The rotor of the attitude indicator gets no air: its port has closed.",
        (), (ATTITUDE,), (), "V", ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "As with a dead pump the horizon leans a few degrees in the first minutes, then ever faster, but suction is "
        "normal and the heading indicator stays good.",
        (Effect("attitude_stopped", 1.0),),
    ),
    Failure(
        "attitude indicator", "tumbles", "The gyro of the attitude indicator is knocked over.",
        (), (ATTITUDE,), (), "V", ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "The horizon spins and nods for five seconds, stops far over to one side, and with suction stands upright "
        "again some minutes later.",
        (Effect("attitude_tumbles", 1.0),),
    ),
    Failure(
        "attitude indicator", "pitch bar sticks", "The horizon bar of the attitude indicator sticks in pitch.",
        (), (ATTITUDE,), (), "V", ("altimeter", "vertical_speed_indicator", "airspeed_indicator"),
        "The bar stays where it was while altimeter, vertical speed and airspeed show a climb or a descent; bank is "
        "right.",
        (Effect("attitude_pitch_stuck", 1.0),),
    ),
    Failure(
        "heading indicator", "drifts", "The heading indicator creeps away from the heading.",
        (Parameter("drift", HEADING_DRIFT_DPH, "deg/h"),), (HEADING,), (), "V",
        ("magnetic_compass", "turn_coordinator", "navigation"),
        "Heading indicator and compass part company by a degree and a half each minute, in straight flight.",
        (Effect("heading_drift_dph", HEADING_DRIFT_DPH, sided=True, graded=True),),
    ),
    Failure(
        "heading indicator", "seizes", "The card of the heading indicator sticks fast.",
        (), (HEADING,), (), "V", ("turn_coordinator", "magnetic_compass", "navigation"),
        "The card does not move in a turn.",
        (Effect("heading_seized", 1.0),),
    ),
    Failure(
        "heading indicator", "rotor stops", "The rotor of the heading indicator gets no air: its port has closed.",
        (), (HEADING,), (), "V", ("turn_coordinator", "magnetic_compass", "navigation"),
        "Nothing for some minutes; then the card wanders and in turns is dragged along, while suction and horizon are "
        "in order.",
        (Effect("heading_stopped", 1.0),),
    ),
    Failure(
        "turn coordinator", "loses power", "The turn coordinator loses its electrical supply.",
        (), (TURN,), (), "E", ("turn_coordinator", "breakers", "attitude_indicator", "heading_indicator"),
        "The flag comes out; the needle grows weak within a minute or two and then stays in the middle.",
        (Effect("turn_power", 0.0),),
    ),
    Failure(
        "turn coordinator", "rotor stops", "The rotor of the turn coordinator stops while its supply is good.",
        (), (TURN,), (), "E", ("attitude_indicator", "heading_indicator", "magnetic_compass"),
        "No flag. The needle shows too little in turns, and at last nothing; in straight flight nothing is to be seen.",
        (Effect("turn_rotor", 0.0),),
    ),
    Failure(
        "turn coordinator", "shows a turn that is not there", "The turn coordinator shows a turn in straight flight.",
        (Parameter("needle off", NEEDLE_OFF_DPS, "deg/s"),), (TURN,), (), "E",
        ("attitude_indicator", "heading_indicator", "magnetic_compass"),
        "The needle stands to one side while horizon, heading indicator and compass show straight flight.",
        (Effect("turn_bias_dps", NEEDLE_OFF_DPS, sided=True, graded=True),),
    ),
    Failure(
        "magnetic compass", "sticks", "The card of the magnetic compass sticks.",
        (), (COMPASS,), (), "M", ("heading_indicator", "turn_coordinator", "navigation"),
        "The card does not swing in turbulence and does not move in a turn.",
        (Effect("compass_stuck", 1.0),),
    ),
    Failure(
        "magnetic compass", "is off", "Something magnetic lies by the compass and draws its card aside.",
        (Parameter("off", COMPASS_OFF_DEG, "deg"),), (COMPASS,), (), "M",
        ("heading_indicator", "navigation"),
        "Compass and heading indicator part company at once and stay apart, in straight flight, by the same angle.",
        (Effect("compass_deviation_deg", COMPASS_OFF_DEG, sided=True, graded=True),),
    ),
    Failure(
        "standby attitude", "shows a bank that is not there",
        "The level reference of the standby attitude display creeps to one side, and it does not notice.",
        (Parameter("drift", STANDBY_LEAN_DPM, "deg/min"),), (STANDBY,), (), "E",
        ("attitude_indicator", "turn_coordinator", "heading_indicator"),
        "A bank creeps in on the standby display, without a flag, while attitude indicator, turn coordinator and "
        "heading indicator show straight flight.",
        (Effect("standby_drift_dpm", STANDBY_LEAN_DPM, sided=True, graded=True),),
    ),
    Failure(
        "standby attitude", "flags itself", "The standby attitude display finds itself faulty.",
        (), (STANDBY,), (), "E", ("standby_instrument",),
        "The standby display is crossed out.",
        (Effect("standby_attitude", 0.0),),
    ),
)
