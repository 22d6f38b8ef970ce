"""What a failure is, as data: what breaks, what it does to `Faults`, what is seen, what it is called.

A failure is keyed by its part and how it fails, in plain lower-case words. Names of equipment are those that a pilot
can report or diagnose; what can be looked at is named as the panel's parts are.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from drill.airplane.faults import Faults

HEALTHY = {field.name: float(field.default) for field in fields(Faults)}  # type: ignore[arg-type]
"""Each field of `Faults` in an airplane with nothing wrong."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What a failure does to one field of `Faults`: from the healthy value towards `worst`.

    It gets there in `over_s` seconds (0: at once); `sided` turns the sign round for a failure to the left; `graded`
    goes only the share of the way that the severity says. Where several failures act on one field, those with a side
    add up, for two drifts may cancel, and of the others the one furthest from healthy counts: a worn pump does not
    mend a sheared shaft.
    """

    field: str
    worst: float
    over_s: float = 0.0
    sided: bool = False
    graded: bool = False

    def away(self, seconds: float, side: float, severity: float) -> float:
        """Return how far from its healthy value the field is, at a time since the onset (s).

        `side` is -1 or 1, `severity` 0 to 1; both count only where the effect has them.
        """
        share = min(seconds / self.over_s, 1.0) if self.over_s > 0.0 else 1.0
        share *= severity if self.graded else 1.0
        return (self.worst - HEALTHY[self.field]) * share * (side if self.sided else 1.0)


@dataclass(frozen=True, slots=True)
class Parameter:
    """A number that the failure comes with: its size at severity 1, or the time it takes to get there."""

    name: str
    default: float
    unit: str


@dataclass(frozen=True, slots=True)
class Failure:
    """One way in which one part fails.

    `named_right_as`: sets of equipment, any of which names it rightly, and wholly. `also_right`: sets that are a
    good report though they do not go to the root. `power_group`: V vacuum, E electric, P pitot, S static, M magnetic,
    none shared.
    `revealed_by`: what shows it and does not share its fault. `seen`: what there is to see, in time.
    """

    part: str
    how: str
    says: str
    parameters: tuple[Parameter, ...]
    named_right_as: tuple[frozenset[str], ...]
    also_right: tuple[frozenset[str], ...]
    power_group: str
    revealed_by: tuple[str, ...]
    seen: str
    effects: tuple[Effect, ...]

    @property
    def key(self) -> tuple[str, str]:
        """(part, how)."""
        return self.part, self.how


VACUUM = frozenset({"vacuum_system"})
ATTITUDE = frozenset({"attitude_indicator"})
HEADING = frozenset({"heading_indicator"})
TURN = frozenset({"turn_coordinator"})
COMPASS = frozenset({"magnetic_compass"})
STANDBY = frozenset({"standby_instrument"})
AUTOPILOT = frozenset({"autopilot"})
