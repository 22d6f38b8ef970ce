"""The templates of pages: whatever is put into one is cleaned and escaped, and what is missing is an error."""

from __future__ import annotations

from importlib import resources
from typing import Any

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from drill.clean import clean
from drill.flight.readings import clock_words as clock


def template_of(name: str, *styles: str, more: str = "") -> Template:
    """Return the template in the file `name`, with the style sheets in the files `styles`, and `more`, as `css`."""
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
                              keep_trailing_newline=True, finalize=_cleaned)
    environment.filters["clock"] = lambda t: "never" if t is None else clock(t)
    css = Markup("\n".join([*map(file_of, styles), *([more] if more else [])]))  # noqa: S704 - ours
    return environment.from_string(file_of(name), globals={"css": css})


def file_of(name: str) -> str:
    """Return the text of a file that is shipped beside this module."""
    return resources.files("drill.paper").joinpath(name).read_text(encoding="utf-8")


def _cleaned(value: Any) -> Any:
    """Return what is written in a template's place: words cleaned, what is markup already as it is."""
    return clean(value) if isinstance(value, str) and not isinstance(value, Markup) else value
