"""What the end-to-end tests share: a user with an empty data folder, and the program run by that user."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from program import TALLOWBY, Drill, run, user_environment

from drill.scenario import shipped


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    """The environment of a user whose data folder is empty."""
    home = tmp_path / "home"
    home.mkdir()
    return user_environment(home)


@pytest.fixture(scope="session")
def short(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shipped scenario under its own name, with a time limit that keeps flights to the end short."""
    text = shipped()[TALLOWBY].read_text(encoding="utf-8")
    path = tmp_path_factory.mktemp("short") / f"{TALLOWBY}.yaml"
    path.write_text(re.sub(r"^time limit: .+$", "time limit: 9 min", text, flags=re.MULTILINE), encoding="utf-8")
    return path


@pytest.fixture
def drill(environment: dict[str, str], tmp_path: Path) -> Drill:
    """Run `drill` with arguments and piped input, in an empty folder."""

    def drill(*arguments: str | Path, typed: str = "") -> subprocess.CompletedProcess[str]:
        return run(arguments, environment, tmp_path, typed=typed)

    return drill
