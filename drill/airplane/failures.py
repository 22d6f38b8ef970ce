"""Every failure that can be asked for, and what several of them at once make of the airplane."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType
from typing import NamedTuple

from drill.airplane.catalogue import autopilot, electrical, engine, gyros, pitot_static, vacuum
from drill.airplane.failure import HEALTHY, Effect, Failure, Parameter
from drill.airplane.faults import Faults

__all__ = ["CATALOGUE", "Active", "Effect", "Failure", "Parameter", "faults_at"]


class Active(NamedTuple):
    """A failure at one moment of a flight; `seconds` since its onset, None before it or once it is healed."""

    failure: Failure
    seconds: float | None
    side: float = 1.0       # -1 left, 1 right, where the failure has a side
    severity: float = 1.0   # 0 to 1, of the parameters' sizes


_ALL = (*vacuum.FAILURES, *gyros.FAILURES, *autopilot.FAILURES, *electrical.FAILURES, *pitot_static.FAILURES,
        *engine.FAILURES)

CATALOGUE = MappingProxyType({failure.key: failure for failure in _ALL})
"""Every failure by (part, how)."""


def faults_at(active: Iterable[Active | tuple[Failure, float | None, float, float]]) -> Faults:
    """Return the condition of all parts under these failures; those with `seconds` None or negative do nothing yet.

    Raises ValueError for a severity outside 0 to 1 or a side other than -1 and 1.
    """
    added: dict[str, float] = {}
    worst: dict[str, float] = {}
    for failure, seconds, side, severity in active:
        if not 0.0 <= severity <= 1.0:
            raise ValueError(f"severity of {failure.part} {failure.how!r} is {severity:g}: it goes from 0 to 1")
        if side not in (-1.0, 1.0):
            raise ValueError(f"side of {failure.part} {failure.how!r} is {side:g}: write -1 for left, 1 for right")
        if seconds is None or seconds < 0.0:
            continue
        for effect in failure.effects:
            away = effect.away(seconds, side, severity)
            if effect.sided:
                added[effect.field] = added.get(effect.field, 0.0) + away
            else:
                worst[effect.field] = max(worst.get(effect.field, 0.0), away, key=lambda each: (abs(each), each))
    touched = added.keys() | worst.keys()
    return Faults(**{name: HEALTHY[name] + worst.get(name, 0.0) + added.get(name, 0.0) for name in touched})
