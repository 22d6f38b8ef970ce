"""Words made to fit a place on a page or screen of fixed size. Pure."""

from __future__ import annotations

import unicodedata

MORE = "…"


def width(text: str) -> int:
    """Return how many columns `text` takes: two for letters as wide as high, none for marks on letters."""
    return sum(0 if unicodedata.combining(each) else 2 if unicodedata.east_asian_width(each) in "WF" else 1
               for each in text)


def elided(text: str, most: int) -> str:
    """Return `text` in one line of at most `most` columns, cut behind a word where one ends in its last third."""
    line = " ".join(text.split())
    if width(line) <= most:
        return line
    kept: list[str] = []
    room = most - width(MORE)
    for each in line:
        room -= width(each)
        if room < 0:
            break
        kept.append(each)
    cut = "".join(kept)
    at = cut.rfind(" ")
    return (cut[:at] if at >= 2 * len(cut) // 3 else cut).rstrip(" ,;:.") + MORE
