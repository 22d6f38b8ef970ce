"""The handout of an evening: a page without script that loads nothing and prints on one sheet, A4 or Letter.

Where the room flew both ways, each time has a sheet more, on which they stand side by side.

Nobody is named on it, nothing that was typed is quoted, and tables have numbers unless their names are asked for. Every
text is cleaned, cut to what its place holds, and goes through the template engine, which escapes it. In print the page
is as high as the sheet: however much there is, the cautions stay at its foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.clean import clean
from drill.flight.readings import clock_words as clock
from drill.grading.scoring import WEIGHTS
from drill.grading.timeline import lasting
from drill.room import both_ways
from drill.room.chart import chart
from drill.room.density import CAUTION, ENDING, FLIGHT, KNOWING, MOST_WAYS, Density, both_density, density_for
from drill.room.fitted import elided
from drill.room.outcome import Decision, Knowing, Parting, PollResult, Results, Shift
from drill.room.polls import is_own
from drill.room.shares import percent
from drill.room.way_words import WAY_NAMES, flown_by_sheet, went_on_words

POLL = 5
"""Columns of the name of a poll."""
MOST_POLLS = 6
"""Columns of polls in a table: of more the last ones."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A share in a table of answers by polls: in words, whether it was right then, whether it was asked at all."""

    share: str
    right: bool
    asked: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One answer with its share in each poll."""

    says: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """Answers to what is wrong, by polls: `polls` are (name, time in words)."""

    polls: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    left_out: int


def as_html(results: Results, *, named: bool = False) -> str:
    """Return the handout of these results. `named`: with the tables' own names."""
    return _template().render(_told(results, named=named))


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
                              keep_trailing_newline=True, finalize=_cleaned)
    environment.filters |= {"clock": clock, "elided": elided, "percent": percent}
    css = Markup(_file("handout.css"))  # noqa: S704 - ours
    return environment.from_string(_file("handout.html.j2"), globals={
        "css": css, "MOST_POLLS": MOST_POLLS, "FLIGHT": FLIGHT, "ENDING": ENDING, "KNOWING": KNOWING,
        "CAUTION": CAUTION})


def _file(name: str) -> str:
    return resources.files("drill.room").joinpath(name).read_text(encoding="utf-8")


