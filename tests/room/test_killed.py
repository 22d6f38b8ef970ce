"""The program is killed while the room votes: nothing that was acknowledged is lost, nothing is counted twice."""

from __future__ import annotations

import asyncio
import json
import os
import random
import signal
import sys
from collections import defaultdict
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from aiohttp import ClientError, ClientSession, TCPConnector, WSMsgType
from bench.room_load import KEY, NUMBER, phone
from room.net_room import POLL, vote

from drill.room.keeping import read_evening
from drill.room.net.phone_routes import COOKIE
from drill.room.net.tokens import Tokens

PHONES = 40
ANSWERS = "abcdef"

Begin = Callable[[], "asyncio.Future[tuple[int, int]]"]


@dataclass
class Voter:
    """A phone that votes as fast as it is answered, each time for something else; what it sent and was acknowledged."""

    phone: str
    acknowledged: list[str] = field(default_factory=list)
    sent: str = ""                      # and not acknowledged

    async def votes(self, session: ClientSession, port: int) -> None:
        """Vote until the connection breaks. What was sent and not answered is sent again first, as a page does."""
        token = Tokens(KEY, NUMBER).of_phone(self.phone)
        headers = {"Origin": f"http://127.0.0.1:{port}", "Cookie": f"{COOKIE}={token}"}
        with suppress(ClientError, OSError):
            async with session.ws_connect(f"http://127.0.0.1:{port}/socket", headers=headers) as socket:
                for n in range(1, 1_000_000):
                    last = self.acknowledged[-1] if self.acknowledged else ""
                    self.sent = self.sent or random.choice([each for each in ANSWERS if each != last])  # noqa: S311
                    await socket.send_str(vote(n, answer=self.sent))
                    while (message := await socket.receive()).type is WSMsgType.TEXT and "ack" not in message.data[:7]:
                        pass
                    if message.type is not WSMsgType.TEXT:
                        return
                    said = json.loads(message.data)
                    assert said["ok"], said
                    self.acknowledged.append(self.sent)
                    self.sent = ""


@asynccontextmanager
async def evenings(folder: Path) -> AsyncIterator[Begin]:
    """Give what begins the evening, or takes it up, in a process of its own: its number and port."""
    program = Path(__file__).with_name("killed_room.py")
    process = await asyncio.create_subprocess_exec(sys.executable, str(program), str(folder), str(PHONES),
                                                   stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE)
    assert process.stdin is not None
    assert process.stdout is not None
    stdin, stdout = process.stdin, process.stdout

    async def begin() -> tuple[int, int]:
        stdin.write(b"\n")
        pid, port = (await asyncio.wait_for(stdout.readline(), 60)).split()
        return int(pid), int(port)

    yield lambda: asyncio.ensure_future(begin())
    process.kill()
    await process.wait()


def written(folder: Path) -> dict[str, list[str]]:
    """Return the answers that each phone has in the record, in their order; a torn last line is none."""
    found: dict[str, list[str]] = defaultdict(list)
    for line in (folder / "evening.jsonl").read_bytes().split(b"\n")[:-1]:
        said = json.loads(line)
        if said["what"] == "voted":
            assert said["poll"] == POLL
            found[said["phone"]].append(said["answer"])
    return found


def counted(voters: list[Voter]) -> int:
    """Return how many votes were acknowledged."""
    return sum(len(each.acknowledged) for each in voters)


async def killed(folder: Path, times: int) -> None:
    voters = [Voter(phone(each)) for each in range(PHONES)]
    async with evenings(folder) as begin, ClientSession(connector=TCPConnector(limit=0)) as session:
        for _ in range(times):
            pid, port = await begin()
            voting = [asyncio.create_task(each.votes(session, port)) for each in voters]
            before = counted(voters)
            async with asyncio.timeout(60):
                while counted(voters) < before + PHONES:
                    await asyncio.sleep(0.01)
            await asyncio.sleep(random.uniform(0.0, 0.2))  # noqa: S311
            os.kill(pid, signal.SIGKILL)
            await asyncio.gather(*voting)
            kept = written(folder)
            for each in voters:
                # what was sent again after the last kill, and was on disk already, is no line of its own
                assert kept[each.phone] in (each.acknowledged, [*each.acknowledged, each.sent]), each
            evening = read_evening(folder / "evening.jsonl").evening
            assert {name: cast.answer for name, cast in evening.polls[0].votes.items()} == {
                name: answers[-1] for name, answers in kept.items() if answers}


async def test_a_kill_while_the_room_votes_loses_no_acknowledged_vote_and_counts_none_twice(tmp_path: Path) -> None:
    await killed(tmp_path, times=2)


@pytest.mark.overnight
async def test_fifty_kills_while_the_room_votes_lose_no_acknowledged_vote_and_count_none_twice(tmp_path: Path) -> None:
    await killed(tmp_path, times=50)
