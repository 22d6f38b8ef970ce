"""The program as a user runs it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

TALLOWBY = "cruise-to-tallowby"

Drill: TypeAlias = Callable[..., "subprocess.CompletedProcess[str]"]


def command(arguments: Sequence[str | Path]) -> list[str]:
    """Return the command line of `drill` with `arguments`."""
    return [sys.executable, "-m", "drill", *map(str, arguments)]


def user_environment(home: Path) -> dict[str, str]:
    """Return the environment of a user whose home and data folder are below `home`."""
    return os.environ | {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "PYTHONIOENCODING": "utf-8"}


def run(
    arguments: Sequence[str | Path], environment: dict[str, str], folder: Path, *, typed: str = "", seconds: float = 120
) -> subprocess.CompletedProcess[str]:
    """Run `drill` in `folder` with `typed` piped in, for at most `seconds`."""
    return subprocess.run(
        command(arguments), input=typed, capture_output=True, text=True, timeout=seconds, check=False,
        env=environment, cwd=folder, encoding="utf-8",
    )
