"""Two ways that a room flew at once, in words: for the handout's second sheet, the screen and the totals. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.grading.scoring import WEIGHTS
from drill.room.fitted import elided
from drill.room.outcome import ItemBothWays, Parting

MOST_ROWS = 13
MOST_ITEMS = 12
MOST_DONE = 13
MOST_PARTINGS = 3
"""More are not printed; totals have all."""
NOTHING = "–"


@dataclass(frozen=True, slots=True)
class Said:
    """One row of the comparison: what is compared, what it was in each way, whether that differs."""

    what: str
    values: tuple[str, ...]
    differs: bool
    weight: str = ""


def heading(parting: Parting) -> str:
    """Return where the ways parted, and up to when they are told of."""
    after = "" if parting.poll is None else (
        f"After poll {elided(parting.poll, 5)} the room flew both ways in the same air, from ")
    return f"{after or 'Both ways were flown in the same air, from '}{clock(parting.at_s)} to {clock(parting.until_s)}."


def came_of_it(parting: Parting) -> list[Said]:
    """Return what came of each way: ending, items, cost, score, and how it flew."""
    ways = range(len(parting.ways))
    rows = [
        _row("Ending", [each.ending for each in parting.ways]),
        _row("Items satisfied", [str(parting.satisfied(way)) for way in ways]),
        _row("Items failed or open", [str(parting.failed(way)) for way in ways]),
        _row("Cost", [f"{each.cost:.0f} points" for each in parting.ways]),
        _row("Score so far", [NOTHING if each.score is None else f"{each.score:.0f} of 100" for each in parting.ways]),
    ]
    return [*rows, *(Said(each.what, each.values, len({_less_time(value) for value in each.values}) > 1)
                     for each in parting.measures)]


def _less_time(value: str) -> str:
    """Return a reading without when it was: that alone is no difference."""
    return value.partition(" at ")[0]


def summary(parting: Parting) -> str:
    """Return in a few sentences what came of each way."""
    told = [f"{way.name}: {parting.satisfied(place)} items satisfied, {parting.failed(place)} failed or open, cost "
            f"{way.cost:.0f} points" for place, way in enumerate(parting.ways)]
    return f"{clock(parting.at_s)} to {clock(parting.until_s)}. {'. '.join(told)}."


def _row(what: str, values: Sequence[str]) -> Said:
    return Said(what, tuple(values), len(set(values)) > 1)


def items(parting: Parting, most: int | None = None) -> list[Said]:
    """Return the items of the sheet in each way, at most so many: those that differ, then those that weigh most."""
    ranked = sorted(range(len(parting.items)), key=lambda at: _rank(parting.items[at]))
    return [Said(each.item, tuple(_verdict(parting, each, way) for way in range(len(parting.ways))), each.differs,
                 each.weight) for each in (parting.items[at] for at in sorted(ranked[:most]))]


def _rank(item: ItemBothWays) -> tuple[bool, float]:
    return not item.differs, -WEIGHTS[item.weight]


def _verdict(parting: Parting, item: ItemBothWays, way: int) -> str:
    verdict, at_s, cost = item.verdicts[way], item.times[way], item.costs[way]
    if verdict is None:
        return "not called for" if parting.ways[way].ended else "not yet called for"
    said = "not by then" if verdict == "missed" and not parting.ways[way].ended else verdict
    at = "" if at_s is None else f" {clock(at_s)}"
    if (again := item.again[way]) is not None:
        at += f", again {clock(again)}"
    return f"{said}{at}" + (f", cost {cost:.0f}" if round(cost) else "")


def done(parting: Parting, way: int) -> list[tuple[str, str]]:
    """Return what was done in one way: when, and what."""
    return [(clock(each.at_s), each.words) for each in parting.ways[way].done]


def lines(parting: Parting) -> Iterator[str]:
    """Return the comparison in lines: only what differs, and what was done."""
    yield heading(parting)
    for row in (*came_of_it(parting), *items(parting)):
        if row.differs:
            told = "; ".join(f"{way.name.lower()} {value}" for way, value in zip(parting.ways, row.values, strict=True))
            yield f"{row.what}: {told}"
    for place, way in enumerate(parting.ways):
        told = ", ".join(f"{at} {words}" for at, words in done(parting, place)[:MOST_DONE])
        yield f"{way.name}: {told or 'nothing was done'}."
