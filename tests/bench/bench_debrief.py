"""How fast a debrief is made: `python tests/bench/bench_debrief.py [RECORD]` prints seconds of each step, and ratios.

Without a record it flies one of half an hour, in cloud with a dead pump, talk and turns all along. The ratios are to
decoding the record's lines as JSON and no more (1), in the same run: what a machine of another speed can be held to.
Wanted: graded in less than 1 s, a page in less than 2 s, both from the record as read.
"""

import json
import sys
import tempfile
import time
from pathlib import Path

from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record
from drill.grading import grade
from drill.grading.reconstruction import reconstruct
from drill.paper.document import paper_of
from drill.paper.kinds import KINDS
from drill.paper.writing import text_of
from drill.scenario import find, load

MINUTES = 30
TIMES = 5
LINES = (
    (300.0, "check the suction gauge"), (305.0, "cover the attitude indicator and cover the heading indicator"),
    (320.0, "go partial panel"), (330.0, "I think the vacuum pump has failed"),
    (400.0, "tell approach Larkspur 5304W, vacuum failure, partial panel, request vectors to Wendle"),
    *((420.0 + 40.0 * number, ("check the compass", "turn left 20 degrees", "turn right 20 degrees")[number % 3])
      for number in range(34)),
    *((440.0 + 90.0 * number, "tell approach Larkspur 5304W, still partial panel, in cloud") for number in range(14)),
)


def flown(path):
    """Write the record of a flight of half an hour to `path`."""
    flight, events = Flight.start(load(find("cruise-to-tallowby")), 1)
    with Recorder.create(path, flight, events) as recorder:
        for t, line in [*sorted(LINES), (MINUTES * 60.0, "")]:
            while flight.ended is None and flight.t_s < t:
                recorder.write(flight.advance(min(10.0, t - flight.t_s)), flight)
            if line and flight.ended is None:
                recorder.write(flight.enter(line), flight)
    return path


def best(work):
    """Return the least seconds that `work` takes, tried a few times after a first one, and what it gives."""
    given, taken = work(), []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken), given


def main():
    """Make the record unless one is named, take the times, and print them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(sys.argv[1]) if len(sys.argv) > 1 else flown(Path(folder) / "flight.jsonl")
        lines = path.read_bytes().splitlines()
        bare, _ = best(lambda: [json.loads(line) for line in lines])
        reading, recorded = best(lambda: read_record(path))
    grading, debrief = best(lambda: grade(recorded.scenario, recorded.events, recorded.seed))
    again, _ = best(lambda: reconstruct(debrief, recorded.events))
    paper = paper_of(recorded)
    steps = [("decoded as JSON", bare, ""), ("read as a record", reading, ""), ("graded", grading, "of 1 s"),
             ("reconstructed", again, "")]
    for kind in KINDS:
        writing, text = best(lambda kind=kind: text_of(paper, kind))
        whole = grading + again + writing
        steps.append((f"written as {kind}", writing, f"{len(text.encode()) / 1e3:.0f} kB; from the record as read "
                                                     f"{whole:.2f} s{' of 2 s' if kind == 'html' else ''}"))
    sys.stdout.write(f"{debrief.flown_s / 60:.1f} min, {len(recorded.events)} events, {len(debrief.findings)} "
                     f"findings, {len(debrief.calls)} calls marked up, "
                     f"{len(paper.document.reconstruction.panels)} panels\n")
    for name, seconds, more in steps:
        sys.stdout.write(f"{name:<18} {seconds:6.3f} s  {seconds / bare:6.2f} times decoding"
                         f"{f'; {more}' if more else ''}\n")


if __name__ == "__main__":
    main()
