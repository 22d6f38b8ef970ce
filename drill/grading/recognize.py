"""Recognizing: the first act on a failure against the evidence, on a scale taken from people.

What people took is told by `among_pilots`. Their clock ran from the failure, ours runs from the evidence, which comes
later: full marks reach to 3 minutes after the evidence, half of them to 7.6, their mean. Late is only what lies beyond
that and beyond nine in ten of the simulated pilots as well. The windows are the authors'; regulations give no seconds.
"""

from __future__ import annotations

import math

from drill.airplane.dials import SUCTION_GREEN_INHG
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.advice import check
from drill.grading.affected import listed, looked_at, rightly_names, says, spoiled
from drill.grading.among_pilots import SLOW_S, STUDY, standing
from drill.grading.debrief import FailureStory, Finding
from drill.grading.evidence import prompts
from drill.grading.situation import AFTER_S, FULL_S, MEAN_S, Situation
from drill.grading.timeline import Deed, Onset, lasting, number
from drill.language.meaning import Diagnose, Transmit

FLOOR = 0.1
GUESS = 0.8              # a right guess before anything showed it: good, but luck (the author's choice)
FALSE_ALARM = 0.7
SEEN_S = 120.0           # a reading so fresh speaks for the moment at which something was named (the author's choice)
AUTHORS = "Full marks to 3 minutes after the evidence are the authors' choice; regulations give no seconds."


def by_people(delay_s: float) -> float:
    """Return the share (0 to 1) that a delay after the evidence earns."""
    if delay_s <= FULL_S:
        return 1.0
    return max(FLOOR, 1.0 - 0.5 * (delay_s - FULL_S) / (MEAN_S - FULL_S))


def is_late(onset: Onset, at_s: float, evident_s: float) -> bool:
    """Say whether an act at `at_s` (s) is later than people are who do well, by the evidence and by the failure."""
    return at_s - evident_s > MEAN_S and at_s - onset.t > SLOW_S


def _showed(situation: Situation, evident: float, found: str) -> str:
    """Return since when it could be known, and by what: to who had the whole panel in view, the panel showed it."""
    if situation.line.saw_at(evident) == "panel":
        return f"The panel showed it from {clock(evident)}: {found}"
    return f"A careful cross-check could have known at {clock(evident)}: {found}"


def grade_recognition(situation: Situation) -> list[Finding]:
    """Return the findings on each failure, and on what was named wrongly."""
    findings: list[Finding] = []
    for onset in situation.onsets:
        findings += _failure(situation, onset, study_told=any(STUDY in each.reason for each in findings))
    return findings + _wrong_names(situation)


def stories(situation: Situation) -> tuple[FailureStory, ...]:
    """Return each failure's story: when it began, could have been known, and was acted on."""
    return tuple(_story(situation, onset) for onset in situation.onsets)


def first_response(situation: Situation, onset: Onset) -> tuple[Deed, str] | None:
    """Return the first act that dealt with the failure after it could be known, or the first guess at it before."""
    evident = situation.evident_s(onset)
    responses = situation.responses(onset)
    known = [each for each in responses if evident is not None and each[0].began >= evident]
    return next(iter(known or responses), None)


def prompted_s(situation: Situation, onset: Onset, until: float) -> float | None:
    """Return when (s) ATC first said something of what the failure did, before `until` (s); None: it did not."""
    return next((each.t for each in prompts(situation.line, onset) if each.t < until), None)


def _failure(situation: Situation, onset: Onset, *, study_told: bool) -> list[Finding]:
    item = f"Recognize: {onset.part}" + (f", again at {clock(onset.t)}" if situation.again(onset) else "")
    evident = situation.evident_s(onset)
    found = evidence.words if (evidence := situation.evidence.get(onset.key)) is not None else ""
    responses = situation.responses(onset)
    guesses = [each for each in responses if evident is None or each[0].began < evident]
    known = [each for each in responses if evident is not None and each[0].began >= evident]
    findings = []
    if guesses:
        deed, words = guesses[0]
        findings.append(situation.finding(
            item, "recognize", "done", deed.began,
            f"At {clock(deed.began)} the pilot {words}. That was a guess, and a right one: it had not shown yet for as "
            "long as a cross-check takes, and no look had found it."
            + (f" A careful cross-check could have known at {clock(evident)}." if evident is not None else ""),
            sources.RECOGNITION, weight="critical", score=None if known and evident is not None else GUESS))
    if evident is None:
        return findings
    if known:
        deed, words = known[0]
        delay = deed.began - evident
        score = max(by_people(delay), GUESS if guesses else 0.0)
        said = prompted_s(situation, onset, deed.began)
        first = "" if said is None else f" ATC had spoken of it at {clock(said)}, before that."
        findings.append(situation.finding(
            item, "recognize", "late" if is_late(onset, deed.began, evident) else "done", deed.began,
            f"{_showed(situation, evident, found)}. The first act on it was at {clock(deed.began)}, {lasting(delay)} "
            f"later: the pilot {words}.{first} {standing(onset, deed.began - onset.t, told=study_told)}"
            + ("" if study_told else f" {AUTHORS}"), sources.RECOGNITION, weight="critical", score=score))
    elif not guesses:
        return [_unanswered(situation, onset, item, evident, found)]
    return findings


