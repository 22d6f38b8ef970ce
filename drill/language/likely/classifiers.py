"""What the words of a line make likely: weights learned from labelled lines, for lines that no rule was written for.

Each head is a linear classifier (multinomial logistic regression) over the features of a line. Its weights are whole
numbers of one byte, so that every machine comes to the same sums. `learning.py` makes the file, `learning_calls.py` the
one for calls.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal, TypeAlias, get_args

import numpy as np

from drill.language.likely.features import PLACES

Head: TypeAlias = Literal["kind", "ordered", "several", "target", "switched", "way", "side", "amount", "plan"]
HEADS: tuple[Head, ...] = get_args(Head)
"""Which action; whether any at all, or several; of which thing; on or off; climb, descend or hold; which way round; to
or by; which decision."""
SHIPPED = Path(__file__).parent / "classifiers.npz"
SHIPPED_FOR_CALLS = Path(__file__).parent / "calls.npz"


@dataclass(frozen=True, slots=True)
class Classifier:
    """One head: `weights` (places, labels) of bytes, each worth `step`; `bias` (labels)."""

    labels: tuple[str, ...]
    weights: Any
    step: float
    bias: tuple[float, ...]

    def likely(self, shown: Sequence[int]) -> list[tuple[str, float]]:
        """Return each label with its probability, the likeliest first, for the features at the places `shown`."""
        sums = self.weights.take(shown, axis=0).sum(axis=0, dtype=np.int32).tolist()
        scores = [total * self.step + bias for total, bias in zip(sums, self.bias, strict=True)]
        most = max(scores)
        odds = [math.exp(score - most) for score in scores]
        total = sum(odds)
        return sorted(((label, each / total) for label, each in zip(self.labels, odds, strict=True)),
                      key=lambda each: -each[1])


@dataclass(frozen=True, slots=True)
class Detectors:
    """What may be said in a call, each label by itself (logistic regression, one against the rest): `weights`
    (places, labels) of bytes, each worth its label's one of `steps` (labels); `bias` (labels)."""

    labels: tuple[str, ...]
    weights: Any
    steps: Any
    bias: Any

    def likely(self, shown: Sequence[int]) -> dict[str, float]:
        """Return each label with its probability, for the features at the places `shown`."""
        sums = self.weights.take(shown, axis=0).sum(axis=0, dtype=np.int32)
        scores = np.clip(sums * self.steps + self.bias, -MOST_SURE, MOST_SURE)
        return dict(zip(self.labels, (1.0 / (1.0 + np.exp(-scores))).tolist(), strict=True))


MOST_SURE = 50.0
"""The logarithm of odds beyond which nothing is told apart."""


def knows(word: str) -> bool:
    """Whether `word` (small letters) stands in a line that was learned from."""
    return word in _words()


@lru_cache(maxsize=1)
def _words() -> frozenset[str]:
    with _opened(SHIPPED) as data:
        return frozenset(str(data["words"]).split())


@lru_cache(maxsize=1)
def classifiers() -> dict[Head, Classifier]:
    """Return the heads as they ship."""
    return loaded(SHIPPED)


def loaded(file: Path) -> dict[Head, Classifier]:
    """Return the heads of a file that `learning.write` made."""
    found: dict[Head, Classifier] = {}
    with _opened(file) as data:
        for head in HEADS:
            weights = np.zeros((PLACES, len(data[f"{head} labels"])), dtype=np.int8)
            weights[data[f"{head} places"]] = data[f"{head} weights"]
            found[head] = Classifier(tuple(map(str, data[f"{head} labels"])), weights, float(data[f"{head} step"]),
                                     tuple(map(float, data[f"{head} bias"])))
    return found


@lru_cache(maxsize=1)
def detectors() -> Detectors:
    """Return what is listened for in calls, as it ships."""
    return loaded_for_calls(SHIPPED_FOR_CALLS)


def loaded_for_calls(file: Path) -> Detectors:
    """Return the detectors of a file that `learning_calls.write` made."""
    with _opened(file) as data:
        labels = tuple(map(str, data["labels"]))
        weights = np.zeros((PLACES, len(labels)), dtype=np.int8)
        weights[data["places"]] = data["weights"]
        return Detectors(labels, weights, data["steps"], data["bias"])


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    with path.open("rb") as file, np.load(file, allow_pickle=False) as data:
        yield data
