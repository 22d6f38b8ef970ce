"""The debrief in plain words, line by line, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from pydantic import TypeAdapter

from drill.grading.debrief import Debrief, FailureStory, Finding
from drill.grading.timeline import clock, lasting
from drill.scenario.model import PARTS

WIDTH = 80

_DEBRIEF = TypeAdapter(Debrief)
_GOOD = ("done", "kept")
_PART_WORDS = {"aviate": "Aviate", "decide": "Navigate and decide", "communicate": "Communicate",
               "recognize": "Recognize", "manage": "Manage"}


def debrief_lines(debrief: Debrief) -> list[str]:
    """Return the debrief as lines of at most 80 columns, without any control character.

    In order: cautions, ending, what failed, unsafe acts, what to work on in the order of time, what went well, what was
    not needed, the parts and the score, how far the airplane strayed, the discussion, and the cautions again.
    """
    lines: list[str] = []
    for block in (
        _cautions(debrief), _ending(debrief), _failures(debrief), _unsafe(debrief),
        _findings("What to work on", [each for each in debrief.findings
                                      if each.verdict not in _GOOD and each.verdict != "not needed"]),
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
        yield from _wrapped("Nothing failed in this flight." if debrief.flown_s > 0.0 or debrief.complete
                            else "The record is empty.")
    for failure in debrief.failures:
        yield from _wrapped(_failure_words(failure))


def _failure_words(failure: FailureStory) -> str:
    sentence = failure.says.rstrip(".")
    words = [f"{clock(failure.began_s)} {sentence}."]
    if failure.evidence_s is None:
        words.append("Nothing shown could have told it in this flight.")
    else:
        words.append(f"A careful cross-check could have known at {clock(failure.evidence_s)}: {failure.evidence}.")
    if failure.first_act_s is None:
        words.append("No act dealt with it.")
    else:
        words.append(f"First act on it at {clock(failure.first_act_s)}: {failure.first_act}.")
    if failure.named_s is not None:
        words.append(f"First named rightly at {clock(failure.named_s)}.")
    return " ".join(words)


def _unsafe(debrief: Debrief) -> Iterator[str]:
    if debrief.unsafe_acts:
        yield "UNSAFE ACTS (they hold the grade down)"
    for act in debrief.unsafe_acts:
        yield from _wrapped(f"{clock(act.at_s)} {act.act}", indent="     ", first="")
        yield from _wrapped(act.reason, indent="     ")
        if act.panel:
            yield from _wrapped(f"Panel then: {act.panel}", indent="     ")
        yield from _wrapped(f"Source: {act.source}", indent="     ")


def _findings(heading: str, findings: list[Finding]) -> Iterator[str]:
    if findings:
        yield heading.upper()
    for finding in findings:
        moment = "--:--" if finding.at_s is None else clock(finding.at_s)
        cost = f", cost {finding.cost:g} points" if finding.cost else ""
        yield from _wrapped(f"{moment} {finding.item}: {finding.verdict} "
                            f"({_PART_WORDS[finding.part]}, {finding.weight}{cost})", indent="     ", first="")
        yield from _wrapped(finding.reason, indent="     ")
        if finding.panel:
            yield from _wrapped(f"Panel then: {finding.panel}", indent="     ")
        if finding.better:
            yield from _wrapped(f"Right would have been: {finding.better}", indent="     ")
        yield from _wrapped(f"Source: {finding.source}", indent="     ")


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
    for part in PARTS:
        score = debrief.parts.get(part)
        yield f"{_PART_WORDS[part]}: " + ("nothing to grade" if score is None else f"{score:.0f}")
    if debrief.score is None:
        yield "Overall: nothing to grade"
    else:
        capped = "; an unsafe act holds it down" if debrief.capped else ""
        yield f"Overall: {debrief.score:.0f} of 100{capped}"


def _deviations(debrief: Debrief) -> Iterator[str]:
    if debrief.deviations:
        yield "HOW FAR IT STRAYED"
        yield from _wrapped("The hands' flying more than the pilot's; not in the score. Tolerances: IR.IV.A.S1.")
    for each in debrief.deviations:
        yield from _wrapped(f"{each.what}: at most {each.worst:g} {each.unit} off (tolerance {each.tolerance:g}), "
                            f"beyond it for {lasting(each.beyond_s)}")


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
