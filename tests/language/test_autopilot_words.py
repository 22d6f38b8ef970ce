"""Words for the standby attitude indicator, the autopilot and the heading bug."""

from __future__ import annotations

import pytest

from drill.language import read
from drill.language.meaning import Altitude, Compare, Context, Cover, Diagnose, FlyBy, Look, Switch, Turn

CONTEXT = Context("Larkspur 5304W", "Orrinfell Approach", ("Wendle",))


@pytest.mark.parametrize("line", ["autopilot off", "disconnect the autopilot", "hand fly", "fly it by hand",
                                  "take the airplane by hand", "I have the airplane", "stop following the autopilot"])
def test_flying_by_hand_is_the_autopilot_switched_off(line: str) -> None:
    assert read(line, CONTEXT) == [Switch("autopilot", "off")]


@pytest.mark.parametrize("line", ["autopilot on", "fly by autopilot", "let the autopilot fly", "use the autopilot"])
def test_giving_the_airplane_to_the_autopilot_is_switching_it_on(line: str) -> None:
    assert read(line, CONTEXT) == [Switch("autopilot", "on")]


@pytest.mark.parametrize("line", ["set the heading bug to 270", "heading bug 270", "bug 270", "heading select 270"])
def test_the_heading_bug_is_an_order_to_turn_there(line: str) -> None:
    assert read(line, CONTEXT) == [Turn(heading_deg=270)]


def test_altitude_hold_keeps_the_present_altitude() -> None:
    assert read("altitude hold", CONTEXT) == [Altitude(None, "hold")]


def test_a_standby_horizon_is_an_instrument_of_its_own() -> None:
    assert read("fly by the standby horizon", CONTEXT) == [FlyBy("standby_instrument")]
    assert read("cover the standby attitude indicator", CONTEXT) == [Cover("standby_instrument")]
    assert read("look at the electric horizon", CONTEXT) == [Look("standby_instrument")]
    assert read("the standby horizon has failed", CONTEXT) == [Diagnose(("standby_instrument",))]
    assert read("compare the standby horizon with the attitude indicator", CONTEXT) == [
        Compare(("attitude_indicator", "standby_instrument"))]
