"""Recognizing: the first act on a failure against the evidence, on a scale taken from people.

In flight, trained instrument pilots took 7.6 minutes on average to recognize a vacuum failure (DOT/FAA/AM-02/19). Full
marks reach to 3 minutes after the evidence, half of them to 7.6, and nothing sooner than that is called slow.
"""

from __future__ import annotations

from drill.grading import sources
from drill.grading.affected import listed, rightly_names, says, spoiled
from drill.grading.debrief import FailureStory, Finding
from drill.grading.situation import Situation
from drill.grading.timeline import Deed, Onset, clock, lasting
from drill.language.meaning import Diagnose, Transmit

FULL_S = 180.0
MEAN_S = 456.0           # 7.6 min: DOT/FAA/AM-02/19, groups without the extra training
FLOOR = 0.1
GUESS = 0.8              # a right guess before anything showed it: good, but luck (the author's choice)
FALSE_ALARM = 0.7


def by_people(delay_s: float) -> float:
    """Return the share (0 to 1) that a delay after the evidence earns."""
    if delay_s <= FULL_S:
        return 1.0
    return max(FLOOR, 1.0 - 0.5 * (delay_s - FULL_S) / (MEAN_S - FULL_S))


def grade_recognition(situation: Situation) -> list[Finding]:
    """Return the findings on each failure, and on what was named wrongly."""
    findings = [finding for onset in situation.onsets for finding in _failure(situation, onset)]
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


def _failure(situation: Situation, onset: Onset) -> list[Finding]:
    item = f"Recognize: {onset.part}"
    evident = situation.evident_s(onset)
    found = evidence.words if (evidence := situation.evidence.get(onset.failure)) is not None else ""
    responses = situation.responses(onset)
    guesses = [each for each in responses if evident is None or each[0].began < evident]
    known = [each for each in responses if evident is not None and each[0].began >= evident]
    findings = []
    if guesses:
        deed, words = guesses[0]
        findings.append(situation.finding(
            item, "recognize", "done", deed.began,
            f"At {clock(deed.began)} the pilot {words}. That was a guess, and a right one: nothing shown could have "
            "told it yet." + (f" A careful cross-check could have known at {clock(evident)}."
                              if evident is not None else ""),
            sources.RECOGNITION, weight="critical", score=None if known and evident is not None else GUESS))
    if evident is None:
        return findings
    if known:
        deed, words = known[0]
        delay = deed.began - evident
        score = max(by_people(delay), GUESS if guesses else 0.0)
        pace = ("Trained pilots took 7.6 minutes on average." if delay <= MEAN_S
                else "That is longer than the 7.6 minutes that trained pilots took on average.")
        findings.append(situation.finding(
            item, "recognize", "late" if delay > MEAN_S else "done", deed.began,
            f"A careful cross-check could have known at {clock(evident)}: {found}. The first act on it came "
            f"{lasting(delay)} later, at {clock(deed.began)}: the pilot {words}. {pace}", sources.RECOGNITION,
            weight="critical", score=score))
    elif not guesses:
        waited = situation.line.flown_s - evident
        if situation.line.ended is None and waited <= MEAN_S:
            verdict_reason = "The record ends before this can be judged."
            return [situation.finding(item, "recognize", "not needed", None, verdict_reason, sources.RECOGNITION,
                                      weight="critical")]
        findings.append(situation.finding(
            item, "recognize", "missed", None,
            f"A careful cross-check could have known at {clock(evident)}: {found}. Nothing was done about it in the "
            f"{lasting(waited)} that were left.", sources.RECOGNITION, weight="critical",
            better="compare attitude indicator and turn coordinator; look at the suction gauge", score=0.0))
    return findings


def _wrong_names(situation: Situation) -> list[Finding]:
    """A wrong name costs a little. A precautionary report costs nothing: it is told as one."""
    findings: list[Finding] = []
    wrong = [deed for deed in situation.line.deeds if isinstance(deed.action, Diagnose) and deed.action.failed
             and not _near(situation, frozenset(deed.action.failed), deed.t)]
    if wrong:
        action = wrong[0].action
        names = listed(action.failed) if isinstance(action, Diagnose) else ""
        findings.append(situation.finding(
            "Name what failed, and only that", "recognize", "remark", wrong[0].t,
            f"At {clock(wrong[0].t)} the pilot named the {names}, which had not failed then. A second look at an "
            "independent instrument settles it.", sources.FALSE_ALARM, weight="minor", score=FALSE_ALARM))
    if situation.onsets:
        return findings
    early = next((deed for deed in situation.line.calls()
                  if isinstance(deed.action, Transmit) and deed.action.meaning.equipment), None)
    if early is not None:
        findings.append(situation.finding(
            "Precautionary report", "recognize", "done", early.t,
            f"At {clock(early.t)} ATC was told of trouble, and nothing had failed. A precautionary report never costs.",
            sources.PLAIN_WORDS, weight="minor"))
    if not wrong:
        findings.append(situation.finding(
            "Nothing failed", "recognize", "kept", None,
            "Nothing failed in this flight, and nothing was taken for a failure.", sources.FALSE_ALARM, weight="minor",
            score=1.0))
    return findings


def _near(situation: Situation, said: frozenset[str], t: float) -> bool:
    """Say whether `said` names something that had failed by `t`, its source or an instrument that it spoils."""
    return any(onset.t <= t and (rightly_names(onset, said) or bool(said & spoiled(onset)))
               for onset in situation.onsets)


def _story(situation: Situation, onset: Onset) -> FailureStory:
    found = situation.evidence.get(onset.failure)
    response = first_response(situation, onset)
    named = [deed.t for deed in situation.line.deeds
             if deed.t >= onset.t and deed.heard
             and ((isinstance(deed.action, Diagnose) and rightly_names(onset, frozenset(deed.action.failed)))
                  or (isinstance(deed.action, Transmit) and rightly_names(onset, deed.told.equipment)))]
    return FailureStory(
        name=onset.failure, part=onset.part, how=onset.how, began_s=onset.t,
        evidence_s=None if found is None else found.t, evidence="" if found is None else found.words,
        first_act_s=None if response is None else response[0].began,
        first_act="" if response is None else response[1],
        named_s=min(named, default=None), says=says(onset))
