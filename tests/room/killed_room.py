"""A program that holds an evening again and again, to be killed: `python tests/room/killed_room.py FOLDER PHONES`.

For each line of its input it forks a process that begins the evening in FOLDER, or takes it up, and says its number and
port in a line. So that what is loaded need not be loaded again each time.
"""

from __future__ import annotations

import asyncio
import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench.room_load import KEY, NUMBER, WITHOUT, phone

from drill.room import commands as c
from drill.room.host import Host
from drill.room.net.app import serve
from drill.scenario import find, load

SCENARIO = load(find("cruise-to-tallowby"))


async def hold(path: Path, phones: int) -> None:
    """Serve the evening until the process is killed."""
    if path.exists():
        host = Host.resume(path)
        await host.take_up()
    else:
        host = Host.begin(SCENARIO, 1, path, number=NUMBER)
        await asyncio.gather(*(host.join(phone(each), f"Pilot {each}") for each in range(phones)))
        await host.command(c.Brief())
        await host.command(c.OpenPoll())
    running = await serve(host, key=KEY, listen="127.0.0.1", port=0, limits=WITHOUT)
    print(os.getpid(), running.port, flush=True)
    await asyncio.Event().wait()


def main(folder: str, phones: str) -> None:
    """Fork for each line; the one before has been killed by then."""
    child = 0
    for _ in sys.stdin:
        if child:
            os.waitpid(child, 0)
        child = os.fork()
        if not child:
            asyncio.run(hold(Path(folder) / "evening.jsonl", int(phones)))


if __name__ == "__main__":
    main(*sys.argv[1:])
