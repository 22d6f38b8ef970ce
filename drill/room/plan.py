"""The plan of an evening: how long each of its parts is meant to be. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias, get_args

PlanPart: TypeAlias = Literal["brief", "flight", "debrief"]
PLAN_PARTS: tuple[PlanPart, ...] = get_args(PlanPart)
LONGEST_MIN = 240.0
"""No part of an evening is longer."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Minutes for each part of the evening, and how many polls the flight has."""

    brief_min: float = 5.0
    flight_min: float = 25.0
    debrief_min: float = 15.0
    polls: int = 5

    def minutes(self, part: PlanPart) -> float:
        """Return the minutes for one part."""
        return {"brief": self.brief_min, "flight": self.flight_min, "debrief": self.debrief_min}[part]

    def longer(self, part: PlanPart, minutes: float) -> Plan:
        """Return the plan with so many minutes more (negative: fewer) for one part, from 1 up to LONGEST_MIN."""
        changed = min(max(self.minutes(part) + minutes, 1.0), LONGEST_MIN)
        match part:
            case "brief":
                return replace(self, brief_min=changed)
            case "flight":
                return replace(self, flight_min=changed)
            case "debrief":
                return replace(self, debrief_min=changed)
