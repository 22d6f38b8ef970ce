"""Everything random, addressed by (seed, stream, block) so that nothing depends on who asks, or in what order.

Flight i of N meets the same air as flight i alone, and so does a flight that was forked or resumed: a number is
looked up by the count of the step, never taken from a generator that remembers.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from drill.airplane.arith import Quantity
from drill.airplane.seeding import generators

Array: TypeAlias = npt.NDArray[np.float64]

BLOCK = 200          # steps in a block
GUSTS = 4            # normal: along, up, roll, side (the ball)
READINGS = 9         # normal: one a reading of the hands
SCANS = 3            # uniform
LOOK_STEPS = 4       # steps that share the draws of a look: no instrument is looked at twice in so short a time

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
    standby_roll_z: Quantity
    standby_pitch_z: Quantity
    standby_battery_u: Quantity


def _instruments(seed: int) -> list[float]:
    rng = np.random.default_rng([seed, _INSTRUMENT_STREAM, 0])
    u = rng.random(5)
    z = np.clip(rng.standard_normal(5), -2.5, 2.5)   # no shop lets a wilder instrument fly
    later = np.clip(rng.standard_normal(2), -2.5, 2.5)   # what came later is drawn last: the others stay as they were
    battery = rng.random()
    side = 1.0 if u[1] < 0.5 else -1.0
    drop = 1.0 if u[4] < 0.5 else -1.0
    return [float(x) for x in (u[0], side, z[0], z[1], z[2], z[3], z[4], u[2], u[3], drop, *later, battery)]


def draw_uniform(seed: int, stream: str, index: int = 0) -> float:
    """Return a number in [0, 1) that depends on `seed`, the name of the stream and `index` alone."""
    return float(np.random.default_rng([seed, _NAMED_STREAMS + zlib.crc32(stream.encode()), index]).random())


class Draws:
    """The random numbers of one flight (one seed: floats) or of N (a sequence of seeds: arrays of shape (N,)).

    Seeds are whole numbers from 0 up. Methods take the count of the step.
    """

    __slots__ = ("_kept", "_kept_rows", "instruments", "seeds", "single")

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
        self._kept_rows: dict[int, tuple[int, Array]] = {}

    @property
    def count(self) -> int | None:
        """The number of flights, or None for a single one in floats."""
        return None if self.single else len(self.seeds)

    def gusts(self, step: int) -> tuple[Quantity, ...]:
        """Return `GUSTS` standard normal numbers for the turbulence of a step."""
        return self._block(_GUST_STREAM, step)[step % BLOCK]

    def readings(self, step: int) -> tuple[Quantity, ...]:
        """Return `READINGS` standard normal numbers for the reading errors of a step."""
        return self._block(_READING_STREAM, step // LOOK_STEPS)[step // LOOK_STEPS % BLOCK]

    def scans(self, step: int) -> tuple[Quantity, ...]:
        """Return `SCANS` numbers uniform in [0, 1) for the time of the next looks."""
        return self._block(_SCAN_STREAM, step // LOOK_STEPS)[step // LOOK_STEPS % BLOCK]

    def rows_of_readings(self, step: int) -> Array:
        """Return the readings' draws (N, BLOCK, READINGS) of the block that `step` lies in, a row for a look.

        As the other two, of N flights only, and until another block is asked for: the memory is used again.
        """
        return self._rows(_READING_STREAM, step // LOOK_STEPS // BLOCK)

    def rows_of_scans(self, step: int) -> Array:
        """Return the scans' draws (N, BLOCK, SCANS) of the block that `step` lies in, a row for a look."""
        return self._rows(_SCAN_STREAM, step // LOOK_STEPS // BLOCK)

    def rows_of_gusts(self, step: int) -> Array:
        """Return the gusts' draws (N, BLOCK, GUSTS) of the block that `step` lies in, a row for a step."""
        return self._rows(_GUST_STREAM, step // BLOCK)

    def _block(self, stream: int, step: int) -> list[tuple[Quantity, ...]]:
        key = (stream, step // BLOCK)
        block = self._kept.get(key)
        if block is None:
            drawn = self._drawn(*key)
            if self.single:
                block = [tuple(line) for line in drawn[0].tolist()]
            else:
                block = [tuple(line) for line in np.ascontiguousarray(drawn.transpose(1, 2, 0))]
            self._kept[key] = block
            mine = [each for each in self._kept if each[0] == stream]
            for old in mine[: -_KEPT if self.single else -1]:
                del self._kept[old]
        return block

    def _rows(self, stream: int, block: int) -> Array:
        held, rows = self._kept_rows.get(stream, (-1, None))
        if rows is None or held != block:
            rows = self._drawn(stream, block, rows)
            self._kept_rows[stream] = block, rows
        return rows

    def _drawn(self, stream: int, block: int, into: Array | None = None) -> Array:
        width = {_GUST_STREAM: GUSTS, _READING_STREAM: READINGS, _SCAN_STREAM: SCANS}[stream]
        every = np.empty((len(self.seeds), BLOCK, width)) if into is None else into
        for row, rng in zip(every, generators(self.seeds, stream, block), strict=True):
            if stream == _SCAN_STREAM:
                rng.random(out=row)
            else:
                rng.standard_normal(out=row)
        return every
