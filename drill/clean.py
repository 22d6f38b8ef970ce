"""Text from outside, made safe to show.

Everything that people or files supply (a scenario, a record, a typed or pasted line) passes `clean` where it
enters. What is left can neither move a cursor nor hide itself nor turn other text round; letters that run from right
to left stay, for names are written in them.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NewType

Clean = NewType("Clean", str)

MAX_LINE = 2_000
MAX_MARKS = 4

MOST_PER_CHARACTER = 8
"""Characters looked at for each that may be kept, when there is a limit."""

MOST_IN_ORDER = 16
"""Marks in a row that are put in order; a longer run, of which `MAX_MARKS` stay anyway, takes long."""

_DROPPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
"""Unicode categories never shown: control, format (direction marks among them), surrogate, private, unassigned."""

_UNSEEN = frozenset(
    {0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x180E, 0x2800, 0x3164, 0xFFA0, *range(0xFE00, 0xFE10), *range(0xE0100,
                                                                                                            0xE01F0)}
)
"""Letters, fillers and variation selectors that take no place on the screen."""

_SEQUENCES = re.compile(
    "(?:\x1b\\[|\x9b)[0-?]*[ -/]*[@-~]?"                        # control sequences; next titles and other strings
    "|(?:\x1b[PX^_\\]]|[\x90\x98\x9d-\x9f])[^\x07\x1b\x9c\r\n]*(?:\x07|\x1b\\\\|\x9c)?"
    "|\x1b[ -/]*[0-~]?")
"""Escape sequences of ECMA-48, section 5, with their letters; a string that has no end goes to the end of its line."""


def clean(text: str, *, limit: int | None = None) -> Clean:
    """Return `text` in NFC without control, direction, invisible and unassigned characters.

    Newlines stay, carriage returns and the Unicode line and paragraph separators become newlines, tabs become
    spaces, and no more than `MAX_MARKS` combining marks follow one another. `limit`, in characters, cuts the rest.
    """
    if text.isascii() and text.isprintable():
        return Clean(text if limit is None else text[:limit])
    if limit is not None:
        text = text[:limit * MOST_PER_CHARACTER]
    normal = unicodedata.normalize("NFC", _thinned(text).replace("\r\n", "\n"))
    kept: list[str] = []
    marks = 0
    for character in normal:
        code = ord(character)
        if character in "\n\r\u2028\u2029\x85":
            kept.append("\n")
            marks = 0
            continue
        if character == "\t":
            kept.append(" ")
            marks = 0
            continue
        if 0x20 <= code < 0x7F:
            kept.append(character)
            marks = 0
            continue
        category = unicodedata.category(character)
        if category in _DROPPED or code in _UNSEEN:
            continue
        if category in ("Mn", "Me"):
            marks += 1
            if marks > MAX_MARKS:
                continue
        else:
            marks = 0
        kept.append(character)
    done = unicodedata.normalize("NFC", "".join(kept))  # what was dropped may have kept a letter and its accent apart
    return Clean(done if limit is None else done[:limit])


def _thinned(text: str) -> str:
    """Return `text` with every run of combining characters cut to `MOST_IN_ORDER`."""
    kept: list[str] = []
    run = 0
    for character in text:
        run = run + 1 if unicodedata.combining(character) else 0
        if run <= MOST_IN_ORDER:
            kept.append(character)
    return "".join(kept)


def clean_line(text: str, *, limit: int = MAX_LINE) -> Clean:
    """Return `text` as one clean line: line breaks become spaces, runs of spaces one, ends trimmed."""
    return Clean(" ".join(clean(text, limit=limit).split()))


def typed_line(text: str, *, limit: int = MAX_LINE) -> Clean:
    """Return what a stranger typed as one clean line, without the letters of escape sequences, which nobody meant.

    `clean_line` leaves them, as is right for a file that has to be mended.
    """
    return clean_line(_SEQUENCES.sub("", text[:limit * MOST_PER_CHARACTER]), limit=limit)
