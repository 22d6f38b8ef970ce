"""Airspeed indicator, altimeter, vertical speed indicator, turn coordinator and heading indicator: five of the six."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.airplane.airframe import Airframe
from drill.airplane.constants import VSI_MOST_FPM
from drill.airplane.dials import airspeed_arcs
from drill.cockpit.faces import airspeed, altimeter, heading, turn, vertical_speed
from drill.cockpit.faces.face import Dial, Face, SpeedArc
from drill.cockpit.ink import Ink
from drill.flight.readings import FIELDS_OF, WHOLE_PANEL

FRAME = Airframe()
DIAL = Dial(arcs=tuple(SpeedArc(arc.colour, arc.low, arc.high) for arc in airspeed_arcs(FRAME)))
INK = Ink()
PLAIN = Ink(plain=True)
FACES: tuple[Face, ...] = (airspeed.FACE, altimeter.FACE, vertical_speed.FACE, turn.FACE, heading.FACE)
SIZES = [(8, 3), (20, 9), (22, 8), (26, 13), (34, 17), (150, 42)]
LEVEL = {
    "airspeed_kt": 110.0, "altitude_ft": 6000.0, "altimeter_setting_hpa": 1013.25, "vertical_speed_fpm": 0.0,
    "turn_rate_dps": 0.0, "turn_flag": 0.0, "ball": 0.0, "heading_deg": 240.0,
}

Rows = list[str]


def rows(face: Face, size: tuple[int, int], ink: Ink = INK, **shown: float) -> Rows:
    """Return the text of the face's rows."""
    key: Any = face.key({**LEVEL, **shown}, DIAL)
    return [strip.text for strip in face.draw(key, *size, ink, DIAL)]


def picture(face: Face, size: tuple[int, int], ink: Ink = INK, **shown: float) -> str:
    """Return the text of the face in one piece."""
    return "\n".join(rows(face, size, ink, **shown))


def colours(face: Face, size: tuple[int, int], ink: Ink = INK, **shown: float) -> dict[str, str]:
    """Return what is drawn in each colour, dots and words alike."""
    key: Any = face.key({**LEVEL, **shown}, DIAL)
    found: dict[str, str] = {}
    for strip in face.draw(key, *size, ink, DIAL):
        for text, style, _ in strip:
            if style is not None and style.color is not None and text.strip():
                found[style.color.name] = found.get(style.color.name, "") + text.strip()
    return found


# --- every face ----------------------------------------------------------------------------------------

finite = st.floats(allow_nan=False, allow_infinity=False)
readings = st.fixed_dictionaries(dict.fromkeys(LEVEL, finite))


@settings(max_examples=60, deadline=None)
@given(face=st.sampled_from(FACES), shown=readings, width=st.integers(8, 160), height=st.integers(3, 46),
       plain=st.booleans())
def test_any_reading_at_any_size_fills_just_its_cells(face: Face, shown: dict[str, float], width: int, height: int,
                                                      plain: bool) -> None:
    strips = face.draw(face.key(shown, DIAL), width, height, PLAIN if plain else INK, DIAL)
    assert [strip.cell_length for strip in strips] == [width] * height
    assert [len(strip.text) for strip in strips] == [width] * height
    if plain:
        assert all(strip.text.isascii() for strip in strips)


@settings(max_examples=60, deadline=None)
@given(face=st.sampled_from(FACES), shown=readings)
def test_the_same_key_is_the_same_picture_whatever_was_drawn_between(face: Face, shown: dict[str, float]) -> None:
    key: Any = face.key(LEVEL, DIAL)
    first = [strip.text for strip in face.draw(key, 26, 13, INK, DIAL)]
    face.draw(face.key(shown, DIAL), 26, 13, INK, DIAL)
    assert [strip.text for strip in face.draw(key, 26, 13, INK, DIAL)] == first
    assert hash(key) == hash(face.key(dict(LEVEL), DIAL))


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.title)
def test_a_face_is_of_an_instrument_of_the_panel_and_looks_at_that_alone(face: Face) -> None:
    assert face.code in WHOLE_PANEL
    face.key(dict.fromkeys(FIELDS_OF[face.code], 0.0), DIAL)


