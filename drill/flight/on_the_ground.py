"""Acts on the ground with the engine running: taxiing, stopping, engine speed, and what has to wait for the air."""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.controls import HOLD_HEADING, HOLD_RPM
from drill.flight.cockpit import Cockpit, Effect, Seen, done, refused
from drill.language.meaning import Action, Power, Taxi

IDLE_RPM = 800.0
TAXI_RPM = 1000.0
TAXI_KT = 8.0           # a brisk walk (common practice, no source)
TAXI_TURN_DEG = 90      # where nothing else is said: taxiways mostly cross squarely (the author's choice)
_CREEPS_RPM = 1200.0    # with the brakes off; above, nobody lets it roll
_IN_THE_AIR = frozenset({"altitude", "airspeed", "pitch", "go_around", "track", "level_wings", "turn_rate"})


def refusal(action: Action, seen: Seen) -> str:
    """Say why `action` cannot be done here: an order to fly on the ground, or to taxi in the air. Empty if it can."""
    if seen.parked and action.kind in _IN_THE_AIR:
        return "you are on the ground"
    if seen.parked and action.kind == "turn" and seen.groundspeed_kt < 1.0:
        return "you are standing: taxi first, or there is nothing to turn"
    return "you are in the air" if not seen.parked and action.kind == "taxi" else ""


def taxi(cockpit: Cockpit, action: Taxi, seen: Seen) -> Effect:  # noqa: ARG001 - every act has the same shape
    """Roll at a walking pace, straight ahead until a turn is ordered."""
    rpm = TAXI_RPM if seen.shown["rpm"] > _CREEPS_RPM else cockpit.controls.rpm
    ahead = {"lateral": HOLD_HEADING, "heading_deg": seen.true_heading_deg, "direction": 0.0}
    return done(cockpit, "brakes off, rolling at a walking pace", taxi_kt=TAXI_KT, power=HOLD_RPM, rpm=rpm, **ahead)


def stopped(cockpit: Cockpit, also: str = "") -> Effect:
    """Stop and set the brakes."""
    said = "stopping, brakes set" if cockpit.controls.taxi_kt > 0.0 else "brakes set"
    return done(cockpit, f"{also}{said}", taxi_kt=0.0)


def power(cockpit: Cockpit, action: Power, seen: Seen) -> Effect:
    """Set the engine's speed against the brakes; above taxiing speed the airplane stands."""
    frame = seen.scenario.airplane.airframe
    now = float(cockpit.controls.rpm)
    to = {"idle": IDLE_RPM, "full": frame.rpm_static, "more": now + 200.0, "less": now - 200.0}.get(
        action.change or "", float(action.to_rpm or now))
    if not frame.rpm_idle <= to <= frame.rpm_static:
        if action.change is None:
            return refused(cockpit, f"on the ground the engine runs between {frame.rpm_idle:.0f} and "
                                    f"{frame.rpm_static:.0f} RPM")
        to = min(max(to, frame.rpm_idle), frame.rpm_static)
    halts = to > _CREEPS_RPM and cockpit.controls.taxi_kt > 0.0
    said = f"{'stopped, brakes set; ' if halts else ''}engine at {to:.0f} RPM"
    return done(cockpit, said, power=HOLD_RPM, rpm=to, **({"taxi_kt": 0.0} if halts else {}))


def decide(cockpit: Cockpit, plan: str) -> Effect:
    """Take a decision on the ground: stop, go back, shut down, or go."""
    words = plan.replace("_", " ").replace("vfr", "VFR")
    planned = replace(cockpit, plan=words)
    if plan == "stop_taxi":
        return stopped(planned)
    if plan in ("abort_takeoff", "shut_down"):
        return stopped(planned, f"decided: {words}; ")
    if plan == "return_to_ramp":
        return done(planned, "decided: return to the ramp; rolling back", taxi_kt=TAXI_KT, power=HOLD_RPM, rpm=TAXI_RPM)
    return Effect(planned, f"decided: {words}")
