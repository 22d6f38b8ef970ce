"""`drill rewind`: a flight taken another way in words, by a person or by its grade sheet."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from flight.flights import FULL_CALL, short

from drill.cli import main
from drill.flight.events import Branched, Seated, Typed
from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record
from drill.scenario import load_text
from drill.seat import journal
from drill.seat.keeping import flights_folder
from drill.seat.moments import moment_of


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A data folder of this test's own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """A flight of a minute and a half that has ended, nobody having acted."""
    text = short().text.replace("time limit: 40 min", "time limit: 90 s")
    flight, events = Flight.start(load_text(text, "short.yaml", lambda name: short().airplane.text), 1)
    path = tmp_path / "first.jsonl"
    with Recorder.create(path, flight, events) as recorder:
        while flight.ended is None:
            recorder.write(flight.advance(1.0), flight)
    return path


def drill(monkeypatch: pytest.MonkeyPatch, *arguments: object, typed: str = "") -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    monkeypatch.setattr("sys.stdin", None)
    if typed:
        source = Path(str(arguments[1])).with_name("typed.txt")
        source.write_text(typed, encoding="utf-8")
        with source.open(encoding="utf-8") as lines:
            monkeypatch.setattr("sys.stdin", lines)
            with redirect_stdout(out), redirect_stderr(err):
                return main([str(each) for each in arguments]), out.getvalue(), err.getvalue()
    with redirect_stdout(out), redirect_stderr(err):
        return main([str(each) for each in arguments]), out.getvalue(), err.getvalue()


def test_a_flight_is_flown_on_from_the_moment_and_set_beside_the_one_before(
    record: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    kept = record.read_bytes()
    new = record.with_name("second.jsonl")
    code, out, err = drill(monkeypatch, "rewind", record, "--at", "0:45", "--record", new,
                           typed=f"cover the attitude indicator\n{FULL_CALL}\n")
    assert (code, err) == (0, "")
    assert out.startswith("Training aid only.")
    assert "Flown again from 0:45." in out
    assert "0:45 > cover the attitude indicator" in out
    assert "SIDE BY SIDE, FROM 0:45 ON" in out
    assert "The flight and Flown again and The sheet's way, in the same air." in " ".join(out.split())
    assert record.read_bytes() == kept
    read = read_record(new)
    assert [(each.t, each.record) for each in read.events if isinstance(each, Branched)] == [(45.0, "first.jsonl")]
    assert [each.before for each in read.events if isinstance(each, Seated)] == ["words"]
    assert [each.by for each in read.events if isinstance(each, Typed)] == ["typed", "typed"]
    noted = journal.attempts(flights_folder())
    assert [(each.record, each.ended, each.rewound) for each in noted] == [(new, True, True)]


def test_without_a_name_the_new_record_stands_beside_the_old_one(
    record: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    code, out, _ = drill(monkeypatch, "rewind", record, "--at", "80", typed="wait 5 seconds\nquit\nyes\n")
    assert code == 0
    said = Path("".join(out.split("Record:\n")[1].split("\n")))
    assert said.parent == record.parent
    assert read_record(said).seed == 1
    assert "Left at 1:2" in out


def test_a_flight_flown_again_is_debriefed_beside_the_one_that_it_branched_from(
    record: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    new = record.with_name("second.jsonl")
    drill(monkeypatch, "rewind", record, "--at", "0:45", "--record", new, typed="cover the attitude indicator\n")
    assert "SIDE BY SIDE, FROM 0:45 ON" in drill(monkeypatch, "debrief", new)[1]
    record.rename(record.with_name("elsewhere.jsonl"))
    code, out, _ = drill(monkeypatch, "debrief", new)
    assert code == 0
    assert "Not set side by side: the flight that this one branched from, first.jsonl, is not beside it" in " ".join(
        out.split())


def test_the_sheet_flies_without_a_person_and_both_are_set_side_by_side(
    record: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    kept, files = record.read_bytes(), set(record.parent.iterdir())
    code, out, err = drill(monkeypatch, "rewind", record, "--at", "0:30", "--pilot", "exemplar")
    assert (code, err) == (0, "")
    assert "The flight and The sheet's way, in the same air." in out
    assert "The sheet's way: called: “" in out
    assert out.startswith("Training aid only.")
    assert record.read_bytes() == kept
    assert set(record.parent.iterdir()) - files <= {record.parent / "data"}
    new = record.with_name("sheet.jsonl")
    code, out, _ = drill(monkeypatch, "rewind", record, "--at", "0:30", "--pilot", "exemplar", "--record", new)
    assert out.rstrip().endswith(str(new))
    assert [each.by for each in read_record(new).events if isinstance(each, Branched)] == ["exemplar"]
    assert "SIDE BY SIDE" in drill(monkeypatch, "debrief", new)[1]


def test_for_programs_the_comparison_is_json(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, out, _ = drill(monkeypatch, "rewind", record, "--at", "0:30", "--pilot", "exemplar", "--json")
    assert json.loads(out)["names"] == ["The flight", "The sheet's way"]


def test_the_flights_side_by_side_are_written_to_a_file_of_the_kind_that_its_name_asks_for(
    record: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    page, new = record.with_name("both.html"), record.with_name("second.jsonl")
    code, out, err = drill(monkeypatch, "rewind", record, "--at", "0:30", "--pilot", "exemplar", "--to", page,
                           "--record", new)
    assert (code, err) == (0, "")
    assert out.splitlines()[0] == f"Written, a page that prints: {page}"
    assert out.rstrip().endswith(str(new))
    assert "<h2 id=\"outcome-h\">What came of it</h2>" in page.read_text(encoding="utf-8")
    told = record.with_name("both.md")
    code, out, err = drill(monkeypatch, "rewind", new, "--to", told)
    assert (code, out, err) == (0, f"Written as Markdown: {told}\n", "")
    assert told.read_text(encoding="utf-8").startswith("# Side by side: ")
    assert drill(monkeypatch, "rewind", new, "--to", told)[0] == 0    # the very same is written already
    told.write_text("mine", encoding="utf-8")
    code, _, err = drill(monkeypatch, "rewind", new, "--to", told)
    assert code == 2
    assert "the file exists already" in err
    assert json.loads(drill(monkeypatch, "rewind", new, "--json")[1])["at_s"] == 30.0


@pytest.mark.parametrize(("arguments", "says"), [
    (("--at", "2:00"), "there is no 2:00 in this flight, it was over at 1:30; name a moment from 0:00 to 1:30"),
    (("--at", "1:30"), "nothing is left to fly then"),
    (("--at", "soon"), "'soon' is no moment of a flight; write minutes and seconds, for example 4:10"),
    (("--at", "1:75"), "is no moment of a flight"), ((), "--at"),
    (("--at", "0:30", "--json"), "--json is for --pilot exemplar"),
    (("--at", "0:30", "--to", "x.html"), "--to is for --pilot exemplar"),
    (("--at", "0:30", "--to", "x.pdf", "--pilot", "exemplar"), "what is written follows from the end of the file's"),
    (("--at", "0:30", "--to", "none/x.md", "--pilot", "exemplar"), "there is no folder"),
    (("--to", "x.html"), "this flight was not flown again from another"),
    (("--to", "x.html", "--pilot", "exemplar"), "nothing is flown without --at"),
    (("--to", "x.html", "--json"), "not allowed with"),
    (("--at", "0:30", "--record", "first.jsonl"), "the file exists already"),
    (("--at", "0:30", "--record", "none/x.jsonl", "--pilot", "exemplar"), "there is no folder"),
])
def test_what_cannot_be_rewound_is_said_in_a_line(
    record: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], says: str,
) -> None:
    monkeypatch.chdir(record.parent)
    code, _, err = drill(monkeypatch, "rewind", record, *arguments)
    assert code == 2
    assert says in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("wrong", [b"", b"\x00\xff\n", b'{"kind": "header"}\n', b"[" * 9000 + b"\n"])
def test_a_file_that_is_no_record_is_refused_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, wrong: bytes,
) -> None:
    path = tmp_path / "wrong.jsonl"
    path.write_bytes(wrong)
    for pilot in ("you", "exemplar"):
        code, _, err = drill(monkeypatch, "rewind", path, "--at", "0:30", "--pilot", pilot)
        assert code == 2
        assert err.startswith("drill: ")
        assert "Traceback" not in err


@pytest.mark.parametrize("name", ["../first.jsonl", "/etc/passwd", "..", ""])
def test_a_stranger_s_record_leads_to_no_other_folder(
    record: Path, monkeypatch: pytest.MonkeyPatch, name: str,
) -> None:
    strange = json.dumps({"t": 90.0, "record": name, "before": "00", "by": "typed", "words": "", "kind": "branched"})
    path = record.with_name("strange.jsonl")
    path.write_bytes(record.read_bytes() + strange.encode() + b"\n")
    code, out, _ = drill(monkeypatch, "debrief", path)
    assert code == 0
    assert "Not set side by side: " in out
    assert "a file that cannot be beside it" in " ".join(out.split())


@pytest.mark.parametrize(("text", "seconds"), [
    ("4:10", 250.0), ("0:00", 0.0), ("4:10.5", 250.5), ("250", 250.0), (" 12:05 ", 725.0), ("4", 4.0), ("90.3", 90.3),
])
def test_a_moment_is_minutes_and_seconds(text: str, seconds: float) -> None:
    assert moment_of(text) == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["", "4:1", "4:60", "-1", "4:10:10", "1e3", "nan", "４:１０", "4:10.55", "x" * 500])
def test_what_is_no_moment_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(ValueError, match="for example 4:10"):
        moment_of(text)
