"""Learns the classifiers: `python -m drill.language learn actions FILE ...`, labelled lines (with the extra `learn`).

The same lines give the same file up to the last bits of the library's arithmetic; what is kept of a weight is one byte.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from drill.language.likely.classifiers import HEADS, Head
from drill.language.likely.features import PLACES
from drill.language.likely.judging import shown, words_of

STRENGTH = 2.0
"""How little the weights are held back (the library's `C`), chosen on lines that were not learned from."""
JOINTS = (", ", " and ", ", then ", ". ", "; ", " then ", ", and ", " ")
LONGEST_OF_PAIR = 12
PAIR_APART = 1001
_BYTE = 127
_NEEDS = {"target": ("look", "cover", "uncover", "fly_by", "switch"), "switched": ("switch",), "way": ("altitude",),
          "side": ("turn",), "amount": ("turn",), "plan": ("decide",)}
_TARGET_KEYS = {"look": "at", "cover": "what", "uncover": "what", "fly_by": "what", "switch": "what"}


class TooFewError(ValueError):
    """The lines do not teach one of the heads anything; the message says which."""


def label(head: Head, expect: Mapping[str, Any]) -> str | None:
    """Return what a labelled line teaches `head`; None for nothing."""
    if "actions" in expect:
        return "yes" if head in ("several", "ordered") else None
    kind = str(expect["action"])
    if head == "several":
        return "no"
    if head == "kind":
        return kind
    if head == "ordered":
        return "no" if kind == "unclear" else "yes"
    if kind not in _NEEDS[head]:
        return None
    match head:
        case "target":
            return expect.get(_TARGET_KEYS[kind])
        case "switched":
            return expect.get("to")
        case "way" | "side":
            return expect.get("direction")
        case "plan":
            return expect.get("plan")
    return "to" if expect.get("heading_deg") is not None else "by" if expect.get("by_deg") is not None else "none"


def in_pairs(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return lines that order two things, made of every third row and one further on, joined in turn as people do."""
    single = [row for row in rows if row["expect"].get("action", "unclear") != "unclear"
              and len(row["text"].split()) <= LONGEST_OF_PAIR]
    return [{"text": f"{one['text'].rstrip(' .,!?')}{JOINTS[at % len(JOINTS)]}{other['text']}",
             "expect": {"actions": [one["expect"]["action"], other["expect"]["action"]]}}
            for at, (one, other) in enumerate(zip(single[::3], single[PAIR_APART::3], strict=False))
            if one["expect"]["action"] != other["expect"]["action"]]


def learned(rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the arrays of the file that `classifiers` reads, learned from labelled actions."""
    from sklearn.linear_model import LogisticRegression  # here: reading does not need it, and it is an extra

    arrays: dict[str, Any] = {}
    seen = [(shown(row["text"]), row["expect"]) for row in (*rows, *in_pairs(rows))]
    for head in HEADS:
        taught = [(places, said) for places, expect in seen if (said := label(head, expect)) is not None]
        if len({said for _, said in taught}) < 2:
            raise TooFewError(f'to learn "{head}", lines with at least two different labels of it are needed')
        model = LogisticRegression(C=STRENGTH, max_iter=600)
        model.fit(table([places for places, _ in taught]), [said for _, said in taught])
        arrays |= _kept(head, model.classes_, model.coef_, model.intercept_)
    words = sorted({word for row in rows
                    for word in words_of(row["text"]) - set(str(row["expect"].get("where")).lower().split())})
    return arrays | {"words": np.array(" ".join(words))}


def table(shown_by: Sequence[Sequence[int]]) -> Any:
    """Return lines by the places of their features as a sparse matrix of ones, (lines, places)."""
    from scipy.sparse import csr_matrix  # here: it comes with the extra

    flat = [each for line in shown_by for each in line]
    ends = np.cumsum([0, *map(len, shown_by)])
    return csr_matrix((np.ones(len(flat), dtype=np.float32), flat, ends), shape=(len(shown_by), PLACES))


def _kept(head: Head, labels: Iterable[str], weights: Any, bias: Any) -> dict[str, Any]:
    """Return one head as it is kept: weights as bytes, and only the places where one is not zero."""
    if len(weights) == 1:   # two labels have one row, for the second of them
        weights, bias = np.vstack([-weights / 2, weights / 2]), np.array([-bias[0] / 2, bias[0] / 2])
    step = float(np.abs(weights).max()) / _BYTE
    used, whole = kept_as_bytes(weights.T / step)
    return {f"{head} labels": np.array(list(labels)), f"{head} places": used, f"{head} weights": whole,
            f"{head} step": step, f"{head} bias": bias}


def kept_as_bytes(weights: Any) -> tuple[Any, Any]:
    """Return the places (first axis) where a weight is not zero when made whole, and the whole ones there."""
    whole = np.rint(weights).astype(np.int8)
    used = np.flatnonzero(whole.any(axis=1)).astype(np.uint16)
    return used, whole[used]


def write(rows: Sequence[Mapping[str, Any]], path: Path) -> None:
    """Write what `rows` teach to `path`, in the place of what stood there only when all of it is written. Raises
    `TooFewError`, `ModuleNotFoundError` without the extra, `OSError`."""
    replaced(path, lambda: learned(rows))


def replaced(path: Path, arrays: Callable[[], Mapping[str, Any]]) -> None:
    """Write what `arrays` returns in the place of `path` when all of it is written."""
    beside = path.with_name(f"{path.name}.part")
    try:
        with beside.open("wb") as file:   # before the minutes of learning, so that they are not lost
            np.savez_compressed(file, **arrays())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
