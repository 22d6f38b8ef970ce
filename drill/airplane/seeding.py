"""Many generators of random numbers seeded at once.

`numpy.random.default_rng([seed, stream, block])` spends most of its time on the mixing of those numbers. Here they are
mixed for all seeds together, and what comes out is the same generator. The mixing is the one that NumPy documents for
`SeedSequence` and promises to keep (M. E. O'Neill's, 2015); a test holds it against NumPy's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.random.bit_generator import ISeedSequence

_POOL = 4                      # words of 32 bits
_STATE = 8                     # what a PCG64 asks for
_FIRST, _FIRST_TIMES = 0x43B0D7E5, 0x931E8875
_LAST, _LAST_TIMES = 0x8B51F9DD, 0x58F38DED
_LEFT, _RIGHT = np.uint32(0xCA01F9DD), np.uint32(0x4973F715)
_HALF = np.uint32(16)
_WORD = 1 << 32


class _Mixed(ISeedSequence):
    """Stands for a `SeedSequence` whose words are known."""

    def __init__(self, words: Any) -> None:
        self._words = words

    def generate_state(self, n_words: int, dtype: Any = np.uint32) -> Any:  # noqa: ARG002 - a PCG64 asks for 4 of 64
        return self._words


class _Hash:
    """Multiplies by a constant that is another one each time."""

    def __init__(self, start: int, times: int) -> None:
        self._now, self._times = start, times

    def __call__(self, words: Any) -> Any:
        words = words ^ np.uint32(self._now)
        self._now = self._now * self._times % _WORD
        words = words * np.uint32(self._now)
        return words ^ (words >> _HALF)


def mixed(seeds: Sequence[int], stream: int, block: int) -> Any:
    """Return the states (N, 4), 64-bit words, of `SeedSequence([seed, stream, block])`; all of them below 2**32."""
    given = [np.array(seeds, dtype=np.uint32),
             *(np.full(len(seeds), each, dtype=np.uint32) for each in (stream, block, 0))]
    first = _Hash(_FIRST, _FIRST_TIMES)
    pool = [first(each) for each in given]
    for source in range(_POOL):
        for to in range(_POOL):
            if to != source:
                both = pool[to] * _LEFT - first(pool[source]) * _RIGHT
                pool[to] = both ^ (both >> _HALF)
    last = _Hash(_LAST, _LAST_TIMES)
    words = np.stack([last(pool[k % _POOL]) for k in range(_STATE)], axis=1).astype("<u4")
    return words.view("<u8").astype(np.uint64)


def generators(seeds: Sequence[int], stream: int, block: int) -> Iterator[np.random.Generator]:
    """Yield `default_rng([seed, stream, block])` for each seed."""
    if max(*seeds, stream, block) >= _WORD:
        for seed in seeds:
            yield np.random.default_rng([seed, stream, block])
        return
    for words in mixed(seeds, stream, block):
        yield np.random.Generator(np.random.PCG64(_Mixed(words)))  # type: ignore[arg-type]
