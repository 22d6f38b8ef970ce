"""How wide words are in a sans serif face, near enough to break lines and to size boxes before anything is drawn.

Widths are those of Helvetica (Adobe's font metrics, from memory, rounded), taken a little wider, because the reader's
face may be.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

_WIDER = 1.06
_BOLD = 1.07
_BY_WIDTH = {
    0.24: "ijl'|.,:;!I",
    0.29: "ft()[]/\\-r “”‘’·°",
    0.36: "\"*{}",
    0.52: "ckszvxyJ",
    0.56: "abdeghnopqu0123456789L#$_?+=<>–",
    0.64: "FTZ~^",
    0.70: "ABEKPSVXY&",
    0.76: "CDGHNOQRUw",
    0.86: "mM%",
    1.00: "W@—…→●○",
}
_WIDTHS = {letter: width for width, letters in _BY_WIDTH.items() for letter in letters}
_OTHER, _WIDE = 0.66, 1.05


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide `text` is, in the unit of `size`."""
    ems = sum(_WIDTHS.get(each) or (_WIDE if unicodedata.east_asian_width(each) in "WF" else _OTHER) for each in text)
    return ems * size * _WIDER * (_BOLD if bold else 1.0)


def wrapped(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return `text` in lines no wider than `width`; a word that is wider by itself is broken."""
    lines: list[str] = []
    for word in (piece for each in text.split(" ") if each for piece in _pieces(each, width, size, bold=bold)):
        if lines and width_of(f"{lines[-1]} {word}", size, bold=bold) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _pieces(word: str, width: float, size: float, *, bold: bool) -> Iterator[str]:
    while width_of(word, size, bold=bold) > width and len(word) > 1:
        most = next(end for end in range(len(word) - 1, 0, -1)
                    if end == 1 or width_of(word[:end], size, bold=bold) <= width)
        yield word[:most]
        word = word[most:]
    yield word
