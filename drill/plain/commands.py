"""The commands by name, each with the rooms that it needs and no more; whatever the user can put right is a Mistake."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from contextlib import nullcontext
from functools import partial
from typing import Literal

from drill.clean import clean_line
from drill.plain.brief import brief
from drill.plain.desk import Desk, Mistake
from drill.scenario import DocumentError, ScenarioNotFound
from drill.seat.wording import problem_lines


def run(chosen: argparse.Namespace, desk: Desk) -> int:
    """Do the command that `chosen.run` names; return its exit code. Raises Mistake for what the user can put right."""
    try:
        return COMMANDS[chosen.run](chosen, desk)
    except DocumentError as error:
        raise Mistake(*problem_lines(error.problems)) from error
    except BrokenPipeError:
        raise
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        kept = f"; the flight's record: {desk.records[-1]}" if desk.flying else ""
        raise Mistake(f"drill: {where}{error.strerror or error}{kept}") from error
    except _said_by_themselves() as error:
        raise Mistake(f"drill: {clean_line(str(error))}") from error


def _said_by_themselves() -> tuple[type[Exception], ...]:
    from drill.flight.pilots import ScriptError
    from drill.flight.recorder import RecordError

    return ScenarioNotFound, ScriptError, RecordError


def _list(chosen: argparse.Namespace, desk: Desk) -> int:
    from drill.plain.listing import list_scenarios

    list_scenarios(chosen, desk)
    return 0


def _debrief(chosen: argparse.Namespace, desk: Desk) -> int:
    if getattr(chosen, "schema", False):
        from drill.plain.on_paper import tell_schema

        tell_schema(desk)
        return 0
    if chosen.record is None:
        raise Mistake("drill debrief: name the RECORD of a flight; see drill debrief --help")
    return _of_flights("debrief", chosen, desk)


def _of_flights(name: Literal["choose", "fly", "debrief", "replay", "resume", "rewind"], chosen: argparse.Namespace,
                desk: Desk) -> int:
    from drill.plain import flights

    if name == "debrief":
        _say_if_flown(chosen, desk)
    return {"choose": flights.choose, "fly": flights.fly, "debrief": flights.debrief, "replay": flights.replay_flight,
     "resume": flights.resume_flight, "rewind": flights.rewind_flight}[name](chosen, desk)


def _say_if_flown(chosen: argparse.Namespace, desk: Desk) -> None:
    """Say that somebody is flying the flight that is to be debriefed; its record goes on meanwhile."""
    from drill.seat.record_glance import is_flown_now

    if is_flown_now(chosen.record):
        desk.err.whole(f"drill: {clean_line(str(chosen.record))}: this flight is being flown now; what follows is "
                       "about what has been flown so far")


def _check(chosen: argparse.Namespace, desk: Desk) -> int:
    takes_long = chosen.watch or chosen.witness is not None or chosen.pilots is not None
    with nullcontext() if takes_long else brief():
        from drill.plain.checking import check_documents

        return check_documents(chosen, desk)


def _map(chosen: argparse.Namespace, desk: Desk) -> int:
    from drill.plain.mapping import draw_map

    return draw_map(chosen, desk)


def _schema(chosen: argparse.Namespace, desk: Desk) -> int:
    import json

    from drill.scenario.schema import airplane_schema, scenario_schema

    made = airplane_schema() if chosen.document == "airplane" else scenario_schema()
    desk.out.json(json.dumps(made, indent=2, ensure_ascii=False))
    return 0


def _new(chosen: argparse.Namespace, desk: Desk) -> int:
    from drill.plain.new_scenario import new_scenario

    return new_scenario(chosen, desk)


COMMANDS: dict[str, Callable[[argparse.Namespace, Desk], int]] = {
    "choose": partial(_of_flights, "choose"), "list": _list, "fly": partial(_of_flights, "fly"),
    "check": _check, "map": _map, "schema": _schema, "new": _new,
    "debrief": _debrief, "replay": partial(_of_flights, "replay"),
    "resume": partial(_of_flights, "resume"), "rewind": partial(_of_flights, "rewind"),
}
