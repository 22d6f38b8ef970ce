"""The acts and calls of simulated pilots, as words that the reader has understood beforehand, each read once."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from drill.airplane.failures import CATALOGUE
from drill.check.witness_words import Speaker
from drill.grading.affected import CONTROL_BY
from drill.language import read, read_call
from drill.language.meaning import Action, Diagnose, Transmit, Unclear
from drill.scenario.model import ActTree, FailurePlan, Item, Scenario
from drill.scenario.names import words_of

_SAID = {
    "impairment": ("partial panel", "we have lost our horizon", "unable to hold heading and altitude"),
    "assistance": ("request vectors", "request assistance"),
}


@dataclass
class Phrases:
    """What pilots do and say in one scenario. Reading a line takes a thousandth of a second: it is kept."""

    scenario: Scenario
    _read: dict[str, tuple[Action, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._speaker = Speaker(self.scenario)
        self.plans = {plan.name: plan for plan in self.scenario.failures}

    def acts(self, words: str) -> tuple[Action, ...]:
        """Return the acts that a line orders; none for one that is not understood."""
        if words not in self._read:
            found = read(words, self.scenario.context)
            self._read[words] = () if any(isinstance(each, Unclear) for each in found) else tuple(found)
        return self._read[words]

    def call(self, words: str) -> tuple[Action, ...]:
        """Return the call that says `words`."""
        if words not in self._read:
            self._read[words] = (Transmit(words, read_call(words, self.scenario.context)),)
        return self._read[words]

    def of_item(self, item: Item) -> tuple[Action, ...]:
        """Return the acts of an item's example; where there is none, of words found for it."""
        if item.example:
            return self.acts(str(item.example))
        return self._tree(item.do)

    def forbidden(self, item: Item) -> tuple[Action, ...]:
        """Return an act that breaks a `never`; none where no words are known for it."""
        return self._tree(item.never)

    def _tree(self, tree: ActTree | None) -> tuple[Action, ...]:
        if tree is None:
            return ()
        if tree.pattern is not None:
            words = self._speaker.words(("did", tree.pattern.key))
            return () if words is None else self.acts(words)
        parts = [self._tree(part) for part in tree.parts]
        if tree.how == "any":
            return next((part for part in parts if part), ())
        return tuple(act for part in parts for act in part) if all(parts) else ()

    def report(self, failure: str, equipment: str, left_out: Collection[str]) -> tuple[Action, ...]:
        """Return a call that tells ATC of a failure, by the name `equipment`, without the elements left out."""
        scenario = self.scenario
        said: list[str] = [scenario.clearance.facility, *([] if "callsign" in left_out else [scenario.callsign])]
        if "equipment" not in left_out:
            said.append(f"{words_of(equipment)} failure")
        else:
            said.append("we have a problem")
        limits = self._of_control(self.plans[failure])
        said += [self._element(need) for need in ("impairment", "assistance")
                 if need not in left_out and (need != "impairment" or limits)]
        return self.call(", ".join(said))

    def _element(self, need: str) -> str:
        """Return words that are heard as this element of a report."""
        for words in _SAID[need]:
            told = read_call(f"{self.scenario.callsign}, {words}", self.scenario.context)
            if bool(getattr(told, need)):
                return words
        return _SAID[need][0]

    @staticmethod
    def _of_control(plan: FailurePlan) -> bool:
        return bool(named(plan) & (CONTROL_BY | {"vacuum_system", "heading_indicator"}))

    def names(self, failure: str, *, whole: bool) -> tuple[str, ...]:
        """Return what a pilot calls a failure: the part itself, or, not knowing that, an instrument that lies."""
        entry = CATALOGUE[self.plans[failure].part, self.plans[failure].how]
        right, less = entry.named_right_as, entry.also_right
        chosen = right[0] if whole or not less else min(less, key=lambda each: (len(each), sorted(each)))
        return tuple(sorted(chosen))

    def diagnosis(self, names: Collection[str]) -> tuple[Action, ...]:
        """Return the act of saying to oneself what has failed."""
        return (Diagnose(tuple(names)),)

    def intentions(self, wanted: str) -> tuple[Action, ...]:
        """Return the answer to "say intentions": the field that was decided on, else on to the clearance limit."""
        callsign = self.scenario.callsign
        if wanted:
            return self.call(f"diverting to {wanted}, {callsign}")
        return self.call(f"we intend to land at {self.scenario.clearance.limit}, {callsign}")


def named(plan: FailurePlan) -> frozenset[str]:
    """Return everything that a failure may be called."""
    entry = CATALOGUE[plan.part, plan.how]
    return frozenset().union(*entry.named_right_as, *entry.also_right)


def reveals(plan: FailurePlan) -> frozenset[str]:
    """Return what shows a failure to a pilot who looks at it."""
    return frozenset(CATALOGUE[plan.part, plan.how].revealed_by)


def takes_horizon(plan: FailurePlan) -> bool:
    """Say whether a failure spoils the attitude indicator, so that who flies on by it loses control in time."""
    return bool(named(plan) & {"attitude_indicator", "vacuum_system"})
