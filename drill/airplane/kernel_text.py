"""A traced step in LLVM's intermediate language: a loop over flights, eight at a time, and within it one over steps.

It works on vectors of eight doubles, without any permission to reorder or fuse what is rounded, so that a flight
computes the same bits in whichever lane and company it flies. What is the same for all steps of a flight is computed
before them, and draws that several steps share are fetched once.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence

from drill.airplane.programs import Program
from drill.airplane.tracing import Operand, Symbol

LANES = 8                      # twice what a common processor has at once: one half waits while the other works
ENTRY = "advance"

_PAIRS = {"add": "fadd", "sub": "fsub", "mul": "fmul", "div": "fdiv"}
_COMPARED = {"lt": "olt", "le": "ole", "gt": "ogt", "ge": "oge", "eq": "oeq", "ne": "une"}
_CALLED = {"sqrt": 1, "floor": 1, "fma": 3}   # and how many numbers they take
_V, _B, _I = f"<{LANES} x double>", f"<{LANES} x i1>", f"<{LANES} x i64>"
_SHIFTED = 2.0**52             # a double this large has its whole number in its lowest bits
_BIAS = 1023.0
_FRACTION = (1 << 52) - 1
_ONE = 1023 << 52
_SHIFTED_BITS = (1023 + 52) << 52


def _splat(value: float, kind: str = "double") -> str:
    one = f"0x{struct.unpack('<Q', struct.pack('<d', value))[0]:016X}" if kind == "double" else str(int(value))
    return "<" + ", ".join([f"{kind} {one}"] * LANES) + ">"


def _as_wanted(results: Sequence[Operand]) -> list[Symbol]:
    """Return the moving operations so that each comes shortly before the first that needs it: fewer are held."""
    order: list[Symbol] = []
    seen: set[int] = set()
    for result in results:
        waiting: list[tuple[Operand, bool]] = [(result, False)]
        while waiting:
            symbol, done = waiting.pop()
            if not isinstance(symbol, Symbol) or symbol.kind == "leaf" or not symbol.moving:
                continue
            if done:
                order.append(symbol)
            elif id(symbol) not in seen:
                seen.add(id(symbol))
                waiting.append((symbol, True))
                waiting.extend((each, False) for each in symbol.args)
    return order


class _Writer:
    """The text of one kernel."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.lines: list[str] = []
        self.names: dict[int, str] = {}
        self.count = 0
        self.state = {id(each): k for k, each in enumerate(program.state)}
        self.given = {id(each): k for k, each in enumerate(program.given)}
        self.drawn = {id(leaf): (k, j) for k, table in enumerate(program.tables) for j, leaf in enumerate(table.leaves)}
        self.kept: dict[int, int] = {}
        self.fetched: list[Symbol] = []   # of tables whose rows serve several steps: put beside what is kept

    def put(self, text: str) -> str:
        name = f"%v{self.count}"
        self.count += 1
        self.lines.append(f"  {name} = {text}")
        return name

    def do(self, text: str) -> None:
        self.lines.append(f"  {text}")

    def operand(self, x: Operand, truth: bool = False) -> str:
        if isinstance(x, Symbol):
            return self.value(x)
        return _splat(float(x), "i1") if truth else _splat(float(x))

    def value(self, x: Symbol) -> str:
        """Return the name of a symbol's value, loaded from memory on first use."""
        known = self.names.get(id(x))
        if known is None:
            known = self.names[id(x)] = self.load(x)
        return known

    def load(self, x: Symbol) -> str:
        if id(x) in self.kept:
            place = self.put(f"getelementptr {_V}, ptr %kept, i64 {self.kept[id(x)]}")
            loaded = self.put(f"load {_V}, ptr {place}, align 64")
            return self.put(f"fcmp ogt {_V} {loaded}, {_splat(0.5)}") if x.truth else loaded
        if id(x) in self.state:
            place = self.put(f"getelementptr {_V}, ptr %held, i64 {self.state[id(x)]}")
            return self.put(f"load {_V}, ptr {place}, align 64")
        if id(x) in self.given:
            return self.column("%given", self.given[id(x)])
        table, column = self.drawn[id(x)]
        gathered = "poison"
        for lane in range(LANES):
            place = self.put(f"getelementptr double, ptr %row{table}.{lane}, i64 {column}")
            one = self.put(f"load double, ptr {place}, align 8")
            gathered = self.put(f"insertelement {_V} {gathered}, double {one}, i64 {lane}")
        return gathered

    def store(self, value: str, base: str, slot: int) -> None:
        place = self.put(f"getelementptr {_V}, ptr {base}, i64 {slot}")
        self.do(f"store {_V} {value}, ptr {place}, align 64")

    def column(self, base: str, row: int) -> str:
        return self.put(f"load {_V}, ptr {self.place(base, row)}, align 8")

    def place(self, base: str, row: int) -> str:
        start = self.put(f"mul i64 %columns, {row}")
        return self.put(f"getelementptr double, ptr {base}, i64 {self.put(f'add i64 {start}, %i')}")

    def compute(self, x: Symbol) -> None:
        self.names[id(x)] = self.operation(x)

    def operation(self, x: Symbol) -> str:
        kind = x.kind
        if kind in ("and", "or"):
            return self.put(f"{kind} {_B} {self.operand(x.args[0], True)}, {self.operand(x.args[1], True)}")
        if kind == "not":
            return self.put(f"xor {_B} {self.operand(x.args[0], True)}, {_splat(1.0, 'i1')}")
        if kind == "where":
            truth, yes, no = self.operand(x.args[0], True), self.operand(x.args[1]), self.operand(x.args[2])
            return self.put(f"select {_B} {truth}, {_V} {yes}, {_V} {no}")
        args = [self.operand(each) for each in x.args]
        if kind in _PAIRS:
            return self.put(f"{_PAIRS[kind]} {_V} {args[0]}, {args[1]}")
        if kind in _COMPARED:
            return self.put(f"fcmp {_COMPARED[kind]} {_V} {args[0]}, {args[1]}")
        if kind in ("least", "most"):
            truth = self.put(f"fcmp {'olt' if kind == 'least' else 'ogt'} {_V} {args[0]}, {args[1]}")
            return self.put(f"select {_B} {truth}, {_V} {args[0]}, {_V} {args[1]}")
        if kind in _CALLED:
            inner = ", ".join(f"{_V} {each}" for each in args)
            return self.put(f"call {_V} @llvm.{kind}.v{LANES}f64({inner})")
        if kind == "two_to":
            shifted = self.put(f"fadd {_V} {args[0]}, {_splat(_SHIFTED + _BIAS)}")
            bits = self.put(f"bitcast {_V} {shifted} to {_I}")
            moved = self.put(f"shl {_I} {bits}, {_splat(52, 'i64')}")
            return self.put(f"bitcast {_I} {moved} to {_V}")
        bits = self.put(f"bitcast {_V} {args[0]} to {_I}")
        if kind == "mantissa":
            low = self.put(f"and {_I} {bits}, {_splat(_FRACTION, 'i64')}")
            whole = self.put(f"or {_I} {low}, {_splat(_ONE, 'i64')}")
            return self.put(f"bitcast {_I} {whole} to {_V}")
        if kind == "exponent":
            moved = self.put(f"lshr {_I} {bits}, {_splat(52, 'i64')}")
            whole = self.put(f"or {_I} {moved}, {_splat(_SHIFTED_BITS, 'i64')}")
            number = self.put(f"bitcast {_I} {whole} to {_V}")
            return self.put(f"fsub {_V} {number}, {_splat(_SHIFTED + _BIAS)}")
        raise ValueError(f"no code is known for the operation {kind!r}")

    def write(self) -> str:
        program, symbols = self.program, self.program.symbols()
        moving = _as_wanted(program.results)
        used = {id(arg) for each in moving for arg in each.args if isinstance(arg, Symbol)}
        used |= {id(each) for each in program.results if isinstance(each, Symbol)}
        keeps = [each for each in symbols if not each.moving and id(each) in used]
        for each in symbols:
            if id(each) in self.drawn and program.tables[self.drawn[id(each)][0]].steps_a_row > 1:
                self.fetched.append(each)
        self._write_flights([each for each in symbols if each.kind != "leaf" and not each.moving], keeps)
        self.kept = {id(each): k for k, each in enumerate([*keeps, *self.fetched])}
        self.names.clear()
        self._write_step(moving)
        for name, count in _CALLED.items():
            self.lines.append(f"declare {_V} @llvm.{name}.v{LANES}f64({', '.join([_V] * count)})")
        return "\n".join(self.lines) + "\n"

    def _rows(self) -> list[str]:
        """Return what a step is given of the tables that have a row for each step."""
        return [f"%row{k}.{lane}" for k, table in enumerate(self.program.tables) if table.steps_a_row == 1
                for lane in range(LANES)]

    def _write_step(self, moving: list[Symbol]) -> None:
        """One step of one vector. Where a value is read and where its next one is written are two places."""
        rows = "".join(f", ptr noalias {each}" for each in self._rows())
        self.lines.append(
            f"define internal void @one_step(ptr noalias %held, ptr noalias %next, ptr noalias %kept{rows}) {{")
        slots: dict[int, list[int]] = {}
        ready = []
        for k, each in enumerate(self.program.results):
            if isinstance(each, Symbol) and each.moving and each.kind != "leaf":
                slots.setdefault(id(each), []).append(k)
            else:
                ready.append(k)
        for each in moving:
            self.compute(each)
            for k in slots.get(id(each), ()):
                self.store(self.value(each), "%next", k)
        for k in ready:
            self.store(self.operand(self.program.results[k]), "%next", k)
        self.lines += ["  ret void", "}"]

    def _write_flights(self, ahead: list[Symbol], keeps: list[Symbol]) -> None:
        """The loops; in the outer one what is the same for all steps of a flight."""
        program, size = self.program, len(self.program.state)
        tables = range(len(program.tables))
        parameters = "".join(f"ptr noalias %table{k}, i64 %phase{k}, " for k in tables)
        self.lines += [
            f"define void @{ENTRY}(ptr %state, ptr %out, ptr noalias %given, {parameters}"
            "i64 %columns, i64 %count, i64 %asked) {",
            "entry:",
            f"  %one = alloca [{size} x {_V}], align 64",
            f"  %other = alloca [{size} x {_V}], align 64",
            f"  %kept = alloca [{max(len(keeps) + len(self.fetched), 1)} x {_V}], align 64",
            "  %last = sub i64 %count, 1",
            "  br label %flights",
            "flights:",
            "  %i = phi i64 [ 0, %entry ], [ %i.next, %landed ]",
        ]
        for k, table in enumerate(program.tables):
            for lane in range(LANES):
                mine = self.put(f"add i64 %i, {lane}")
                beyond = self.put(f"icmp ugt i64 {mine}, %last")
                flight = self.put(f"select i1 {beyond}, i64 %last, i64 {mine}")
                start = self.put(f"mul i64 {flight}, {table.rows * len(table.leaves)}")
                self.do(f"%mine{k}.{lane} = getelementptr double, ptr %table{k}, i64 {start}")
        for k in range(size):
            self.store(self.column("%state", k), "%one", k)
        for each in ahead:
            self.compute(each)
        for k, each in enumerate(keeps):
            value = self.value(each)
            if each.truth:
                value = self.put(f"select {_B} {value}, {_V} {_splat(1.0)}, {_V} {_splat(0.0)}")
            self.store(value, "%kept", k)
        self.lines += [
            "  br label %steps",
            "steps:",
            "  %s = phi i64 [ 0, %flights ], [ %s.next, %flying ]",
            "  %held = phi ptr [ %one, %flights ], [ %next, %flying ]",
            "  %next = phi ptr [ %other, %flights ], [ %held, %flying ]",
            *(f"  %was{k} = phi i64 [ -1, %flights ], [ %at{k}, %flying ]" for k in tables),
        ]
        stale = "false"
        for k, table in enumerate(program.tables):
            now = self.put(f"add i64 %s, %phase{k}")
            self.do(f"%at{k} = udiv i64 {now}, {table.steps_a_row}")
            start = self.put(f"mul i64 %at{k}, {len(table.leaves)}")
            for lane in range(LANES):
                self.do(f"%row{k}.{lane} = getelementptr double, ptr %mine{k}.{lane}, i64 {start}")
            if table.steps_a_row > 1:
                other = self.put(f"icmp ne i64 %at{k}, %was{k}")
                stale = self.put(f"or i1 {stale}, {other}")
        self.lines += [f"  br i1 {stale}, label %fetching, label %flying", "fetching:"]
        for k, each in enumerate(self.fetched, len(keeps)):
            self.store(self.load(each), "%kept", k)
        self.lines += ["  br label %flying", "flying:"]
        rows = "".join(f", ptr {each}" for each in self._rows())
        self.lines += [
            f"  call void @one_step(ptr %held, ptr %next, ptr %kept{rows})",
            "  %s.next = add i64 %s, 1",
            "  %more = icmp ult i64 %s.next, %asked",
            "  br i1 %more, label %steps, label %landed",
            "landed:",
        ]
        for k in range(size):
            held = self.put(f"load {_V}, ptr {self.put(f'getelementptr {_V}, ptr %next, i64 {k}')}, align 64")
            self.do(f"store {_V} {held}, ptr {self.place('%out', k)}, align 8")
        self.lines += [
            f"  %i.next = add i64 %i, {LANES}",
            "  %others = icmp ult i64 %i.next, %count",
            "  br i1 %others, label %flights, label %home",
            "home:",
            "  ret void",
            "}",
        ]


def text_of(program: Program) -> str:
    """Return the kernel of a program in LLVM's intermediate language."""
    return _Writer(program).write()
