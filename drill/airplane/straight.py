"""One flight's steps written out straight: the operations of a traced step as lines of Python, with no call or object.

What comes out is what `step` gives, to the last bit: nothing is computed in another way, only what is never asked for
is not computed at all. It is three times as fast, and made in the time of some hundred steps.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.draws import Draws, Instruments
from drill.airplane.faults import Faults
from drill.airplane.model import State, step
from drill.airplane.programs import SHARED, Program, leaves, traced, types_of
from drill.airplane.tracing import Graph, Operand, Symbol
from drill.airplane.world import World

PLAIN_STEPS = 300
"""So many steps of a world are flown by `step`; who flies on has a program made."""
_WORLDS = 64
_DEEPEST = 12                  # operations within one another in a line
_LONGEST = 1_500               # characters of an operation that stands within another

_BETWEEN = {"add": "+", "sub": "-", "mul": "*", "div": "/", "pow": "**", "lt": "<", "le": "<=", "gt": ">", "ge": ">=",
            "eq": "==", "ne": "!=", "and": "and", "or": "or"}
_SEVERAL = {"clip": "({1} if {0} < {1} else {2} if {0} > {2} else {0})", "most": "({0} if {0} > {1} else {1})",
            "least": "({0} if {0} < {1} else {1})", "sign": "(({0} > 0.0) - ({0} < 0.0) + 0.0)"}
"""Operations in which an argument stands more than once; as `FLOATS` has them."""
_OTHERS = {"where": "({1} if {0} else {2})", "not": "(not {0})", "neg": "(-{0})", "floor": "float(floor({0}))"}
_CALLED = ("sin", "cos", "tan", "asin", "atan", "atan2", "exp", "log", "sqrt", "hypot", "floor")

Advance = Callable[[State, Controls, Faults, Instruments, Draws, int, bool], State]


class Exact(Graph):
    """Symbols on which every operation stays what it is, so that the program rounds as the equations do."""

    def put(self, kind: str, x: Operand, y: Operand) -> Operand:
        """Return the result of an operator on two numbers; only what does not depend on a flight is worked out."""
        x, y = self.number(x), self.number(y)
        if isinstance(x, Symbol) or isinstance(y, Symbol):
            return self.node(kind, x, y, truth=kind in ("lt", "le", "gt", "ge", "eq", "ne"))
        return super().put(kind, x, y)

    def negative(self, x: Operand) -> Operand:
        """Return -x; of nought, the other nought."""
        x = self.number(x)
        return self.node("neg", x) if isinstance(x, Symbol) else -x

    def clip(self, x: Operand, low: Operand, high: Operand) -> Operand:
        """Return x within its bounds."""
        x, low, high = self.number(x), self.number(low), self.number(high)
        if any(isinstance(each, Symbol) for each in (x, low, high)):
            return self.node("clip", x, low, high)
        return FLOATS.clip(x, low, high)


class _Writer:
    """The lines of a program: those for what is the same in all steps, and those of a step."""

    def __init__(self, program: Program) -> None:
        self.ahead: list[str] = []
        self.lines: list[str] = []
        self._names: dict[int, str] = {}
        self._within: dict[int, tuple[str, int]] = {}    # operations without a name: their text, how deep they are
        self._uses: dict[int, int] = {}
        for symbol in program.symbols():
            self._count(symbol.args)
        self._count(program.results)
        self._count(program.results)                     # what a step ends with is given a name before it
        for prefix, symbols in (("s", program.state), ("g", program.given),
                                *((f"d{k}_", table.leaves) for k, table in enumerate(program.tables))):
            for k, symbol in enumerate(symbols):
                self._names[id(symbol)] = f"{prefix}{k}"
        for symbol in program.symbols():
            if symbol.kind != "leaf":
                self._write(symbol)

    def _count(self, operands: tuple[Operand, ...]) -> None:
        for each in operands:
            self._uses[id(each)] = self._uses.get(id(each), 0) + 1

    def text(self, x: Operand) -> str:
        """Return how an operand is written: by its name, or as the operation that it is."""
        if not isinstance(x, Symbol):
            return repr(x if isinstance(x, bool) else float(x))
        return self._within[id(x)][0] if id(x) in self._within else self._names[id(x)]

    def _write(self, x: Symbol) -> None:
        if x.kind in _SEVERAL:
            for each in x.args:
                if isinstance(each, Symbol) and id(each) in self._within:
                    self._name(each, self._within.pop(id(each))[0])
        args = [self.text(each) for each in x.args]
        if x.kind in _BETWEEN:
            text = f"({args[0]} {_BETWEEN[x.kind]} {args[1]})"
        else:
            text = (_SEVERAL | _OTHERS).get(x.kind, f"{x.kind}({', '.join(args)})").format(*args)
        depth = 1 + max((self._within[id(each)][1] for each in x.args if id(each) in self._within), default=0)
        if x.moving and self._uses[id(x)] == 1 and depth < _DEEPEST and len(text) < _LONGEST:
            self._within[id(x)] = text, depth
        else:
            self._name(x, text)

    def _name(self, x: Symbol, text: str) -> None:
        name = self._names[id(x)] = f"v{len(self.ahead) + len(self.lines)}"
        (self.lines if x.moving else self.ahead).append(f"{name} = {text}")


def _taken_apart(kind: type, name: str, numbers: Iterator[str]) -> Iterator[str]:
    """Yield lines that put the numbers of a nested dataclass called `name` into variables, in the order of `leaves`."""
    hints = types_of(kind)
    for each in kind.__dataclass_fields__:  # type: ignore[attr-defined]
        part = hints[each]
        if hasattr(part, "__dataclass_fields__"):
            yield from _taken_apart(part, f"{name}.{each}", numbers)
        elif part is not int:
            yield f"{next(numbers)} = {name}.{each}"


def _put_together(kind: type, numbers: Iterator[str], known: dict[str, Any]) -> str:
    """Return the expression that makes a nested dataclass of variables; `known` is given its classes."""
    hints = types_of(kind)
    known[kind.__name__] = kind
    parts = [_put_together(hints[each], numbers, known) if hasattr(hints[each], "__dataclass_fields__")
             else "step" if hints[each] is int else next(numbers)
             for each in kind.__dataclass_fields__]  # type: ignore[attr-defined]
    return f"{kind.__name__}({', '.join(parts)})"


def text_of(program: Program, known: dict[str, Any]) -> str:
    """Return the function `advance` that flies steps of a program; `known` is given the names that it uses."""
    written = _Writer(program)
    given = {symbol.name: f"g{k}" for k, symbol in enumerate(program.given)}
    state = [f"s{k}" for k in range(len(program.state))]
    at = {name: state[k] for k, name in enumerate(leaves(State, "state"))}
    outside = [line for kind, name in ((Controls, "controls"), (Faults, "faults"), (Instruments, "instruments"))
               for line in _taken_apart(kind, name, iter([given[each] for each in leaves(kind, name)]))]
    draws = [f"{', '.join(f'd{k}_{j}' for j in range(len(table.leaves)))}, = {name}(step)"
             for k, (table, name) in enumerate(zip(program.tables, ("readings", "scans", "gusts"), strict=True))]
    body = [*draws, *written.lines, f"{', '.join(state)} = {', '.join(map(written.text, program.results))}",
            "step += 1", f"if limits and ({at['state.motion.broken']} > 0.5 or {at['state.motion.on_ground']} > 0.5):",
            "    break"]
    lines = ["step = state.step", "goal = step + steps", *_taken_apart(State, "state", iter(state)), *outside,
             "readings, scans, gusts = draws.readings, draws.scans, draws.gusts", *written.ahead, "while step < goal:",
             *(f"    {line}" for line in body), f"return {_put_together(State, iter(state), known)}"]
    known |= {name: getattr(math, name) for name in _CALLED} | {"inf": math.inf, "nan": math.nan}
    return "\n    ".join(["def advance(state, controls, faults, instruments, draws, steps, limits):", *lines, ""])


@lru_cache(maxsize=_WORLDS)
def _program(world: World) -> Advance:
    known: dict[str, Any] = {}
    text = text_of(traced(world, SHARED, Exact()), known)
    exec(compile(text, "<steps of an airplane>", "exec"), known)  # noqa: S102 - our own equations, written out
    made: Advance = known["advance"]
    return made


class Steps:
    """Flies one airplane in one kind of air on, step by step at first, by a program once it has flown for a while."""

    __slots__ = ("_advance", "_flown", "_world")

    def __init__(self, world: World) -> None:
        if world.maths is not FLOATS:
            raise ValueError("steps are written out for one flight in floats")
        self._world = world
        self._flown = 0
        self._advance: Advance | None = None

    def fly(self, state: State, controls: Controls, faults: Faults, draws: Draws, steps: int, *, limits: bool) -> State:
        """Return the state `steps` steps later, as so many calls of `step` give it.

        With `limits`, no further than to the first step after which the airplane is broken or on the ground.
        """
        if self._advance is None and self._flown >= PLAIN_STEPS:
            self._advance = _program(self._world)
        if self._advance is not None and state.step:    # the first step is another program
            return self._advance(state, controls, faults, draws.instruments, draws, steps, limits)
        for _ in range(steps):
            state = step(self._world, state, controls, faults, draws)
            self._flown += 1
            if limits and (state.motion.broken > 0.5 or state.motion.on_ground > 0.5):
                break
        return state
