"""The debrief as a page: everything on it, in order, read aloud as well as seen; a hostile word is only a word."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from paper.pages import Page, drawings
from paper.papers import flown_for, late, paper, parted, spoiled

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.clean import clean
from drill.flight.events import Branched
from drill.grading import telling
from drill.paper.beside_page import beside_as_html
from drill.paper.beside_paper import beside_paper
from drill.paper.document import Paper
from drill.paper.markdown import as_markdown
from drill.paper.page import as_html
from drill.scenario import shipped


@pytest.fixture(scope="module")
def page() -> str:
    return as_html(paper())


@pytest.fixture(scope="module", params=["a debrief", "flights side by side"])
def any_page(request: pytest.FixtureRequest, page: str) -> str:
    return page if request.param == "a debrief" else beside_as_html(beside_paper(parted()))


@pytest.fixture(scope="module")
def given_() -> Paper:
    return paper()


def test_cautions_stand_at_the_top_and_at_the_bottom_with_what_cannot_be_logged(page: str) -> None:
    said = Page(page).said
    for caution in (*CAUTIONS, NOTHING_LOGGED):
        assert said.count(caution) == 2
        assert said.index(caution) < said.index("Outcome")
        assert said.rindex(caution) > said.rindex("Editions")


def test_everything_that_the_debrief_tells_is_on_the_page(page: str, given_: Paper) -> None:
    said, debrief = Page(page).said, given_.document.debrief
    assert debrief.findings
    for finding in debrief.findings:
        assert " ".join(finding.reason.split()) in said
    for story in debrief.failures:
        assert telling.failure_words(story) in said
    for moment in given_.document.reconstruction.moments:
        assert moment.title in said
    assert telling.score_words(debrief).split(" ")[0] in said
    assert "What failed? the pump" in said
    assert "2-abc" in said
    assert all(each.edition in said for each in given_.document.told_by.cited)


def test_a_page_has_one_heading_of_the_first_level_and_leaves_none_out(any_page: str) -> None:
    levels = [int(tag[1]) for tag, _ in Page(any_page).elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(later <= earlier + 1 for earlier, later in pairwise(levels))


def test_a_page_has_its_landmarks_and_every_part_is_named_by_its_heading(any_page: str) -> None:
    found = Page(any_page)
    assert [len(found.all(tag)) for tag in ("header", "nav", "main", "footer")] == [1, 1, 1, 1]
    names = {attributes.get("id") for _, attributes in found.elements}
    for section in found.all("section"):
        assert section["aria-labelledby"] in names


def test_names_are_given_once_and_links_lead_to_them(any_page: str) -> None:
    found = Page(any_page)
    names = [attributes["id"] for _, attributes in found.elements if "id" in attributes]
    assert len(names) == len(set(names))
    links = [str(attributes["href"]) for _, attributes in found.elements if "href" in attributes]
    assert {each for each in links if not each.startswith("#")} == {"data:,"}
    assert {each[1:] for each in links if each.startswith("#")} <= set(names)
    assert set(re.findall(r"url\(#([^)]*)\)", any_page)) <= set(names)


def test_every_drawing_has_a_title_and_says_what_it_shows_or_is_hidden_from_who_listens(any_page: str) -> None:
    pictures = [each for each in drawings(any_page) if each.get("role") == "img"]
    assert len(pictures) >= 4
    for drawing in pictures:
        names = str(drawing.get("aria-labelledby")).split()
        told = [each.text for each in drawing if each.get("id") in names]
        assert len(told) == 2
        assert all(told)
    for attributes in Page(any_page).all("svg"):
        assert attributes.get("role") == "img" or attributes.get("aria-hidden") == "true"


def test_every_table_has_a_caption_and_headings_that_say_what_they_head(any_page: str) -> None:
    found = Page(any_page)
    assert len(found.all("caption")) == len(found.all("table")) >= 3
    assert all(each.get("scope") in ("col", "row") for each in found.all("th"))


def test_a_page_has_no_script_and_asks_for_nothing_from_anywhere(any_page: str) -> None:
    found = Page(any_page)
    assert not found.all("script")
    assert not [attributes for _, attributes in found.elements if {"src", "srcset", "data", "action"} & set(attributes)]
    assert "@import" not in any_page
    assert re.findall(r"url\(([^)#]+)\)", any_page) == []
    assert set(re.findall(r"https?://[^\s\"<]+", any_page)) <= {"http://www.w3.org/2000/svg"}
    policy = [each.get("content") or "" for each in found.all("meta") if each.get("http-equiv")]
    assert policy
    assert policy[0].startswith("default-src 'none'")


def test_each_panel_is_drawn_once_and_other_findings_of_that_moment_point_to_it(page: str) -> None:
    names = re.findall(r'<figure class="panel-then" id="([^"]*)"', page)
    assert names
    assert len(names) == len(set(names))


def test_a_covered_instrument_is_drawn_covered_and_what_a_finding_is_about_stands_in_a_frame(page: str) -> None:
    panels = re.findall(r'<svg[^>]*class="panel".*?</svg>', page, re.DOTALL)
    assert any("COVERED" in each for each in panels)
    assert any("f-about" in each for each in panels)


def test_a_call_is_marked_up_by_element_and_says_what_was_not_heard(page: str) -> None:
    assert re.search(r'<ruby class="heard">Larkspur 5304W<rp> \[</rp><rt>who you are</rt>', page)
    said = Page(page).said
    assert "Not heard by then how far that limits you, what you want" in said


@pytest.mark.parametrize(("by", "who"), [("typed", "the pilot"), ("exemplar", "the grade sheet")])
def test_a_flight_flown_again_says_from_where_and_by_whom(by: str, who: str) -> None:
    again = paper([*late(), Branched(300.0, "flight-1.jsonl", "0f", by, "The air is another.")])
    wanted = f"Flown again by {who} from 5:00 of flight-1.jsonl. The air is another."
    assert wanted in Page(as_html(again)).said
    assert "Flown again" in as_markdown(again.document)
    assert "Flown again" not in as_html(paper())


@pytest.mark.parametrize("events", [[], late()[:1], late()[:250]])
def test_an_empty_or_cut_off_record_still_gives_a_page(events: list[object]) -> None:
    said = Page(as_html(paper(events))).said    # type: ignore[arg-type]
    assert "The record stops before an ending" in said


@pytest.mark.long
@pytest.mark.parametrize("name", shipped())
def test_every_shipped_scenario_gives_a_sound_page(name: str) -> None:
    text = as_html(flown_for(name, 1500.0))
    found = Page(text)
    assert found.open == []
    assert drawings(text)


HOSTILE = ("<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "</style><svg/onload=alert(1)>", "{{ 7*7 }}",
           "{% for x in y %}", "]]><!-- &amp; &#x41;", "\x1b]0;owned\x07\x9b31m", "\u202eevil\u2066", "' onclick='x'",
           "javascript:alert(1)", "</title></desc></text>", "\x00\ufffe\ud800"[:2])


@pytest.mark.long
@settings(max_examples=25, deadline=None)
@given(st.text(max_size=60) | st.sampled_from(HOSTILE))
@example(HOSTILE[0])
@example(HOSTILE[2])
@example(HOSTILE[6])
def test_whatever_people_write_is_only_words_on_the_page(text: str) -> None:
    given_ = paper(late())
    bad = replace(given_, document=spoiled(given_.document, text))
    told = as_html(bad)
    found, plain = Page(told), Page(as_html(given_))
    assert found.open == []
    assert {tag for tag, _ in found.elements} <= {tag for tag, _ in plain.elements} | {"span", "rt", "rp", "ruby"}
    names = {name for _, attributes in found.elements for name in attributes}
    assert names <= {name for _, attributes in plain.elements for name in attributes}
    assert not [character for character in told if character != "\n" and not clean(character)]
    assert drawings(told)
    assert " ".join(clean(text).split()) in found.said
