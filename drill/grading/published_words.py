"""A debrief on the published scales, told: each grade with its steps, what it rests on, where the scale stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from pydantic import ConfigDict

from drill.grading import telling
from drill.grading.debrief import AS_DATA, Debrief
from drill.grading.published_scales import (
    HELD,
    MANEUVER,
    NOT_DONE,
    OUTCOME,
    PROMPT_S,
    RESOURCE,
    TRACK,
    PublishedGrades,
    claimed_wrongly,
    control_lost,
    flown,
    kept_silent,
    left_open,
    published_grades,
    reported_late,
    told_too_soon,
    wandered,
)
from drill.grading.timeline import lasting

HANDBOOK = "FAA-H-8083-9, chapter on assessment"
STANDARD = "FAA-S-ACS-8C, IR.VII.D and its appendix on outcomes"
NOTE = ("The scales are published, the way onto them is this trainer's: neither document gives scores or seconds. One "
        "instructor's grades agree with it better for the flights that it was made with than for others. No instructor "
        "and no examiner has seen this flight, and nothing here counts as a grade of theirs.")
_MOST = 3                # of the reasons of one grade


@dataclass(frozen=True, slots=True)
class PublishedScale:
    """The flight on one published scale."""

    __pydantic_config__: ClassVar[ConfigDict] = AS_DATA

    scale: str
    """What is graded."""
    grade: str
    """The step that the flight is on, or "not observed"."""
    steps: tuple[str, ...]
    """The steps of the scale, upward."""
    rests_on: str
    """What of the debrief the grade rests on, in words."""
    source: str
    """Where the scale stands."""


def on_published_scales(debrief: Debrief) -> tuple[PublishedScale, ...]:
    """Return the flight on each published scale; none where there was nothing to grade."""
    if debrief.score is None:
        return ()
    grades = published_grades(debrief)
    return (
        PublishedScale("the maneuver", grades.maneuver, MANEUVER, _maneuver(debrief), HANDBOOK),
        PublishedScale("recognizing", grades.recognition, RESOURCE, _recognition(debrief, grades), HANDBOOK),
        PublishedScale("communicating", grades.communication, RESOURCE, _communication(debrief), HANDBOOK),
        PublishedScale("deciding", grades.decision, RESOURCE, _decision(debrief, grades), HANDBOOK),
        PublishedScale("the practical test", grades.acs, OUTCOME, _test(debrief, grades), STANDARD),
        PublishedScale("the whole flight", grades.overall, MANEUVER, "all of these together", HANDBOOK),
    )


def published_lines(debrief: Debrief) -> tuple[str, ...]:
    """Return the scales in a sentence each; the source stands where it is another than that of the one before."""
    lines: list[str] = []
    source = ""
    for each in on_published_scales(debrief):
        cited = "" if each.source == source else f" [{each.source}]"
        source = each.source
        lines.append(f"{each.scale[:1].upper()}{each.scale[1:]}: {each.grade} (of {', '.join(each.steps)}). It rests "
                     f"on: {each.rests_on}.{cited}")
    return tuple(lines)


def _part(debrief: Debrief, part: str) -> str:
    score = debrief.parts.get(part)
    return f"{telling.PART_WORDS[part]} {score:.0f} of 100" if score is not None else (
        f"nothing to grade of {telling.PART_WORDS[part].lower()}")


def _strays(debrief: Debrief, track: frozenset[str]) -> list[str]:
    return [f"{each.what} beyond its tolerance for {lasting(each.beyond_s)}" for each in debrief.deviations
            if each.what in track and each.beyond_s > PROMPT_S]


def _maneuver(debrief: Debrief) -> str:
    off = ["the assigned altitude or heading was wandered off"] if wandered(debrief) else []
    return _listed([*_lost(debrief), _part(debrief, "aviate" if flown(debrief) else "manage"), *_strays(debrief, HELD),
                    *off])


def _recognition(debrief: Debrief, grades: PublishedGrades) -> str:
    if grades.recognition == "not observed":
        return "nothing failed, and nothing was taken for a failure"
    acted = [each for each in debrief.failures if each.first_act_s is not None or each.named_s is not None]
    nothing = ["nothing was done about what failed, and it was not named"] if debrief.failures and not acted else []
    prompted = ["ATC had spoken of it before the pilot's first act"] if any(
        each.prompted_s is not None for each in debrief.failures) else []
    return _listed([*nothing, *_believed(debrief), *_lost(debrief), _part(debrief, "recognize"), *prompted])


def _believed(debrief: Debrief) -> list[str]:
    return ["a part was named that had not failed, or could not be known yet"] if claimed_wrongly(debrief) else []


def _lost(debrief: Debrief) -> list[str]:
    return ["control was lost"] if control_lost(debrief) else []


def _communication(debrief: Debrief) -> str:
    asked = ["something that ATC asked was left open or answered late"] if left_open(debrief) else []
    silent = ["what failed was named, and ATC heard of no trouble"] if kept_silent(debrief) else []
    soon = ["what was said before flying counts in full"] if told_too_soon(debrief) else []
    late = ["ATC heard of it long after the first act on it"] if reported_late(debrief) else []
    return _listed([_part(debrief, "communicate"), *soon, *late, *asked, *silent])


def _decision(debrief: Debrief, grades: PublishedGrades) -> str:
    if grades.decision == "not observed" and debrief.parts.get("decide") is not None:
        return "nothing failed, and the flight only had to go on"
    unsafe = [f"unsafe: {_small(act.act)}" for act in debrief.unsafe_acts
              if act.part in ("decide", "manage")]
    believed = _believed(debrief) if debrief.parts.get("decide") is not None else []
    return _listed([*unsafe, *believed, _part(debrief, "decide")])


def _test(debrief: Debrief, grades: PublishedGrades) -> str:
    undone = [f"not done: {_small(each.item)}" for each in debrief.findings
              if each.weight == "critical" and each.verdict in NOT_DONE]
    unsafe = [f"unsafe: {_small(act.act)}" for act in debrief.unsafe_acts]
    lowest = [f"{what} on the lowest step" for what, grade in (
        ("recognizing", grades.recognition), ("communicating", grades.communication), ("deciding", grades.decision))
        if grade == RESOURCE[0]]
    reasons = [*unsafe, *undone, *_strays(debrief, TRACK), *lowest]
    if grades.acs == OUTCOME[-1]:
        return "no tolerance exceeded for more than a minute, no essential element left undone, nothing unsafe"
    return _listed(reasons or ["the maneuver was not done without help"])


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"


def _listed(reasons: list[str]) -> str:
    kept = list(dict.fromkeys(reasons))
    more = [f"{len(kept) - _MOST} more"] if len(kept) > _MOST else []
    return "; ".join([*kept[:_MOST], *more])
