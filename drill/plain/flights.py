"""The commands that fly, or tell what has been flown."""

from __future__ import annotations

import argparse
import shlex
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from drill.cautions import CAUTIONS
from drill.clean import clean_line
from drill.flight.pilots import ScriptPilot
from drill.flight.readings import clock_words
from drill.flight.record import RecordError, fitting, read_record, replay, resumable, resume
from drill.grading.beside import Parted, beside_of
from drill.grading.beside_words import side_by_side_json, side_by_side_lines
from drill.plain import debriefing, on_paper
from drill.plain.debriefing import PROMPT
from drill.plain.desk import Desk, Mistake
from drill.plain.face import Face
from drill.plain.listing import HOW_TO_FLY, list_offered, offered
from drill.plain.loop import fly_script, fly_typed
from drill.plain.out import Out
from drill.plain.terminal import InputEnded, Lines, NoLines, PipeLines, TerminalLines
from drill.scenario import Scenario, find, load_with_warnings, shipped
from drill.scenario.taking_up import CannotTakeUp, taken_up
from drill.seat import journal, seeds
from drill.seat.beginning import begin, begin_again, new_record
from drill.seat.briefing import briefing_lines, cautions
from drill.seat.keeping import flights_folder, why_not_new
from drill.seat.pace import Pace, PaceClock
from drill.seat.run import Run
from drill.seat.side_by_side import branch_parted, branch_words, sheet_parted
from drill.seat.teller import retold

WAIT_S = 3600.0
NOT_THE_SAME = 1    # exit code

# --- choosing --------------------------------------------------------------------------------------


def choose(_chosen: argparse.Namespace, desk: Desk) -> int:
    """Let a person at a terminal choose a scenario and fly it; otherwise say what there is and how to fly it."""
    desk.out.lines(cautions())
    desk.out.line()
    sound = offered(desk)
    list_offered(sound, desk.out)
    if not _at_terminal() or not sound:
        desk.out.line(HOW_TO_FLY)
        return 0
    desk.out.line("Type a number and press Enter to fly, or quit.")
    with _typed_lines(desk.out, PROMPT) as lines:
        picked = _pick(sound, lines, desk.out)
    if picked is not None:
        _fly(picked, desk, pace=None, seed=None, script=None, record=None, warned=True)
    return 0


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


def fly(chosen: argparse.Namespace, desk: Desk) -> int:
    """Fly a scenario, by typed lines or by a script, and debrief it."""
    if chosen.script is not None and chosen.pace not in (None, "turns"):
        raise Mistake("drill fly: a script flies by turns; leave out --pace, or say --pace turns")
    scenario, warnings = load_with_warnings(find(chosen.scenario))
    if chosen.scenario not in shipped():    # its author is there to read them
        for warning in warnings:
            desk.err.whole(str(warning))
    if getattr(chosen, "phase", None) is not None:
        try:
            scenario = taken_up(scenario, chosen.phase)
        except CannotTakeUp as error:
            raise Mistake(f"drill fly: {clean_line(str(error))}") from error
    _fly(scenario, desk, pace=chosen.pace, seed=chosen.seed, script=chosen.script,
         record=chosen.record, warned=False)
    return 0


def _fly(
    scenario: Scenario, desk: Desk, *,
    pace: Pace | None, seed: int | None, script: Path | None, record: Path | None, warned: bool,
) -> None:
    seed = seeds.drawn() if seed is None else seed
    pilot = None if script is None else _pilot_of(script)
    try:
        path = new_record(scenario, seed, record)
    except RecordError as error:
        raise Mistake(f"drill: {error}") from error
    lines_of_script = () if pilot is None else pilot.lines
    out = desk.out
    out.lines(briefing_lines(scenario)[len(cautions(scenario)) if warned else 0 :])
    pace = pace or ("held" if script is None and _at_terminal() else "turns")
    with _lines(out, pace, scripted=script is not None) as lines:
        if lines.interactive and not _begins(lines, out):
            return
        begun = begin(scenario, seed, path, by="typed" if script is None else "script")
        with begun.recorder:
            desk.records.append(path)
            desk.flying = True
            flown = Run(begun.flight, begun.recorder)
            clock = PaceClock(pace, time.monotonic())
            face = Face(flown, out, lines, clock)
            out.line()
            face.begin(begun.events)
            over = fly_script(face, lines_of_script) if script else fly_typed(face, lines, clock)
            desk.flying = not (face.ended or face.left)
            _after(path, flown, lines, out, over=over)
    _last_words(path, face, desk)


