"""Several orders in one breath, with no comma between them; what is not understood of them is never dropped in "
  "silence."""

from __future__ import annotations

import pytest

from drill.language import read
from drill.language.meaning import (
    Altitude,
    Compare,
    Context,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    Look,
    Switch,
    Transmit,
    Turn,
    Unclear,
)

HERE = Context("Larkspur 04W", "Tallowby Approach", ("Wendle",))


@pytest.mark.parametrize(("line", "actions"), [
    ("turn lft hdg 200 and clmb to 7000", [Turn("left", 200), Altitude(7000, "climb")]),
    ("turn left heading 240 descend and maintain 3000", [Turn("left", 240), Altitude(3000, "descend")]),
    ("cover ai level wings turn left hdg 200", [Cover("attitude_indicator"), LevelWings(), Turn("left", 200)]),
    ("ap off cover ai level wings trun rihgt hdg 130",
     [Switch("autopilot", "off"), Cover("attitude_indicator"), LevelWings(), Turn("right", 130)]),
    ("pitot heat on check the airspeed", [Switch("pitot_heat", "on"), Look("airspeed_indicator")]),
    ("look at the turn coordinator turn left", [Look("turn_coordinator"), Turn("left")]),
    ("we lost the pump but the AI still looks ok, covering it anyway",
     [Diagnose(("vacuum_system",)), Cover("attitude_indicator")]),
    ("we're visual, bin the IFR, cancel it", [Decide("cancel_ifr")]),
])
def test_orders_that_run_on_are_all_taken_in_their_order(line: str, actions: list[object]) -> None:
    assert read(line, HERE) == actions


def test_a_call_that_follows_orders_without_a_comma_is_sent() -> None:
    *flown, said = read("partial panel descend 3000 tell approach we lost the vacuum", HERE)
    assert flown == [FlyBy("partial_panel"), Altitude(3000, "descend")]
    assert isinstance(said, Transmit)
    assert said.call == "we lost the vacuum"


@pytest.mark.parametrize(("line", "action"), [
    ("start turn left", Turn("left")), ("fly partial panel", FlyBy("partial_panel")),
    ("go partial panel", FlyBy("partial_panel")), ("climb to 5000 and hold", Altitude(5000, "climb")),
    ("level off at 4500 and hold it there", Altitude(4500, "hold")),
    ("set hdg 360, left turn", Turn("left", 360)), ("up to eight thousand, climb", Altitude(8000, "climb")),
    ("radio master, avionics off", Switch("avionics", "off")), ("static source, select alternate",
                                                                Switch("alternate_static", "on")),
    ("xcheck ai tc dg compass",
     Compare(("attitude_indicator", "heading_indicator", "magnetic_compass", "turn_coordinator"))),
])
def test_one_order_that_only_looks_like_two_is_one(line: str, action: object) -> None:
    assert read(line, HERE) == [action]


def test_what_is_not_understood_after_an_order_is_asked_about() -> None:
    assert read("turn right heading 200 and frob to 7000", HERE) == [
        Turn("right", 200), Unclear('Not understood: "frob to 7000".')]


@pytest.mark.parametrize(("line", "action"), [
    ("turn right 30 degrees, no make that 20, left", Turn("left", by_deg=20)), ("come left 20, no, 30", Turn("left",
                                                                                                             by_deg=30)),
    ("squawk 1000... make it 7700", "7700"), ("pitot heat on - oops wrong, I mean off", Switch("pitot_heat", "off")),
    ("squawk 7500 jk 7700", "7700"), ("240, turn to it from the left", Turn("left", 240)),
])
def test_the_last_of_what_is_corrected_counts(line: str, action: object) -> None:
    done, = read(line, HERE)
    assert action in (done, getattr(done, "code", None))
