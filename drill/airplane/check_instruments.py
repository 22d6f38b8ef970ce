"""Published values of instruments: pitot-static, gyros, compass, battery; each by the functions of the step."""

from __future__ import annotations

import math
from dataclasses import replace

from drill.airplane import atmosphere, compass, electrical, gyros, motion, pitot_static
from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS
from drill.airplane.constants import DEG, KNOT, PEUKERT, RAD, STEP_S
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.given import CannotComputeError, Computed, Given, bank_deg, cas_kt, height_m, kind
from drill.airplane.world import World

_CALM = World()
_SETTLES_S = 60.0          # many times the lags of the pitot and static lines
_POINTS = {"north": 0.0, "northeast": 45.0, "east": 90.0, "southeast": 135.0, "south": 180.0, "southwest": 225.0,
           "west": 270.0, "northwest": 315.0,
           "n": 0.0, "ne": 45.0, "e": 90.0, "se": 135.0, "s": 180.0, "sw": 225.0, "w": 270.0, "nw": 315.0}


def _in_air(altitude_ft: float, cas_kt: float) -> motion.Motion:
    """Level flight at a pressure altitude and calibrated airspeed, as the lines feel it."""
    height = height_m(altitude_ft)
    level = motion.level(_CALM, height, 0.0, 100.0 * KNOT, 60.0, 0.0)
    return replace(level, pressure_pa=atmosphere.pressure_pa(height),
                   impact_pa=atmosphere.impact_of_cas_pa(cas_kt * KNOT))


def _blocked(g: Given, cas_then: float, cas_now: float, faults: Faults) -> pitot_static.PitotStatic:
    """The lines once settled, with what the faults close closed at one altitude and the airplane now at another."""
    then = g.number("altitude when blocked", "length", {"blocked", "block", "trapped", "closed"}, {"now"},
                    example="blocked_at_ft=6000")
    now = g.number("altitude now", "length", {"now", "present", "current"}, example="now_at_ft=6300")
    lines = pitot_static.start(FLOATS, _in_air(then, cas_then))
    there = _in_air(now, cas_now)
    for _ in range(round(_SETTLES_S / STEP_S)):
        lines = pitot_static.advance(_CALM, lines, there, Controls(), faults, 28.0)
    return lines


def _static_blocked_asi(g: Given) -> Computed:
    cas = cas_kt(g)
    return Computed(_blocked(g, cas, cas, Faults(static_block=1.0)).airspeed_kt, "speed")


def _static_blocked_vsi(g: Given) -> Computed:
    return Computed(_blocked(g, 100.0, 100.0, Faults(static_block=1.0)).vertical_speed_fpm, "vertical speed")


def _static_blocked_altimeter(g: Given) -> Computed:
    setting = g.maybe("pressure", {"setting", "set", "qnh"})
    lines = _blocked(g, 100.0, 100.0, Faults(static_block=1.0))
    return Computed(pitot_static.shown_altitude_ft(lines.static_pa, 1013.25 if setting is None else setting / 100.0),
                    "length")


def _pitot_blocked_asi(g: Given) -> Computed:
    drain_open = g.says("drain open", "open drain", "drain=open", "drain clear", "drain not blocked")
    if not drain_open and not g.says("drain"):
        raise CannotComputeError("what a blocked pitot makes depends on its drain, open or blocked: say which")
    if drain_open and g.maybe("length", {"blocked", "block", "trapped", "closed"}) is None:
        g.add("blocked_at_ft", "0")   # nothing is trapped: it does not matter where
    then = g.maybe("speed", {"blocked", "when", "trapped", "cas", "true"})
    if then is None and not drain_open:
        raise CannotComputeError("needs the airspeed when blocked (as kcas_when_blocked=110)")
    if g.maybe("length", {"now", "present", "current"}) is None and drain_open:
        g.add("now_at_ft", "0")
    cas = 100.0 if then is None else then
    lines = _blocked(g, cas, cas, Faults(pitot_ram=1.0, pitot_drain=0.0 if drain_open else 1.0))
    return Computed(lines.airspeed_kt, "speed")


def _cabin_pa(g: Given) -> float:
    for words, sign in (({"cabin", "static", "source"}, 1.0), ({"ambient"}, -1.0)):
        found = g.named("pressure", words)
        if found is not None and found.words[0] in words:
            lower = bool({"below", "lower", "less"} & set(found.words))
            return found.value * sign * (-1.0 if lower else 1.0)
    raise CannotComputeError("needs the cabin's pressure less the air's (as cabin_minus_ambient_Pa=-150)")


def _over_read(g: Given, reading: float, true: float, dimension: str) -> Computed:
    """The reading, or by how much it is too high or too low, as the row asks."""
    if g.says("under-read", "underread"):
        return Computed(true - reading, dimension)
    over = g.says("over-read", "overread", "error", "difference", "over read")
    return Computed(reading - true if over else reading, dimension)


def _alternate_altimeter(g: Given) -> Computed:
    true = g.number("pressure altitude", "length", {"altitude", "height", "true"},
                    example="true_pressure_altitude_ft=6000")
    static = atmosphere.pressure_pa(height_m(true)) + _cabin_pa(g)
    return _over_read(g, pitot_static.shown_altitude_ft(static, 1013.25), true, "length")


def _alternate_asi(g: Given) -> Computed:
    true = cas_kt(g)
    shown = pitot_static.indicated_kt(FLOATS, atmosphere.impact_of_cas_pa(true * KNOT), _cabin_pa(g))
    return _over_read(g, shown, true, "speed")


