"""An evening from its begin to its end: host, server and whoever facilitates, in one loop, and put away in order."""

from __future__ import annotations

import asyncio
import signal
import sys
from collections.abc import AsyncIterator, Callable, Coroutine
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from shlex import quote
from typing import TypeAlias

from drill.clean import clean_line
from drill.flight.record import RecordError
from drill.room.host import Host
from drill.room.keeping import KeepingError
from drill.room.long_lived import set_aside
from drill.room.net import qr
from drill.room.net.app import Running, serve
from drill.room.net.keys import KeyMissing, key_beside
from drill.room.plan import Plan
from drill.room.polls import polls_of
from drill.seat.asked_for import CannotBegin, Unsound, scenario_of
from drill.seat.exit_codes import SIGNALS_FROM
from drill.seat.keeping import flights_folder, new_record_path, why_not_new
from drill.seat.seeds import drawn
from drill.serving.address import is_everywhere, is_loopback, network_numbers
from drill.serving.refusal import CannotServe, UnsoundScenario

Say: TypeAlias = Callable[[str], None]
Face: TypeAlias = Callable[[Host, Running], Coroutine[None, None, None]]
"""Whoever facilitates: returns when the facilitator leaves. The evening can be taken up again then."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for on the command line. `plan`: minutes for briefing, flight, debrief; None: the usual ones."""

    scenario: str
    resume: Path | None
    record: Path | None
    seed: int | None
    plan: tuple[float, float, float] | None
    phones: bool
    headless: bool
    listen: str
    port: int


def run(asked: Asked, say: Say) -> int:
    """Hold the evening until it is left or a signal ends it; return the exit code. Raises CannotServe."""
    try:
        return asyncio.run(_run(asked, say))
    except Unsound as error:
        raise UnsoundScenario(str(error)) from error
    except (CannotBegin, KeepingError, KeyMissing, RecordError) as error:
        raise CannotServe(str(error)) from error


async def _run(asked: Asked, say: Say) -> int:
    host = _host(asked)
    kept: list[str] = []    # what would be said while a screen is shown
    try:
        async with _served(host, asked, say if asked.headless else kept.append) as running:
            face = asyncio.create_task(_face(asked, say)(host, running))
            ended = _ended_by_signal(face)
            await asyncio.wait([face])
            if not face.cancelled() and (error := face.exception()) is not None:
                raise error
    finally:
        await host.close()
        for each in kept:
            say(each)
        say(f"The evening's record: {host.path}. Take it up again with: drill room --resume {quote(str(host.path))}")
    return SIGNALS_FROM + ended[0] if ended else 0


def _host(asked: Asked) -> Host:
    if asked.resume is not None:
        return Host.resume(asked.resume)
    scenario = scenario_of(asked.scenario)
    seed = drawn() if asked.seed is None else asked.seed
    record = asked.record
    if record is None:
        try:
            record = new_record_path(scenario.name, seed, date.today(), flights_folder().parent / "evenings")
        except OSError as error:
            why = error.strerror or "it cannot be written"
            raise CannotServe(f"{error.filename or error}: {why}; name a file with --record") from error
    elif wrong := why_not_new(record):
        raise CannotServe(f"{record}: {wrong}")
    plan = None if asked.plan is None else Plan(*asked.plan, polls=len(polls_of(scenario)))
    return Host.begin(scenario, seed, record, plan=plan)


@asynccontextmanager
async def _served(host: Host, asked: Asked, say: Say) -> AsyncIterator[Running]:
    key = key_beside(host.path)
    try:
        running = await serve(host, key=key, listen=asked.listen, port=asked.port, phones=asked.phones, say=say)
    except (OSError, UnicodeError) as error:    # UnicodeError: the host is no name
        words = clean_line(getattr(error, "strerror", None) or str(error))
        raise CannotServe(f"nothing can be served at {clean_line(asked.listen)}, port {asked.port}: {words}; "
                          "try another --port, or another --host") from error
    try:
        await host.take_up()
        set_aside()
        yield running
    finally:
        await running.close()


def _face(asked: Asked, say: Say) -> Face:
    if not asked.headless:
        from drill.room.screen import facilitate as on_a_screen

        return on_a_screen

    from drill.room.headless import facilitate, lines_of

    async def in_lines(host: Host, running: Running) -> None:
        for line in opening_words(running, asked.listen):
            say(line)
        await facilitate(host, lines_of(sys.stdin), say)

    return in_lines


def opening_words(running: Running, listen: str) -> list[str]:
    """Return what is said to the one who runs the room: where wall and phones are, and what that means."""
    lines = ["The projector's page (keep its key to yourself):", f"  {running.wall_url}"]
    if running.phones_url:
        lines += ["Phones open:", f"  {running.phones_url}", "", *qr.lines(running.phones_url), ""]
    others = [each for each in network_numbers() if each not in running.phones_url] if is_everywhere(listen) else []
    if others and running.phones_url:
        lines += [f"This machine is on other networks too ({', '.join(others)}); where phones are on one of those, "
                  "name it with --host."]
    if not is_loopback(listen):
        lines += ["Served to the network: who has the address can join and vote, under any name; who listens on the "
                  "network can read along, for nothing is encrypted. For a room you are in, not for the internet."]
    return [*lines, "Type commands; help lists them, quit leaves."]


def _ended_by_signal(face: asyncio.Task[None]) -> list[int]:
    """End `face` when a signal comes; the list then holds its number."""
    loop, ended = asyncio.get_running_loop(), list[int]()

    def end(number: int) -> None:
        ended.append(number)
        face.cancel()

    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
        if signal.getsignal(number) is not signal.SIG_IGN:    # nohup
            loop.add_signal_handler(number, end, number)
    return ended
