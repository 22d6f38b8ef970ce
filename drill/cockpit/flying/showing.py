"""What the panel shows at a moment, and whether it is time to show it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from drill.flight.readings import shown_of
from drill.flight.weather import bearing_deg, distance_nm
from drill.seat.local_time import local_s

if TYPE_CHECKING:
    from drill.seat.sitting import Sitting

CALM_EVERY_S = 1.0
"""With reduced motion the panel moves once in so much flight time."""


def readings_now(sitting: Sitting) -> dict[str, float]:
    """Return the readings of the panel, and what goes with them.

    That is local time (`local_s`), the timer where it runs (`timer_s`) and, while the GPS leads to a field, the field's
    `bearing_deg` (magnetic) and `distance_nm`.
    """
    flight = sitting.run.flight
    shown = shown_of(flight.panel)
    shown["local_s"] = local_s(sitting.run.scenario.start.clock, flight.t_s)
    leads_to = flight.state.cockpit.destination
    field = next((each for each in sitting.run.scenario.fields if each.name == leads_to), None)
    if field is not None and shown["gps_on"] > 0.5:      # a GPS knows where it is
        true = flight.truths
        shown["bearing_deg"] = bearing_deg(field, true.north_nm, true.east_nm)
        shown["distance_nm"] = distance_nm(field, true.north_nm, true.east_nm)
    timer_from_s = flight.state.cockpit.timer_from_s
    if timer_from_s is not None:
        shown["timer_s"] = flight.t_s - timer_from_s
    return shown


class Showing:
    """Remembers when the panel of a sitting was last shown."""

    def __init__(self, sitting: Sitting) -> None:
        self._sitting = sitting
        self._at_s: float | None = None

    def is_due(self, *, calm: bool) -> bool:
        """Say whether the panel is to be shown now, which then counts as done; `calm`: with reduced motion."""
        t_s = self._sitting.t_s
        due = (
            not calm or self._at_s is None or self._sitting.clock.paused or self._sitting.ended
            or t_s == self._at_s or t_s - self._at_s >= CALM_EVERY_S - 1e-6
        )
        if due:
            self._at_s = t_s
        return due
