"""The airplane in the air: forces, gusts, stall, and the ways in which a flight can end.

Point-mass flight with quick modes for pitch and roll. What is held is the angle of attack, not the load factor, so
trim speed stability, the phugoid, the nose that drops in a bank and the spiral follow by themselves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane import atmosphere
from drill.airplane.airframe import Airframe
from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    BALL_GUST,
    BALL_PER_POWER,
    BALL_PER_ROLL,
    BALL_S,
    CARBURETTOR_HEAT_POWER,
    CEILING_M,
    FLAP_DRAG_PER_DEG,
    FLAP_LIFT_PER_DEG,
    FOOT,
    GUST_LENGTH_M,
    KNOT,
    LIFT_MIN,
    LIFT_ZERO_PITCH,
    PARKED_THROTTLE,
    PITCH_RESPONSE_S,
    PLUNGE_S,
    ROLL_GUST_RADPS,
    ROLL_GUST_S,
    ROLL_RESPONSE_S,
    SEA_DENSITY,
    SPIRAL_BANK_RAD,
    SPIRAL_DESCENT_MPS,
    STALL_DRAG,
    STEP_S,
    TAS_MIN_MPS,
    ULTIMATE_FACTOR,
    WING_DROP_AFTER_S,
    WING_DROP_RADPS,
    G,
)
from drill.airplane.controls import Controls
from drill.airplane.ground import STANDS, Taxi
from drill.airplane.world import World

_TURN = 2.0 * math.pi
_ROLL_GUST_KEPT = math.exp(-STEP_S / ROLL_GUST_S)
_ROLL_GUST_NEW = ROLL_GUST_RADPS * math.sqrt(1.0 - _ROLL_GUST_KEPT**2)
_PLUNGE = 1.0 - math.exp(-STEP_S / PLUNGE_S)
_BALL = 1.0 - math.exp(-STEP_S / BALL_S)


@dataclass(frozen=True, slots=True)
class Motion:
    """Where the airplane is in the air and how it moves; m, m/s, rad, rad/s. Right and up positive, flags 0 or 1."""

    tas_mps: Quantity
    path_rad: Quantity             # flight path above the horizon
    attack_rad: Quantity           # angle of attack from zero lift
    bank_rad: Quantity
    roll_radps: Quantity           # what the ailerons make
    bank_rate_radps: Quantity      # with gusts and the spiral mode
    heading_rad: Quantity          # magnetic, 0 <= x < 2 pi
    turn_radps: Quantity
    altitude_m: Quantity           # above mean sea level
    climb_mps: Quantity
    accel_mps2: Quantity           # along the path
    load_g: Quantity
    gust_along_mps: Quantity
    gust_up_mps: Quantity
    gust_slow_mps: Quantity        # the part of gust_up that carries the airplane
    gust_roll_radps: Quantity
    ball: Quantity
    pressure_pa: Quantity          # of the air outside
    impact_pa: Quantity
    throttle: Quantity
    rpm: Quantity
    fuel_gal: Quantity
    fuel_gph: Quantity
    stall_s: Quantity              # how long the wing has been stalled
    spiral: Quantity
    beyond_never_exceed: Quantity  # has been
    beyond_limit_load: Quantity    # has been
    broken: Quantity
    on_ground: Quantity            # flew into the ground
    parked: Quantity               # stands on the ground with the engine running
    ground_mps: Quantity           # speed of rolling over the ground; 0 in the air


def pitch_rad(maths: Maths, airframe: Airframe, motion: Motion) -> Quantity:
    """Return the pitch attitude (rad); zero at about 120 KTAS level."""
    zero = LIFT_ZERO_PITCH / airframe.lift_slope_per_rad
    return motion.path_rad + (motion.attack_rad - zero) * maths.cos(motion.bank_rad)


def turn_radps(maths: Maths, load_g: Quantity, bank_rad: Quantity, path_rad: Quantity, tas_mps: Quantity) -> Quantity:
    """Return the rate of turn (rad/s, right positive) of a coordinated turn at a load factor, bank and path."""
    return G * load_g * maths.sin(bank_rad) / (tas_mps * maths.most(maths.cos(path_rad), 0.1))


def yaw_radps(maths: Maths, bank_rad: Quantity, path_rad: Quantity, tas_mps: Quantity) -> Quantity:
    """Return the rate (rad/s, right positive) about the airplane's own upright axis, without sideslip.

    With no force from the side, gravity's part across the airplane is what turns it: V r = g cos(path) sin(bank). In
    a level turn this is the rate of turn times cos(bank); in a spiral, whatever the load, it keeps the spiral's side.
    """
    return G * maths.cos(path_rad) * maths.sin(bank_rad) / maths.most(tas_mps, TAS_MIN_MPS)


def standard_bank_rad(maths: Maths, turn_radps: Quantity, tas_mps: Quantity) -> Quantity:
    """Return the bank (rad) that turns at a rate (rad/s) in level flight at a true airspeed (m/s)."""
    return maths.atan(turn_radps * tas_mps / G)


def stall_kt(maths: Maths, airframe: Airframe, load_g: Quantity) -> Quantity:
    """Return the stall speed (KCAS) at a load factor."""
    return airframe.stall_kt * maths.sqrt(load_g)


def maneuvering_kt(maths: Maths, airframe: Airframe, mass_kg: Quantity) -> Quantity:
    """Return the maneuvering speed (KCAS) at a mass below the greatest (kg): as the stall speed, by its root."""
    return airframe.maneuvering_kt * maths.sqrt(mass_kg / airframe.mass_kg)


def thrust_n(maths: Maths, airframe: Airframe, power_w: Quantity, tas_mps: Quantity) -> Quantity:
    """Return the propeller's thrust (N) for a shaft power (W)."""
    beyond = maths.most(tas_mps - airframe.propeller_falls_mps, 0.0) / 60.0
    efficiency = airframe.propeller_efficiency * (1.0 - maths.exp(-tas_mps / airframe.propeller_speed_mps))
    return efficiency * maths.clip(1.0 - beyond * beyond, 0.2, 1.0) * power_w / maths.most(tas_mps, 20.0)


