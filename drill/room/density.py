"""How much of an evening's results one sheet holds: six densities, and which of them a handout needs. Pure.

Heights are reckoned in lines of the printed page, by how many letters a line holds; Letter is the lower of the two
sheets. The reckoning is kept on the safe side of what a browser makes of it, and tests hold it against one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from drill.room.fitted import width
from drill.room.outcome import Results
from drill.room.polls import is_own

SHEET_LINES = 61.0
"""Lines of a Letter sheet with margins of 9 mm and type of 9 points: it has 64."""

CAUTION = 260
"""Columns of a caution; none of drill's own is longer."""
MOST_WAYS = 10
"""More polls than that are not told of with how the room went on."""
FLIGHT, ENDING, KNOWING = 200, 230, 260
"""Columns of these sentences."""
_WHOLE, _THIRD = 132, 40      # letters to a line, across the sheet and in one of three columns


@dataclass(frozen=True, slots=True)
class Density:
    """How many of each sort of line are shown, and how many columns wide a text may be."""

    answers: int
    says: int
    decisions: int
    item: int
    tables: int
    shifts: int
    ways: int
    way: int
    own: int
    knowing: int
    title: int
    room: int
    why: int
    better: int
    source: int
    discuss: int
    cautions: int


AMPLE = Density(answers=8, says=60, decisions=12, item=80, tables=8, shifts=6, ways=9, way=130, own=260, knowing=4,
                title=90, room=300, why=320, better=220, source=140, discuss=520, cautions=6)
ROOMY = Density(answers=8, says=34, decisions=10, item=40, tables=8, shifts=3, ways=6, way=84, own=120,
                knowing=3, title=60, room=200, why=220, better=150, source=90, discuss=340, cautions=6)
AIRY = Density(answers=8, says=30, decisions=10, item=43, tables=6, shifts=2, ways=2, way=84, own=110,
               knowing=2, title=70, room=200, why=200, better=130, source=80, discuss=300, cautions=5)
CLOSE = Density(answers=7, says=24, decisions=9, item=43, tables=6, shifts=2, ways=4, way=40, own=100,
                knowing=2, title=52, room=150, why=130, better=110, source=60, discuss=200, cautions=5)
SNUG = Density(answers=7, says=24, decisions=8, item=43, tables=5, shifts=1, ways=3, way=44, own=80,
               knowing=2, title=46, room=135, why=115, better=90, source=50, discuss=130, cautions=5)
DENSE = Density(answers=4, says=15, decisions=5, item=28, tables=3, shifts=1, ways=2, way=24, own=40,
                knowing=1, title=34, room=110, why=85, better=75, source=36, discuss=110, cautions=4)


def density_for(results: Results, flight: str, knowing: Iterable[str], shifts: Iterable[str]) -> Density:
    """Return the roomiest density in which these results stand on one sheet; the densest if none is dense enough.

    `flight`, `knowing` and `shifts` are the sentences that are told of them.
    """
    told = tuple(knowing), tuple(shifts)
    roomy = (each for each in (AMPLE, ROOMY, AIRY, CLOSE, SNUG) if _lines(results, each, flight, *told) <= SHEET_LINES)
    return next(roomy, DENSE)


def _lines(
    results: Results, by: Density, flight: str, knowing: tuple[str, ...], shifts: tuple[str, ...],
) -> float:
    says = {answer.says for poll in results.polls if poll.kind == "what is wrong" for answer in poll.answers}
    items = [each.item for each in results.decisions]
    ways = sum(bool(each.way) for each in results.polls)
    own = _notes(min(sum(is_own(each.name) for each in results.polls), by.ways), by.own)
    moved = sum(_notes(1, width(each)) for each in shifts[-by.shifts:])
    opinion = 3.3 + _rows(says, by.answers, by.says, 30) + moved + own
    decided = 2.3 + _rows(items, by.decisions, by.item + 9, 44) + (
        _notes(ways, by.way + 37) if ways <= by.ways else _notes(1, 24 + 16 * min(ways, MOST_WAYS))) + 0.85
    calls = 3.5 + 1.15 * min(len(results.calls), by.tables)
    points = 1.6 + max((_point(each.title, each.room, each.why, each.better, each.source, by=by)
                        for each in results.take_home), default=1.0)
    return (2.4 + _at(_WHOLE, flight[:FLIGHT]) + _at(_WHOLE, results.ending[:ENDING] + 24 * " ") + 9.0
            + sum(_at(_WHOLE, each[:KNOWING]) for each in knowing[:by.knowing])
            + max(opinion, decided) + max(calls, 6.8) + points + 1.6 + _at(_WHOLE, results.discuss[:by.discuss])
            + 0.75 * sum(_at(165, each[:CAUTION]) for each in results.cautions[:by.cautions]) + 1.5)


def _rows(texts: Iterable[str], most: int, cut: int, letters: int) -> float:
    """Return the lines of the tallest rows there can be: which of them are shown is another's choice."""
    tall = sorted((ceil(min(width(each), cut) / letters) or 1 for each in texts), reverse=True)
    return sum(0.15 + each for each in tall[:most]) + (0.9 if len(tall) > most else 0.0)


def _notes(count: int, letters: int) -> float:
    return count * 0.85 * ceil(letters / 66)


def _point(title: str, room: str, why: str, better: str, source: str, *, by: Density) -> float:
    cut = ((title, by.title), (room, by.room), (why, by.why), (better, by.better), (source, by.source))
    return 1.6 + sum(_at(_THIRD, text[:most]) * 1.05 for text, most in cut)


def _at(letters: int, text: str) -> float:
    return float(ceil(width(text) / letters))


@dataclass(frozen=True, slots=True)
class BothDensity:
    """How many columns wide a text on the sheet of both ways may be: what is compared, what it was, what was done."""

    what: int
    value: int
    act: int


WHOLE = BothDensity(what=84, value=111, act=104)
CUT = BothDensity(what=42, value=37, act=52)
_BOTH_LINES = 56.0
_WHAT, _VALUE, _ACT = 48, 38, 52      # letters to a line in these columns


def both_density(rows: Iterable[tuple[str, Sequence[str]]], acts: Iterable[Sequence[str]]) -> BothDensity:
    """Return the roomier one in which the sheet of both ways holds these rows and the acts of each way."""
    high = sum(0.15 + max(_at(_WHAT, what[:WHOLE.what] + 9 * " "),
                          *(_at(_VALUE, each[:WHOLE.value]) for each in values)) for what, values in rows)
    high += max((sum(_at(_ACT, each[:WHOLE.act]) for each in way) for way in acts), default=0.0)
    return WHOLE if high + 14.0 <= _BOTH_LINES else CUT
