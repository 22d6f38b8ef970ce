"""One airplane in one kind of air, and the arithmetic that it is computed in."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS, Maths
from drill.airplane.constants import DEG, GUST_MPS, KNOT, WEAR, Wear


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
    wear: Wear = field(init=False)

    def __post_init__(self) -> None:
        air = self.air
        latitude = air.latitude_deg * DEG
        wind = air.wind_kt * KNOT
        derived = {
            "gust_mps": GUST_MPS[air.turbulence],
            "wind_north_mps": -wind * math.cos(air.wind_from_deg * DEG),
            "wind_east_mps": -wind * math.sin(air.wind_from_deg * DEG),
            "tan_dip": 2.0 * math.tan(latitude),
            "sin_latitude": math.sin(latitude),
            "tan_latitude": math.tan(latitude),
            "sin_nut": math.sin(self.airframe.heading_nut_latitude_deg * DEG),
            "sea_pa": air.pressure_hpa * 100.0,
            "wear": WEAR[self.airframe.instruments],
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)
