"""Long regular expressions laid out over several lines."""

from __future__ import annotations

import re


def laid_out(text: str) -> str:
    """Return the expression that `text` is, without its line breaks and the spaces at both ends of each line."""
    return "".join(line.strip() for line in text.splitlines())


def compiled(text: str) -> re.Pattern[str]:
    """Return the expression that `text` is, laid out over lines, compiled."""
    return re.compile(laid_out(text))
