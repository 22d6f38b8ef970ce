"""How fast lines are read: `python tests/bench/bench_language.py` prints lines a second, the 99th percentile, ratios.

The ratios are to parting a line into words with one regular expression (1), in the same run: what a machine of another
speed can be held to.
"""

import json
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

from drill.language import read, read_call
from drill.language.meaning import Context

DATA = Path(__file__).parent.parent / "data"
WORDS = re.compile(r"[a-z0-9']+")
TIMES = 5


def timed(work):
    """Return the seconds that each of `work` takes."""
    taken = []
    for each in work:
        start = time.perf_counter()
        each()
        taken.append(time.perf_counter() - start)
    return taken


def rows(name):
    """Return the labelled lines of a corpus."""
    return [json.loads(line) for line in (DATA / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()]


def main():
    """Read the given corpora several times over, the first time to warm up, and print the figures."""
    here = Context("Larkspur 04W", "Orrinfell Approach")
    calls, typed = rows("radio_calls"), rows("actions")
    lines = [row["call"] for row in calls] + [row["text"] for row in typed]
    work: dict[str, list[Callable[[], object]]] = {
        "calls": [lambda row=row: read_call(row["call"], Context(**row["context"])) for row in calls],
        "actions": [lambda row=row: read(row["text"], here) for row in typed],
    }
    work["both"] = work["calls"] + work["actions"]
    words = [lambda line=line: [WORDS.findall(line.lower()) for _ in range(100)] for line in lines]
    timed(words)
    bare = sum(timed(words)) / 100 / len(words)
    for name, each in work.items():
        timed(each)
        taken = sorted(timed(each * TIMES))
        mean, half, most = sum(taken) / len(taken), taken[len(taken) // 2], taken[int(len(taken) * 0.99)]
        sys.stdout.write(f"{name}: {1 / mean:.0f} lines/s, p50 {half * 1e3:.2f} ms, p99 {most * 1e3:.2f} ms; "
                         f"{mean / bare:.0f} times parting into words\n")


if __name__ == "__main__":
    main()
