"""The plots: two lines told apart by shape, everything in its place, any size, and ASCII alone where that is wanted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from grading.builders import flown, scenario
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.cockpit.debrief.pieces import Plot
from drill.cockpit.debrief.plot_face import LEAST_COLUMNS, LEAST_ROWS, LEFT, RIGHT, draw, head
from drill.cockpit.debrief.plots_view import scale_of
from drill.cockpit.debrief.timeline import clock
from drill.cockpit.debrief.words import told
from drill.cockpit.ink import Ink
from drill.grading import grade

PLAIN = Ink(plain=True)
EVENTS = flown(seconds=600, bank=lambda t, _: 50.0 if t > 500.0 else 0.0)
PLOTS = {each.name: each for each in told(grade(scenario(), EVENTS, 1), EVENTS).plots}
FLAT = Plot("bank", "deg", "deg", (0.0, 100.0), (0.0, 0.0), (20.0, 20.0), (-30.0, 30.0), (-30.0, 30.0),
            ((0.0, "level"),), None, (), None, "")


def rows(plot: Plot, width: int = 80, height: int = 10, ink: Ink = PLAIN, at: float | None = None) -> list[str]:
    return [strip.text for strip in draw(plot, 600.0, (width, height), ink, [(120.0, "X")], at)]


def test_there_are_the_five_plots() -> None:
    assert list(PLOTS) == ["bank", "heading", "altitude", "airspeed", "suction"]


def test_the_two_lines_differ_by_shape_and_each_has_its_name_at_its_end() -> None:
    shown, true = (next(row for row in rows(replace(FLAT, t=(0.0, 600.0)))[1:] if row.rstrip().endswith(name))
                   for name in ("shown", "true"))
    assert "*" * 20 in shown
    assert "o" * 20 in true
    assert "o" not in shown.replace("shown", "")


def test_where_the_lines_meet_both_are_seen_to() -> None:
    same = replace(FLAT, t=(0.0, 600.0), true=(0.0, 0.0))
    drawn = rows(same)[1:]
    assert any("#" * 20 in row for row in drawn)
    assert [row.split()[-1] for row in drawn if row.rstrip().endswith(("shown", "true"))] == ["shown", "true"]


def test_without_ascii_shown_is_solid_and_true_is_broken_however_dense_the_points_are() -> None:
    dense = tuple(float(second) for second in range(601))
    plot = replace(FLAT, t=dense, shown=(10.0,) * 601, true=(-10.0,) * 601)
    drawn = rows(plot, ink=Ink())[1:]
    shown, true = (next(row for row in drawn if row.rstrip().endswith(name))[LEFT:-RIGHT - 4]
                   for name in ("shown", "true"))
    assert " " not in shown
    assert "  " in true or len(set(true)) > 1
    assert true != shown


def test_a_direction_that_goes_round_is_no_line_across_the_plot() -> None:
    crossing = replace(FLAT, name="heading", t=(0.0, 300.0, 301.0, 600.0), shown=(10.0, 170.0, -170.0, -10.0),
                       true=(None,) * 4, scale=(-180.0, 180.0), jump=180.0)
    at = rows(crossing, height=20)
    middle = [row[LEFT + (80 - LEFT - RIGHT) // 2 - 1 : LEFT + (80 - LEFT - RIGHT) // 2 + 2] for row in at[6:15]]
    assert "*" not in "".join(middle)


def test_a_gap_stays_a_gap() -> None:
    gap = replace(FLAT, t=(0.0, 100.0, 200.0, 500.0, 600.0), shown=(0.0, 0.0, None, 0.0, 0.0), true=(None,) * 5)
    row = next(row for row in rows(gap) if "***" in row)
    assert "   " in row[row.index("*") : row.rindex("*")]


def test_the_head_says_what_was_shown_and_true_at_the_moment_selected() -> None:
    assert head(PLOTS["bank"], None) == "BANK  solid: shown, dashed: true"
    assert head(PLOTS["bank"], None, plain=True) == "BANK  *: shown, o: true"
    assert head(PLOTS["bank"], 240.0) == "BANK  4:00: shown 6 left, true level"
    assert head(PLOTS["suction"], 240.0).endswith("4:00: gauge 0.0 inHg, gyro 0 %")
    assert rows(PLOTS["bank"], at=240.0)[0].startswith("BANK  4:00: shown 6 left, true level")


def test_a_failure_and_the_moment_selected_stand_at_their_times() -> None:
    drawn = rows(PLOTS["altitude"], at=300.0)
    cells = 80 - LEFT - RIGHT
    assert abs(drawn[1].index("X") - (LEFT + cells * 120 / 600)) <= 1
    assert all(row[LEFT + cells // 2 - 1 : LEFT + cells // 2 + 1].strip() for row in drawn[1:])


@pytest.mark.parametrize("ink", [Ink(), PLAIN])
@settings(deadline=None)
@given(width=st.integers(0, 200), height=st.integers(0, 30), name=st.sampled_from(list(PLOTS)),
       at=st.none() | st.floats(-10.0, 700.0))
def test_any_size_is_filled_exactly(ink: Ink, width: int, height: int, name: str, at: float | None) -> None:
    drawn = draw(PLOTS[name], 600.0, (width, height), ink, [(120.0, "X"), (0.0, "e"), (600.0, "1")], at)
    assert [strip.cell_length for strip in drawn] == [width] * height
    if width >= LEAST_COLUMNS and height >= LEAST_ROWS:
        assert drawn[0].text.startswith(head(PLOTS[name], at, plain=ink.plain)[:width])


@settings(deadline=None)
@given(st.sampled_from(list(PLOTS)), st.none() | st.floats(0.0, 600.0))
def test_in_ascii_nothing_else_is_drawn(name: str, at: float | None) -> None:
    assert all(row.isascii() for row in rows(PLOTS[name], at=at))


@settings(deadline=None)
@given(st.floats(0.0, 20_000.0), st.integers(21, 200))
def test_the_times_below_are_round_ones_in_their_order_and_the_end_of_the_flight(length_s: float, cells: int) -> None:
    row = scale_of(length_s, cells)
    assert len(row) == cells
    said = row.split()
    assert said[-1] == clock(length_s)
    seconds = [int(each.split(":")[0]) * 60 + int(each.split(":")[1]) for each in said]
    assert seconds == sorted(set(seconds))
    assert all(each % 5 == 0 for each in seconds[:-1]) or length_s > 3600.0 * max(1, cells // 12)


def test_half_an_hour_is_marked_each_five_minutes() -> None:
    assert scale_of(1727.0, 96).split() == ["0:00", "5:00", "10:00", "15:00", "20:00", "25:00", "28:47"]


def test_nothing_to_plot_is_drawn_as_an_empty_frame() -> None:
    nothing = replace(FLAT, t=(), shown=(), true=())
    assert rows(nothing, at=10.0)[0].startswith("BANK  0:10: shown none, true none")
