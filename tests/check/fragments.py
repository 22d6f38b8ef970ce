"""Pieces of a scenario, as a guide or an explanation shows them, put into a sound one."""

from __future__ import annotations

import re
from pathlib import Path

WHOLE = Path(__file__).with_name("whole.yaml")
_TOP = re.compile(r"^(?:[\"']?([A-Za-z][\w ]*?)[\"']?:(?:\s|$)|(\? ))", re.MULTILINE)


def completed(piece: str, whole: str | None = None) -> tuple[str, int]:
    """The sound scenario with its sections replaced by those of `piece`, and after how many lines the piece begins."""
    base = WHOLE.read_text(encoding="utf-8") if whole is None else whole
    given = {match[1] for match in _TOP.finditer(piece)}
    kept = "".join(section for name, section in sections(base) if name not in given)
    return kept + piece, kept.count("\n")


def sections(text: str) -> list[tuple[str, str]]:
    """The top-level keys of a document, each with the lines from its own to before the next."""
    starts = [(match.start(), match[1]) for match in _TOP.finditer(text)]
    ends = [start for start, _ in starts[1:]] + [len(text)]
    return [(name, text[start:end]) for (start, name), end in zip(starts, ends, strict=True)]
