"""A debrief on the published scales: the instructor's for maneuvers and resource management, and the examiner's.

**Maneuver or procedure** (FAA-H-8083-9, chapter on assessment; read in copies of two editions). Steps upward, in our
words: `describe` - can say what the task consists of, cannot do it without help; `explain` - understands besides why
it is done so, cannot do it without help; `practice` - plans and does it, with errors that somebody else has to point
out; `perform` - does it alone, finds and mends deviations soon, and success was never in doubt. What the flight did
not ask for is not observed.

**Single-pilot resource management** (same handbook; read in copies): `explain` - can tell risks and choices once
prompted; `practice` - decides, with lapses that want coaching; `manage-decide` - finds what matters, weighs the
choices and decides well; nobody had to step in. We grade three skills so: recognition, communication, decision.

**Practical test** (FAA-S-ACS-8C, IR.VII.D and appendix on outcomes; the wording of the appendix read in FAA-S-ACS-6):
a task is unsatisfactory where the evaluator would have had to step in for safety, where tolerances (IR.IV.A.S1: 100
ft, 10 degrees, 10 kt) are exceeded again and again or not mended promptly, where risk is not managed, or where an
element (loss recognized, ATC told) is not done.

Neither document gives scores or seconds. **Every threshold here is the author's**: those of the parts chosen before
any flight was graded with them, those of the ramp after the fourth hold-out. On a scale of words two good
instructors differ by a step; `tests/grading/test_agreement.py` measures how far this rule agrees with instructors'
grades. It was mended where it and not the grader was wrong. After the thirty flights: an altitude or heading that
was held well but was not the assigned one is no error of handling, and an unsafe use of equipment (an autopilot
switched on again) is one of deciding. After a third hold-out: who took a good part for the failed one has also
decided on that belief; who named what failed and lost control by it has not drawn the consequence; a question left
open wants coaching, and so does a flight with two lapses, or one in deciding. After a fourth: the few things that
are graded on the ramp weigh less each, and where control was never in question the maneuver is not graded by the
procedure. After the fifth: communicating is graded by itself, so that a report made before flying counts in full;
open questions alone do not bring it to the lowest step; and who names what failed to himself and never speaks of
trouble wants coaching. After the sixth: so does who speaks of it only three minutes after the first act on it, and
a hand that strays from what is assigned, by less than who chooses to leave it would, has errors that want pointing
out.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from drill.grading.answering import ITEM as ANSWERS
from drill.grading.calls import FLY_FIRST
from drill.grading.debrief import Debrief, Finding
from drill.grading.deviations import STRAIGHT
from drill.grading.glide_path import WHAT as GLIDE_PATH
from drill.grading.hold_short import ITEM as HOLD_SHORT
from drill.grading.marked_calls import ELEMENTS
from drill.grading.scoring import WEIGHTS
from drill.grading.sheet import OUT_OF_ORDER

ManeuverGrade: TypeAlias = Literal["not observed", "describe", "explain", "practice", "perform"]
ResourceGrade: TypeAlias = Literal["not observed", "explain", "practice", "manage-decide"]
TestOutcome: TypeAlias = Literal["unsatisfactory", "satisfactory"]

MANEUVER: tuple[ManeuverGrade, ...] = ("describe", "explain", "practice", "perform")
RESOURCE: tuple[ResourceGrade, ...] = ("explain", "practice", "manage-decide")
OUTCOME: tuple[TestOutcome, ...] = ("unsatisfactory", "satisfactory")
"""The steps of each scale, upward."""

TOP_FROM = 80.0          # of 100: so much of a part for its scale's highest step
RAMP_TOP_FROM, RAMP_PRACTICE_FROM = 75.0, 25.0
PRACTICE_FROM = 45.0     # above what an unsafe act leaves of a part (40)
PROMPT_S = 60.0          # so long beyond a tolerance, all in all, is still promptly mended
REPORT_S = 180.0         # so long after the first act on a failure ATC hears of it in time
WANDERED_S = 30.0        # so long off what is assigned, all in all, is wandering; so far off (ft, deg) is a choice
BY_CHOICE = {"altitude assigned by ATC": 400.0, "heading assigned by ATC": 40.0}
LOST = frozenset({"loss of control", "hit the ground", "broke up"})
HELD = frozenset({"altitude", "heading", GLIDE_PATH, STRAIGHT})
TRACK = HELD | {"altitude assigned by ATC", "heading assigned by ATC"}
CHOICES = frozenset({"decide", "manage"})
NOT_DONE = frozenset({"missed", "broken"})
UNASKED = frozenset({"kept", "not needed"})
LEFT_OPEN = frozenset({"missed", "incomplete"})
ANSWERING = frozenset({ANSWERS, HOLD_SHORT})   # of what ATC began
TROUBLE = frozenset({ELEMENTS["equipment"], ELEMENTS["trouble"], ELEMENTS["rejoined"]})
CLAIMED = frozenset({"remark", "broken"})   # a part named that had not failed, or before it could be known


@dataclass(frozen=True, slots=True)
class PublishedGrades:
    """One flight on the published scales; `overall` is the whole scenario on the scale for maneuvers."""

    maneuver: ManeuverGrade
    recognition: ResourceGrade
    communication: ResourceGrade
    decision: ResourceGrade
    acs: TestOutcome
    overall: ManeuverGrade


def published_grades(debrief: Debrief) -> PublishedGrades:
    """Return the grades of the flight that `debrief` tells of.

    Who was told of the failure's doing by ATC first had a prompt, and is not above `practice` in recognition, nor is
    who lost control or named a part that had not failed; a decision on such a belief is not above `practice` either.
    Who neither did nor named anything has recognized nothing. Nothing failed and nothing claimed is not observed, nor
    is deciding in a healthy airplane that only had to go on.
    With a question of ATC left open communication is not above `practice`, nor with a failure that was named and of
    which ATC heard nothing; where nothing else was left out, whoever spoke at all is not below it. Nor is the whole
    flight above it with two skills, or the decision, there. Nor is communication above it with trouble first spoken of
    long after the first act on it, nor the maneuver with a hand that strays from what is assigned.

    Lost control is never above `explain`. A part scores its scale's step by `TOP_FROM` and `PRACTICE_FROM`; an unsafe
    act holds it to the lowest. On the ramp the procedure (`manage`) stands for the maneuver.
    """
    maneuver = _maneuver(debrief)
    recognition = _recognition(debrief)
    communication = _communication(debrief)
    unsafe = any(act.part in CHOICES for act in debrief.unsafe_acts)
    decision: ResourceGrade = "explain" if unsafe else _resource(debrief.parts.get("decide"))
    if claimed_wrongly(debrief):
        decision = _at_most_practice(decision)
    elif not debrief.failures and not unsafe and nothing_to_decide(debrief):
        decision = "not observed"
    acs = _acs(debrief, maneuver, (recognition, communication, decision))
    return PublishedGrades(maneuver, recognition, communication, decision, acs,
                           _overall(debrief, maneuver, (recognition, communication, decision), acs))


def claimed_wrongly(debrief: Debrief) -> bool:
    """Say whether a part was named that had not failed, or before it could be known."""
    return any(finding.part == "recognize" and finding.verdict in CLAIMED and finding.score is not None
               for finding in debrief.findings)


def nothing_to_decide(debrief: Debrief) -> bool:
    """Say whether nothing in the air asked for a decision: what was not to be done was left, and no more."""
    verdicts = {finding.verdict for finding in debrief.findings if finding.part == "decide"}
    return flown(debrief) and bool(verdicts) and verdicts <= UNASKED


def left_open(debrief: Debrief) -> bool:
    """Say whether something that ATC asked was left open, or answered late."""
    return any(finding.item == ANSWERS and finding.verdict in LEFT_OPEN for finding in debrief.findings)


def kept_silent(debrief: Debrief) -> bool:
    """Say whether the pilot named what failed, and no call said that anything was wrong."""
    return any(failure.named_s is not None for failure in debrief.failures) and not any(
        piece.element in TROUBLE for call in debrief.calls for piece in call.heard)


def reported_late(debrief: Debrief) -> bool:
    """Say whether ATC first heard of trouble long after the pilot had acted on it."""
    acted = [t for failure in debrief.failures for t in (failure.first_act_s, failure.named_s) if t is not None]
    told = [call.at_s for call in debrief.calls if any(piece.element in TROUBLE for piece in call.heard)]
    return bool(acted and told) and min(told) - min(acted) > REPORT_S


def told_too_soon(debrief: Debrief) -> bool:
    """Say whether a call was made while the airplane was not in hand: on this scale that is no fault of the call."""
    return any(finding.verdict == "out of order" for finding in _counted(debrief))


def _communication(debrief: Debrief) -> ResourceGrade:
    score = _told(debrief)
    grade = _resource(score)
    if left_open(debrief) or kept_silent(debrief) or reported_late(debrief):
        grade = _at_most_practice(grade)
    lacking = {finding.item for finding in _counted(debrief) if finding.verdict not in ("done", "kept")}
    return "practice" if grade == "explain" and score and lacking and lacking <= ANSWERING else grade


def _counted(debrief: Debrief) -> list[Finding]:
    return [finding for finding in debrief.findings if finding.part == "communicate" and finding.score is not None]


def _told(debrief: Debrief) -> float | None:
    """Return the score (0 to 100) of communicating by itself: what was said too soon was said."""
    of_it = [finding for finding in _counted(debrief) if finding.item != FLY_FIRST]
    if not of_it:
        return debrief.parts.get("communicate")
    weight = sum(WEIGHTS[finding.weight] for finding in of_it)
    return 100.0 / weight * sum(WEIGHTS[finding.weight] * min(1.0, (finding.score or 0.0) / (
        OUT_OF_ORDER if finding.verdict == "out of order" else 1.0)) for finding in of_it)


def control_lost(debrief: Debrief) -> bool:
    """Say whether the flight ended out of control."""
    return debrief.ending is not None and debrief.ending.outcome in LOST


def _named(debrief: Debrief) -> bool:
    """Whether everything that failed was named: the sign of understanding that a flight leaves."""
    return bool(debrief.failures) and all(failure.named_s is not None for failure in debrief.failures)


def _off(debrief: Debrief, track: Collection[str]) -> bool:
    return any(each.what in track and each.beyond_s > PROMPT_S for each in debrief.deviations)


def _without_help(debrief: Debrief) -> ManeuverGrade:
    """What is left of the scale where it was not done: `explain` where the pilot knew, else `describe`."""
    return "explain" if _named(debrief) else "describe"


def _maneuver(debrief: Debrief) -> ManeuverGrade:
    score = debrief.parts.get("aviate")
    if score is None and not flown(debrief):
        return _on_the_ramp(debrief)
    if control_lost(debrief) or (score is not None and score < PRACTICE_FROM):
        return _without_help(debrief)
    held = not _off(debrief, HELD) and not wandered(debrief)
    return "perform" if (score is None or score >= TOP_FROM) and held else "practice"


def wandered(debrief: Debrief) -> bool:
    """Say whether the airplane strayed from what ATC had assigned, and never so far that it was somebody's choice."""
    off = [each for each in debrief.deviations if each.what in BY_CHOICE and each.beyond_s > 0.0]
    return any(each.beyond_s > WANDERED_S for each in off) and all(each.worst < BY_CHOICE[each.what] for each in off)


