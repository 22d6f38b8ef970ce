"""Ice at the pitot: where it forms, how fast, what heat does. Rates are the model's own choice."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.airplane import FLOATS, Air, Controls, Faults, World
from drill.airplane.constants import FOOT, ICE_FULL_S, STEP_S
from drill.airplane.motion import level
from drill.airplane.pitot_static import PitotStatic, advance, iced, icing_here, start

HEAT = Controls(pitot_heat=1.0)
OFF = Controls()
SOUND = Faults()


def icy(icing: str, base_ft: float = 3000.0, tops_ft: float = 9000.0, freezing_ft: float = 5000.0) -> World:
    return World(air=Air(icing=icing, cloud_base_ft=base_ft, cloud_tops_ft=tops_ft, freezing_level_ft=freezing_ft))


def after(seconds: float, world: World, altitude_ft: float = 6000.0, controls: Controls = OFF,
          faults: Faults = SOUND, volts: float = 28.0, lines: PitotStatic | None = None) -> PitotStatic:
    there = level(world, altitude_ft * FOOT, 0.0, 56.0, 60.0, 0.0)
    lines = start(FLOATS, there) if lines is None else lines
    for _ in range(round(seconds / STEP_S)):
        lines = advance(world, lines, there, controls, faults, volts)
    return lines


@pytest.mark.parametrize(("altitude_ft", "forms"), [
    (4000, False),    # in cloud, warm
    (6000, True),
    (8900, True),
    (9100, False),    # on top
    (2500, False),    # below the cloud
])
def test_ice_forms_in_cloud_above_the_freezing_level_and_nowhere_else(altitude_ft: float, forms: bool) -> None:
    # visible moisture and an outside temperature at or below freezing: FAA-H-8083-15B ch. 4 (chapter from memory)
    world = icy("light")
    there = level(world, altitude_ft * FOOT, 0.0, 56.0, 60.0, 0.0)
    assert icing_here(world, there) == float(forms)
    assert (iced(after(20.0, world, altitude_ft)) > 0.0) is forms


def test_without_cloud_or_with_no_icing_in_it_no_ice_forms() -> None:
    for world in (icy("none"), icy("moderate", base_ft=0.0, tops_ft=0.0), World(air=Air(icing="moderate"))):
        assert iced(after(20.0, world)) == 0.0


@pytest.mark.parametrize("icing", ["light", "moderate"])
def test_the_opening_of_an_unheated_pitot_closes_in_its_time(icing: str) -> None:
    whole = ICE_FULL_S[icing]
    half = after(whole / 2.0, icy(icing))
    assert iced(half) == pytest.approx(0.5, abs=0.01)
    full = after(whole / 2.0 + 15.0, icy(icing), lines=half)
    assert iced(full) == 1.0
    assert full.airspeed_kt < 10.0


def test_ice_makes_the_airspeed_sag_little_by_little() -> None:
    lines, reads = after(1.0, icy("moderate")), []
    for _ in range(11):
        lines = after(10.0, icy("moderate"), lines=lines)
        reads.append(float(lines.airspeed_kt))
    assert reads == sorted(reads, reverse=True)
    assert all(a - b < 15.0 for a, b in pairwise(reads[:9]))


def test_pitot_heat_keeps_the_opening_clear() -> None:
    assert iced(after(60.0, icy("moderate"), controls=HEAT)) == 0.0


def test_pitot_heat_melts_ice_within_about_a_minute_and_the_airspeed_comes_back() -> None:
    iced_up = after(130.0, icy("moderate"))
    assert iced_up.airspeed_kt < 10.0
    half = after(30.0, icy("moderate"), controls=HEAT, lines=iced_up)
    assert iced(half) == pytest.approx(0.5, abs=0.01)
    clear = after(40.0, icy("moderate"), controls=HEAT, lines=half)
    assert iced(clear) == 0.0
    assert clear.airspeed_kt == pytest.approx(after(1.0, icy("moderate")).airspeed_kt, abs=1.0)


@pytest.mark.parametrize(("faults", "volts"), [(Faults(pitot_heat=0.0), 28.0), (Faults(), 0.0), (Faults(), 18.0)])
def test_a_burnt_element_or_a_bus_without_power_does_not_melt_anything(faults: Faults, volts: float) -> None:
    assert iced(after(60.0, icy("moderate"), controls=HEAT, faults=faults, volts=volts)) == pytest.approx(0.5, abs=0.01)


def test_heat_does_not_clear_an_opening_that_is_closed_by_something_else() -> None:
    lines = after(60.0, World(), controls=HEAT, faults=Faults(pitot_ram=1.0))
    assert lines.airspeed_kt < 1.0


def test_ice_stays_in_cold_clear_air_and_thaws_below_the_freezing_level() -> None:
    lines = after(60.0, icy("moderate"))
    on_top = after(60.0, icy("moderate"), 9500.0, lines=lines)
    assert iced(on_top) == iced(lines)
    assert iced(after(90.0, icy("moderate"), 4000.0, lines=on_top)) == 0.0


def test_nothing_forms_on_an_airplane_that_is_parked() -> None:
    world = icy("moderate", base_ft=0.0, freezing_ft=0.0)
    parked = replace(level(world, 100.0, 0.0, 56.0, 60.0, 0.0), parked=1.0)
    assert icing_here(world, parked) == 0.0


@given(base=st.floats(0.0, 9000.0), tops=st.floats(0.0, 12_000.0), freezing=st.floats(0.0, 12_000.0),
       here=st.floats(0.0, 12_000.0))
def test_ice_needs_the_layer_and_the_cold_together(base: float, tops: float, freezing: float, here: float) -> None:
    world = icy("light", base, tops, freezing)
    there = replace(level(World(), 1000.0, 0.0, 56.0, 60.0, 0.0), altitude_m=here * FOOT)
    assert icing_here(world, there) == float(base * FOOT < here * FOOT < tops * FOOT and freezing * FOOT < here * FOOT)
