"""Whether an answer to "what is wrong" was right when it was given. Pure.

What an answer names is read from what it does ("diagnose vacuum pump"), as an order of the pilot would be. One that
names what the root misleads is nearly right beside an answer that goes to the root; without one beside it, it is right,
as it is in a call. Who says that nothing is wrong, when something is and
a careful cross-check in flight would not have met it yet, is neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, TypeAlias

from drill.airplane.failures import CATALOGUE
from drill.grading.affected import rightly_names, spoiled
from drill.grading.debrief import FailureStory
from drill.grading.timeline import Onset
from drill.language.meaning import Action, Diagnose

Standing: TypeAlias = Literal["right", "nearly", "wrong", "before a cross-check", "names nothing"]
"""How an answer stood to the truth of its moment. `nearly`: it names what the failure misleads, and not its root.

`before a cross-check`: it misses what a careful cross-check in flight, one instrument after the other, would not have
met yet. Who looks at a stopped panel may see it sooner."""

KNOWING: frozenset[Standing] = frozenset({"right", "before a cross-check"})
"""Nobody who answered so missed what a careful cross-check in flight would have met."""


def named(actions: Iterable[Action]) -> frozenset[str] | None:
    """Return the codes of the equipment that `actions` say has failed; None where they say nothing of the kind."""
    said = [action.failed for action in actions if isinstance(action, Diagnose)]
    return frozenset(name for names in said for name in names) if said else None


def standing(failures: Sequence[FailureStory], said: frozenset[str] | None, t_s: float) -> Standing:
    """Return how an answer given at `t_s` (s) that names `said` stood; the empty set says that nothing is wrong.

    Of several failures it need name one.
    """
    if said is None:
        return "names nothing"
    now = failed_at(failures, t_s)
    if not said:
        if not now:
            return "right"
        told = any(each.evidence_s is not None and each.evidence_s <= t_s for each in now)
        return "wrong" if told else "before a cross-check"
    if any(_names_root(each, said) for each in now):
        return "right"
    return "nearly" if any(_names_effect(each, said) for each in now) else "wrong"


def standings(
    failures: Sequence[FailureStory], answers: Mapping[str, frozenset[str] | None], t_s: float,
) -> dict[str, Standing]:
    """Return how each answer of a poll at `t_s` (s) stood, by its key; `answers` are what they name."""
    stood = {key: standing(failures, said, t_s) for key, said in answers.items()}
    for each in failed_at(failures, t_s):
        if not any(said and _names_root(each, said) for said in answers.values()):
            stood |= {key: "right" for key, said in answers.items() if said and rightly_names(_onset(each), said)}
    return stood


def failed_at(failures: Iterable[FailureStory], t_s: float) -> list[FailureStory]:
    """Return the failures that had begun by `t_s` (s) and were not over."""
    return [each for each in failures if each.began_s <= t_s and (each.healed_s is None or t_s < each.healed_s)]


def _names_root(story: FailureStory, said: frozenset[str]) -> bool:
    entry = CATALOGUE.get((story.part, story.how))
    return rightly_names(_onset(story), said) if entry is None else any(names <= said for names in entry.named_right_as)


def _names_effect(story: FailureStory, said: frozenset[str]) -> bool:
    return rightly_names(_onset(story), said) or bool(said & spoiled(_onset(story)))


def _onset(story: FailureStory) -> Onset:
    return Onset(story.name, story.part, story.how, story.began_s, story.healed_s)
