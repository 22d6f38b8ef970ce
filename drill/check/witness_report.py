"""What witness flights of a scenario have shown and what stays unknown, told for people."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from drill.check.report import WIDTH, Line, Run
from drill.check.witness import FULL_SCORE, MET, NOT_ASKED, Shown, clock, goal_words, of_kind, score_of
from drill.clean import clean_line
from drill.scenario.model import Scenario
from drill.scenario.problems import Problem

IMPOSSIBLE = frozenset({"item-nobody-satisfies", "items-contradict"})
"""Kinds of findings that prove that no flight can have a full score."""
_HANG = 6


def witness_lines(scenario: Scenario, shown: Shown, scripts: Sequence[Path], problems: Sequence[Problem],
                  ) -> Iterator[Line]:
    """Yield what each flight shows, with its script, what no flight came to, and whether a full score can be had."""
    told = [each for each in shown.witnesses if each.showings]
    all_ = len(shown.shown) + len(shown.not_flown)
    yield []
    yield [Run(f"Witness flights of {scenario.name}", "label")]
    yield from _wrapped(f"{len(told)} flights show {len(shown.shown)} of {all_} things that the story allows; "
                        f"{shown.flown_s / 60.0:.0f} minutes were flown in search of them.")
    for witness, path in zip(told, scripts, strict=True):
        score = "" if witness.debrief is None or witness.debrief.score is None else f", scores {score_of(witness):.0f}"
        end = (f"ends with `{witness.ending}` at {clock(witness.at_s)}{score}" if witness.ending else
               "no ending of its own")
        yield [Run(clean_line(str(path), limit=4_000), "place")]
        yield from _wrapped(f"seed {witness.seed}, {end}", indent=2)
        came = [each for each in witness.showings if not each.what.startswith("item ")]
        if came:
            said = [f"{clock(each.at_s)} {goal_words(scenario, each.what)}" for each in came]
            yield from _wrapped(f"shows {'; '.join(said)}", indent=2)
        for how in ("met", "not met"):
            items = of_kind(witness.shows, f"item {how}")
            if items:
                yield from _wrapped(f"{how}: {', '.join(f'`{each}`' for each in items)}", indent=2)
    yield from _unknown(scenario, shown)
    yield from _full_score(shown, problems)


def _unknown(scenario: Scenario, shown: Shown) -> Iterator[Line]:
    left = [each for each in shown.not_flown if each != FULL_SCORE]
    if not left:
        yield from _wrapped("Nothing stays unknown: all that the story allows has been flown.")
        return
    yield from _wrapped("Unknown: the story allows it, and no flight came to it. It may be out of the airplane's "
                        "reach, or only out of these scripted pilots'.")
    for each in left:
        yield from _wrapped(goal_words(scenario, each), indent=2)


def _full_score(shown: Shown, problems: Sequence[Problem]) -> Iterator[Line]:
    best = shown.best
    proven = next((each for each in problems if each.rule in IMPOSSIBLE), None)
    if FULL_SCORE in shown.shown:
        yield from _wrapped("A full score can be had: a flight has it.")
    elif proven is not None:
        yield from _wrapped(f"A full score is impossible: {proven.wrong} (line {proven.place.line}).")
    elif best is not None and best.debrief is not None:
        lost = [f"`{each.item}` ({each.verdict})" for each in best.debrief.findings
                if each.verdict not in MET | NOT_ASKED and each.cost]
        yield from _wrapped(f"Unknown whether a full score can be had: the best flight, of seed {best.seed}, scores "
                            f"{score_of(best):.0f}" + (f"; it lost by {', '.join(lost)}." if lost else "."))


def _wrapped(words: str, indent: int = 0) -> Iterator[Line]:
    rows = textwrap.wrap(clean_line(words, limit=20_000), WIDTH - indent, break_on_hyphens=False,
                         subsequent_indent=" " * _HANG if indent else "")
    yield from ([Run(" " * indent + row)] for row in rows)
