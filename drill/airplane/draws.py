"""Everything random, addressed by (seed, stream, block) so that nothing depends on who asks, or in what order.

Flight i of N meets the same air as flight i alone, and so does a flight that was forked or resumed: a number is
looked up by the count of the step, never taken from a generator that remembers.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from drill.airplane.arith import Quantity

BLOCK = 200          # steps in a block
GUSTS = 4            # normal: along, up, roll, side (the ball)
READINGS = 9         # normal: one a reading of the hands
SCANS = 3            # uniform

_GUST_STREAM = 1
_READING_STREAM = 2
_SCAN_STREAM = 3
_INSTRUMENT_STREAM = 4
_NAMED_STREAMS = 1 << 32   # named streams start here, clear of the model's own
_KEPT = 4                  # blocks of each stream that are kept, so that a fork does not redraw what its parent needs


@dataclass(frozen=True, slots=True)
class Instruments:
    """How this airplane's instruments differ from the type's, each a standard draw: u uniform in [0, 1), z normal."""

    attitude_drift_u: Quantity
    attitude_side: Quantity        # -1 or 1
    attitude_pitch_z: Quantity
    attitude_friction_z: Quantity
    heading_friction_z: Quantity
    heading_drift_z: Quantity
    turn_bias_z: Quantity
    tumble_u: Quantity
    resting_u: Quantity
    wing_drop_side: Quantity       # -1 or 1


def _instruments(seed: int) -> list[float]:
    rng = np.random.default_rng([seed, _INSTRUMENT_STREAM, 0])
    u = rng.random(5)
    z = np.clip(rng.standard_normal(5), -2.5, 2.5)   # no shop lets a wilder instrument fly
    side = 1.0 if u[1] < 0.5 else -1.0
    drop = 1.0 if u[4] < 0.5 else -1.0
    return [float(x) for x in (u[0], side, z[0], z[1], z[2], z[3], z[4], u[2], u[3], drop)]


def draw_uniform(seed: int, stream: str, index: int = 0) -> float:
    """Return a number in [0, 1) that depends on `seed`, the name of the stream and `index` alone."""
    return float(np.random.default_rng([seed, _NAMED_STREAMS + zlib.crc32(stream.encode()), index]).random())


class Draws:
    """The random numbers of one flight (one seed: floats) or of N (a sequence of seeds: arrays of shape (N,)).

    Seeds are whole numbers from 0 up. Methods take the count of the step.
    """

    __slots__ = ("_kept", "instruments", "seeds", "single")

    def __init__(self, seed: int | Sequence[int]) -> None:
        self.single = isinstance(seed, int)
        self.seeds: tuple[int, ...] = (seed,) if isinstance(seed, int) else tuple(int(each) for each in seed)
        if not self.seeds or min(self.seeds) < 0:
            raise ValueError("a flight needs a seed that is a whole number from 0 up")
        rows = [_instruments(each) for each in self.seeds]
        self.instruments = Instruments(
            *(column[0] if self.single else np.array(column) for column in zip(*rows, strict=True))
        )
        self._kept: dict[tuple[int, int], list[tuple[Quantity, ...]]] = {}

    @property
    def count(self) -> int | None:
        """The number of flights, or None for a single one in floats."""
        return None if self.single else len(self.seeds)

    def gusts(self, step: int) -> tuple[Quantity, ...]:
        """Return `GUSTS` standard normal numbers for the turbulence of a step."""
        return self._block(_GUST_STREAM, step)[step % BLOCK]

    def readings(self, step: int) -> tuple[Quantity, ...]:
        """Return `READINGS` standard normal numbers for the reading errors of a step."""
        return self._block(_READING_STREAM, step)[step % BLOCK]

    def scans(self, step: int) -> tuple[Quantity, ...]:
        """Return `SCANS` numbers uniform in [0, 1) for the time of the next looks."""
        return self._block(_SCAN_STREAM, step)[step % BLOCK]

    def _block(self, stream: int, step: int) -> list[tuple[Quantity, ...]]:
        key = (stream, step // BLOCK)
        block = self._kept.get(key)
        if block is None:
            block = self._kept[key] = self._drawn(stream, key[1])
            mine = [each for each in self._kept if each[0] == stream]
            for old in mine[: -_KEPT if self.single else -1]:
                del self._kept[old]
        return block

    def _drawn(self, stream: int, block: int) -> list[tuple[Quantity, ...]]:
        width = {_GUST_STREAM: GUSTS, _READING_STREAM: READINGS, _SCAN_STREAM: SCANS}[stream]
        every = np.empty((len(self.seeds), BLOCK, width))
        for row, seed in enumerate(self.seeds):
            rng = np.random.default_rng([seed, stream, block])
            every[row] = rng.random((BLOCK, width)) if stream == _SCAN_STREAM else rng.standard_normal((BLOCK, width))
        if self.single:
            return [tuple(line) for line in every[0].tolist()]
        turned = np.ascontiguousarray(every.transpose(1, 2, 0))
        return [tuple(line) for line in turned]
