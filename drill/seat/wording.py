"""How words are put when they stand alone."""

from __future__ import annotations

from collections.abc import Sequence

from drill.scenario.problems import Problem, told

MOST_PROBLEMS = 200
"""Nobody reads more at once."""


def sentence(words: str) -> str:
    """Return `words` with a capital at the front and no full stop at the end."""
    return words[:1].upper() + words[1:].rstrip(".")


def in_rows(panel: str) -> str:
    """Return the whole panel's words with each instrument in a row of its own."""
    return panel.replace(". ", ".\n")


def problem_lines(problems: Sequence[Problem]) -> list[str]:
    """Return the faults of a document, one a line; of very many the first, and how many more there are."""
    lines = told(problems[:MOST_PROBLEMS])
    more = max(0, len(problems) - MOST_PROBLEMS)
    return [*lines, f"... and {more:,} more; mend these first"] if more else lines