def _pilot_of(script: Path) -> ScriptPilot:
    if script.exists() and not script.is_file() and not script.is_dir():    # to open a pipe could wait for ever
        raise Mistake(f"drill: {script}: this is no regular file; copy what it gives to a file, and name that")
    return ScriptPilot.read(script)


def resume_flight(chosen: argparse.Namespace, desk: Desk) -> int:
    """Fly on from where a record stops."""
    path: Path = chosen.record
    pace: Pace = chosen.pace or ("held" if _at_terminal() else "turns")
    flight, recorder, flown_before = resume(path)
    desk.records.append(path)
    desk.flying = True
    out = desk.out
    with recorder, _lines(out, pace, scripted=False) as lines:
        flown = Run(flight, recorder)
        out.lines([*cautions(flown.scenario), "", f"{flown.scenario.board_title}. Taken up again."])
        clock = PaceClock(pace, time.monotonic())
        face = Face(flown, out, lines, clock)
        face.take_up(flown_before)
        over = fly_typed(face, lines, clock)
        desk.flying = not (face.ended or face.left)
        _after(path, flown, lines, out, over=over)
    _last_words(path, face, desk)
    return 0


def rewind_flight(chosen: argparse.Namespace, desk: Desk) -> int:
    """Fly a recorded flight another way from one of its moments: by a person, or as its grade sheet would have.

    Without a moment: set one that was flown again beside the flight that it left, on paper or for programs.
    """
    if chosen.to is not None:
        on_paper.check(chosen.to, "drill rewind")
    if chosen.at is None:
        return _flown_again(chosen, desk)
    if chosen.pilot == "you" and (chosen.json or chosen.to is not None):
        raise Mistake(f"drill rewind: {'--json' if chosen.json else '--to'} is for --pilot exemplar; to compare a "
                      "flight that was flown again, name its record and leave out --at")
    if chosen.new_record is not None and (wrong := why_not_new(chosen.new_record)):
        raise Mistake(f"drill: {chosen.new_record}: {wrong}")
    if chosen.pilot == "exemplar":
        return _sheets_way(chosen, desk)
    path: Path = chosen.record
    pace: Pace = chosen.pace or ("held" if _at_terminal() else "turns")
    begun = begin_again(path, chosen.at, chosen.new_record)
    desk.records.append(begun.path)
    desk.flying = True
    out = desk.out
    with begun.recorder, _lines(out, pace, scripted=False) as lines:
        flown = Run(begun.flight, begun.recorder)
        out.lines([*cautions(flown.scenario), "",
                   f"{flown.scenario.board_title}. Flown again from {clock_words(flown.flight.t_s)}."])
        if air := branch_words(begun.events):
            out.line(air)
        clock = PaceClock(pace, time.monotonic())
        face = Face(flown, out, lines, clock)
        face.take_up(begun.events)
        over = fly_typed(face, lines, clock)
        desk.flying = not (face.ended or face.left)
        _after(begun.path, flown, lines, out, over=over)
    _last_words(begun.path, face, desk)
    return 0


def _flown_again(chosen: argparse.Namespace, desk: Desk) -> int:
    """Tell of a flight that was flown again and of the one that it left, side by side."""
    if not chosen.json and chosen.to is None:
        raise Mistake("drill rewind: --at M:SS is wanted, the moment to fly on from; without it a flight that was "
                      "flown again is compared: with --to FILE or --json")
    if chosen.new_record is not None or chosen.pilot != "you":
        raise Mistake("drill rewind: nothing is flown without --at M:SS, the moment to fly on from")
    parted = branch_parted(read_record(chosen.record))
    if parted is None:
        raise Mistake(f"drill rewind: {clean_line(str(chosen.record))}: this flight was not flown again from another; "
                      "name a moment with --at M:SS")
    _told_beside(parted, chosen, desk)
    return 0


