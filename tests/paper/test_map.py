"""A story's map as a drawing and as a page: all is in it, nothing on top of something else, and all of it escaped."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import pytest
from check.explore_stories import story
from check.map_stories import TWO, Seen

from drill.check.story_map import Flown, Happening, StoryMap, map_of
from drill.paper.lettering import width_of, wrapped
from drill.paper.map_boxes import filled, fits, limits_box, percent, texts
from drill.paper.map_drawing import drawn
from drill.paper.map_page import as_map_page, as_map_svg
from drill.paper.map_sheets import sheets_of
from drill.paper.map_summary import told_in_words
from drill.scenario import load
from drill.scenario.shelf import shipped

SVG = "{http://www.w3.org/2000/svg}"


def shipped_maps() -> Iterator[StoryMap]:
    for path in shipped().values():
        yield map_of(load(path))


@pytest.fixture(scope="module")
def maps() -> list[StoryMap]:
    flown = Flown("8, of the skills new, old", ("new", "old"), {("cruise", 0): {"new": 0.002, "old": 1.0}}, {}, {})
    seen = Seen({"branch cruise 0": "flight 1 at 0:20"})
    return [*shipped_maps(), map_of(TWO, seen, flown)]


def boxes_of(svg: str) -> list[tuple[float, float, float, float]]:
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own
    return [tuple(float(each.get(key, "0")) for key in ("x", "y", "width", "height"))  # type: ignore[misc]
            for each in root.iter(f"{SVG}rect") if (each.get("class") or "").startswith("box box-")]


def test_no_box_lies_on_another(maps: list[StoryMap]) -> None:
    for each in maps:
        boxes = boxes_of(str(drawn(each).svg))
        assert len(boxes) == len(filled(each)) + 1
        for (ax, ay, aw, ah), (bx, by, bw, bh) in combinations(boxes, 2):
            assert ax + aw <= bx or bx + bw <= ax or ay + ah <= by or by + bh <= ay


def test_every_line_of_words_fits_into_its_box_and_a_row_holds_its_lines(maps: list[StoryMap]) -> None:
    for each in maps:
        limits = limits_box(each)
        for box, line in texts([*filled(each), *([limits] if limits else [])]):
            assert fits(box, line), line.text


def test_every_branch_has_a_line_with_an_arrow_from_its_row_to_where_it_leads(maps: list[StoryMap]) -> None:
    for each in maps:
        root = ElementTree.fromstring(str(drawn(each).svg))  # noqa: S314 - our own
        ways = [path for path in root.iter(f"{SVG}path") if (path.get("class") or "").startswith("way way")]
        arrows = [path for path in root.iter(f"{SVG}path") if (path.get("class") or "").startswith("arrow")]
        rows = len(list(each.edges))
        legend = 3 if each.looked and any(edge.known == "never" for edge in each.edges) else 1
        assert len(ways) == rows + legend
        assert len(arrows) == rows + 1     # and the one from the beginning


def test_what_is_known_is_told_by_the_kind_of_line_and_in_words(maps: list[StoryMap]) -> None:
    svg = str(drawn(maps[-1]).svg)
    assert svg.count('class="way way-never"') == 2 + 1        # and in the legend
    assert svg.count('class="way way-shown"') == 1 + 1
    assert svg.count('class="cross"') == 2 + 1
    for words in ("never: its condition cannot", "flown: flight 1 at 0:20", "possible, not flown",
                  "pilots: new &lt;1 %, old 100 %"):
        assert words in svg
    style = as_map_svg(maps[-1])
    assert re.search(r"\.way-never \{[^}]*stroke-dasharray", style)
    assert re.search(r"\.way-possible \{[^}]*stroke-dasharray", style)


def test_the_page_has_all_of_the_drawing_in_lists_and_needs_nothing_else(maps: list[StoryMap]) -> None:
    for each in maps:
        page = as_map_page(each)
        for stage in each.stages:
            assert f">{stage.name} <" in page
        links = set(re.findall(r'href="#([^"]+)"', page))
        assert links <= set(re.findall(r'id="([^"]+)"', page))
        assert len(re.findall(r'<tr id="phase-\d+-\d+"', page)) == len(list(each.edges))
        assert "<script" not in page
        assert not re.findall(r'(?:src|href)="(?!#|data:)', page)
        assert page.count("Training aid") >= 1


def test_what_an_author_has_written_is_never_markup() -> None:
    bad = '"><script>alert(1)</script>'
    made = map_of(TWO, Seen({}), Flown(bad, (bad,), {}, {}, {}))
    first = made.stages[0]
    edges = tuple(replace(edge, phase=bad, when=bad, hold=bad, changes=bad, why=bad, to=bad if edge.ends else edge.to)
                  for edge in first.edges)
    stage = replace(first, name=bad, edges=edges, enters=bad, cues=(Happening(bad, bad),))
    closes = tuple(replace(close, name=bad if close.name in ("there", "upset") else close.name, outcome=bad)
                   for close in made.closes)
    made = replace(made, title=bad, board_title=bad, start=bad, witnessed=bad, flights=(bad,), closes=closes[:1] +
                   closes[2:], stages=(stage, *(replace(each, edges=()) for each in made.stages[1:])))
    for text in (as_map_page(made), as_map_svg(made)):
        assert "<script" not in text
        assert "&lt;script&gt;" in text
        assert "alert(1)" in text


def test_a_long_name_is_broken_and_stays_in_its_box() -> None:
    name = "a" * 60 + " and then " + "w" * 50
    made = map_of(story(f"cruise:\n  branches: [{{when: in cloud, go: {name}}}]\n{name}:\n"
                        "  branches: [{when: stalled, end: there}]"))
    assert all(fits(box, line) for box, line in texts(filled(made)))


@pytest.mark.parametrize(("width", "height", "count"), [
    (1_600.0, 960.0, 0), (1_700.0, 700.0, 2), (2_700.0, 1_500.0, 6), (900.0, 5_000.0, 7)])
def test_a_large_map_is_cut_into_sheets_that_cover_it(width: float, height: float, count: int) -> None:
    sheets = sheets_of(width, height, [(0.0, 0.0, width, height)])
    assert len(sheets) == count
    for x in range(0, int(width), 20):
        for y in range(0, int(height), 20):
            assert not sheets or any(left <= x <= left + wide and top <= y <= top + high
                                     for left, top, wide, high in (each.area for each in sheets))


def test_a_sheet_without_a_box_is_not_printed() -> None:
    assert [(each.row, each.column) for each in sheets_of(2_500.0, 1_500.0, [(10.0, 10.0, 50.0, 50.0)])] == [(1, 1)]


@pytest.mark.parametrize("width", [30.0, 90.0, 400.0])
def test_words_wrapped_are_all_there_and_no_line_is_wider_than_asked(width: float) -> None:
    text = "true altitude more than 6,900 ft and Wolkenkratzerbeleuchtung, für 飛行機 too"
    lines = wrapped(text, width, 11.5)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(width_of(line, 11.5) <= width or len(line) == 1 for line in lines)


@pytest.mark.parametrize(("share", "said"), [
    (0.0, "0 %"), (0.004, "<1 %"), (0.5, "50 %"), (0.996, ">99 %"), (1.0, "100 %")])
def test_a_share_is_not_rounded_to_none_or_all(share: float, said: str) -> None:
    assert percent(share) == said


def test_in_words_it_says_all_of_it_line_by_line(maps: list[StoryMap]) -> None:
    said = "\n".join(told_in_words(maps[-1])).replace("\u00a0", " ")
    assert "Phase “cruise”, line" in said
    assert "  1. when the pilot has done “climb”, for 5 s: phase “high”, then flag “climbed” goes up" in said
    assert "     flown: flight 1 at 0:20; pilots: new <1 %, old 100 %" in said
    assert "never: its condition cannot hold here" in said
    assert "Witness flights\n  1. seed 3" in said
