"""What is known of a word, worked out once: pilots say the same words over and over."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Known = TypeVar("Known")
MOST_WORDS = 4096
"""Words remembered; what a stranger types must not fill the memory."""


class Remembered(dict[str, Known], Generic[Known]):
    """Words, each with what `works_out` says of it: asked like a dictionary, which knows them all."""

    def __init__(self, works_out: Callable[[str], Known]) -> None:
        super().__init__()
        self._works_out = works_out

    def __missing__(self, word: str) -> Known:
        known = self._works_out(word)
        if len(self) < MOST_WORDS:
            self[word] = known
        return known