def full_power_w(airframe: Airframe, density: Quantity) -> Quantity:
    """Return the shaft power (W) at full throttle in air of a density (kg/m3): Gagg and Farrar's altitude factor."""
    return 1000.0 * airframe.power_kw * (1.132 * density / SEA_DENSITY - 0.132)


def engine_rpm(maths: Maths, airframe: Airframe, power_w: Quantity, tas_mps: Quantity) -> Quantity:
    """Return the engine's speed with a fixed propeller, by the balance of torque.

    At a throttle the engine gives a torque that hardly depends on its speed; the propeller takes as much as
    (n^2 - (aV)^2), for its blades bite less the faster it advances, and at n = aV it windmills. So the speed rises in a
    dive, past the red line with power on.
    """
    share = maths.most(power_w / (1000.0 * airframe.power_kw), 0.0)
    windmills = airframe.rpm_windmill_per_mps * tas_mps
    turned = maths.sqrt(airframe.rpm_static * airframe.rpm_static * share + windmills * windmills)
    return maths.most(turned, airframe.rpm_idle)


def fuel_flow_gph(airframe: Airframe, power_w: Quantity) -> Quantity:
    """Return the fuel flow (US gallons an hour) at a shaft power (W)."""
    share = power_w / (1000.0 * airframe.power_kw)
    return airframe.fuel_idle_gph + (airframe.fuel_full_gph - airframe.fuel_idle_gph) * share


