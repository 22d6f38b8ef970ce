"""Flights side by side on paper: the same words in every kind, hostile ones only words, each flight its own stroke."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from paper.pages import Page, drawings
from paper.papers import late, parted, spoiled

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.clean import clean
from drill.grading.beside import Way
from drill.grading.beside_words import side_by_side_lines
from drill.paper.beside_markdown import beside_as_markdown
from drill.paper.beside_page import beside_as_html
from drill.paper.beside_paper import BesidePaper, beside_paper
from drill.paper.kinds import KINDS
from drill.paper.writing import beside_text_of

COMMONMARK = MarkdownIt("commonmark")
HOSTILE = ("<script>alert(1)</script>", "# no heading", "</style><svg/onload=alert(1)>", "{{ 7*7 }}",
           "- no item\n\n# b", "]]><!-- &amp; &#x41;", "\x1b[31mred", "\u202eevil", "[a](javascript:alert(1))",
           "</title></desc></text>")


@cache
def written() -> BesidePaper:
    return beside_paper(parted())


@pytest.fixture(scope="module")
def paper() -> BesidePaper:
    return written()


@pytest.fixture(scope="module")
def page(paper: BesidePaper) -> str:
    return beside_as_html(paper)


def in_markdown(paper: BesidePaper) -> str:
    """What a reader of the Markdown reads."""
    tokens = COMMONMARK.parse(beside_as_markdown(paper))
    return "\n".join("".join("\n" if each.type == "softbreak" else each.content for each in token.children or [])
                     for token in tokens if token.children)


@pytest.mark.parametrize("kind", ["html", "md", "txt"])
def test_the_cautions_stand_on_every_paper_that_people_read(paper: BesidePaper, kind: str) -> None:
    told = beside_text_of(paper, kind)  # type: ignore[arg-type]
    said = " ".join((Page(told).said if kind == "html" else in_markdown(paper) if kind == "md" else told).split())
    for caution in (*CAUTIONS, NOTHING_LOGGED):
        assert said.count(caution) == (1 if kind == "txt" else 2)


@pytest.mark.parametrize("kind", ["html", "md", "txt"])
def test_every_paper_tells_what_came_of_each_flight_what_was_done_and_how_it_flew(
    paper: BesidePaper, kind: str,
) -> None:
    told = beside_text_of(paper, kind)  # type: ignore[arg-type]
    said = " ".join((Page(told).said if kind == "html" else in_markdown(paper) if kind == "md" else told).split())
    for row in paper.them.rows:
        assert all(value in said for value in row.values)
    for act in paper.them.acts:
        assert act.words in said
    assert "loss of control at 10:00" in said
    assert "covered the attitude indicator" in said
    assert "45 degrees right, heading 240, 5000 feet, 110 knots" in said


def test_what_differs_is_marked_in_words_and_not_by_its_looks_alone(paper: BesidePaper, page: str) -> None:
    said = Page(page).said
    for row in paper.them.rows:
        assert f"{row.what} {'differs' if row.differs else 'the same'} {row.values[0]}" in said


def test_the_plots_say_in_words_what_each_flight_came_to(page: str) -> None:
    said = Page(page).said
    assert "The flight: at most 80° right, at 9:40. Flown again: wings level." in said
    assert "least 5,000 ft at 5:05, most 5,000 ft at 5:05, 5,000 ft at last" in said
    assert "The flight: solid. Flown again: broken." in said


def test_each_flight_has_a_stroke_of_its_own_and_its_letter_at_the_end_of_its_line() -> None:
    page = beside_as_html(beside_paper(parted(Way("The sheet's way", parted().ways[1].events))))
    plots = [each for each in drawings(page) if each.get("class") == "plot"]
    assert len(plots) == 4
    for plot in plots:
        strokes = [each.get("class") for each in plot if each.tag.endswith("path")]
        assert sorted(map(str, strokes)) == ["way way-0", "way way-1", "way way-2"]
        assert sorted(str(each.text) for each in plot if "end-way" in str(each.get("class"))) == ["A", "B", "C"]
    assert "A The flight" in Page(page).said
    assert "C The sheet's way" in Page(page).said


def test_the_letter_of_a_flight_that_was_over_before_stands_where_it_ended(page: str) -> None:
    plot = next(each for each in drawings(page) if each.get("class") == "plot")
    ends = {each.text: float(str(each.get("x"))) for each in plot if "end-way" in str(each.get("class"))}
    assert ends["A"] < ends["B"] - 50.0


def test_what_is_to_be_known_of_the_air_is_told_on_every_paper() -> None:
    paper = beside_paper(parted(air="The air may differ."))
    assert "The air may differ." in Page(beside_as_html(paper)).said
    assert "The air may differ." in in_markdown(paper)
    assert "in the same air" not in in_markdown(paper)


@pytest.mark.parametrize("at_s", [0.0, 599.0, 5000.0])
def test_flights_that_part_at_their_beginning_at_their_end_or_never_can_be_written_down(at_s: float) -> None:
    paper = beside_paper(parted(at_s=at_s))
    page = beside_as_html(paper)
    assert Page(page).open == []
    assert drawings(page) or at_s > 720.0
    assert in_markdown(paper)


def test_flights_of_which_nothing_was_recorded_can_be_written_down() -> None:
    empty = replace(parted(), ways=(Way("The flight", ()), Way("Flown again", tuple(late()[:1]))))
    paper = beside_paper(empty)
    assert "Nothing was recorded." in Page(beside_as_html(paper)).said
    assert "Nothing was recorded." in in_markdown(paper)


@settings(max_examples=12, deadline=None)
@given(st.text(max_size=60) | st.sampled_from(HOSTILE))
def test_whatever_people_write_is_only_words_on_every_paper(text: str) -> None:
    good = written()
    bad = spoiled(good, text)
    told, wanted = beside_as_html(bad), " ".join(clean(text).split())
    found, plain = Page(told), Page(beside_as_html(good))
    assert found.open == []
    assert {tag for tag, _ in found.elements} <= {tag for tag, _ in plain.elements}
    assert wanted in found.said
    tokens = COMMONMARK.parse(beside_as_markdown(bad))
    assert {each.type for each in tokens} <= {each.type for each in COMMONMARK.parse(beside_as_markdown(good))}
    assert not [character for each in (told, beside_as_markdown(bad)) for character in each
                if character != "\n" and not clean(character)]


def test_every_kind_has_a_text_that_ends_with_a_line_break(paper: BesidePaper) -> None:
    for kind in KINDS:
        text = beside_text_of(paper, kind)
        assert text.endswith("\n")
        assert not text.endswith("\n\n")
    assert json.loads(beside_text_of(paper, "json"))["names"] == ["The flight", "Flown again"]
    lines = beside_text_of(paper, "txt").splitlines()
    assert lines[-len(side_by_side_lines(paper.them)):] == side_by_side_lines(paper.them)
    assert all(len(line) <= 80 for line in lines)
