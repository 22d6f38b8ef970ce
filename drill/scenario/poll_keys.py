"""The shape of a poll in a document, and what is wrong with one beyond its shape."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from drill.clean import Clean
from drill.language import read
from drill.language.meaning import Unclear
from drill.scenario import units as u
from drill.scenario.logic import Cond
from drill.scenario.mappings import Key, Keys, ListOf
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.poll import POLLS_ASK, WITH_ANSWERS, Poll, PollAnswer
from drill.scenario.problems import Problem
from drill.scenario.reading import Entry, Reading
from drill.scenario.shapes import Amount, Choice, Words

MOST_ANSWERS = 7
"""More than these, and "nothing is wrong", are not read from the back row."""
FEWEST_ANSWERS = 2

ANSWER = Keys(
    (
        Key("says", Words(most=60), "what is read on the wall and the phone", required=True),
        Key("does", Words(most=400), "the line that does it; without one the room just flies on"),
    ),
    short="says",
)


@dataclass(frozen=True, slots=True)
class _Poll(Keys):
    """A poll: some kinds are answered by one of a few answers, the others have none."""

    def read(self, node: Node, key: str, to: Reading) -> Entry | Any:
        """Return the Entry."""
        entry = Keys.read(self, node, key, to)
        if not isinstance(entry, Entry):
            return entry
        asks, answers = entry.get("asks"), entry.get("answers")
        if asks is None or answers is None or "answers" in entry.spoiled:
            return entry
        fewest = FEWEST_ANSWERS if asks == "what next" else 1
        if asks not in WITH_ANSWERS:
            what = "in words of people's own" if asks == "what do you say" else "by a number from 1 to 4"
            to.wrong(entry.at("answers"), "at-odds", f"`answers`: `{asks}` is answered {what}", "", "delete `answers`")
        elif not fewest <= len(answers) <= MOST_ANSWERS:
            to.wrong(entry.at("answers"), "out-of-range", f"`answers`: a poll with {len(answers)} of them",
                     f"{fewest} to {MOST_ANSWERS} can be read and told apart", "write so many")
        return entry


POLL = _Poll(
    (
        Key("poll", Words(most=60), "its name, which only the facilitator sees", required=True),
        Key("asks", Choice(POLLS_ASK), "what the room is asked", required=True),
        Key("at", Amount(u.SECONDS, 0.0, 24 * 3600.0), "flight time at which the flight stops for it, at the earliest"),
        Key("when", Cond(), "it waits until this holds"),
        Key("question", Words(most=160), "its words, if not the usual ones"),
        Key("answers", ListOf(ANSWER), "what can be answered; left out, usual ones are made. `Nothing is wrong` is "
            "always among the answers to `what is wrong`"),
        Key("discuss", ListOf(Words(most=200), or_one=True), "what to talk about once the counts are shown"),
    ),
    some_of=("at", "when"),
    lacks="the flight never stops for this poll",
)


def check_polls(root: Entry, to: Reading) -> None:
    """Note polls that share a name, and answers of one poll that say the same."""
    polls = [each for each in root.get("polls") or () if isinstance(each, Entry)]
    _told_apart(polls, "poll", "the name of a poll", "give each poll a name of its own", to)
    for poll in polls:
        answers = [each for each in poll.get("answers") or () if isinstance(each, Entry)]
        _told_apart(answers, "says", "an answer", "write each answer once", to)


def _told_apart(entries: list[Entry], key: str, what: str, remedy: str, to: Reading) -> None:
    first: dict[str, Entry] = {}
    for entry in entries:
        name = entry.get(key)
        if name is None:
            continue
        same = first.setdefault(name.casefold(), entry)
        if same is not entry:
            to.wrong(entry.at(key), "duplicate-poll", f"`{name}` is {what} in line {same.place.line} too", "", remedy)


def check_does(scenario: Scenario) -> list[Problem]:
    """Return a problem for each answer whose `does` would only be asked back."""
    return [Problem(answer.place, "answer-does-nothing",
                    f"the `does` of `{answer.says}` (`{answer.does}`) is read as nothing that can be done",
                    "", "write a line as a pilot would type it, or leave `does` out")
            for poll in scenario.polls for answer in poll.answers if answer.does and not _does(answer.does, scenario)]


def _does(line: str, scenario: Scenario) -> bool:
    actions = read(line, scenario.context)
    return bool(actions) and not any(isinstance(each, Unclear) for each in actions)


def build_polls(entries: tuple[Entry, ...]) -> tuple[Poll, ...]:
    """Return the polls in the author's order."""
    return tuple(_poll(each) for each in entries)


def _poll(entry: Entry) -> Poll:
    get = entry.get
    return Poll(
        name=get("poll"),
        asks=get("asks"),
        question=get("question", Clean("")),
        at_s=get("at"),
        when=get("when"),
        answers=tuple(_answers(get("answers", ()))),
        discuss=get("discuss", ()),
        place=entry.place,
    )


def _answers(entries: tuple[Entry, ...]) -> Iterator[PollAnswer]:
    for each in entries:
        yield PollAnswer(each.get("says"), each.get("does", Clean("")), each.at("does"))
