"""The vacuum system: engine-driven pump, regulator, filter, an electric standby pump, gauge and light; inHg."""

from __future__ import annotations

import math
from dataclasses import dataclass

from drill.airplane.arith import Quantity
from drill.airplane.constants import (
    CLOG_MOST,
    LOW_VACUUM_INHG,
    PUMP_FULL_RPM,
    STANDBY_PUMP_VOLTS,
    STANDBY_SUCTION_INHG,
    STEP_S,
    SUCTION_FALL_S,
    SUCTION_NORMAL_INHG,
    SUCTION_RISE_S,
)
from drill.airplane.controls import Controls
from drill.airplane.faults import Faults
from drill.airplane.world import World

_FALL = 1.0 - math.exp(-STEP_S / SUCTION_FALL_S)
_RISE = 1.0 - math.exp(-STEP_S / SUCTION_RISE_S)


@dataclass(frozen=True, slots=True)
class Vacuum:
    """Suction in inHg at the gyros, at the manifold before the filter's loss, and on the gauge."""

    gyros_inhg: Quantity
    manifold_inhg: Quantity
    gauge_inhg: Quantity


def drawn_inhg(world: World, rpm: Quantity, standby: Quantity, faults: Faults) -> Quantity:
    """Return the steady suction (inHg) at the manifold at an engine speed; `standby` 1.0 with that pump running."""
    m, tight = world.maths, 1.0 - faults.leak
    pump = SUCTION_NORMAL_INHG * rpm / PUMP_FULL_RPM * faults.pump * tight
    second = STANDBY_SUCTION_INHG * standby * faults.standby_vacuum * tight
    held = m.most(world.airframe.suction_regulated_inhg + faults.regulator_inhg, 0.0)
    return m.least(m.most(pump, second), held)


def passed_inhg(world: World, manifold_inhg: Quantity, faults: Faults) -> Quantity:
    """Return the suction (inHg) left at the gyros behind the filter.

    Flow goes with the root of the pressure drop, so resistances add as squares of one over the area.
    """
    clog = world.maths.clip(faults.clog, 0.0, CLOG_MOST)
    return manifold_inhg / (1.0 + clog / ((1.0 - clog) * (1.0 - clog)))


def advance(world: World, was: Vacuum, controls: Controls, faults: Faults, rpm: Quantity, volts: Quantity) -> Vacuum:
    """Return the suction one step later; the electric standby pump needs the bus."""
    m = world.maths
    fitted = 1.0 if world.airframe.standby_vacuum_fitted else 0.0
    standby = m.where(volts > STANDBY_PUMP_VOLTS, controls.standby_vacuum * fitted, 0.0)
    drawn = drawn_inhg(world, rpm, standby, faults)
    passed = passed_inhg(world, drawn, faults)
    gyros = was.gyros_inhg + m.where(passed < was.gyros_inhg, _FALL, _RISE) * (passed - was.gyros_inhg)
    manifold = was.manifold_inhg + m.where(drawn < was.manifold_inhg, _FALL, _RISE) * (drawn - was.manifold_inhg)
    tapped = gyros if world.airframe.suction_gauge_at == "gyros" else manifold
    return Vacuum(gyros, manifold, m.where(faults.suction_gauge > 0.5, tapped, was.gauge_inhg))


def steady(world: World, rpm: Quantity) -> Vacuum:
    """Return a healthy system that has settled at an engine speed."""
    suction = drawn_inhg(world, rpm, 0.0, Faults())
    return Vacuum(suction, suction, suction)


def light(world: World, vacuum: Vacuum, faults: Faults) -> Quantity:
    """Return 1.0 when the low-vacuum light is on; 0.0 where none is fitted."""
    if not world.airframe.low_vacuum_light_fitted:
        return 0.0 * vacuum.gyros_inhg
    return world.maths.where((vacuum.gyros_inhg < LOW_VACUUM_INHG) & (faults.low_vacuum_light > 0.5), 1.0, 0.0)