def advance(world: World, was: Motion, controls: Controls, roll_order_radps: Quantity, attack_order_rad: Quantity,
            throttle: Quantity, engine: Quantity, rudder_forgotten: Quantity, wing_drop_side: Quantity,
            gusts: tuple[Quantity, ...], taxi: Taxi = STANDS) -> Motion:
    """Return the motion one step later.

    `roll_order_radps` is the roll rate that the ailerons ask for, `attack_order_rad` the angle of attack that elevator
    and trim hold, `engine` the share of its power that the engine makes, `gusts` four standard normal draws.
    `taxi` is how it rolls on the ground, where it is there.
    """
    m, frame, air = world.maths, world.airframe, world.air
    path, attack, bank, roll = was.path_rad, was.attack_rad, was.bank_rad, was.roll_radps
    tas = m.most(was.tas_mps, TAS_MIN_MPS)   # parked, none of what follows from it is used
    sigma = world.gust_mps

    kept = m.exp(-STEP_S / GUST_LENGTH_M * tas)
    fresh = sigma * m.sqrt(1.0 - kept * kept)
    along = kept * was.gust_along_mps + fresh * gusts[0]
    up = kept * was.gust_up_mps + fresh * gusts[1]
    slow = was.gust_slow_mps + _PLUNGE * (up - was.gust_slow_mps)
    gust_roll = _ROLL_GUST_KEPT * was.gust_roll_radps + sigma * _ROLL_GUST_NEW * gusts[2]

    temperature = atmosphere.temperature_k(was.altitude_m, air.temperature_deviation_c)
    pressure = atmosphere.pressure_pa(was.altitude_m, air.temperature_deviation_c, world.sea_pa)
    density = atmosphere.density(pressure, temperature)
    through = m.most(tas + along, 10.0)
    force = 0.5 * density * through * through * frame.wing_area_m2
    weight = frame.mass_kg * G

    lift_max = frame.lift_max + FLAP_LIFT_PER_DEG * controls.flaps_deg
    wanted = frame.lift_slope_per_rad * (attack + (up - slow) / through)
    lift = m.clip(wanted, LIFT_MIN, lift_max)
    stalled = wanted > lift_max
    stall_s = m.where(stalled, was.stall_s + STEP_S, 0.0)
    load = force * lift / weight

    burning = m.where(was.fuel_gal > 0.0, 1.0 - (1.0 - CARBURETTOR_HEAT_POWER) * controls.carburettor_heat, 0.0)
    power = throttle * engine * burning * full_power_w(frame, density)
    drag = force * (frame.drag_zero_lift + FLAP_DRAG_PER_DEG * controls.flaps_deg + frame.drag_induced * lift * lift
                    + m.where(stalled, STALL_DRAG, 0.0))
    sin_bank, cos_bank = m.sin(bank), m.cos(bank)
    cos_path = m.cos(path)
    accel = (thrust_n(m, frame, power, tas) - drag) / frame.mass_kg - G * m.sin(path)
    pull = G / tas
    path_rate = pull * (load * cos_bank - cos_path)
    turn = turn_radps(m, load, bank, path, tas)
    pitching = pull * (load - cos_bank * cos_path)
    climb = tas * m.sin(path) + slow

    drop = m.where(stall_s > WING_DROP_AFTER_S, WING_DROP_RADPS * wing_drop_side, 0.0)
    roll_rate = (roll_order_radps * m.clip(tas / 50.0, 0.4, 1.2) + drop - roll) / ROLL_RESPONSE_S
    bank_rate = roll + gust_roll + math.log(2.0) / frame.spiral_doubles_s * sin_bank

    stands = was.parked > 0.5
    fly = 1.0 - was.parked
    bank_next = bank + STEP_S * bank_rate * fly
    turn = m.where(stands, taxi.turn_radps, turn)
    heading_next = was.heading_rad + STEP_S * turn
    altitude_next = m.clip(was.altitude_m + STEP_S * climb * fly, -500.0, CEILING_M)
    tas_next = m.where(was.parked > 0.5, 0.0, m.clip(tas + STEP_S * accel, TAS_MIN_MPS, 250.0))
    impact = atmosphere.impact_pa(m.where(was.parked > 0.5, 0.0, through), pressure, temperature)
    cas = atmosphere.cas_mps(m, impact) / KNOT

    aileron = BALL_PER_ROLL * roll_order_radps
    rudder = BALL_PER_POWER * (throttle - 0.65) * rudder_forgotten
    ball = was.ball + _BALL * (aileron + rudder + BALL_GUST * sigma * gusts[3] - was.ball)
    ball = m.where(stands, was.ball + _BALL * (taxi.ball - was.ball), ball)

    ultimate_high, ultimate_low = ULTIMATE_FACTOR * frame.load_limit_g, ULTIMATE_FACTOR * frame.load_limit_negative_g
    apart = ((load > ultimate_high) | (load < ultimate_low) | (cas > frame.dive_kt)) & (was.parked < 0.5)
    falling = (climb < -SPIRAL_DESCENT_MPS) | (cas > frame.cruise_most_kt)
    steep = ((bank > SPIRAL_BANK_RAD) | (bank < -SPIRAL_BANK_RAD)) & falling
    overload = (load > frame.load_limit_g) | (load < frame.load_limit_negative_g)
    met_ground = (altitude_next <= air.ground_ft * FOOT) & (was.parked < 0.5)

    return Motion(
        tas_mps=tas_next,
        path_rad=m.clip(path + STEP_S * path_rate * fly, -1.45, 1.45),
        attack_rad=m.clip(
            attack + STEP_S * (attack_order_rad - PITCH_RESPONSE_S * pitching - attack) / PITCH_RESPONSE_S * fly,
            -0.3, 0.6),
        bank_rad=bank_next - _TURN * m.floor((bank_next + math.pi) / _TURN),
        roll_radps=roll + STEP_S * roll_rate * fly,
        bank_rate_radps=bank_rate * fly,
        heading_rad=heading_next - _TURN * m.floor(heading_next / _TURN),
        turn_radps=turn,
        altitude_m=altitude_next,
        climb_mps=climb * fly,
        accel_mps2=m.where(stands, taxi.accel_mps2, accel),
        load_g=m.where(was.parked > 0.5, 1.0, load),
        gust_along_mps=along,
        gust_up_mps=up,
        gust_slow_mps=slow,
        gust_roll_radps=gust_roll,
        ball=m.clip(ball, -1.0, 1.0),
        pressure_pa=pressure,
        impact_pa=impact,
        throttle=throttle,
        rpm=engine_rpm(m, frame, power, tas_next),
        fuel_gal=m.most(was.fuel_gal - was.fuel_gph * (STEP_S / 3600.0), 0.0),
        fuel_gph=fuel_flow_gph(frame, power),
        stall_s=m.where(was.parked > 0.5, 0.0, stall_s),
        spiral=m.where(steep, 1.0, 0.0),
        beyond_never_exceed=m.where(cas > frame.never_exceed_kt, 1.0, was.beyond_never_exceed),
        beyond_limit_load=m.where(overload & (was.parked < 0.5), 1.0, was.beyond_limit_load),
        broken=m.where(apart, 1.0, was.broken),
        on_ground=m.where(met_ground, 1.0, was.on_ground),
        parked=was.parked,
        ground_mps=taxi.speed_mps * was.parked,
    )


