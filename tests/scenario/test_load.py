"""What a sound document becomes."""

from __future__ import annotations

import pytest

from drill.scenario.model import ASKS, LIMIT_ENDINGS, Say, Within
from scenario.documents import TEXT, changed, loaded, problems


def test_a_small_scenario_has_sensible_defaults() -> None:
    scenario = loaded()
    assert scenario.text == TEXT
    assert (scenario.clearance.altitude_ft, scenario.clearance.heading_deg, scenario.clearance.mood) == (
        5000.0,
        240.0,
        "helpful",
    )
    assert (scenario.start.fuel_min, scenario.start.clock) == (190.0, "12:00")
    assert (scenario.nothing_fails, scenario.time_limit_s, scenario.course) == (0.0, 2700.0, None)
    assert [field.ceiling_ft for field in scenario.fields] == [700.0, None]
    assert scenario.debrief.ask
    assert (
        scenario.fields[1].bearing_deg == 80.0
    )  # written 080, which some readers of YAML take for a number in base eight


def test_the_limits_have_endings_that_an_author_may_put_into_other_words() -> None:
    assert {ending.name for ending in loaded().endings} == {"upset", "there", *LIMIT_ENDINGS}
    scenario = loaded(changed(("endings:", "endings:\n  ground: {outcome: hit the ground, tell: Trees.}")))
    assert scenario.ending("ground").tell == "Trees."
    assert [ending.name for ending in scenario.endings].count("ground") == 1


def test_an_item_has_its_window_and_its_needs() -> None:
    stop, tell = loaded().grade_sheet
    assert (stop.weight, stop.within, tell.after) == ("major", None, "Stop following")
    assert tell.within == Within(180.0, "failure", "pump")
    assert tell.needs == ("callsign", "equipment")


def test_a_window_counts_from_a_failure_the_evidence_an_item_or_the_start() -> None:
    for words, window in (
        ("90 s of evidence", Within(90.0, "evidence", None)),
        ("2 min of item Stop following", Within(120.0, "item", "Stop following")),
        ("10 min of start", Within(600.0, "start", None)),
        ("1 min of failure", Within(60.0, "failure", None)),
    ):
        assert loaded(changed(("3 min of failure pump", words))).grade_sheet[1].within == window


def test_words_of_atc_carry_their_assignments() -> None:
    text = changed(
        (
            '{says: "{callsign}, say intentions.", asks: yes}',
            "[{says: Climb., altitude: 8000 ft, heading: 090, after: 20 s}, "
            "{says: Cleared., cleared: ILS 24, voice: Tower}]",
        )
    )
    first, second = loaded(text).phase("helped").cues
    assert (first.key, first.after_s, second.key) == ("helped/atc/0", 20.0, "helped/atc/1")
    assert first.effects == (Say("Climb.", None, 90.0, 8000.0),)  # type: ignore[arg-type]
    assert second.effects == (Say("Cleared.", "Tower", cleared_approach="ILS 24"),)  # type: ignore[arg-type]


def test_the_altimeter_is_set_to_the_days_pressure_unless_the_author_says_otherwise() -> None:
    day = ("turbulence: light,", "turbulence: light, pressure: 29.86 inHg,")
    assert loaded(changed(day)).start.altimeter_hpa == pytest.approx(29.86 * 33.8639)
    forgotten = changed(day, ("airspeed: 110 kt,", "airspeed: 110 kt, altimeter: 29.92 inHg,"))
    assert loaded(forgotten).start.altimeter_hpa == pytest.approx(29.92 * 33.8639)
    assert loaded(forgotten).weather.air.pressure_hpa == pytest.approx(29.86 * 33.8639)


def test_the_cloud_layer_its_ice_and_the_freezing_level_reach_the_air_that_is_flown_in() -> None:
    air = loaded(changed(("freezing level: 8500 ft}", "freezing level: 4000 ft, icing: moderate}"))).weather.air
    assert (air.icing, air.cloud_base_ft, air.cloud_tops_ft, air.freezing_level_ft) == ("moderate", 1200, 7200, 4000)
    assert loaded().weather.air.icing == "none"
    (problem,) = problems(changed(("freezing level: 8500 ft}", "freezing level: 4000 ft, icing: severe}")))
    assert "`icing`" in problem.wrong
    assert "light" in problem.allowed


@pytest.mark.parametrize(("written", "asks"), [
    ("yes", "yes"), ("no", ""), *((each, each) for each in ASKS),
])
def test_a_line_of_atc_says_what_it_asks_for(written: str, asks: str) -> None:
    (cue,) = loaded(changed(("asks: yes", f"asks: {written}"))).phase("helped").cues
    assert [each.asks for each in cue.effects if isinstance(each, Say)] == [asks]


def test_a_line_of_atc_cannot_ask_for_what_nobody_knows_of() -> None:
    (problem,) = problems(changed(("asks: yes", "asks: intention")))
    assert problem.rule == "unknown-choice"
    assert "intentions" in problem.remedy


def test_every_place_points_into_the_file() -> None:
    scenario = loaded()
    lines = TEXT.splitlines()
    for branch in scenario.phases[0].branches:
        assert lines[branch.place.line - 1][branch.place.column - 1 :].startswith("when")
    for item in scenario.grade_sheet:
        assert lines[item.place.line - 1][item.place.column - 1 :].startswith("item")
