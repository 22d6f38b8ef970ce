"""`drill check`: what is wrong with documents, said for people, programs or a review; once, or after every save."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from drill.check.checking import Checked, NothingToCheck, check, documents
from drill.check.explaining import UnknownKind, explained, kinds
from drill.check.report import Line, as_annotations, as_json, told
from drill.check.watching import saves
from drill.clean import clean_line
from drill.plain.desk import Desk, Mistake
from drill.plain.paint import wants_colour, write
from drill.seat.exit_codes import FAULTS


def check_documents(chosen: argparse.Namespace, desk: Desk) -> int:
    """Check the documents named; return FAULTS if there are faults, or with --strict warnings, in one."""
    colour = wants_colour(sys.stdout)
    if chosen.explain is not None:
        try:
            write(kinds() if chosen.explain == "all" else explained(chosen.explain), desk.out, colour=colour)
        except UnknownKind as error:
            raise Mistake(f"drill check: {clean_line(str(error))}") from error
        return 0
    if chosen.watch:
        if chosen.witness is not None:
            raise Mistake("drill check: --witness takes minutes, and --watch answers within a second; give one of them")
        if chosen.pilots is not None:
            raise Mistake("drill check: --pilots takes minutes, and --watch answers within a second; give one of them")
        return _watch(chosen, desk, colour=colour)
    checked = [check(path) for path in _documents(chosen.paths)]
    if chosen.witness is None and chosen.pilots is None:
        return _say(checked, chosen, desk, colour=colour)
    return _with_flights(checked, chosen, desk, colour=colour)


def _with_flights(checked: Sequence[Checked], chosen: argparse.Namespace, desk: Desk, *, colour: bool) -> int:
    """Say what is wrong, with what witness flights have shown and what simulated pilots have made of it."""
    besides: dict[str, Any] = {}
    lines: list[Line] = []
    if chosen.witness is not None:
        from drill.check.witness_search import FLOWN_S  # flights are heavy, and most checks do without
        from drill.plain.witnessing import flown

        most_s = FLOWN_S if chosen.minutes is None else chosen.minutes * 60.0
        checked, shown = flown(checked, chosen.witness, desk, most_s)
        besides["witnesses"] = [each.as_object() for each in shown]
        lines += [line for each in shown for line in each.lines()]
    if chosen.pilots is not None:
        from drill.plain.piloting import piloted  # as with witnesses

        if chosen.seed < 0:
            raise Mistake("drill check: --seed is a whole number from 0 up")
        made = piloted(checked, chosen.pilots, chosen.seed, desk)
        besides["pilots"] = [each.as_object() for each in made]
        lines += [line for each in made for line in each.lines()]
    code = _say(checked, chosen, desk, colour=colour, besides=besides)
    if chosen.format == "text":
        write(lines, desk.out, colour=colour)
    return code


def _documents(paths: Sequence[str]) -> list[Path]:
    try:
        return documents(paths)
    except NothingToCheck as error:
        raise Mistake(f"drill check: {clean_line(str(error))}") from error


def _say(checked: Sequence[Checked], chosen: argparse.Namespace, desk: Desk, *, colour: bool,
         besides: Mapping[str, Any] | None = None) -> int:
    if chosen.format == "json":
        desk.out.json(as_json(checked, besides))
    elif chosen.format == "github":
        for annotation in as_annotations(checked):
            desk.out.whole(annotation)
    else:
        write(told(checked, strict=chosen.strict), desk.out, colour=colour)
    wrong = any(each.faults or (chosen.strict and each.warnings) for each in checked)
    return FAULTS if wrong else 0


def _watch(chosen: argparse.Namespace, desk: Desk, *, colour: bool) -> int:
    """Say what is wrong now and after each save, until the author has seen enough."""
    try:
        paths = _documents(chosen.paths)
        saved = saves(lambda: _with_airplanes(chosen.paths, paths))
        _say([check(path) for path in paths], chosen, desk, colour=colour)
        for _ in saved:
            if chosen.format == "text":
                desk.out.line()
                desk.out.line(f"Saved, {time.strftime('%H:%M:%S')}.")
            _say([check(path) for path in _now(chosen.paths, paths)], chosen, desk, colour=colour)
    except KeyboardInterrupt:
        pass
    return 0


def _now(named: Sequence[str], before: list[Path]) -> list[Path]:
    """Return the documents as they are now: those of a folder come and go, a file that is gone is said to be."""
    try:
        return documents(named)
    except NothingToCheck:
        return before


def _with_airplanes(named: Sequence[str], before: list[Path]) -> list[Path]:
    found = _now(named, before)
    beside = {each for path in found for each in (path.parent / "airplanes").glob("*.yaml")}
    return [*found, *sorted(beside - set(found))]
