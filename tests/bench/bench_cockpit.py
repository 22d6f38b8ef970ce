"""What the cockpit costs beside a bare Textual app: `python tests/bench/bench_cockpit.py [--keys N] [--pairs N]`.

Both run in a pseudo-terminal of 120 by 40 at the same rate of repainting, in turns, within one run; ratios are
printed, for milliseconds belong to the machine, and whether they are what is wanted (`LIMITS`). With `--memory
MINUTES` a flight is flown for so long instead, and how its memory grows is printed. The exit code is 0 whatever
comes out.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from pseudo_terminal import PseudoTerminal  # noqa: E402

from drill.cockpit.launch import REPAINTS_A_SECOND  # noqa: E402

LETTERS = "QZXJKVWYQXZKJVXQWZ"
BARE = [sys.executable, str(HERE / "bare_app.py")]
DRILL = [sys.executable, "-m", "drill"]
FLIGHT = [*DRILL, "fly", "cruise-to-tallowby", "--seed", "1", "--pace", "running"]
SETTLES_S = 1.0
"""What has just been drawn is followed by what was put off; that is not measured."""

SAMPLE_S = 10.0

FIRST, KEYS, CPU, QUIET, GROWTH = (
    "first paint, ratio", "key to paint p95, ratio of the medians", "share of a core of the cockpit, %",
    "bytes a second while paused", "growth of memory, MiB")
LIMITS = {FIRST: 1.6, KEYS: 1.3, CPU: 20.0, QUIET: 20.0, GROWTH: 1.0}
"""The most that is wanted."""


@dataclass
class Seen:
    """One program, once: seconds of key to paint, share of a core, bytes a second."""

    keys_s: list[float]
    cpu: float
    bytes_s: float


def environment(home: str) -> dict[str, str]:
    """Return a user's environment in which byte code is kept and colours are plain."""
    kept = {name: value for name, value in os.environ.items()
            if name not in ("NO_COLOR", "PYTHONDONTWRITEBYTECODE", "TEXTUAL_FPS", "COLUMNS", "LINES")}
    return kept | {"HOME": home, "XDG_DATA_HOME": f"{home}/data", "XDG_CONFIG_HOME": f"{home}/config",
                   "XDG_STATE_HOME": f"{home}/state", "TERM": "xterm-256color", "COLORTERM": "truecolor",
                   "LANG": "C.UTF-8", "TEXTUAL_FPS": REPAINTS_A_SECOND}


@contextmanager
def bare(home: str) -> Iterator[PseudoTerminal]:
    """The bare app, its dials moving."""
    with PseudoTerminal(BARE, environment(home)) as terminal:
        terminal.wait_for("BARE")
        terminal.drain(SETTLES_S)
        yield terminal


@contextmanager
def flying(home: str) -> Iterator[PseudoTerminal]:
    """The cockpit in a turn, in which nearly every instrument moves."""
    with PseudoTerminal(FLIGHT, environment(home)) as terminal:
        terminal.wait_for("Situation")
        terminal.send("\r")
        terminal.wait_for("IN THE COCKPIT")
        terminal.send("turn left\r")
        terminal.wait_for("Turning left")
        terminal.drain(SETTLES_S)
        yield terminal


def key_to_paint(terminal: PseudoTerminal, keys: int) -> list[float]:
    """Type letters, never the same row of them twice, and return how long each took to be seen."""
    taken: list[float] = []
    number = 0
    while len(taken) < keys:
        typed = ""
        for letter in LETTERS:
            typed += letter
            number += 1
            since = len(terminal.output)
            began = time.perf_counter()
            terminal.send(letter)
            terminal.wait_for(typed, 2.0, since=since)
            if len(typed) > 1:       # the first stands alone: a letter of something else could be taken for it
                taken.append(time.perf_counter() - began)
            terminal.drain(0.030 + number * 37 % 97 / 1000)
        terminal.send("\x7f" * len(LETTERS))
        terminal.drain(0.4)
    return taken


def seen(terminal: PseudoTerminal, keys: int) -> Seen:
    """Watch a running program for a while, then type."""
    cpu, sent, began = terminal.cpu_s(), len(terminal.output), time.perf_counter()
    terminal.drain(6.0)
    took = time.perf_counter() - began
    cpu, sent = (terminal.cpu_s() - cpu) / took, round((len(terminal.output) - sent) / took)
    return Seen(key_to_paint(terminal, keys), cpu, sent)


def pair(home: str, keys: int) -> tuple[Seen, Seen]:
    """Return the bare app and the cockpit, one after the other."""
    with bare(home) as terminal:
        first = seen(terminal, keys)
    with flying(home) as terminal:
        return first, seen(terminal, keys)