@pytest.mark.parametrize(("face", "shown", "words"), [
    (airspeed.FACE, {"airspeed_kt": 104.0}, "104"),
    (altimeter.FACE, {"altitude_ft": 12_340.0}, "12,340"),
    (vertical_speed.FACE, {"vertical_speed_fpm": -1150.0}, "1150"),
    (heading.FACE, {"heading_deg": 7.0}, "007"),
], ids=["airspeed", "altimeter", "vertical speed", "heading"])
@pytest.mark.parametrize("ink", [INK, PLAIN], ids=["dots", "plain"])
def test_the_value_is_written_at_any_size(face: Face, shown: dict[str, float], words: str, ink: Ink) -> None:
    for width in (8, 12, 16, 18, 22, 26, 31, 60, 150):
        for height in (3, 6, 8, 9, 13, 20, 42):
            assert words in picture(face, (width, height), ink, **shown), (width, height)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.title)
def test_the_title_is_written_where_there_is_room(face: Face) -> None:
    for size in ((26, 13), (34, 17), (150, 42)):
        assert face.title in picture(face, size)
        assert face.title in picture(face, size, PLAIN)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.title)
@pytest.mark.parametrize("size", [(18, 9), (20, 9), (26, 13), (34, 17)])
@pytest.mark.parametrize("ink", [INK, PLAIN], ids=["dots", "plain"])
def test_no_words_stand_in_the_last_column_where_the_next_face_begins(face: Face, size: tuple[int, int],
                                                                      ink: Ink) -> None:
    for shown in ({}, {"vertical_speed_fpm": 1900.0, "turn_rate_dps": 2.25, "altitude_ft": 12_340.0}):
        assert not any(row[-1].isalnum() for row in rows(face, size, ink, **shown))


# --- airspeed ------------------------------------------------------------------------------------------


def test_the_airspeed_scale_begins_at_the_upper_right_and_runs_clockwise_without_closing() -> None:
    angles = [airspeed.needle_deg(knots, DIAL) for knots in range(airspeed.LOW_KT, airspeed.high_kt(DIAL) + 1, 10)]
    assert 15 < angles[0] < 60
    assert angles[-1] < 345
    steps = [after - before for before, after in pairwise(angles)]
    assert steps == pytest.approx([steps[0]] * len(steps))
    assert steps[0] > 0


def test_the_airspeed_needle_rests_on_a_stop_below_the_scale_and_above_it() -> None:
    low, first = airspeed.needle_deg(0, DIAL), airspeed.needle_deg(airspeed.LOW_KT, DIAL)
    assert low == airspeed.needle_deg(20, DIAL)
    assert low < first - 5
    assert airspeed.needle_deg(900, DIAL) == airspeed.needle_deg(300, DIAL) < low + 360 - 5


def test_the_scale_goes_beyond_the_never_exceed_speed_of_the_airplane() -> None:
    assert airspeed.high_kt(DIAL) >= FRAME.never_exceed_kt + 15
    fast = Dial(arcs=(SpeedArc("red", 212.0, 212.0),))
    assert airspeed.high_kt(fast) == 240
    assert "240" in picture_on(fast)


def picture_on(dial: Dial) -> str:
    """Return the airspeed indicator of another airplane."""
    return "\n".join(strip.text for strip in airspeed.FACE.draw(100, 34, 17, INK, dial))


def needle_colour_hidden(knots: int, colour: str) -> bool:
    """Say whether a needle at `knots` covers some of what is drawn in `colour`, in plain text."""
    resting = colours(airspeed.FACE, (60, 30), PLAIN, airspeed_kt=0.0)[colour]
    return len(colours(airspeed.FACE, (60, 30), PLAIN, airspeed_kt=float(knots))[colour]) < len(resting)


def test_green_goes_from_the_stall_to_the_most_in_cruise_and_yellow_on_to_the_never_exceed_speed() -> None:
    """14 CFR 23.1545, text before 2017: green Vs to Vno, yellow Vno to Vne, red line at Vne."""
    green = [knots for knots in range(40, 180) if needle_colour_hidden(knots, PLAIN.green)]
    yellow = [knots for knots in range(40, 180) if needle_colour_hidden(knots, PLAIN.yellow)]
    assert green[0] == pytest.approx(FRAME.stall_kt, abs=3)
    assert green[-1] == pytest.approx(FRAME.cruise_most_kt, abs=3)
    assert yellow[0] == pytest.approx(FRAME.cruise_most_kt, abs=3)
    assert yellow[-1] == pytest.approx(FRAME.never_exceed_kt, abs=3)


