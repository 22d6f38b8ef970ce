"""What each command does; `drill.cli` picks one by its name and prints what goes wrong."""

from __future__ import annotations

import argparse
import secrets
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from drill.clean import clean_line
from drill.flight.flight import Flight
from drill.flight.pilots import ScriptError, ScriptPilot
from drill.flight.record import Recorder, RecordError, read_record, replay, resume
from drill.grading import as_json
from drill.plain import debriefing
from drill.plain.briefing import briefing_lines, cautions
from drill.plain.debriefing import PROMPT
from drill.plain.desk import Desk, Mistake
from drill.plain.face import Face
from drill.plain.keeping import flights_folder, new_record_path
from drill.plain.loop import fly_script, fly_typed
from drill.plain.out import Out, stamp
from drill.plain.pace import Pace, PaceClock
from drill.plain.run import Run
from drill.plain.teller import retold
from drill.plain.terminal import InputEnded, Lines, NoLines, PipeLines, TerminalLines
from drill.scenario import DocumentError, Scenario, find, load, shipped
from drill.scenario.load import ScenarioNotFound

SEEDS = 1_000_000
WAIT_S = 3600.0

HOW_TO_FLY = "Fly one with: drill fly NAME"


def run(chosen: argparse.Namespace, desk: Desk) -> None:
    """Do the command that `chosen.run` names. Raises Mistake for whatever the user can put right."""
    try:
        COMMANDS[chosen.run](chosen, desk)
    except DocumentError as error:
        raise Mistake(*(str(problem) for problem in error.problems)) from error
    except (ScenarioNotFound, ScriptError, RecordError) as error:
        raise Mistake(f"drill: {clean_line(str(error))}") from error
    except BrokenPipeError:
        raise
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        raise Mistake(f"drill: {where}{error.strerror or error}") from error


# --- choosing --------------------------------------------------------------------------------------


def list_scenarios(_chosen: argparse.Namespace, desk: Desk) -> None:
    """List the shipped scenarios: name, board title, airplane, minutes; no more than a pilot may know before."""
    _list(_offered(desk), desk.out)
    desk.out.line(HOW_TO_FLY)


def choose(_chosen: argparse.Namespace, desk: Desk) -> None:
    """Let a person at a terminal choose a scenario and fly it; otherwise say what there is and how to fly it."""
    desk.out.lines(cautions())
    desk.out.line()
    offered = _offered(desk)
    _list(offered, desk.out)
    if not _at_terminal() or not offered:
        desk.out.line(HOW_TO_FLY)
        return
    desk.out.line("Type a number and press Enter to fly, or quit.")
    with _typed_lines(desk.out, PROMPT) as lines:
        picked = _pick(offered, lines, desk.out)
    if picked is not None:
        _fly(picked, desk, pace=None, seed=None, script=None, record=None, warned=True)


def _offered(desk: Desk) -> list[Scenario]:
    offered = []
    for path in shipped().values():
        try:
            offered.append(load(path))
        except DocumentError as error:
            desk.err.whole(str(error.problems[0]))
    return offered


def _list(offered: list[Scenario], out: Out) -> None:
    for number, scenario in enumerate(offered, 1):
        out.line(
            f"{number}. {scenario.board_title}. {scenario.airplane.title}, about {scenario.minutes:.0f} minutes. "
            f"Name: {scenario.name}", hang=3,
        )
    if not offered:
        out.line("There is no scenario here.")


def _pick(offered: list[Scenario], lines: Lines, out: Out) -> Scenario | None:
    while True:
        try:
            typed = lines.poll(WAIT_S)
        except InputEnded:
            return None
        if typed is None:
            continue
        word = typed.lower().strip(" .")
        if word in ("quit", "exit", "q"):
            return None
        by_number = offered[int(word) - 1 : int(word)] if word.isascii() and word.isdigit() and word != "0" else []
        for scenario in by_number or [each for each in offered if word in (each.name, each.board_title.lower())]:
            return scenario
        out.line(f"A number from 1 to {len(offered)}, please, or quit.")


# --- flying ----------------------------------------------------------------------------------------


def fly(chosen: argparse.Namespace, desk: Desk) -> None:
    """Fly a scenario, by typed lines or by a script, and debrief it."""
    if chosen.script is not None and chosen.pace not in (None, "turns"):
        raise Mistake("drill fly: a script flies by turns; leave out --pace, or say --pace turns")
    _fly(load(find(chosen.scenario)), desk, pace=chosen.pace, seed=chosen.seed, script=chosen.script,
         record=chosen.record, warned=False)


