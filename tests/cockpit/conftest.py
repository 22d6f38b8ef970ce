"""What the tests of the cockpit share: a user with empty folders, at a terminal that can do all."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user with empty folders: no cockpit of a test touches those of who runs it."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def at_terminal(environment: dict[str, str]) -> dict[str, str]:
    """The environment of a user at a terminal that can do all."""
    overruling = ("NO_COLOR", "LC_ALL", "COLUMNS", "LINES")    # the last two overrule a terminal's own size
    kept = {name: value for name, value in environment.items() if name not in overruling}
    return kept | {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8",
                   "XDG_CONFIG_HOME": f"{environment['HOME']}/config", "XDG_STATE_HOME": f"{environment['HOME']}/state"}