def first_paint(command: list[str], home: str) -> float:
    """Return the seconds from the start of a program to its first screen."""
    with PseudoTerminal(command, environment(home)) as terminal:
        while terminal.first_s is None and not terminal.closed:
            terminal.read(5.0)
        return terminal.first_s or float("nan")


def still(home: str) -> float:
    """Return the bytes a second that a paused flight sends."""
    with flying(home) as terminal:
        since = len(terminal.output)
        terminal.send("\x1bOQ")       # F2
        terminal.wait_for("PAUSED", since=since)
        terminal.drain(SETTLES_S)
        since = len(terminal.output)
        terminal.drain(10.0)
        return (len(terminal.output) - since) / 10.0


def memory(home: str, minutes: float) -> list[float]:
    """Return the memory of a flight in MiB, at its beginning and then each `SAMPLE_S`, for `minutes` or to its end."""
    with flying(home) as terminal:
        samples = [terminal.resident_mib()]
        end = time.perf_counter() + minutes * 60
        while (left := end - time.perf_counter()) > 0:
            came = terminal.drain(min(SAMPLE_S, left))
            if terminal.closed or b"THE FLIGHT IS OVER" in came:
                break
            samples.append(terminal.resident_mib())
            terminal.output.clear()
        return samples


def growth(samples: list[float]) -> float:
    """Return by how much the last quarter is above the second: what the first takes up is the beginning's."""
    quarter = max(1, len(samples) // 4)
    return statistics.median(samples[-quarter:]) - statistics.median(samples[quarter:2 * quarter] or samples)


def p95(values: list[float]) -> float:
    """Return the 95th percentile."""
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def costs(home: str, keys: int, pairs: int, starts: int) -> dict[str, float | list[float]]:
    """Return each figure by its name; of two the first is the bare app's."""
    for command in (BARE, DRILL):                      # the first start compiles
        first_paint(command, home)
    begun = [(first_paint(BARE, home), first_paint(DRILL, home)) for _ in range(starts)]
    flown = [pair(home, keys) for _ in range(pairs)]
    quiet = still(home)
    firsts = [statistics.median(each) for each in zip(*begun, strict=True)]
    p95s = [statistics.median(p95(both[side].keys_s) for both in flown) for side in (0, 1)]
    shares = [100 * statistics.median(both[side].cpu for both in flown) for side in (0, 1)]
    return {
        "first paint, ms": [each * 1e3 for each in firsts], FIRST: firsts[1] / firsts[0],
        "key to paint p95, ms": [each * 1e3 for each in p95s], KEYS: p95s[1] / p95s[0],
        "key to paint p95, ratio of each pair": [p95(drill.keys_s) / p95(toolkit.keys_s) for toolkit, drill in flown],
        "share of a core of the bare app, %": shares[0], CPU: shares[1],
        "bytes a second": [statistics.median(both[side].bytes_s for both in flown) for side in (0, 1)],
        QUIET: quiet,
    }


def verdict(name: str, value: float) -> str:
    """Say whether a figure is what is wanted; empty where nothing is."""
    if name not in LIMITS:
        return ""
    return f"   {'within' if value <= LIMITS[name] else 'BEYOND'} what is wanted: at most {LIMITS[name]:g}"


def main() -> None:
    """Run bare app and cockpit in turns, or one flight for its memory; print each figure, with what is wanted."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--keys", type=int, default=300, help="keys a run (default 300)")
    arguments.add_argument("--pairs", type=int, default=5, help="runs of each (default 5)")
    arguments.add_argument("--starts", type=int, default=11, help="starts of each (default 11)")
    arguments.add_argument("--memory", type=float, metavar="MINUTES",
                           help="measure growth of memory instead; pictures are kept to be shown again, a limited "
                                "number, so less than ten minutes say little")
    arguments.add_argument("--json", action="store_true")
    chosen = arguments.parse_args()
    with tempfile.TemporaryDirectory() as home:
        figures: dict[str, float | list[float]]
        if chosen.memory:
            samples = memory(home, chosen.memory)
            figures = {"minutes of flight": (len(samples) - 1) * SAMPLE_S / 60,
                       "memory, MiB, first, most, last": [samples[0], max(samples), samples[-1]],
                       GROWTH: growth(samples)}
        else:
            figures = costs(home, chosen.keys, chosen.pairs, chosen.starts)
    if chosen.json:
        sys.stdout.write(json.dumps(figures) + "\n")
        return
    for name, value in figures.items():
        if isinstance(value, list):
            sys.stdout.write(f"{name}: {' / '.join(f'{each:.2f}' for each in value)}\n")
        else:
            sys.stdout.write(f"{name}: {value:.2f}{verdict(name, value)}\n")
    if not chosen.memory:
        sys.stdout.write("Pairs are bare app / cockpit.\n")


if __name__ == "__main__":
    main()
