"""What an author is told helps: the right place, the right remedy, one message for one mistake."""

from __future__ import annotations

import pytest

from drill.scenario import Problem
from scenario.documents import TEXT, changed, problems, with_condition


def one(text: str) -> Problem:
    (problem,) = problems(text)
    return problem


def line_of(text: str, part: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), 1) if part in line)


EXAMPLE = "example: cover the attitude indicator"


@pytest.mark.parametrize(("example", "read_as"), [
    ("check the suction gauge", "read as look at the suction gauge;"), ("look outside", "read as look outside;"),
    ("compare the attitude indicator and the turn coordinator",
     "read as compare attitude indicator and turn coordinator;"),
    ("squawk 7700", "read as squawk 7700;"), ("say we have a problem, Larkspur 5304W", "read as a call;"),
    ("flibber the wozzle", "read as nothing that is understood;"),
    ("cover the compass, then look outside", "read as cover magnetic compass, then look outside;"),
])
def test_an_example_that_does_not_do_it_is_told_at_its_place_with_what_it_is_read_as(
    example: str, read_as: str,
) -> None:
    text = changed((EXAMPLE, f"example: {example}"))
    problem = one(text)
    assert problem.rule == "example-does-not-do-it"
    assert problem.place.line == line_of(text, "example:")
    assert read_as in f"{problem.wrong};"


@pytest.mark.parametrize(("said", "remedy"), [
    ("reported vacuum system or attitude indicator",
     "`any: [reported vacuum system, reported attitude indicator]`"),
    ("reported vacuum system or reported altimeter", "`any: [reported vacuum system, reported altimeter]`"),
    ("told callsign and fuel", "`all: [told callsign, told fuel]`"),
    ("declared mayday or pan-pan", "`any: [declared mayday, declared pan-pan]`"),
    ("asked for vectors or climb", "`any: [asked for vectors, asked for climb]`"),
    ("covered attitude indicator and heading indicator",
     "`all: [covered attitude indicator, covered heading indicator]`"),
    ("flying by altimeter or partial panel", "`any: [flying by altimeter, flying by partial panel]`"),
    ("noted arrived or lost", "`any: [noted arrived, noted lost]`"),
    ("failed pump or gauge", "`any: [failed pump, failed gauge]`"),
    ("planned divert or hold", "`any: [planned divert, planned hold]`"),
    ("planned loiter or hold", "`any: [planned loiter, planned hold]`"),
    ("did look outside or look panel", "`any: [did look outside, did look panel]`"),
    ("in cloud and stalled", "`all: [in cloud, stalled]`"),
    ("true bank > 30 deg or true pitch > 10 deg", "`any: [true bank > 30 deg, true pitch > 10 deg]`"),
])
def test_conditions_joined_with_words_get_the_list_to_write(said: str, remedy: str) -> None:
    assert remedy in one(with_condition(said)).remedy


def test_a_name_that_holds_and_is_no_joining() -> None:
    assert problems(with_condition("did compare attitude indicator and turn coordinator")) == ()
    two = changed(("  pump: {", "  pump and gauge: {"), ("failure pump", "failure pump and gauge"),
                  ("when: reported vacuum system", "when: failed pump and gauge"))
    assert problems(two) == ()


def test_a_slip_of_indentation_is_told_in_its_line_with_how_its_neighbours_are_moved_in() -> None:
    text = changed(("    within: 3 min", "   within: 3 min"))
    problem = one(text)
    assert problem.rule == "unreadable-yaml"
    assert problem.place.line == line_of(text, "within: 3 min")
    assert "moved in by 2 or 4" in problem.allowed


def test_an_open_bracket_is_told_with_the_place_where_it_was_opened() -> None:
    text = changed(("ceiling: clear}", "ceiling: clear"))
    assert (one(text).place.line, one(text).place.column) == (line_of(text, "Wendle:"), 11)
    assert "not closed" in one(text).wrong


def test_a_number_is_wanted_and_feet_are() -> None:
    assert "a number is wanted" in str(one(changed(("on board: 2", "on board: two"))))
    assert "a number is wanted" in str(one(changed(("failures:", "minutes: some\nfailures:"))))
    assert "feet are wanted" in str(one(changed(("altitude: 5000 ft", "altitude: high"))))


def test_a_document_that_is_no_mapping_is_called_a_document() -> None:
    assert one("just words").wrong == "this document is a text"
    assert one("- a\n- b").wrong == "this document is a list"


@pytest.mark.parametrize(("word", "verb"), [
    ("watch ammeter", "look"), ("monitor suction gauge", "look"), ("hide altimeter", "cover"),
    ("inform ATC", "report"),
])
def test_an_unknown_act_gets_the_verb_that_is_nearest_in_meaning(word: str, verb: str) -> None:
    assert f"`{verb}`" in one(changed(("do: cover attitude indicator", f"do: {word}"))).allowed


def test_a_text_that_begins_with_a_hash_is_told_to_be_a_comment() -> None:
    problem = one(changed(("why: They can help.", "why: #1 reason")))
    assert problem.rule == "empty-value"
    assert problem.remedy == "`#` begins a comment: put a text that begins with one in quotes"
    assert "comment" not in one(changed(("why: They can help.", "why:"))).remedy


@pytest.mark.parametrize("says", ["{callsign}, roger", "{callsign}", "{callsign} roger", "[{callsign}, roger]"])
def test_words_with_braces_and_no_quotes_get_one_message_that_says_so(says: str) -> None:
    problem = one(changed(('"{callsign}, say intentions."', says), ("    atc: {says: ", "    atc:\n      says: "),
                          (", asks: yes}", "\n      asks: yes")))
    if says.startswith("["):
        assert problem.rule == "wrong-kind"
    else:
        assert "put a text with braces in quotes" in problem.remedy


def test_a_line_of_atc_in_braces_alone_gets_one_message_that_says_so() -> None:
    text = changed(('atc: {says: "{callsign}, say intentions.", asks: yes}', "do: {say: {callsign}}"))
    assert "put a text with braces in quotes" in one(text).remedy


def test_the_sound_scenario_has_none_of_these() -> None:
    assert problems(TEXT) == ()
