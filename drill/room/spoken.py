"""What a facilitator types, read as a command: short words, as they stand in `HELP`. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from drill.flight.readings import instrument_name
from drill.language.meaning import IN_SIGHT
from drill.room import commands as c
from drill.room.commands import Command
from drill.seat.moments import moment_of

HELP = (
    "brief                         the briefing begins",
    "fly, fly 2, fly 4             the flight runs to the next poll, once, twice or four times as fast as a clock",
    "stop                          it stops where it is",
    "advance 1:30                  so much of it passes at once",
    "poll, poll p3                 opens the next poll, or that one",
    "ask QUESTION / ANSWER / ...   opens a poll of your own",
    "close, close quietly          closes the poll and shows what came of it, or does not show it yet",
    "reveal                        shows it now",
    "hands a=12 b=3                raised hands, counted beside the phones",
    "majority, majority b          the room's answer is flown; the letter breaks a tie",
    "sheet, fork                   the grade sheet's way is flown; both are, side by side",
    "own LINE                      another way is flown: a line as a pilot would type it",
    "enter LINE                    gives the flight a line at any time",
    "face altimeter, face panel    one instrument fills the wall; the whole panel again",
    "hide 7, show 7, remove 7      a person by number: name and words off the wall, on it again, sent out",
    "rename 7 NAME / TABLE         another name, or table",
    "strike p3 7                   keeps from the wall what a person typed in a poll",
    "debrief, end                  the debrief begins; the evening is over",
    "more 5                        five minutes more for what runs now",
    "who, where, help, quit        the people; how it stands; these lines; leaves, and it can be taken up again",
    "handout, handout named        writes a page to hand out, nobody named, and totals; with the tables' names",
    "attendance                    writes who was there, for you alone; nothing does so unasked",
    "wait 1:30                     the next line is read only then, for scripts",
)
"""Each command with what it does, for a screen and for headless mode."""

OWN_WORDS = ("who", "where", "help", "quit", "handout", "attendance", "wait")
"""Lines that are no command of the host; whoever reads the lines answers them."""

People = Sequence[Mapping[str, Any]]

_COUNTS = re.compile(r"([a-z] ?[=:] ?[0-9]{1,5}[ ,;]*)+")
"""Counts of hands, which say by themselves what they are."""


class NotUnderstood(ValueError):  # noqa: N818 - an answer in words
    """A line is no command; the message says what would be."""


def command_of(line: str, people: People = ()) -> Command:
    """Return the command that `line` means; `people` are `desk_view()["everybody"]`. NotUnderstood if it is none."""
    word, _, rest = line.strip().partition(" ")
    made = _MADE.get(word.lower())
    if made is None and _COUNTS.fullmatch(line.strip().lower()):
        made, rest = _hands, line
    if made is None and re.fullmatch(r"[0-9]+([ ,;]+[0-9]+)*", line.strip()):
        raise NotUnderstood("For raised hands write how many for each letter, for example: hands a=12 b=3")
    if made is None:
        raise NotUnderstood(f"'{word[:30]}' is no command; type help for those there are.")
    return made(rest.strip(), people)


def _plain(command: Command) -> Callable[[str, People], Command]:
    def made(rest: str, _people: People) -> Command:
        if rest:
            raise NotUnderstood(f"Nothing more is wanted after this word: '{rest[:30]}'.")
        return command

    return made


def _fly(rest: str, _people: People) -> Command:
    pace = rest.lower().removesuffix("x") or "1"
    if not (pace.isascii() and pace.isdigit() and len(pace) == 1 and int(pace) in c.PACES):
        raise NotUnderstood("Fly at 1, 2 or 4 times the speed of a clock, for example: fly 2")
    return c.Fly(int(pace))


def _advance(rest: str, _people: People) -> Command:
    try:
        return c.Advance(moment_of(rest))
    except ValueError:
        raise NotUnderstood("Write how much time, in minutes and seconds, for example: advance 1:30") from None


def _ask(rest: str, _people: People) -> Command:
    question, *answers = (each.strip() for each in re.split(r"\s/\s|\s/$|^/\s", f"{rest} "))
    if not question:
        raise NotUnderstood("Write a question and its answers, for example: ask Where to? / Back / On")
    return c.OpenPoll(question=question, kind="what next" if answers else "what do you say", answers=tuple(answers))


def _close(rest: str, _people: People) -> Command:
    if rest not in ("", "quietly"):
        raise NotUnderstood("Write close, or close quietly.")
    return c.Close(show=not rest)


def _hands(rest: str, _people: People) -> Command:
    found = re.findall(r"([a-z]) ?[=:] ?([0-9]{1,5})", rest.lower())
    if not found or re.sub(r"([a-z]) ?[=:] ?([0-9]{1,5})|[ ,;]", "", rest.lower()):
        raise NotUnderstood("Write how many hands for each letter, for example: hands a=12 b=3")
    return c.CountHands({key: int(number) for key, number in found})


def _own(rest: str, _people: People) -> Command:
    return c.Choose("own", line=_line(rest))


def _enter(rest: str, _people: People) -> Command:
    return c.Enter(_line(rest))


def _line(rest: str) -> str:
    if not rest:
        raise NotUnderstood("Write the line that is flown after this word.")
    return rest


def _face(rest: str, _people: People) -> Command:
    name = rest.lower()
    if name in ("", "panel"):
        return c.ShowFace(None)
    return c.ShowFace(next((code for code in (*IN_SIGHT, name.replace(" ", "_")) if instrument_name(code) == name),
                           name.replace(" ", "_")))


def _of_person(make: Callable[[str], Command]) -> Callable[[str, People], Command]:
    return lambda rest, people: make(_phone(rest, people))


def _rename(rest: str, people: People) -> Command:
    who, _, new = rest.partition(" ")
    name, slash, table = (each.strip() for each in new.partition("/"))
    if not name and not slash:
        raise NotUnderstood("Write the number and the new name, for example: rename 7 Robin / 2")
    return c.Rename(_phone(who, people), name or None, table if slash else None)


def _strike(rest: str, people: People) -> Command:
    poll, _, who = rest.partition(" ")
    return c.Strike(poll, _phone(who.strip(), people))


def _more(rest: str, _people: People) -> Command:
    if not re.fullmatch(r"-?[0-9]{1,3}", rest):
        raise NotUnderstood("Write how many minutes, for example: more 5")
    return c.More(float(rest))


def _phone(number: str, people: People) -> str:
    for each in people:
        if str(each["place"]) == number.lstrip("#"):
            return str(each["phone"])
    raise NotUnderstood("Name a person by number, as who lists them.")


_MADE: Mapping[str, Callable[[str, People], Command]] = {
    "brief": _plain(c.Brief()), "fly": _fly, "stop": _plain(c.Stop()), "advance": _advance,
    "poll": lambda rest, _: c.OpenPoll(rest), "ask": _ask, "close": _close, "reveal": _plain(c.Reveal()),
    "hands": _hands,
    "majority": lambda rest, _: c.Choose("majority", answer=rest.lower()), "sheet": _plain(c.Choose("sheet")),
    "fork": lambda rest, _: c.Choose("fork", answer=rest.lower()), "own": _own, "enter": _enter, "face": _face,
    "hide": _of_person(c.Hide), "show": _of_person(c.Show), "remove": _of_person(c.Remove), "rename": _rename,
    "strike": _strike, "debrief": _plain(c.Debrief()), "end": _plain(c.End()), "more": _more,
}
