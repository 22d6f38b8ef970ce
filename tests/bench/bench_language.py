"""How fast lines are read: `python tests/bench/bench_language.py` prints lines a second and the 99th percentile."""

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path

from drill.language import read, read_call
from drill.language.meaning import Context

DATA = Path(__file__).parent.parent / "data"


def timed(work):
    """Return the seconds that each of `work` takes."""
    taken = []
    for each in work:
        start = time.perf_counter()
        each()
        taken.append(time.perf_counter() - start)
    return taken


def main():
    """Read both corpora five times over, the first time to warm up, and print the figures."""
    here = Context("Larkspur 04W", "Orrinfell Approach")
    calls = [json.loads(line) for line in (DATA / "radio_calls.jsonl").read_text(encoding="utf-8").splitlines()]
    typed = [json.loads(line) for line in (DATA / "actions.jsonl").read_text(encoding="utf-8").splitlines()]
    work: dict[str, list[Callable[[], object]]] = {
        "calls": [lambda row=row: read_call(row["call"], Context(**row["context"])) for row in calls],
        "actions": [lambda row=row: read(row["text"], here) for row in typed],
    }
    for name, each in work.items():
        timed(each)
        taken = sorted(timed(each * 4))
        half, most = taken[len(taken) // 2] * 1e3, taken[int(len(taken) * 0.99)] * 1e3
        sys.stdout.write(f"{name}: {len(taken) / sum(taken):.0f} lines/s, p50 {half:.2f} ms, p99 {most:.2f} ms\n")


if __name__ == "__main__":
    main()
