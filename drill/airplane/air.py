"""The air that one flight meets."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.constants import GUST_MPS, ICE_FULL_S


@dataclass(frozen=True, slots=True)
class Air:
    """Weather as the model needs it; plain floats. The wind is the same at all heights."""

    wind_from_deg: float = 0.0        # magnetic
    wind_kt: float = 0.0
    turbulence: str = "calm"          # calm, light, moderate or severe
    temperature_deviation_c: float = 0.0
    pressure_hpa: float = 1013.25     # reduced to sea level (QNH)
    latitude_deg: float = 40.0
    ground_ft: float = 0.0
    icing: str = "none"               # none, light or moderate: in cloud above the freezing level
    cloud_base_ft: float = 0.0        # one layer; tops at or below the base: no cloud
    cloud_tops_ft: float = 0.0
    freezing_level_ft: float = 30_000.0

    def __post_init__(self) -> None:
        if self.turbulence not in GUST_MPS:
            raise ValueError(f"turbulence is {self.turbulence!r}: write one of {', '.join(GUST_MPS)}")
        if self.icing not in ICE_FULL_S:
            raise ValueError(f"icing is {self.icing!r}: write one of {', '.join(ICE_FULL_S)}")
