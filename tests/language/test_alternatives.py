"""Many patterns as one find what each of them finds."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.language.alternatives import any_of

FEW = [r"vectors?", r"(?:nearest|closest)(?: \w+){0,2} (?:field|airport)", r"(?<!not )lower", r"\d+ degrees? off",
       r"(?:on |off )?the ground", r"(?<=<engine> )(?:is )?rough", r"no <gyros>", r"(?:a |the )?hold", r"x{2}"]
MANY = [*FEW, *(f"word{each}(?: more)?" for each in range(120)), *(f"(?:one|two) of {each}" for each in range(20))]
WORDS = ["vectors", "vector", "nearest", "closest", "field", "airport", "not", "lower", "30", "degrees", "off", "on",
         "the", "ground", "<engine>", "is", "rough", "no", "<gyros>", "hold", "a", "xx", "word7", "more", "one", "of",
         "5"]


@pytest.mark.parametrize("patterns", [FEW, MANY], ids=["few", "many"])
@given(st.lists(st.sampled_from(WORDS), max_size=8))
def test_many_patterns_as_one_find_what_each_finds(patterns: list[str], words: list[str]) -> None:
    text = " ".join(words)
    alone = [found.start() for each in patterns if (found := re.search(rf"(?<![\w<])(?:{each})(?!\w)", text))]
    together = any_of(patterns).search(text)
    assert (None if together is None else together.start()) == min(alone, default=None)
