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
    PEUKERT,
    STEP_S,
    SURFACE_S,
    SURFACE_VOLTS,
)
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.world import World

_SURFACE_KEPT = math.exp(-STEP_S / SURFACE_S)


@dataclass(frozen=True, slots=True)
class Electrical:
    """Battery charge (0 to 1), bus volts, ammeter (charge positive) and how long the GPS has had power (s)."""

    charge: Quantity
    surface_volts: Quantity
    volts: Quantity
    amps: Quantity
    gps_s: Quantity


def load_a(world: World, controls: Controls) -> Quantity:
    """Return what the switches that are on draw (A)."""
    standby = controls.standby_vacuum if world.airframe.standby_vacuum_fitted else 0.0
    return (
        LOADS_A["field"] * controls.alternator
        + LOADS_A["avionics"] * controls.avionics
        + LOADS_A["transmit"] * controls.transmitting * controls.avionics
        + LOADS_A["turn"] * controls.turn_breaker
        + LOADS_A["panel"]
        + LOADS_A["pitot_heat"] * controls.pitot_heat
        + LOADS_A["nav_lights"] * controls.nav_lights
        + LOADS_A["strobes"] * controls.strobes
        + LOADS_A["landing_light"] * controls.landing_light
        + LOADS_A["standby_vacuum"] * standby
    )


def open_volts(maths: Maths, charge: Quantity) -> Quantity:
    """Return the battery's voltage without load: 25.6 V full, 24.4 at half, 23.4 at a fifth, 20 empty."""
    upper = 24.4 + (charge - 0.5) * 2.4
    middle = 23.4 + (charge - 0.2) * (1.0 / 0.3)
    lower = 20.0 + charge * 17.0
    return maths.where(charge > 0.5, upper, maths.where(charge > 0.2, middle, lower))


def discharge_per_s(amps: Quantity) -> Quantity:
    """Return the charge (share of full) lost each second at a current (A): Peukert's law at the one-hour rate."""
    return (amps / BATTERY_AH) ** PEUKERT / 3600.0


def advance(world: World, was: Electrical, controls: Controls, faults: Faults, rpm: Quantity) -> Electrical:
    """Return the bus one step later."""
    m = world.maths
    drawn = load_a(world, controls)
    making = (controls.alternator > 0.5) & (faults.alternator > 0.5) & (rpm > ALTERNATOR_RPM)
    making = making & (drawn < ALTERNATOR_AMPS) & ((controls.battery > 0.5) | (was.volts > FIELD_VOLTS))
    joined = (controls.battery > 0.5) & (was.charge > 0.0)
    filling = m.where(joined, CHARGE_AMPS * (1.0 - was.charge), 0.0)
    charge = m.clip(
        was.charge + m.where(making, filling / (BATTERY_AH * 3600.0), m.where(joined, -discharge_per_s(drawn), 0.0))
        * STEP_S, 0.0, 1.0)
    surface = m.where(making & joined, SURFACE_VOLTS, was.surface_volts * _SURFACE_KEPT)
    resting = open_volts(m, charge) + surface - drawn * BATTERY_OHM * (2.0 - charge)
    volts = m.where(making, BUS_VOLTS, m.where(joined, resting, 0.0))
    amps = m.where(making, filling, m.where(joined, -drawn, 0.0))
    powered = (volts >= GPS_VOLTS) & (controls.avionics > 0.5)
    return Electrical(charge, surface, volts, amps, m.where(powered, m.least(was.gps_s + STEP_S, GPS_RESTART_S), 0.0))


def start(like: Quantity) -> Electrical:
    """Return a full battery on the alternator, everything running; shaped as `like`."""
    none = 0.0 * like
    return Electrical(none + 1.0, none + SURFACE_VOLTS, none + BUS_VOLTS, none, none + GPS_RESTART_S)


def gps_on(world: World, electrical: Electrical) -> Quantity:
    """Return 1.0 when the GPS shows a position; it wants its restart time after a loss of power."""
    if not world.airframe.gps_fitted:
        return 0.0 * electrical.volts
    return world.maths.where(electrical.gps_s >= GPS_RESTART_S - 0.5 * STEP_S, 1.0, 0.0)


def low_voltage_light(maths: Maths, electrical: Electrical) -> Quantity:
    """Return 1.0 when the light is on: a low bus that still has the volts to light it."""
    return maths.where((electrical.volts < LOW_VOLTS) & (electrical.volts > LIGHT_VOLTS), 1.0, 0.0)
