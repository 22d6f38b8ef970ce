"""What the board lists: scenarios and unfinished flights, sought, filtered and sorted. Pure; it reads no file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias, get_args

if TYPE_CHECKING:
    from drill.scenario.cards import Card
    from drill.seat.journal import Attempt
    from drill.seat.record_glance import Glance

Length: TypeAlias = Literal["any", "up to 15", "up to 30", "longer"]
Order: TypeAlias = Literal["title", "last flown"]
LENGTHS: tuple[Length, ...] = get_args(Length)
ORDERS: tuple[Order, ...] = get_args(Order)
ANY = "any"
MOST_UNFINISHED = 8

NOT_FLOWN = "not flown yet"
UNFINISHED = "begun, not finished"
FLOWN_NOW = "being flown now"

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Entry:
    """A scenario and how the pilot last did in it, in words and in `short`; `flown`: when last begun, empty: never."""

    card: Card
    last: str
    flown: str
    short: str = ""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the pilot looks for."""

    words: str = ""
    airplane: str = ANY
    length: Length = "any"
    order: Order = "title"


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the board. Neither a heading nor a flight that somebody is flying can be chosen.

    `key` tells rows apart, whatever is filtered.
    """

    key: str
    cells: tuple[str, str, str, str]           # title, airplane, minutes, last
    short: str = ""                            # last, where there is little room
    card: Card | None = None
    record: Path | None = None                 # of an unfinished flight
    heading: bool = False
    flown_now: bool = False

    @property
    def can_be_chosen(self) -> bool:
        """Whether there is something to brief or to go on with."""
        return not (self.heading or self.flown_now)


def entries(cards: Iterable[Card], attempts: Sequence[Attempt], today: date) -> list[Entry]:
    """Return the scenarios with how each last went; `attempts` oldest first."""
    flown: dict[str, list[Attempt]] = {}
    for attempt in attempts:
        flown.setdefault(attempt.scenario, []).append(attempt)
    return [Entry(card, "", "") if card.problem else _entry(card, flown.get(card.name, ()), today) for card in cards]


def listed(known: Iterable[Entry], wanted: Wanted) -> list[Entry]:
    """Return the entries that are wanted, in the order wanted; what cannot be read comes last, and by title only."""
    found = [entry for entry in known if _fits(entry, wanted)]
    found.sort(key=lambda entry: title_of(entry.card).casefold())
    if wanted.order == "last flown":
        found.sort(key=lambda entry: entry.flown, reverse=True)
    found.sort(key=lambda entry: bool(entry.card.problem))
    return found


def airplanes(known: Iterable[Entry]) -> list[str]:
    """Return the airplanes that the scenarios are flown in, by name."""
    return sorted({entry.card.airplane for entry in known if entry.card.airplane and not entry.card.problem})


def rows(
    known: Sequence[Entry], attempts: Sequence[Attempt], wanted: Wanted, today: date,
    glances: Mapping[Path, Glance] | None = None,
) -> list[Row]:
    """Return the lines of the board: unfinished flights, newest first, then the scenarios wanted.

    `glances`: what is known of the records of unfinished flights.
    """
    left = [
        attempt for attempt in reversed(attempts) if not attempt.ended and _said(attempt.board_title, wanted.words)
    ][:MOST_UNFINISHED]
    found = listed(known, wanted)
    lines: list[Row] = []
    if left:
        lines.append(_heading("Unfinished flights", "seed, flight time, begun. Enter goes on where you stopped"))
        lines += [_unfinished(attempt, (glances or {}).get(attempt.record), today) for attempt in left]
        if found:
            lines.append(_heading("Scenarios", ""))
    lines += [_row(entry) for entry in found]
    return lines


def nothing_here(known: Sequence[Entry], wanted: Wanted) -> str:
    """Return what to do where no scenario is listed; empty if one is."""
    if not known:
        return ("There is no scenario here. They ship in the folder procedures of drill; reinstall it, or fly a file "
                "of your own with: drill fly FILE")
    if listed(known, wanted):
        return ""
    sought = [f"\"{wanted.words}\" in its title"] if wanted.words.split() else []
    if wanted.airplane != ANY:
        sought.append(f"the airplane {wanted.airplane}")
    if wanted.length != "any":
        sought.append(f"a length of {length_words(wanted.length)}")
    return f"No scenario has {' and '.join(sought)}. Escape clears the search and the filters."


def day(iso: str, today: date) -> str:
    """Return an ISO date in words, e.g. `Nov 25`, with its year unless it is this one; as it is if it is none."""
    try:
        then = date.fromisoformat(iso[:10])
    except ValueError:
        return iso[:10] or "some day"
    said = f"{_MONTHS[then.month - 1]} {then.day}"
    return said if then.year == today.year else f"{said}, {then.year}"


def length_words(length: Length) -> str:
    """Return a length in words."""
    return {"any": "any", "up to 15": "up to 15 min", "up to 30": "up to 30 min", "longer": "over 30 min"}[length]


def title_of(card: Card) -> str:
    """Return what a scenario is called on the board: its board title, or its file's name where that cannot be read."""
    return card.board_title or card.name


