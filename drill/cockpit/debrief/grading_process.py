"""What runs in the process that grades: one question about one record, answered on the standard output.

Run as a program: `python -m drill.cockpit.debrief.grading_process WANTED RECORD [SECONDS]`, where WANTED is `told`, a
kind of file (`html`, `md`, `json`, `txt`), `sides`, or `sides.` and a kind of file. It needs nothing of the app.
"""

from __future__ import annotations

import json
import signal
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from drill.clean import clean_line
from drill.paper.kinds import KINDS, Kind

if TYPE_CHECKING:
    from drill.flight.recorded import Recorded


def answer(wanted: str, record: Path, at_s: float | None = None) -> dict[str, Any]:
    """Return what is asked about `record`: it `told` in pieces, or the `text` of a file of a kind; or what is `wrong`.

    `sides`: it beside what its sheet would have done from `at_s` (s) on, or beside the flight that it branched from;
    `sides.` and a kind: the same as the `text` of a file.
    """
    from drill.cockpit.debrief.pieces import as_data
    from drill.cockpit.debrief.words import told
    from drill.flight.record import RecordError, fitting, read_record
    from drill.grading import grade

    try:
        if wanted == "sides":
            return {"sides": _sides(record, at_s)}
        for kind in KINDS:
            if wanted == f"sides.{kind}":
                return {"text": _sides_text(record, kind, at_s)}
        recorded = read_record(record)
        with fitting(record, "debriefed"):
            for kind in KINDS:
                if kind == wanted:
                    return {"text": _text(recorded, kind)}
            debrief = grade(recorded.scenario, recorded.events, recorded.seed)
            return {"told": as_data(told(debrief, recorded.events, recorded.scenario.airplane.airframe))}
    except RecordError as error:
        return {"wrong": clean_line(str(error))}
    except OSError as error:
        return {"wrong": clean_line(f"{record}: {error.strerror or error}; name another record")}
    except Exception as error:    # whatever it is, the person at the screen gets a sentence
        return {"wrong": f"The debrief could not be worked out ({type(error).__name__}). Please keep the record "
                         f"{clean_line(str(record))} and report it."}


def _text(recorded: Recorded, kind: Kind) -> str:
    from drill.paper.document import paper_of
    from drill.paper.writing import text_of

    return text_of(paper_of(recorded), kind)


def _sides(record: Path, at_s: float | None) -> dict[str, Any] | None:
    from drill.flight.record import read_record
    from drill.grading.beside_words import table
    from drill.seat.side_by_side import branch_beside, sheet_beside

    them = branch_beside(read_record(record)) if at_s is None else sheet_beside(record, at_s)
    return None if them is None else {"at_s": them.at_s, "air": them.air, "table": list(table(them))}


def _sides_text(record: Path, kind: Kind, at_s: float | None) -> str | None:
    from drill.flight.record import fitting, read_record
    from drill.paper.beside_paper import beside_paper
    from drill.paper.writing import beside_text_of
    from drill.seat.side_by_side import branch_parted, sheet_parted

    parted = branch_parted(read_record(record)) if at_s is None else sheet_parted(record, at_s)
    with fitting(record, "set side by side"):
        return None if parted is None else beside_text_of(beside_paper(parted), kind)


def main() -> None:
    """Answer the app, as one line of JSON."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)    # a key meant for the app
    wanted, record, *moment = sys.argv[1:]
    said = json.dumps(answer(wanted, Path(record), *(float(each) for each in moment)))
    with suppress(OSError):    # the app has gone
        sys.stdout.write(said)
        sys.stdout.flush()


if __name__ == "__main__":
    main()
