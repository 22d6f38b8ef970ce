"""Where statistics of healthy flight are kept: shipped with the program, or in the user's cache directory.

They are found by a fingerprint of the airplane, of the edition of the model that flies it and of that of the clock that
reads it. None is ever made here.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from dataclasses import asdict, fields, replace
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np
import platformdirs

import drill.evidence
from drill.airplane.airframe import Airframe
from drill.evidence.hypotheses import hypotheses, with_everything
from drill.evidence.residuals import NAMES, STILL
from drill.evidence.statistics import AIRS, SCALES_S, Statistics
from drill.flight.recorder import MODEL_EDITION

CLOCK_EDITION = 5
"""Goes up when residuals, scales or hypotheses change: what was made before no longer fits."""

SHIPPED = "healthy"
_DIGITS = 4
_MATTERS_NOT = ("low_vacuum_light_fitted", "standby_vacuum_fitted", "suction_gauge_at", "battery_ah", "flaps_most_kt",
                "rpm_green_low", "rpm_redline", "stall_landing_kt")   # to residuals in healthy flight


def fingerprint(frame: Airframe) -> str:
    """Return what the statistics of an airplane are found by."""
    numbers = {name: value for name, value in asdict(with_everything(frame)).items() if name not in _MATTERS_NOT}
    text = json.dumps([MODEL_EDITION, CLOCK_EDITION, numbers], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def known(frame: Airframe) -> Statistics | None:
    """Return the statistics of an airplane, shipped or cached, for its hypotheses; None if nobody has made them."""
    every = [each.name for each in hypotheses(with_everything(frame))]
    found = _known(fingerprint(frame), len(every))
    mine = [every.index(each.name) for each in hypotheses(frame)]
    return None if found is None else replace(found, thresholds=found.thresholds[:, :, mine])


@lru_cache(maxsize=16)
def _known(name: str, count: int) -> Statistics | None:
    shipped = resources.files(drill.evidence).joinpath(SHIPPED, f"{name}.json")
    for text in (_text(shipped), _text(_cache() / f"{name}.json")):
        found = None if text is None else _from_json(text, count)
        if found is not None:
            return found
    return None


def keep(frame: Airframe, statistics: Statistics, folder: Path | None = None) -> Path:
    """Write statistics to a folder, the user's cache unless given, whole or not at all; return the file.

    Raises OSError where it cannot be written.
    """
    where = _cache() if folder is None else folder
    where.mkdir(parents=True, exist_ok=True)
    path = where / f"{fingerprint(frame)}.json"
    handle, made = tempfile.mkstemp(dir=where)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(to_json(statistics))
        Path(made).chmod(0o644)
        Path(made).replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            Path(made).unlink()
        raise
    _known.cache_clear()
    return path


def to_json(statistics: Statistics) -> str:
    """Return statistics as JSON text; covariances by spreads and the lower half of the correlations."""
    data: dict[str, Any] = {each.name: _rounded(getattr(statistics, each.name)) for each in fields(statistics)
                            if each.name != "covariance"}
    spread = np.sqrt(np.diagonal(statistics.covariance, axis1=2, axis2=3))
    rows, columns = np.tril_indices(len(NAMES), -1)
    correlation = statistics.covariance / (spread[..., None] * spread[..., None, :])
    data["spread"], data["correlation"] = _rounded(spread), np.round(correlation[..., rows, columns], 4).tolist()
    return json.dumps(data, separators=(",", ":")) + "\n"


def _from_json(text: str, count: int) -> Statistics | None:
    """Return the statistics in a text; None if it is not such a text, or not for so many hypotheses."""
    try:
        data: Mapping[str, Any] = json.loads(text)
        arrays = {name: np.array(values, dtype=float) for name, values in data.items()}
        spread, shares = arrays.pop("spread"), arrays.pop("correlation")
        correlation = np.zeros((*spread.shape, spread.shape[-1])) + np.eye(spread.shape[-1])
        rows, columns = np.tril_indices(spread.shape[-1], -1)
        correlation[..., rows, columns] = correlation[..., columns, rows] = shares
        found = Statistics(covariance=correlation * spread[..., None] * spread[..., None, :], **arrays)
        shapes = found.mean.shape, found.thresholds.shape, found.edges.shape, found.lively.shape
        np.linalg.cholesky(found.covariance)
    except (ValueError, TypeError, KeyError, AttributeError, IndexError, np.linalg.LinAlgError):
        return None
    airs = len(AIRS)
    fits = shapes == ((airs, len(SCALES_S), len(NAMES)), (2, airs, count), (airs - 1, 2), (airs, len(STILL)))
    return found if fits and all(np.isfinite(getattr(found, each.name)).all() for each in fields(found)) else None


def _rounded(values: Any) -> Any:
    return np.vectorize(lambda x: float(f"{x:.{_DIGITS}g}"))(np.asarray(values, dtype=float)).tolist()


def _text(path: Any) -> str | None:
    try:
        return str(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return None


def _cache() -> Path:
    return Path(platformdirs.user_cache_dir("drill")) / "evidence"
