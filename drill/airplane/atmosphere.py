"""The standard atmosphere of ISO 2533 / ICAO Doc 7488, shifted to the day's pressure and temperature, and the pitot
equation. SI units: m, Pa, K, kg/m3, m/s. Valid from below sea level to 11,000 m."""

from __future__ import annotations

from drill.airplane.arith import Maths, Quantity
from drill.airplane.constants import (
    GAS_J_PER_KG_K,
    LAPSE_K_PER_M,
    PRESSURE_EXPONENT,
    SEA_PRESSURE_PA,
    SEA_SOUND_MPS,
    SEA_TEMPERATURE_K,
)

_CAS_FACTOR = 5.0 * SEA_SOUND_MPS * SEA_SOUND_MPS
_SOUND_SQUARED_PER_K = 1.4 * GAS_J_PER_KG_K
_SCALE_M = SEA_TEMPERATURE_K / LAPSE_K_PER_M
_INVERSE_EXPONENT = 1.0 / PRESSURE_EXPONENT


def temperature_k(altitude_m: Quantity, deviation_k: Quantity = 0.0) -> Quantity:
    """Return the air temperature (K) at an altitude (m), `deviation_k` warmer than standard."""
    return SEA_TEMPERATURE_K + deviation_k - LAPSE_K_PER_M * altitude_m


def pressure_pa(altitude_m: Quantity, deviation_k: Quantity = 0.0, sea_pa: Quantity = SEA_PRESSURE_PA) -> Quantity:
    """Return the pressure (Pa) at an altitude (m) over a sea-level pressure `sea_pa`, `deviation_k` warmer than ISA."""
    sea_k = SEA_TEMPERATURE_K + deviation_k
    return sea_pa * ((sea_k - LAPSE_K_PER_M * altitude_m) / sea_k) ** PRESSURE_EXPONENT


def density(pressure: Quantity, temperature: Quantity) -> Quantity:
    """Return the density (kg/m3) of dry air at a pressure (Pa) and temperature (K)."""
    return pressure / (GAS_J_PER_KG_K * temperature)


def altitude_m(pressure: Quantity, setting_pa: Quantity = SEA_PRESSURE_PA) -> Quantity:
    """Return what an altimeter set to `setting_pa` shows (m) at a pressure (Pa)."""
    return _SCALE_M * (1.0 - (pressure / setting_pa) ** _INVERSE_EXPONENT)


def impact_pa(tas_mps: Quantity, pressure: Quantity, temperature: Quantity) -> Quantity:
    """Return the impact pressure (Pa) at a true airspeed (m/s); compressible, gamma 1.4."""
    mach_squared = tas_mps * tas_mps / (_SOUND_SQUARED_PER_K * temperature)
    return pressure * ((1.0 + 0.2 * mach_squared) ** 3.5 - 1.0)


def impact_of_cas_pa(cas_mps: Quantity) -> Quantity:
    """Return the impact pressure (Pa) that an airspeed indicator shows as `cas_mps` (m/s)."""
    return impact_pa(cas_mps, SEA_PRESSURE_PA, SEA_TEMPERATURE_K)


def cas_mps(maths: Maths, impact: Quantity) -> Quantity:
    """Return the calibrated airspeed (m/s) for an impact pressure (Pa); zero or less gives 0."""
    ratio = maths.most(impact, 0.0) / SEA_PRESSURE_PA
    return maths.sqrt(_CAS_FACTOR * ((ratio + 1.0) ** (2.0 / 7.0) - 1.0))


def tas_mps(maths: Maths, cas: Quantity, pressure: Quantity, temperature: Quantity) -> Quantity:
    """Return the true airspeed (m/s) at a calibrated airspeed (m/s), pressure (Pa) and temperature (K)."""
    ratio = impact_of_cas_pa(cas) / pressure
    return maths.sqrt(5.0 * _SOUND_SQUARED_PER_K * temperature * ((ratio + 1.0) ** (2.0 / 7.0) - 1.0))
