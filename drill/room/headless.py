"""The facilitator without a screen: commands as lines of the standard input, answers as lines of the output.

For a script, a screen reader, and whoever runs the room from elsewhere. Nothing waits for the one who types: flight,
phones and wall go on meanwhile.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import AsyncIterator, Callable, Mapping
from typing import TYPE_CHECKING, Any, TextIO

from drill.clean import clean_line
from drill.room.commands import Done
from drill.room.saving import PAPERS, saved
from drill.room.spoken import HELP, OWN_WORDS, NotUnderstood, command_of
from drill.seat.moments import moment_of

if TYPE_CHECKING:
    from drill.room.host import Host

LONGEST_LINE = 2_000
LONGEST_WAIT_S = 3_600.0

Say = Callable[[str], None]


async def facilitate(host: Host, lines: AsyncIterator[str], say: Say) -> None:
    """Carry out `lines` until they end or one says quit; what comes of each is said."""
    said = asyncio.create_task(_tell_polls(host, say))
    try:
        async for line in lines:
            words = clean_line(line)
            if not words or words.startswith("#"):
                continue
            if words.lower() == "quit":
                return
            for each in await _answered(host, words):
                say(each)
    finally:
        said.cancel()
        await asyncio.gather(said, return_exceptions=True)


async def lines_of(stream: TextIO) -> AsyncIterator[str]:
    """Yield the lines of a stream as they come, read in a thread that holds up nothing."""
    loop = asyncio.get_running_loop()
    queue: asyncio.Queue[str] = asyncio.Queue(maxsize=100)

    def read() -> None:
        try:
            while line := stream.readline(LONGEST_LINE):
                asyncio.run_coroutine_threadsafe(queue.put(line), loop).result()
            asyncio.run_coroutine_threadsafe(queue.put(""), loop).result()
        except (RuntimeError, OSError, ValueError, asyncio.CancelledError):    # the loop, or the stream, is gone
            return

    threading.Thread(target=read, name="facilitator", daemon=True).start()
    while line := await queue.get():
        yield line


async def _answered(host: Host, words: str) -> list[str]:
    word, _, rest = words.partition(" ")
    view = host.desk_view()
    match word.lower():
        case "help":
            return list(HELP)
        case "who":
            return [_person(each) for each in view["everybody"]] or ["Nobody has joined yet."]
        case "where":
            return list(where(view))
        case "wait":
            return await _waited(rest)
        case "handout" | "attendance" if (what := words.lower()) in PAPERS:
            return [(await saved(host, what))[0]]
    try:
        outcome = await host.command(command_of(words, view["everybody"]))
    except NotUnderstood as error:
        return [str(error)]
    if isinstance(outcome, Done):
        return [outcome.words or "Done."]
    return [outcome.words]


async def _waited(rest: str) -> list[str]:
    try:
        seconds = moment_of(rest)
    except ValueError as error:
        return [str(error)]
    await asyncio.sleep(min(seconds, LONGEST_WAIT_S))
    return []


def where(view: Mapping[str, Any]) -> list[str]:
    """Return how the evening stands, in lines, from the facilitator's view."""
    lines = [f"Evening {view['number']}: {view['stage']}, {view['people']} in the room, flight {view['clock']}. "
             f"{view['clock_says']}".strip()]
    held = view["held"][-1] if view["held"] else None
    if held is not None:
        counts = ", ".join(f"{each['key']} {held['counts'].get(each['key'], 0)} ({each['says']})"
                           for each in held["answers"])
        state = "open" if held["open"] else "closed"
        raised = sum(held["hands"].values())
        hands = f" and {raised} hand{'s' if raised > 1 else ''}" if raised else ""
        votes = f"{held['answered']} vote{'' if held['answered'] == 1 else 's'}{hands}"
        lines.append(f"Poll {held['id']} is {state}: {held['question']} {votes}. {counts}".strip())
    lines += [f"To come: {each['id']} {each['name']}" for each in view["to_come"][:1]]
    return [*lines, *([view["trouble"]] if view["trouble"] else [])]


def _person(person: Mapping[str, Any]) -> str:
    marks = [mark for mark in ("hidden", "removed") if person[mark]]
    table = f", table {person['table']}" if person["table"] else ""
    return f"#{person['place']} {person['name']}{table}{' (' + ', '.join(marks) + ')' if marks else ''}"


async def _tell_polls(host: Host, say: Say) -> None:
    """Say when a poll opens or the flight stops by itself: nobody looks at a screen."""
    since, known = host.version, ""
    while True:
        view = host.desk_view()
        held = view["held"][-1] if view["held"] else None
        poll = f"Poll {held['id']} is open: {held['question']}" if held is not None and held["open"] else ""
        if poll and poll != known:
            say(poll)
        known = poll
        since = await host.changed(since)
        await asyncio.sleep(0.1)


__all__ = ["OWN_WORDS", "facilitate", "lines_of", "where"]
