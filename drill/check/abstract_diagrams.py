"""Boolean functions as reduced ordered decision diagrams: small, exact, and equal where they mean the same.

A function is a whole number: 0 is false, 1 is true, any other a node (variable, where it is false, where it is true)
whose variable is less than those below it. After R. E. Bryant, "Graph-based algorithms for Boolean function
manipulation", IEEE Transactions on Computers C-35(8), 1986.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

NO, YES = 0, 1
_LEAF = 1 << 30          # the variable of the two constants: behind all others


class Diagrams:
    """A table of functions over variables 0, 1, 2 ..., each function once."""

    def __init__(self) -> None:
        self._variable = [_LEAF, _LEAF]
        self._low = [NO, YES]
        self._high = [NO, YES]
        self._known: dict[tuple[int, int, int], int] = {}
        self._chosen: dict[tuple[int, int, int], int] = {}

    def variable(self, index: int) -> int:
        """Return the function that is true where variable `index` is."""
        return self._node(index, NO, YES)

    def _node(self, variable: int, low: int, high: int) -> int:
        if low == high:
            return low
        key = (variable, low, high)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = len(self._variable)
            self._variable.append(variable)
            self._low.append(low)
            self._high.append(high)
        return found

    def choose(self, test: int, then: int, other: int) -> int:
        """Return the function that is `then` where `test` is true and `other` where it is not."""
        if test == YES or then == other:
            return then
        if test == NO:
            return other
        if then == YES and other == NO:
            return test
        key = (test, then, other)
        found = self._chosen.get(key)
        if found is None:
            top = min(self._variable[test], self._variable[then], self._variable[other])
            low = self.choose(self._at(test, top, NO), self._at(then, top, NO), self._at(other, top, NO))
            high = self.choose(self._at(test, top, YES), self._at(then, top, YES), self._at(other, top, YES))
            found = self._chosen[key] = self._node(top, low, high)
        return found

    def _at(self, function: int, variable: int, value: int) -> int:
        if self._variable[function] != variable:
            return function
        return self._high[function] if value else self._low[function]

    def negation(self, function: int) -> int:
        """Return the function that is true where this one is not."""
        return self.choose(function, NO, YES)

    def every(self, *functions: int) -> int:
        """Return where all are true."""
        result = YES
        for each in functions:
            result = self.choose(result, each, NO)
        return result

    def some(self, *functions: int) -> int:
        """Return where any is true."""
        result = NO
        for each in functions:
            result = self.choose(result, YES, each)
        return result

    def implies(self, one: int, other: int) -> int:
        """Return where `other` is true or `one` is not."""
        return self.choose(one, other, YES)

    def exists(self, function: int, free: Collection[int]) -> int:
        """Return where some values of the variables `free` make the function true."""
        done: dict[int, int] = {NO: NO, YES: YES}

        def without(each: int) -> int:
            found = done.get(each)
            if found is None:
                low, high = without(self._low[each]), without(self._high[each])
                variable = self._variable[each]
                found = self.some(low, high) if variable in free else self._node(variable, low, high)
                done[each] = found
            return found

        return without(function)

    def variables(self, function: int) -> frozenset[int]:
        """Return the variables that the function depends on."""
        seen, open_, found = {NO, YES}, [function], set[int]()
        while open_:
            each = open_.pop()
            if each not in seen:
                seen.add(each)
                found.add(self._variable[each])
                open_ += [self._low[each], self._high[each]]
        return frozenset(found)

    def ways(self, function: int) -> Iterator[dict[int, bool]]:
        """Yield values of variables that make the function true whatever the others are; no two overlap."""
        open_: list[tuple[int, dict[int, bool]]] = [(function, {})]
        while open_:
            each, so_far = open_.pop()
            if each == YES:
                yield so_far
            elif each != NO:
                variable = self._variable[each]
                open_.append((self._low[each], {**so_far, variable: False}))
                open_.append((self._high[each], {**so_far, variable: True}))
