"""Grading: `grade(scenario, events, seed) -> Debrief`, pure. An old record can be graded again by a better grader."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from drill.flight.events import Event
from drill.grading.answering import grade_answers
from drill.grading.calls import grade_calls
from drill.grading.clearance import binding, free_s, grade_clearance
from drill.grading.control import grade_control
from drill.grading.cross_check import cross_check
from drill.grading.debrief import CAUTIONS, Debrief, EndingReached, Finding
from drill.grading.deviations import deviations
from drill.grading.evidence import NO_STATISTICS, clocks
from drill.grading.glide_path import glide_path_deviation, grade_glide_path
from drill.grading.hold_short import grade_hold_short
from drill.grading.leaving import grade_leaving
from drill.grading.look_errors import look_errors
from drill.grading.marked_calls import marked_calls
from drill.grading.ordered_turns import grade_ordered_turns
from drill.grading.plan import grade_plan
from drill.grading.radio_care import grade_radio_care
from drill.grading.read_backs import grade_read_backs
from drill.grading.recognize import grade_recognition, stories
from drill.grading.scoring import costs, part_scores, total
from drill.grading.sheet import Graded, grade_sheet
from drill.grading.situation import Situation
from drill.grading.subjects import gone_back, subjects_of, without_repeats
from drill.grading.timeline import timeline
from drill.grading.typical_errors import typical_errors
from drill.grading.unplanned import with_unplanned
from drill.grading.unsafe import grade_cancellation, unsafe_acts
from drill.scenario.model import Scenario

GRADER = 5
"""Edition of the grader: it changes whenever the same record could be graded differently."""
NOT_COUNTED = "Told, not counted: no act answered the failure."


def grade(scenario: Scenario, events: Sequence[Event], seed: int) -> Debrief:
    """Return the debrief of the flight of `scenario` whose record holds `events`.

    The record may be cut off (`complete` is then False) or empty. Only what the events say is graded: the same events
    always give the same debrief.
    """
    line = with_unplanned(timeline(events, tuple(field.name for field in scenario.fields)))
    check = cross_check(line, scenario.airplane.airframe, seed, scenario.weather.air.temperature_deviation_c)
    known = {onset.key: clocks(line, onset, check) for onset in line.onsets}
    situation = Situation(scenario, line, {key: each.found for key, each in known.items()}, clocks=known)
    sheet = grade_sheet(situation) if line.traces else Graded((), (), {})
    of_item: dict[str, frozenset[str]] = {
        item.name: subjects_of(item, scenario.grade_sheet) for item in scenario.grade_sheet
    }
    situation = replace(situation, graded=frozenset(
        subject for finding in sheet.findings if finding.verdict != "not needed"
        for subject in (of_item[finding.item] if finding.verdict != "broken"
                        else of_item[finding.item] | gone_back(of_item[finding.item]))))
    own = without_repeats(unsafe_acts(situation), sheet.unsafe, of_item)
    unsafe = tuple(sorted([*sheet.unsafe, *own], key=lambda act: act.at_s))
    findings = [] if not line.traces else _told_once([
        *(_in_flight(situation) if situation.airborne else ()), *sheet.findings,
        *(_by_radio(situation) if situation.airborne else ()), *grade_answers(situation),
        *grade_hold_short(situation),
    ])
    asked = [onset for onset in situation.onsets if not situation.soon_over(onset)]
    if asked and not any(situation.responses(onset) for onset in situation.onsets):
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
        deviations=(*deviations(line.traces, binding(line), free_s(situation),
                                scenario.airplane.airframe.cruise_most_kt), *glide_path_deviation(situation)),
        questions=tuple(scenario.debrief.ask),
        answers=tuple((event.question, event.answer) for event in line.reflected),
        discuss=scenario.debrief.discuss,
        editions=f"scenario format {scenario.edition}, grader {GRADER}",
        cautions=(*CAUTIONS, *([NO_STATISTICS] if line.onsets and check is None else []), *scenario.cautions),
        calls=marked_calls(situation),
    )


def _in_flight(situation: Situation) -> list[Finding]:
    """Return what is graded of every flight; on the ramp only the author's sheet is."""
    return [*grade_recognition(situation), *grade_control(situation), *typical_errors(situation),
            *look_errors(situation), *grade_glide_path(situation)]


def _by_radio(situation: Situation) -> list[Finding]:
    return [*grade_calls(situation), *grade_plan(situation), *grade_clearance(situation),
            *grade_leaving(situation), *grade_ordered_turns(situation),
            *grade_cancellation(situation), *grade_radio_care(situation), *grade_read_backs(situation)]


def _told_once(findings: Iterable[Finding]) -> list[Finding]:
    """Drop a finding that says again what one of the same item and moment has said (two failures, one call)."""
    kept: dict[tuple[str, str, float | None], Finding] = {}
    for finding in findings:
        kept.setdefault((finding.item, finding.verdict, finding.at_s), finding)
    return list(kept.values())


def _uncounted(finding: Finding) -> Finding:
    """Return a kept finding without its score: where a failure was met with no act at all, it proves nothing."""
    if finding.verdict != "kept" or finding.score is None:
        return finding
    return replace(finding, score=None, reason=f"{finding.reason} {NOT_COUNTED}")
