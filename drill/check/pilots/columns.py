"""N airplanes as arrays, and each of them as the one airplane that a flight knows: out of a column and back into it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields
from functools import cache
from typing import Any, get_type_hints

import numpy as np

from drill.airplane.model import State


@cache
def _parts(kind: type) -> tuple[tuple[str, type | None], ...]:
    """Return the fields of a dataclass; with each its type where that is one, too, else None."""
    hints = get_type_hints(kind)
    return tuple((each.name, hints[each.name] if hasattr(hints[each.name], "__dataclass_fields__") else None)
                 for each in fields(kind))


def _leaves(part: Any, kind: type) -> Iterator[Any]:
    for name, inner in _parts(kind):
        value = getattr(part, name)
        if inner is not None:
            yield from _leaves(value, inner)
        elif not isinstance(value, int):
            yield value


def _built(kind: type, take: Callable[[], Any], step: int) -> Any:
    return kind(*(step if name == "step" else take() if inner is None else _built(inner, take, step)
                  for name, inner in _parts(kind)))


def leaves(state: State) -> list[Any]:
    """Return every number of an airplane's state but the count of steps, in the order of its fields."""
    return list(_leaves(state, State))


def built(columns: Sequence[Any], step: int) -> State:
    """Return the state whose `leaves` are `columns`."""
    values = iter(columns)
    state: State = _built(State, values.__next__, step)
    return state


def one_of(columns: Sequence[Any], which: int, step: int) -> State:
    """Return airplane `which` in floats; `columns` are the `leaves` of N."""
    return built([column.item(which) for column in columns], step)


def with_one(state: State, which: int, new: State) -> State:
    """Return N airplanes with one of them in the place of airplane `which`."""
    changed = []
    for column, value in zip(leaves(state), leaves(new), strict=True):
        if column.item(which) != value:
            column = column.copy()
            column[which] = value
        changed.append(column)
    return built(changed, state.step)


def some_of(state: State, which: Any) -> State:
    """Return the airplanes at the places `which`, an array of whole numbers."""
    return built([column[which] for column in leaves(state)], state.step)


def cut(part: Any, where: Any, count: int, *lists: str) -> None:
    """Keep the places `where` of every array of `part` whose last axis is N, and of its attributes `lists`.

    The arrays are its attributes, or stand in dictionaries that are.
    """
    def fewer(value: Any) -> Any:
        if isinstance(value, np.ndarray) and value.ndim and value.shape[-1] == count:
            return value[..., where]
        if isinstance(value, dict):
            return {key: fewer(each) for key, each in value.items()}
        return value

    for name, value in list(vars(part).items()):
        setattr(part, name, [value[which] for which in where] if name in lists else fewer(value))


class Settings:
    """The orders to N pairs of hands, or the condition of N airplanes' parts: a column only where one is touched."""

    def __init__(self, kind: type[Any], count: int, varies: Sequence[str] = ()) -> None:
        self._kind = kind
        self._usual = {each.name: float(each.default) for each in fields(kind)}  # type: ignore[arg-type]
        self._count = count
        self._columns = {name: np.full(count, self._usual[name]) for name in varies}
        self._held = [kind()] * count

    def set(self, which: int, new: Any) -> None:
        """Let flight `which` have `new`."""
        was = self._held[which]
        if new is was:
            return
        for name in self._usual:
            value = getattr(new, name)
            if value != getattr(was, name):
                if name not in self._columns:
                    self._columns[name] = np.full(self._count, self._usual[name])
                self._columns[name][which] = value
        self._held[which] = new

    def column(self, name: str) -> Any:
        """Return the values of one field, (N,)."""
        found = self._columns.get(name)
        return np.full(self._count, self._usual[name]) if found is None else found

    def all(self, arrays: bool = False) -> Any:
        """Return them together; what nobody has touched is a float, or with `arrays` an array all the same."""
        if arrays:
            return self._kind(**{name: self.column(name) for name in self._usual})
        return self._kind(**self._columns)

    def keep(self, where: Any) -> None:
        """Go on with the flights at the places `where` alone."""
        cut(self, where, self._count, "_held")
        self._count = len(where)

    @property
    def varies(self) -> list[str]:
        """The fields that have been touched."""
        return list(self._columns)