def _fly(
    scenario: Scenario, desk: Desk, *,
    pace: Pace | None, seed: int | None, script: Path | None, record: Path | None, warned: bool,
) -> None:
    seed = secrets.randbelow(SEEDS) if seed is None else seed
    pilot = None if script is None else ScriptPilot.read(script)
    lines_of_script = () if pilot is None else pilot.lines
    out = desk.out
    out.lines(briefing_lines(scenario)[len(cautions(scenario)) if warned else 0 :])
    pace = pace or ("held" if script is None and _at_terminal() else "turns")
    with _lines(out, pace, scripted=script is not None) as lines:
        if lines.interactive and not _begins(lines, out):
            return
        path = record or new_record_path(scenario.name, seed, datetime.now(UTC).astimezone().date(), flights_folder())
        flight, events = Flight.start(scenario, seed, by="typed" if script is None else "script")
        with Recorder.create(path, flight, events) as recorder:
            desk.records.append(path)
            flown = Run(flight, recorder)
            clock = PaceClock(pace, time.monotonic())
            face = Face(flown, out, lines, clock, echo=not lines.interactive)
            out.line()
            face.begin(events)
            over = fly_script(face, lines_of_script) if script else fly_typed(face, lines, clock)
            _after(face, flown, lines, out, over=over)
    _last_words(path, face, desk)


def resume_flight(chosen: argparse.Namespace, desk: Desk) -> None:
    """Fly on from where a record stops."""
    path: Path = chosen.record
    flown_before = read_record(path).events
    pace: Pace = chosen.pace or ("held" if _at_terminal() else "turns")
    flight, recorder = resume(path)
    desk.records.append(path)
    out = desk.out
    with recorder, _lines(out, pace, scripted=False) as lines:
        flown = Run(flight, recorder)
        out.lines([*cautions(flown.scenario), "", f"{flown.scenario.board_title}. Taken up again."])
        clock = PaceClock(pace, time.monotonic())
        face = Face(flown, out, lines, clock, echo=not lines.interactive)
        face.take_up(flown_before)
        over = fly_typed(face, lines, clock)
        _after(face, flown, lines, out, over=over)
    _last_words(path, face, desk)


def _begins(lines: Lines, out: Out) -> bool:
    """Wait for Enter; False if the pilot leaves instead."""
    out.line("Press Enter to begin, or type quit.")
    while True:
        try:
            typed = lines.poll(WAIT_S)
        except InputEnded:
            return False
        if typed is not None:
            return typed.lower().strip(" .") not in ("quit", "exit")


def _after(face: Face, flown: Run, lines: Lines, out: Out, *, over: bool) -> None:
    if face.ended and lines.interactive:
        debriefing.ask(flown, flown.scenario.debrief.ask, lines, out)
    elif not over:
        out.line("The input has ended.")


def _last_words(path: Path, face: Face, desk: Desk) -> None:
    out = desk.out
    if face.ended:
        out.line()
        debriefing.tell(debriefing.debrief_of(path), out)
    else:
        out.line(f"Left at {stamp(face.t_s)}. Fly on with: drill resume RECORD")
    out.line()
    out.line("Record:")
    out.whole(str(path))


def _at_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()    # None: the program was started with its input closed


@contextmanager
def _typed_lines(out: Out, prompt: str) -> Iterator[Lines]:
    if _at_terminal():
        with TerminalLines(sys.stdin.fileno(), out, prompt=prompt) as lines:
            yield lines
    else:
        yield NoLines() if sys.stdin is None else PipeLines(sys.stdin.fileno())


@contextmanager
def _lines(out: Out, pace: Pace, *, scripted: bool) -> Iterator[Lines]:
    """Lines for a flight. Only turn by turn is there a prompt: otherwise words come at any time."""
    if scripted:
        yield NoLines()
        return
    with _typed_lines(out, PROMPT if pace == "turns" else "") as lines:
        yield lines


# --- afterwards ------------------------------------------------------------------------------------


def debrief(chosen: argparse.Namespace, desk: Desk) -> None:
    """Print the debrief of a record, in words or as JSON."""
    told = debriefing.debrief_of(chosen.record)
    if chosen.json:
        desk.out.whole(as_json(told))
    else:
        debriefing.tell(told, desk.out)


def replay_flight(chosen: argparse.Namespace, desk: Desk) -> None:
    """Tell a recorded flight again, then say whether flying it again gives the same."""
    recorded = read_record(chosen.record)
    desk.out.lines([*cautions(recorded.scenario), "", f"{recorded.scenario.board_title}, seed {recorded.seed}."])
    for line in retold(recorded.events):
        desk.out.at(line.t, line.words)
    desk.out.line()
    desk.out.line(replay(chosen.record).words)


COMMANDS: dict[str, Callable[[argparse.Namespace, Desk], None]] = {
    "choose": choose, "list": list_scenarios, "fly": fly, "debrief": debrief, "replay": replay_flight,
    "resume": resume_flight,
}
