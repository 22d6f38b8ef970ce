"""What plots have in common: the height of a value, marks and frame, the path of a line, the names at its end."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from drill.grading.plotted import Range, Values
from drill.paper.along import LEFT, RIGHT, Along
from drill.paper.svg import line, rectangle, short, words

HIGH = 66.0
TOP = 20.0
BOTTOM = TOP + HIGH
_APART = 12.0                # of two names, at least


def y_of(value: float, scale: Range) -> float:
    """Return how high a value stands."""
    low, high = scale
    share = (value - low) / (high - low) if high > low else 0.5
    return BOTTOM - min(max(share, 0.0), 1.0) * HIGH


def axis(name: str, ticks: Sequence[tuple[float, str]], scale: Range) -> list[Markup]:
    """Return the marks of a scale of the quantity `name`, with a line at each, and the frame."""
    drawn = []
    for value, says in ticks:
        y = y_of(value, scale)
        drawn.append(line(LEFT, y, RIGHT, y, "zero" if value == 0 and name == "bank" else "grid"))
        drawn.append(words(LEFT - 8, y + 4, says, "tick", "end"))
    drawn.append(rectangle(LEFT, TOP, RIGHT - LEFT, HIGH, "frame"))
    return drawn


def line_path(t: Sequence[float], values: Values, along: Along, scale: Range, jump: float) -> str:
    """Return the path of a line, broken where there is no value and where a direction goes round."""
    pieces: list[str] = []
    last: float | None = None
    for at, value in zip(t, values, strict=True):
        if value is None:
            last = None
            continue
        command = "M" if last is None or abs(value - last) > jump else "L"
        pieces.append(f"{command}{along.x(at):.1f} {y_of(value, scale):.1f}")
        last = value
    if len(pieces) == 1:
        pieces.append(f"h{short(1.5)}")
    return "".join(pieces)


def last_of(values: Values) -> float | None:
    """Return the last value that there is."""
    return next((each for each in reversed(values) if each is not None), None)


def names_at(ends: Sequence[tuple[float, str, str]]) -> list[Markup]:
    """Return names beside the ends of lines, one below the other where they end together: (height, name, class)."""
    placed: list[tuple[float, str, str]] = []
    for y, name, class_ in sorted(ends):
        placed.append((max(y, placed[-1][0] + _APART) if placed else y, name, class_))
    over = max(0.0, placed[-1][0] + 2 - BOTTOM) if placed else 0.0
    return [words(RIGHT + 6, y - over + 4, name, class_, "start") for y, name, class_ in placed]
