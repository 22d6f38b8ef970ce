"""Equations, written down as they are computed: one step of the airplane as a list of operations.

The model is run once on symbols in place of numbers. What comes out is a graph without loops or branches, in which
nothing is computed twice and what is constant is already worked out. An equation that asks `if` of a symbol fails
here: a choice between flights is `where`.
"""

# ruff: noqa: D102 - the methods of `Maths` are the functions of their names

from __future__ import annotations

import operator
from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any, TypeAlias

from drill.airplane.arith import FLOATS

Operand: TypeAlias = Any
"""A `Symbol`, or a float or bool that is the same for all flights."""

_TURNED = {"lt": "gt", "le": "ge", "gt": "lt", "ge": "le", "eq": "eq", "ne": "ne"}
_WORKED_OUT: dict[str, Callable[..., Any]] = {
    "add": operator.add, "sub": operator.sub, "mul": operator.mul, "div": operator.truediv, "pow": operator.pow,
    "lt": operator.lt, "le": operator.le, "gt": operator.gt, "ge": operator.ge, "eq": operator.eq, "ne": operator.ne,
}


class Settled(float):
    """A number that is constant in this program and given from outside in another; so is what is made of it.

    Dividing by it stays a division: a product with its reciprocal would be rounded otherwise than the other program's.
    """

    __slots__ = ()

    def _made(self, operation: Callable[[float, float], float], x: Operand, y: Operand) -> Operand:
        if isinstance(x, Symbol) or isinstance(y, Symbol):
            return NotImplemented
        return Settled(operation(float(x), float(y)))

    def __add__(self, other: Operand) -> Operand:
        return self._made(operator.add, self, other)

    __radd__ = __add__

    def __sub__(self, other: Operand) -> Operand:
        return self._made(operator.sub, self, other)

    def __rsub__(self, other: Operand) -> Operand:
        return self._made(operator.sub, other, self)

    def __mul__(self, other: Operand) -> Operand:
        return self._made(operator.mul, self, other)

    __rmul__ = __mul__

    def __truediv__(self, other: Operand) -> Operand:
        return self._made(operator.truediv, self, other)

    def __rtruediv__(self, other: Operand) -> Operand:
        return self._made(operator.truediv, other, self)


class Symbol:
    """A quantity, or a truth, that is not known yet: an operation on others, or a leaf with a name."""

    __slots__ = ("args", "graph", "kind", "moving", "name", "truth")

    def __init__(self, graph: Graph, kind: str, args: tuple[Operand, ...], truth: bool, moving: bool,
                 name: str = "") -> None:
        self.graph = graph
        self.kind = kind           # an operation, or "leaf"
        self.args = args
        self.truth = truth
        self.moving = moving       # may change from one step to the next
        self.name = name

    def __bool__(self) -> bool:
        raise TypeError("an equation asks `if`, `and`, `or`, `min` or `max` of a quantity that differs between "
                        "flights; write where, &, |, least or most")

    __hash__ = object.__hash__

    def __eq__(self, other: object) -> Any:
        return self.graph.put("eq", self, other)

    def __ne__(self, other: object) -> Any:
        return self.graph.put("ne", self, other)

    def __lt__(self, other: Operand) -> Any:
        return self.graph.put("lt", self, other)

    def __le__(self, other: Operand) -> Any:
        return self.graph.put("le", self, other)

    def __gt__(self, other: Operand) -> Any:
        return self.graph.put("gt", self, other)

    def __ge__(self, other: Operand) -> Any:
        return self.graph.put("ge", self, other)

    def __add__(self, other: Operand) -> Any:
        return self.graph.put("add", self, other)

    def __radd__(self, other: Operand) -> Any:
        return self.graph.put("add", other, self)

    def __sub__(self, other: Operand) -> Any:
        return self.graph.put("sub", self, other)

    def __rsub__(self, other: Operand) -> Any:
        return self.graph.put("sub", other, self)

    def __mul__(self, other: Operand) -> Any:
        return self.graph.put("mul", self, other)

    def __rmul__(self, other: Operand) -> Any:
        return self.graph.put("mul", other, self)

    def __truediv__(self, other: Operand) -> Any:
        return self.graph.put("div", self, other)

    def __rtruediv__(self, other: Operand) -> Any:
        return self.graph.put("div", other, self)

    def __pow__(self, other: Operand) -> Any:
        return self.graph.put("pow", self, other)

    def __neg__(self) -> Any:
        return self.graph.negative(self)

    def __and__(self, other: Operand) -> Any:
        return self.graph.both(self, other)

    __rand__ = __and__

    def __or__(self, other: Operand) -> Any:
        return self.graph.either(self, other)

    __ror__ = __or__