def flown(debrief: Debrief) -> bool:
    """Say whether there was anything to fly: control is looked at in the air alone."""
    return debrief.parts.get("aviate") is not None or any(each.part == "aviate" for each in debrief.findings)


def _on_the_ramp(debrief: Debrief) -> ManeuverGrade:
    """The procedure stands for the maneuver there; its sheet is a few things, and one left out is a lapse."""
    score = debrief.parts.get("manage")
    if score is None:
        return "not observed"
    return "perform" if score >= RAMP_TOP_FROM else "practice" if score >= RAMP_PRACTICE_FROM else "explain"


def _resource(score: float | None) -> ResourceGrade:
    if score is None:
        return "not observed"
    return "manage-decide" if score >= TOP_FROM else "practice" if score >= PRACTICE_FROM else "explain"


def _recognition(debrief: Debrief) -> ResourceGrade:
    claimed = claimed_wrongly(debrief)
    if not debrief.failures and not claimed:
        return "not observed"
    showed = [failure for failure in debrief.failures if failure.evidence_s is not None]
    if showed and all(failure.first_act_s is None and failure.named_s is None for failure in showed):
        return "explain"
    grade = _resource(debrief.parts.get("recognize"))
    prompted = any(failure.prompted_s is not None for failure in debrief.failures)
    return _at_most_practice(grade) if prompted or claimed or control_lost(debrief) else grade


