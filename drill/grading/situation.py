"""What every part of the grader works from: scenario, timeline, and for each failure its evidence."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, fields

from drill.airplane.panel import Panel
from drill.flight.readings import absent, can_be_read, panel_words, reading_words
from drill.grading.affected import CONTROL_BY, flown_by, responds, rightly_names, spoiled
from drill.grading.debrief import Finding, Verdict
from drill.grading.evidence import Clocks, Evidence
from drill.grading.timeline import Deed, Onset, Timeline, number
from drill.language.meaning import Switch
from drill.scenario.model import Scenario

FULL_S = 180.0
MEAN_S = 456.0           # 7.6 min from the failure: DOT/FAA/AM-02/19, groups A and C, without the extra training
"""The scale of `recognize`: full marks until the one, half of them at the other."""

AFTER_S = 10.0           # an act on a failure that is just over was begun before anybody could see that it is
SOON_S = 60.0            # a failure that is over so soon after its evidence asked for nothing yet
TAKES_S = 30.0           # to fly by something else, once the autopilot is off
"""All three are the author's choice."""

LOSSES = ("loss of control", "hit the ground", "broke up")
_PANEL = frozenset(each.name for each in fields(Panel))


@dataclass(frozen=True, slots=True)
class Situation:
    """A flight to be graded. `evidence` is by occurrence (`Onset.key`); one that never showed itself has None.

    `graded` are the subjects that the scenario's own sheet has graded; `clocks` is the whole of what could be known.
    """

    scenario: Scenario
    line: Timeline
    evidence: Mapping[tuple[str, float], Evidence | None]
    graded: frozenset[str] = frozenset()
    clocks: Mapping[tuple[str, float], Clocks] = field(default_factory=dict)

    @property
    def onsets(self) -> tuple[Onset, ...]:
        """The failures that happened."""
        return self.line.onsets

    def evident_s(self, onset: Onset) -> float | None:
        """Return when (s) the failure could have been known; None: never, or not before the record ended."""
        found = self.evidence.get(onset.key)
        return None if found is None else found.t

    @property
    def airborne(self) -> bool:
        """Whether the airplane was ever in the air; on the ramp there is no control to be kept."""
        return any(number(trace.true, "parked") < 0.5 for trace in self.line.traces)

    @property
    def lost_control(self) -> bool:
        """Whether the flight ended out of control."""
        return self.line.ended is not None and self.line.ended.outcome in LOSSES

    def too_soon(self, waited_s: float) -> bool:
        """Say whether the record ends so soon (s) after something could be known that nobody can be called slow."""
        if self.line.ended is None:
            return waited_s <= MEAN_S
        return waited_s <= FULL_S and not self.lost_control

    def over_s(self, onset: Onset) -> float:
        """Return when (s) the failure was over, or the record."""
        return min(onset.end_s, self.line.flown_s)

    def came_back(self, onset: Onset) -> bool:
        """Say whether the failure was over before the record was."""
        return onset.end_s <= self.line.flown_s

    def soon_over(self, onset: Onset) -> bool:
        """Say whether the failure was over so soon that nobody was to act on it: before it showed, or soon after."""
        evident = self.evident_s(onset)
        return self.came_back(onset) and (evident is None or onset.end_s - evident < SOON_S)

    def again(self, onset: Onset) -> bool:
        """Say whether this failure had happened before in this flight."""
        return any(each.failure == onset.failure and each.t < onset.t for each in self.onsets)

    def bad_at(self, t: float) -> frozenset[str]:
        """Return the instruments that the failures of that moment (s) spoil."""
        return frozenset().union(*(spoiled(onset) for onset in self.onsets if onset.t <= t < onset.end_s))

    @property
    def nothing_failed(self) -> str:
        """That nothing failed, in words: of a record that was cut off only what is known."""
        return "Nothing failed in this flight" if self.line.ended is not None else "Nothing had failed by then"

    def on_sheet(self, subject: str) -> bool:
        """Say whether the scenario's sheet has graded `subject` (see `subjects`) in this flight."""
        return subject in self.graded

    def responses(self, onset: Onset) -> list[tuple[Deed, str]]:
        """Return the acts that deal with the failure, from its onset until it is over, each with its words."""
        return [(deed, words) for deed in self.line.deeds
                if onset.t <= deed.began <= onset.end_s + AFTER_S and deed.heard
                and (words := responds(onset, deed.action, deed.told)) and self._leaves(onset, deed)]

    def _leaves(self, onset: Onset, deed: Deed) -> bool:
        """Say whether who took the airplane from the autopilot did so to leave the bad instrument: the hands that go on
        following it have answered nothing."""
        if not isinstance(deed.action, Switch) or deed.action.what != "autopilot":
            return True
        bad = spoiled(onset) & CONTROL_BY
        return any(not flown_by(trace) & bad for trace in self.line.between(deed.t, deed.t + TAKES_S))

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
        return panel_words(trace.shown, trace.covered, absent(self.scenario.airplane.airframe))

    def readings_at(self, t: float | None, about: Collection[str]) -> str:
        """Return the readings at `t` of the instruments `about` in words, in the order given; empty without any."""
        trace = None if t is None else self.line.at(t)
        if trace is None or not trace.shown.keys() >= _PANEL:
            return ""
        without = absent(self.scenario.airplane.airframe)
        said = [reading_words(each, trace.shown, trace.covered, without=without) for each in dict.fromkeys(about)
                if can_be_read(each) and each not in without]
        return ". ".join(each[0].upper() + each[1:] for each in said) + "." if said else ""

    def finding(
        self, item: str, part: str, verdict: Verdict, at_s: float | None, reason: str, source: str, *,
        weight: str = "major", better: str = "", score: float | None = None, about: Collection[str] = (),
    ) -> Finding:
        """Return a finding with the panel of its moment; `about` are the instruments that it is about."""
        return Finding(item=item, part=part, verdict=verdict, at_s=at_s, reason=reason, source=source, weight=weight,
                       panel=self.panel_at(at_s), readings=self.readings_at(at_s, about), better=better, score=score,
                       about=tuple(dict.fromkeys(about)))
