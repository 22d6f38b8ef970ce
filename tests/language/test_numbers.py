"""Numbers as pilots say them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.language.durations import durations
from drill.language.numbers import join_numbers, spoken_altitude, spoken_digits, spoken_heading
from drill.language.words import joined, tokens


def digits(said):
    return joined(join_numbers(tokens(said)))


@pytest.mark.parametrize(("said", "written"), [
    # AIM 4-2-7, table of figures: the sounds of three, four, five, nine and zero
    ("tree", "tree"),   # alone it is the plant; among figures it is three
    ("one tree zero", "130"), ("fower fife niner", "459"), ("zero zero fife", "005"),
    # AIM 4-2-8 a and b: figures in hundreds and thousands
    ("five hundred", "500"), ("four thousand five hundred", "4500"), ("one zero thousand", "10000"),
    ("one three thousand five hundred", "13500"),
    # AIM 4-2-9: altitudes and flight levels
    ("one two thousand five hundred", "12500"), ("flight level one niner zero", "19000"), ("FL190", "19000"),
    # AIM 4-2-10: directions
    ("one zero zero", "100"), ("zero zero five", "005"), ("three six zero", "360"),
    # AIM 4-2-11: speeds
    ("one niner zero knots", "190 knots"),
    # AIM 4-2-8 e, ICAO Annex 10 vol II 5.2.1.4: point, decimal
    ("one two two point one", "122.1"), ("one one eight decimal three", "118.3"),
    # common practice, no source
    ("5k", "5000"), ("5,000", "5000"), ("6,500, 12 miles", "6500 , 12 miles"), ("three fifty", "350"),
    ("two ten", "210"), ("thirty-five", "35"), ("eighty five", "85"), ("90kt", "90 kt"),
    ("a hundred knots", "100 knots"),
    ("heading 090 4000", "heading 090 4000"), ("niner thousand five hundred", "9500"), ("7 7 0 0", "7700"),
])
def test_numbers_are_read_in_every_form_they_are_said(said, written):
    assert digits(said) == written


@given(st.integers(1, 599).map(lambda hundreds: hundreds * 100))
def test_an_altitude_said_aloud_is_read_back_as_the_same_feet(feet):
    assert digits(spoken_altitude(feet)) == str(feet)


@given(st.integers(1, 360))
def test_a_heading_said_aloud_is_read_back_in_its_three_digits(degrees):
    assert digits(spoken_heading(degrees)) == f"{degrees:03d}"


@given(st.integers(0, 7777).map(lambda n: f"{n:04d}"))
def test_a_code_keeps_its_leading_zeros(code):
    assert digits(spoken_digits(code)) == code


@given(st.integers(118_000, 136_990).map(lambda khz: f"{khz / 1000:.3f}".rstrip("0").rstrip(".")))
def test_a_frequency_said_aloud_is_read_back(frequency):
    assert digits(spoken_digits(frequency)) == frequency


@pytest.mark.parametrize(("said", "seconds"), [
    ("half a minute", 30), ("a minute and a half", 90), ("2 minutes", 120), ("an hour and a half", 5400),
    ("1 hour 40", 6000), ("2 hours 10 minutes", 7800), ("2+15", 8100), ("1.5 hours", 5400), ("half an hour", 1800),
    ("1 minute and 30 seconds", 90), ("10 seconds", 10), ("3 hours", 10800), ("2 and a half hours", 9000),
])
def test_lengths_of_time_are_read(said, seconds):
    assert [each.seconds for each in durations(said)] == [seconds]