def test_the_needle_covers_the_red_line_at_the_never_exceed_speed_only() -> None:
    line = colours(airspeed.FACE, (60, 30), PLAIN, airspeed_kt=0.0)[PLAIN.red].replace("VNE", "")
    assert line
    at_it = colours(airspeed.FACE, (60, 30), PLAIN, airspeed_kt=FRAME.never_exceed_kt).get(PLAIN.red, "")
    assert "X" not in at_it
    for knots in (FRAME.never_exceed_kt - 5, FRAME.never_exceed_kt + 5):
        assert "X" in colours(airspeed.FACE, (60, 30), PLAIN, airspeed_kt=knots)[PLAIN.red]


def test_no_two_arcs_are_of_one_shape() -> None:
    drawn = colours(airspeed.FACE, (34, 17), PLAIN)
    shapes = [set(drawn[colour]) & set("=:X'") for colour in (PLAIN.green, PLAIN.yellow, PLAIN.red, PLAIN.mark)]
    assert shapes == [{"="}, {":"}, {"X"}, {"'"}]
    assert "VNE" in picture(airspeed.FACE, (34, 17))


def test_the_broken_arc_leaves_cells_out_that_a_solid_one_fills() -> None:
    def dots(colour: str) -> str:
        dial = Dial(arcs=(SpeedArc(colour, 60.0, 140.0),))
        return "".join(text for strip in airspeed.FACE.draw(0, 60, 30, INK, dial) for text, style, _ in strip
                       if style is not None and style.color is not None
                       and style.color.name == {"green": INK.green, "yellow": INK.yellow}[colour])

    full = chr(0x28FF)
    assert full in dots("green")
    assert full not in dots("yellow")


def test_the_white_arc_goes_from_the_stall_with_flaps_to_the_most_with_flaps_inside_of_the_green_one() -> None:
    """14 CFR 23.1545, text before 2017, (b)(4): white Vs0 to Vfe."""
    size = (60, 30)
    resting = picture(airspeed.FACE, size, PLAIN, airspeed_kt=0.0)
    white = [knots for knots in range(40, 180)
             if picture(airspeed.FACE, size, PLAIN, airspeed_kt=float(knots)).count("'") < resting.count("'")]
    assert white[0] == pytest.approx(FRAME.stall_landing_kt, abs=4)
    assert white[-1] == pytest.approx(FRAME.flaps_most_kt, abs=3)
    right_of_the_middle = [row[size[0] // 2:] for row in resting.splitlines() if "'" in row and "=" in row]
    assert right_of_the_middle
    assert all(row.rindex("'") < row.index("=") for row in right_of_the_middle)


def test_an_airplane_without_flap_speeds_on_its_dial_has_no_white_arc() -> None:
    bare = Dial(arcs=tuple(each for each in DIAL.arcs if each.colour != "white"))
    assert "'" not in "".join(strip.text for strip in airspeed.FACE.draw(100, 60, 30, PLAIN, bare))


# --- altimeter -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("feet", "hundreds", "thousands"), [
    (0, 0, 0), (250, 90, 9), (6000, 0, 216), (6500, 180, 234), (9980, 352.8, 359.28), (12_500, 180, 90),
])
def test_the_long_needle_goes_round_in_a_thousand_feet_and_the_short_one_in_ten(feet: float, hundreds: float,
                                                                                thousands: float) -> None:
    assert altimeter.hundreds_deg(feet) == pytest.approx(hundreds)
    assert altimeter.thousands_deg(feet) == pytest.approx(thousands)


def test_the_drum_shows_the_altitude_to_twenty_feet_as_the_words_do() -> None:
    assert "6,020" in picture(altimeter.FACE, (26, 13), altitude_ft=6013.0)
    assert "6,020" in picture(altimeter.FACE, (20, 9), altitude_ft=6027.0)
    assert "-140" in picture(altimeter.FACE, (26, 13), altitude_ft=-138.0)


def test_the_window_shows_the_setting_in_inches() -> None:
    for size in ((8, 3), (20, 9), (26, 13), (34, 17)):
        assert "29.92" in picture(altimeter.FACE, size)
        assert "30.01" in picture(altimeter.FACE, size, altimeter_setting_hpa=1016.26)


