"""Strips of cells on the screen: only the rows that came out different are painted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget


class Strips(Widget):
    """Strips of cells, painted row by row as they change."""

    ALLOW_SELECT = False

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._strips: list[Strip] = []
        self._painted_for = Size(0, 0)

    def _draw(self) -> None:
        """Make the strips anew, for those that depend on the size."""

    def render_line(self, y: int) -> Strip:
        """Return row `y`, drawn anew first at another size: the toolkit does not always tell of it otherwise."""
        if self._painted_for != self.size:
            self._painted_for = self.size
            self._draw()
        return self._strips[y] if y < len(self._strips) else Strip.blank(self.size.width, self.rich_style)

    def put(self, strips: list[Strip]) -> None:
        """Show `strips`; rows that stay as they are send nothing."""
        before, self._strips = self._strips, strips
        if len(before) != len(strips):
            self.refresh()
            return
        width = self.size.width
        regions = [Region(0, first, width, count) for first, count in _changed(before, strips)]
        if regions:
            self.refresh(*regions)


def _changed(before: list[Strip], after: list[Strip]) -> Iterable[tuple[int, int]]:
    """Yield (first row, rows) of each stretch of rows that differ."""
    first = -1
    for y, (old, new) in enumerate(zip(before, after, strict=True)):
        if old == new:
            if first >= 0:
                yield first, y - first
                first = -1
        elif first < 0:
            first = y
    if first >= 0:
        yield first, len(after) - first
