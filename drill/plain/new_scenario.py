"""`drill new`: a scenario written for an author to go on from, by flags, at a terminal by questions for the rest."""

from __future__ import annotations

import argparse
import re
import shlex
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from drill.check.checking import check_text
from drill.check.new import BOARD_TITLE, CannotWrite, Wishes, airplane_named, failure_named, fitting, written
from drill.clean import clean_line
from drill.plain.desk import Desk, Mistake
from drill.scenario.loading import Airplanes, airplanes_beside
from drill.scenario.shelf import procedures
from drill.seat.keeping import why_not_new

USUAL_AIRPLANE = "larkspur-180"
USUAL_FAILURE = "vacuum pump/shaft shears"
LONGEST_TITLE = 80
LONGEST_NAME = 60


def new_scenario(chosen: argparse.Namespace, desk: Desk) -> int:
    """Write the scenario and say what to do with it. Mistake for a wish that cannot be met or a file that is there."""
    asks = _Questions(desk) if _at_terminal() else None
    try:
        return _write(chosen, desk, asks)
    except CannotWrite as error:
        raise Mistake(f"drill new: {clean_line(str(error))}") from error


class _Questions:
    """Asks at the terminal, one line an answer; Enter takes what is offered."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def ask(self, question: str, usual: str) -> str:
        """Return the answer, or what is usual for an empty one."""
        self._desk.out.line(f"{question} [{usual}]")
        self._desk.out.bare("> ")
        line = sys.stdin.readline()
        if not line:
            raise Mistake("drill new: the input has ended; nothing was written")
        return clean_line(line) or usual

    def pick(self, question: str, offered: Sequence[str], usual: str) -> str:
        """Return one of `offered`, by its number or its words."""
        for number, each in enumerate(offered, 1):
            self._desk.out.line(f"{number:>3}. {each}", hang=5)
        while True:
            said = self.ask(question, usual)
            if said.isascii() and said.isdigit() and 1 <= int(said) <= len(offered):
                return offered[int(said) - 1]
            if said in offered:
                return said
            self._desk.out.line(f"A number from 1 to {len(offered)}, please, or one of these names.")


def _write(chosen: argparse.Namespace, desk: Desk, asks: _Questions | None) -> int:
    folder = Path(chosen.file).parent if chosen.file else Path()
    airplanes = airplanes_beside(folder / "new.yaml")
    board_title = _title(chosen.board_title, asks)
    path = Path(chosen.file) if chosen.file else folder / f"{_slug(board_title)}.yaml"
    if wrong := why_not_new(path):
        raise Mistake(f"drill new: {clean_line(str(path))}: {wrong}")
    name = chosen.airplane or _or_usual(asks, lambda each: each.pick(
        "Which airplane?", _airplane_names(folder), USUAL_AIRPLANE), USUAL_AIRPLANE)
    failures = tuple(map(failure_named, chosen.failure or [_failure(name, airplanes, _airplane_names(folder), asks)]))
    title = chosen.title or _or_usual(asks, lambda each: each.ask(
        "What is it about, for the debrief?", _about(failures)), "")
    text = written(Wishes(name, failures, board_title, title), airplanes, path.name, _airplane_names(folder))
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise Mistake(f"drill new: {clean_line(str(path))}: the file exists already; name another one") from error
    quoted = shlex.quote(str(path))
    desk.out.line("Written:")
    desk.out.whole(f"  {path}")
    for each in check_text(text, path.name, airplanes).problems:
        desk.out.line(clean_line(f"Mind: {each.wrong}. {each.remedy[:1].upper()}{each.remedy[1:]}."))
    desk.out.line("It can be flown as it stands:")
    desk.out.whole(f"  drill fly {quoted}")
    desk.out.line("While you change it, this says after every save what is wrong:")
    desk.out.whole(f"  drill check --watch {quoted}")
    return 0


def _title(given: str | None, asks: _Questions | None) -> str:
    said = given or _or_usual(asks, lambda each: each.ask(
        "What is the flight called? It is all that a pilot sees, so it says where to and not what fails.", BOARD_TITLE),
        BOARD_TITLE)
    title = clean_line(said)
    if not title or len(title) > LONGEST_TITLE:
        raise CannotWrite(f"a board title has 1 to {LONGEST_TITLE} characters, and says something")
    return title


def _failure(airplane: str, airplanes: Airplanes, known: Sequence[str], asks: _Questions | None) -> str:
    if asks is None:
        return USUAL_FAILURE
    offered = [f"{each.part}/{each.how}" for each in fitting(airplane_named(airplane, airplanes, known))]
    return asks.pick("What fails?", offered, USUAL_FAILURE)


def _about(failures: Sequence[tuple[str, str]]) -> str:
    said = " or ".join(f"{part} {how}" for part, how in failures)
    return f"{said[:1].upper()}{said[1:]}"


def _airplane_names(folder: Path) -> list[str]:
    found = {path.stem for each in (folder / "airplanes", procedures() / "airplanes") for path in each.glob("*.yaml")}
    return sorted(found)


def _or_usual(asks: _Questions | None, question: Callable[[_Questions], str], usual: str) -> str:
    return usual if asks is None else question(asks)


def _slug(title: str) -> str:
    """Return a name for the file: the words of the title in small letters, joined by dashes."""
    words = "-".join(re.findall(r"[a-z0-9]+", title.lower()))[:LONGEST_NAME].strip("-")
    return words or "scenario"


def _at_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()