def test_figures_naught_to_nine_stand_around_the_altimeter() -> None:
    digits = picture(altimeter.FACE, (34, 17), altitude_ft=11_100.0)
    assert all(str(number) in digits.replace("29.92", "").replace("11,100", "") for number in range(10))


# --- vertical speed ------------------------------------------------------------------------------------


def test_zero_is_at_nine_o_clock_and_climb_goes_up() -> None:
    assert vertical_speed.needle_deg(0) == 270
    assert 270 < vertical_speed.needle_deg(500) < 360
    assert 180 < vertical_speed.needle_deg(-500) < 270


def test_the_rate_stops_at_full_scale_short_of_meeting_from_the_other_side() -> None:
    up, down = vertical_speed.needle_deg(9000), vertical_speed.needle_deg(-9000)
    assert up == vertical_speed.needle_deg(2000)
    assert down == vertical_speed.needle_deg(-2000)
    assert up - down < 350


def test_the_value_goes_no_further_than_the_needle() -> None:
    """The model's needle stops there too (`VSI_MOST_FPM`)."""
    assert vertical_speed.FULL_SCALE_FPM == VSI_MOST_FPM
    assert "+2000" in picture(vertical_speed.FACE, (26, 13), vertical_speed_fpm=3150.0)
    assert "-2000" in picture(vertical_speed.FACE, (26, 13), vertical_speed_fpm=-9000.0)


def test_up_and_down_are_written_and_the_value_has_its_sign() -> None:
    for ink in (INK, PLAIN):
        climbing = picture(vertical_speed.FACE, (26, 13), ink, vertical_speed_fpm=700.0)
        assert "+700" in climbing
        assert "UP" in climbing
        assert "DN" in climbing
        assert "-700" in picture(vertical_speed.FACE, (26, 13), ink, vertical_speed_fpm=-700.0)
    assert "DN 700" in picture(vertical_speed.FACE, (8, 3), vertical_speed_fpm=-700.0)


# --- turn coordinator ----------------------------------------------------------------------------------


@pytest.mark.parametrize("side", [-1, 1])
def test_the_wing_is_exactly_at_the_mark_in_a_standard_rate_turn(side: int) -> None:
    """A full circle in two minutes, 3 degrees a second (AC 91-75 section 4)."""
    assert turn.tilt_deg(side * 3.0, DIAL) == side * turn.STANDARD_RATE_TILT_DEG
    assert turn.tilt_deg(side * 2.75, DIAL) not in turn.MARKED_TILTS_DEG
    assert turn.tilt_deg(0.0, DIAL) in turn.MARKED_TILTS_DEG
    assert side * turn.STANDARD_RATE_TILT_DEG in turn.MARKED_TILTS_DEG


def wing_rows(rate: float, ink: Ink = INK) -> tuple[int, int]:
    """Return the rows of the airplane's leftmost and rightmost cells."""
    key: Any = turn.FACE.key({**LEVEL, "turn_rate_dps": rate}, DIAL)
    places = []
    for y, strip in enumerate(turn.FACE.draw(key, 34, 17, ink, DIAL)):
        x = 0
        for text, style, _ in strip:
            if style is not None and style.color is not None and style.color.name == ink.airplane:
                places += [(x + n, y) for n, character in enumerate(text) if character != " "]
            x += len(text)
    return min(places)[1], max(places)[1]


@pytest.mark.parametrize("ink", [INK, PLAIN], ids=["dots", "plain"])
def test_the_right_wing_goes_down_in_a_right_turn(ink: Ink) -> None:
    left, right = wing_rows(3.0, ink)
    assert left < right
    left, right = wing_rows(-3.0, ink)
    assert left > right
    left, right = wing_rows(0.0, ink)
    assert left == right


def test_every_quarter_of_a_degree_a_second_looks_different() -> None:
    for size in ((20, 9), (26, 13), (34, 17)):
        for ink in (INK, PLAIN):
            seen = [picture(turn.FACE, size, ink, turn_rate_dps=steps / 4) for steps in range(-24, 25)]
            assert len(set(seen)) == len(seen)


