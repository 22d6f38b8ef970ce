"""Failures of the engine, and what they take along."""

from __future__ import annotations

from drill.airplane.constants import ENGINE_SHARE
from drill.airplane.failure import Effect, Failure, Parameter

_ENGINE = frozenset({"engine"})

FAILURES = (
    Failure(
        "engine", "loses power", "The engine makes only a part of its power.",
        (Parameter("share of its power", ENGINE_SHARE, "1"),), (_ENGINE,), (), "N",
        ("tachometer", "airspeed_indicator", "altimeter"),
        "The tachometer falls at the same throttle; altitude is held only with less airspeed, or not at all.",
        (Effect("engine", ENGINE_SHARE, graded=True),),
    ),
    Failure(
        "engine", "stops", "The engine stops; the propeller windmills.",
        (), (_ENGINE,), (), "N", ("tachometer", "altimeter", "suction_gauge", "ammeter"),
        "The tachometer falls to what the wind makes of it, the airplane descends. At gliding speed that is too slow "
        "for the alternator and for full suction: the ammeter shows a discharge and the gyros grow tired.",
        (Effect("engine", 0.0),),
    ),
)
