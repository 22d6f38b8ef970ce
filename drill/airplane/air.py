"""The air that one flight meets."""

from __future__ import annotations

from dataclasses import dataclass

from drill.airplane.constants import GUST_MPS


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

    def __post_init__(self) -> None:
        if self.turbulence not in GUST_MPS:
            raise ValueError(f"turbulence is {self.turbulence!r}: write one of {', '.join(GUST_MPS)}")
