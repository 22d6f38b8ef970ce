"""Expressions that are tried only where a text holds what no match is without: quicker, and never another answer."""

import importlib
import pkgutil
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

import drill.language
from drill.language.dissected import certain
from drill.language.lexicon import standard
from drill.language.remembered import MOST_WORDS, Remembered
from drill.language.sought import Sought, sought


def every_sought() -> dict[str, Sought]:
    """Return the expressions of the whole room, by module and name."""
    modules = [importlib.import_module(f"drill.language.{each.name}")
               for each in pkgutil.iter_modules(drill.language.__path__) if each.name != "__main__"]
    return {f"{module.__name__}.{name}": value for module in modules for name, value in vars(module).items()
            if isinstance(value, Sought)}


EVERY = every_sought()
WORDS = sorted({word for each in EVERY.values() for word in re.findall(r"[a-z<>]+", each.pattern)} | {"7", "40", "350"})


@pytest.mark.parametrize(("expression", "strings"), [
    (r"\bout of (?:the |my )?(?:sight|view)\b", {"out of "}),
    (r"\b(?:code|squawk\w*) \d{4}\b", {"code", "squawk"}),
    (r"\bland(?:ing)? at\b", {"land"}),
    (r"\b(?:me|myself) (?:and|plus) \d", {"me and ", "me plus ", "myself and ", "myself plus "}),
    (r"\bcolou?r", {"colo"}),
    (r"\bno+pe", {"pe"}),
    (r"(?<!not )\bdowngrad\w*", {"downgrad"}),
    (r"\bby mistake|by error", {"by mistake", "by error"}),
])
def test_what_every_match_holds_is_found_in_the_expression(expression: str, strings: set[str]) -> None:
    assert set(certain(expression) or ()) == strings


@pytest.mark.parametrize("expression", [r"\d+", r"(?:really )?\w+", r"a*", r"fuel|\d", r"[a-z]+", ""])
def test_of_an_expression_that_may_match_anything_nothing_is_promised(expression: str) -> None:
    assert certain(expression) is None


def test_the_room_has_such_expressions_and_each_can_say_no() -> None:
    assert len(EVERY) > 40
    assert all(all(each.certain) for each in EVERY.values())


@given(text=st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join), name=st.sampled_from(sorted(EVERY)))
def test_the_answer_is_that_of_the_expression_itself(text: str, name: str) -> None:
    each = EVERY[name]
    bare = re.compile(each.pattern)
    ours, theirs = each.search(text), bare.search(text)
    assert (ours and ours.span()) == (theirs and theirs.span())
    assert [match.span() for match in each.finditer(text)] == [match.span() for match in bare.finditer(text)]


@given(name=st.sampled_from(sorted(EVERY)), data=st.data())
def test_every_text_made_by_an_expression_holds_one_of_its_strings(name: str, data: st.DataObject) -> None:
    each = EVERY[name]
    text = data.draw(st.from_regex(re.compile(each.pattern, re.ASCII)))
    assert any(string in text for string in each.certain)


def test_an_expression_laid_out_over_lines_is_one() -> None:
    assert sought("""
        \\bnever|
        \\bmind""").pattern == r"\bnever|\bmind"


def test_no_more_words_are_remembered_than_fit() -> None:
    asked: list[str] = []

    def length(word: str) -> int:
        asked.append(word)
        return len(word)

    lengths = Remembered(length)
    for number in range(MOST_WORDS + 50):
        assert lengths[f"w{number}"] == len(f"w{number}")
    assert len(lengths) == MOST_WORDS
    assert lengths["w3"] == 2
    assert asked.count("w3") == 1


def test_every_expression_can_be_made() -> None:
    for each in EVERY.values():
        re.compile(each.pattern)
    shelves = {id(phrases.shelf): phrases.shelf for phrases in (standard().failing, standard().falling)}
    expressions = [expression for shelf in shelves.values() for expression in shelf.expressions]
    assert len(expressions) > 1_000
    for expression in expressions:
        re.compile(expression)
