"""Grading: `grade(scenario, events, seed) -> Debrief`, pure. An old record can be graded again by a better grader."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from drill.flight.events import Event
from drill.grading.calls import grade_calls
from drill.grading.control import grade_control
from drill.grading.debrief import CAUTIONS, Debrief, EndingReached, Finding
from drill.grading.deviations import deviations
from drill.grading.evidence import evidence
from drill.grading.plan import grade_plan
from drill.grading.recognize import grade_recognition, stories
from drill.grading.scoring import costs, part_scores, total
from drill.grading.sheet import Graded, grade_sheet, leaves
from drill.grading.situation import Situation
from drill.grading.timeline import timeline
from drill.grading.unsafe import unsafe_acts
from drill.scenario.model import Scenario

GRADER = 1
"""Edition of the grader: it changes whenever the same record could be graded differently."""


def grade(scenario: Scenario, events: Sequence[Event], seed: int) -> Debrief:
    """Return the debrief of the flight of `scenario` whose record holds `events`.

    The record may be cut off (`complete` is then False) or empty. Only what the events say is graded: the same events
    always give the same debrief.
    """
    line = timeline(events, tuple(field.name for field in scenario.fields))
    situation = Situation(scenario, line, {onset.failure: evidence(line, onset) for onset in line.onsets})
    sheet = grade_sheet(situation) if line.traces else Graded((), (), {})
    unsafe = tuple(sorted([*sheet.unsafe, *unsafe_acts(situation)], key=lambda act: act.at_s))
    findings = [] if not line.traces else _told_once([
        *grade_recognition(situation), *grade_control(situation), *sheet.findings, *_calls(situation, sheet),
        *grade_plan(situation),
    ])
    if situation.onsets and not any(situation.responses(onset) for onset in situation.onsets):
        findings = [_uncounted(finding) for finding in findings]
    counted = costs(sorted(findings, key=lambda finding: (finding.at_s is None, finding.at_s or 0.0)))
    parts = part_scores(counted, unsafe)
    score = total(parts, unsafe=False)
    capped_score = total(parts, unsafe=bool(unsafe))
    ended = line.ended
    return Debrief(
        scenario=scenario.name,
        board_title=scenario.board_title,
        title=scenario.title,
        aim=scenario.aim,
        seed=seed,
        airplane=scenario.airplane.title,
        flown_s=line.flown_s,
        complete=ended is not None,
        ending=None if ended is None else EndingReached(ended.ending, ended.outcome, ended.words),
        score=capped_score,
        capped=score != capped_score,
        parts=parts,
        unsafe_acts=unsafe,
        findings=counted,
        failures=stories(situation),
        deviations=deviations(line.traces),
        questions=tuple(scenario.debrief.ask),
        answers=tuple((event.question, event.answer) for event in line.reflected),
        discuss=scenario.debrief.discuss,
        editions=f"scenario format {scenario.edition}, grader {GRADER}",
        cautions=(*CAUTIONS, *scenario.cautions),
    )


def _calls(situation: Situation, sheet: Graded) -> list[Finding]:
    reports = [item for item in situation.scenario.grade_sheet
               if item.needs and any(pattern.verb == "report" for pattern in leaves(item.do))]
    names = {item.name for item in reports}
    ordered = any(finding.item in names and finding.verdict == "out of order" for finding in sheet.findings)
    return grade_calls(situation, report_on_sheet=bool(reports), order_on_sheet=ordered)


def _told_once(findings: Iterable[Finding]) -> list[Finding]:
    """Drop a finding that says again what one of the same item and moment has said (two failures, one call)."""
    kept: dict[tuple[str, str, float | None], Finding] = {}
    for finding in findings:
        kept.setdefault((finding.item, finding.verdict, finding.at_s), finding)
    return list(kept.values())


def _uncounted(finding: Finding) -> Finding:
    """Return a kept finding without its score: where a failure was met with no act at all, it proves nothing."""
    return replace(finding, score=None) if finding.verdict == "kept" else finding
