"""Grading in a process of its own: reading and grading a long record takes seconds, and the screen must not wait.

A plain child process, not a pool: inside a running app the standard error has no descriptor, which the pools of
`multiprocessing` want to hand on, and a child can be ended at once when nobody waits for it any more.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio.subprocess import DEVNULL, PIPE, Process
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from drill.clean import clean_line
from drill.cockpit.debrief.pieces import Told, from_data
from drill.cockpit.debrief.sides import Sides, sides_from
from drill.paper.kinds import Kind


class GradingError(Exception):
    """A record cannot be debriefed; the message says why, and what to do."""


class Grading:
    """The grading of one record, from `begin` on. `told` and `text` wait for it; `leave` ends all of it."""

    def __init__(self, record: Path) -> None:
        self.record = record
        self._asked: dict[tuple[str, ...], asyncio.Task[dict[str, Any]]] = {}

    def begin(self) -> Grading:
        """Begin, unless it has begun. Needs a running event loop."""
        self._ask("told")
        return self

    async def told(self) -> Told:
        """Return the debrief in pieces. GradingError in words if there is none; may be asked for again."""
        answer = await asyncio.shield(self._ask("told"))
        try:
            return from_data(answer["told"])
        except (KeyError, TypeError, ValueError):
            raise _broken_off(self.record) from None

    async def text(self, kind: Kind) -> str:
        """Return the debrief as the text of a file of this kind, read anew. GradingError if there is none."""
        self._asked.pop((kind,), None)    # the record may have got its answers meanwhile
        return await self._text(kind)

    async def sides_text(self, kind: Kind, at_s: float | None = None) -> str:
        """Return what `sides` returns as the text of a file of this kind, flown anew. GradingError if there is none."""
        return await self._text(f"sides.{kind}", *_moment(at_s))

    async def _text(self, *wanted: str) -> str:
        text = (await asyncio.shield(self._ask(*wanted))).get("text")
        if not isinstance(text, str):
            raise _broken_off(self.record)
        return text

    async def sides(self, at_s: float | None = None) -> Sides | None:
        """Return the flight beside what its sheet would have done from `at_s` (s) on, flown meanwhile.

        Without a moment: beside the flight that it branched from; None if it branched from none. GradingError in words
        if it cannot be had.
        """
        answer = await asyncio.shield(self._ask("sides", *_moment(at_s)))
        try:
            return None if answer["sides"] is None else sides_from(answer["sides"])
        except (KeyError, TypeError, ValueError):
            raise _broken_off(self.record) from None

    async def leave(self) -> None:
        """End what goes on still; returns when its processes are gone."""
        for task in self._asked.values():
            task.cancel()
        await asyncio.gather(*self._asked.values(), return_exceptions=True)

    def _ask(self, *wanted: str) -> asyncio.Task[dict[str, Any]]:
        task = self._asked.get(wanted)
        if task is None or (task.done() and (task.cancelled() or task.exception() is not None)):
            task = self._asked[wanted] = asyncio.create_task(_answered(wanted, self.record))
        return task


def _moment(at_s: float | None) -> tuple[str, ...]:
    return () if at_s is None else (f"{at_s:.1f}",)


async def _answered(wanted: Sequence[str], record: Path) -> dict[str, Any]:
    starting = asyncio.create_task(_started(wanted, record))
    try:
        process = await asyncio.shield(starting)
        out, _ = await process.communicate()
    except (OSError, ValueError) as error:
        raise GradingError(f"Grading could not be begun ({clean_line(str(error))}); try again, or in words: "
                           f"drill debrief {clean_line(str(record))}") from error
    except asyncio.CancelledError:
        await asyncio.shield(asyncio.create_task(_ended(starting)))
        raise
    try:
        answer = json.loads(out)
    except ValueError:
        answer = None
    if not isinstance(answer, dict):
        raise _broken_off(record)
    if "wrong" in answer:
        raise GradingError(str(answer["wrong"]))
    return answer


async def _started(wanted: Sequence[str], record: Path) -> Process:
    root = str(Path(__file__).parents[3])
    search = os.pathsep.join(each for each in (root, os.environ.get("PYTHONPATH", "")) if each)
    return await asyncio.create_subprocess_exec(
        sys.executable, "-P", "-m", "drill.cockpit.debrief.grading_process", wanted[0], str(record), *wanted[1:],
        stdin=DEVNULL, stdout=PIPE, stderr=DEVNULL, env={**os.environ, "PYTHONPATH": search},
    )


async def _ended(starting: asyncio.Task[Process]) -> None:
    """End the process, which may not even have started yet, and wait until its pipe is closed too."""
    with suppress(OSError, ValueError):
        process = await starting
        with suppress(ProcessLookupError):
            process.kill()
        await process.communicate()


def _broken_off(record: Path) -> GradingError:
    return GradingError("Grading broke off before it was done; try again, or in words: "
                        f"drill debrief {clean_line(str(record))}")
