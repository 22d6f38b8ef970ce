"""Help that fits the moment, with the caller's own keys, and without a word of what is graded."""

from __future__ import annotations

from typing import get_args

import pytest

from drill.cockpit.flying.reference import KEYS
from drill.cockpit.help import When, help_content, help_words

MOMENTS: tuple[When, ...] = get_args(When)
BEFORE_THE_END = tuple(moment for moment in MOMENTS if moment not in ("questions", "debrief"))
TELLS = ("pan-pan", "mayday", "emergency", "urgen", "91.187", "vacuum", "suction", "souls", "fuel", "partial panel",
         "gyro", "fail", "on board", "vectors", "standby")


@pytest.mark.parametrize("moment", ["flight", "paused", "turn by turn"])
def test_the_help_of_a_flight_fits_beside_the_standard_panel(moment: When) -> None:
    assert len(help_content(moment, KEYS).wrap(40)) <= 27


@pytest.mark.parametrize("moment", MOMENTS)
def test_the_keys_are_the_callers(moment: When) -> None:
    heading, lines = help_words(moment, [("F7", "do [this]")])[0]
    assert (heading, lines) == ("Keys", ["F7  do [this]"])
    assert "F7  do [this]" in help_content(moment, [("F7", "do [this]")]).plain
    assert all("F7" not in line for _, rows in help_words(moment) for line in rows)


@pytest.mark.parametrize("moment", BEFORE_THE_END)
def test_help_before_the_end_says_nothing_of_what_is_graded(moment: When) -> None:
    words = help_content(moment).plain.lower()
    assert [told for told in TELLS if told in words] == []


def test_each_moment_has_help_of_its_own() -> None:
    assert len({help_content(moment).plain for moment in MOMENTS}) == len(MOMENTS)
