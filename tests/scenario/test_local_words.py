"""Words of a country, a place or a club, beside those that are understood everywhere."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.lexicon import lexicon_with, standard, usage, usages
from drill.language.meaning import ASSISTANCE, Context, Look
from drill.scenario.local_words import NAMED
from scenario.documents import changed, loaded, problems

LOCAL = """local words:
  names:
    vacuum system: [the puffer, wind box]
    suction gauge: blow meter
  asks:
    vectors: [a shove in the right direction]
  failing: [has gone for a swim]
  declares: [this is a real pickle]
phases:"""


def with_words(words: str) -> str:
    return changed(("phases:", words))


def test_a_clubs_own_name_for_a_part_is_understood_in_the_cockpit_and_on_the_radio() -> None:
    here = loaded(with_words(LOCAL)).context
    assert read("look at the blow meter", here) == [Look("suction_gauge")]
    assert read_call("approach, the wind box has failed", here).equipment == ("vacuum_system",)


def test_local_words_for_failing_asking_and_declaring_count_as_the_general_ones() -> None:
    here = loaded(with_words(LOCAL)).context
    call = read_call("Approach, this is a real pickle, the altimeter has gone for a swim, "
                     "request a shove in the right direction", here)
    assert (call.urgency, call.equipment, call.assistance) == ("emergency", ("altimeter",), ("vectors",))


def test_local_words_stay_in_their_scenario() -> None:
    loaded(with_words(LOCAL))
    assert read_call("approach, the wind box has failed", loaded().context).equipment == ()


def test_a_countrys_usage_is_a_file_that_a_scenario_names() -> None:
    here = loaded(with_words("usage: Germany\nphases:")).context
    assert read_call("Radar, Höhenmesser ausgefallen, Horizont ok", here).equipment == ("altimeter",)
    assert read_call("Radar, Höhenmesser ausgefallen", loaded().context).equipment == ()


@pytest.mark.parametrize("country", usages())
def test_each_shipped_usage_names_known_parts_and_adds_words(country: str) -> None:
    words = usage(country)
    assert {name for name, _ in words.names} <= set(NAMED)
    assert {name for name, _ in words.asks} <= set(ASSISTANCE)
    assert lexicon_with(words).vocabulary > standard().vocabulary


@pytest.mark.parametrize("country", usages())
def test_a_usage_takes_nothing_from_what_is_understood_without_it(country: str) -> None:
    plain = Context("Larkspur 04W", "Orrinfell Approach")
    there = Context("Larkspur 04W", "Orrinfell Approach", (), lexicon_with(usage(country)))
    line = ("Orrinfell Approach, Larkspur zero four whiskey, vacuum failure, attitude indicator and heading indicator "
            "unreliable, partial panel, request no-gyro vectors, two souls, three hours of fuel")
    assert read_call(line, there) == read_call(line, plain)


@pytest.mark.parametrize(("words", "rule", "named"), [
    ("local words:\n  names:\n    altimetre: [dial]\nphases:", "unknown-name", "altimeter"),
    ("local words:\n  asks:\n    a cup of tea: [tea]\nphases:", "unknown-name", ""),
    ("local words:\n  failing: ['!!']\nphases:", "wrong-form", ""),
    ("local words:\n  failling: [kaput]\nphases:", "unknown-key", "failing"),
    ("usage: atlantis\nphases:", "unknown-choice", "united kingdom"),
])
def test_a_word_that_can_mean_nothing_is_told_at_its_line(words: str, rule: str, named: str) -> None:
    found = problems(with_words(words))
    assert [problem.rule for problem in found] == [rule]
    assert named in f"{found[0].allowed}{found[0].remedy}"
    assert found[0].place.line > 1


def test_a_phrase_of_a_file_is_never_a_pattern() -> None:
    here = loaded(with_words('local words:\n  failing: ["gone .* whatever"]\nphases:')).context
    assert read_call("approach, the altimeter gone to the whatever", here).equipment == (
        read_call("approach, the altimeter gone to the whatever", loaded().context).equipment)


@pytest.mark.parametrize("words", [
    "local words:\n  failing: [the]\nphases:", "local words:\n  failing: [normal]\nphases:",
    "local words:\n  declares: [request]\nphases:", "local words:\n  names:\n    altimeter: [heading]\nphases:",
    "local words:\n  names:\n    altimeter: [turn]\nphases:", "local words:\n  names:\n    altimeter: "
                                                              "[vacuum]\nphases:",
    "local words:\n  names:\n    altimeter: [the clockwork]\n    voltmeter: [the clockwork]\nphases:",
])
def test_a_word_that_pilots_use_for_something_else_is_not_taken_from_them(words: str) -> None:
    found = problems(with_words(words))
    assert [problem.rule for problem in found] == ["taken"]
    assert found[0].place.line > 1


def test_a_recognised_name_cannot_be_written_as_its_mark() -> None:
    found = problems(with_words('local words:\n  names:\n    altimeter: ["<vacuum_system>"]\nphases:'))
    assert [problem.rule for problem in found] == ["wrong-form"]


def test_so_many_words_that_reading_would_be_slow_are_refused() -> None:
    many = ", ".join(f"phrase of the club {number}" for number in range(101))
    found = problems(with_words(f"local words:\n  failing: [{many}]\nphases:"))
    assert [problem.rule for problem in found] == ["too-many"]