def _sheets_way(chosen: argparse.Namespace, desk: Desk) -> int:
    _told_beside(sheet_parted(chosen.record, chosen.at, chosen.new_record), chosen, desk)
    if chosen.new_record is not None and not chosen.json:
        desk.out.line()
        desk.out.line("Record:")
        desk.out.whole(str(chosen.new_record))
    return 0


def _told_beside(parted: Parted, chosen: argparse.Namespace, desk: Desk) -> None:
    """Tell of flights that part: to a file, for programs, or in words."""
    out = desk.out
    if chosen.to is not None:
        on_paper.write_beside(parted, chosen.record, chosen.to, desk)
        return
    with fitting(chosen.record, "set side by side"):
        them = beside_of(parted)
    if chosen.json:
        out.json(side_by_side_json(them))
        return
    out.lines(CAUTIONS)
    out.line()
    for line in side_by_side_lines(them):
        out.whole(line)


def _begins(lines: Lines, out: Out) -> bool:
    """Wait for Enter; False if the pilot leaves instead."""
    out.line("Press Enter to begin, or type quit.")
    return _entered(lines)


def _entered(lines: Lines) -> bool:
    while True:
        try:
            typed = lines.poll(WAIT_S)
        except InputEnded:
            return False
        if typed is not None:
            return typed.lower().strip(" .") not in ("quit", "exit")


def _after(path: Path, flown: Run, lines: Lines, out: Out, *, over: bool) -> None:
    ended = flown.flight.ended
    if ended is not None:
        journal.finished(flights_folder(), path, ended.outcome)
    if ended is not None and lines.interactive:
        debriefing.ask(flown, flown.scenario.debrief.ask, lines, out)
    elif not over:
        out.line("The input has ended.")


def _last_words(path: Path, face: Face, desk: Desk) -> None:
    out = desk.out
    if face.ended:
        out.line()
        told = debriefing.debrief_of(read_record(path))
        debriefing.tell(told, out)
        debriefing.tell_beside(read_record(path), out)
        journal.graded(flights_folder(), path, told.score)
    else:
        out.whole(f"Left at {clock_words(face.t_s)}. Fly on with: drill resume {shlex.quote(str(path))}")
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


def debrief(chosen: argparse.Namespace, desk: Desk) -> int:
    """Tell the debrief of a record, in words, as JSON or to a file; about a flight that can be flown on, warn first."""
    to: Path | None = getattr(chosen, "to", None)
    if to is not None:
        on_paper.check(to)
    recorded = read_record(chosen.record)
    if chosen.json:
        told = on_paper.tell_as_json(recorded, desk)
    else:
        wanted = not resumable(recorded) or _wants_it_all_the_same(chosen.record, desk.out)
        if wanted and to is not None:
            told = on_paper.write(recorded, to, desk)
        else:
            told = debriefing.debrief_of(recorded)
            if wanted:
                debriefing.tell(told, desk.out)
                debriefing.tell_beside(recorded, desk.out)
    folder = flights_folder()
    if told.complete and any(each.record == chosen.record.absolute() for each in journal.attempts(folder)):
        journal.graded(folder, chosen.record, told.score)    # a stranger's record is no flight of this pilot's
    return 0


def _wants_it_all_the_same(path: Path, out: Out) -> bool:
    fly_on = f"drill resume {shlex.quote(str(path))}"
    out.whole(f"This flight has not ended; the debrief tells what failed. To fly on: {fly_on}")
    if not (_at_terminal() and sys.stdout is not None and sys.stdout.isatty()):
        return True
    out.line("Press Enter for the debrief, or type quit.")
    with _typed_lines(out, "") as lines:
        return _entered(lines)


def replay_flight(chosen: argparse.Namespace, desk: Desk) -> int:
    """Tell a recorded flight again, then say whether flying it again gives the same; return 1 if it does not."""
    recorded = read_record(chosen.record)
    desk.out.lines([*cautions(recorded.scenario), "", f"{recorded.scenario.board_title}, seed {recorded.seed}."])
    with fitting(chosen.record, "told again"):
        told = list(retold(recorded.events))
    for line in told:
        desk.out.at(line.t, line.words)
    desk.out.line()
    result = replay(chosen.record)
    desk.out.line(result.words)
    return 0 if result.identical else NOT_THE_SAME
