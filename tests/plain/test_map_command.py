"""`drill map` and `drill check --witness` as they are run: what is written, what is told, what is refused."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from check.explore_stories import story
from check.fragments import WHOLE

from drill.cli import main
from drill.flight.flight import Flight
from drill.flight.pilots import ScriptPilot, fly
from drill.scenario import load

SMALL = story("""
cruise:
  branches:
    - {when: did climb, go: second}
    - {when: {all: [stalled, not stalled]}, end: upset}
    - {when: time > 90 s, end: there}
second:
  branches: [{when: did descend here, end: there}]
""", top="time limit: 10 min\n").text


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("small") / "small.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def flights(file: Path) -> Path:
    folder = file.parent / "flights"
    assert main(["check", "--witness", str(folder), "--format", "json", str(file)]) == 0
    return folder


def test_in_words_the_map_fits_the_terminal_and_says_what_is_proven(
    file: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["map", str(file)]) == 0
    out = capsys.readouterr().out
    assert "1. when the pilot has done “climb”: phase “second”" in out
    assert "never: its condition cannot hold here" in out
    assert max(map(len, out.split("\n"))) <= 78


@pytest.mark.parametrize(("name", "begins"), [
    ("m.svg", "<?xml"), ("m.html", "<!DOCTYPE html>"), ("m.HTM", "<!DOCTYPE html>")])
def test_it_is_drawn_into_a_new_file(file: Path, tmp_path: Path, name: str, begins: str) -> None:
    assert main(["map", str(file), "--to", str(tmp_path / name)]) == 0
    assert (tmp_path / name).read_text(encoding="utf-8").startswith(begins)
    (tmp_path / name).write_text("mine", encoding="utf-8")
    assert main(["map", str(file), "--to", str(tmp_path / name)]) == 2
    assert (tmp_path / name).read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(("more", "said"), [
    (["--to", "m.png"], "a map is written as .svg"),
    (["--witness", "nowhere"], "drill check --witness"),
    (["--pilots", "nowhere.json"], "No such file"),
])
def test_what_cannot_be_drawn_is_refused_in_words(file: Path, more: list[str], said: str,
                                                  capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(file), *more]) == 2
    assert said in capsys.readouterr().err


def test_without_the_library_it_says_what_to_install_and_still_tells_it_in_words(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setitem(sys.modules, "pygraphviz", None)
    assert main(["map", str(file), "--to", str(tmp_path / "m.svg")]) == 2
    assert "pip install drill[map]" in capsys.readouterr().err
    assert not (tmp_path / "m.svg").exists()
    assert main(["map", str(file)]) == 0


def test_the_flights_of_a_check_are_scripts_that_fly_to_the_same_endings(file: Path, flights: Path) -> None:
    told = json.loads((flights / "small.witnesses.json").read_text(encoding="utf-8"))
    assert {each["ending"] for each in told["flights"]} >= {"there"}
    for each in told["flights"]:
        flight, _ = Flight.start(load(file), each["seed"])
        fly(flight, ScriptPilot.read(flights / each["script"]),
            until_s=None if each["ending"] else max(one["at_s"] for one in each["shows"]))
        assert each["ending"] in (None, flight.ended and flight.ended.ending)


def test_a_search_spends_no_more_minutes_of_flight_than_it_may(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", "--witness", str(tmp_path), "--minutes", "1", "--format", "json", str(file)]) == 0
    told, = json.loads(capsys.readouterr().out)["witnesses"]
    assert told["flown_s"] <= 60.0
    assert "ending time up" in told["unknown"]
    assert main(["check", "--witness", str(tmp_path), "--minutes", "0", str(file)]) == 2
    assert "a whole number of minutes from 1" in capsys.readouterr().err


def test_the_map_says_which_flight_took_a_branch(file: Path, flights: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(file), "--witness", str(flights)]) == 0
    out = capsys.readouterr().out
    first = out.split("1. when the pilot has done “climb”")[1].split("2. when")[0]
    assert "flown: flight" in first
    assert "Witness flights" in out


def test_a_check_with_witnesses_says_what_they_show_and_refuses_to_watch(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", "--watch", "--witness", str(tmp_path), str(file)]) == 2
    assert "--watch answers within a second" in capsys.readouterr().err
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    assert main(["check", "--witness", str(blocked), str(file)]) == 2
    assert "a file" in capsys.readouterr().err
    broken = WHOLE.parent.parent / "golden" / "problems" / "tab.yaml"
    assert main(["check", "--witness", str(tmp_path / "none"), str(broken)]) == 1
    assert "Witness flights" not in capsys.readouterr().out      # nothing is flown of what has faults