def _unanswered(situation: Situation, onset: Onset, item: str, evident: float, found: str) -> Finding:
    waited = situation.over_s(onset) - evident
    back = situation.came_back(onset)
    why = ""
    if back and situation.soon_over(onset):
        why = f"It came back at {clock(onset.end_s)}, {lasting(waited)} after it could have been known."
    elif not back and situation.too_soon(waited):
        why = "The record ends before this can be judged."
    if why:
        return situation.finding(item, "recognize", "not needed", None, why, sources.RECOGNITION, weight="critical")
    left = f"until it came back at {clock(onset.end_s)}" if back else "that were left"
    # Sooner than that nobody is called slow, whether a record ends or a failure does.
    counts = not back or waited > FULL_S
    return situation.finding(
        item, "recognize", "missed", None,
        f"{_showed(situation, evident, found)}. Nothing was done about it in the "
        f"{lasting(waited)} {left}." + ("" if counts else " People take longer than that: it is told, not counted."),
        sources.RECOGNITION, weight="critical", better=check(onset, situation.bad_at(evident)),
        score=0.0 if counts else None)


def _wrong_names(situation: Situation) -> list[Finding]:
    """A wrong name costs a little. A precautionary report costs nothing: it is told as one."""
    findings: list[Finding] = []
    wrong = [deed for deed in situation.line.deeds if isinstance(deed.action, Diagnose) and deed.action.failed
             and not _near(situation, frozenset(deed.action.failed), deed.t)]
    if wrong:
        action = wrong[0].action
        names = listed(action.failed) if isinstance(action, Diagnose) else ""
        seen = _seen_right(situation, wrong[0])
        if seen is not None:
            return [*findings, situation.finding(
                "Name what failed, and only that", "recognize", "remark", wrong[0].t,
                f"At {clock(wrong[0].t)} the pilot named the {names}, which had not failed. The suction gauge had been "
                f"looked at, at {clock(seen)}, and stood in the green: suction that is there clears the pump and its "
                "lines.", sources.GYROS, weight="critical", score=0.0, about=("suction_gauge",)),
                *_precautionary(situation)]
        findings.append(situation.finding(
            "Name what failed, and only that", "recognize", "remark", wrong[0].t,
            f"At {clock(wrong[0].t)} the pilot named the {names}, which had not failed then. A second look at an "
            "independent instrument settles it.", sources.FALSE_ALARM, weight="minor", score=FALSE_ALARM))
    if situation.onsets:
        return findings
    findings += _precautionary(situation)
    if not wrong:
        findings.append(situation.finding(
            situation.nothing_failed.removesuffix(" in this flight"), "recognize", "kept", None,
            f"{situation.nothing_failed}, and nothing was taken for a failure.", sources.FALSE_ALARM, weight="minor",
            score=1.0))
    return findings


def _precautionary(situation: Situation) -> list[Finding]:
    early = next((deed for deed in situation.line.calls()
                  if isinstance(deed.action, Transmit) and deed.action.meaning.equipment), None)
    if early is None or situation.onsets:
        return []
    return [situation.finding(
        "Precautionary report", "recognize", "done", early.t,
        f"At {clock(early.t)} ATC was told of trouble, and nothing had failed. A precautionary report never costs.",
        sources.PLAIN_WORDS, weight="minor")]


def _seen_right(situation: Situation, claim: Deed) -> float | None:
    """Return when (s) the pilot had last looked at the gauge that clears what `claim` names; None: had not, or it did
    not clear it. Only suction is shown by a gauge that leaves nothing open."""
    action = claim.action
    if not isinstance(action, Diagnose) or "vacuum_system" not in action.failed:
        return None
    looks = [deed.t for deed in situation.line.deeds if "suction_gauge" in looked_at(deed.action) and deed.t <= claim.t]
    trace = situation.line.at(looks[-1]) if looks and claim.t - looks[-1] <= SEEN_S else None
    healthy = trace is not None and number(trace.shown, "suction_inhg") >= SUCTION_GREEN_INHG[0]
    return looks[-1] if healthy else None


def _near(situation: Situation, said: frozenset[str], t: float) -> bool:
    """Say whether `said` names something that had failed by `t`, its source or an instrument that it spoils."""
    return any(onset.t <= t and (rightly_names(onset, said) or bool(said & spoiled(onset)))
               for onset in situation.onsets)


def _story(situation: Situation, onset: Onset) -> FailureStory:
    found = situation.evidence.get(onset.key)
    known = situation.clocks.get(onset.key)
    response = first_response(situation, onset)
    named = [deed.t for deed in situation.line.deeds
             if onset.t <= deed.t <= onset.end_s + AFTER_S and deed.heard
             and ((isinstance(deed.action, Diagnose) and rightly_names(onset, frozenset(deed.action.failed)))
                  or (isinstance(deed.action, Transmit) and deed.action.meaning.equipment
                      and rightly_names(onset, deed.told.equipment)))]
    return FailureStory(
        name=onset.failure, part=onset.part, how=onset.how, began_s=onset.t,
        evidence_s=None if found is None else found.t, evidence="" if found is None else found.words,
        first_act_s=None if response is None else response[0].began,
        first_act="" if response is None else response[1],
        named_s=min(named, default=None), says=says(onset, situation.came_back(onset)),
        healed_s=onset.healed if situation.came_back(onset) else None,
        instrument_s=None if known is None or known.instrument is None else known.instrument.t,
        instrument="" if known is None or known.instrument is None else known.instrument.words,
        system_s=None if known is None or known.system is None else known.system.t,
        system="" if known is None or known.system is None else known.system.words,
        prompted_s=prompted_s(situation, onset, math.inf if response is None else response[0].began),
        alarm_s=None if known is None or known.alarm is None else known.alarm.t)
