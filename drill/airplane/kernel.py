"""A traced step as machine code, compiled by LLVM and kept.

The object code lies in the user's cache directory under a digest of the program's text, the processor's name and
LLVM's version: changed equations are another file.
"""

from __future__ import annotations

import contextlib
import ctypes
import hashlib
import importlib.util
import os
import tempfile
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import platformdirs

from drill.airplane.kernel_text import ENTRY, LANES, text_of
from drill.airplane.programs import Program

_DIGEST = hashlib.sha256().digest_size
_ORDER_LEFT = "-enable-misched=false"
_FILES = 64                    # in the cache


@lru_cache(maxsize=1)
def available() -> bool:
    """Return whether steps can be compiled here (llvmlite: `pip install drill[fast]`)."""
    return importlib.util.find_spec("llvmlite") is not None


class Kernel:
    """A compiled program. Called with addresses; see `Kernel.__call__`."""

    def __init__(self, program: Program) -> None:
        self._engine, address = _loaded(text_of(program))
        tables = [ctypes.c_void_p, ctypes.c_int64] * len(program.tables)
        self._call = ctypes.CFUNCTYPE(None, *[ctypes.c_void_p] * 3, *tables, *[ctypes.c_int64] * 3)(address)

    def __call__(self, state: Any, out: Any, given: Any, tables: Sequence[tuple[Any, int]], count: int,
                 steps: int) -> None:
        """Fly `steps` (1 or more) steps of `count` flights from `state` into `out`.

        `state` and `out` are contiguous float64 arrays (leaves of the state, columns), `given` (given leaves,
        columns), with columns `count` rounded up to whole `LANES`. Each table is an array (count, rows, leaves) and
        the number of steps that lie between its first row and the first step.
        """
        columns = state.shape[1]
        if columns % LANES or columns < count or out.shape != state.shape:
            raise ValueError("the columns of a kernel's arrays are the flights, rounded up to whole lanes")
        self._call(state.ctypes.data, out.ctypes.data, given.ctypes.data,
                   *(each for array, phase in tables for each in (array.ctypes.data, phase)), columns, count, steps)


@lru_cache(maxsize=1)
def _leave_order() -> None:
    """Tell LLVM, for this process, not to reorder instructions: in a block of thousands its order keeps more values."""
    import llvmlite.binding as llvm

    llvm.set_option("drill", _ORDER_LEFT)


def _machine() -> tuple[Any, str]:
    """Return LLVM's idea of this machine, a new one, and what object code for it depends on."""
    import llvmlite.binding as llvm  # heavy, and wanted only where many are flown

    _leave_order()
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    cpu = llvm.get_host_cpu_name()
    features = llvm.get_host_cpu_features().flatten()
    target = llvm.Target.from_default_triple()
    machine = target.create_target_machine(cpu=cpu, features=features, opt=2, jit=True)
    return machine, f"{target.triple} {cpu} {features} {llvm.llvm_version_info} {_ORDER_LEFT}"


def _loaded(text: str) -> tuple[Any, int]:
    """Return the engine that holds the code, and the address of its entry."""
    import llvmlite.binding as llvm

    machine, where = _machine()
    digest = hashlib.sha256(f"{where}\n{text}".encode()).hexdigest()[:32]
    path = Path(platformdirs.user_cache_dir("drill")) / "kernels" / f"{digest}.o"
    code = _kept(path)
    if code is None:
        parsed = llvm.parse_assembly(text)
        parsed.verify()
        code = machine.emit_object(parsed)
        _keep(path, code)
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)   # owns the machine from now on
    engine.add_object_file(llvm.ObjectFileRef.from_data(code))
    engine.finalize_object()
    return engine, engine.get_function_address(ENTRY)


def _kept(path: Path) -> bytes | None:
    """Return the object code in a file of the cache; None if there is none, or not what was written."""
    try:
        data = path.read_bytes()
    except OSError:
        return None
    digest, code = data[:_DIGEST], data[_DIGEST:]
    return code if hashlib.sha256(code).digest() == digest else None


def _keep(path: Path, code: bytes) -> None:
    """Write a file of the cache whole or not at all; a directory that cannot be written is no cache."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, made = tempfile.mkstemp(dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(hashlib.sha256(code).digest() + code)
        Path(made).replace(path)
        for old in sorted(path.parent.glob("*.o"), key=lambda each: each.stat().st_mtime)[:-_FILES]:
            old.unlink()
