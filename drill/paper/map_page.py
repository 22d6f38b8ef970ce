"""A story's map as a page of HTML that needs nothing else, and as a drawing that stands by itself.

Everything in the drawing stands below it in lists as well; each row of the drawing leads to its entry there.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, partial

from jinja2 import Template

from drill.cautions import CAUTIONS
from drill.check.story_map import Known, StoryMap
from drill.paper.map_boxes import percent
from drill.paper.map_drawing import ALL, close_anchor, drawn, edge_anchor, stage_anchor
from drill.paper.map_sheets import sheets_of
from drill.paper.map_summary import summary
from drill.paper.templates import file_of, template_of

KNOWN_WORDS: Mapping[Known, str] = {"never": "never", "shown": "flown", "possible": "not flown"}


def as_map_page(story: StoryMap) -> str:
    """Return the page. NoLayout without the library that lays the map out."""
    drawing = drawn(story, linked=True)
    return _template().render({
        "story": story, "drawing": drawing.svg, "cautions": CAUTIONS, "summary": summary(story),
        "sheets": sheets_of(drawing.width, drawing.height, drawing.boxes), "all": ALL,
        "edge_anchor": edge_anchor, "stage_anchor": stage_anchor, "close_anchor": close_anchor, "percent": percent,
        "came_from": partial(_came_from, story),
        "skills": story.flown.skills if story.flown is not None else (), "known": _known(story)})


def as_map_svg(story: StoryMap) -> str:
    """Return the drawing as a file of its own. NoLayout without the library that lays the map out."""
    style = f"{_colours()}\n{file_of('map.css')}"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{drawn(story, style=style).svg}\n'


def _known(story: StoryMap) -> Mapping[Known, str]:
    """Return what is said of what is known; nothing of what was not flown where nobody has flown."""
    return KNOWN_WORDS if story.looked else {**KNOWN_WORDS, "possible": "possible"}


def _came_from(story: StoryMap, ending: str) -> list[str]:
    """Return the phases with a branch to an ending."""
    return list(dict.fromkeys(edge.phase for edge in story.edges if edge.ends and edge.to == ending))


@cache
def _template() -> Template:
    return template_of("map.html.j2", "page.css", "map.css")


def _colours() -> str:
    """Return the part of the page's style sheet that says what its colours are, in light and in the dark."""
    return file_of("page.css").split("* {", 1)[0]
