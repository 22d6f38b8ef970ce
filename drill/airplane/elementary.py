"""Sines, exponentials and the rest from plain IEEE operations, so that every flight computes the same bits.

A library's vector functions may differ in the last place with the length of the array or the place in it; these do
not. Each brings its argument near zero and sums the function's own Taylor series there, to where a further term would
no longer change a double. Against correctly rounded values the error is a few units in the last place in the ranges
that the model uses: angles to some thousands of radians, `exp` of what does not overflow, `log` of normal numbers,
`hypot` of what can be squared.
"""

# ruff: noqa: D102 - each method is the function of its name

from __future__ import annotations

import math

from drill.airplane.tracing import Graph, Operand, Symbol

_HALF_PI = math.pi / 2.0
_HALF_PI_REST = 6.123233995736766e-17      # pi/2 less the double next to it
_LN2 = math.log(2.0)
_LN2_HIGH = math.ldexp(round(math.ldexp(_LN2, 32)), -32)   # short enough that its product with an exponent is exact
_LN2_LOW = (_LN2 - _LN2_HIGH) + 2.3190468138462996e-17         # the last is ln 2 less the double next to it
_EXP_LEAST, _EXP_MOST = -708.0, 709.0

_SIN = [(-1.0) ** n / math.factorial(2 * n + 1) for n in range(1, 9)]     # of r**2, times r**3
_COS = [(-1.0) ** n / math.factorial(2 * n) for n in range(2, 9)]         # of r**2, times r**4
_EXP = [1.0 / math.factorial(n) for n in range(2, 14)]                    # of r, times r**2
_ATANH = [1.0 / (2 * n + 1) for n in range(1, 12)]                        # of s**2, times s**3
_ATAN = [(-1.0) ** n / (2 * n + 1) for n in range(1, 12)]
_TAN_EIGHTH = math.sqrt(2.0) - 1.0                                        # tan(pi/8)


class Elementary(Graph):
    """A graph in which the elementary functions are already taken apart.

    What is left: add, sub, mul, div, fma, sqrt, floor, least, most, where, comparisons, truths, and three on the bits
    of a double: `two_to` (2 to a whole power), `exponent` and `mantissa` (in [1, 2)).
    """

    def _fma(self, x: Operand, y: Operand, z: Operand) -> Symbol:
        return self.node("fma", x, y, z)

    def _series(self, x: Operand, terms: list[float]) -> Operand:
        """Return the sum of `terms[n] * x**n`, in pairs of pairs: few of the operations wait for one another."""
        level: list[Operand] = list(terms)
        while len(level) > 1:
            pairs = [self._fma(x, level[k + 1], level[k]) if k + 1 < len(level) else level[k]
                     for k in range(0, len(level), 2)]
            level, x = pairs, x * x
        return level[0]

    def _turns(self, x: Operand) -> tuple[Operand, Operand, Operand]:
        """Return the quarter turn (0 to 3) next to the angle `x`, and sine and cosine of what is left."""
        turns = self.floor(self._fma(x, 1.0 / _HALF_PI, 0.5))
        rest = self._fma(turns, -_HALF_PI, x)
        rest = self._fma(turns, -_HALF_PI_REST, rest)
        quarter = self._fma(self.floor(turns * 0.25), -4.0, turns)
        square = rest * rest
        sine = self._fma(rest * square, self._series(square, _SIN), rest)
        cosine = self._fma(square * square, self._series(square, _COS), self._fma(square, -0.5, 1.0))
        return quarter, sine, cosine

    def sin(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.sin(x)
        quarter, sine, cosine = self._turns(x)
        value = self.where((quarter == 1.0) | (quarter == 3.0), cosine, sine)
        return self.where(quarter >= 2.0, -value, value)

    def cos(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.cos(x)
        quarter, sine, cosine = self._turns(x)
        value = self.where((quarter == 1.0) | (quarter == 3.0), sine, cosine)
        return self.where((quarter == 1.0) | (quarter == 2.0), -value, value)

    def tan(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.tan(x)
        quarter, sine, cosine = self._turns(x)
        odd = (quarter == 1.0) | (quarter == 3.0)
        return self.where(odd, -cosine, sine) / self.where(odd, sine, cosine)

    def _eighth(self, x: Operand) -> Operand:
        """Return the arctangent of `x` in [0, 1]: less pi/4 where it is large, then twice that of half the angle."""
        large = x > _TAN_EIGHTH
        near = self.where(large, x - 1.0, x) / self.where(large, x + 1.0, 1.0)
        half = near / (1.0 + self.sqrt(self._fma(near, near, 1.0)))
        square = half * half
        angle = self._fma(half * square, self._series(square, _ATAN), half)
        return self.where(large, math.pi / 4.0, 0.0) + 2.0 * angle

    def atan2(self, y: Operand, x: Operand) -> Operand:
        if not isinstance(x, Symbol) and not isinstance(y, Symbol):
            return math.atan2(y, x)
        high, wide = self._size(y), self._size(x)
        steep = high > wide
        longer = self.most(high, wide)
        angle = self._eighth(self.least(high, wide) / self.where(longer > 0.0, longer, 1.0))
        angle = self.where(steep, _HALF_PI - angle, angle)
        angle = self.where(self._below(x), math.pi - angle, angle)
        return self.where(self._below(y), -angle, angle)

    def _size(self, x: Operand) -> Operand:
        return self.most(x, 0.0 - x) if isinstance(x, Symbol) else abs(x)

    def _below(self, x: Operand) -> Operand:
        return x < 0.0

    def atan(self, x: Operand) -> Operand:
        return self.atan2(x, 1.0) if isinstance(x, Symbol) else math.atan(x)

    def asin(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.asin(x)
        return self.atan2(x, self.sqrt((1.0 - x) * (1.0 + x)))

    def exp(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.exp(x)
        held = self.clip(x, _EXP_LEAST, _EXP_MOST)
        doublings = self.floor(self._fma(held, 1.0 / _LN2, 0.5))
        rest = self._fma(doublings, -_LN2_LOW, self._fma(doublings, -_LN2_HIGH, held))
        value = self._fma(rest * rest, self._series(rest, _EXP), rest) + 1.0
        value = value * self.node("two_to", doublings)
        return self.where(x < _EXP_LEAST, 0.0, self.where(x > _EXP_MOST, math.inf, value))

    def log(self, x: Operand) -> Operand:
        if not isinstance(x, Symbol):
            return math.log(x)
        mantissa, exponent = self.node("mantissa", x), self.node("exponent", x)
        large = mantissa > math.sqrt(2.0)
        mantissa = self.where(large, 0.5 * mantissa, mantissa)
        exponent = exponent + self.where(large, 1.0, 0.0)
        off = mantissa - 1.0                       # exact
        share = off / (2.0 + off)
        square = share * share
        # log(1 + off) = off - share * (off - ...): written from `off`, which has no rounding in it
        tail = self._series(square, [2.0 * each for each in _ATANH]) * square
        value = off - share * (off - tail)
        value = self._fma(exponent, _LN2_HIGH, self._fma(exponent, _LN2_LOW, value))
        return self.where(x > 0.0, value, self.where(x < 0.0, math.nan, -math.inf))

    def power(self, x: Operand, y: float) -> Operand:
        return self.exp(y * self.log(x))

    def hypot(self, x: Operand, y: Operand) -> Operand:
        if not isinstance(x, Symbol) and not isinstance(y, Symbol):
            return math.hypot(x, y)
        return self.sqrt(x * x + y * y)

    def sign(self, x: Operand) -> Operand:
        return self.where(x > 0.0, 1.0, self.where(x < 0.0, -1.0, 0.0))
