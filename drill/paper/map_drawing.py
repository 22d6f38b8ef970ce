"""A story's map as SVG: boxes of phases with their branches, endings, and a line for each branch.

What is known of a branch is told by the kind of its line and in words, never by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from drill.check.story_map import Edge, StoryMap
from drill.paper.map_boxes import BEGIN, LINE, NUMBER, Filled, Row, close_id, filled, limits_box, stage_id
from drill.paper.map_layout import Box, Laid, Link, Point, laid_out
from drill.paper.map_sheets import Area
from drill.paper.svg import element, group, path, rectangle, short, words

MARGIN = 14.0
ARROW, ARROW_WIDE = 9.0, 3.6
BASE = 0.78              # of a line's height, down to where its letters stand
GAP = 26.0               # between the map and what stands below it
LEGEND_X = 190.0         # from the left, beside the box of the endings that every phase can come to
LEGEND_LINE = 19.0
ALL = "map-all"          # the name of all that is drawn
_CLASSES = {"never": "never", "shown": "flown", "possible": "possible"}


@dataclass(frozen=True, slots=True)
class Drawn:
    """A map as SVG, how large it is, and where its boxes lie (left, top, width, height)."""

    svg: Markup
    width: float
    height: float
    boxes: tuple[Area, ...]


def drawn(story: StoryMap, *, style: str = "", linked: bool = False) -> Drawn:
    """Return the map drawn. NoLayout without the library that lays it out.

    `style`: a style sheet to put inside, for a file that stands by itself. `linked`: each row leads to its entry in the
    lists of a page.
    """
    return _Drawing(story, linked).whole(style)


def edge_anchor(story: StoryMap, edge: Edge) -> str:
    """Return the name of a branch's entry in the lists."""
    return f"{stage_anchor(story, edge.phase)}-{edge.number}"


def stage_anchor(story: StoryMap, name: str) -> str:
    """Return the name of a phase's entry in the lists."""
    return f"phase-{next(place for place, each in enumerate(story.stages, 1) if each.name == name)}"


def close_anchor(story: StoryMap, name: str) -> str:
    """Return the name of an ending's entry in the lists."""
    return f"ending-{next(place for place, each in enumerate(story.closes, 1) if each.name == name)}"


def edge_words(edge: Edge) -> str:
    """Return a branch in one sentence."""
    hold = f" for {edge.hold}" if edge.hold else ""
    to = f"the flight ends with “{edge.to}”" if edge.ends else f"phase “{edge.to}” begins"
    changes = f", {edge.changes}" if edge.changes else ""
    return f"Branch {edge.number} of “{edge.phase}” (line {edge.line}): when {edge.when}{hold}, {to}{changes}."


@dataclass(frozen=True, slots=True)
class _Drawing:
    story: StoryMap
    linked: bool

    def whole(self, style: str) -> Drawn:
        boxes = filled(self.story)
        edges = [(box, place, edge) for box in boxes for place, edge in _edges(box)]
        links = [Link(BEGIN, 0, stage_id(self.story.start), 4)] + [
            Link(box.name, place, close_id(edge.to) if edge.ends else stage_id(edge.to)) for box, place, edge in edges]
        laid = laid_out([Box(box.name, box.width, tuple(row.height for row in box.rows)) for box in boxes], links)
        left, top, right, bottom = _extent(laid)
        lines = {(box.name, place): points for (box, place, _), points in zip(edges, laid.lines[1:], strict=True)}
        inside = [_line(laid.lines[0], "way", 0.0)]
        inside += [self._box(box, laid.corners[box.name], lines) for box in boxes]
        below, below_width, below_height = self._below(left, bottom + GAP)
        width = max(right, left + below_width) - left + 2 * MARGIN
        height = bottom + GAP + below_height - top + 2 * MARGIN
        moved = group(*inside, *below, transform=f"translate({short(MARGIN - left)} {short(MARGIN - top)})", id=ALL)
        sheet = [element("style", Markup(style))] if style else []  # noqa: S704 - our own
        title = f"Map of {self.story.board_title}"
        says = (f"{len(self.story.stages)} phases, {len(edges)} branches and {len(self.story.closes)} endings. "
                "Everything in the drawing stands in the lists as well.")
        svg = element(
            "svg", element("title", title, id="map-title"), element("desc", says, id="map-says"), *sheet, moved,
            viewBox=f"0 0 {short(width)} {short(height)}", width=width, height=height, class_="map",
            role="group" if self.linked else "img", aria_labelledby="map-title map-says",
            xmlns="http://www.w3.org/2000/svg")
        areas = tuple((laid.corners[box.name][0] - left + MARGIN, laid.corners[box.name][1] - top + MARGIN, box.width,
                       sum(row.height for row in box.rows)) for box in boxes)
        return Drawn(svg, width, height, areas)

    def _box(self, box: Filled, corner: Point, lines: dict[tuple[str, int], tuple[Point, ...]]) -> Markup:
        x, y = corner
        height = sum(row.height for row in box.rows)
        rx = {"begin": 12.0, "stage": 3.0, "close": 14.0 if box.good else 0.0}[box.kind]
        class_ = f"box box-{box.kind} {'good' if box.good else 'bad'} {_CLASSES[box.known]}"
        parts = [element("title", box.says), rectangle(x, y, box.width, height, class_, rx=rx)]
        if box.kind == "close" and box.good:
            parts.append(rectangle(x + 3, y + 3, box.width - 6, height - 6, "box-inner", rx=11.0))
        top = y
        for place, row in enumerate(box.rows):
            if place:
                parts.append(path(f"M{short(x)} {short(top)}h{short(box.width)}", "row-line"))
            parts.append(self._row(row, box, (x, top), lines.get((box.name, place), ())))
            top += row.height
        return group(*parts, class_=f"map-{box.kind}")

    def _row(self, row: Row, box: Filled, corner: Point, points: Sequence[Point]) -> Markup:
        x, y = corner
        parts = [rectangle(x, y, box.width, row.height, "row-ground")]
        if row.edge is not None:
            parts = [element("title", edge_words(row.edge)), *parts, self._way(row.edge, points),
                     words(x + NUMBER / 2 + 1, y + row.pad / 2 + LINE * BASE, str(row.edge.number), "map-number")]
        top = y + row.pad / 2
        for line in row.lines:
            parts.append(words(x + line.x, top + line.height * BASE, line.text, line.class_, "start"))
            top += line.height
        drawing = group(*parts, class_=f"row {row.class_}".strip())
        anchor = self._anchor(row, box)
        return element("a", drawing, href=f"#{anchor}") if anchor else drawing

    def _anchor(self, row: Row, box: Filled) -> str:
        if not self.linked or "cue" in row.class_:
            return ""
        if row.edge is not None:
            return edge_anchor(self.story, row.edge)
        kind, _, name = box.name.partition(" ")
        return {"stage": stage_anchor, "close": close_anchor}[kind](self.story, name) if name else ""

    def _way(self, edge: Edge, points: Sequence[Point]) -> Markup:
        known = edge.known if self.story.looked or edge.known == "never" else "plain"
        wide = 1.2 + 4.8 * sum(edge.shares.values()) / len(edge.shares) if edge.shares else 0.0
        return group(_line(points, f"way way-{known}", wide), *([_cross(points)] if edge.known == "never" else []))

    def _below(self, x: float, y: float) -> tuple[list[Markup], float, float]:
        """Return what stands below the map: endings from any phase, and what the lines mean; its width and height."""
        limits = limits_box(self.story)
        parts, high = [], 0.0
        if limits is not None:
            parts.append(self._box(limits, (x, y), {}))
            high = sum(row.height for row in limits.rows)
        legend = list(_legend(self.story))
        for place, (class_, said) in enumerate(legend):
            at = (x + LEGEND_X, y + 8.0 + place * LEGEND_LINE)
            if class_:
                points = (at, (at[0] + 50.0, at[1]))
                parts.append(path(f"M{short(at[0])} {short(at[1])}h50", f"way {class_}"))
                parts += [_cross(points)] if class_ == "way-never" else []
            parts.append(words(at[0] + (60.0 if class_ else 0.0), at[1] + 4.0, said, "map-text", "start"))
        longest = max(len(said) for _, said in legend) * 6.4 + 60.0
        return parts, LEGEND_X + longest, max(high, len(legend) * LEGEND_LINE)


