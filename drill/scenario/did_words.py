"""The words of what has been done: an act, how often, and since when, to a Did.

`did <act>`, then `<number> times` or `twice` for at least so often, then `here` for since the phase began, or `since
failure <name>` for since that failure first began.
"""

from __future__ import annotations

import re
from typing import Any

from drill.scenario.act_words import read_act
from drill.scenario.acts import KNOWN_ONCE_SAID
from drill.scenario.conditions import Did
from drill.scenario.deeds import MOST_TIMES
from drill.scenario.places import Text
from drill.scenario.reading import BAD, Reading

_SINCE = re.compile(r"(?:^|\s+)since(?:\s+|$)", re.IGNORECASE)
_NOT_SINCE = re.compile(r"\s(?:after|from)\s+(?:the\s+)?failure\b", re.IGNORECASE)
_FAILURE = re.compile(r"failure\s+(\S.*)", re.IGNORECASE | re.DOTALL)
_TIMES = re.compile(r"\s+(?:(\S+)\s+times?|(once|twice|thrice))$", re.IGNORECASE)
_BOUND = re.compile(r"\s+(at least|at most|more than|less than|fewer than|exactly|only|just)$", re.IGNORECASE)
_LIKE = "write it like `did climb 3 times`"


def read_did(text: Text, said: str, at: int, to: Reading) -> Did | Any:
    """Return what is said behind `did`, which begins at `at` of `text`, or BAD with the problem noted."""
    window = _SINCE.search(said)
    act = said if window is None else said[: window.start()]
    since = "" if window is None else _failure(text, act, said[window.end():], at + window.end(), to)
    here = act.lower().endswith(" here")
    if here and window is not None:
        return to.wrong(text.at(at + len(act) - 4), "at-odds", "`here` and `since failure` exclude each other", "",
                        "leave one of them out")
    act = act[:-5].rstrip() if here else act
    count = _TIMES.search(act)
    times = 1 if count is None else _times(text, count, at, to)
    act = act if count is None else act[: count.start()]
    bound = _BOUND.search(act) if count is not None else None
    if bound is not None:
        return to.wrong(text.at(at + bound.start(1)), "unknown-condition", f"`{bound[1]}` is not said here",
                        "a number of times means so often or oftener; less is said with `not`",
                        f"leave it out, and {_LIKE}")
    problems, references = len(to.problems), len(to.references)
    pattern = read_act(text, act, at, to)
    if window is None and _NOT_SINCE.search(said):    # a checklist may be called so: told only where it is wrong
        to.remedied(problems, references, "write what was done after a failure like `did climb since failure pump`")
    if pattern is BAD or since is BAD or times is BAD:
        return BAD
    if times > 1 and count is not None and pattern.verb in KNOWN_ONCE_SAID:
        return to.wrong(text.at(at + count.start(count.lastindex or 0)), "at-odds",
                        f"`{pattern.verb}` is not counted: once said it stays so, and every later call would count",
                        "calls are counted by `call`, `answer` and `reply`", "leave the number out, or count calls")
    return Did(pattern, here, times, since)


def _failure(text: Text, act: str, said: str, at: int, to: Reading) -> str | Any:
    named = _FAILURE.fullmatch(said)
    if named is None:
        return to.wrong(text.at(at), "unknown-condition", "`since` wants `failure` and the name of one", "",
                        "write it like `since failure pump`")
    name = " ".join(named[1].split())
    problems, references = len(to.problems), len(to.references)
    to.refer("failure", name, text.at(at + named.start(1)))
    count = _TIMES.search(name)
    if count is not None:         # a failure may be called so: told only where none is
        often = "" if count[0].strip().lower() == "once" else count[0]
        to.remedied(problems, references,
                    f"how often stands before `since`: write `did {act}{often} since failure {name[: count.start()]}`")
    return name


def _times(text: Text, count: re.Match[str], at: int, to: Reading) -> int | Any:
    number, word = count.groups()
    place = text.at(at + count.start(count.lastindex or 0))
    if word is not None and word.lower() == "once":
        return to.wrong(place, "unknown-condition", "`once` is not said here", "`did` alone means once or oftener",
                        "leave it out")
    said = {"twice": "2", "thrice": "3"}.get((word or "").lower(), number)
    if not (said.isascii() and said.isdigit()):
        return to.wrong(place, "unknown-condition", f"`{said[:40]}` is no number of times",
                        "how often is said by a number in figures", _LIKE)
    if not 2 <= int(said[:9]) <= MOST_TIMES:
        return to.wrong(place, "out-of-range", f"`{count[0].strip()[:40]}` cannot be asked for",
                        f"from 2 to {MOST_TIMES}",
                        _LIKE if said != "1" else "leave it out: `did` alone means once or oftener")
    return int(said)
