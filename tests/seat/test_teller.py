"""What the pilot gets to read: what happened and what is shown, never what is hidden."""

import re
from dataclasses import fields
from itertools import pairwise
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane.panel import Panel
from drill.flight.events import (
    HIDDEN,
    Acted,
    Asked,
    Assigned,
    Dropped,
    Ended,
    Entered,
    Event,
    Failed,
    Healed,
    Heard,
    Noted,
    Told,
    Trace,
    Typed,
)
from drill.language.meaning import Look
from drill.seat.teller import AT_MOST_IN_A_LINE, UNASKED_EVERY_S, Teller, retold

LEVEL: dict[str, float] = dict.fromkeys((each.name for each in fields(Panel)), 0.0) | {
    "airspeed_kt": 110.0, "altitude_ft": 5000.0, "heading_deg": 240.0, "compass_deg": 240.0, "suction_inhg": 4.9,
    "volts": 14.0, "rpm": 2400.0, "gps_on": 1.0, "track_deg": 243.0, "groundspeed_kt": 95.0, "course_flag": 1.0,
    "altimeter_setting_hpa": 1013.25,
}


def trace(t: float, **shown: float) -> Trace:
    return Trace(t, LEVEL | shown, {}, {}, (), {}, (), "full_panel", "", "cruise")


@pytest.mark.parametrize("event", [
    Entered(1.0, "SECRET"), Failed(1.0, "SECRET", "SECRET", "SECRET"), Healed(1.0, "SECRET"), Noted(1.0, "SECRET"),
    Assigned(1.0, 240.0, 5000.0, "SECRET"), trace(1.0),
])
def test_what_is_hidden_is_not_told(event: Event) -> None:
    assert isinstance(event, HIDDEN)
    assert Teller(LEVEL, echo=True).events([event]) == []


def test_every_hidden_kind_is_tried_above() -> None:
    assert {Entered, Failed, Healed, Noted, Assigned, Trace} == set(HIDDEN) <= set(get_args(Event))


def test_what_is_heard_names_its_voice() -> None:
    told = Teller(LEVEL).events([
        Heard(5.0, "Orrinfell Approach", "say altitude"),
        Heard(6.0, "Orrinfell Approach", "Thistle 9VR, traffic", to_us=False),
    ])
    assert [line.words for line in told] == [
        "Orrinfell Approach: say altitude", "Orrinfell Approach, to others: Thistle 9VR, traffic",
    ]


def test_a_line_not_understood_is_answered_with_the_question() -> None:
    assert [line.words for line in Teller(LEVEL).events([Asked(1.0, "Turn to which heading?")])] == [
        "Turn to which heading?"
    ]


def test_an_act_is_told_by_what_it_gives() -> None:
    act = {"action": "look", "at": "suction_gauge"}
    assert [line.words for line in Teller(LEVEL).events([Acted(3.0, act, 1.0, result="suction: 4.9 inches")])] == [
        "Suction: 4.9 inches."
    ]


def test_acts_broken_off_are_named() -> None:
    (line,) = Teller(LEVEL).events([Dropped(3.0, ({"action": "level_wings"}, {"action": "look"}))])
    assert line.words == "Broken off: level wings, look."


def test_the_end_is_told_in_its_words() -> None:
    (line,) = Teller(LEVEL).events([Ended(9.0, "upset", "loss of control", "The horizon stayed level.")])
    assert line.words == "The horizon stayed level.\nThe flight is over."


def test_repeat_gives_the_last_line_to_this_airplane_and_not_ones_own() -> None:
    teller = Teller(LEVEL)
    teller.events([
        Heard(5.0, "Orrinfell Approach", "say altitude"),
        Acted(9.0, {"action": "transmit", "call": "five thousand"}, 7.0),
        Heard(11.0, "Orrinfell Approach", "Thistle 9VR, roger", to_us=False),
    ])
    heard = teller.last_heard()
    assert heard is not None
    assert heard.words == "Orrinfell Approach: say altitude"
    assert len(teller.radio) == 3