def level(world: World, altitude_m: Quantity, heading_rad: Quantity, cas_mps: Quantity, fuel_min: Quantity,
          parked: Quantity) -> Motion:
    """Return steady level flight at a calibrated airspeed, in trim, without gusts; or an airplane parked at idle."""
    m, frame, air = world.maths, world.airframe, world.air
    temperature = atmosphere.temperature_k(altitude_m, air.temperature_deviation_c)
    pressure = atmosphere.pressure_pa(altitude_m, air.temperature_deviation_c, world.sea_pa)
    density = atmosphere.density(pressure, temperature)
    stands = parked > 0.5
    tas = atmosphere.tas_mps(m, cas_mps, pressure, temperature)
    force = 0.5 * density * tas * tas * frame.wing_area_m2
    lift = frame.mass_kg * G / force
    drag = force * (frame.drag_zero_lift + frame.drag_induced * lift * lift)
    full = full_power_w(frame, density)
    throttle = m.where(stands, PARKED_THROTTLE, m.clip(drag / thrust_n(m, frame, full, tas), 0.0, 1.0))
    power = throttle * full
    gph = fuel_flow_gph(frame, power)
    tas = m.where(stands, 0.0, tas)
    none = 0.0 * tas
    return Motion(
        tas_mps=tas, path_rad=none, attack_rad=lift / frame.lift_slope_per_rad, bank_rad=none, roll_radps=none,
        bank_rate_radps=none, heading_rad=heading_rad, turn_radps=none, altitude_m=altitude_m, climb_mps=none,
        accel_mps2=none, load_g=none + 1.0, gust_along_mps=none, gust_up_mps=none, gust_slow_mps=none,
        gust_roll_radps=none, ball=none, pressure_pa=pressure,
        impact_pa=atmosphere.impact_pa(tas, pressure, temperature), throttle=throttle,
        rpm=engine_rpm(m, frame, power, tas), fuel_gal=gph * fuel_min / 60.0, fuel_gph=gph, stall_s=none, spiral=none,
        beyond_never_exceed=none, beyond_limit_load=none, broken=none, on_ground=none, parked=parked,
        ground_mps=none,
    )
