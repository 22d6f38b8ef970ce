"""Flights side by side in Markdown, in the same plain part of it as a debrief. Every word is escaped."""

from __future__ import annotations

from collections.abc import Iterator

from drill.flight.readings import clock_words as clock
from drill.grading.beside_words import air_words, flown_words, ways_words
from drill.grading.courses import course_words
from drill.paper.beside_paper import BesidePaper
from drill.paper.markdown import escaped


def beside_as_markdown(paper: BesidePaper) -> str:
    """Return `paper` as Markdown."""
    them = paper.them
    blocks = [
        [f"# Side by side: {escaped(paper.title)}"], *_cautions(paper), [escaped(paper.flight)],
        [escaped(air_words(them))], *_outcomes(paper),
        ["## How each really flew"],
        [f"- {course.name.capitalize()}. {escaped(course_words(course, them.names, them.at_s))}"
         for course in paper.courses] or ["Nothing was recorded."],
        ["## What was done"],
        [f"- {clock(act.t)} {escaped(them.names[act.way])}: {escaped(act.words)}" for act in them.acts] or ["Nothing."],
        ["## Moment by moment"],
        [f"- {clock(then.t)} {escaped(ways_words(them.names, [flown_words(each) for each in then.flown]))}"
         for then in them.times] or ["Nothing was recorded."],
        ["## Editions"], [escaped(paper.told_by)], *_cautions(paper),
    ]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _cautions(paper: BesidePaper) -> Iterator[list[str]]:
    for caution in paper.cautions:
        yield [f"> {escaped(caution)}"]


def _outcomes(paper: BesidePaper) -> Iterator[list[str]]:
    them = paper.them
    differs = [row for row in them.rows if row.differs]
    same = [row for row in them.rows if not row.differs]
    if differs:
        yield ["## What came out differently"]
        yield [f"- **{escaped(row.what)}** {escaped(ways_words(them.names, row.values))}" for row in differs]
    if same:
        yield ["## The same in all"]
        yield [f"- {escaped(row.what)}: {escaped(row.values[0])}" for row in same]
