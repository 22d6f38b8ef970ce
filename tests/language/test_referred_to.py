"""What is named once and spoken of again: one of several, it, there, the other state of the same part."""

import pytest

from drill.language import read, read_call
from drill.language.meaning import Airspeed, Altitude, Context, Decide, Diagnose, Look, Turn, Unclear, Uncover

HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Wendle", "Sandry"))


@pytest.mark.parametrize(("call", "failed"), [
    ("the second alternator may go as well, the first one's already offline", ("alternator",)),
    ("main altimeter is fine, it's the standby one that's dead", ("altimeter",)),
    ("airspeed came alive then died on the climb", ("airspeed_indicator",)),
    ("the compass and the DG do not agree, suspect the DG", ("heading_indicator",)),
    ("we've lost nav one and transponder one, number two units are working", ("navigation", "transponder")),
    ("the transponder is reported as unreliable", ("transponder",)),
    ("all the gyros are spinning as they should", ()),
    ("the alternator is out for good", ("alternator",)),
    ("the vacuum needle keeps dipping and coming back", ("vacuum_system",)),
    ("the transponder code keeps changing by itself", ("transponder",)),
    ("the autopilot keeps letting go", ("autopilot",)),
    ("the DG is a passenger", ("heading_indicator",)),
    ("we did not say the engine has failed", ()),
    ("if we can't get the alternator back on line we'll divert", ("alternator",)),
    ("if the weather does not improve we will use the autopilot", ()),
    ("if the icing does not get better I want the localizer approach", ()),
])
def test_part_spoken_of_again_is_the_one_that_was_named(call, failed):
    assert read_call(f"Orrinfell, Larkspur 04W, {call}", HERE).equipment == failed


@pytest.mark.parametrize(("line", "actions"), [
    ("let me see the DG again, cover off", [Uncover("heading_indicator")]),
    ("the compass has no fluid left, can't trust it", [Diagnose(("magnetic_compass",))]),
    ("both altimeters are off, put it down to the static", [Diagnose(("altimeter", "static_system"))]),
    ("our alternate is Sandry, divert there", [Decide("divert", "Sandry")]),
    ("nearest is Sandry, go there", [Decide("divert", "Sandry")]),
    ("lose five hundred, go to 3500", [Altitude(3500, "descend")]),
    ("alter course right thirty degrees", [Turn("right", by_deg=30)]),
    ("have a look at the VSI, are we going down?", [Look("vertical_speed_indicator")]),
    ("rocking a bit, descend to 3500", [Altitude(3500, "descend")]),
    ("climb to 9000 and airspeed 110", [Altitude(9000, "climb"), Airspeed(110)]),
])
def test_order_about_what_was_named_is_done_to_it(line, actions):
    assert read(line, HERE) == actions


@pytest.mark.parametrize("line", ["back to the left", "go to the handheld"])
def test_going_back_to_what_is_no_field_is_no_diversion(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


@pytest.mark.parametrize("line", [
    "ask for vectors if it gets worse", "ask approach for lower if the ice comes back",
])
def test_a_request_on_a_condition_is_not_sent(line):
    assert all(isinstance(action, Unclear) for action in read(line, HERE))


def test_vectors_there_are_vectors_to_the_field_named_before():
    asked = read_call("Orrinfell, Larkspur 04W, going to Wendle, request vectors there", HERE).assistance
    assert set(asked) == {"named_airport", "vectors"}
