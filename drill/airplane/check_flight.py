"""Published values of flight: turns, loads, speeds, the standard atmosphere; each by the functions of the step."""

from __future__ import annotations

from dataclasses import replace

from drill.airplane import atmosphere, motion
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS
from drill.airplane.constants import DEG, FOOT, KNOT, RAD
from drill.airplane.controls import Controls
from drill.airplane.dials import STANDARD_RATE_DPS
from drill.airplane.given import CannotComputeError, Computed, Given, bank_deg, cas_kt, height_m, kind
from drill.airplane.world import World

_CALM = World()
_STILL = (0.0, 0.0, 0.0, 0.0)
_STEEPEST_DEG = 89.0


def level_load_g(bank_deg: float) -> float:
    """Return the load factor (g) at which a step of the model keeps a banked flight path level.

    Raises CannotComputeError beyond 89 degrees of bank, where there is none.
    """
    if abs(bank_deg) > _STEEPEST_DEG:
        raise CannotComputeError(f"no level turn is flown at {bank_deg:g} degrees of bank")
    world = replace(_CALM, airframe=Airframe(lift_max=1e6))   # the wing of a closed form does not stall
    level = motion.level(world, 0.0, 0.0, 100.0 * KNOT, 60.0, 0.0)
    banked = replace(level, bank_rad=bank_deg * DEG)

    def after(attack: float) -> motion.Motion:
        return motion.advance(world, replace(banked, attack_rad=attack), Controls(), 0.0, attack, level.throttle, 1.0,
                              0.0, 1.0, _STILL)

    # Load and the bend of the path both go in proportion to the angle of attack: two steps give the one that is level.
    one, two = after(level.attack_rad), after(2.0 * level.attack_rad)
    share = -one.path_rad / (two.path_rad - one.path_rad)
    return float(one.load_g + share * (two.load_g - one.load_g))


def _tas(g: Given) -> float:
    tas = g.number("true airspeed", "speed", {"tas", "speed", "airspeed", "true"}, example="tas_kt=120")
    if tas <= 0.0:
        raise CannotComputeError("a true airspeed is more than nothing")
    return tas


def _turn_dps(bank_deg: float, tas_kt: float) -> float:
    bank = bank_deg * DEG
    return float(motion.turn_radps(FLOATS, level_load_g(bank_deg), bank, 0.0, tas_kt * KNOT) * RAD)


def _turn_rate(g: Given) -> Computed:
    return Computed(_turn_dps(bank_deg(g), _tas(g)), "turn rate")


def _turn_radius(g: Given) -> Computed:
    tas = _tas(g)
    rate = abs(_turn_dps(bank_deg(g), tas))
    if rate < 1e-9:
        raise CannotComputeError("without bank there is no turn and no radius")
    return Computed(tas * KNOT / (rate * DEG) / FOOT, "length")


def _asked_rate(g: Given) -> float:
    asked = g.maybe("turn rate", {"rate", "turn"})
    if asked is not None:
        return asked
    return g.rate_in_words() or (STANDARD_RATE_DPS / 2.0 if g.says("half") else STANDARD_RATE_DPS)


def _bank_for_rate(g: Given) -> Computed:
    if g.named("angle", {"bank", "roll"}) is not None:   # the rate is asked for, and the bank given
        return _turn_rate(g)
    return Computed(motion.standard_bank_rad(FLOATS, _asked_rate(g) * DEG, _tas(g) * KNOT) * RAD, "angle")


def _timed_turn(g: Given) -> Computed:
    change = g.number("heading change", "angle", {"heading", "change", "turn"}, example="heading_change_deg=90")
    tas = 110.0   # the rate of turn asked for is flown at any speed, each with its bank
    bank = motion.standard_bank_rad(FLOATS, _asked_rate(g) * DEG, tas * KNOT) * RAD
    return Computed(abs(change / _turn_dps(bank, tas)), "time")


def _load_factor(g: Given) -> Computed:
    return Computed(level_load_g(bank_deg(g)), "load")


def _stall(g: Given) -> Computed:
    frame = Airframe(stall_kt=g.number("stall speed, wings level", "speed", {"vs", "stall", "level", "vs1"},
                                       example="vs_wings_level_kcas=53"))
    load = g.maybe("load", {"load", "factor", "n"})
    return Computed(motion.stall_kt(FLOATS, frame, level_load_g(bank_deg(g)) if load is None else load), "speed")


def _maneuvering(g: Given) -> Computed:
    most = g.number("greatest weight", "mass", {"max", "maximum", "gross", "greatest"}, example="weight_max_lb=2450")
    weight = g.number("weight", "mass", {"weight", "mass", "lower", "actual"}, {"max", "maximum", "gross", "greatest"},
                      example="weight_lb=1900")
    va = g.number("maneuvering speed at the greatest weight", "speed", {"va", "maneuvering"}, example="va_max_kt=104")
    return Computed(motion.maneuvering_kt(FLOATS, Airframe(maneuvering_kt=va, mass_kg=most), weight), "speed")


def _air(g: Given) -> tuple[float, float]:
    """Pressure (Pa) and temperature (K) at a row's pressure altitude."""
    height = height_m(g.number("pressure altitude", "length", {"altitude", "height", "alt"},
                              example="pressure_altitude_ft=6000"))
    kelvin = g.kelvin({"oat", "temperature", "sat"})
    if kelvin is None:
        warmer = g.maybe("temperature", {"deviation", "isa", "dev"})
        kelvin = atmosphere.temperature_k(height, (g.deviation_in_words() or 0.0) if warmer is None else warmer)
    return atmosphere.pressure_pa(height), kelvin


def _temperature(g: Given) -> Computed:
    return Computed(_air(g)[1], "air temperature")


def _pressure(g: Given) -> Computed:
    return Computed(_air(g)[0], "pressure")


def _density(g: Given) -> Computed:
    return Computed(atmosphere.density(*_air(g)), "density")


def _tas_of_cas(g: Given) -> Computed:
    return Computed(atmosphere.tas_mps(FLOATS, cas_kt(g) * KNOT, *_air(g)) / KNOT, "speed")


def _cas_of_tas(g: Given) -> Computed:
    return Computed(atmosphere.cas_mps(FLOATS, atmosphere.impact_pa(_tas(g) * KNOT, *_air(g))) / KNOT, "speed")


def _impact(g: Given) -> Computed:
    return Computed(atmosphere.impact_of_cas_pa(cas_kt(g) * KNOT), "pressure")


KINDS = (
    kind(_timed_turn, "timed", "turn"),
    kind(_load_factor, "load", "factor"),
    kind(_stall, "stall"),
    kind(_maneuvering, "maneuvering|va"),
    kind(_bank_for_rate, "bank", "rate|standard|half"),
    kind(_turn_radius, "radius"),
    kind(_turn_rate, "turn", "rate"),
    kind(_impact, "impact"),
    kind(_tas_of_cas, "tas-from-cas"),
    kind(_cas_of_tas, "cas-from-tas"),
    kind(_temperature, "atmosphere|isa", "temperature"),
    kind(_pressure, "atmosphere|isa", "pressure"),
    kind(_density, "atmosphere|isa", "density"),
)
"""In the order in which they are tried."""
