"""The commands by name, each with the rooms that it needs and no more; whatever the user can put right is a Mistake."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import partial
from typing import Literal

from drill.clean import clean_line
from drill.plain.desk import Desk, Mistake
from drill.scenario import DocumentError, ScenarioNotFound

MOST_PROBLEMS = 200
"""Nobody reads more at once."""


def run(chosen: argparse.Namespace, desk: Desk) -> int:
    """Do the command that `chosen.run` names; return its exit code. Raises Mistake for what the user can put right."""
    try:
        return COMMANDS[chosen.run](chosen, desk)
    except DocumentError as error:
        raise Mistake(*_lines_of(error)) from error
    except BrokenPipeError:
        raise
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        kept = f"; the flight's record: {desk.records[-1]}" if desk.flying else ""
        raise Mistake(f"drill: {where}{error.strerror or error}{kept}") from error
    except _said_by_themselves() as error:
        raise Mistake(f"drill: {clean_line(str(error))}") from error


def _lines_of(error: DocumentError) -> list[str]:
    lines = [str(problem) for problem in error.problems]
    more = len(lines) - MOST_PROBLEMS
    return lines if more <= 0 else [*lines[:MOST_PROBLEMS], f"... and {more:,} more; mend these first"]


def _said_by_themselves() -> tuple[type[Exception], ...]:
    from drill.flight.pilots import ScriptError
    from drill.flight.recorder import RecordError

    return ScenarioNotFound, ScriptError, RecordError


def _list(chosen: argparse.Namespace, desk: Desk) -> int:
    from drill.plain.listing import list_scenarios

    list_scenarios(chosen, desk)
    return 0


def _of_flights(name: Literal["choose", "fly", "debrief", "replay", "resume"], chosen: argparse.Namespace,
                desk: Desk) -> int:
    from drill.plain import flights

    return {"choose": flights.choose, "fly": flights.fly, "debrief": flights.debrief, "replay": flights.replay_flight,
     "resume": flights.resume_flight}[name](chosen, desk)


COMMANDS: dict[str, Callable[[argparse.Namespace, Desk], int]] = {
    "choose": partial(_of_flights, "choose"), "list": _list, "fly": partial(_of_flights, "fly"),
    "debrief": partial(_of_flights, "debrief"), "replay": partial(_of_flights, "replay"),
    "resume": partial(_of_flights, "resume"),
}
