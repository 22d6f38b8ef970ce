"""What a room costs beside a bare server that only acknowledges: `python tests/bench/bench_room.py [--phones N]`.

Both serve on loopback, each in a process of its own, and get the same votes in turns within one run: every phone votes
once within one second, then twenty times as fast as it is answered. The room's votes are on disk before they are
acknowledged, and a wall looks on. Ratios and differences are printed, for milliseconds belong to the machine, and
whether they are what is wanted; then whether each phone is counted once. The load is made by one process of the same
library, so the saturated rate is that of the slower side. The exit code is 0 whatever comes out.
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from bench.room_load import Phones, Round, many_files, served, wall_looking_on  # noqa: E402

from drill.room.evening import counts  # noqa: E402
from drill.room.keeping import read_evening  # noqa: E402

LATER_MS = 20.0
FEWEST = 0.5
TURNS = 20


async def measured(phones: int, rounds: int) -> bool:
    """Measure, print, and return whether everything is as wanted."""
    with tempfile.TemporaryDirectory() as folder:
        async with served("bare") as (bare, _), served("room", folder, str(phones)) as (room, _):
            async with (Phones.connected(bare, phones) as plain, Phones.connected(room, phones) as real,
                        wall_looking_on(room)):
                once: dict[str, list[Round]] = {"bare": [], "room": []}
                full: dict[str, list[Round]] = {"bare": [], "room": []}
                for turn in range(rounds):
                    for name, load in (("bare", plain), ("room", real)):
                        once[name].append(await load.vote(lambda n, _, t=turn: "ab"[(n + t) % 2], within_s=1.0))
                    for name, load in (("bare", plain), ("room", real)):
                        full[name].append(await load.vote(lambda n, k, t=turn: "ab"[(n + k + t) % 2], within_s=0.0,
                                                          times=TURNS))
            evening = read_evening(Path(folder) / "evening.jsonl").evening
    for name in ("bare", "room"):
        print(f"{name}: within one second  {_told(once[name])}")
        print(f"{name}: {TURNS} each, saturated {_told(full[name])}")
    later = _median(once["room"], "p99_ms") - _median(once["bare"], "p99_ms")
    share = _median(full["room"], "a_second") / _median(full["bare"], "a_second")
    held = evening.polls[0]
    counted = len(held.votes) == phones and sum(counts(evening, held).values()) == phones
    results = (
        (f"p99 within one second: {later:.2f} ms later than bare (wanted: at most {LATER_MS:.0f})", later <= LATER_MS),
        (f"saturated: {share:.2f} of the bare rate (wanted: at least {FEWEST})", share >= FEWEST),
        (f"counted: {len(held.votes)} votes of {phones} phones, each once", counted),
    )
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
