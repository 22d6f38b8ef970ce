"""Ice at the first altitude wants a word about pitot heat, which is off when a flight begins."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.scenario.loading import airplanes_beside

BESIDE = airplanes_beside(WHOLE)
WEATHER = "weather:\n  cloud: {{base: 1200 ft, tops: 7200 ft}}\n  freezing level: {level} ft\n  icing: light\n"


def rules(piece: str) -> list[str]:
    return [each.rule for each in check_text(completed(piece)[0], "short-hop.yaml", BESIDE).problems]


@pytest.mark.parametrize(("level", "warned"), [(4000, True), (4990, True), (5010, False)])
def test_a_flight_in_ice_wants_a_word_about_pitot_heat(level: int, warned: bool) -> None:
    # it begins at 5,000 feet in cloud; pitot heat goes on before cloud near freezing (common practice, no source)
    assert rules(WEATHER.format(level=level)) == ["ice-without-heat"] * warned


def test_a_briefing_that_speaks_of_pitot_heat_is_word_enough() -> None:
    assert rules(WEATHER.format(level=4000) + "briefing: The card wants pitot heat in ice.\n") == []


def test_a_comment_about_pitot_heat_is_no_word_to_a_pilot() -> None:
    assert rules(WEATHER.format(level=4000) + "# pitot heat is off\n") == ["ice-without-heat"]
