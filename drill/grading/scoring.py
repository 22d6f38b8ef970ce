"""From findings to numbers: what each part scores, what the whole does, what each finding cost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from drill.grading.debrief import Finding, UnsafeAct
from drill.scenario.model import PARTS

WEIGHTS: Mapping[str, float] = {"critical": 3.0, "major": 2.0, "minor": 1.0}
PART_WEIGHTS: Mapping[str, float] = {"aviate": 3.0, "decide": 2.0, "communicate": 1.5, "recognize": 1.5, "manage": 1.0}
"""The trade's order: aviate first, then navigate and decide, then communicate."""

CAP = 40.0               # a flight with an unsafe act scores no more, whatever else was good (the author's choice)


def part_scores(findings: Sequence[Finding], unsafe: Sequence[UnsafeAct]) -> dict[str, float | None]:
    """Return the score (0 to 100) of each part; None where nothing was to be graded.

    An unsafe act holds its part down to the cap, also a part in which nothing else was graded.
    """
    scores: dict[str, float | None] = {}
    for part in PARTS:
        counted = [(WEIGHTS[finding.weight], finding.score) for finding in findings
                   if finding.part == part and finding.score is not None]
        score = None if not counted else 100.0 * sum(w * s for w, s in counted) / sum(w for w, _ in counted)
        if any(act.part == part for act in unsafe):
            score = CAP if score is None else min(CAP, score)
        scores[part] = None if score is None else round(score, 1)
    return scores


def total(parts: Mapping[str, float | None], *, unsafe: bool) -> float | None:
    """Return the whole score (0 to 100), the weighted mean of the parts that were graded; None without any."""
    counted = [(PART_WEIGHTS[part], score) for part, score in parts.items() if score is not None]
    if not counted:
        return None
    mean = sum(weight * score for weight, score in counted) / sum(weight for weight, _ in counted)
    return round(min(CAP, mean) if unsafe else mean, 1)


def costs(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings, each with the points of the whole score that it took away (before any cap)."""
    findings = tuple(findings)
    in_part: dict[str, float] = {
        part: sum(WEIGHTS[each.weight] for each in findings if each.part == part and each.score is not None)
        for part in PARTS
    }
    whole = sum(PART_WEIGHTS[part] for part, weight in in_part.items() if weight > 0.0)
    return tuple(
        finding if finding.score is None else replace(finding, cost=round(
            100.0 * PART_WEIGHTS[finding.part] / whole * WEIGHTS[finding.weight] / in_part[finding.part]
            * (1.0 - finding.score), 1))
        for finding in findings
    )
