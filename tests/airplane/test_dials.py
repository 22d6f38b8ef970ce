"""The faces carry the marks that pilots expect."""

import pytest

from drill.airplane import dials
from drill.airplane.airframe import Airframe


def test_bank_marks_stand_at_10_20_30_45_and_60_degrees() -> None:
    # Common practice, no source.
    assert dials.BANK_MARKS_DEG == (10, 20, 30, 45, 60)


def test_long_pitch_marks_stand_each_ten_degrees_and_short_ones_half_way() -> None:
    # Common practice, no source.
    marks = dials.pitch_marks(-20, 20)
    assert [mark for mark, is_long in marks if is_long] == [-20, -10, 10, 20]
    assert [mark for mark, is_long in marks if not is_long] == [-15, -5, 5, 15]


def test_the_arcs_run_from_stall_to_never_exceed_without_a_gap() -> None:
    # 14 CFR 23.1545 (text before 2017): green Vs1 to Vno, yellow Vno to Vne, red radial line at Vne.
    _, green, yellow, red = dials.airspeed_arcs(Airframe())
    assert (green.high, yellow.high) == (yellow.low, red.low)
    assert green.low < green.high < yellow.high


def test_the_white_arc_runs_from_the_stall_with_flaps_out_to_the_most_with_flaps() -> None:
    # 14 CFR 23.1545 (text before 2017) (b)(4): white from Vs0 to Vfe, so from below the green arc to within it.
    white, green, *_ = dials.airspeed_arcs(Airframe(stall_landing_kt=41.0, flaps_most_kt=92.0))
    assert (white.colour, white.low, white.high) == ("white", 41.0, 92.0)
    assert white.low < green.low < white.high < green.high


@pytest.mark.parametrize(
    ("bank", "words"),
    [(0, ""), (3, ""), (-7, "short of the 10 mark"), (11, "at the 10 mark"), (-25, "between the 20 and 30 marks"),
     (37, "between the 30 and 45 marks"), (44, "at the 45 mark"), (-80, "past the 60 mark")],
)
def test_a_bank_is_read_against_the_marks(bank: float, words: str) -> None:
    assert dials.by_the_marks(bank) == words
