"""An author's commands as they are run: exit codes, formats, watching, writing, and a flight from a phase on."""

from __future__ import annotations

import gc
import json
import os
import pty
import select
import signal
import subprocess
import time
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from program import TALLOWBY, Drill, command

from drill.cli import main
from drill.plain.out import Out
from drill.plain.paint import wants_colour

GOLDEN = Path(__file__).parent.parent / "golden" / "problems"
SOUND = Path(__file__).parent.parent / "check" / "whole.yaml"


def test_a_check_that_ends_at_once_leaves_the_search_for_garbage_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(SOUND)]) == 0
    assert gc.isenabled()


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ((SOUND,), 0),
        (("--strict", SOUND), 0),
        ((GOLDEN / "tab.yaml",), 1),
        ((GOLDEN / "phase-never-reached.yaml",), 0),
        (("--strict", GOLDEN / "phase-never-reached.yaml"), 1),
        (("nowhere.yaml",), 2),
        (("--format", "xml"), 2),
        (("--explain", "tab"), 0),
        (("--explain", "all"), 0),
        (("--explain", "nonsense"), 2),
        ((SOUND, GOLDEN / "tab.yaml"), 1),
        (("--format", "json", GOLDEN / "tab.yaml"), 1),
        (("--format", "github", SOUND), 0),
    ],
)
def test_the_exit_code_says_whether_there_are_faults(
    arguments: tuple[object, ...],
    code: int,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", *map(str, arguments)]) == code
    out, err = capsys.readouterr()
    assert (err == "") is (code != 2)
    assert "\x1b" not in out + err


def test_for_programs_everything_is_said_in_json_and_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--format", "json", str(GOLDEN / "many-at-once.yaml"), str(SOUND)])
    read = json.loads(capsys.readouterr().out)
    assert [each["faults"] for each in read["documents"]] == [12, 0]
    assert len(read["problems"]) == 12


def test_for_a_review_each_fault_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--format", "github", str(GOLDEN / "many-at-once.yaml")])
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 12
    assert all(line.startswith("::error file=") for line in lines)


def test_escape_codes_in_a_document_and_in_its_name_reach_no_terminal(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    odd = tmp_path / "o\x1b[31mdd.yaml"
    odd.write_text(SOUND.read_text(encoding="utf-8").replace("pump, how", "pump\\u001b[2J, how"), encoding="utf-8")
    for form in ("text", "github", "json"):
        main(["check", "--format", form, str(odd)])
        said = "".join(capsys.readouterr())
        assert said
        assert "\x1b" not in said


class _Terminal:
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("environment", "colour"),
    [
        ({"TERM": "xterm"}, True),
        ({"TERM": "dumb"}, False),
        ({"TERM": ""}, False),
        ({"TERM": "xterm", "NO_COLOR": "1"}, False),
        ({"TERM": "xterm", "NO_COLOR": ""}, True),
    ],
)
def test_colour_is_for_a_terminal_that_has_it_unless_nobody_wants_it(
    environment: dict[str, str],
    colour: bool,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert wants_colour(_Terminal()) is colour  # type: ignore[arg-type]
    assert not wants_colour(None)


def test_a_colour_is_put_around_clean_text_and_is_nothing_but_a_colour(capsys: pytest.CaptureFixture[str]) -> None:
    import sys

    Out(sys.stdout).coloured([("a\x1b[2Jb", "1;31"), (" c", "")])
    assert capsys.readouterr().out == "\x1b[1;31ma[2Jb\x1b[0m c\n"
    with pytest.raises(ValueError, match="digits"):
        Out(sys.stdout).coloured([("a", "2J\x1b[")])


@pytest.mark.parametrize(("no_colour", "coloured"), [("", True), ("1", False)])
def test_a_terminal_gets_colour_and_the_one_that_wants_none_does_not(
    environment: dict[str, str],
    no_colour: str,
    coloured: bool,
) -> None:
    said = on_a_terminal(["check", str(GOLDEN / "tab.yaml")], environment | {"TERM": "xterm", "NO_COLOR": no_colour})
    assert "tab.yaml:18:1" in said
    assert ("\x1b[" in said) is coloured


def on_a_terminal(
    arguments: list[str], environment: dict[str, str], typed: str = "", folder: Path | None = None
) -> str:
    """What the program says at a terminal."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        command(arguments), stdin=theirs, stdout=theirs, stderr=theirs, env=environment, cwd=folder
    ) as running:
        os.close(theirs)
        if typed:
            os.write(ours, typed.encode())
        said = b""
        while True:
            try:
                read = os.read(ours, 65_536)
            except OSError:
                break
            if not read:
                break
            said += read
        running.wait(60)
    os.close(ours)
    return said.decode("utf-8", "replace")


# --- watching --------------------------------------------------------------------------------------


class Watching:
    """`drill check --watch FILE`, running."""

    def __init__(self, path: Path, environment: dict[str, str]) -> None:
        self.running = subprocess.Popen(
            command(["check", "--watch", path]), stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
        )
        self.said = b""

    def until(self, words: bytes, times: int = 1) -> float:
        """Wait until so many `words` have been said; return the seconds that it took."""
        began = time.monotonic()
        assert self.running.stdout is not None
        while self.said.count(words) < times:
            assert time.monotonic() - began < 60, self.said
            if select.select([self.running.stdout], [], [], 1.0)[0]:
                self.said += os.read(self.running.stdout.fileno(), 65_536)
        return time.monotonic() - began

    def interrupted(self) -> tuple[int, bytes]:
        self.running.send_signal(signal.SIGINT)
        _, err = self.running.communicate(timeout=30)
        return self.running.returncode, err


@pytest.mark.long
def test_a_save_is_checked_at_once_a_moment_without_the_file_is_borne_and_ctrl_c_is_quiet(
    tmp_path: Path,
    environment: dict[str, str],
) -> None:
    path = tmp_path / "a.yaml"
    text = SOUND.read_text(encoding="utf-8")
    path.write_text(text, encoding="utf-8")
    watching = Watching(path, environment)
    watching.until(b"nothing is wrong")
    path.write_text(text.replace("5000 ft", "5000 m"), encoding="utf-8")
    watching.until(b"wrong-unit")
    path.unlink()
    time.sleep(0.3)
    path.write_text(text, encoding="utf-8")
    watching.until(b"nothing is wrong", 2)
    assert b"unreadable" not in watching.said
    assert watching.interrupted() == (0, b"")


@pytest.mark.long
def test_a_file_that_is_gone_is_told_and_found_again(tmp_path: Path, environment: dict[str, str]) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(SOUND.read_text(encoding="utf-8"), encoding="utf-8")
    watching = Watching(path, environment)
    watching.until(b"nothing is wrong")
    path.unlink()
    watching.until(b"unreadable-file")
    path.write_text(SOUND.read_text(encoding="utf-8"), encoding="utf-8")
    watching.until(b"nothing is wrong", 2)
    assert watching.interrupted() == (0, b"")


# --- writing ---------------------------------------------------------------------------------------


@pytest.mark.long
def test_a_scenario_is_written_once_and_never_over_another_file(drill: Drill, tmp_path: Path) -> None:
    done = drill("new", "--board-title", "Home before dark", "--failure", "alternator/quits")
    assert (done.returncode, done.stderr) == (0, "")
    path = tmp_path / "home-before-dark.yaml"
    before = path.read_bytes()
    assert drill("check", "--strict", path).returncode == 0
    again = drill("new", path, "--failure", "engine/stops")
    assert again.returncode == 2
    assert "exists already" in again.stderr
    assert path.read_bytes() == before
    assert drill("new", "no/folder.yaml").returncode == 2


def test_a_title_that_gives_the_flight_away_is_written_and_told_of(drill: Drill) -> None:
    done = drill("new", "--board-title", "Alternator failure at night", "--failure", "alternator/quits")
    assert done.returncode == 0
    assert "Mind: `board title` says `failure`" in done.stdout


def test_at_a_terminal_what_no_flag_says_is_asked(tmp_path: Path, environment: dict[str, str]) -> None:
    said = on_a_terminal(
        ["new", "--failure", "vacuum pump/weakens"], environment, "Home again\nwexley-260\n\n", tmp_path
    )
    assert "What is the flight called?" in said
    assert "What fails?" not in said
    text = (tmp_path / "home-again.yaml").read_text(encoding="utf-8")
    assert "board title: Home again\n" in text
    assert "airplane: wexley-260\n" in text


@pytest.mark.long
def test_a_wish_that_cannot_be_met_is_one_line_and_writes_nothing(drill: Drill, tmp_path: Path) -> None:
    for arguments in (
        ("--failure", "engine"),
        ("--failure", "autopilot/runs away"),
        ("--airplane", "none"),
        ("--board-title", "x" * 90),
    ):
        done = drill("new", "a.yaml", *arguments)
        assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
        assert not (tmp_path / "a.yaml").exists()


# --- schema, and a phase ---------------------------------------------------------------------------


@pytest.mark.parametrize("document", [(), ("scenario",), ("airplane",)])
def test_the_schema_is_printed_as_json(document: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", *document]) == 0
    Draft202012Validator.check_schema(json.loads(capsys.readouterr().out))


@pytest.mark.long
def test_a_flight_from_a_phase_says_so_and_its_record_too(drill: Drill, tmp_path: Path) -> None:
    done = drill(
        "fly", TALLOWBY, "--from", "helped", "--seed", "7", "--record", "f.jsonl", typed="wait 5 seconds\nquit\nyes\n"
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert 'Taken up in phase "helped". Begun by then: pump' in done.stdout
    assert "taken up: {phase:" in (tmp_path / "f.jsonl").read_text(encoding="utf-8")
    assert drill("replay", "f.jsonl").returncode == 0
    wrong = drill("fly", TALLOWBY, "--from", "helpd")
    assert wrong.returncode == 2
    assert "the nearest known word is `helped`" in wrong.stderr
