"""The debrief in plain words, line by line."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from drill.flight.readings import clock_words as clock
from drill.grading import telling
from drill.grading.debrief import Debrief
from drill.grading.published_words import NOTE, published_lines

WIDTH = 80


def debrief_lines(debrief: Debrief) -> list[str]:
    """Return the debrief as lines of at most 80 columns, without any control character.

    In order: cautions, ending, what failed, unsafe acts, what to work on in the order of time, what went well, what was
    not needed, the calls as they were heard, the parts and the score, the published scales, how far the airplane
    strayed, the discussion, and the cautions again.
    """
    lines: list[str] = []
    for block in (
        _cautions(debrief), _ending(debrief), _failures(debrief),
        _entries("UNSAFE ACTS (they hold the grade down)", telling.unsafe(debrief)),
        _entries("WHAT TO WORK ON (costs in points of 100)", telling.work(debrief)),
        _in_one("WHAT WENT WELL", ". ", telling.well(debrief)),
        _in_one("NOT GRADED", ": ", telling.not_needed(debrief)),
        _entries("CALLS, AS ATC HEARD THEM", telling.calls(debrief)),
        _score(debrief), _published(debrief), _deviations(debrief), _answers(debrief), _discuss(debrief),
        _cautions(debrief),
    ):
        written = list(block)
        if written:
            lines += ["", *written] if lines else written
    return lines


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
    yield from _wrapped(f"{debrief.board_title}. {telling.flight_words(debrief)}")
    if debrief.aim:
        yield from _wrapped(f"Aim: {debrief.aim}")
    yield from _wrapped(telling.ending_words(debrief))


def _failures(debrief: Debrief) -> Iterator[str]:
    yield "WHAT FAILED"
    yield from _wrapped(telling.nothing_failed(debrief))
    for story in debrief.failures:
        yield from _wrapped(f"{clock(story.began_s)} {telling.failure_words(story)}")


def _entries(heading: str, entries: Iterable[telling.Entry]) -> Iterator[str]:
    """Yield each entry's heading in a line of its own, and its paragraph below it."""
    for number, (what, words) in enumerate(entries):
        if number == 0:
            yield heading
        yield from _wrapped(what, indent="     ", first="")
        yield from _wrapped(words, indent="     ")


def _in_one(heading: str, between: str, entries: Iterable[telling.Entry]) -> Iterator[str]:
    """Yield each entry as a single paragraph."""
    for number, (what, words) in enumerate(entries):
        if number == 0:
            yield heading
        yield from _wrapped(f"{what}{between}{words}", indent="     ", first="")


def _score(debrief: Debrief) -> Iterator[str]:
    yield "SCORE"
    graded = [f"{telling.PART_WORDS[part]} {score:.0f}" for part, score in telling.parts(debrief) if score is not None]
    if graded:
        yield from _wrapped(f"{', '.join(graded)}.")
    yield f"Overall: {telling.score_words(debrief)}"


def _published(debrief: Debrief) -> Iterator[str]:
    lines = published_lines(debrief)
    if lines:
        yield "ON THE PUBLISHED SCALES"
        yield from _wrapped(NOTE)
    for line in lines:
        yield from _wrapped(line, indent="     ", first="")


def _deviations(debrief: Debrief) -> Iterator[str]:
    if debrief.deviations:
        yield "HOW FAR IT STRAYED"
        yield from _wrapped(telling.STRAYED)
    for sentence in telling.strayed(debrief):
        yield from _wrapped(sentence)


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