def test_the_airplane_leans_no_further_than_its_stop() -> None:
    assert turn.FACE.key({**LEVEL, "turn_rate_dps": 30.0}, DIAL) == turn.FACE.key({**LEVEL, "turn_rate_dps": 6.0}, DIAL)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("ink", [INK, PLAIN], ids=["dots", "plain"])
def test_the_flag_is_a_word_and_is_there_only_when_power_is_lost(size: tuple[int, int], ink: Ink) -> None:
    assert "OFF" in picture(turn.FACE, size, ink, turn_flag=1.0)
    assert "OFF" not in picture(turn.FACE, size, ink)


@pytest.mark.parametrize("size", [(20, 9), (26, 13), (34, 17)])
def test_the_turn_coordinator_says_two_minutes_left_and_right(size: tuple[int, int]) -> None:
    for ink in (INK, PLAIN):
        said = picture(turn.FACE, size, ink)
        assert "2 MIN" in said
        assert "L" in said
        assert "R" in said.replace("TURN", "")


def test_the_ball_goes_right_and_left_of_its_two_lines() -> None:
    def ball(at: float) -> int:
        row = next(row for row in rows(turn.FACE, (26, 13), PLAIN, ball=at) if "O" in row)
        return row.index("O") - row.index("-")

    assert ball(-1.0) <= 0 < ball(-0.5) < ball(0.0) < ball(0.5) < ball(1.0)
    assert "|O|" in picture(turn.FACE, (26, 13), PLAIN)
    assert "|O|" not in picture(turn.FACE, (26, 13), PLAIN, ball=0.3)
    seen = [picture(turn.FACE, (26, 13), ball=tenths / 10) for tenths in range(-10, 11)]
    assert len(set(seen)) == len(seen)


# --- heading -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shown", [0.0, 0.4, 359.6, 360.0])
def test_north_is_shown_as_three_six_naught(shown: float) -> None:
    for size in SIZES:
        assert "360" in picture(heading.FACE, size, heading_deg=shown)
        assert "000" not in picture(heading.FACE, size, heading_deg=shown)


def test_a_heading_stands_under_the_lubber_line_and_higher_ones_to_the_right() -> None:
    assert heading.on_the_case_deg(240, 240) == 0
    assert heading.on_the_case_deg(250, 240) == 10
    assert heading.on_the_case_deg(10, 350) == 20
    assert heading.on_the_case_deg(180, 270) == 270


@pytest.mark.parametrize(("shown", "above", "right", "below", "left"), [
    (0.0, "N", "E", "S", "W"), (90.0, "E", "S", "W", "N"), (180.0, "S", "W", "N", "E"), (270.0, "W", "N", "E", "S"),
])
@pytest.mark.parametrize("size", [(20, 9), (26, 13), (34, 17)])
@pytest.mark.parametrize("ink", [INK, PLAIN], ids=["dots", "plain"])
def test_the_card_turns_against_the_airplane(shown: float, above: str, right: str, below: str, left: str,
                                             size: tuple[int, int], ink: Ink) -> None:
    width, height = size
    card = [row.replace("HEADING", " " * 7) for row in rows(heading.FACE, size, ink, heading_deg=shown)]
    places = {letter: (row.index(letter), y) for y, row in enumerate(card) for letter in "NESW" if letter in row}
    assert abs(places[above][0] - width // 2) <= 1
    assert places[above][1] < height // 2 < places[below][1]
    assert places[left][0] < width // 2 < places[right][0]
    assert places[left][1] == places[right][1] == height // 2


def test_all_twelve_figures_are_on_the_card() -> None:
    words = picture(heading.FACE, (34, 17), PLAIN, heading_deg=75.0).replace("075", "").split()
    assert set(heading.CARD_FIGURES) <= set(words)


FIGURES: list[tuple[Face, Callable[[int], str], range]] = [
    (airspeed.FACE, str, range(60, 181, 20)), (vertical_speed.FACE, lambda fpm: str(fpm // 100), range(500, 2001, 500)),
]


@pytest.mark.parametrize(("face", "figure", "marks"), FIGURES, ids=["airspeed", "vertical speed"])
def test_figures_stand_at_the_marks(face: Face, figure: Callable[[int], str], marks: range) -> None:
    for size in ((20, 9), (26, 13), (34, 17)):
        words = picture(face, size, PLAIN).replace("+", " ").replace("X100", "").replace("[", " ").split()
        assert {figure(each) for each in marks} <= set(words)
