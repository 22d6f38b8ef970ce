"""What ATC was told: the four contents of a report, the urgency in any plain way, and flying before talking."""

from __future__ import annotations

from collections.abc import Sequence

from drill.flight.readings import clock_words as clock
from drill.grading import sources, subjects
from drill.grading.advice import report
from drill.grading.affected import CONTROL_BY, flown_by, listed, rightly_names, spoiled
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import Deed, Onset
from drill.language.meaning import Call, Told, Transmit
from drill.scenario.model import NEEDS

FLY_FIRST = "Fly first, then talk"
_NEEDS_WORDS = {
    "callsign": "who was calling",
    "equipment": "what had failed",
    "impairment": "how far that limited the flight",
    "assistance": "what was wanted",
}


def missing(situation: Situation, needs: Sequence[str]) -> list[str]:
    """Return which of `needs` ATC was never told (14 CFR 91.187(b)(1)-(4)), in the regulation's order.

    All calls count together. What is wanted is known also where the pilot says what he means to do.
    """
    return [need for need in NEEDS
            if need in needs and not any(_knows(situation, call.told, need) for call in situation.line.calls())]


def _knows(situation: Situation, told: Told, need: str) -> bool:
    match need:
        case "equipment":
            return situation.right(told.equipment) if situation.onsets else bool(told.equipment)
        case "assistance":
            return bool(told.assistance) or told.intentions
        case _:
            return bool(getattr(told, need))


def needs_words(needs: Sequence[str]) -> str:
    """Return `needs` in words."""
    words = [_NEEDS_WORDS[need] for need in needs]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else ""


def grade_calls(situation: Situation) -> list[Finding]:
    """Return the findings on the radio."""
    findings: list[Finding] = []
    for onset in situation.onsets:
        if situation.again(onset) and rightly_names(onset, situation.line.told_at(onset.t).equipment):
            continue                       # ATC knows of it from the time before
        call = report_of(situation, onset) or misnamed(situation, onset.t)
        if not situation.on_sheet(subjects.REPORT):
            findings.extend(_report(situation, onset, call))
        if call is not None:
            findings.extend(_urgency(situation, onset, call))
            if not situation.on_sheet(subjects.ORDER):
                findings.extend(_order(situation, onset, call))
    return findings


def report_of(situation: Situation, onset: Onset) -> Deed | None:
    """Return the first call after which ATC knew of the failure, by any right name; None: it was never told."""
    return next((deed for deed in situation.line.calls() if deed.t >= onset.t
                 and rightly_names(onset, deed.told.equipment)), None)


def misnamed(situation: Situation, since: float) -> Deed | None:
    """Return the first call from `since` (s) on that reported trouble and named a wrong part for it; None: none did.

    It brings help as well as one that is right in everything: who calls, how urgent it is and what is wanted are heard
    (14 CFR 91.187(b) asks for the equipment as one of four). What ATC was told rightly in the end is no wrong part.
    """
    line = situation.line
    if not situation.onsets or situation.right(line.told_at(line.flown_s).equipment):
        return None
    return next((deed for deed in line.calls() if deed.t >= since and isinstance(deed.action, Transmit)
                 and deed.action.meaning.equipment and _asks_for_help(deed.action.meaning)), None)


def _asks_for_help(call: Call) -> bool:
    return (call.urgency != "none" or call.impairment or bool(call.assistance) or call.intentions
            or call.conditions != "unstated" or call.altitude_ft is not None)


def misnamed_words(situation: Situation, call: Deed) -> str:
    """Return which part was told and which it was."""
    said = listed(call.action.meaning.equipment) if isinstance(call.action, Transmit) else ""
    failed = " and the ".join(dict.fromkeys(onset.part for onset in situation.onsets if onset.t <= call.t))
    return (f"ATC was told at {clock(call.t)} that the {said} had failed; it was the {failed}. The call counts, with "
            "all else that it told; what ATC advises goes by the part that it has heard.")