def _altimeter_setting(g: Given) -> Computed:
    true_setting = g.number("true setting", "pressure", {"true", "qnh", "correct", "actual", "right"}, {"set"},
                            example="true_setting_hPa=1013")
    set_to = g.number("setting", "pressure", {"set", "wrong", "setting"},
                      {"true", "qnh", "correct", "actual", "right"}, example="set_hPa=1023")
    true = g.number("altitude", "length", {"altitude", "height", "true"}, example="true_altitude_ft=3000")
    static = atmosphere.pressure_pa(height_m(true), 0.0, true_setting)
    return _over_read(g, pitot_static.shown_altitude_ft(static, set_to / 100.0), true, "length")


def _latitude(g: Given) -> float:
    found = g.number("latitude", "angle", {"latitude", "lat"}, {"nut"}, example="latitude_deg=40")
    south = g.named("angle", {"latitude", "lat"}, {"nut"})
    if south is not None and {"south", "s"} & set(south.words):
        found = -abs(found)
    if not -90.0 < found < 90.0:
        raise CannotComputeError(f"{found:g} is no latitude that can be flown at")
    return found


def _gyro_world(g: Given) -> World:
    nut = 0.0 if g.says("no nut", "without nut") else g.maybe("angle", {"nut"}) or 0.0
    return World(Airframe(heading_nut_latitude_deg=nut), Air(latitude_deg=_latitude(g)))


def _east_mps(g: Given) -> float | None:
    speed = g.named("speed", {"groundspeed", "gs", "speed", "east", "west"})
    if speed is None:
        return None
    track = g.maybe("angle", {"track", "course", "heading"})
    if track is not None:
        return speed.value * KNOT * math.sin(track * DEG)
    if "west" in speed.words or g.says("due west", "westbound", "flying west"):
        return -speed.value * KNOT
    if "east" in speed.words or g.says("due east", "eastbound", "flying east"):
        return speed.value * KNOT
    raise CannotComputeError("needs the way that the groundspeed goes (as east_groundspeed_kt=120)")


def _drifted(g: Given, dph: float) -> Computed:
    """The drift, or where a time is given, how far that goes."""
    seconds = g.maybe("time", {"time", "after", "elapsed", "duration"})
    return Computed(dph, "drift") if seconds is None else Computed(dph * seconds / 3600.0, "angle")


def _drift(g: Given) -> Computed:
    return _drifted(g, gyros.apparent_drift_dph(_gyro_world(g), _east_mps(g) or 0.0))


def _transport(g: Given) -> Computed:
    world, east = _gyro_world(g), _east_mps(g)
    if east is None:
        raise CannotComputeError("needs a groundspeed to the east (as east_groundspeed_kt=120)")
    return _drifted(g, gyros.apparent_drift_dph(world, east) - gyros.apparent_drift_dph(world, 0.0))


def _compass_reading(g: Given) -> Computed:
    dip = g.maybe("angle", {"dip", "inclination"})
    tan_dip = math.tan(dip * DEG) if dip is not None else World(air=Air(latitude_deg=_latitude(g))).tan_dip
    heading = g.point("magnetic heading", {"heading", "hdg"}, _POINTS, example="magnetic_heading_deg=90")
    bank = g.maybe("angle", {"bank", "roll"}) or 0.0
    bank = -abs(bank) if g.says("left turn", "left bank", "bank left") and bank > 0.0 else bank
    accel = g.maybe("acceleration", {"accel", "acceleration"}, {"decel"}) or 0.0
    accel -= abs(g.maybe("acceleration", {"decel", "deceleration", "decelerating"}) or 0.0)
    if accel > 0.0 and g.says("deceler"):
        accel = -accel
    reading, _ = compass.steady_rad(FLOATS, heading * DEG, bank * DEG, accel, tan_dip)
    return Computed(reading * RAD % 360.0, "angle")


def _compass_turn(g: Given) -> Computed:
    to = g.point("heading to turn to", {"to", "target"}, _POINTS, example="right_turn_to=north")
    left = g.says("left")
    if left == g.says("right"):
        raise CannotComputeError("needs the way of the turn (as right_turn_to=north)")
    lead = g.maybe("angle", {"lead"})
    bank = abs(bank_deg(g)) if lead is None else 2.0 * lead
    return Computed(compass.turn_lead_deg(to, bank, _latitude(g), not left), "angle")


def _battery(g: Given) -> Computed:
    capacity = g.number("capacity", "charge", {"capacity", "battery", "rated"}, example="capacity_Ah=24")
    current = g.number("current", "current", {"current", "load", "draw"}, example="current_A=24")
    hours = g.maybe("time", {"rated", "rate", "rating"})
    exponent = g.maybe("number", {"exponent", "k", "peukert"})
    if min(capacity, current) <= 0.0:
        raise CannotComputeError("capacity and current are more than nothing")
    lasts_min = electrical.life_min(current, capacity, 1.0 if hours is None else hours / 3600.0,
                                    PEUKERT if exponent is None else exponent)
    return Computed(60.0 * lasts_min, "time")


KINDS = (
    kind(_compass_turn, "compass", "rule|roll-out|rollout|lead|undershoot|overshoot"),
    kind(_compass_reading, "compass"),
    kind(_transport, "heading-indicator|gyro", "transport"),
    kind(_drift, "heading-indicator|gyro", "drift|wander|precession"),
    kind(_static_blocked_altimeter, "static", "blocked", "altimeter"),
    kind(_static_blocked_vsi, "static", "blocked", "vsi"),
    kind(_static_blocked_asi, "static", "blocked", "asi"),
    kind(_pitot_blocked_asi, "pitot", "blocked", "asi"),
    kind(_alternate_altimeter, "alternate", "altimeter"),
    kind(_alternate_asi, "alternate", "asi"),
    kind(_altimeter_setting, "altimeter", "setting|set"),
    kind(_battery, "battery"),
)
"""In the order in which they are tried."""
