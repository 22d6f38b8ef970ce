"""The one way out: every character that reaches a terminal, a pipe or a file of words passes `Out`."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from typing import TextIO

from drill.clean import clean

WIDTH = 78
HANG = 5
"""Columns by which the later rows of a line with a time stamp are moved in."""

_PLAINER = {
    "°": " degrees", "–": "-", "—": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "…": "...", "×": "x",
    "±": "+/-", "≤": "at most", "≥": "at least", "·": "-", "•": "-", "→": "->", "½": "1/2",
}


def wrapped(text: str, *, width: int = WIDTH, hang: int = 0) -> list[str]:
    """Return `text` as rows of at most `width` columns, broken between words; a longer word is cut.

    Line breaks in `text` stay, and so does what a line is moved in by. Rows after the first of a line are moved in
    by `hang` columns more.
    """
    rows: list[str] = []
    for line in text.split("\n"):
        body = line.lstrip(" ")
        first = line[: min(len(line) - len(body), width // 2)]
        rows.extend(
            textwrap.wrap(
                body, width, initial_indent=first, subsequent_indent=first + " " * hang, break_on_hyphens=False
            ) or [""]
        )
    return rows


def _escaped(found: re.Match[str]) -> str:
    """Return one character as JSON escapes it; beyond U+FFFF that takes two (RFC 8259, section 7)."""
    units = found.group().encode("utf-16-be").hex()
    return "".join(f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4))


class Out:
    """Writes clean words to `stream`, and flushes after each call.

    No escape code is ever written but for the colours of `coloured`. A character that the stream's encoding lacks
    becomes a plainer one, or `?`. BrokenPipeError and other OSErrors of the stream are left to the caller.
    """

    def __init__(self, stream: TextIO, *, width: int = WIDTH) -> None:
        self._stream = stream
        self._width = width
        self._encoding = stream.encoding or "utf-8"

    def line(self, text: str = "", *, hang: int = 0) -> None:
        """Write `text` wrapped by words, and a line break."""
        self._write("\n".join(wrapped(clean(text), width=self._width, hang=hang)) + "\n")

    def lines(self, many: Iterable[str]) -> None:
        """Write each of `many` as a line."""
        for each in many:
            self.line(each)

    def at(self, seconds: float, text: str) -> None:
        """Write `text` under its time stamp."""
        from drill.flight.readings import clock_words  # the room is heavy: --help and errors do without it

        self.line(f"{clock_words(seconds)} {clean(text).replace(chr(10), chr(10) + ' ' * HANG)}", hang=HANG)

    def whole(self, text: str) -> None:
        """Write `text` unwrapped, and a line break: for errors that programs read."""
        self._write(clean(text) + "\n")

    def coloured(self, runs: Iterable[tuple[str, str]]) -> None:
        """Write a line of (text, colour): clean text between the codes of `colour`, digits and `;`, or none for "".

        The one way by which an escape code leaves; ValueError for a colour that is none.
        """
        written = []
        for text, colour in runs:
            if not set(colour) <= set("0123456789;"):
                raise ValueError("a colour is digits and semicolons")
            said = self._in_encoding(clean(text))
            written.append(f"\x1b[{colour}m{said}\x1b[0m" if colour and said.strip() else said)
        self._write("".join(written).rstrip(" ") + "\n")

    def json(self, text: str) -> None:
        """Write JSON, every character beyond ASCII escaped: it is the same in every encoding, and valid in each."""
        self._write(re.sub(r"[^\x00-\x7f]", _escaped, clean(text)) + "\n")

    def bare(self, text: str) -> None:
        """Write `text` with nothing after it: the echo of a key, or a prompt."""
        self._write(clean(text))

    def rub_out(self, columns: int) -> None:
        """Wipe the last `columns` columns of the present row."""
        self._write("\b \b" * columns)

    def _write(self, text: str) -> None:
        self._stream.write(self._in_encoding(text))
        self._stream.flush()

    def _in_encoding(self, text: str) -> str:
        try:
            text.encode(self._encoding)
        except UnicodeEncodeError:
            plain = "".join(_PLAINER.get(character, character) for character in text)
            return plain.encode(self._encoding, "replace").decode(self._encoding)
        return text