def _cleaned(value: Any) -> Any:
    """Return what is written in a template's place: words cleaned, what is markup already as it is."""
    return clean(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _told(results: Results, *, named: bool) -> dict[str, Any]:
    calls = [each for each in results.calls if each.poll == max(call.poll for call in results.calls)]
    tables = [(_table(each.table, place) if not named else each.table or "no table", each)
              for place, each in enumerate(calls)]
    flight, knowing = flight_words(results), [knowing_words(each) for each in results.knowing]
    shifts = [shift_words(each) for each in results.shifts]
    by = density_for(results, flight, knowing, shifts)
    decided = shown_decisions(results, by.decisions)

    def by_sheet(at_s: float | None) -> bool:
        return at_s is not None and flown_by_sheet(results.polls, at_s)

    cautions = (*CAUTIONS, NOTHING_LOGGED, *(each for each in results.cautions if each not in CAUTIONS))
    return {
        "results": results, "by": by, "chart": chart(results), "flight": flight, "knowing": knowing[:by.knowing],
        "moved": moved(results, by.answers), "shifts": shifts[-by.shifts:],
        "decisions": decided,
        "more_decisions": max(0, len(results.decisions) - by.decisions),
        "tables": tables[:by.tables], "more_tables": max(0, len(tables) - by.tables),
        "went_on": _went_on(results.polls, by),
        "own": [own_words(each) for each in results.polls if is_own(each.name)][:by.ways],
        "by_sheet": by_sheet, "sheet_flew": any(by_sheet(each.at_s) for each in decided),
        "cautions": cautions[:by.cautions],
        "partings": [_both(each) for each in results.partings[-both_ways.MOST_PARTINGS:]],
    }


def _went_on(polls: Sequence[PollResult], by: Density) -> list[str]:
    """Return how the room went on after each poll: a sentence each, or all in one where there is not room for that."""
    ways = [each for each in polls if each.way]
    if len(ways) <= by.ways:
        return [f"After poll {elided(each.name, POLL)} the room went on {elided(went_on_words(each), by.way)}"
                for each in ways]
    told = ", ".join(f"{elided(each.name, POLL)} {WAY_NAMES.get(each.way, '')}" for each in ways[-MOST_WAYS:])
    return [f"How the room went on: {told}."]


def _both(parting: Parting) -> dict[str, Any]:
    """Return what the sheet of one parting says."""
    acts = [both_ways.done(parting, way) for way in range(len(parting.ways))]
    came_of_it = both_ways.came_of_it(parting)[:both_ways.MOST_ROWS]
    items = both_ways.items(parting, both_ways.MOST_ITEMS)
    by = both_density([(each.what, each.values) for each in (*came_of_it, *items)],
                      [[words for _, words in each[:both_ways.MOST_DONE]] for each in acts])
    return {
        "by": by,
        "heading": both_ways.heading(parting), "names": [each.name for each in parting.ways],
        "came_of_it": came_of_it, "items": items,
        "more_items": max(0, len(parting.items) - both_ways.MOST_ITEMS),
        "done": [(way.name, each[:both_ways.MOST_DONE], max(0, len(each) - both_ways.MOST_DONE))
                 for way, each in zip(parting.ways, acts, strict=True)],
    }


def _table(name: str, place: int) -> str:
    """Return what a table is called where nobody is named."""
    return f"{'Table' if name else 'Phone'} {place + 1}"


def flight_words(results: Results) -> str:
    """Return which evening and flight it was, and who was there, counted."""
    hands = max((each.hands for each in results.polls), default=0)
    people = f"{results.people} by phone" if results.people else "counted by hands"
    people += f", up to {hands} by raised hand" if hands else ""
    tables = f", {len(results.tables)} tables" if len(results.tables) > 1 else ""
    day = f"{results.day}. " if results.day else ""
    return (f"{day}{results.board_title}, {results.airplane}, seed {results.seed}. The room: {people}{tables}. "
            f"Flown {lasting(results.flown_s)}.")


def knowing_words(each: Knowing) -> str:
    """Return of one failure when it could be known and when the room knew."""
    part = f"{each.part[:1].upper()}{each.part[1:]}"
    words = f"{part}: failed at {clock(each.began_s)}. "
    if each.evidence_s is None:
        return f"{words}No careful cross-check in flight would have told it for sure."
    words += (f"A careful cross-check in flight, one instrument after the other, could have known at "
              f"{clock(each.evidence_s)}: {each.evidence}. ")
    if each.room_s is None or each.later_s is None:
        return words + ("In no poll did most of the room name it." if each.shares else
                        "The room was not asked after it began.")
    later, poll = each.later_s, elided(each.room_poll or "", POLL)
    return words + f"Most of the room named it in poll {poll} at {clock(each.room_s)}, " + (
        f"{lasting(later)} later." if later > 0.0 else "before that.")


def own_words(poll: PollResult) -> str:
    """Return what came of a question of the facilitator's own, in a sentence."""
    if not poll.answers:
        return f"Poll {elided(poll.name, POLL)}, {poll.question} {poll.answered} typed."
    told = ", ".join(f"{each.says} {percent(each.share)}" for each in poll.answers)
    hands = f" ({poll.hands} by raised hand)" if poll.hands else ""
    return f"Poll {elided(poll.name, POLL)}, {poll.question} Of {poll.answered}{hands}: {told}."


def shift_words(shift: Shift) -> str:
    """Return how the same people answered from one poll to the next."""
    never = shift.people - shift.stayed_right - shift.came_to_it - shift.left_it
    of = "1 person" if shift.people == 1 else f"{shift.people} people"
    before, after = elided(shift.before, POLL), elided(shift.after, POLL)
    return (f"Polls {before} and {after}, of {of} who answered both: right both times "
            f"{shift.stayed_right}, only the second time {shift.came_to_it}, only the first {shift.left_it}, "
            f"neither {never}. Of these {shift.people}, {shift.changed} changed their answer.")


def moved(results: Results, most: int) -> Moved:
    """Return the answers to what is wrong by polls, at most so many: what was right, and those with most votes."""
    polls = [each for each in results.polls if each.answers and each.kind == "what is wrong"][-MOST_POLLS:]
    says = list(dict.fromkeys(answer.says for poll in polls for answer in poll.answers))
    ranked = sorted(says, key=lambda each: (-_right_in(each, polls), -_votes(each, polls)))
    kept = set(ranked[:most])
    rows = tuple(Row(each, tuple(_cell(each, poll) for poll in polls)) for each in says if each in kept)
    return Moved(tuple((elided(poll.name, POLL), clock(poll.t_s)) for poll in polls), rows, len(says) - len(rows))


def _right_in(says: str, polls: list[PollResult]) -> int:
    return sum(answer.says == says and answer.standing == "right" for poll in polls for answer in poll.answers)


def _votes(says: str, polls: list[PollResult]) -> int:
    return sum(answer.votes for poll in polls for answer in poll.answers if answer.says == says)


def _cell(says: str, poll: PollResult) -> Cell:
    found = next((answer for answer in poll.answers if answer.says == says), None)
    if found is None:
        return Cell("", False, False)
    return Cell(percent(found.share), found.standing == "right", True)


def shown_decisions(results: Results, most: int) -> list[Decision]:
    """Return the items that weigh and lost most, at most so many, in the sheet's order."""
    items = results.decisions
    ranked = sorted(range(len(items)), key=lambda place: -WEIGHTS[items[place].weight] - items[place].lost)
    return [items[place] for place in sorted(ranked[:most])]
