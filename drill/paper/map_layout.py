"""Where the boxes of a map stand, and how lines run between them: laid out in layers by Graphviz's dot.

Graphviz comes with the library pygraphviz (the extra `map`), whose wheels hold it whole. Nothing that an author has
written is handed to it: only sizes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

Point: TypeAlias = tuple[float, float]

BETWEEN_LAYERS = 52.0
BETWEEN_BOXES = 22.0
AROUND = 7.0             # so far lines keep away from a box that they pass
MANY = 120               # lines; from here on it takes too long to look for the fewest crossings
_CAREFUL = {"searchsize": "200", "mclimit": "8"}
_QUICK = {"searchsize": "20", "mclimit": "0.4", "nslimit": "1", "nslimit1": "1"}
_INCH = 72.0             # points, which are the units here


class NoLayout(RuntimeError):  # noqa: N818 - an answer to the one who asked
    """The library that lays a map out is not installed."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box to be placed: its name, width, and the heights of its rows from the top, each of which lines can leave."""

    name: str
    width: float
    rows: tuple[float, ...]

    @property
    def height(self) -> float:
        """How high it is."""
        return sum(self.rows)


@dataclass(frozen=True, slots=True)
class Link:
    """A line to be run from a row of a box, by its place, to another box. `weight`: how much it should be straight."""

    of: str
    row: int
    to: str
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Laid:
    """The layout: the upper left corner of each box by its name; for each link the points of its line.

    A line is a curve of Bezier pieces: a point, then three for each piece; its last point is where the arrow's tip is.
    """

    width: float
    height: float
    corners: Mapping[str, Point]
    lines: tuple[tuple[Point, ...], ...]


def laid_out(boxes: Sequence[Box], links: Sequence[Link]) -> Laid:
    """Return the layout, from left to right; the first box is farthest left. NoLayout without the library."""
    try:
        import pygraphviz
    except ImportError as error:
        raise NoLayout("a map is drawn with the library pygraphviz; get it with `pip install drill[map]`") from error
    graph = pygraphviz.AGraph(directed=True, strict=False)
    graph.graph_attr.update(rankdir="LR", ranksep=f"{BETWEEN_LAYERS / _INCH:.3f}",
                            nodesep=f"{BETWEEN_BOXES / _INCH:.3f}", splines="spline",
                            **(_CAREFUL if len(links) <= MANY else _QUICK))
    graph.node_attr.update(shape="plain", margin="0")
    numbers = {box.name: f"n{place}" for place, box in enumerate(boxes)}
    for place, box in enumerate(boxes):
        graph.add_node(f"n{place}", label=_table(box))
    for place, link in enumerate(links):
        graph.add_edge(numbers[link.of], numbers[link.to], key=f"e{place}", id=f"e{place}", tailport=f"r{link.row}:e",
                       headport="r0:w", weight=str(link.weight), arrowhead="none")
    return _read(json.loads(graph.draw(format="json0", prog="dot")), boxes, len(links))


def _table(box: Box) -> str:
    rows = "".join(f'<TR><TD PORT="r{place}" FIXEDSIZE="TRUE" WIDTH="{box.width:.0f}" HEIGHT="{height:.0f}"></TD></TR>'
                   for place, height in enumerate(box.rows))
    table = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">'
    return f'<{table}<TR><TD CELLPADDING="{AROUND:.0f}">{table}{rows}</TABLE></TD></TR></TABLE>>'


def _read(drawn: dict[str, Any], boxes: Sequence[Box], links: int) -> Laid:
    _, _, width, height = map(float, drawn["bb"].split(","))
    corners: dict[str, Point] = {}
    for each in drawn["objects"]:
        box = boxes[int(each["name"].removeprefix("n"))]
        x, y = map(float, each["pos"].split(","))
        corners[box.name] = (x - box.width / 2.0, height - y - box.height / 2.0)
    lines: list[tuple[Point, ...]] = [()] * links
    for each in drawn.get("edges", ()):
        points = [tuple(map(float, pair.split(","))) for pair in each["pos"].split(" ") if pair[:2] not in ("e,", "s,")]
        lines[int(each["id"].removeprefix("e"))] = tuple((x, height - y) for x, y in points)
    return Laid(width, height, corners, tuple(lines))