def watched(*shown: dict[str, float], covered: tuple[str, ...] = ()) -> list[tuple[float, str]]:
    """Return what is told unasked of a panel that changes once a second."""
    teller = Teller(LEVEL)
    return [
        (line.t, line.words) for t, change in enumerate(shown, 1)
        for line in teller.panel(float(t), LEVEL | change, covered)
    ]


def test_a_steady_panel_is_not_worth_a_word() -> None:
    assert watched(*[{}] * 60) == []


def test_what_turbulence_shakes_is_not_worth_a_word() -> None:
    shaken = [{"turn_rate_dps": 1.8 * side, "bank_deg": 5.0 * side} for side in (1, -1)] * 30
    assert watched(*shaken) == []


def test_a_lasting_bank_is_told_and_then_not_again_until_it_changes() -> None:
    told = watched(*[{"bank_deg": -12.0}] * 60)
    assert 1 <= len(told) <= 2
    assert told[-1][1].startswith("Attitude indicator: ")
    assert "left wing down" in told[-1][1]
    assert told[-1][0] < 20


def test_unasked_the_panel_speaks_at_most_once_in_three_seconds() -> None:
    teller = Teller(LEVEL)
    spoken = [t / 10 for t in range(600) if teller.panel(t / 10, LEVEL | {"altitude_ft": 5000.0 + 40 * t})]
    assert len(spoken) > 10
    assert min(b - a for a, b in pairwise(spoken)) >= UNASKED_EVERY_S - 1e-9


def test_a_turn_is_told_with_the_headings_that_it_passes() -> None:
    turning = [{"turn_rate_dps": -3.0, "heading_deg": (240.0 - 3 * t) % 360} for t in range(1, 31)]
    told = watched(*turning, *[{"heading_deg": 150.0}] * 15)
    headings = [int(found) for _, words in told for found in re.findall(r"Heading indicator: (\d{3})", words)]
    assert headings == sorted(headings, reverse=True)
    assert len(headings) >= 4
    assert abs(headings[-1] - 150) <= 5, "and where it ended"


def test_a_heading_through_north_is_no_turn_the_other_way_round() -> None:
    told = watched(*[{"heading_deg": h % 360.0} for h in range(241, 241 + 180)])
    headings = [int(found) for _, words in told for found in re.findall(r"Heading indicator: (\d{3})", words)]
    assert any(before > after for before, after in pairwise(headings)), "it passed north"
    assert all(0 < (b - a) % 360 < 60 for a, b in pairwise(headings))


@pytest.mark.parametrize("gauge", [
    {"suction_inhg": 0.0}, {"volts": 11.5}, {"amps": -20.0}, {"compass_deg": 90.0}, {"track_deg": 90.0},
])
def test_gauges_compass_and_gps_are_told_only_to_those_who_look(gauge: dict[str, float]) -> None:
    assert watched(*[gauge] * 60) == []


@pytest.mark.parametrize(("light", "words"), [
    ("low_voltage_light", "low voltage light on"), ("low_vacuum_light", "low vacuum light on"),
    ("turn_flag", "red flag"), ("attitude_tumbled", "the horizon bar lies on its side"),
])
def test_a_warning_is_told_at_once(light: str, words: str) -> None:
    ((t, told),) = watched({light: 1.0}, *[{light: 1.0}] * 9)
    assert t == 1.0
    assert words in told


def test_a_covered_instrument_says_nothing() -> None:
    assert watched(*[{"bank_deg": 30.0}] * 60, covered=("attitude_indicator",)) == []


@given(st.lists(st.fixed_dictionaries({
    "bank_deg": st.floats(-90, 90), "altitude_ft": st.floats(0, 9000), "heading_deg": st.floats(0, 359),
    "turn_rate_dps": st.floats(-9, 9), "suction_inhg": st.floats(0, 6), "turn_flag": st.sampled_from([0.0, 1.0]),
}), max_size=20))
def test_a_line_about_the_panel_names_few_instruments(moves: list[dict[str, float]]) -> None:
    for _, words in watched(*moves):
        assert 1 <= words.count(": ") <= AT_MOST_IN_A_LINE


