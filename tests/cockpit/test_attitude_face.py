"""The attitude indicator's picture says what the instrument shows."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.color import Color

from drill.cockpit.faces.attitude import FACE, Attitude
from drill.cockpit.faces.face import Dial, covered_face
from drill.cockpit.ink import Ink

INK = Ink()
DIAL = Dial()
WIDTH, HEIGHT = 26, 13


def grounds(bank_deg: int, pitch_half_deg: int = 0, width: int = WIDTH, height: int = HEIGHT) -> list[str]:
    """Return each row as letters: s where the ground is sky, e where it is earth, for cells that are one of them."""
    letters = {Color.parse(INK.sky): "s", Color.parse(INK.earth): "e"}
    rows = []
    for strip in FACE.draw(Attitude(bank_deg, pitch_half_deg), width, height, INK, DIAL):
        row = ""
        for segment in strip:
            assert segment.style is not None
            assert segment.style.bgcolor is not None
            row += letters[segment.style.bgcolor] * len(segment.text)
        rows.append(row)
    return rows


def share_of_sky(rows: list[str]) -> float:
    return "".join(rows).count("s") / sum(len(row) for row in rows)


def test_level_the_horizon_is_one_straight_line_with_sky_above() -> None:
    rows = grounds(0)
    assert set(rows[: HEIGHT // 2]) == {"s" * WIDTH}
    assert set(rows[HEIGHT // 2 :]) == {"e" * WIDTH}


def test_nose_up_shows_more_sky_and_nose_down_more_earth() -> None:
    shares = [share_of_sky(grounds(0, pitch)) for pitch in (-20, -10, 0, 10, 20)]
    assert shares == sorted(shares)
    assert len(set(shares)) == 5


@pytest.mark.parametrize("size", [(26, 13), (26, 12), (18, 9), (150, 42), (14, 7)])
@pytest.mark.parametrize("bank", [0, 45, -60, 90, 180])
def test_at_any_pitch_some_earth_and_some_sky_stay_on_the_face(size: tuple[int, int], bank: int) -> None:
    for pitch_half_deg in (-170, -60, 60, 170):
        rows = grounds(bank, pitch_half_deg, *size)
        share = share_of_sky(rows)
        assert 0.01 < share < 0.99
        assert (share > 0.5) == (pitch_half_deg > 0)


def test_the_pitch_marks_go_on_where_the_horizon_has_stopped() -> None:
    steep, steeper = ("\n".join(strip.text for strip in FACE.draw(Attitude(0, pitch), WIDTH, HEIGHT, INK, DIAL))
                      for pitch in (90, 160))
    assert grounds(0, 90) == grounds(0, 160)
    assert ("50" in steep, "70" in steep) == (True, False)
    assert ("50" in steeper, "70" in steeper) == (False, True)


@pytest.mark.parametrize("size", [(26, 13), (24, 12), (34, 17)])
@pytest.mark.parametrize("bank", [0, 30, 60, -60, 120])
def test_pitch_figures_are_whole_or_not_there(size: tuple[int, int], bank: int) -> None:
    for pitch in range(-60, 61, 5):
        for ink in (INK, Ink(plain=True)):
            text = " ".join(strip.text for strip in FACE.draw(Attitude(bank, pitch * 2), *size, ink, DIAL))
            assert all(re.fullmatch(r"[1-8]0", figure) for figure in re.findall(r"[0-9]+", text))


def test_right_wing_down_lifts_the_horizon_on_the_right() -> None:
    rows = grounds(30)
    left = sum(row[0] == "s" for row in rows)
    right = sum(row[-1] == "s" for row in rows)
    assert left > right


def test_left_wing_down_is_the_mirror_of_right_wing_down() -> None:
    for right, left in zip(grounds(25), grounds(-25), strict=True):
        assert abs(right.count("s") - left.count("s")) <= 1


def test_on_its_back_the_earth_is_above() -> None:
    rows = grounds(180)
    assert rows[0] == "e" * WIDTH
    assert rows[-1] == "s" * WIDTH


def test_knife_edge_to_the_right_leaves_the_sky_on_the_left() -> None:
    row = grounds(90)[HEIGHT - 1]
    assert row[0] == "s"
    assert row[-1] == "e"


@pytest.mark.parametrize("rolled", [-170, -80, -55, -30, 30, 55, 80, 170])
@pytest.mark.parametrize("ink", [INK, Ink(plain=True), Ink(texture=True)], ids=["dots", "plain", "texture"])
def test_a_tumbled_horizon_lies_as_it_spins_or_stopped_like_no_picture_of_level_wings(rolled: int, ink: Ink) -> None:
    shown = {"bank_deg": float(rolled), "pitch_deg": 2.0, "attitude_tumbled": 1.0}    # where a gyro stops: 30 to 80
    key = FACE.key(shown, DIAL)
    lying = picture(key, ink)
    assert lying == picture(Attitude(rolled, 4), ink)
    assert lying not in [picture(Attitude(bank, pitch), ink) for bank in (-1, 0, 1) for pitch in range(-50, 51)]


def picture(attitude: Attitude, ink: Ink) -> str:
    """Return the characters and the grounds of the face."""
    strips = FACE.draw(attitude, WIDTH, HEIGHT, ink, DIAL)
    return "\n".join(f"{segment.text}{segment.style}" for strip in strips for segment in strip)


@pytest.mark.parametrize("bank", [55, 80, -55, -80])
def test_a_horizon_on_its_side_stands_as_steep_as_the_bank_that_is_shown(bank: int) -> None:
    rows = grounds(bank)
    left, right = ("s", "e") if bank > 0 else ("e", "s")
    assert all(row == left * row.count(left) + right * row.count(right) for row in rows)
    steps = (rows[0].count(left) - rows[-1].count(left)) / (HEIGHT - 1)
    assert steps == pytest.approx(2 / math.tan(math.radians(abs(bank))) * (1 if bank > 0 else -1), abs=0.15)


def test_a_degree_of_bank_and_half_a_degree_of_pitch_are_the_finest_that_is_drawn() -> None:
    shown = {"bank_deg": 12.3, "pitch_deg": 2.1}
    assert FACE.key(shown, DIAL) == FACE.key({"bank_deg": 11.8, "pitch_deg": 2.2}, DIAL)
    assert FACE.key(shown, DIAL) != FACE.key({"bank_deg": 13.4, "pitch_deg": 2.1}, DIAL)


def test_every_whole_degree_of_bank_to_sixty_is_a_picture_of_its_own() -> None:
    pictures = {tuple(map(str, (strip.text for strip in FACE.draw(Attitude(bank, 0), WIDTH, HEIGHT, INK, DIAL))))
                for bank in range(-60, 61)}
    assert len(pictures) >= 115


def test_without_colour_the_earth_has_a_pattern_and_the_sky_none() -> None:
    rows = [strip.text for strip in FACE.draw(Attitude(0, 0), WIDTH, HEIGHT, Ink(texture=True), DIAL)]
    assert "".join(rows[: HEIGHT // 2]).count(":") == 0
    assert "".join(rows[HEIGHT // 2 :]).count(":") > WIDTH * 3


def test_the_plain_face_is_ascii_alone() -> None:
    for bank in range(-180, 181, 15):
        for strip in FACE.draw(Attitude(bank, 9), WIDTH, HEIGHT, Ink(plain=True), DIAL):
            assert strip.text.isascii()


@given(st.integers(-180, 180), st.integers(-180, 180), st.integers(1, 160), st.integers(1, 46), st.booleans())
def test_any_attitude_fills_any_size_exactly(bank: int, pitch: int, width: int, height: int, plain: bool) -> None:
    strips = FACE.draw(Attitude(bank, pitch), width, height, Ink(plain=plain), DIAL)
    assert [strip.cell_length for strip in strips] == [width] * height
    assert all(len(strip.text) == width for strip in strips)


@given(st.integers(8, 160), st.integers(3, 46))
def test_a_covered_instrument_says_that_it_is_covered(width: int, height: int) -> None:
    strips = covered_face("ATTITUDE", width, height, INK)
    assert [strip.cell_length for strip in strips] == [width] * height
    assert "COVERED" in strips[height // 2].text
