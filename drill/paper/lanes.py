"""The lanes of the flight as a drawing. Every kind of mark has a shape of its own; no color carries anything alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from markupsafe import Markup

from drill.flight.readings import clock_words as clock
from drill.grading.lanes import Lane, Mark
from drill.grading.moments import Kind, Moment
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.svg import circle, element, group, line, path, picture, rectangle, words

ROW = 25.0
_TOP = 8.0
_LETTER = 5.6            # about how wide one is in the legend
_MOST_TITLES = 400      # words for the pointer; a record with more marks has them in its list of moments


def _cross(x: float, y: float) -> Markup:
    return path(f"M{x - 5:.1f} {y - 5:.1f}L{x + 5:.1f} {y + 5:.1f}M{x - 5:.1f} {y + 5:.1f}L{x + 5:.1f} {y - 5:.1f}",
                "mark-cross")


def _diamond(x: float, y: float) -> Markup:
    return path(f"M{x:.1f} {y - 7:.1f}L{x + 6:.1f} {y:.1f}L{x:.1f} {y + 7:.1f}L{x - 6:.1f} {y:.1f}Z", "mark-evident")


def _half(x: float, y: float) -> Markup:
    return group(_diamond(x, y), path(f"M{x:.1f} {y - 7:.1f}L{x:.1f} {y + 7:.1f}L{x - 6:.1f} {y:.1f}Z", "mark-half"))


def _whole(x: float, y: float) -> Markup:
    right = path(f"M{x:.1f} {y - 7:.1f}L{x:.1f} {y + 7:.1f}L{x + 6:.1f} {y:.1f}Z", "mark-half")
    return group(_half(x, y), right)


def _numbered(text: str) -> Callable[[float, float], Markup]:
    return lambda x, y: group(circle(x, y, 8, "mark-disc"), words(x, y + 4, text, "mark-letter"))


def _plus(x: float, y: float) -> Markup:
    return path(f"M{x - 5:.1f} {y:.1f}L{x + 5:.1f} {y:.1f}M{x:.1f} {y - 5:.1f}L{x:.1f} {y + 5:.1f}", "mark-good")


def _minus(x: float, y: float) -> Markup:
    return rectangle(x - 5.5, y - 2.2, 11, 4.4, "mark-poor")


def _warning(x: float, y: float) -> Markup:
    return group(path(f"M{x:.1f} {y - 9:.1f}L{x + 9:.1f} {y + 7:.1f}L{x - 9:.1f} {y + 7:.1f}Z", "mark-unsafe"),
                 words(x, y + 5, "!", "mark-letter-in"))


def _to_atc(x: float, y: float) -> Markup:
    return path(f"M{x:.1f} {y - 8:.1f}L{x + 4.5:.1f} {y:.1f}L{x - 4.5:.1f} {y:.1f}Z", "mark-called")


def _from_atc(x: float, y: float) -> Markup:
    return path(f"M{x:.1f} {y + 9:.1f}L{x + 4:.1f} {y + 2:.1f}L{x - 4:.1f} {y + 2:.1f}Z", "mark-heard")


_SHAPES: dict[Kind, Callable[[float, float], Markup]] = {
    "failed": _cross, "healed": lambda x, y: circle(x, y, 5, "mark-ring"), "evident": _diamond,
    "instrument evident": _half, "part evident": _whole,
    "act": lambda x, y: line(x, y - 6, x, y + 6, "mark-act"), "first act": _numbered("1"), "named": _numbered("n"),
    "called": _to_atc, "heard": _from_atc, "good": _plus, "poor": _minus, "unsafe": _warning,
    "ended": lambda x, y: rectangle(x - 2, y - 9, 4, 18, "mark-end"),
}
_LEGEND: tuple[tuple[Kind, str], ...] = (
    ("failed", "fails"), ("healed", "comes back"), ("evident", "could have been known"),
    ("instrument evident", "which instrument"), ("part evident", "which part"), ("act", "an act"),
    ("first act", "first act on it"), ("named", "named rightly"), ("called", "you call"), ("heard", "ATC calls you"),
    ("good", "went well"), ("poor", "to work on"), ("unsafe", "unsafe"), ("ended", "the end"),
)


def lanes_drawn(lanes: Sequence[Lane], length_s: float, guides: Sequence[Moment]) -> Markup:
    """Return the lanes of a flight of `length_s`; `guides` are lines through all of them."""
    along = Along(length_s)
    bottom = _TOP + len(lanes) * ROW
    told = sum(len(lane.marks) for lane in lanes) <= _MOST_TITLES
    drawn = [along.grid(_TOP, bottom, guides)]
    for number, lane in enumerate(lanes):
        middle = _TOP + (number + 0.5) * ROW
        drawn.append(words(LEFT - 10, middle + 4.5, lane.name, "lane-name", "end"))
        drawn.append(line(LEFT, middle, RIGHT, middle, "lane-line"))
        drawn += [_with_words(rectangle(along.x(each.begin), middle - 7, max(2.0, along.x(each.end)
                                                                             - along.x(each.begin)), 14,
                                        f"fill fill-{each.kind.replace(' ', '-')}"),
                              f"{clock(each.begin)} to {clock(each.end)}: {each.words}", told)
                  for each in lane.stretches]
        drawn += [_with_words(_SHAPES[each.kind](along.x(each.t), middle), f"{clock(each.t)} {each.words}", told)
                  for each in _heaviest_last(lane.marks)]
    drawn.append(along.labels(bottom + 17))
    return picture(WIDTH, bottom + 24, "The flight in lanes", _says(lanes), "lanes", *drawn, class_="lanes")


def legend() -> Markup:
    """Return what the marks mean, as a drawing; the same is written in the list of moments."""
    drawn, x, y = [], 14.0, 14.0
    for kind, means in _LEGEND:
        if x + 20 + _LETTER * len(means) > WIDTH:
            x, y = 14.0, y + 24.0
        drawn += [_SHAPES[kind](x, y), words(x + 14, y + 4, means, "legend-words", "start")]
        x += 40 + _LETTER * len(means)
    for fill, means in (("bank-over-20", "bank over 20°"), ("bank-over-45", "bank over 45°")):
        if x + 20 + _LETTER * len(means) > WIDTH:
            x, y = 14.0, y + 24.0
        drawn += [rectangle(x - 8, y - 7, 18, 14, f"fill fill-{fill}"),
                  words(x + 16, y + 4, means, "legend-words", "start")]
        x += 44 + _LETTER * len(means)
    says = "; ".join(means for _, means in _LEGEND)
    return picture(WIDTH, y + 14, "What the marks mean", says, "legend", *drawn, class_="legend")


def _heaviest_last(marks: Sequence[Mark]) -> list[Mark]:
    """Return `marks` with what matters more drawn later, so that it lies on top."""
    order: tuple[Kind, ...] = ("act", "heard", "called", "good", "poor", "healed", "failed", "part evident",
                               "instrument evident", "evident", "named",
                               "first act", "ended", "unsafe")
    return sorted(marks, key=lambda each: order.index(each.kind))


def _with_words(drawn: Markup, says: str, told: bool) -> Markup:
    return group(element("title", says), drawn) if told else drawn


def _says(lanes: Sequence[Lane]) -> str:
    said = []
    for lane in lanes:
        count = len(lane.marks) + len(lane.stretches)
        first = [f"{clock(each.t)} {each.words}" for each in lane.marks if each.kind not in ("act", "heard")][:6]
        said.append(f"{lane.name}: {'; '.join(first) if first else f'{count} marks' if count else 'nothing'}.")
    return f"{' '.join(said)} All of it is in the list of moments."
