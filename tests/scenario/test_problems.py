"""Every rule has a broken document and the whole messages that it gets."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.scenario import DocumentError, load_text, problems_in
from drill.scenario.problems import RULES, Place, Problem, told
from scenario.documents import TEXT, changed, loaded, problems

GOLDEN = Path(__file__).parent.parent / "golden" / "problems"
MADE_IN_TESTS = {"too-large", "too-many", "too-many-parts", "unreadable-file"}  # better made than kept


def _messages(path: Path) -> str:
    return "".join(f"{each} [{each.rule}]\n" for each in problems_in(path)).replace(f"{path.parent}/", "")


@pytest.mark.parametrize("path", sorted(GOLDEN.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_broken_document_gets_its_messages_word_for_word(path: Path) -> None:
    assert _messages(path) == path.with_suffix(".txt").read_text(encoding="utf-8")


def test_every_rule_has_a_broken_document() -> None:
    assert {path.stem for path in GOLDEN.glob("*.yaml")} - {"many-at-once"} == set(RULES) - MADE_IN_TESTS


def test_each_broken_document_breaks_the_rule_of_its_name_and_no_other() -> None:
    for path in GOLDEN.glob("*.yaml"):
        if path.stem != "many-at-once":
            assert {problem.rule for problem in problems_in(path)} == {path.stem}, path.stem


def test_every_mistake_in_one_file_is_reported_at_once_at_its_line_and_column() -> None:
    places = [(each.place.line, each.place.column, each.rule) for each in problems_in(GOLDEN / "many-at-once.yaml")]
    assert places == [
        (7, 34, "wrong-unit"),
        (8, 82, "unknown-choice"),
        (9, 1, "unknown-key"),
        (12, 36, "unit-missing"),
        (15, 29, "unknown-how"),
        (20, 24, "unknown-equipment"),
        (21, 13, "unknown-phase"),
        (22, 27, "wrong-unit"),
        (23, 14, "time-with-colon"),
        (37, 15, "unknown-object"),
        (45, 12, "unknown-item"),
        (47, 23, "unknown-choice"),
    ]


def test_a_phase_that_is_never_reached_is_a_warning_and_does_not_stop_the_scenario() -> None:
    text = changed(("        go: helped", "        end: there"))
    assert problems(text) == ()
    assert [each.level for each in problems_in(GOLDEN / "phase-never-reached.yaml")] == ["warning"]


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=400))
def test_any_text_gets_a_document_error(text: str) -> None:
    _is_told_what_is_wrong(text)


_PIECES = st.sampled_from(
    [line + "\n" for line in TEXT.splitlines()] + ["- ", "[", "]", "{", "}", "? ", ": ", "\t", "'", "\u2028"]
)


@settings(max_examples=100, deadline=None)
@given(st.lists(_PIECES, max_size=60).map("".join))
def test_any_shuffled_scenario_gets_a_document_error(text: str) -> None:
    _is_told_what_is_wrong(text)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(TEXT) - 1), st.integers(0, 30), st.text(max_size=6))
def test_any_damaged_scenario_gets_a_document_error(at: int, dropped: int, put: str) -> None:
    _is_told_what_is_wrong(TEXT[:at] + put + TEXT[at + dropped :])


@settings(max_examples=80, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_in_a_file_get_problems(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "some.yaml"
    path.write_bytes(data)
    assert problems_in(path)


def _is_told_what_is_wrong(text: str) -> None:
    """Without its airplane no scenario is sound, so there is always something to tell."""
    with pytest.raises(DocumentError) as caught:
        load_text(text, "some.yaml", lambda name: None)
    assert caught.value.problems
    for problem in caught.value.problems:
        assert problem.rule in RULES
        assert problem.wrong
        assert problem.remedy
        assert 1 <= problem.place.line <= len(text.splitlines()) + 2


def test_one_misspelt_key_gives_one_message() -> None:
    assert [each.rule for each in problems(changed(("    branches:", "    branchs:")))] == ["unknown-key"]
    assert [each.rule for each in problems(changed(("phases:", "phasis:")))] == ["unknown-key"]
    assert [each.rule for each in problems(changed(("fields:", "feilds:")))] == ["unknown-key"]


def test_a_yaml_word_for_yes_stays_the_word_that_was_written() -> None:
    assert problems(changed(("title: Suction lost", "title: No"))) == ()
    assert problems(changed(("callsign: Larkspur 5304W", "callsign: 0808"))) == ()


def test_text_in_a_scenario_is_clean_when_it_is_loaded() -> None:
    scenario = loaded(changed(("title: A short hop", 'title: "A \\e[31mshort\\u202E hop\\x07"')))
    assert scenario.board_title == "A [31mshort hop"


def test_what_is_wrong_many_times_over_is_told_once_with_how_many_are_like_it() -> None:
    alias = [Problem(Place("a.yaml", line, 3), "alias", "no alias", "", "write it out") for line in range(1, 101)]
    tab = Problem(Place("a.yaml", 7, 1), "tab", "a tab", "", "use spaces")
    lines = told([*alias[:50], tab, *alias[50:]])
    assert lines == [
        "a.yaml:1:3: no alias; write it out; and 99 more like it, in lines 2, 3, 4, 5 ... 100",
        "a.yaml:7:1: a tab; use spaces",
    ]
    assert told(alias[:3]) == [str(each) for each in alias[:3]], "a few stand with their places"
    assert told(alias[:4]) == ["a.yaml:1:3: no alias; write it out; and 3 more like it, in lines 2, 3 and 4"]
