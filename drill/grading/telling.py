"""How a debrief is put into words: the sentences that every face tells, whatever it wraps or draws around them.

What is told of one thing is a heading and a paragraph. Nothing here knows of lines, columns or color.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from drill.flight.readings import clock_words as clock
from drill.grading.debrief import CallHeard, Debrief, Deviation, FailureStory, Finding, UnsafeAct
from drill.grading.deviations import BY_ATC
from drill.grading.timeline import lasting
from drill.scenario.model import PARTS

Entry: TypeAlias = tuple[str, str]
"""A heading and a paragraph."""

GOOD = ("done", "kept")
NOT_NEEDED = "not needed"
PART_WORDS = {"aviate": "Aviate", "decide": "Navigate and decide", "communicate": "Communicate",
              "recognize": "Recognize", "manage": "Manage"}
PART_SHORT = {**PART_WORDS, "decide": "Decide"}
CUT_OFF = "The record stops before an ending: graded as far as it goes."
STRAYED = "The hands' doing, not in the score. Tolerances: IR.IV.A.S1."
_SAME_AS = {"Keep the speed in the green": "Beyond never-exceed speed"}   # the finding, by the act that it repeats


def flight_words(debrief: Debrief) -> str:
    """Return which flight it was: the airplane, the seed, how long, and the editions that flew and graded it."""
    return f"{debrief.airplane}. Seed {debrief.seed}, flown {lasting(debrief.flown_s)}. ({debrief.editions})"


def ending_words(debrief: Debrief) -> str:
    """Return how the flight ended."""
    if debrief.ending is None:
        return CUT_OFF
    return f"Ending: {debrief.ending.outcome}. {debrief.ending.words}".strip()


# --- what failed -----------------------------------------------------------------------------------


def _could_be_named(story: FailureStory) -> list[str]:
    """Return when what had failed could have been named; a tireless scan of everything is the least that it takes."""
    words = []
    if story.instrument_s is not None and story.instrument_s != story.system_s:
        words.append(f"Which instrument was wrong could be told from {clock(story.instrument_s)}: {story.instrument}.")
    if story.system_s is not None:
        words.append(f"What had failed could be named from {clock(story.system_s)}: {story.system}.")
    if words:
        words.append("Nobody scans without a pause: these are the earliest times, not those to be expected.")
    elif story.alarm_s is not None:
        words.append("Which instrument was wrong no comparison of this panel could tell while it lasted.")
    return words


def failure_words(story: FailureStory) -> str:
    """Return what failed, when it could have been known, and what was done about it; not when it began."""
    words = [f"{story.says.rstrip('.')}."]
    if story.evidence_s is None:
        until = "By the end of the record" if story.healed_s is None else "Before it came back"
        words.append(f"{until} no instrument in view had shown it for as long as a careful cross-check "
                     "takes to come round, and no look had found it.")
    else:
        words.append(f"A careful cross-check could have known at {clock(story.evidence_s)}: {story.evidence}.")
        words += _could_be_named(story)
    if story.first_act_s is None:
        words.append("No act dealt with it.")
    else:
        words.append(f"First act on it at {clock(story.first_act_s)}: {story.first_act}.")
    if story.healed_s is not None:
        words.append(f"It came back at {clock(story.healed_s)}.")
    if story.named_s is not None:
        words.append(f"First named rightly at {clock(story.named_s)}.")
    return " ".join(words)


def nothing_failed(debrief: Debrief) -> str:
    """Return what is told in place of failures; "" if there were some."""
    if debrief.failures:
        return ""
    if debrief.complete:
        return "Nothing failed in this flight."
    return "Nothing had failed by then." if debrief.flown_s > 0.0 else "The record is empty."


# --- findings --------------------------------------------------------------------------------------


def repeats(finding: Finding, act: UnsafeAct) -> bool:
    """Say whether `finding` tells once more of an unsafe act."""
    return (finding.item, finding.at_s) == (act.act, act.at_s) or (
        finding.verdict == "broken" and _SAME_AS.get(finding.item) == act.act)


def same_as(debrief: Debrief, act: UnsafeAct) -> Finding | None:
    """Return the finding that tells once more of `act`, with what it cost and what would have been right."""
    return next((each for each in debrief.findings if repeats(each, act)), None)


def told_already(debrief: Debrief, finding: Finding) -> bool:
    """Say whether an unsafe act tells of `finding`."""
    return any(repeats(finding, act) for act in debrief.unsafe_acts)


def unsafe(debrief: Debrief) -> Iterator[Entry]:
    """Yield the unsafe acts."""
    for act in debrief.unsafe_acts:
        same = same_as(debrief, act)
        cost = f": {same.verdict} ({_graded(same)})" if same is not None else ""
        yield f"{clock(act.at_s)} {act.act}{cost}", _paragraph(act, "" if same is None else same.better)


def work(debrief: Debrief) -> Iterator[Entry]:
    """Yield what to work on, without what is told as an unsafe act."""
    for finding in debrief.findings:
        if finding.verdict not in (*GOOD, NOT_NEEDED) and not told_already(debrief, finding):
            yield (f"{_when(finding.at_s)}{finding.item}: {finding.verdict} ({_graded(finding)})",
                   _paragraph(finding, finding.better))


def well(debrief: Debrief) -> Iterator[Entry]:
    """Yield what went well."""
    for finding in debrief.findings:
        if finding.verdict in GOOD:
            cost = f" (cost {finding.cost:g} points)" if finding.cost else ""
            yield (f"{_when(finding.at_s)}{finding.item}: {finding.verdict}{cost}",
                   f"{finding.reason} [{finding.source}]")


def not_needed(debrief: Debrief) -> Iterator[Entry]:
    """Yield what was not graded, and why."""
    return ((each.item, each.reason) for each in debrief.findings if each.verdict == NOT_NEEDED)


def _when(t: float | None) -> str:
    return "" if t is None else f"{clock(t)} "


def _graded(finding: Finding) -> str:
    return PART_SHORT[finding.part] + (f", cost {finding.cost:g}" if finding.cost else "")


def _paragraph(one: Finding | UnsafeAct, better: str) -> str:
    """Return what is told of `one` in a single paragraph, short enough for ears; `better` would have been right."""
    panel = f" Panel then: {one.readings}" if one.readings else ""
    right = f" Right would have been: {better.rstrip('.')}." if better else ""
    return f"{one.reason}{panel}{right} Source: {one.source}."


# --- the calls -------------------------------------------------------------------------------------


def calls(debrief: Debrief) -> Iterator[Entry]:
    """Yield the calls of trouble: what was said, and what ATC heard in it."""
    return ((f"{clock(call.at_s)} “{call.words}”", call_words(call)) for call in debrief.calls)


def _of(said: list[str]) -> str:
    values = ", ".join(each for each in said if each)
    return f" {values}" if values.startswith("(") else f": {values}" if values else ""


def call_words(call: CallHeard) -> str:
    """Return what ATC heard in a call, element by element, what it did not know by then, and what said nothing."""
    by_element: dict[str, list[str]] = {}
    for piece in call.heard:
        said = f"{piece.value}{f' (“{piece.words}”)' if piece.words else ''}".strip()
        by_element.setdefault(piece.element, []).append(said)
    heard = "; ".join(f"{element}{_of(said)}" for element, said in by_element.items())
    words = [f"Heard: {heard or 'nothing'}."]
    if call.not_heard:
        words.append(f"Not heard by then: {', '.join(call.not_heard)}.")
    if call.unread:
        words.append(f"Not understood: {', '.join(f'“{each}”' for each in call.unread)}.")
    return " ".join(words)


# --- the score, and beside it ----------------------------------------------------------------------


def score_words(debrief: Debrief) -> str:
    """Return the whole score."""
    if debrief.score is None:
        return "nothing to grade"
    capped = "; an unsafe act holds it down" if debrief.capped else ""
    return f"{debrief.score:.0f} of 100{capped}"


def parts(debrief: Debrief) -> Iterator[tuple[str, float | None]]:
    """Yield the parts with their scores, 0 to 100, None where there is nothing to grade, in the order of PARTS."""
    return ((part, debrief.parts.get(part)) for part in PARTS)


def strayed(debrief: Debrief) -> list[str]:
    """Return how far the airplane strayed: a sentence for each value beyond its tolerance, one for all within."""
    ordered = {each.what: each.worst for each in debrief.deviations}
    told = [each for each in debrief.deviations     # what ATC assigned may be what had been ordered: told already
            if not each.what.endswith(BY_ATC) or each.worst != ordered.get(each.what.removesuffix(BY_ATC))]
    within = [f"{each.what} ({_at_most(each)})" for each in told if each.beyond_s <= 0.0]
    return [
        *(f"{each.what}: {_at_most(each)} off (tolerance {each.tolerance:g}), beyond for {lasting(each.beyond_s)}"
          for each in told if each.beyond_s > 0.0),
        *([f"Within tolerance: {', '.join(within)}."] if within else []),
    ]


def _at_most(deviation: Deviation) -> str:
    return f"at most {deviation.worst:.0f} {deviation.unit}"
