"""`drill room` as its user starts it: what is said, what is refused, an evening by lines that goes on after a kill."""

from __future__ import annotations

import asyncio
import builtins
import signal
import stat
import subprocess
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from room.net_room import served

from drill import cli
from drill.room.headless import facilitate
from drill.room.keeping import read_evening
from drill.scenario import find

ROOM = [sys.executable, "-m", "drill", "room"]


@pytest.mark.parametrize(("arguments", "said"), [
    ([], "name a scenario"),
    (["cruise-to-tallowby", "--resume", "x"], "name a scenario"),
    (["no-such-scenario"], "no-such-scenario"),
    (["--resume", "no-such-file.jsonl"], "no-such-file.jsonl"),
    (["cruise-to-tallowby", "--port", "70000"], "a whole number from 0 to 65535"),
    (["cruise-to-tallowby", "--plan", "5/25"], "5/25/15"),
    (["cruise-to-tallowby", "--plan", "0/25/15"], "5/25/15"),
    (["cruise-to-tallowby", "--record", "/no/such/folder/e.jsonl"], "there is no folder"),
    (["cruise-to-tallowby", "--host", "not a host", "--headless"], "nothing can be served"),
])
def test_a_mistake_is_said_in_a_line_and_nothing_is_begun(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert cli.main(["room", *arguments]) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert "Traceback" not in told.err


def test_a_scenario_with_mistakes_is_refused_with_their_places(
    tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    broken = tmp_path / "broken.yaml"
    sound = find("cruise-to-tallowby").read_text(encoding="utf-8")
    broken.write_text(sound.replace("weather:", "whether:", 1), encoding="utf-8")
    assert cli.main(["room", str(broken)]) == 2
    assert f"{broken}:" in capsys.readouterr().err


def test_without_its_libraries_it_says_what_to_install(capsys: pytest.CaptureFixture[str],
                                                       monkeypatch: pytest.MonkeyPatch) -> None:
    from importlib import util

    real = util.find_spec
    monkeypatch.setattr(util, "find_spec", lambda name, *rest: None if name == "segno" else real(name, *rest))
    assert cli.main(["room", "cruise-to-tallowby"]) == 2
    assert "a room needs segno; install with: pip install 'drill[room]'" in capsys.readouterr().err


def test_the_command_line_loads_no_server_for_its_help(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def careful(name: str, *rest: object) -> object:
        assert name.split(".")[0] not in ("aiohttp", "segno", "itsdangerous", "textual"), name
        return real(name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", careful)
    assert cli.main(["room", "--help"]) == 0


class Lines:
    """A room run by lines, in a process of its own."""

    def __init__(self, *arguments: str) -> None:
        self.process = subprocess.Popen([*ROOM, *arguments, "--headless", "--host", "127.0.0.1", "--port", "0"],
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                                        text=True)
        self.said: list[str] = []

    def until(self, words: str) -> str:
        """Return the next line that has these words."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said.append(line)
            if words in line:
                return line
        raise AssertionError(f"{words!r} was never said: {''.join(self.said)}")

    def type(self, line: str, *then: str) -> None:
        """Type a line, and wait for what is said then."""
        assert self.process.stdin is not None
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()
        for words in then:
            self.until(words)


@pytest.mark.long    # two whole starts of the program
def test_an_evening_by_lines_is_killed_and_taken_up_again_and_a_signal_ends_it_in_order(tmp_path: Path) -> None:
    record = tmp_path / "evening.jsonl"
    room = Lines("cruise-to-tallowby", "--no-phones", "--seed", "1", "--record", str(record))
    try:
        room.until("/wall?key=")
        key = room.said[-1]
        room.until("help lists them")
        assert "Phones open" not in "".join(room.said)
        room.type("brief", "Done.")
        room.type("poll", "is open")
        room.type("hands a=5 b=2", "Done.")
        room.type("nonsense", "is no command")
        room.type("advance 10", "poll")
        room.process.kill()
        room.process.communicate(timeout=20)
        assert stat.S_IMODE(record.stat().st_mode) == 0o600
        assert stat.S_IMODE(record.with_suffix(".key").stat().st_mode) == 0o600
        assert key.split("key=")[1].strip() not in record.read_text(encoding="utf-8")
        room = Lines("--resume", str(record))
        assert room.until("/wall?key=").split("key=")[1] == key.split("key=")[1]
        room.type("where", "a 5 (")
        room.type("close", "Done.")
        room.process.send_signal(signal.SIGTERM)
        room.until("Take it up again with")
        assert room.process.wait(20) == 128 + signal.SIGTERM
    finally:
        room.process.kill()
        room.process.communicate()
    held = read_evening(record).evening.polls[0]
    assert (dict(held.hands), held.closed) == ({"a": 5, "b": 2}, True)


async def said_to(lines: list[str], folder: Path) -> list[str]:
    """Return what is said to these lines of a facilitator."""
    async def typed() -> AsyncIterator[str]:
        for each in lines:
            yield each
            await asyncio.sleep(0)

    said: list[str] = []
    async with served(folder) as room:
        await room.phone("<b>Robin", "2")
        await facilitate(room.host, typed(), said.append)
    return said


@pytest.mark.parametrize(("hands", "told"), [("a=6 b=2 c=1", " 0 votes and 9 hands. a 6 ("),
                                             ("b=1", " 0 votes and 1 hand. a 0 ("), ("a=0", " 0 votes. a 0 (")])
async def test_hands_that_were_raised_are_told_apart_from_votes(tmp_path: Path, hands: str, told: str) -> None:
    said = await said_to(["brief", "poll", f"hands {hands}", "where"], tmp_path)
    assert [each for each in said if told in each], said


async def test_lines_are_answered_one_by_one_and_nothing_after_quit_is_read(tmp_path: Path) -> None:
    said = await said_to(["# a note", "", "who", "where", "brief", "brief", "wait 0:00", "wait a bit", "\x1b[2Jend it",
                          "quit", "end"], tmp_path)
    assert said[0] == "#1 <b>Robin, table 2"
    assert "lobby, 1 in the room" in said[1]
    assert "Done." in said
    assert "Not now: the briefing. Let the flight begin first (fly)." in said
    assert not [each for each in said if "\x1b" in each]
    assert read_evening(tmp_path / "evening.jsonl").evening.stage == "brief"
