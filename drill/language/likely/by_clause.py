"""A line clause by clause: what it orders after all that it denies, supposes or tells.

A clause that is an order by itself, and nothing before it one, is what a long line with its reasons comes to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.conditional import is_conditional
from drill.language.forbidding import forbids_next, negates
from drill.language.hearsay import orders_nothing
from drill.language.leftovers import has_shape_of_order
from drill.language.likely.filling import filled
from drill.language.likely.judging import CLEAR, Judged
from drill.language.meaning import Action
from drill.language.words import Token, joined, split_at

NEARLY_CERTAIN = 0.9
TELLING = ("unclear", "diagnose", "look")
"""Kinds that the clauses of a reason are likely to be."""
_CLAUSE_ENDS = frozenset({",", ".", "?", "so", "but"})
_JOINTS = _CLAUSE_ENDS | {"and", "then"}
_CONCLUDED = re.compile(r"(?:,|\.|\?) so |\? (?!so )")
_FEW = 3
_TOGETHER = re.compile(r"\b(?:or|both|same|together|at once|whichever)\b")


def ordered_after(line: Judged, kind: str) -> bool:
    """Whether a clause after all that forbid orders the likely `kind` by itself: "I can't see my VSI like this, take
    the paper off it"."""
    found = forbids = denied = False
    for clause in split_at(line.line, _CLAUSE_ENDS):
        text = joined(clause)
        if negates(text):
            found, forbids, denied = False, forbids_next(text), True
            continue
        found = found or (not forbids and _orders(_alone(line, clause), kind))
        forbids = False
    return found and denied


def concluded(line: Judged, kind: str) -> bool:
    """Whether what follows a condition is no part of it and orders `kind`: "if any has popped I want to know, so check
    the breakers"."""
    text = joined(line.line)
    if not (found := [*_CONCLUDED.finditer(text)]):
        return False
    rest = text[found[-1].end():]
    after = line.line[next(at for at in range(len(line.line)) if len(joined(line.line[at:])) <= len(rest)):]
    return not is_conditional(rest) and not negates(rest) and _orders(_alone(line, after), kind)


def ordered_last(line: Judged) -> Action | None:
    """Return what the last clause of a line orders by itself, where all before it only tell; None where one of them
    may forbid it, leave it open or want it at once with another."""
    *before, last = split_at(line.line, _CLAUSE_ENDS) or [()]
    text = joined(last)
    if not before or negates(text) or is_conditional(text) or orders_nothing(text) or _TOGETHER.search(
            joined(line.line)) or "?" in line.typed[last[0].start:]:
        return None
    if any(forbids_next(told) or (negates(told) and len(clause) <= _FEW) or is_conditional(told)
           for clause in before if (told := joined(clause))):
        return None
    judged = _alone(line, last)
    kind, share = judged.likely("kind")[0] if judged else ("", 0.0)
    if judged is None or share < NEARLY_CERTAIN or kind in TELLING:
        return None
    told_only = all(alone is not None and alone.likely("kind")[0][0] in TELLING
                    for alone in (_alone(line, clause) for clause in before))
    return filled(kind, judged) if told_only else None


def orders_in(line: Judged) -> int:
    """Return how many clauses of a line are likely to be orders by themselves; a look counts where its words order
    it."""
    found = 0
    for clause in split_at(line.line, _JOINTS):
        alone = _alone(line, clause)
        kind, share = alone.likely("kind")[0] if alone else ("unclear", 0.0)
        found += share >= CLEAR and kind not in ("unclear", "diagnose") and (
            kind != "look" or has_shape_of_order(joined(clause)))
    return found


def _alone(line: Judged, clause: Sequence[Token]) -> Judged | None:
    return line.of(line.typed[clause[0].start:clause[-1].end])


def _orders(alone: Judged | None, kind: str) -> bool:
    likely, share = alone.likely("kind")[0] if alone else ("", 0.0)
    return likely == kind and share >= CLEAR
