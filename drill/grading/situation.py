"""What every part of the grader works from: scenario, timeline, and for each failure its evidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

from drill.airplane.panel import Panel
from drill.flight.readings import panel_words
from drill.grading.affected import responds, rightly_names, spoiled
from drill.grading.debrief import Finding, Verdict
from drill.grading.evidence import Evidence
from drill.grading.timeline import Deed, Onset, Timeline
from drill.scenario.model import Scenario

_PANEL = frozenset(each.name for each in fields(Panel))


@dataclass(frozen=True, slots=True)
class Situation:
    """A flight to be graded. `evidence` is by failure name; a failure that never showed itself has None."""

    scenario: Scenario
    line: Timeline
    evidence: Mapping[str, Evidence | None]

    @property
    def onsets(self) -> tuple[Onset, ...]:
        """The failures that happened."""
        return self.line.onsets

    def evident_s(self, onset: Onset) -> float | None:
        """Return when (s) the failure could have been known; None: never, or not before the record ended."""
        found = self.evidence.get(onset.failure)
        return None if found is None else found.t

    def spoiled_at(self, t: float, *, evident: bool) -> frozenset[str]:
        """Return the instruments that could not be believed at `t`; `evident`: only where it could have been known."""
        bad: set[str] = set()
        for onset in self.onsets:
            since = self.evident_s(onset) if evident else onset.t
            if since is not None and since <= t and (onset.healed is None or t < onset.healed):
                bad |= spoiled(onset)
        return frozenset(bad)

    def responses(self, onset: Onset) -> list[tuple[Deed, str]]:
        """Return the acts that deal with the failure, from its onset on, each with its words."""
        return [(deed, words) for deed in self.line.deeds
                if deed.began >= onset.t and deed.heard and (words := responds(onset, deed.action, deed.told))]

    def right(self, said: frozenset[str]) -> bool:
        """Say whether `said` rightly names any failure that happened."""
        return any(rightly_names(onset, said) for onset in self.onsets)

    def in_cloud(self, start: float, end: float) -> bool:
        """Say whether the airplane was in cloud at any second of `start` to `end`."""
        return any("is in cloud" in trace.facts for trace in self.line.between(start, end))

    def panel_at(self, t: float | None) -> str:
        """Return the panel at `t` in words; empty where the record has none."""
        trace = None if t is None else self.line.at(t)
        if trace is None or not trace.shown.keys() >= _PANEL:
            return ""
        return panel_words(trace.shown, trace.covered)

    def finding(
        self, item: str, part: str, verdict: Verdict, at_s: float | None, reason: str, source: str, *,
        weight: str = "major", better: str = "", score: float | None = None,
    ) -> Finding:
        """Return a finding with the panel of its moment."""
        return Finding(item=item, part=part, verdict=verdict, at_s=at_s, reason=reason, source=source, weight=weight,
                       panel=self.panel_at(at_s), better=better, score=score)
