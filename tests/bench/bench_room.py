"""What a room costs beside a bare server that only acknowledges: `python tests/bench/bench_room.py [--phones N]`.

All serve on loopback, each in a process of its own, and get the same votes in turns within one run: every phone votes
once within one second, then twenty times as fast as it is answered. The room's votes are on disk before they are
acknowledged, and a wall looks on; there is one room without and one with the facilitator's screen, which stands in the
same loop. Ratios and differences are printed, for milliseconds belong to the machine, and whether they are what is
wanted; then whether each phone is counted once. The load is made by one process of the same library, so the saturated
rate is that of the slower side. The exit code is 0 whatever comes out.
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import sys
import tempfile
from contextlib import AsyncExitStack
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from bench.room_load import Phones, Round, many_files, served, served_with_screen, wall_looking_on  # noqa: E402

from drill.room.evening import counts  # noqa: E402
from drill.room.keeping import read_evening  # noqa: E402

LATER_MS = 20.0
FEWEST = 0.5
TURNS = 20
CALLED = {"bare": "bare", "room": "room", "screen": "room with its screen"}


async def measured(phones: int, rounds: int, *, screen: bool = True) -> bool:
    """Measure, print, and return whether everything is as wanted. `screen`: the room with its screen as well."""
    names = ["bare", "room", *(["screen"] if screen else [])]
    with tempfile.TemporaryDirectory() as folder:
        folders = {name: Path(folder) / name for name in names}
        async with AsyncExitStack() as stack:
            load: dict[str, Phones] = {}
            for name, place in folders.items():
                place.mkdir()
                serving = served_with_screen(str(place), str(phones)) if name == "screen" else (
                    served(name) if name == "bare" else served(name, str(place), str(phones)))
                port, _ = await stack.enter_async_context(serving)
                load[name] = await stack.enter_async_context(Phones.connected(port, phones))
                if name != "bare":
                    await stack.enter_async_context(wall_looking_on(port))
            once: dict[str, list[Round]] = {name: [] for name in names}
            full: dict[str, list[Round]] = {name: [] for name in names}
            for turn in range(rounds):
                for name in names:
                    once[name].append(await load[name].vote(lambda n, _, t=turn: "ab"[(n + t) % 2], within_s=1.0))
                for name in names:
                    full[name].append(await load[name].vote(lambda n, k, t=turn: "ab"[(n + k + t) % 2], within_s=0.0,
                                                            times=TURNS))
        evenings = {name: read_evening(folders[name] / "evening.jsonl").evening for name in names[1:]}
    for name in names:
        print(f"{CALLED[name]}: within one second  {_told(once[name])}")
        print(f"{CALLED[name]}: {TURNS} each, saturated {_told(full[name])}")
    results: list[tuple[str, bool]] = []
    for name, evening in evenings.items():
        later = _median(once[name], "p99_ms") - _median(once["bare"], "p99_ms")
        share = _median(full[name], "a_second") / _median(full["bare"], "a_second")
        held = evening.polls[0]
        counted = len(held.votes) == phones and sum(counts(evening, held).values()) == phones
        results += (
            (f"{CALLED[name]}: p99 within one second {later:.2f} ms later than bare (wanted: at most {LATER_MS:.0f})",
             later <= LATER_MS),
            (f"{CALLED[name]}: saturated {share:.2f} of the bare rate (wanted: at least {FEWEST})", share >= FEWEST),
            (f"{CALLED[name]}: {len(held.votes)} votes of {phones} phones counted, each once", counted))
    for words, good in results:
        print(f"{'yes' if good else 'NO '} {words}")
    return all(good for _, good in results)


def _told(rounds: list[Round]) -> str:
    return (f"{_median(rounds, 'a_second'):8,.0f} votes/s  p50 {_median(rounds, 'p50_ms'):7.2f}  "
            f"p99 {_median(rounds, 'p99_ms'):7.2f}  worst {_median(rounds, 'worst_ms'):7.2f} ms")


def _median(rounds: list[Round], name: str) -> float:
    return statistics.median([float(getattr(each, name)) for each in rounds])


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--phones", type=int, default=1_000)
    parser.add_argument("--rounds", type=int, default=5)
    chosen = parser.parse_args()
    many_files()
    asyncio.run(measured(chosen.phones, chosen.rounds))
