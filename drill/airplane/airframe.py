"""One type of airplane, as its handbook and a few aerodynamic numbers give it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Airframe:
    """An invented four-seater of 180 hp with fixed gear and fixed-pitch propeller, unless told otherwise.

    Speeds are calibrated, in knots. Typical of the class; the drag gives 120 KTAS at 6,000 ft on 90 % of the power
    there, about 900 ft/min at 75 kt and 130 kt level at sea level.
    """

    mass_kg: float = 1111.0
    wing_area_m2: float = 15.8
    drag_zero_lift: float = 0.0310
    drag_induced: float = 0.0589             # times the lift coefficient squared: aspect ratio 7.2, efficiency 0.75
    lift_slope_per_rad: float = 4.7
    lift_max: float = 1.50
    power_kw: float = 134.2
    propeller_efficiency: float = 0.80
    propeller_speed_mps: float = 24.0        # efficiency rises as 1 - exp(-V / this)
    propeller_falls_mps: float = 75.0        # and falls off above this
    rpm_static: float = 2300.0               # full throttle, standing, at sea level
    rpm_windmill_per_mps: float = 21.1       # rpm without any power, for each m/s of airspeed
    rpm_idle: float = 750.0
    fuel_full_gph: float = 15.0              # at full power at sea level
    fuel_idle_gph: float = 1.5
    stall_landing_kt: float = 47.0           # Vs0
    stall_kt: float = 53.3                   # Vs
    flaps_most_kt: float = 85.0              # Vfe, all flaps out; common practice for the class, no source
    maneuvering_kt: float = 104.0            # Va = Vs sqrt(3.8)
    cruise_most_kt: float = 126.0            # Vno
    never_exceed_kt: float = 158.0           # Vne
    dive_kt: float = 176.0                   # Vd
    load_limit_g: float = 3.8                # 14 CFR 23.337, text before 2017
    load_limit_negative_g: float = -1.52
    suction_regulated_inhg: float = 5.0
    suction_gauge_at: str = "gyros"          # or "manifold", which hides a clogged filter
    low_vacuum_light_fitted: bool = False
    standby_vacuum_fitted: bool = False      # an electric standby pump
    turn_coordinator_fitted: bool = True
    standby_attitude_fitted: bool = False    # a solid-state attitude display with a battery of its own
    heading_drive: str = "vacuum"            # or "electric": what spins the heading indicator's rotor
    autopilot: str = "none"                  # or "horizon", "turn coordinator": where it takes roll from
    spiral_doubles_s: float = 25.0           # hands off, a bank doubles; MIL-F-8785C class I cat. B level 1: 20 s
    rpm_green_low: float = 2100.0            # the tachometer's green arc; common practice for the class, no source
    rpm_redline: float = 2700.0
    battery_ah: float = 24.0                 # at the one-hour rate
    gps_fitted: bool = True
    instruments: str = "fresh"               # or "worn": gyros that run down and lean sooner
    heading_nut_latitude_deg: float = 40.0   # latitude that the heading indicator's balance nut is set for

    def __post_init__(self) -> None:
        if self.suction_gauge_at not in ("gyros", "manifold"):
            raise ValueError(
                f"suction_gauge_at is {self.suction_gauge_at!r}: the gauge is tapped at 'gyros' or at 'manifold'"
            )
        if self.heading_drive not in ("vacuum", "electric"):
            raise ValueError(f"heading_drive is {self.heading_drive!r}: write 'vacuum' or 'electric'")
        if self.autopilot not in ("none", "horizon", "turn coordinator"):
            raise ValueError(f"autopilot is {self.autopilot!r}: write 'none', 'horizon' or 'turn coordinator'")
        if self.instruments not in ("fresh", "worn"):
            raise ValueError(f"instruments is {self.instruments!r}: write 'fresh' or 'worn'")
