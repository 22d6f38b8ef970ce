"""The demo's evening: it runs by itself, its phones come over the network, and it leaves its handout."""

from __future__ import annotations

import csv
import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from drill.room.keeping import read_evening

DEMO = Path(__file__).parent.parent / "demo" / "safety_night.py"


def _demo() -> ModuleType:
    spec = importlib.util.spec_from_file_location("safety_night", DEMO)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


demo = _demo()


async def test_a_short_evening_leaves_its_handout_and_totals_in_the_folder(tmp_path: Path) -> None:
    said: list[str] = []
    papers = await demo.evening(tmp_path, scenario="cruise-to-tallowby", seed=1, count=6, polls=1, watch=False,
                                say=said.append)
    assert [path.name for path in papers] == ["evening.handout.html", "evening.totals.csv"]
    page = papers[0].read_text(encoding="utf-8")
    assert "6 by phone" in page
    assert not [name for name in demo.NAMES if f">{name}<" in page]
    with papers[1].open(encoding="utf-8-sig", newline="") as file:
        first = [row for row in csv.DictReader(file) if row["poll"] == "p1" and row["count"]]
    assert sum(int(row["count"]) for row in first) == 6
    held = read_evening(tmp_path / "evening.jsonl").evening
    assert (held.stage, len(held.people), len(held.polls)) == ("over", 6, 1)
    assert [line for line in said if line.startswith("To take home: ")]


@pytest.mark.long
async def test_in_a_whole_evening_opinions_change_and_both_ways_are_flown(tmp_path: Path) -> None:
    await demo.evening(tmp_path, scenario="cruise-to-tallowby", seed=1, count=24, polls=5, watch=False, say=print)
    held = read_evening(tmp_path / "evening.jsonl").evening
    assert len(held.polls) == 5
    assert len(held.forks) == 1
    looks = [poll for poll in held.polls if poll.kind == "what is wrong"]
    assert len({tuple(sorted(vote.answer for vote in poll.votes.values())) for poll in looks}) == len(looks)
    assert {vote.words for poll in held.polls for vote in poll.votes.values()} > {""}


@pytest.mark.parametrize("seed", [1, 2])
def test_the_same_seed_gives_the_same_people(seed: int) -> None:
    one, other = demo.people_of(seed, 30), demo.people_of(seed, 30)
    assert [(each.name, each.table, each.sharp) for each in one] == [
        (each.name, each.table, each.sharp) for each in other]
    assert len({each.name for each in one}) == 30


def test_a_folder_that_holds_an_evening_is_left_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "evening.jsonl").write_text("mine", encoding="utf-8")
    monkeypatch.setattr(sys, "argv", ["safety_night.py", str(tmp_path)])
    assert demo.main() == 2
    assert "evening.jsonl" in capsys.readouterr().err
    assert (tmp_path / "evening.jsonl").read_text(encoding="utf-8") == "mine"
