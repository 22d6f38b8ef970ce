"""One airplane in one kind of air, and the arithmetic that it is computed in."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS, Maths
from drill.airplane.constants import DEG, FOOT, GUST_MPS, ICE_FULL_S, KNOT, WEAR, Wear


@dataclass(frozen=True, slots=True)
class World:
    """What does not change during a flight. The fields after `maths` follow from the first two."""

    airframe: Airframe = field(default_factory=Airframe)
    air: Air = field(default_factory=Air)
    maths: Maths = FLOATS
    gust_mps: float = field(init=False)
    wind_north_mps: float = field(init=False)   # where it blows to
    wind_east_mps: float = field(init=False)
    tan_dip: float = field(init=False)          # dipole field: tan(dip) = 2 tan(latitude)
    sin_latitude: float = field(init=False)
    tan_latitude: float = field(init=False)
    sin_nut: float = field(init=False)
    sea_pa: float = field(init=False)
    freezing_m: float = field(init=False)
    ice_from_m: float = field(init=False)       # ice forms above this height and below the next; nowhere: inf and -inf
    ice_to_m: float = field(init=False)
    ice_per_s: float = field(init=False)        # share of an unheated pitot opening that ice closes each second
    wear: Wear = field(init=False)

    def __post_init__(self) -> None:
        air = self.air
        latitude = air.latitude_deg * DEG
        wind = air.wind_kt * KNOT
        ices = air.icing != "none" and air.cloud_tops_ft > air.cloud_base_ft
        derived = {
            "gust_mps": GUST_MPS[air.turbulence],
            "wind_north_mps": -wind * math.cos(air.wind_from_deg * DEG),
            "wind_east_mps": -wind * math.sin(air.wind_from_deg * DEG),
            "tan_dip": 2.0 * math.tan(latitude),
            "sin_latitude": math.sin(latitude),
            "tan_latitude": math.tan(latitude),
            "sin_nut": math.sin(self.airframe.heading_nut_latitude_deg * DEG),
            "sea_pa": air.pressure_hpa * 100.0,
            "freezing_m": air.freezing_level_ft * FOOT,
            "ice_from_m": max(air.cloud_base_ft, air.freezing_level_ft) * FOOT if ices else math.inf,
            "ice_to_m": air.cloud_tops_ft * FOOT if ices else -math.inf,
            "ice_per_s": 1.0 / ICE_FULL_S[air.icing],
            "wear": WEAR[self.airframe.instruments],
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)