def _entry(card: Card, attempts: Sequence[Attempt], today: date) -> Entry:
    """Return `card` with its last finished flight, and how many there are to finish; `attempts` oldest first.

    One that goes on from a moment of a debriefed flight tells nothing of how the pilot does.
    """
    if not attempts:
        return Entry(card, NOT_FLOWN, "")
    begun = max(attempt.began for attempt in attempts)
    left = sum(not attempt.ended for attempt in attempts)
    done = next((attempt for attempt in reversed(attempts) if attempt.ended and not attempt.rewound), None)
    if done is None:
        return Entry(card, UNFINISHED, begun)
    when = day(done.began, today)
    last = f"{when}: not graded" if done.score is None else f"{when}: {done.score:.0f} of 100"
    if not left:
        return Entry(card, last, begun)
    brief = "not graded" if done.score is None else f"{when}: {done.score:.0f}"
    return Entry(card, f"{last}, {'one' if left == 1 else left} unfinished", begun, f"{brief}, {left} unfinished")


def _unfinished(attempt: Attempt, seen: Glance | None, today: date) -> Row:
    flown_now = seen is not None and seen.flown_now
    reached = "" if seen is None or seen.reached_s is None else clock(seen.reached_s)
    begun = day(attempt.began, today) + (f", {attempt.began[11:16]}" if "T" in attempt.began else "")
    last = FLOWN_NOW if flown_now else begun
    title = f"{attempt.board_title}, flown again" if attempt.rewound else attempt.board_title
    return Row(f"flight {attempt.record}", (title, f"seed {attempt.seed}", reached, last),
               record=attempt.record, flown_now=flown_now)


def clock(seconds: float) -> str:
    """Return a flight time in minutes and seconds, as everywhere else where it is told."""
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


def _fits(entry: Entry, wanted: Wanted) -> bool:
    card = entry.card
    if not _said(title_of(card), wanted.words):
        return False
    if card.problem:                                       # what its airplane and length are nobody knows
        return wanted.airplane == ANY and wanted.length == "any"
    return wanted.airplane in (ANY, card.airplane) and {
        "any": True, "up to 15": card.minutes <= 15, "up to 30": card.minutes <= 30, "longer": card.minutes > 30,
    }[wanted.length]


def _said(title: str, words: str) -> bool:
    title = title.casefold()
    return all(word in title for word in words.casefold().split())


def _heading(words: str, beside: str) -> Row:
    return Row(f"heading {words}", (words, "", "", beside), heading=True)


def _row(entry: Entry) -> Row:
    card = entry.card
    key = f"scenario {card.path}"
    if card.problem:
        return Row(key, (title_of(card), "cannot be read", "", card.problem), card=card)
    return Row(key, (title_of(card), card.airplane, f"{card.minutes:.0f} min", entry.last), entry.short, card)
