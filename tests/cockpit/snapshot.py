"""Screens as text that a person can read and a diff can show: the characters, then the styles as runs."""

from __future__ import annotations

import difflib
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from rich.style import Style
from textual.app import App

KEPT = Path(__file__).parent / "snapshots"
WRITE = "DRILL_SNAPSHOTS"
"""Set to `write`, the present screens become the kept ones. Look at them before they are kept."""


def _style_words(style: Style | None) -> str:
    if style is None:
        return "default"
    words = [str(colour.triplet.hex if colour and colour.triplet else "-") for colour in (style.color, style.bgcolor)]
    on = [name for name in ("bold", "dim", "italic", "underline", "reverse", "strike") if getattr(style, name)]
    return " ".join([f"{words[0]} on {words[1]}", *on])


def screen_rows(app: App[Any]) -> tuple[list[str], list[list[tuple[int, str]]]]:
    """Return the present screen's rows of characters and, for each, its styles as (cells, style in words)."""
    texts: list[str] = []
    styles: list[list[tuple[int, str]]] = []
    for strip in app.screen._compositor.render_strips():    # what an SVG picture of the screen is made from as well
        texts.append(strip.text)
        runs: list[tuple[int, str]] = []
        for segment in strip:
            words = _style_words(segment.style)
            if runs and runs[-1][1] == words:
                runs[-1] = (runs[-1][0] + segment.cell_length, words)
            elif segment.cell_length:
                runs.append((segment.cell_length, words))
        styles.append(runs)
    return texts, styles


class Album:
    """The screens of one journey, in order."""

    def __init__(self) -> None:
        self._names: dict[str, str] = {}
        self._pages: list[str] = []

    def take(self, app: App[Any], title: str) -> None:
        """Add the present screen under `title`."""
        texts, styles = screen_rows(app)
        page = [f"== {title}", *(f"|{text}|" for text in texts)]
        page += ["".join(f"{cells}{self._name(style)}" for cells, style in runs) for runs in styles]
        self._pages.append("\n".join(page))

    def _name(self, style: str) -> str:
        if style not in self._names:
            number = len(self._names)
            self._names[style] = chr(ord("a") + number % 26) + ("'" * (number // 26))
        return self._names[style]

    @property
    def text(self) -> str:
        """The whole album."""
        legend = [f"{name}: {style}" for style, name in self._names.items()]
        return "\n".join([*self._pages, "== styles", *legend, ""])


def agrees(album: Album, name: str, actual_folder: Path) -> None:
    """Fail unless `album` is the one that is kept under `name`; the present one is written to `actual_folder`."""
    path = KEPT / f"{name}.txt"
    if os.environ.get(WRITE) == "write":
        path.parent.mkdir(exist_ok=True)
        path.write_text(album.text, encoding="utf-8")
        return
    kept = path.read_text(encoding="utf-8") if path.exists() else ""
    if kept == album.text:
        return
    actual = actual_folder / path.name
    actual.write_text(album.text, encoding="utf-8")
    pytest.fail(f"{name}: the screens differ from {path.name}; the present ones: {actual}. If they are meant: "
                f"{WRITE}=write, and look at what changed.\n" + "\n".join(_first(kept, album.text)), pytrace=False)


def _first(kept: str, now: str, lines: int = 40) -> Iterable[str]:
    difference = difflib.unified_diff(kept.splitlines(), now.splitlines(), "kept", "now", lineterm="", n=0)
    return [line for _, line in zip(range(lines), difference, strict=False)]
