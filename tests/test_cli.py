"""The command line, as a user meets it: exit codes, one-line errors, flights by script and by pipe, debriefs."""

from __future__ import annotations

import json
import os
import re
import shlex
import signal
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

import pytest
from program import TALLOWBY, Drill, command, run, user_environment

from drill import __version__
from drill.cli import main
from drill.grading.debrief import CAUTIONS
from drill.seat.journal import attempts

WELL_FLOWN = """\
# seconds are flight time
0:10 check the suction gauge
1:10 say two niner eight six, expect the ILS, Larkspur 5304W
2:00 cover the attitude indicator and go partial panel
"""


@dataclass(frozen=True)
class Flown:
    """One flight by script, flown for all tests that only look at what came of it."""

    done: subprocess.CompletedProcess[str]
    script: Path
    record: Path
    home: Path


@pytest.fixture(scope="session")
def flown(tmp_path_factory: pytest.TempPathFactory, short: Path) -> Flown:
    folder = tmp_path_factory.mktemp("flown")
    home = folder / "home"
    home.mkdir()
    script = folder / "flown.txt"
    script.write_text(WELL_FLOWN, encoding="utf-8")
    done = run(["fly", short, "--seed", "7", "--script", script], user_environment(home), folder)
    assert done.returncode == 0, done.stderr
    return Flown(done, script, Path(done.stdout.splitlines()[-1]), home)


@pytest.fixture(scope="session")
def replayed(flown: Flown) -> str:
    done = run(["replay", flown.record], user_environment(flown.home), flown.home)
    assert done.returncode == 0, done.stderr
    return done.stdout


def one_line(done: subprocess.CompletedProcess[str]) -> str:
    """Return the one line on stderr of a mistake."""
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    return done.stderr


def flights_of(home: Path) -> Path:
    """Return the folder of records of the user at `home`."""
    return home / "data" / "drill" / "flights"


def joined(text: str) -> str:
    return " ".join(text.split())


# --- what needs no flight --------------------------------------------------------------------------


def test_the_version_is_said(drill: Drill) -> None:
    done = drill("--version")
    assert (done.returncode, done.stdout) == (0, f"drill {__version__}\n")


def test_without_a_terminal_drill_lists_the_scenarios_and_says_how_to_fly(drill: Drill) -> None:
    done = drill()
    assert done.returncode == 0
    assert "Cruise to Tallowby. Larkspur 180, about 25 minutes" in done.stdout
    assert "drill fly" in done.stdout
    for caution in CAUTIONS:
        assert caution in joined(done.stdout)


@pytest.mark.long
@pytest.mark.parametrize("arguments", [(), ("list",)])
def test_a_list_gives_nothing_away(drill: Drill, arguments: tuple[str, ...]) -> None:
    done = drill(*arguments)
    assert "Suction lost" not in done.stdout
    assert "vacuum" not in done.stdout.lower()


