"""Act patterns: the words in which a scenario speaks of what a pilot does, matched against actions.

`cover attitude indicator`, `fly by partial panel`, `divert to Wendle`, `report vacuum system`, `ask for no-gyro vectors`,
`declare emergency`, `look suction gauge`, `diagnose vacuum system`, `reply unable` and so on.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.language.meaning import Action, Told


@dataclass(frozen=True, slots=True)
class ActPattern:
    """A verb and what it is done to. `key` is its one spelling, e.g. `cover attitude indicator`."""

    verb: str
    object: str = ""

    @property
    def key(self) -> str:
        """The one spelling of the pattern."""
        return f"{self.verb} {self.object}".strip()

    def matches(self, action: Action, told: Told) -> bool:
        """Say whether `action` does this; `told` is what ATC knows after it (reports add up over calls)."""
        raise NotImplementedError
