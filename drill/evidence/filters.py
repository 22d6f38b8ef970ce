"""First-order low-passes over whole traces, once a second, in NumPy alone.

Time runs along the first axis. A filter `y' = y + (1 - a)(x - y)` with `a = exp(-1 s / tau)` is worked out block by
block: within a block it is a product with a triangular matrix, from one block to the next a number is carried on.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import numpy as np

_BLOCK = 64


@lru_cache(maxsize=16)
def _block(tau_s: float) -> tuple[Any, Any]:
    kept = math.exp(-1.0 / tau_s)
    powers = kept ** np.arange(_BLOCK + 1)
    lower = np.tril(np.subtract.outer(np.arange(_BLOCK), np.arange(_BLOCK)))
    return np.tril((1.0 - kept) * kept ** lower.astype(float)), powers[1:]


def lowpass(x: Any, tau_s: float) -> Any:
    """Return `x` (T, ...) low-passed with a time constant (s), from rest at zero."""
    weights, carried = _block(tau_s)
    flat = np.ascontiguousarray(x, dtype=float).reshape(len(x), -1)
    out = np.empty_like(flat)
    last = np.zeros(flat.shape[1])
    for start in range(0, len(flat), _BLOCK):
        part = flat[start:start + _BLOCK]
        count = len(part)
        out[start:start + count] = weights[:count, :count] @ part + np.outer(carried[:count], last)
        last = out[start + count - 1] if count else last
    return out.reshape(np.shape(x))


def mean_of_late(x: Any, tau_s: float, least: float) -> Any:
    """Return the exponentially weighted mean of what of `x` (T, ...) could be read; NaN where too little of it could.

    NaN in `x` is a second without a reading. `least` is the share of the weight (0 to 1) that must have been read: it
    is reached from a start after `-tau ln(1 - least)` seconds of readings, and lost again by as long without.
    """
    seen = np.isfinite(x)
    weight = lowpass(seen, tau_s)
    total = lowpass(np.where(seen, x, 0.0), tau_s)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(weight >= least, total / weight, np.nan)


def change(x: Any) -> Any:
    """Return what `x` (T, ...) changes by each second, NaN in the first."""
    out = np.full(np.shape(x), np.nan)
    out[1:] = x[1:] - x[:-1]
    return out


def turned(degrees: Any) -> Any:
    """Return what directions (T, ...) in degrees change by each second, the shorter way, NaN in the first."""
    return wrapped(change(degrees))


def wrapped(degrees: Any) -> Any:
    """Return angles (degrees) brought into [-180, 180)."""
    return (degrees + 180.0) % 360.0 - 180.0


def held_for(holds: Any, seconds: int) -> Any:
    """Return, second by second, whether `holds` (T, ...) has held for so many seconds without a break."""
    count = np.cumsum(holds, axis=0)
    before = np.zeros_like(count)
    before[seconds:] = count[:-seconds] if seconds < len(count) else before[seconds:]
    held = count - before >= seconds
    held[:seconds - 1] = False
    return held


def lately(x: Any, seconds: int) -> Any:
    """Return the greatest of `x` (T, ...) of so many seconds up to now."""
    out = x.copy()
    for before in range(1, min(seconds, len(x))):
        np.fmax(out[before:], x[:-before], out=out[before:])
    return out


def carried_on(x: Any) -> Any:
    """Return `x` (T, ...) with the last value before in the place of each that is missing (NaN)."""
    known = np.where(np.isfinite(x), np.arange(len(x)).reshape(-1, *([1] * (np.ndim(x) - 1))), 0)
    return np.take_along_axis(x, np.maximum.accumulate(known, axis=0), axis=0)