def _legend(story: StoryMap) -> Iterator[tuple[str, str]]:
    """Yield what the kinds of lines mean, each with its class, and what else is to be known."""
    if story.looked:
        yield "way-shown", "a flight took this branch"
        yield "way-possible", "the story allows it, and no flight took it"
    else:
        yield "way-plain", "the story allows it; whether an airplane can come to it is not known"
    if any(edge.known == "never" for edge in story.edges):
        yield "way-never", "proven: no flight takes it"
    yield "", "Branches are looked at in their order, once a second; the first that holds is taken."
    if story.witnessed:
        yield "", f"Witness flights: {story.witnessed}."
    if story.flown is not None:
        yield "", f"Simulated pilots: {story.flown.setup}; the wider a line, the more of them took it."
    if not story.complete:
        yield "", "The story has too many states to look at all of them: nothing is proven."


def _edges(box: Filled) -> list[tuple[int, Edge]]:
    return [(place, row.edge) for place, row in enumerate(box.rows) if row.edge is not None]


def _extent(laid: Laid) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of all lines and boxes."""
    points = [point for line in laid.lines for point in line]
    xs, ys = [0.0, laid.width, *(x for x, _ in points)], [0.0, laid.height, *(y for _, y in points)]
    return min(xs), min(ys), max(xs), max(ys)


def _line(points: Sequence[Point], class_: str, wide: float) -> Markup:
    """Return a line with its arrow; `wide` 0: as its class has it."""
    if not points:
        return Markup("")
    tip, before = points[-1], points[-2]
    length = math.dist(tip, before)
    dx, dy = ((tip[0] - before[0]) / length, (tip[1] - before[1]) / length) if length > 0.0 else (1.0, 0.0)
    size = ARROW + wide * 0.8
    first, *rest = [*points[:-1], (tip[0] - dx * size * 0.8, tip[1] - dy * size * 0.8)]
    d = f"M{short(first[0])} {short(first[1])}C" + " ".join(f"{short(x)} {short(y)}" for x, y in rest)
    half = ARROW_WIDE + wide * 0.5
    corners = [tip, (tip[0] - dx * size - dy * half, tip[1] - dy * size + dx * half),
               (tip[0] - dx * size + dy * half, tip[1] - dy * size - dx * half)]
    outline = "L".join(f"{short(x)} {short(y)}" for x, y in corners)
    arrow = path(f"M{outline}Z", f"arrow arrow-{class_.split()[-1]}")
    style = f"stroke-width:{short(wide)}" if wide else None
    return group(element("path", d=d, class_=class_, style=style), arrow)


def _cross(points: Sequence[Point]) -> Markup:
    """Return a cross near the beginning of a line that is never gone."""
    x, y = points[0][0] + 11.0, points[0][1]
    return path(f"M{short(x - 4)} {short(y - 4)}l8 8m0 -8l-8 8", "cross")
