"""The kinds of file that a debrief can be written as, by the ending of the file's name. Light: names only."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Literal, TypeAlias

Kind: TypeAlias = Literal["html", "md", "json", "txt"]
KINDS: Mapping[Kind, str] = MappingProxyType({
    "html": "page that prints", "md": "Markdown", "json": "data for programs", "txt": "plain words",
})
"""Each kind, which is the ending too, and what it is."""

_ENDINGS: Mapping[str, Kind] = {
    ".html": "html", ".htm": "html", ".md": "md", ".markdown": "md", ".json": "json", ".txt": "txt"}


def kind_of(path: Path) -> Kind | None:
    """Return the kind of file that the name of `path` asks for; None if it is none of them."""
    return _ENDINGS.get(path.suffix.lower())
