"""Plots of how several flights flew from a little before they part: one line a flight, each of its own stroke."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from drill.grading.courses import Course, course_words
from drill.grading.plotted import Range, Values, around, jump_of, middle_of, scale_of, ticks_of
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.axes import BOTTOM, TOP, axis, last_of, line_path, names_at, y_of
from drill.paper.svg import group, line, path, picture, words

LETTERS = "ABC"
"""How the flights are called where there is no room for their names; as many as are ever compared."""
STROKES = ("solid", "broken", "dotted")
_KEY = 132.0                 # room for a name of a flight, and for its letter
_LETTER = 14.0


def course_plot(course: Course, names: Sequence[str], along: Along, at_s: float, *, times: bool = False) -> Markup:
    """Return one plot of flights that part at `at_s` (s), in which a line stands; `times`: with the times below it."""
    title = course.name[:1].upper() + course.name[1:]
    lines = [trail.values for trail in course.trails]
    if course.circular:
        middle = middle_of([value for values in lines for value in values if value is not None])
        lines = [around(middle, values) for values in lines]
    scale = scale_of(course.name, [value for values in lines for value in values])
    ticks = ticks_of(course.name, course.unit, scale, circular=course.circular)
    part = along.x(at_s)
    drawn = [along.grid(TOP, BOTTOM), *axis(course.name, ticks, scale), line(part, TOP, part, BOTTOM, "guide")]
    # The first lies on top of the others where they are one.
    for place, (trail, values) in reversed(list(enumerate(zip(course.trails, lines, strict=True)))):
        d = line_path(trail.t, values, along, scale, jump_of(circular=course.circular))
        if d:
            drawn.append(path(d, f"way way-{place}"))
    drawn += _ends([trail.t for trail in course.trails], lines, along, scale)
    drawn += [words(LEFT, 12, title, "plot-name", "start"), _key(names)]
    if times:
        drawn.append(along.labels(BOTTOM + 16))
    strokes = ", ".join(f"{name} {stroke}" for name, stroke in zip(names, STROKES, strict=False))
    return picture(WIDTH, BOTTOM + (22 if times else 6), f"{title} of each flight",
                   f"{title} as it really was: {strokes}. {course_words(course, names, at_s)}",
                   f"course-{course.name}", *drawn, class_="plot")


def _ends(times: Sequence[Sequence[float]], lines: Sequence[Values], along: Along, scale: Range) -> list[Markup]:
    """Return each flight's letter at the end of its line: in the margin, or where the flight was over before."""
    margin, drawn = [], []
    for place, (t, values) in enumerate(zip(times, lines, strict=True)):
        last = last_of(values)
        if last is None:
            continue
        x, y, class_ = along.x(t[-1]), y_of(last, scale), f"end-way end-way-{place}"
        if x > RIGHT - _LETTER:
            margin.append((y, LETTERS[place], class_))
        else:
            drawn.append(words(x + 4, min(max(y + 4, TOP + 10), BOTTOM - 2), LETTERS[place], class_, "start"))
    return [*names_at(margin), *drawn]


def _key(names: Sequence[str]) -> Markup:
    """Return which line is which, at the upper right."""
    left = RIGHT - _KEY * len(names)
    return group(*(each for place, name in enumerate(names) for each in (
        line(left + _KEY * place, 8, left + _KEY * place + 24, 8, f"way way-{place}"),
        words(left + _KEY * place + 30, 12, f"{LETTERS[place]} {name}", "key", "start"))))
