"""Grading in a process of its own: what comes back is what grading here would give, and nothing is left behind."""

from __future__ import annotations

import asyncio
import gc
import subprocess
import sys
from asyncio.subprocess import Process
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from cockpit.debriefed import ended_record

from drill.cockpit.debrief.grading_apart import Grading, GradingError
from drill.cockpit.debrief.grading_process import answer
from drill.cockpit.debrief.pieces import from_data


@pytest.fixture
def processes(monkeypatch: pytest.MonkeyPatch) -> list[Process]:
    """The processes that are started, as they come."""
    begun: list[Process] = []
    really = asyncio.create_subprocess_exec

    async def start(*arguments: Any, **options: Any) -> Process:
        begun.append(await really(*arguments, **options))
        return begun[-1]

    monkeypatch.setattr(asyncio, "create_subprocess_exec", start)
    return begun


def instead_of_python(folder: Path, monkeypatch: pytest.MonkeyPatch, does: str) -> None:
    program = folder / "python"
    program.write_text(f"#!/bin/sh\n{does}\n", encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(program))


@pytest.mark.long
async def test_what_the_process_says_is_what_grading_here_gives(tmp_path: Path) -> None:
    record = ended_record(tmp_path)
    assert await Grading(record).begin().told() == from_data(answer("told", record)["told"])


@pytest.mark.parametrize("said", ["", "[]", "{}", '{"told": 3}', '{"told": {"parts": {}}}', '{"text": null}'])
async def test_an_answer_that_is_none_ends_as_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: str,
) -> None:
    instead_of_python(tmp_path, monkeypatch, f"echo '{said}'")
    grading = Grading(Path("flight.jsonl"))
    for asked in (grading.told, partial(grading.text, "html"), partial(grading.sides_text, "html", 30.0)):
        with pytest.raises(GradingError, match=r"broke off before it was done; .*: drill debrief flight\.jsonl"):
            await asked()


async def test_grading_that_failed_can_be_asked_for_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    grading = Grading(Path("flight.jsonl"))
    with monkeypatch.context() as without:
        without.setattr(sys, "executable", str(tmp_path / "none"))
        with pytest.raises(GradingError, match="could not be begun"):
            await grading.text("txt")
    instead_of_python(tmp_path, monkeypatch, """echo '{"text": "a b"}'""")
    assert await grading.text("txt") == "a b"


@pytest.mark.parametrize("running", [False, True])
async def test_grading_that_is_left_leaves_no_process(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, processes: list[Process], running: bool,
) -> None:
    instead_of_python(tmp_path, monkeypatch, "exec sleep 60")
    grading = Grading(Path("flight.jsonl")).begin()
    waiting = asyncio.create_task(grading.told())
    await asyncio.sleep(0)
    while running and not processes:
        await asyncio.sleep(0)
    await grading.leave()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    assert [process.returncode is None for process in processes] == [False]
    gc.collect()    # a pipe that is open still would be warned of


def test_a_file_that_is_no_record_ends_as_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear Sir\n", encoding="utf-8")
    assert "letter.txt:1: the line cannot be read as JSON" in answer("told", path)["wrong"]
    assert answer("told", tmp_path / "none")["wrong"] == f"{tmp_path / 'none'}: No such file or directory; " \
                                                         "name another record"


@pytest.mark.parametrize(("module", "loads"), [
    ("words", {"drill.grading", "numpy", "pydantic"}), ("grading_process", set()), ("grading_apart", {"asyncio"}),
    ("screen", {"asyncio", "textual"}),
])
def test_the_process_loads_nothing_of_the_app_and_the_app_nothing_of_grading(module: str, loads: set[str]) -> None:
    script = f"import sys, drill.cockpit.debrief.{module}; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.split()
    assert {"asyncio", "textual", "pydantic", "numpy", "drill.grading", "drill.cockpit.app"} & set(said) == loads