class Graph:
    """The `Maths` of symbols. Operations stand in it in an order in which they can be computed."""

    def __init__(self) -> None:
        self.symbols: list[Symbol] = []
        self._known: dict[tuple[Any, ...], Symbol] = {}

    def leaf(self, name: str, moving: bool) -> Symbol:
        """Return a new symbol for a number that is given from outside."""
        symbol = Symbol(self, "leaf", (), False, moving, name)
        self.symbols.append(symbol)
        return symbol

    def node(self, kind: str, *args: Operand, truth: bool = False) -> Symbol:
        """Return the symbol of an operation, the same one when it has been asked for before."""
        args = tuple(each if isinstance(each, Symbol | bool) else float(each) for each in args)
        key = (kind, *(("id", id(each)) if isinstance(each, Symbol) else repr(each) for each in args))
        known = self._known.get(key)
        if known is None:
            moving = any(isinstance(each, Symbol) and each.moving for each in args)
            known = self._known[key] = Symbol(self, kind, args, truth, moving)
            self.symbols.append(known)
        return known

    def number(self, x: Operand) -> Operand:
        """Return a truth as 1.0 or 0.0, and a number as it is."""
        if isinstance(x, Symbol):
            return self.where(x, 1.0, 0.0) if x.truth else x
        return x if isinstance(x, Settled) else float(x)

    def put(self, kind: str, x: Operand, y: Operand) -> Operand:
        """Return the result of an operator on two numbers, not computed where that is not needed."""
        x, y = self.number(x), self.number(y)
        if not isinstance(x, Symbol) and not isinstance(y, Symbol):
            return _WORKED_OUT[kind](x, y)
        if kind in _TURNED:
            return self._compare(kind, x, y)
        if kind == "pow":
            return self._power(x, y)
        if kind in ("add", "mul") and not isinstance(x, Symbol):
            x, y = y, x
        if isinstance(y, Symbol):
            return 0.0 if kind == "div" and not isinstance(x, Symbol) and x == 0.0 else self.node(kind, x, y)
        if y == 0.0 and kind != "div":
            return 0.0 if kind == "mul" else x   # quantities are finite
        if kind == "div" and y != 0.0 and (y == 1.0 or not isinstance(y, Settled)):
            kind, y = "mul", 1.0 / y
        return x if kind == "mul" and y == 1.0 else self.node(kind, x, y)

    def negative(self, x: Operand) -> Operand:
        """Return -x."""
        return self.put("sub", 0.0, x)

    def _compare(self, kind: str, x: Operand, y: Operand) -> Operand:
        if not isinstance(x, Symbol):
            kind, x, y = _TURNED[kind], y, x
        if x.kind == "where" and not isinstance(y, Symbol) and not any(isinstance(each, Symbol) for each in x.args[1:]):
            truth, yes, no = x.args   # a flag that was made of a truth, asked again
            then, otherwise = _WORKED_OUT[kind](yes, y), _WORKED_OUT[kind](no, y)
            if then == otherwise:
                return then
            return truth if then else self.no(truth)
        return self.node(kind, x, y, truth=True)

    def _power(self, x: Operand, y: Operand) -> Operand:
        if isinstance(y, Symbol) or not isinstance(x, Symbol):
            raise TypeError("an exponent that differs between flights: write exp and log")
        if y == 0.5:
            return self.sqrt(x)
        if y > 0.0 and (2.0 * y).is_integer() and y <= 6.0:
            result: Operand = 1.0
            for _ in range(int(y)):
                result = result * x
            return result if y.is_integer() else result * self.sqrt(x)
        return self.power(x, y)

    def power(self, x: Operand, y: float) -> Operand:
        """Return x to a constant power; x > 0."""
        return self.node("pow", x, y)

    def both(self, x: Operand, y: Operand) -> Operand:
        """Return x and y."""
        for one, other in ((x, y), (y, x)):
            if not isinstance(one, Symbol):
                return other if one else False
        return x if x is y else self.node("and", x, y, truth=True)

    def either(self, x: Operand, y: Operand) -> Operand:
        """Return x or y."""
        for one, other in ((x, y), (y, x)):
            if not isinstance(one, Symbol):
                return True if one else other
        return x if x is y else self.node("or", x, y, truth=True)

    def _of_one(self, kind: str, x: Operand) -> Operand:
        x = self.number(x)
        return self.node(kind, x) if isinstance(x, Symbol) else getattr(FLOATS, kind)(x)

    def sin(self, x: Operand) -> Operand:
        return self._of_one("sin", x)

    def cos(self, x: Operand) -> Operand:
        return self._of_one("cos", x)

    def tan(self, x: Operand) -> Operand:
        return self._of_one("tan", x)

    def asin(self, x: Operand) -> Operand:
        return self._of_one("asin", x)

    def atan(self, x: Operand) -> Operand:
        return self._of_one("atan", x)

    def exp(self, x: Operand) -> Operand:
        return self._of_one("exp", x)

    def log(self, x: Operand) -> Operand:
        return self._of_one("log", x)

    def sqrt(self, x: Operand) -> Operand:
        return self._of_one("sqrt", x)

    def floor(self, x: Operand) -> Operand:
        return self._of_one("floor", x)

    def sign(self, x: Operand) -> Operand:
        return self._of_one("sign", x)

    def _of_two(self, kind: str, x: Operand, y: Operand) -> Operand:
        x, y = self.number(x), self.number(y)
        if isinstance(x, Symbol) or isinstance(y, Symbol):
            return x if x is y else self.node(kind, x, y)
        return getattr(FLOATS, kind)(x, y)

    def atan2(self, y: Operand, x: Operand) -> Operand:
        return self._of_two("atan2", y, x)

    def hypot(self, x: Operand, y: Operand) -> Operand:
        return self._of_two("hypot", x, y)

    def least(self, x: Operand, y: Operand) -> Operand:
        return self._of_two("least", x, y)

    def most(self, x: Operand, y: Operand) -> Operand:
        return self._of_two("most", x, y)

    def clip(self, x: Operand, low: Operand, high: Operand) -> Operand:
        return self.least(self.most(x, low), high)

    def where(self, truth: Operand, yes: Operand, no: Operand) -> Operand:
        if not isinstance(truth, Symbol):
            return yes if truth else no
        if all(each.truth if isinstance(each, Symbol) else isinstance(each, bool) for each in (yes, no)):
            return (truth & yes) | (self.no(truth) & no)
        yes, no = self.number(yes), self.number(no)
        if yes is no or (not isinstance(yes, Symbol) and not isinstance(no, Symbol) and yes == no):
            return yes
        if truth.kind == "not":
            return self.where(truth.args[0], no, yes)
        return self.node("where", truth, yes, no)

    def no(self, truth: Operand) -> Operand:
        if not isinstance(truth, Symbol):
            return not truth
        return truth.args[0] if truth.kind == "not" else self.node("not", truth, truth=True)


def needed(graph: Graph, results: Iterable[Operand]) -> list[Symbol]:
    """Return the symbols that the results are made of, leaves included, each after those that it needs."""
    wanted: set[int] = set()
    waiting = [each for each in results if isinstance(each, Symbol)]
    while waiting:
        symbol = waiting.pop()
        if id(symbol) not in wanted:
            wanted.add(id(symbol))
            waiting.extend(each for each in symbol.args if isinstance(each, Symbol))
    return [each for each in graph.symbols if id(each) in wanted]


def operations(symbols: Iterable[Symbol]) -> dict[str, int]:
    """Return how many operations there are of each kind, most first."""
    return dict(Counter(each.kind for each in symbols if each.kind != "leaf").most_common())