def _at_most_practice(grade: ResourceGrade) -> ResourceGrade:
    return "practice" if grade == "manage-decide" else grade


def _acs(debrief: Debrief, maneuver: ManeuverGrade, skills: Sequence[ResourceGrade]) -> TestOutcome:
    undone = any(finding.weight == "critical" and finding.verdict in NOT_DONE for finding in debrief.findings)
    if (control_lost(debrief) or debrief.unsafe_acts or undone or _off(debrief, TRACK)
            or maneuver in ("describe", "explain") or "explain" in skills):
        return "unsatisfactory"
    return "satisfactory"


def _overall(
    debrief: Debrief, maneuver: ManeuverGrade, skills: Sequence[ResourceGrade], acs: TestOutcome,
) -> ManeuverGrade:
    if control_lost(debrief):
        return maneuver
    if acs == "satisfactory":
        lapses = skills.count("practice")
        sure = debrief.score is not None and debrief.score >= TOP_FROM and lapses < 2 and skills[-1] != "practice"
        return "perform" if sure else "practice"
    seen = [grade for grade in (maneuver, *skills) if grade != "not observed"]
    able = sum(grade not in ("describe", "explain") for grade in seen)
    if 2 * able >= len(seen):
        return "practice"
    return "explain" if able else _without_help(debrief)
