"""The airplane as a whole: begin a flight, take one step, read the panel, look at the truth.

Order of a step: hands and autopilot, gusts and motion, vacuum, gyros, standby attitude, compass, bus, pitot-static,
position. A flight that has broken up or met the ground stays as it was.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np

from drill.airplane import (
    atmosphere,
    autopilot,
    compass,
    electrical,
    ground,
    gyros,
    hands,
    motion,
    navigation,
    pitot_static,
    solid_state,
    vacuum,
)
from drill.airplane.arith import ARRAYS, FLOATS, Maths, Quantity, Truth, compass_deg
from drill.airplane.autopilot import Autopilot
from drill.airplane.compass import Compass
from drill.airplane.constants import DEG, FOOT, FPM, KNOT, MILE, PARKED_THROTTLE, RAD, STEP_S
from drill.airplane.controls import BY_HEADING_INDICATOR, HOLD_AIRSPEED, Controls
from drill.airplane.draws import Draws
from drill.airplane.electrical import Electrical
from drill.airplane.faults import Faults
from drill.airplane.gyro_state import Gyros
from drill.airplane.hands import Hands, Shown
from drill.airplane.motion import Motion
from drill.airplane.navigation import Navigation
from drill.airplane.panel import Panel, Truths
from drill.airplane.pitot_static import PitotStatic
from drill.airplane.solid_state import Standby
from drill.airplane.vacuum import Vacuum
from drill.airplane.world import World

_Part = TypeVar("_Part")


@dataclass(frozen=True, slots=True)
class Start:
    """How a flight begins: steady and level, or parked with the engine at idle; floats, or arrays of shape (N,)."""

    altitude_ft: Quantity = 5000.0     # as the rightly set altimeter reads it; parked, the ground's is used
    heading_deg: Quantity = 0.0
    airspeed_kt: Quantity = 110.0      # calibrated
    fuel_min: Quantity = 180.0         # at the consumption of the start
    on_ground: Quantity = 0.0          # 1.0: parked
    gyros_running: Quantity = 1.0      # 0.0: rotors at rest and the engine just started


@dataclass(frozen=True, slots=True)
class State:
    """Everything about the airplane and its hands at one moment. All leaves but `step` are floats, or arrays (N,)."""

    step: int                          # steps since the flight began
    motion: Motion
    vacuum: Vacuum
    gyros: Gyros
    standby: Standby
    compass: Compass
    electrical: Electrical
    pitot_static: PitotStatic
    navigation: Navigation
    hands: Hands
    autopilot: Autopilot


def _each(part: _Part, change: Any) -> _Part:
    """Return `part` with `change(leaf)` for every leaf of it, nested parts included."""
    values = [getattr(part, field.name) for field in fields(part)]  # type: ignore[arg-type]
    return type(part)(*(
        value if isinstance(value, int) else _each(value, change) if hasattr(value, "__dataclass_fields__")
        else change(value)
        for value in values
    ))


def _kept(maths: Maths, live: Truth, now: State, was: State) -> State:
    """Return `now` where a flight is live and `was` where it has ended."""
    if maths is FLOATS:
        return now if live else replace(was, step=now.step)
    if maths is ARRAYS and live.all():
        return now

    def choose(new: Any, old: Any) -> Any:
        pairs = ((getattr(new, field.name), getattr(old, field.name)) for field in fields(new))
        return type(new)(*(
            a if isinstance(a, int) else choose(a, b) if hasattr(a, "__dataclass_fields__") else maths.where(live, a, b)
            for a, b in pairs
        ))

    chosen: State = choose(now, was)
    return chosen


def _shown(world: World, state: State, controls: Controls, faults: Faults) -> Shown:
    m, flown, gyro, ports = world.maths, state.motion, state.gyros, state.pitot_static
    gps = state.navigation
    track = navigation.direction_deg(m, gps.gps_north_mps, gps.gps_east_mps)
    if state.step:   # a dark screen shows nothing new
        track = m.where(electrical.gps_on(world, state.electrical) > 0.5, track, state.hands.track_deg)
    pitch_deg = motion.pitch_rad(m, world.airframe, flown) * RAD
    flag = solid_state.flag(world, state.standby, faults)
    standby_bank, standby_pitch = solid_state.shown_deg(world, state.standby, flown, pitch_deg, flag)
    return Shown(
        gyros.shown_bank_deg(m, gyro, flown),
        gyro.pitch_shown_deg,
        gyro.heading_deg,
        gyro.turn_dps,
        pitot_static.shown_altitude_ft(ports.hands_pa, controls.altimeter_setting_hpa),
        ports.airspeed_kt,
        ports.vertical_speed_fpm,
        compass.shown_deg(world, state.compass, controls, faults),
        track,
        flown.rpm,
        1.0 if world.airframe.turn_coordinator_fitted else 0.0,
        standby_bank,
        standby_pitch,
        flag,
    )


def begin(world: World, start: Start, draws: Draws) -> State:
    """Return an airplane in trim with hands that know its pitch and power; N of them when `draws` is for N seeds."""
    m, count = world.maths, draws.count
    if (count is None) is not (m is FLOATS):
        raise ValueError("draws for one seed go with FLOATS, draws for a sequence of seeds with ARRAYS")

    def shaped(value: Any) -> Any:
        return float(value) if count is None else np.array(np.broadcast_to(value, (count,)), dtype=float)

    parked = shaped(start.on_ground)
    altitude = m.where(parked > 0.5, shaped(world.air.ground_ft), shaped(start.altitude_ft)) * FOOT
    heading = compass_deg(m, shaped(start.heading_deg))
    speed, fuel = shaped(start.airspeed_kt) * KNOT, shaped(start.fuel_min)
    flown = motion.level(world, altitude, heading * DEG, speed, fuel, parked)
    running = shaped(start.gyros_running)
    mine = draws.instruments
    state = State(
        step=0,
        motion=flown,
        vacuum=vacuum.steady(world, flown.rpm),
        gyros=gyros.start(world, heading, mine, running, motion.pitch_rad(m, world.airframe, flown) * RAD),
        standby=solid_state.start(heading, mine, running),
        compass=compass.start(heading * DEG),
        electrical=electrical.start(altitude),
        pitot_static=pitot_static.start(m, flown),
        navigation=navigation.start(world, flown),
        hands=None,  # type: ignore[arg-type]
        autopilot=None,  # type: ignore[arg-type]
    )
    shown = _shown(world, state, Controls(altimeter_setting_hpa=world.air.pressure_hpa), Faults())
    held = hands.start(shown, flown.attack_rad * RAD, flown.throttle)
    return _each(replace(state, hands=held, autopilot=autopilot.start(held)), shaped)


def step(world: World, state: State, controls: Controls, faults: Faults, draws: Draws) -> State:
    """Return the state `STEP_S` seconds later."""
    m, was, count = world.maths, state.motion, state.step
    mine = draws.instruments
    live = (was.broken < 0.5) & (was.on_ground < 0.5)
    volts = state.electrical.volts
    shown = _shown(world, state, controls, faults)
    stands = was.parked > 0.5   # on the ground a pilot steers by what is outside
    by_eye = replace(shown, heading_deg=m.where(stands, was.heading_rad * RAD, shown.heading_deg))
    heading_by = m.where(stands, BY_HEADING_INDICATOR, autopilot.heading_by(world, state.autopilot, controls))
    flying, to_turn = hands.fly(m, world.airframe, controls, heading_by, by_eye, state.hands, draws.readings(count),
                                draws.scans(count))
    servos = autopilot.advance(world, state.autopilot, controls, faults, shown, was, flying, to_turn, volts)
    flying = autopilot.through(world, servos, state.hands, flying)
    forgotten = m.where(controls.attention < 0.4, 1.0, 0.0)
    throttle = m.where(stands & (controls.power == HOLD_AIRSPEED), PARKED_THROTTLE, flying.throttle)
    flown = motion.advance(world, was, controls, flying.roll_dps * DEG, (flying.trim_deg + flying.pull_deg) * DEG,
                           throttle, faults.engine, forgotten, mine.wing_drop_side, draws.gusts(count),
                           ground.roll(m, controls, was.ground_mps, to_turn))
    suction = vacuum.advance(world, state.vacuum, controls, faults, flown.rpm, volts)
    pitch_deg = motion.pitch_rad(m, world.airframe, flown) * RAD
    spun = gyros.advance(world, state.gyros, flown, pitch_deg, controls, faults, mine, suction.gyros_inhg, volts,
                         state.navigation.east_mps)
    now = State(
        count + 1,
        flown,
        suction,
        spun,
        solid_state.advance(world, state.standby, flown, shown.airspeed_kt, shown.altitude_ft, controls, faults, mine,
                            volts),
        compass.advance(world, state.compass, flown, faults),
        electrical.advance(world, state.electrical, controls, faults, flown.rpm),
        pitot_static.advance(world, state.pitot_static, flown, controls, faults, volts),
        navigation.advance(world, state.navigation, flown),
        flying,
        servos,
    )
    return _kept(m, live, now, state)


def read(world: World, state: State, controls: Controls, faults: Faults, draws: Draws) -> Panel:  # noqa: ARG001
    """Return what the instruments show now. Reading errors are the hands' and are not in it.

    `draws` is not used: whoever reads has the same five things in hand as whoever steps, and an instrument whose
    display is itself random can be added without a change for its readers.
    """
    m, flown, gyro, bus = world.maths, state.motion, state.gyros, state.electrical
    shown = _shown(world, state, controls, faults)
    gps = state.navigation
    on = electrical.gps_on(world, bus)
    return Panel(
        airspeed_kt=shown.airspeed_kt,
        altitude_ft=shown.altitude_ft,
        vertical_speed_fpm=shown.vertical_speed_fpm,
        altimeter_setting_hpa=controls.altimeter_setting_hpa,
        bank_deg=shown.bank_deg,
        pitch_deg=shown.pitch_deg,
        attitude_tumbled=gyro.tumbled,
        heading_deg=shown.heading_deg,
        turn_rate_dps=shown.turn_dps,
        turn_flag=gyros.turn_flag(world, controls, faults, bus.volts),
        ball=flown.ball,
        compass_deg=shown.compass_deg,
        suction_inhg=state.vacuum.gauge_inhg,
        low_vacuum_light=vacuum.light(world, state.vacuum, faults),
        volts=bus.volts,
        amps=bus.amps,
        low_voltage_light=electrical.low_voltage_light(m, bus, faults),
        rpm=flown.rpm,
        standby_bank_deg=shown.standby_bank_deg,
        standby_pitch_deg=shown.standby_pitch_deg,
        standby_flag=shown.standby_flag,
        standby_testing=solid_state.testing(world, state.standby),
        autopilot_on=state.autopilot.on,
        radio_on=electrical.radio_on(world, bus, controls, faults),
        transponder_on=electrical.transponder_on(world, bus, controls, faults),
        track_deg=shown.track_deg,
        groundspeed_kt=m.hypot(gps.gps_north_mps, gps.gps_east_mps) / KNOT,
        gps_on=on,
        course_deviation=navigation.needle(m, gps, controls),
        course_flag=1.0 - on,
        clock_s=state.step * STEP_S,
    )


def truths(world: World, state: State, controls: Controls) -> Truths:  # noqa: ARG001
    """Return what the airplane really does now.

    `controls` is not used: it keeps the arguments those of `read`, so that panel and truth are asked for alike.
    """
    m, flown, gps = world.maths, state.motion, state.navigation
    return Truths(
        bank_deg=flown.bank_rad * RAD,
        pitch_deg=motion.pitch_rad(m, world.airframe, flown) * RAD,
        heading_deg=flown.heading_rad * RAD,
        turn_rate_dps=flown.turn_radps * RAD,
        airspeed_kt=atmosphere.cas_mps(m, flown.impact_pa) / KNOT,
        true_airspeed_kt=flown.tas_mps / KNOT,
        altitude_ft=flown.altitude_m / FOOT,
        height_ft=flown.altitude_m / FOOT - world.air.ground_ft,
        vertical_speed_fpm=flown.climb_mps / FPM,
        load_factor_g=flown.load_g,
        track_deg=navigation.direction_deg(m, gps.north_mps, gps.east_mps),
        groundspeed_kt=m.hypot(gps.north_mps, gps.east_mps) / KNOT,
        north_nm=gps.north_m / MILE,
        east_nm=gps.east_m / MILE,
        rpm=flown.rpm,
        throttle=flown.throttle,
        pitot_ice=pitot_static.iced(state.pitot_static),
        icing=pitot_static.icing_here(world, flown),
        battery_charge=state.electrical.charge,
        parked=flown.parked,
        fuel_min=flown.fuel_gal / flown.fuel_gph * 60.0,
        attitude_rotor=state.gyros.attitude_rotor,
        heading_rotor=state.gyros.heading_rotor,
        stalled=m.where(flown.stall_s > 0.0, 1.0, 0.0),
        spiral=flown.spiral,
        beyond_never_exceed=flown.beyond_never_exceed,
        beyond_limit_load=flown.beyond_limit_load,
        broken=flown.broken,
        on_ground=flown.on_ground,
    )


def align_heading(state: State, to_deg: Quantity) -> State:
    """Return the state with the heading indicator's card set to a heading (deg) with its knob."""
    shape = 0.0 * state.gyros.heading_deg
    return replace(state, gyros=replace(state.gyros, heading_deg=(to_deg + shape) % 360.0))
