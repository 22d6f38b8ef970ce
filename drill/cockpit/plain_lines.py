"""What the toolkit draws (frames, scroll bars, dividers, signs) in ASCII, for terminals that show nothing else."""

from __future__ import annotations

from typing import Any

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter
from textual.screen import Screen
from textual.widget import Widget

_DRAWN_AS = {
    "-": "─━═╌╍┄┅▔▀—–", "|": "│┃║╎╏┆┇▎▏▕▊▌▐▉▋▍", "_": "▁▂", "#": "█▓▒░▃▄▅▆▇■",
    "+": "┌┏┐┓└┗┘┛├┤┬┴┼╔╗╚╝╠╣╦╩╬╭╮╯╰▖▗▘▙▛▜▝▟", ".": "…·•", "*": "●", "o": "○", "O": "⭘",
    ">": "→▶", "<": "←◀", "^": "↑▲", "v": "↓▼", "x": "✓✔", "'": "‘’", '"': "“”", " ": "\xa0",
}
_ASCII = str.maketrans({drawn: plain for plain, each in _DRAWN_AS.items() for drawn in each})
_BARS = {"grab": "#", "scroll_up": ":", "scroll_down": ":"}
"""By what a press of the mouse does there: the part of a scroll bar that moves, and its track."""


class PlainLines(LineFilter):
    """Writes lines and signs as the ASCII characters that look most like them, each in as many cells as before.

    Other characters stay as they are: they are words. A scroll bar, which the toolkit draws by color alone, gets
    characters of its own.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002 - the toolkit's
        """Return `segments` so written."""
        return [_plain(segment) for segment in segments]


def _plain(segment: Segment) -> Segment:
    text, style, control = segment
    if style is not None and style.meta:
        bar = _BARS.get(str(style.meta.get("@mouse.down", "")))
        if bar is not None:
            return Segment(bar * len(text), style, control)
    return segment if text.isascii() else Segment(text.translate(_ASCII), style, control)


PLAIN_LINES = PlainLines()


def draw_again(screen: Screen[Any]) -> None:
    """Draw everything on `screen` again, scroll bars too, because what goes over its lines has changed."""
    for widget in (screen, *screen.walk_children(Widget)):
        widget.refresh()
        if widget.show_vertical_scrollbar:
            widget.vertical_scrollbar.refresh()
        if widget.show_horizontal_scrollbar:
            widget.horizontal_scrollbar.refresh()
