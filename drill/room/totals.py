"""Tables of an evening for a spreadsheet: totals without a name in them, and, asked for by itself, who was there.

CSV as in RFC 4180, with a byte order mark, so that spreadsheets take it for UTF-8. A text that a spreadsheet could take
for a formula begins with an apostrophe, which keeps it a text.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from importlib import resources

from jinja2 import Environment, StrictUndefined, Template

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.clean import clean_line
from drill.flight.readings import clock_words as clock
from drill.room.both_ways import came_of_it
from drill.room.both_ways import items as both_ways
from drill.room.evening import Evening
from drill.room.outcome import Results
from drill.room.way_words import went_on_words

MARK = "\ufeff"
FORMULA = frozenset("=+-@|%\t\r\n＝＋－＠")
"""What a formula can begin with, in one spreadsheet or another; full-width signs are read as the plain ones."""

HEADINGS = ("poll", "time", "kind", "question", "answer", "count", "share", "right", "on the sheet", "off the sheet",
            "of these by phone", "of these by hands")

Value = str | int | float | None

_NOTHING: tuple[Value, ...] = ("", "", "", None, None)
_NO_COUNTS: tuple[Value, ...] = (None, None, *_NOTHING)
"""What stands in the last columns of a line that is no answer."""


def totals_csv(results: Results) -> str:
    """Return the totals: a line for each answer of each poll, then the calls' elements, items, both ways, certainty.

    Tables are numbered, not named; words that somebody typed are not in it.
    """
    return _csv(HEADINGS, _totals(results))


def _totals(results: Results) -> Iterator[Sequence[Value]]:
    for poll in results.polls:
        for answer in poll.answers:
            yield (poll.name, clock(poll.t_s), poll.kind, poll.question, answer.says, answer.votes,
                   _share(answer.share), answer.standing or "", "; ".join(answer.serves), "; ".join(answer.breaks),
                   answer.votes - answer.hands, answer.hands)
        if not poll.answers:
            yield (poll.name, clock(poll.t_s), poll.kind, poll.question, "typed", poll.answered, None, "", "", "",
                   poll.answered, 0)
        if poll.way:
            yield poll.name, clock(poll.t_s), "how the room went on", poll.question, went_on_words(poll), *_NO_COUNTS
    for each in results.elements:
        yield "", "", "element of a call", "", each.element, each.said, _share(each.said / each.of), *_NOTHING
    for item in results.decisions:
        at = "" if item.at_s is None else clock(item.at_s)
        yield "", at, "grade sheet", item.item, item.verdict, None, _share(item.share), *_NOTHING
    for parting in results.partings:
        for row in (*came_of_it(parting), *both_ways(parting)):
            told = "; ".join(f"{way.name}: {value}" for way, value in zip(parting.ways, row.values, strict=True))
            yield parting.poll or "", clock(parting.at_s), "both ways", row.what, told, *_NO_COUNTS
    for sure in results.sureness:
        yield "", "", "how sure", "", sure.words, sure.answers, _share(
            sure.right / sure.answers if sure.answers else None), *_NOTHING


def _share(share: float | None) -> float | None:
    return None if share is None else round(share, 4)


def attendance_csv(evening: Evening) -> str:
    """Return who was there, as they joined: name, table, in how many polls they voted. Not who was sent out."""
    return _csv(("name", "table", "votes"), _present(evening))


def _present(evening: Evening) -> Iterator[tuple[str, str, int]]:
    for person in evening.present:
        cast = sum(person.phone in held.votes for held in evening.polls)
        yield person.name, person.table, cast


def attendance_html(evening: Evening, title: str) -> str:
    """Return the same as a page that loads nothing, with room for signatures. It says that nothing can be logged."""
    return _template().render(title=clean_line(title), day=evening.begun.at[:10], number=evening.number,
                              rows=[(clean_line(name), clean_line(table), cast) for name, table, cast
                                    in _present(evening)],
                              cautions=(*CAUTIONS, NOTHING_LOGGED))


def _csv(headings: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(headings)
    writer.writerows([guarded(each) if isinstance(each, str) else each for each in row] for row in rows)
    return MARK + out.getvalue()


def guarded(text: str) -> str:
    """Return `text` clean in one line, so that no spreadsheet takes it for a formula."""
    line = clean_line(text)
    return f"'{line}" if line[:1] in FORMULA else line


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(resources.files("drill.room").joinpath("attendance.html.j2").read_text("utf-8"))
