"""`drill map`: a scenario's story as a drawing, as a page, or in words."""

from __future__ import annotations

import argparse
from pathlib import Path

from drill.check.pilots_told import NoPilots, flown_by_pilots
from drill.check.story_map import StoryMap, map_of
from drill.check.witness_kept import NoWitnesses, kept
from drill.clean import clean_line
from drill.paper.files import write_new
from drill.paper.map_layout import NoLayout
from drill.paper.map_page import as_map_page, as_map_svg
from drill.paper.map_summary import told_in_words
from drill.plain.desk import Desk, Mistake
from drill.scenario.loading import load
from drill.scenario.shelf import find

ENDINGS = {".svg": as_map_svg, ".html": as_map_page, ".htm": as_map_page}


def draw_map(chosen: argparse.Namespace, desk: Desk) -> int:
    """Draw the map of a scenario into a new file, or tell it. Mistake for what the user can put right."""
    make = None
    if chosen.to is not None:
        make = ENDINGS.get(chosen.to.suffix.lower())
        if make is None:
            raise Mistake(f"drill map: {_named(chosen.to)}: a map is written as .svg (a drawing) or .html (a page with "
                          "the drawing and lists); without --to it is told in words")
    story = _story(chosen)
    if make is None:
        for line in told_in_words(story):
            moved = len(line) - len(line.lstrip(" "))
            desk.out.line(line, hang=moved + 2)
        return 0
    try:
        text = make(story)
    except NoLayout as error:
        raise Mistake(f"drill map: {error}; without --to the map is told in words") from error
    if not write_new(chosen.to, text):
        raise Mistake(f"drill map: {_named(chosen.to)}: the file exists already; name another one, or move it away")
    desk.out.whole(f"Written: {chosen.to}")
    return 0


def _story(chosen: argparse.Namespace) -> StoryMap:
    scenario = load(find(chosen.scenario))
    try:
        shown = None if chosen.witness is None else kept(scenario, chosen.witness)
        flown = None if chosen.pilots is None else flown_by_pilots(scenario, chosen.pilots)
    except (NoWitnesses, NoPilots) as error:
        raise Mistake(f"drill map: {error}") from error
    return map_of(scenario, shown, flown)


def _named(path: Path) -> str:
    return clean_line(str(path))
