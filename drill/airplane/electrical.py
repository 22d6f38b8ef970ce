"""A simple 28-volt bus: alternator, battery, what draws on them, and what goes dark first."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    ALTERNATOR_AMPS,
    ALTERNATOR_RPM,
    BATTERY_AH,
    BATTERY_OHM,
    BUS_VOLTS,
    CHARGE_AMPS,
    FIELD_VOLTS,
    GPS_RESTART_S,
    GPS_VOLTS,
    LIGHT_VOLTS,
    LOADS_A,
    LOW_VOLTS,
    OVER_VOLTS,
    OVERCHARGE_A_PER_V,
    PEUKERT,
    RECEIVE_VOLTS,
    STEP_S,
    SURFACE_S,
    SURFACE_VOLTS,
    TRANSMIT_VOLTS,
    TRANSPONDER_VOLTS,
)
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.world import World

_SURFACE_KEPT = math.exp(-STEP_S / SURFACE_S)


@dataclass(frozen=True, slots=True)
class Electrical:
    """Battery charge (0 to 1), bus volts, ammeter (charge positive), how long the GPS has had power (s), field trip."""

    charge: Quantity
    surface_volts: Quantity
    volts: Quantity
    amps: Quantity
    gps_s: Quantity
    tripped: Quantity              # 1: too many volts have opened the field; alternator off and on closes it again


def load_a(world: World, controls: Controls, faults: Faults | None = None) -> Quantity:
    """Return what the switches that are on draw (A)."""
    frame = world.airframe
    radios = controls.avionics * (1.0 if faults is None else faults.avionics_power)
    standby_vacuum = controls.standby_vacuum if frame.standby_vacuum_fitted else 0.0
    standby = controls.standby_instrument if frame.standby_attitude_fitted else 0.0
    autopilot = controls.autopilot if frame.autopilot != "none" else 0.0
    turn = controls.turn_breaker if frame.turn_coordinator_fitted else 0.0
    gps = controls.gps if frame.gps_fitted else 0.0
    return (
        LOADS_A["field"] * controls.alternator
        + radios * (LOADS_A["avionics"] + LOADS_A["second_radio"] * controls.second_radio + LOADS_A["gps"] * gps
                    + LOADS_A["transponder"] * controls.transponder + LOADS_A["transmit"] * controls.transmitting)
        + LOADS_A["turn"] * turn
        + LOADS_A["panel"]
        + LOADS_A["pitot_heat"] * controls.pitot_heat
        + LOADS_A["nav_lights"] * controls.nav_lights
        + LOADS_A["strobes"] * controls.strobes
        + LOADS_A["beacon"] * controls.beacon
        + LOADS_A["landing_light"] * controls.landing_light
        + LOADS_A["standby_vacuum"] * standby_vacuum
        + LOADS_A["standby_attitude"] * standby
        + LOADS_A["autopilot"] * autopilot
    )


def open_volts(maths: Maths, charge: Quantity) -> Quantity:
    """Return the battery's voltage without load: 25.6 V full, 24.4 at half, 23.4 at a fifth, 20 empty."""
    upper = 24.4 + (charge - 0.5) * 2.4
    middle = 23.4 + (charge - 0.2) * (1.0 / 0.3)
    lower = 20.0 + charge * 17.0
    return maths.where(charge > 0.5, upper, maths.where(charge > 0.2, middle, lower))


def discharge_per_s(amps: Quantity, capacity_ah: Quantity = BATTERY_AH, rated_h: float = 1.0,
                    exponent: float = PEUKERT) -> Quantity:
    """Return the charge (share of full) lost each second at a current (A): Peukert's law.

    `capacity_ah` is the battery's when it is emptied in `rated_h` hours.
    """
    return (amps * rated_h / capacity_ah) ** exponent / (3600.0 * rated_h)


