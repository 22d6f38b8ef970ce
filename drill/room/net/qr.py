"""An address as a QR code: for a page as SVG, for a terminal in half blocks. Black on white, with a quiet margin."""

from __future__ import annotations

from functools import lru_cache

import segno
from markupsafe import Markup

from drill.paper.svg import element, path, rectangle

_MARGIN = 2
_BLOCKS = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}
"""By whether the upper and the lower square are dark: a block is light, for terminals write light on dark."""


def matrix(address: str) -> tuple[tuple[bool, ...], ...]:
    """Return the squares of the code of `address`, row by row with its margin; True for dark."""
    code = segno.make(address, error="m", micro=False)
    return tuple(tuple(bool(square) for square in row) for row in code.matrix_iter(border=_MARGIN))


@lru_cache(maxsize=8)
def svg(address: str) -> Markup:
    """Return the code as a drawing."""
    rows = matrix(address)
    size = len(rows)
    dark = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, square in enumerate(row) if square)
    return element(
        "svg", element("title", f"QR code of {address}"), rectangle(0, 0, size, size, "qr-light"),
        path(dark, "qr-dark"), viewBox=f"0 0 {size} {size}", role="img", class_="qr", xmlns="http://www.w3.org/2000/svg",
        shape_rendering="crispEdges")


def lines(address: str) -> list[str]:
    """Return the code as lines of half blocks, for a terminal that writes light on dark."""
    rows = list(matrix(address))
    if len(rows) % 2:
        rows.append(tuple(False for _ in rows[0]))
    return ["".join(_BLOCKS[upper, lower] for upper, lower in zip(rows[at], rows[at + 1], strict=True))
            for at in range(0, len(rows), 2)]