def test_a_look_at_the_whole_panel_is_told_in_rows_and_not_told_again() -> None:
    banked = LEVEL | {"bank_deg": -12.0, "altitude_ft": 4600.0}
    teller = Teller(LEVEL)
    look = Acted(5.0, Look("panel").as_labels(), 0.0, result="Attitude indicator: banked. Airspeed: 110 knots.")
    assert [line.words for line in teller.events([look])] == ["Attitude indicator: banked.\nAirspeed: 110 knots."]
    assert [line for t in range(5, 60) for line in teller.panel(float(t), banked)] == []


def test_every_line_says_what_it_is_and_own_calls_are_told_on_request() -> None:
    call = {"action": "transmit", "call": "five thousand"}
    events: list[Event] = [
        Typed(1.0, "five thousand", ()), Asked(1.0, "To whom?"), Acted(2.0, call, 1.0),
        Acted(2.0, {"action": "look"}, 1.0, result="no"), Dropped(3.0, ()),
        Heard(4.0, "Approach", "roger"), Heard(4.0, "Approach", "roger", to_us=False),
        Told(5.0, "A bump."), Ended(9.0, "upset", "loss of control", ""),
    ]
    kinds = ["typed", "asked", "you", "result", "result", "radio", "others", "story", "ended"]
    assert [line.kind for line in Teller(LEVEL, echo=True, tells_calls=True).events(events)] == kinds
    assert [line.kind for line in Teller(LEVEL).events(events)] == [
        kind for kind in kinds if kind not in ("typed", "you")]
    assert {line.kind for line in Teller(LEVEL).panel(9.0, LEVEL | {"altitude_ft": 9000.0})} == {"panel"}


def test_a_call_that_does_not_go_out_is_told_by_why_alone() -> None:
    dark = Acted(2.0, {"action": "transmit", "call": "hello"}, 1.0, result="the radio is dark", heard=False)
    teller = Teller(LEVEL, tells_calls=True)
    assert [(line.kind, line.words) for line in teller.events([dark])] == [("result", "The radio is dark.")]
    assert teller.radio == []


def test_a_record_is_told_again_with_the_lines_that_were_typed() -> None:
    again = list(retold([
        trace(0.0), Typed(2.0, "look outside", ()), Failed(3.0, "pump", "vacuum pump", "shaft shears"),
        trace(40.0, bank_deg=10.0), Told(50.0, "A bump."),
    ]))
    assert [(line.t, line.words) for line in again] == [
        (2.0, "> look outside"), (40.0, "Attitude indicator: 10 degrees right wing down, nose level."),
        (50.0, "A bump."),
    ]


def lines_of(readings: dict[int, dict[str, float]], seconds: int) -> list[str]:
    """Return what is told unasked; the panel shows the last of `readings` (by second) on top of a level cruise."""
    teller, now, found = Teller(LEVEL | readings[0]), readings[0], list[str]()
    for t in range(1, seconds):
        now = readings.get(t, now)
        found += [line.words for line in teller.panel(float(t), LEVEL | now)]
    return found


def test_a_gps_that_is_back_is_told_with_the_track_that_it_shows() -> None:
    dark = {"gps_on": 0.0, "track_deg": 275.0}
    back = {"gps_on": 1.0, "track_deg": 149.0}
    assert [each for each in lines_of({0: dark, 20: back}, 40) if "track" in each] == [
        "GPS: track 149, groundspeed 95 knots."]


def test_a_heading_indicator_that_has_been_set_is_told_as_it_stands() -> None:
    told = [each for each in lines_of({0: {"heading_deg": 200.0}, 20: {"heading_deg": 124.0}}, 60) if "eading" in each]
    assert told == ["Heading indicator: 124."]


def test_a_turn_however_quick_is_still_read_with_an_eye_that_takes_its_time() -> None:
    turning = {t: {"heading_deg": (240.0 + 12.0 * t) % 360.0} for t in range(30)}
    figures = [int(each) for line in lines_of(turning, 30) for each in re.findall(r"indicator:? (\d{3})", line)]
    assert figures
    assert all((figure - 240.0) % 12.0 != 0.0 for figure in figures)