def _report(situation: Situation, onset: Onset, call: Deed | None) -> list[Finding]:
    item = f"Tell ATC about the {onset.part}"
    scenario = situation.scenario
    better = report(onset, situation.bad_at(onset.t), facility=scenario.clearance.facility,
                    callsign=scenario.callsign, cloud=situation.in_cloud(onset.t, situation.over_s(onset)))
    if call is None:
        evident = situation.evident_s(onset)
        if evident is None or situation.soon_over(onset) or (
                situation.line.ended is None and situation.line.flown_s - evident < 300.0):
            return []
        return [situation.finding(
            item, "communicate", "missed", None,
            "ATC was never told. Anything that bears on the safety of flight is reported as soon as practical; "
            "what ATC does not know it cannot help with.", sources.REPORT, better=better, score=0.0)]
    lacking = missing(situation, NEEDS)
    if not rightly_names(onset, call.told.equipment) and call.t >= onset.t:
        others = [need for need in lacking if need != "equipment"]
        never = f" It was never told {needs_words(others)}." if others else ""
        return [situation.finding(
            item, "communicate", "incomplete", call.t, f"{misnamed_words(situation, call)}{never}", sources.REPORT,
            better=better, score=1.0 - (len(others) + 1) / (len(NEEDS) + 1))]
    if lacking:
        return [situation.finding(
            item, "communicate", "incomplete", call.t,
            f"ATC was told at {clock(call.t)}, but never {needs_words(lacking)}. A report has four contents: who, what "
            "failed, how far that limits the flight, what is wanted; they may come in several calls.", sources.REPORT,
            better=better, score=1.0 - len(lacking) / (len(NEEDS) + 1))]
    return [situation.finding(
        item, "communicate", "done", call.t,
        f"ATC was told at {clock(call.t)}, and in the end knew all four: who, what failed, how far that limits the "
        "flight, what is wanted.", sources.REPORT, score=1.0)]


def _urgency(situation: Situation, onset: Onset, call: Deed) -> list[Finding]:
    """A gyro source lost in cloud is at least urgency. A plain complete report without the word costs one remark."""
    cloud = situation.in_cloud(onset.t, call.t)
    declared = next((deed for deed in situation.line.calls() if deed.told.urgency != "none"), None)
    if declared is not None:
        return [situation.finding(
            "Say that it is urgent", "communicate", "done", declared.t,
            f"Urgency was told at {clock(declared.t)}, in words that count as well as any other. Declaring early never "
            "costs.", sources.URGENCY, weight="minor", score=1.0)]
    said = call.action.meaning.equipment if isinstance(call.action, Transmit) else ()
    if "attitude_indicator" not in spoiled(onset) or not cloud or not rightly_names(onset, frozenset(said)):
        return []   # known from an earlier report
    return [situation.finding(
        "Say that it is urgent", "communicate", "remark", call.t,
        f"The report at {clock(call.t)} stood without a word of urgency. Losing the gyros in cloud is at least urgent; "
        "“emergency”, PAN-PAN or MAYDAY, any of them, brings priority. Plain words are enough for help, so this is "
        "a remark.", f"{sources.URGENCY}; {sources.PLAIN_WORDS}", weight="minor",
        better="pan-pan, pan-pan, pan-pan, or: we are declaring an emergency", score=0.5)]


def _order(situation: Situation, onset: Onset, call: Deed) -> list[Finding]:
    """Only what control is lost by counts: bank and pitch flown by the bad instrument. A heading can wait."""
    bad = spoiled(onset) & CONTROL_BY
    trace = situation.line.at(call.began)
    evident = situation.evident_s(onset)
    if not bad or trace is None or evident is None:
        return []
    still = flown_by(trace) & bad
    if still and call.began < evident:
        return []
    if still:
        return [situation.finding(
            FLY_FIRST, "communicate", "out of order", call.began,
            f"When the call began at {clock(call.began)} the hands still flew by the {listed(still)}. "
            "A call takes attention; the airplane comes first.", sources.CONTROL_FIRST,
            better="fly partial panel, then the call", score=0.0)]
    return [situation.finding(
        FLY_FIRST, "communicate", "done", call.began,
        f"When the call began at {clock(call.began)} bank and pitch were no longer flown by the {listed(bad)}.",
        sources.CONTROL_FIRST, weight="minor", score=1.0)]
