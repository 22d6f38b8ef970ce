"""The pictures of the README are made by a command, and load nothing."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo"
KEPT = DEMO / "pictures"
NAMES = {"board", "briefing", "flight", "spiral", "debrief", "plots", "safety-night"}
NAMESPACE = "http://www.w3.org/2000/svg"


@pytest.mark.parametrize("name", sorted(NAMES))
def test_a_picture_loads_nothing_from_outside(name: str) -> None:
    picture = (KEPT / f"{name}.svg").read_text(encoding="utf-8")
    assert set(re.findall(r"\w+://[^\s\"'<>)]+", picture)) == {NAMESPACE}
    assert not re.search(r"@import|@font-face|href=\"(?!#)|<script|<image", picture)
    assert set(re.findall(r"font-family:\s*([^;}]+)", picture)) == {"monospace"}


@pytest.mark.long
def test_the_command_makes_the_same_pictures_again(tmp_path: Path, environment: dict[str, str]) -> None:
    made = subprocess.run([sys.executable, str(DEMO / "pictures.py"), str(tmp_path / "made")], env=environment,
                          capture_output=True, text=True, timeout=120, check=False)
    assert (made.returncode, made.stderr) == (0, "")
    pictures = {path.stem: path.read_bytes() for path in (tmp_path / "made").iterdir()}
    assert set(pictures) == NAMES
    assert pictures == {path.stem: path.read_bytes() for path in KEPT.iterdir()}
