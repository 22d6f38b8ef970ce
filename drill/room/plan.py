"""The plan of an evening, and how it stands against the clock. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

PlanPart: TypeAlias = Literal["brief", "flight", "debrief"]
PLAN_PARTS: tuple[PlanPart, ...] = ("brief", "flight", "debrief")


@dataclass(frozen=True, slots=True)
class Plan:
    """Minutes for each part of the evening, and how many polls the flight has."""

    brief_min: float = 5.0
    flight_min: float = 25.0
    debrief_min: float = 15.0
    polls: int = 5