def advance(world: World, was: Electrical, controls: Controls, faults: Faults, rpm: Quantity) -> Electrical:
    """Return the bus one step later.

    The alternator carries the bus while its share of `ALTERNATOR_AMPS` is more than the load, or the battery does. With
    `faults.bus` 0 the main bus is cut off from both and everything on it is dark.
    """
    m = world.maths
    drawn = load_a(world, controls, faults)
    whole = faults.bus > 0.5
    tripped = m.where(controls.alternator < 0.5, 0.0, was.tripped)
    making = (controls.alternator > 0.5) & (tripped < 0.5) & (rpm > ALTERNATOR_RPM) & whole
    making = making & (drawn < ALTERNATOR_AMPS * faults.alternator)
    making = making & ((controls.battery > 0.5) | (was.volts > FIELD_VOLTS))
    made = BUS_VOLTS + faults.regulator_volts
    over = making & (made > OVER_VOLTS)
    making = making & m.no(over)
    joined = (controls.battery > 0.5) & (was.charge > 0.0) & whole
    taken = CHARGE_AMPS * (1.0 - was.charge) + OVERCHARGE_A_PER_V * m.most(faults.regulator_volts, 0.0)
    filling = m.where(joined, taken, 0.0)
    capacity = world.airframe.battery_ah * faults.battery_capacity
    charge = m.clip(
        was.charge + m.where(making, filling / (capacity * 3600.0),
                             m.where(joined, -discharge_per_s(drawn, capacity), 0.0)) * STEP_S, 0.0, 1.0)
    surface = m.where(making & joined, SURFACE_VOLTS, was.surface_volts * _SURFACE_KEPT)
    resting = open_volts(m, charge) + surface - drawn * BATTERY_OHM * (2.0 - charge)
    volts = m.where(making, made, m.where(joined, resting, 0.0))
    amps = m.where(making, filling, m.where(joined, -drawn, 0.0))
    powered = ((volts >= GPS_VOLTS) & (controls.avionics > 0.5) & (controls.gps > 0.5) & (faults.avionics_power > 0.5)
               & (faults.gps_signal > 0.5))
    gps_s = m.where(powered, m.least(was.gps_s + STEP_S, GPS_RESTART_S), 0.0)
    return Electrical(charge, surface, volts, amps, gps_s, m.where(over, 1.0, tripped))


def start(like: Quantity) -> Electrical:
    """Return a full battery on the alternator, everything running; shaped as `like`."""
    none = 0.0 * like
    return Electrical(none + 1.0, none + SURFACE_VOLTS, none + BUS_VOLTS, none, none + GPS_RESTART_S, none)


def gps_on(world: World, electrical: Electrical) -> Quantity:
    """Return 1.0 when the GPS shows a position; it wants its restart time after a loss of power."""
    if not world.airframe.gps_fitted:
        return 0.0 * electrical.volts
    return world.maths.where(electrical.gps_s >= GPS_RESTART_S - 0.5 * STEP_S, 1.0, 0.0)


def low_voltage_light(maths: Maths, electrical: Electrical, faults: Faults) -> Quantity:
    """Return 1.0 when the light is on: a low bus that still has the volts to light it."""
    low = (electrical.volts < LOW_VOLTS) & (electrical.volts > LIGHT_VOLTS) & (faults.low_voltage_light > 0.5)
    return maths.where(low, 1.0, 0.0)


def life_min(amps: float, capacity_ah: float = BATTERY_AH, rated_h: float = 1.0, exponent: float = PEUKERT) -> float:
    """Return how long (min) a full battery gives a constant current (A), by Peukert's law."""
    return float(1.0 / (60.0 * discharge_per_s(amps, capacity_ah, rated_h, exponent)))


def transmits(controls: Controls, faults: Faults, volts: float) -> bool:
    """Say whether somebody can be spoken to: by the first radio, or by the second where the first is dead."""
    first = faults.transmitter > 0.5
    return bool(volts >= TRANSMIT_VOLTS and controls.avionics > 0.5 and faults.avionics_power > 0.5
                and (first or controls.second_radio > 0.5))


def radio_on(world: World, electrical: Electrical, controls: Controls, faults: Faults) -> Quantity:
    """Return 1.0 when the receiver works; the transmitter wants more volts."""
    powered = (electrical.volts >= RECEIVE_VOLTS) & (controls.avionics > 0.5) & (faults.avionics_power > 0.5)
    return world.maths.where(powered, 1.0, 0.0)


def transponder_on(world: World, electrical: Electrical, controls: Controls, faults: Faults) -> Quantity:
    """Return 1.0 when the transponder answers."""
    powered = (electrical.volts >= TRANSPONDER_VOLTS) & (controls.avionics > 0.5) & (faults.avionics_power > 0.5)
    return world.maths.where(powered & (controls.transponder > 0.5) & (faults.transponder > 0.5), 1.0, 0.0)
