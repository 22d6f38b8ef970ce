"""The debrief in plain words, line by line, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from pydantic import TypeAdapter

from drill.flight.readings import clock_words as clock
from drill.grading.debrief import Debrief, FailureStory, Finding, UnsafeAct
from drill.grading.deviations import BY_ATC
from drill.grading.timeline import lasting
from drill.scenario.model import PARTS

WIDTH = 80

_DEBRIEF = TypeAdapter(Debrief)
_GOOD = ("done", "kept")
_PART_WORDS = {"aviate": "Aviate", "decide": "Navigate and decide", "communicate": "Communicate",
               "recognize": "Recognize", "manage": "Manage"}
_SAME_AS = {"Keep the speed in the green": "Beyond never-exceed speed"}   # the finding, by the act that it repeats
_PART_SHORT = {**_PART_WORDS, "decide": "Decide"}


def debrief_lines(debrief: Debrief) -> list[str]:
    """Return the debrief as lines of at most 80 columns, without any control character.

    In order: cautions, ending, what failed, unsafe acts, what to work on in the order of time, what went well, what was
    not needed, the parts and the score, how far the airplane strayed, the discussion, and the cautions again.
    """
    lines: list[str] = []
    for block in (
        _cautions(debrief), _ending(debrief), _failures(debrief), _unsafe(debrief),
        _findings("What to work on", [each for each in debrief.findings
                                      if each.verdict not in _GOOD and each.verdict != "not needed"
                                      and not any(_repeats(each, act) for act in debrief.unsafe_acts)]),
        _strong(debrief), _not_needed(debrief), _score(debrief), _deviations(debrief), _answers(debrief),
        _discuss(debrief), _cautions(debrief),
    ):
        written = list(block)
        if written:
            lines += ["", *written] if lines else written
    return lines


def as_json(debrief: Debrief) -> str:
    """Return the debrief as JSON, every field under its own name."""
    return _DEBRIEF.dump_json(debrief, indent=2).decode("utf-8")


def _wrapped(text: str, indent: str = "", first: str | None = None) -> Iterator[str]:
    for number, paragraph in enumerate(text.split("\n")):
        start = first if number == 0 and first is not None else indent
        yield from textwrap.wrap(paragraph, WIDTH, initial_indent=start, subsequent_indent=indent,
                                 break_on_hyphens=False) or ([""] if number else [])


def _cautions(debrief: Debrief) -> Iterator[str]:
    for caution in debrief.cautions:
        yield from _wrapped(caution)


def _ending(debrief: Debrief) -> Iterator[str]:
    yield from _wrapped(f"DEBRIEF: {debrief.title}")
    yield from _wrapped(f"{debrief.board_title}. {debrief.airplane}. Seed {debrief.seed}, flown "
                        f"{lasting(debrief.flown_s)}. ({debrief.editions})")
    if debrief.aim:
        yield from _wrapped(f"Aim: {debrief.aim}")
    if debrief.ending is None:
        yield from _wrapped("The record was cut off before an ending: graded as far as it goes.")
    else:
        yield from _wrapped(f"Ending: {debrief.ending.outcome}. {debrief.ending.words}".strip())


def _failures(debrief: Debrief) -> Iterator[str]:
    yield "WHAT FAILED"
    if not debrief.failures:
        yield from _wrapped("Nothing failed in this flight." if debrief.complete
                            else "Nothing had failed by then." if debrief.flown_s > 0.0 else "The record is empty.")
    for failure in debrief.failures:
        yield from _wrapped(_failure_words(failure))


def _failure_words(failure: FailureStory) -> str:
    sentence = failure.says.rstrip(".")
    words = [f"{clock(failure.began_s)} {sentence}."]
    if failure.evidence_s is None:
        until = "By the end of the record" if failure.healed_s is None else "Before it came back"
        words.append(f"{until} no instrument in view had shown it for as long as a careful cross-check "
                     "takes to come round, and no look had found it.")
    else:
        words.append(f"A careful cross-check could have known at {clock(failure.evidence_s)}: {failure.evidence}.")
    if failure.first_act_s is None:
        words.append("No act dealt with it.")
    else:
        words.append(f"First act on it at {clock(failure.first_act_s)}: {failure.first_act}.")
    if failure.healed_s is not None:
        words.append(f"It came back at {clock(failure.healed_s)}.")
    if failure.named_s is not None:
        words.append(f"First named rightly at {clock(failure.named_s)}.")
    return " ".join(words)


def _unsafe(debrief: Debrief) -> Iterator[str]:
    if debrief.unsafe_acts:
        yield "UNSAFE ACTS (they hold the grade down)"
    for act in debrief.unsafe_acts:
        same = next((each for each in debrief.findings if _repeats(each, act)), None)
        cost = f": {same.verdict} ({_graded(same)})" if same is not None else ""
        yield from _wrapped(f"{clock(act.at_s)} {act.act}{cost}", indent="     ", first="")
        yield from _wrapped(_told(act, "" if same is None else same.better), indent="     ")


def _told(one: Finding | UnsafeAct, better: str) -> str:
    """Return what is told of `one` in a single paragraph, short enough for ears; `better` would have been right."""
    panel = f" Panel then: {one.readings}" if one.readings else ""
    right = f" Right would have been: {better.rstrip('.')}." if better else ""
    return f"{one.reason}{panel}{right} Source: {one.source}."


def _repeats(finding: Finding, act: UnsafeAct) -> bool:
    """Say whether `finding` tells once more of an unsafe act."""
    return (finding.item, finding.at_s) == (act.act, act.at_s) or (
        finding.verdict == "broken" and _SAME_AS.get(finding.item) == act.act)


def _graded(finding: Finding) -> str:
    return _PART_SHORT[finding.part] + (f", cost {finding.cost:g}" if finding.cost else "")


def _findings(heading: str, findings: list[Finding]) -> Iterator[str]:
    if findings:
        yield f"{heading.upper()} (costs in points of 100)"
    for finding in findings:
        moment = "" if finding.at_s is None else f"{clock(finding.at_s)} "
        yield from _wrapped(f"{moment}{finding.item}: {finding.verdict} ({_graded(finding)})", indent="     ", first="")
        yield from _wrapped(_told(finding, finding.better), indent="     ")


def _strong(debrief: Debrief) -> Iterator[str]:
    good = [each for each in debrief.findings if each.verdict in _GOOD]
    if good:
        yield "WHAT WENT WELL"
    for finding in good:
        moment = "" if finding.at_s is None else f"{clock(finding.at_s)} "
        cost = f" (cost {finding.cost:g} points)" if finding.cost else ""
        yield from _wrapped(f"{moment}{finding.item}: {finding.verdict}{cost}. {finding.reason} [{finding.source}]",
                            indent="     ", first="")


def _not_needed(debrief: Debrief) -> Iterator[str]:
    idle = [each for each in debrief.findings if each.verdict == "not needed"]
    if idle:
        yield "NOT GRADED"
    for finding in idle:
        yield from _wrapped(f"{finding.item}: {finding.reason}", indent="     ", first="")


def _score(debrief: Debrief) -> Iterator[str]:
    yield "SCORE"
    graded = {part: score for part in PARTS if (score := debrief.parts.get(part)) is not None}
    if graded:
        yield from _wrapped(", ".join(f"{_PART_WORDS[part]} {score:.0f}" for part, score in graded.items()) + ".")
    if debrief.score is None:
        yield "Overall: nothing to grade"
    else:
        capped = "; an unsafe act holds it down" if debrief.capped else ""
        yield f"Overall: {debrief.score:.0f} of 100{capped}"


def _deviations(debrief: Debrief) -> Iterator[str]:
    if debrief.deviations:
        yield "HOW FAR IT STRAYED"
        yield from _wrapped("The hands' doing, not in the score. Tolerances: IR.IV.A.S1.")
    ordered = {each.what: each.worst for each in debrief.deviations}
    told = [each for each in debrief.deviations
            if not each.what.endswith(BY_ATC) or each.worst != ordered.get(each.what.removesuffix(BY_ATC))]
    for each in told:
        if each.beyond_s > 0.0:
            yield from _wrapped(f"{each.what}: at most {each.worst:.0f} {each.unit} off (tolerance "
                                f"{each.tolerance:g}), beyond for {lasting(each.beyond_s)}")
    within = [f"{each.what} (at most {each.worst:.0f} {each.unit})" for each in told
              if each.beyond_s <= 0.0]
    if within:
        yield from _wrapped(f"Within tolerance: {', '.join(within)}.")


def _answers(debrief: Debrief) -> Iterator[str]:
    if debrief.answers:
        yield "WHAT THE PILOT SAID"
    for question, answer in debrief.answers:
        yield from _wrapped(question)
        yield from _wrapped(answer, indent="     ")


def _discuss(debrief: Debrief) -> Iterator[str]:
    if debrief.discuss:
        yield "TO TALK ABOUT"
        yield from _wrapped(debrief.discuss)
