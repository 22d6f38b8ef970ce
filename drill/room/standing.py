"""How an evening stands against its plan and the clock. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Literal

from drill.room.evening import Evening
from drill.room.events import StageName
from drill.room.plan import PLAN_PARTS, Plan, PlanPart
from drill.room.polls import is_own

_PART_OF: Mapping[StageName, str] = MappingProxyType({
    "brief": "brief", "fly": "flight", "poll": "flight", "talk": "flight", "debrief": "debrief", "over": "over"})
_IN_ORDER = (*PLAN_PARTS, "over")


@dataclass(frozen=True, slots=True)
class PartStanding:
    """One part against the clock. `spent_s`: so far; `left_s`: what is left of its minutes, negative once over them."""

    part: PlanPart
    minutes: float
    state: Literal["to come", "now", "done"]
    spent_s: float
    left_s: float


@dataclass(frozen=True, slots=True)
class Standing:
    """The whole evening: its parts, which one runs, and how many seconds it is later than planned (0: not at all)."""

    parts: tuple[PartStanding, ...]
    now: PlanPart | None
    late_s: float
    polls_left: int
    words: str                        # what the clock asks of the facilitator, as a sentence
    plan_words: str                   # the plan in one row, for the wall


def standing(evening: Evening, now: datetime) -> Standing:
    """Return how the evening stands against its plan at `now`."""
    begins = _beginnings(evening)
    parts = tuple(_part(evening.plan, part, begins, now) for part in PLAN_PARTS)
    running = next((each for each in parts if each.state == "now"), None)
    late_s = sum(max(0.0, -each.left_s) for each in parts)
    polls_left = max(0, evening.plan.polls - sum(not is_own(each.id) for each in evening.polls))
    return Standing(parts, None if running is None else running.part, late_s, polls_left, _words(running, polls_left),
                    ", ".join(map(_in_the_row, parts)))


def running_part(evening: Evening) -> PlanPart | None:
    """Return the part of the plan that runs now; None before the briefing and after the end."""
    part = _PART_OF.get(evening.stage)
    return next((each for each in PLAN_PARTS if each == part), None)


def _beginnings(evening: Evening) -> dict[str, datetime]:
    """Return when each part began, and the end ("over"), as far as they have."""
    found: dict[str, datetime] = {}
    for stage, part in _PART_OF.items():
        if stage in evening.since_at:
            moment = datetime.fromisoformat(evening.since_at[stage])
            found[part] = min(moment, found.get(part, moment))
    return found


def _part(plan: Plan, part: PlanPart, begins: Mapping[str, datetime], now: datetime) -> PartStanding:
    minutes, began = plan.minutes(part), begins.get(part)
    if began is None:
        return PartStanding(part, minutes, "to come", 0.0, minutes * 60.0)
    later = list(_IN_ORDER[_IN_ORDER.index(part) + 1:])     # not by the time: two may begin in the same millisecond
    ended = min((begins[each] for each in later if each in begins), default=None)
    spent_s = max(0.0, ((ended or now) - began).total_seconds())
    return PartStanding(part, minutes, "now" if ended is None else "done", spent_s, minutes * 60.0 - spent_s)


def _words(running: PartStanding | None, polls_left: int) -> str:
    """Say in a sentence what the clock asks for; "" where it asks for nothing."""
    if running is None:
        return ""
    if running.left_s < 0.0:
        return f"{_minutes(-running.left_s)} over the time for the {running.part}. Go on, or give it more minutes."
    if running.part == "flight" and polls_left:
        if polls_left == 1:
            return f"{_minutes(running.left_s)} left for the flight, and one poll to come."
        each = _minutes(running.left_s / polls_left)
        return f"{_minutes(running.left_s)} and {polls_left} polls left, about {each} for each."
    return f"{_minutes(running.left_s)} left for the {running.part}."


def _in_the_row(part: PartStanding) -> str:
    """Return e.g. "brief 5 min", or "flight 25 min: 12 left"."""
    said = f"{part.part} {part.minutes:.0f} min"
    if part.state != "now":
        return said
    left = round(abs(part.left_s) / 60.0)
    return f"{said}: {left} {'left' if part.left_s >= 0.0 else 'over'}"


def _minutes(seconds: float) -> str:
    if seconds < 90.0:
        return f"{round(seconds):.0f} seconds"
    return f"{seconds / 60.0:.0f} minutes"
