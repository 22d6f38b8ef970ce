"""Flights side by side as one HTML page: no script, nothing loaded, escaped and cleaned as the debrief's page is."""

from __future__ import annotations

from functools import cache

from jinja2 import Template

from drill.flight.readings import clock_words as clock
from drill.grading.beside_words import air_words, flown_words
from drill.grading.courses import course_words
from drill.paper.along import Along
from drill.paper.beside_paper import BesidePaper
from drill.paper.course_plots import LETTERS, STROKES, course_plot
from drill.paper.templates import template_of


def beside_as_html(paper: BesidePaper) -> str:
    """Return the page about `paper`."""
    them = paper.them
    along = Along(paper.until_s, paper.from_s)
    return _template().render({
        "paper": paper, "them": them, "cautions": paper.cautions, "air": air_words(them), "part": clock(them.at_s),
        "heads": [f"{letter} {name}" for letter, name in zip(LETTERS, them.names, strict=False)],
        "strokes": [(name, stroke) for name, stroke in zip(them.names, STROKES, strict=False)],
        "plots": [(course, course_plot(course, them.names, along, them.at_s, times=course is paper.courses[-1]),
                   course_words(course, them.names, them.at_s)) for course in paper.courses],
        "acts": [(clock(act.t), [act.words if act.way == way else "" for way in range(len(them.names))])
                 for act in them.acts],
        "times": [(clock(then.t), [flown_words(each) for each in then.flown]) for then in them.times],
    })


@cache
def _template() -> Template:
    return template_of("beside.html.j2", "page.css", "beside.css")