@pytest.mark.parametrize("arguments", [
    ("fly",), ("fyl",), ("fly", TALLOWBY, "--pace", "fast"), ("fly", TALLOWBY, "--seed", "x"), ("debrief",),
    ("list", "extra"), ("--no-such-option",), ("fly", TALLOWBY, "--seed", "-1"),
    ("fly", TALLOWBY, "--script", "none.txt"), ("debrief", "none.jsonl"), ("resume", "none.jsonl"),
    ("replay", "none.jsonl"), ("fly", "none.yaml"), ("fly", "\x1b[31mred"), ("fly", ""), ("debrief", "."),
    ("fly", "."), ("fly", TALLOWBY, "--script", ".."), ("fly", TALLOWBY, "--script", "none.txt", "--pace", "held"),
])
def test_a_mistake_of_the_user_is_one_line_and_exit_code_2(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert re.fullmatch(r"[^\x00-\x09\x0b-\x1f]+\n", err)


def test_a_mistake_is_a_mistake_for_the_shell_too(drill: Drill) -> None:
    assert "see drill --help" in one_line(drill("fyl"))


def test_an_unknown_scenario_is_answered_with_the_nearest_name(drill: Drill) -> None:
    assert TALLOWBY in one_line(drill("fly", "cruise-to-talowby"))


def test_every_fault_of_a_scenario_has_its_line_and_column(drill: Drill, tmp_path: Path) -> None:
    (tmp_path / "broken.yaml").write_text("drill: 1\nboard titel: X\nminutes: soon\n", encoding="utf-8")
    done = drill("fly", "broken.yaml")
    assert done.returncode == 2
    assert done.stdout == ""
    for line in done.stderr.splitlines():
        assert re.match(r"broken\.yaml:\d+:\d+: .+", line), line


def test_of_more_than_200_mistakes_the_rest_is_counted(drill: Drill, tmp_path: Path) -> None:
    (tmp_path / "broken.yaml").write_text("".join(f"key {number}: 1\n" for number in range(1_000)), encoding="utf-8")
    said = drill("fly", "broken.yaml").stderr.splitlines()
    assert len(said) == 201
    assert re.fullmatch(r"\.\.\. and 8\d\d more; mend these first", said[-1])


def test_the_warnings_of_a_file_are_said_and_it_is_flown(drill: Drill, short: Path, tmp_path: Path) -> None:
    text = short.read_text(encoding="utf-8")
    (tmp_path / "mine.yaml").write_text(
        text.replace("endings:\n", "endings:\n  home: {outcome: safe, tell: Home.}\n", 1), encoding="utf-8")
    done = drill("fly", "mine.yaml", typed="quit\nquit\n")
    assert done.returncode == 0
    assert re.fullmatch(r"mine\.yaml:\d+:\d+: warning: ending `home` is used by no branch; .+\n", done.stderr)


@pytest.mark.long
def test_a_file_of_50_megabytes_is_refused_at_once(drill: Drill, tmp_path: Path) -> None:
    with (tmp_path / "big.yaml").open("wb") as file:
        file.write(b"drill: 1\n" + b"# filling\n" * 5_000_000)
    started = time.monotonic()
    done = drill("fly", "big.yaml")
    took = time.monotonic() - started
    idle = time.monotonic()
    drill("list")
    assert one_line(done)
    assert took < time.monotonic() - idle + 1.0


# --- flights by script and pipe --------------------------------------------------------------------


def test_a_script_flies_to_the_end_and_is_debriefed(flown: Flown) -> None:
    done = flown.done
    assert done.stderr == ""
    said = joined(done.stdout)
    assert "Your hands hold what you order" in said
    assert "> check the suction gauge" in done.stdout
    assert re.search(r"^0:1\d Suction: \d", done.stdout, re.MULTILINE | re.IGNORECASE)
    assert "The flight is over." in said
    for caution in CAUTIONS:
        assert said.count(caution) >= 2, "in the briefing and in the debrief"


def test_the_record_goes_to_the_data_folder_and_its_path_is_said(flown: Flown) -> None:
    assert flown.record.is_relative_to(flown.home)
    assert re.fullmatch(rf"\d{{4}}-\d\d-\d\d-{TALLOWBY}-7\.jsonl", flown.record.name)
    assert flown.record.exists()


@pytest.mark.long
def test_the_journal_of_flights_has_its_ending_and_its_score(drill: Drill, flown: Flown) -> None:
    debrief = json.loads(drill("debrief", flown.record, "--json").stdout)
    (attempt,) = attempts(flights_of(flown.home))
    assert (attempt.record, attempt.scenario, attempt.board_title, attempt.seed, attempt.ended) == (
        flown.record, TALLOWBY, debrief["board_title"], 7, True)
    assert (attempt.outcome, attempt.score) == (debrief["ending"]["outcome"], debrief["score"])
    assert flown.record.name.startswith(attempt.began.split("T")[0])


def test_before_the_end_nothing_hidden_is_said(flown: Flown) -> None:
    said, told = flown.done.stdout.split("The flight is over.")
    for hidden in ("Suction lost in cloud", "shaft", "shears", "Stop following"):
        assert hidden not in said
    assert "Suction lost in cloud" in told


@pytest.mark.long
def test_the_same_seed_and_script_give_the_same_words(drill: Drill, flown: Flown, short: Path) -> None:
    again = drill("fly", short, "--seed", "7", "--script", flown.script)
    assert again.stdout.splitlines()[:-1] == flown.done.stdout.splitlines()[:-1]


def test_rows_are_no_wider_than_78_columns_and_those_of_the_debrief_80(flown: Flown) -> None:
    rows = flown.done.stdout.splitlines()[:-1]
    debriefed = next(number for number, row in enumerate(rows) if row.startswith("DEBRIEF"))
    assert max(map(len, rows[: debriefed - 5])) <= 78
    assert max(map(len, rows)) <= 80


def test_by_turns_time_moves_only_with_acts(drill: Drill) -> None:
    done = drill("fly", TALLOWBY, "--seed", "7", typed="time\ntime\nwait 30 seconds\ntime\nquit\nquit\n")
    times = re.findall(r"^Flight time (\d+:\d\d)\.", done.stdout, re.MULTILINE)
    assert times == ["0:00", "0:00", "0:30"]
    assert done.returncode == 0


def test_the_words_of_the_face_are_answered(drill: Drill) -> None:
    done = drill("fly", TALLOWBY, "--seed", "7", typed=(
        "repeat\nlog\ncautions\nhelp\npause\nlevel wings\ngo on\ngo on\nquit\nno\nquit\nquit\n"
    ))
    said = joined(done.stdout)
    assert "Attitude indicator: " in said
    assert "Nothing has been said to you yet." in said
    assert "The radio has been quiet." in said
    assert "Type what you do, in plain words" in said
    assert "Paused. Type go on first." in said
    assert "Flying on." in said
    assert "It is not paused." in said
    assert said.count("Leave the flight?") == 2
    assert re.search(r"Left at 0:00\. Fly on with: drill resume \S+\.jsonl\b", said)


def test_a_look_at_the_whole_panel_takes_its_time_and_is_in_the_record(drill: Drill, tmp_path: Path) -> None:
    record = tmp_path / "panel.jsonl"
    done = drill("fly", TALLOWBY, "--seed", "7", "--record", record, typed="panel\ntime\nquit\nquit\n")
    assert done.stdout.count("Attitude indicator: ") == 2, "once free of charge as the flight begins, once asked for"
    assert re.search(r"^Flight time 0:05\.", done.stdout, re.MULTILINE)
    events = [json.loads(line) for line in record.read_text(encoding="utf-8").splitlines()]
    acts = [event["act"] for event in events if event["kind"] == "acted"]
    assert acts == [{"action": "look", "at": "panel"}]


def test_a_call_by_turns_is_answered_before_the_next_line(drill: Drill) -> None:
    call = "say Orrinfell Approach, Larkspur 5304W, say altimeter"
    done = drill("fly", TALLOWBY, "--seed", "7", typed=f"{call}\nquit\nquit\n")
    said = done.stdout[done.stdout.index("> say Orrinfell"):]
    assert re.search(r"^0:\d\d Orrinfell Approach: ", said, re.MULTILINE)


@pytest.mark.long
def test_a_line_that_is_not_understood_costs_no_time(drill: Drill) -> None:
    done = drill("fly", TALLOWBY, "--seed", "7", typed="flibber the wozzle\ntime\nquit\nquit\n")
    assert re.search(r"^Flight time 0:00\.", done.stdout, re.MULTILINE)


@pytest.mark.long
def test_when_a_pipe_ends_the_flight_flies_on_to_its_ending(drill: Drill, short: Path) -> None:
    done = drill("fly", short, "--seed", "7", typed="check the suction gauge\n")
    assert done.returncode == 0
    assert "The flight is over." in done.stdout


def test_a_script_with_a_mistake_is_named_with_its_line(drill: Drill, tmp_path: Path) -> None:
    (tmp_path / "wrong.txt").write_text("0:10 look outside\nsoon level wings\n", encoding="utf-8")
    assert "wrong.txt:2" in one_line(drill("fly", TALLOWBY, "--script", "wrong.txt"))


def test_a_record_is_never_overwritten(drill: Drill, flown: Flown) -> None:
    before = flown.record.read_bytes()
    done = drill("fly", TALLOWBY, "--seed", "7", "--script", flown.script, "--record", flown.record)
    assert flown.record.name in one_line(done)
    assert flown.record.read_bytes() == before


@pytest.mark.long
def test_a_record_that_cannot_be_written_is_said_in_one_line(drill: Drill, flown: Flown) -> None:
    done = drill("fly", TALLOWBY, "--script", flown.script, "--record", "nowhere/flight.jsonl")
    assert "nowhere" in one_line(done)
    assert done.stdout == "", "found before the briefing"


@pytest.mark.parametrize(("record", "words"), [
    ("", "--record: it is empty; the name of a file is wanted"), (".", "this is a folder"),
    pytest.param("x" * 300, "name another file", marks=pytest.mark.long),
])
def test_what_can_be_no_record_is_said_before_the_briefing(drill: Drill, record: str, words: str) -> None:
    done = drill("fly", TALLOWBY, "--record", record)
    assert words in one_line(done)
    assert done.stdout == ""


def test_a_data_folder_that_cannot_be_made_is_said_with_what_to_do(
    environment: dict[str, str], tmp_path: Path
) -> None:
    (tmp_path / "taken").write_text("")
    done = run(["fly", TALLOWBY], environment | {"XDG_DATA_HOME": str(tmp_path / "taken")}, tmp_path)
    assert "name a file with --record" in one_line(done)
    assert done.stdout == ""


@pytest.mark.long
def test_a_script_and_a_record_are_regular_files(drill: Drill, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for arguments in (("debrief",), ("replay",), ("resume",), ("fly", TALLOWBY, "--script")):
        assert "no regular file" in one_line(drill(*arguments, "pipe"))


def test_a_file_name_that_is_no_text_does_no_harm(drill: Drill, short: Path, tmp_path: Path) -> None:
    odd = tmp_path / os.fsdecode(b"sh\xffort\xfe.yaml")
    odd.write_bytes(short.read_bytes())
    done = drill("fly", odd, "--seed", "7", typed="wait 5 seconds\nquit\nquit\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert "short-7.jsonl" in done.stdout


@pytest.mark.long
def test_a_record_that_comes_out_differently_ends_with_1(drill: Drill, flown: Flown, tmp_path: Path) -> None:
    text = flown.record.read_text(encoding="utf-8")
    assert '"line":"check the suction gauge"' in text
    (tmp_path / "other.jsonl").write_text(
        text.replace('"line":"check the suction gauge"', '"line":"check the compass"'), encoding="utf-8")
    done = drill("replay", "other.jsonl")
    assert done.returncode == 1
    assert "not identical" in joined(done.stdout)


@pytest.mark.long
def test_the_debrief_of_a_flight_that_can_be_flown_on_warns_first(drill: Drill, flown: Flown) -> None:
    drill("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl", typed="wait 5 seconds\nquit\nquit\n")
    first = drill("debrief", "f.jsonl").stdout.splitlines()[0]
    assert first == "This flight has not ended; the debrief tells what failed. To fly on: drill resume f.jsonl"
    assert "has not ended" not in drill("debrief", flown.record).stdout


@pytest.mark.parametrize("yes", ["yes", pytest.param("quit", marks=pytest.mark.long),
                                 pytest.param("y", marks=pytest.mark.long),
                                 pytest.param("exit", marks=pytest.mark.long)])
def test_quit_is_confirmed_by_yes_or_quit(drill: Drill, yes: str) -> None:
    done = drill("fly", TALLOWBY, "--seed", "7", typed=f"quit\nno\nquit\n{yes}\npanel\n")
    assert done.stdout.count("Leave the flight?") == 2
    assert "Still flying." in done.stdout
    assert done.stdout.count("Attitude indicator: ") == 1, "it is left, so the line after it is not read"


# --- afterwards ------------------------------------------------------------------------------------


@pytest.mark.long
def test_the_debrief_of_a_record_is_the_one_told_after_the_flight(drill: Drill, flown: Flown) -> None:
    told = drill("debrief", flown.record).stdout
    assert len(told.splitlines()) > 20
    assert told.strip() in flown.done.stdout


@pytest.mark.long
def test_the_debrief_for_programs_has_its_keys(drill: Drill, flown: Flown) -> None:
    done = drill("debrief", flown.record, "--json")
    assert done.returncode == 0
    debrief = json.loads(done.stdout)
    assert {"scenario", "seed", "ending", "score", "parts", "unsafe_acts", "findings"} <= debrief.keys()
    assert debrief["scenario"] == TALLOWBY
    assert debrief["seed"] == 7
    assert {"id", "outcome"} <= debrief["ending"].keys()
    assert set(debrief["parts"]) == {"aviate", "decide", "communicate", "recognize", "manage"}
    assert debrief["findings"]
    assert all({"item", "verdict", "at_s", "reason", "source"} <= finding.keys() for finding in debrief["findings"])


def test_a_record_flown_again_is_identical(replayed: str) -> None:
    assert "> check the suction gauge" in replayed
    assert "identical" in replayed
    assert "not identical" not in replayed


def test_a_flight_told_again_reads_as_it_was_told(flown: Flown, replayed: str) -> None:
    def stamped(text: str) -> list[str]:
        return [row for row in text.splitlines() if re.match(r"\d+:\d\d [>A-Z]", row) and "indicator: " not in row]

    told = stamped(flown.done.stdout.split("The flight is over.")[0])
    again = stamped(replayed.split("The flight is over.")[0])
    assert len(told) > 10
    assert set(again) <= set(told)


@pytest.mark.long
def test_a_flight_that_was_left_can_be_resumed_and_debriefed(
    drill: Drill, short: Path, environment: dict[str, str], tmp_path: Path
) -> None:
    left = drill("fly", short, "--seed", "7", "--record", "f.jsonl", typed="wait 40 seconds\nquit\nquit\n")
    assert left.returncode == 0
    assert "The flight is over." not in left.stdout
    journal = flights_of(Path(environment["HOME"]))
    cut = drill("debrief", "f.jsonl", "--json")
    assert json.loads(cut.stdout)["complete"] is False
    (attempt,) = attempts(journal)
    assert (attempt.record, attempt.ended, attempt.outcome, attempt.score) == (tmp_path / "f.jsonl", False, "", None)
    resumed = drill("resume", "f.jsonl", typed="time\ncheck the suction gauge\n")
    assert resumed.returncode == 0, resumed.stderr
    assert re.search(r"^Flight time 0:4\d\.", resumed.stdout, re.MULTILINE)
    assert "The flight is over." in resumed.stdout
    debrief = json.loads(drill("debrief", "f.jsonl", "--json").stdout)
    assert debrief["complete"] is True
    (attempt,) = attempts(journal)
    assert (attempt.ended, attempt.outcome, attempt.score) == (True, debrief["ending"]["outcome"], debrief["score"])


def test_where_no_journal_can_be_kept_a_flight_is_flown_all_the_same(
    drill: Drill, environment: dict[str, str], tmp_path: Path
) -> None:
    Path(environment["XDG_DATA_HOME"]).write_text("in the way", encoding="utf-8")
    done = drill("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl", typed="wait 5 seconds\nquit\nyes\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "f.jsonl").exists()


@pytest.mark.long
def test_a_flight_that_is_over_cannot_be_resumed(drill: Drill, flown: Flown) -> None:
    before = flown.record.read_bytes()
    assert flown.record.name in one_line(drill("resume", flown.record))
    assert flown.record.read_bytes() == before


@pytest.mark.parametrize("content", [
    b"", b"\n", b"{}\n", b"not a record\n", b"\x00\xff\xfe", b'{"kind": "header"}\n', b"[" * 100_000, b'"\xed\xa0\x80"',
    b'{"kind": "header", "edition": 999}\n',
])
def test_what_is_no_record_is_refused_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    path = tmp_path / "odd.jsonl"
    path.write_bytes(content)
    for name in ("debrief", "replay", "resume"):
        assert main([name, str(path)]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert "odd.jsonl" in err
        assert err.count("\n") == 1
    assert path.read_bytes() == content


# --- ended from outside ----------------------------------------------------------------------------


def start(environment: dict[str, str], folder: Path) -> subprocess.Popen[str]:
    """Start a flight with a running clock and wait until it has been recorded for some seconds."""
    flying = subprocess.Popen(
        command(["fly", TALLOWBY, "--seed", "7", "--pace", "running", "--record", "f.jsonl"]),
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, cwd=folder,
    )
    assert flying.stdin is not None
    flying.stdin.write("check the suction gauge\n")
    flying.stdin.flush()
    until = time.monotonic() + 30
    while time.monotonic() < until:
        path = folder / "f.jsonl"
        if path.exists() and path.read_bytes().count(b'"trace"') >= 3:
            return flying
        time.sleep(0.05)
    flying.kill()
    raise AssertionError(flying.communicate())


@pytest.mark.long
def test_a_flight_that_was_killed_can_be_debriefed_and_resumed(
    drill: Drill, environment: dict[str, str], tmp_path: Path
) -> None:
    flying = start(environment, tmp_path)
    flying.kill()
    flying.communicate()
    cut = drill("debrief", "f.jsonl", "--json")
    assert cut.returncode == 0, cut.stderr
    debrief = json.loads(cut.stdout)
    assert debrief["complete"] is False
    assert debrief["flown_s"] >= 2
    resumed = drill("resume", "f.jsonl", typed="wait 20 seconds\nquit\nquit\n")
    assert resumed.returncode == 0, resumed.stderr
    assert json.loads(drill("debrief", "f.jsonl", "--json").stdout)["flown_s"] >= 20


@pytest.mark.parametrize(("number", "code"), [
    (signal.SIGTERM, 143), *(pytest.param(number, code, marks=pytest.mark.long) for number, code in (
        (signal.SIGINT, 130), (signal.SIGHUP, 129), (signal.SIGQUIT, 131))),
])
def test_a_flight_ended_by_a_signal_says_where_its_record_is(
    environment: dict[str, str], tmp_path: Path, number: signal.Signals, code: int
) -> None:
    flying = start(environment, tmp_path)
    flying.send_signal(number)
    _, said = flying.communicate(timeout=20)
    assert flying.returncode == code
    assert "f.jsonl" in said
    assert "Traceback" not in said


@pytest.mark.long
def test_a_reader_that_goes_away_in_mid_flight_is_told_where_the_record_is(
    environment: dict[str, str], tmp_path: Path
) -> None:
    reading, writing = os.pipe()
    flying = subprocess.Popen(
        command(["fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl"]),
        stdin=subprocess.DEVNULL, stdout=writing, stderr=subprocess.PIPE, env=environment, cwd=tmp_path,
    )
    os.close(writing)
    said_so_far = b""
    while b"Attitude indicator: " not in said_so_far:
        said_so_far += os.read(reading, 1_000)
    os.close(reading)
    _, said = flying.communicate(timeout=60)
    assert (flying.returncode, said.count(b"\n")) == (141, 1)
    assert b"f.jsonl" in said


@pytest.mark.long
def test_a_reader_that_goes_away_from_a_debrief_is_no_fault(environment: dict[str, str], flown: Flown) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        command(["debrief", flown.record]), stdout=writing, stderr=subprocess.PIPE, env=environment, check=False,
        timeout=60,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.long
def test_an_ascii_terminal_is_no_fault(environment: dict[str, str], flown: Flown) -> None:
    done = subprocess.run(
        command(["debrief", flown.record]), capture_output=True, check=False, timeout=60,
        env=environment | {"PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 0
    assert done.stdout.isascii()


@pytest.mark.long
def test_json_is_valid_whatever_the_encoding_and_whatever_was_typed(
    drill: Drill, environment: dict[str, str], tmp_path: Path
) -> None:
    said = "I think the “pump” …\U00010348 failed"
    drill("fly", TALLOWBY, "--seed", "7", "--record", "f.jsonl", typed="wait 5 seconds\nquit\nyes\n")
    reflected = {"t": 5.0, "question": "What failed, if anything?", "answer": said, "kind": "reflected"}
    with (tmp_path / "f.jsonl").open("a", encoding="utf-8") as record:
        record.write(json.dumps(reflected) + "\n")
    for encoding in ("ascii", "latin-1", "cp1252", "utf-8"):
        done = subprocess.run(
            command(["debrief", tmp_path / "f.jsonl", "--json"]), capture_output=True, check=False, timeout=60,
            env=environment | {"PYTHONIOENCODING": encoding},
        )
        assert done.stdout.isascii()
        assert said in json.loads(done.stdout)["answers"][0]


@pytest.mark.parametrize("closed", ["<&- >&- 2>&-", pytest.param(">&-", marks=pytest.mark.long),
                                    pytest.param("<&-", marks=pytest.mark.long),
                                    pytest.param("2>&-", marks=pytest.mark.long)])
def test_closed_streams_are_no_fault(environment: dict[str, str], closed: str) -> None:
    shell = f"{' '.join(map(shlex.quote, command([])))} {closed}"
    done = subprocess.run(["/bin/sh", "-c", shell], capture_output=True, check=False, env=environment, timeout=60)
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr
