"""The debrief in Markdown: the same words, and nothing in them that a reader of Markdown takes for markup."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token
from paper.papers import late, paper, spoiled

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.clean import clean
from drill.paper.markdown import as_markdown, escaped

COMMONMARK = MarkdownIt("commonmark")
WIDER = MarkdownIt("gfm-like", {"linkify": True, "html": True})
OURS = {"heading_open", "heading_close", "paragraph_open", "paragraph_close", "bullet_list_open", "bullet_list_close",
        "list_item_open", "list_item_close", "blockquote_open", "blockquote_close", "inline"}
INLINE = {"text", "text_special", "softbreak", "strong_open", "strong_close"}
HOSTILE = ("# no heading", "- no item", "1. no item", "12345678901) none", "> none", "    none", "```none```", "***",
           "---", "===", "[a](javascript:alert(1))", "![a](http://example.invalid/x.png)", "<b>none</b>", "a|b\n-|-",
           "&lt;b&gt; &#35;",
           "https://example.invalid/x", "www.example.invalid", "me@example.invalid", "\\", "`", "~~none~~", "*_*_",
           "[^1]: none", "[x]: /none", "\x1b[31mred", "\u202eevil", "$x^2$", "<!-- -->", "+ none", ": none", "a\n\n# b")


def inline(tokens: list[Token]) -> list[Token]:
    return [child for token in tokens for child in token.children or []]


def read_back(text: str, by: MarkdownIt = COMMONMARK) -> str:
    """What a reader sees of `text`."""
    return "".join("\n" if each.type == "softbreak" else each.content for each in inline(by.parse(text)))


@settings(deadline=None)
@given(st.text(max_size=80) | st.sampled_from(HOSTILE) | st.lists(st.sampled_from(HOSTILE), max_size=4).map(" ".join))
@example("1\\. a")
def test_an_escaped_text_is_read_as_itself_and_as_nothing_else(text: str) -> None:
    wanted = " ".join(clean(text).split())
    for by in (COMMONMARK, WIDER):
        tokens = by.parse(escaped(text))
        assert {each.type for each in tokens} <= {"paragraph_open", "inline", "paragraph_close"}
        assert {each.type for each in inline(tokens)} <= {"text", "text_special"}
        assert read_back(escaped(text), by) == wanted


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(HOSTILE) | st.text(max_size=40))
@example("0")
def test_a_debrief_full_of_hostile_words_has_the_blocks_of_any_other(text: str) -> None:
    given_ = paper(late())
    told = as_markdown(spoiled(given_.document, text))
    for by in (COMMONMARK, WIDER):
        tokens = by.parse(told)
        assert {each.type for each in tokens} <= OURS
        assert {each.type for each in inline(tokens)} <= INLINE
    assert not [character for character in told if character != "\n" and not clean(character)]


def test_the_debrief_has_its_parts_under_headings_with_the_cautions_first_and_last() -> None:
    told = as_markdown(paper().document)
    headings = [tokens[at + 1].content for tokens in [COMMONMARK.parse(told)] for at, each in enumerate(tokens)
                if each.type == "heading_open" and each.tag == "h2"]
    assert [each.split(" (")[0] for each in headings if each not in ("Not graded", "How far it strayed")] == [
        "Score", "What the pilot said before being told", "What failed", *(["Unsafe acts"] if "Unsafe" in told else []),
        "What to work on", "What went well", "The calls, as ATC heard them", "Shown against true",
        "The flight, moment by moment", "On the published scales", "To talk about", "Editions"]
    said = read_back(told)
    for caution in (*CAUTIONS, NOTHING_LOGGED):
        assert said.count(caution) == 2


def test_a_call_shows_the_element_behind_its_words_and_what_was_not_heard() -> None:
    said = read_back(as_markdown(paper().document))
    assert "“Larkspur 5304W [who you are], vacuum failure [what failed: vacuum system], the thingummy hums" in said
    assert "Not heard by then: how far that limits you, what you want" in said


@pytest.mark.parametrize("empty", ["", " "])
def test_an_empty_answer_is_said_to_be_none(empty: str) -> None:
    given_ = paper().document
    silent = replace(given_, debrief=replace(given_.debrief, answers=(("What failed?", empty),)))
    assert "(no answer)" in read_back(as_markdown(silent))
