"""The elementary functions that the model is written in, for one flight or for many.

Every equation of the airplane is written once, on a `Maths`. With `FLOATS` a quantity is a Python float: one flight,
some thirty times faster than arrays of length one. With `ARRAYS` it is a float64 array of shape (N,): N flights at
once. No equation asks which it is; a choice is always `where`, never `if`.
"""

# ruff: noqa: D102 - each method of `Maths` is the function of its name

from __future__ import annotations

import math
from typing import Any, Protocol, TypeAlias

import numpy as np

Quantity: TypeAlias = Any
"""A float, or a float64 array of shape (N,)."""

Truth: TypeAlias = Any
"""A bool, or a bool array of shape (N,). Combine with & and |; turn round with `Maths.no`."""


class Maths(Protocol):
    """Elementary functions on a float or elementwise on an array."""

    def sin(self, x: Quantity) -> Quantity: ...
    def cos(self, x: Quantity) -> Quantity: ...
    def tan(self, x: Quantity) -> Quantity: ...
    def asin(self, x: Quantity) -> Quantity: ...
    def atan(self, x: Quantity) -> Quantity: ...
    def atan2(self, y: Quantity, x: Quantity) -> Quantity: ...
    def exp(self, x: Quantity) -> Quantity: ...
    def log(self, x: Quantity) -> Quantity: ...
    def sqrt(self, x: Quantity) -> Quantity: ...
    def hypot(self, x: Quantity, y: Quantity) -> Quantity: ...
    def floor(self, x: Quantity) -> Quantity: ...
    def sign(self, x: Quantity) -> Quantity: ...
    def least(self, x: Quantity, y: Quantity) -> Quantity: ...
    def most(self, x: Quantity, y: Quantity) -> Quantity: ...
    def clip(self, x: Quantity, low: Quantity, high: Quantity) -> Quantity: ...
    def where(self, truth: Truth, yes: Quantity, no: Quantity) -> Quantity: ...
    def no(self, truth: Truth) -> Truth: ...


class _Floats:
    sin = staticmethod(math.sin)
    cos = staticmethod(math.cos)
    tan = staticmethod(math.tan)
    asin = staticmethod(math.asin)
    atan = staticmethod(math.atan)
    atan2 = staticmethod(math.atan2)
    exp = staticmethod(math.exp)
    log = staticmethod(math.log)
    sqrt = staticmethod(math.sqrt)
    hypot = staticmethod(math.hypot)

    @staticmethod
    def floor(x: float) -> float:
        return float(math.floor(x))

    @staticmethod
    def sign(x: float) -> float:
        return (x > 0.0) - (x < 0.0) + 0.0

    @staticmethod
    def least(x: float, y: float) -> float:
        return x if x < y else y

    @staticmethod
    def most(x: float, y: float) -> float:
        return x if x > y else y

    @staticmethod
    def clip(x: float, low: float, high: float) -> float:
        return low if x < low else high if x > high else x

    @staticmethod
    def where(truth: bool, yes: float, no: float) -> float:
        return yes if truth else no

    @staticmethod
    def no(truth: bool) -> bool:
        return not truth


class _Arrays:
    sin = np.sin
    cos = np.cos
    tan = np.tan
    asin = np.arcsin
    atan = np.arctan
    atan2 = np.arctan2
    exp = np.exp
    log = np.log
    sqrt = np.sqrt
    hypot = np.hypot
    floor = np.floor
    sign = np.sign
    least = np.minimum
    most = np.maximum

    @staticmethod
    def clip(x: Quantity, low: Quantity, high: Quantity) -> Quantity:
        return np.minimum(np.maximum(x, low), high)   # np.clip costs several times as much on short arrays

    where = staticmethod(np.where)
    no = np.logical_not


FLOATS: Maths = _Floats()
ARRAYS: Maths = _Arrays()


def wrap_deg(m: Maths, x: Quantity) -> Quantity:
    """Return the angle `x` (degrees) brought into [-180, 180)."""
    return x - 360.0 * m.floor((x + 180.0) / 360.0)


def compass_deg(m: Maths, x: Quantity) -> Quantity:
    """Return the angle `x` (degrees) brought into [0, 360)."""
    return x - 360.0 * m.floor(x / 360.0)
