"""Regular expressions that are rarely found: tried only on a text that holds what no match is without."""

from __future__ import annotations

import re
from collections.abc import Iterator

from drill.language.dissected import certain
from drill.language.patterns import laid_out


class Sought:
    """An expression to be sought within texts, quick to say that it is not there."""

    __slots__ = ("_certain", "_expression", "pattern")

    def __init__(self, pattern: str) -> None:
        self.pattern = pattern
        self._expression: re.Pattern[str] | None = None    # made when it is first wanted: many never are
        self._certain = tuple(sorted(certain(pattern) or ("",)))

    @property
    def certain(self) -> tuple[str, ...]:
        """What a text has to hold one of to be searched; an empty string if each is."""
        return self._certain

    def search(self, text: str) -> re.Match[str] | None:
        """Return the first match; None without one."""
        for each in self._certain:
            if each in text:
                return (self._expression or self._made()).search(text)
        return None

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """Return the matches from left to right."""
        if any(each in text for each in self._certain):
            return (self._expression or self._made()).finditer(text)
        return iter(())

    def _made(self) -> re.Pattern[str]:
        self._expression = re.compile(self.pattern)
        return self._expression


def sought(expression: str) -> Sought:
    """Return an expression, laid out over lines, to be sought within texts."""
    return Sought(laid_out(expression))
