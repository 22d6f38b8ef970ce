"""Witness flights: what a story can come to, shown by flights that came to it, as scripts that fly it again.

What they may show is what exploration did not find to be impossible: phases, branches, endings, failures, each item of
the grade sheet met and not met, and a full score. `witness_search` flies; what no flight came to is left as possible by
the story, not flown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from drill.check.explore import Explored
from drill.check.exploring import reached_phases
from drill.clean import clean_line
from drill.flight import seeds
from drill.grading.debrief import Debrief
from drill.scenario.model import End, Go, Note, Scenario

SEEDS = 200              # so many are looked at for one that draws each set of failures early
FULL_SCORE = "full score"
MET = frozenset({"done", "kept"})
NOT_ASKED = frozenset({"not needed", "remark"})
MARK = "witness "        # begins a flag that says which branch was taken

Progress: TypeAlias = Callable[[float, float, int, int], None]
"""Told now and then how many seconds have been flown, how many may be, and how much is shown, of how much."""


@dataclass(frozen=True, slots=True)
class Showing:
    """Something that a flight has come to, and when (s)."""

    what: str                                  # "phase helped", "branch cruise 2", "ending on top", "item met Tell ATC"
    at_s: float


@dataclass(frozen=True, slots=True)
class Witness:
    """A flight that shows something, as the seed and the words that fly it again."""

    showings: tuple[Showing, ...]              # in the order of time
    seed: int
    lines: tuple[tuple[float, str], ...]       # (flight time in whole seconds, words)
    at_s: float                                # when it has come to the last of what it shows
    ending: str | None
    debrief: Debrief | None                    # of a flight that was flown to its end

    @property
    def shows(self) -> tuple[str, ...]:
        """What it shows."""
        return tuple(each.what for each in self.showings)

    def script(self, scenario: Scenario) -> str:
        """Return the script, as `drill fly NAME --seed N --script FILE` reads it."""
        end = f"ends with `{self.ending}` at {clock(self.at_s)}" if self.ending else "flown no farther than that"
        shows = [(each.at_s, clean_line(goal_words(scenario, each.what))) for each in self.showings]
        head = [f"# drill fly {scenario.name} --seed {self.seed} --script THIS-FILE",
                *(f"# {clock(at_s)} shows {said}" for at_s, said in shows), f"# {end}"]
        return "\n".join([*head, *(f"{clock(t)} {words}" for t, words in self.lines)]) + "\n"


@dataclass(frozen=True, slots=True)
class Shown:
    """What witness flights have shown of a scenario, and what the story allows that none of them came to."""

    witnesses: tuple[Witness, ...]
    not_flown: tuple[str, ...]                 # as in `Witness.shows`
    flown_s: float

    @property
    def shown(self) -> frozenset[str]:
        """Everything that some flight has come to."""
        return frozenset(each for witness in self.witnesses for each in witness.shows)

    @property
    def best(self) -> Witness | None:
        """The flight with the highest score; None where none was flown to an end that is graded."""
        graded = [each for each in self.witnesses if each.debrief is not None and each.debrief.score is not None]
        return max(graded, key=score_of, default=None)


def score_of(witness: Witness) -> float:
    """Return the score of a flight, 0 where it has none."""
    return (witness.debrief.score or 0.0) if witness.debrief is not None else 0.0


def wanted(seen: Explored) -> tuple[str, ...]:
    """Return everything that may be shown: what exploration did not find to be impossible."""
    program = seen.program
    reached = reached_phases(seen)
    begun = {atom[1] for atom, bit in program.bits.items() if atom[0] == "begun"
             and any(state & bit for state in (*seen.came, *seen.finals))}
    return (
        *(f"phase {name}" for name in program.phases if name in reached),
        *(f"branch {way.phase} {way.number}" for way in sorted(
            (program.ways[each] for each in seen.taken), key=lambda way: (program.phases.index(way.phase), way.number))
          if way.kind == "branch"),
        *(f"ending {each.name}" for each in program.scenario.endings if each.name in seen.ended),
        *(f"failure {plan.name}" for plan in program.scenario.failures if plan.name in begun),
        *(f"item {how} {item.name}" for item in program.scenario.grade_sheet for how in ("met", "not met")),
        FULL_SCORE,
    )


def graded_as(scenario: Scenario, debrief: Debrief) -> tuple[str, ...]:
    """Return what a graded flight shows of the grade sheet."""
    items = {item.name for item in scenario.grade_sheet}
    shows = [f"item {'met' if each.verdict in MET else 'not met'} {each.item}" for each in debrief.findings
             if each.item in items and each.verdict not in NOT_ASKED]
    return (*dict.fromkeys(shows), *([FULL_SCORE] if (debrief.score or 0.0) > 99.95 else []))


def joined(found: Sequence[Witness]) -> tuple[Witness, ...]:
    """Return the flights such that one that is only the beginning of another is told with it."""
    left: list[Witness] = []
    for witness in reversed(found):
        longer = next((place for place, each in enumerate(left) if _begins(witness, each)), None)
        if longer is None and (witness.showings or witness.debrief is not None):
            left.append(witness)
        elif longer is not None:
            both = sorted({*witness.showings, *left[longer].showings}, key=lambda each: each.at_s)
            left[longer] = replace(left[longer], showings=tuple(both))
    return tuple(reversed(left))


def _begins(one: Witness, other: Witness) -> bool:
    """Say whether a flight is the same as the beginning of another."""
    rest = other.lines[len(one.lines):]
    return (one.seed == other.seed and one.ending in (None, other.ending) and one.at_s <= other.at_s
            and other.lines[:len(one.lines)] == one.lines and all(t >= one.at_s for t, _ in rest))


def marked(scenario: Scenario) -> Scenario:
    """Return the scenario with a flag for each branch that is taken; nothing asks for it, so it flies the same."""
    return replace(scenario, phases=tuple(
        replace(phase, branches=tuple(
            replace(branch, effects=(Note(f"{MARK}branch {phase.name} {number}"), *branch.effects))
            for number, branch in enumerate(phase.branches)))
        for phase in scenario.phases))


def early_seeds(scenario: Scenario) -> list[int]:
    """Return a seed for each set of failures that the clock can bring, one that brings them early; with most first."""
    best: dict[frozenset[str], tuple[float, int]] = {}
    names = {plan.name for plan in scenario.failures}
    for seed in range(1, SEEDS + 1):
        due = {name: t for name, t in seeds.times(scenario, seed).items() if name in names and t is not None}
        key, when = frozenset(due), sum(due.values())
        if key not in best or when < best[key][0]:
            best[key] = (when, seed)
    return [best[key][1] for key in sorted(best, key=lambda key: (-len(key), sorted(key)))]


def goal_words(scenario: Scenario, what: str) -> str:
    """Return in words what a flight may show."""
    kind, _, rest = what.partition(" ")
    if kind == "branch":
        name, _, number = rest.rpartition(" ")
        branch = scenario.phase(name).branches[int(number)]
        last = branch.effects[-1]
        to = f"phase `{last.phase}`" if isinstance(last, Go) else (
            f"ending `{last.ending}`" if isinstance(last, End) else "")
        return f"branch {int(number) + 1} of `{name}` (line {branch.place.line}) to {to}"
    if kind == "item":
        how = "not met" if of_kind([what], "item not met") else "met"
        return f"`{what.removeprefix(f'item {how} ')}` {how}"
    return f"a {FULL_SCORE}" if what == FULL_SCORE else f"{kind} `{rest}`"


def clock(t_s: float) -> str:
    """Return a time as a script has it."""
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"


def of_kind(goals: Iterable[str], kind: str) -> list[str]:
    """Return the names of those of `goals` that are of this kind, as `phase`, `branch` or `item not met`."""
    return [each.removeprefix(f"{kind} ") for each in goals if each.startswith(f"{kind} ")]
