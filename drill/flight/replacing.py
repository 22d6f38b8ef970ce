"""`dataclasses.replace` for states of many fields, which change a field or two each second: several times as fast.

What is not changed is taken over slot by slot and goes through no `__init__`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import cache
from operator import attrgetter
from typing import Any, TypeVar

_State = TypeVar("_State")


@cache
def _slots(kind: type[Any]) -> tuple[Callable[[Any], tuple[Any, ...]], Mapping[str, int], tuple[Any, ...]]:
    """Return what reads all fields of a class, their places, and what sets each; TypeError for an unfit class."""
    names = [each.name for each in fields(kind)]
    if len(names) < 2 or hasattr(kind, "__post_init__") or not all(
            hasattr(vars(kind).get(name), "__set__") for name in names) or not all(each.init for each in fields(kind)):
        raise TypeError(f"{kind.__name__} is no plain dataclass with slots")
    return attrgetter(*names), {name: place for place, name in enumerate(names)}, tuple(
        getattr(kind, name).__set__ for name in names)


def replace(state: _State, **changes: Any) -> _State:
    """Return `state`, a frozen dataclass with slots of its own and without `__post_init__`, with `changes`.

    As `dataclasses.replace` otherwise; TypeError for a field that there is not.
    """
    kind: Any = type(state)
    read, places, puts = _slots(kind)
    values = list(read(state))
    for name, value in changes.items():
        if name not in places:
            raise TypeError(f"{kind.__name__} has no field {name}")
        values[places[name]] = value
    new: _State = object.__new__(kind)
    for put, value in zip(puts, values, strict=True):
        put(new, value)
    return new
