"""Running spin, the model checker (Debian package `spin`), on a Promela model."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

needed = [name for name in ("spin", "gcc") if shutil.which(name) is None]
REQUIRED = os.environ.get("DRILL_SPIN") == "required"


def skip_without_spin() -> None:
    """Skip the test where spin or the compiler that it needs is not installed; fail where they are required."""
    if needed:
        message = f"{' and '.join(needed)} not installed (Debian packages spin, gcc)"
        if REQUIRED:
            pytest.fail(message)
        pytest.skip(message)


def build(text: str, folder: Path, *, optimized: bool = False) -> None:
    """Let spin and the compiler make a program of a model."""
    (folder / "story.pml").write_text(text, encoding="utf-8")
    compiler = ["gcc", "-O2" if optimized else "-O0", "-w", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=4000", "-o", "pan",
                "pan.c"]
    for command in (["spin", "-a", "story.pml"], compiler):
        done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
        assert done.returncode == 0 and "Error" not in done.stdout, done.stdout + done.stderr  # noqa: PT018


def run_built(folder: Path) -> str:
    """Return what an exhaustive run of the program in `folder` prints."""
    done = subprocess.run(["./pan", "-E", "-m4000000", "-w24"], cwd=folder, capture_output=True, text=True, check=False)
    assert "errors: 0" in done.stdout, done.stdout
    assert "max search depth too small" not in done.stdout
    assert "out of memory" not in done.stdout
    return done.stdout


def run(text: str, folder: Path, *, optimized: bool = False) -> str:
    """Return what an exhaustive run of a model prints."""
    build(text, folder, optimized=optimized)
    return run_built(folder)
