"""Tables of published values against the model: read from CSV, compared row by row, written out as a table."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from drill.airplane.comparing import computed
from drill.airplane.given import CannotComputeError, Computed, in_unit
from drill.clean import clean_line

COLUMNS = ("id", "situation", "inputs", "expected", "unit", "tolerance", "source")
_MOST_BYTES = 4_000_000
_WIDTHS = {"id": 12, "what": 64, "unit": 8}


class BadTableError(ValueError):
    """A file that cannot be compared at all, said with its place."""


@dataclass(frozen=True, slots=True)
class Compared:
    """One row: what was asked, what came out (in the row's unit), and how that stands; texts are clean.

    `state` is "ok", "off" or "not computed"; `why` says the reason of the last with file and line, and otherwise names
    inputs that were of no use.
    """

    id: str
    what: str
    value: float | None
    expected: float | None
    tolerance: float | None
    unit: str
    state: str
    why: str

    def as_json(self) -> dict[str, Any]:
        """Return the row as plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


def _number(cells: dict[str, str], name: str) -> float:
    text = cells[name].strip()
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise CannotComputeError(f"{name} is {clean_line(text, limit=40)!r}: write a number")
    if name == "tolerance" and value < 0.0:
        raise CannotComputeError("tolerance is below zero: write how far off is still right")
    return value


def _off(value: float, expected: float, found: Computed, unit: str) -> float:
    off = value - expected
    if found.dimension != "angle":
        return abs(off)
    whole = in_unit(360.0, "angle", unit)
    return abs(off - whole * round(off / whole))


def _compare(cells: dict[str, str], place: str) -> Compared:
    texts = {name: clean_line(cells[name]) for name in COLUMNS}
    what = f"{texts['situation']}: {texts['inputs']}" if texts["inputs"] else texts["situation"]
    value = expected = tolerance = None
    try:
        expected, tolerance = _number(cells, "expected"), _number(cells, "tolerance")
        found, unused = computed(texts["situation"], texts["inputs"])
        value = in_unit(found.value, found.dimension, texts["unit"])
    except CannotComputeError as error:
        return Compared(texts["id"], what, value, expected, tolerance, texts["unit"], "not computed",
                        clean_line(f"{place}: {error}"))
    within = _off(value, expected, found, texts["unit"]) <= tolerance * (1.0 + 1e-9)
    why = f"{place}: {', '.join(map(clean_line, unused))} made no difference" if unused else ""
    return Compared(texts["id"], what, value, expected, tolerance, texts["unit"], "ok" if within else "off", why)


def _read(path: Path) -> str:
    try:
        with path.open("rb") as file:
            raw = file.read(_MOST_BYTES + 1)
    except OSError as error:
        raise BadTableError(f"{_name(path)}: cannot be read: {error.strerror or error}") from error
    except ValueError as error:   # a name with a null character
        raise BadTableError(f"{_name(path)}: is no name of a file") from error
    if len(raw) > _MOST_BYTES:
        raise BadTableError(f"{_name(path)}: is larger than {_MOST_BYTES:,} bytes; split it")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[:error.start].count(b"\n") + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        raise BadTableError(f"{_name(path)}:{line}:{column}: is not UTF-8 text") from error


def _name(path: Path) -> str:
    return clean_line(str(path), limit=300)


def _rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    """The line on which each record begins, and its cells."""
    reader = csv.reader(text.splitlines(keepends=True), strict=True)
    line = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise BadTableError(f"{_name(path)}:{reader.line_num}:1: is not CSV: {error}") from error
        if any(cell.strip() for cell in cells):
            yield line, cells
        line = reader.line_num + 1


def compare(path: Path) -> list[Compared]:
    """Return every row of a CSV file of published values, compared. Columns: `COLUMNS`, in any order.

    Raises BadTableError, with file, line and column, for a file that is no such table.
    """
    rows = _rows(path, _read(path))
    line, header = next(rows, (1, []))
    names = [cell.strip().lower() for cell in header]
    missing = [name for name in COLUMNS[:-1] if name not in names]
    if missing:
        raise BadTableError(f"{_name(path)}:{line}:1: has no column {', '.join(missing)}; the first line names the "
                            f"columns {', '.join(COLUMNS)}")
    done: list[Compared] = []
    seen: dict[str, int] = {}
    for line, cells in rows:
        place = f"{_name(path)}:{line}"
        found = dict.fromkeys(COLUMNS, "") | dict(zip(names, cells, strict=False))
        if len(cells) != len(names):
            ident = clean_line(found["id"])
            done.append(Compared(ident, clean_line(found["situation"]), None, None, None, clean_line(found["unit"]),
                                 "not computed", f"{place}: has {len(cells)} cells where the first line has "
                                 f"{len(names)}; put text with commas between double quotes"))
            continue
        compared = _compare(found, place)
        if compared.id in seen:
            twice = f"{place}: the id stands on line {seen[compared.id]} already; give each row its own"
            compared = Compared(compared.id, compared.what, None, compared.expected, compared.tolerance, compared.unit,
                                "not computed", twice)
        seen.setdefault(compared.id, line)
        done.append(compared)
    return done


def _figure(value: float | None, like: float | None = None) -> str:
    if value is None:
        return "-"
    if like is None:
        return f"{value:.6g}"
    places = 3 if like <= 0.0 else max(0, min(6, 1 - math.floor(math.log10(like))))
    return f"{value:.{places}f}"


def table(rows: list[Compared]) -> str:
    """Return the rows as lines of text, ending with how many are within their tolerance."""
    def cut(text: str, name: str) -> str:
        return text if len(text) <= _WIDTHS[name] else text[:_WIDTHS[name] - 3] + "..."

    cells = [("id", "what", "value", "expected", "tolerance", "unit", "")]
    cells += [(cut(row.id, "id"), cut(row.what, "what"), _figure(row.value, row.tolerance), _figure(row.expected),
               _figure(row.tolerance), cut(row.unit, "unit"), row.state) for row in rows]
    widths = [max(len(line[place]) for line in cells) for place in range(6)]
    lines = []
    for line in cells:
        texts = [line[0].ljust(widths[0]), line[1].ljust(widths[1])]
        texts += [line[place].rjust(widths[place]) for place in (2, 3, 4)]
        lines.append("  ".join([*texts, line[5].ljust(widths[5]), line[6]]).rstrip())
    lines += [row.why for row in rows if row.why]
    lines.append(f"{within(rows)} of {len(rows)} within tolerance")
    return "\n".join(lines)


def within(rows: list[Compared]) -> int:
    """Return how many rows are within their tolerance."""
    return sum(row.state == "ok" for row in rows)
