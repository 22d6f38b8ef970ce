"""Flights side by side, put into words: sentences for ears, columns for eyes. Nothing here draws or colors."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from pydantic import TypeAdapter

from drill.flight.readings import clock_words as clock
from drill.flight.readings import three_digits
from drill.grading.beside import Beside, Flown

WIDTH = 80

_BESIDE = TypeAdapter(Beside)


def heading_words(them: Beside) -> str:
    """Return what is compared."""
    return f"SIDE BY SIDE, FROM {clock(them.at_s)} ON"


def side_by_side_json(them: Beside) -> str:
    """Return the comparison as JSON, every field under its own name."""
    return _BESIDE.dump_json(them, indent=2).decode("utf-8")


# --- for ears ----------------------------------------------------------------------------------------


def side_by_side_lines(them: Beside) -> list[str]:
    """Return the comparison as lines of at most 80 columns: what differs, what was done, how it flew."""
    lines = [heading_words(them)]
    said = [air_words(them)]
    said += [f"{row.what}. {ways_words(them.names, row.values)}" for row in them.rows if row.differs]
    same = [f"{row.what}: {row.values[0]}" for row in them.rows if not row.differs]
    said += [f"The same in all: {'; '.join(same)}."] if same else []
    for each in said:
        lines += _wrapped(each)
    lines += ["", "WHAT WAS DONE"]
    for act in them.acts:
        lines += _wrapped(f"{clock(act.t)} {them.names[act.way]}: {act.words}.", "     ")
    if not them.acts:
        lines.append("Nothing.")
    lines += ["", "HOW IT REALLY FLEW"]
    for then in them.times:
        flew = ways_words(them.names, [flown_words(each) for each in then.flown])
        lines += _wrapped(f"{clock(then.t)} {flew}", "     ")
    return lines


def air_words(them: Beside) -> str:
    """Return which flights are compared, and what is to be known of their air."""
    return them.air or f"{them.names[0]} and {_and(them.names[1:])}, in the same air."


def ways_words(names: Sequence[str], values: Sequence[str]) -> str:
    """Return what is so in each of the flights, flight by flight."""
    return " ".join(f"{name}: {value}." for name, value in zip(names, values, strict=True))


def flown_words(flown: Flown | None) -> str:
    """Return how an airplane flew at a moment."""
    if flown is None:
        return "over"
    return (f"{bank_words(flown.bank_deg)}, heading {three_digits(flown.heading_deg)}, {flown.altitude_ft:.0f} feet, "
            f"{flown.airspeed_kt:.0f} knots")


def bank_words(bank_deg: float) -> str:
    """Return a bank in words, to the degree."""
    degrees = round(bank_deg)
    side = "right" if degrees > 0 else "left"
    return "wings level" if not degrees else f"{abs(degrees)} degree{'' if abs(degrees) == 1 else 's'} {side}"


def _and(names: Sequence[str]) -> str:
    return " and ".join(names)


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False)


# --- for eyes ----------------------------------------------------------------------------------------


def table(them: Beside) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the comparison as rows of a table: a label, and a cell for each flight; a row without cells is a heading.

    What differs has `*` before its label.
    """
    yield heading_words(them), ()
    yield "", them.names
    for row in them.rows:
        yield f"{'*' if row.differs else ' '} {row.what}", row.values
    yield "WHAT WAS DONE", ()
    for act in them.acts:
        yield f"  {clock(act.t)}", tuple(act.words if way == act.way else "" for way in range(len(them.names)))
    if not them.acts:
        yield "  nothing", tuple("" for _ in them.names)
    yield "BANK, HEADING, FEET, KNOTS, AS IT REALLY FLEW", ()
    for then in them.times:
        yield f"  {clock(then.t)}", tuple(_figures(each) for each in then.flown)


def _figures(flown: Flown | None) -> str:
    if flown is None:
        return "over"
    bank = round(flown.bank_deg)
    side = "R" if bank > 0 else "L" if bank < 0 else " "
    return f"{abs(bank):>3}{side} {three_digits(flown.heading_deg)} {flown.altitude_ft:>5.0f} {flown.airspeed_kt:>3.0f}"
