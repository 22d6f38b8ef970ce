"""What an act brought about lasts until it is taken back: covers, references, switches, codes, decisions."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Trace
from drill.grading.timeline import QUIET, Deed, Timeline, timeline
from drill.grading.withdrawn import does_anew, of_plan, put_back_at_once, still_holds, withdrawal
from drill.language.meaning import (
    Action,
    Call,
    Cover,
    Decide,
    FlyBy,
    Look,
    Squawk,
    Switch,
    Transmit,
)
from drill.scenario.acts import ActPattern
from drill.scenario.model import ActTree

from .builders import flown, one


def line(*acts: tuple[float, Action], reference: str = "", **controls: float) -> Timeline:
    """A flight through these acts, with one reference and switches as they are given."""
    events = flown(*acts, fails_at=None, seconds=400)
    changed = [replace(each, reference=reference or each.reference, controls={**each.controls, **controls})
               if isinstance(each, Trace) else each for each in events]
    return timeline(changed, ("Tallowby", "Wendle"))


def first(of: Timeline) -> Deed:
    return of.deeds[0]


@pytest.mark.parametrize(("reference", "what", "holds"), [
    ("partial_panel", "partial_panel", True), ("full_panel", "partial_panel", False),
    ("turn_coordinator+altimeter", "turn_coordinator", True), ("turn_coordinator+altimeter", "altimeter", True),
    ("turn_coordinator+altimeter", "partial_panel", False), ("turn_coordinator", "attitude_indicator", False),
])
def test_a_reference_holds_while_the_airplane_is_flown_by_it(reference: str, what: str, holds: bool) -> None:
    of = line((100.0, FlyBy(what)), reference=reference)
    assert still_holds(first(of), of, 200.0) is holds


def test_a_cover_holds_while_it_is_on() -> None:
    of = line((100.0, Cover("attitude_indicator")))
    assert still_holds(first(of), of, 200.0)
    other = line((100.0, Cover("clock")))
    assert not still_holds(first(other), other, 200.0)


@pytest.mark.parametrize(("is_on", "to", "holds"), [
    (1.0, "on", True), (0.0, "on", False), (0.0, "off", True), (1.0, "off", False), (0.5, "off", True),
    (0.5, "on", False),
])
def test_a_switch_holds_while_it_stands_as_it_was_put(is_on: float, to: str, holds: bool) -> None:
    of = line((100.0, Switch("standby_vacuum", to)), standby_vacuum=is_on)  # type: ignore[arg-type]
    assert still_holds(first(of), of, 200.0) is holds


def test_of_two_movements_of_a_switch_the_last_one_by_then_counts() -> None:
    of = line((100.0, Switch("pitot_heat", "on")), (150.0, Switch("standby_vacuum", "off")),
              (200.0, Switch("pitot_heat", "on")), pitot_heat=1.0)
    on, _, again = of.deeds
    assert still_holds(on, of, 199.0)
    assert not still_holds(on, of, 200.0)
    assert still_holds(again, of, 200.0)


def test_a_switch_that_the_record_does_not_show_holds_as_it_was_put() -> None:
    of = line((100.0, Switch("cabin_light", "on")))
    assert still_holds(first(of), of, 200.0)
    empty = Timeline((), (), of.deeds, (), (), (), (), (), (), None, 400.0)
    assert still_holds(first(of), empty, 200.0)
    assert not still_holds(line((100.0, Cover("attitude_indicator"))).deeds[0], empty, 200.0)
    assert not still_holds(line((100.0, FlyBy("partial_panel"))).deeds[0], empty, 200.0)


def test_of_two_codes_the_last_one_by_then_counts() -> None:
    of = line((100.0, Squawk("7700")), (200.0, Squawk("1200")))
    emergency, ordinary = of.deeds
    assert still_holds(emergency, of, 150.0)
    assert not still_holds(emergency, of, 250.0)
    assert still_holds(ordinary, of, 250.0)


@pytest.mark.parametrize(("action", "holds"), [
    (Transmit("", Call(callsign="given")), True), (Decide("divert", "Wendle"), True), (Look("altimeter"), False),
])
def test_what_was_said_or_decided_holds_and_a_look_is_over(action: Action, holds: bool) -> None:
    of = line((100.0, action))
    assert still_holds(first(of), of, 200.0) is holds


@pytest.mark.parametrize(("decided", "then", "withdrawn"), [
    ("divert Wendle", Decide("divert", "Tallowby"), True), ("divert Wendle", Decide("land", "Tallowby"), True),
    ("divert Wendle", Decide("land", "Wendle"), False), ("divert Wendle", Decide("land"), False),
    ("divert Wendle", Decide("hold"), False), ("divert Wendle", Decide("continue", "Tallowby"), True),
    ("divert Wendle", Decide("continue"), False), ("divert Wendle", Decide("return_to_ramp"), True),
    ("divert Wendle", Decide("cancel_ifr"), False), ("divert", Decide("continue"), False),
    ("divert", Decide("return_to_ramp"), True), ("continue", Decide("divert"), True), ("land", Decide("divert"), True),
    ("stop taxi", Decide("continue"), True), ("abort takeoff", Decide("continue"), True),
    ("return to ramp", Decide("continue"), True), ("return to ramp", Decide("divert"), True),
    ("return to ramp", Decide("divert", "Wendle"), True), ("continue", Decide("return_to_ramp"), True),
    ("continue", Decide("cancel_ifr"), False), ("return to ramp", Decide("return_to_ramp"), False),
])
def test_a_decision_is_withdrawn_by_one_that_contradicts_it(decided: str, then: Decide, withdrawn: bool) -> None:
    plan, _, where = decided.partition(" ") if decided.startswith("divert") else (decided, "", "")
    of = line((100.0, Decide(plan.replace(" ", "_"), where or None)), (200.0, then))
    found = withdrawal(one(plan, where), of)
    assert (found is of.deeds[1]) is withdrawn
    assert (found is None) is not withdrawn


def test_a_plan_without_a_place_takes_the_one_that_was_chosen() -> None:
    of = line((100.0, Decide("divert", "Wendle")), (200.0, Decide("land", "Wendle")),
              (300.0, Decide("land", "Tallowby")))
    found = withdrawal(one("divert"), of)
    assert found is of.deeds[2]


def test_what_decides_nothing_cannot_be_withdrawn() -> None:
    of = line((100.0, Cover("attitude_indicator")), (200.0, Decide("continue", "Tallowby")))
    assert withdrawal(one("cover", "attitude_indicator"), of) is None
    assert withdrawal(ActTree("any", parts=()), of) is None


@pytest.mark.parametrize(("pattern", "action", "anew"), [
    (ActPattern("ask for", "vmc"), Transmit("", Call(assistance=("vmc",))), True),
    (ActPattern("ask for", "vmc"), Transmit("", Call(callsign="given")), False),
    (ActPattern("divert", "Wendle"), Decide("divert", "Wendle"), True),
    (ActPattern("divert", "Wendle"), Decide("divert", "Tallowby"), False),
])
def test_a_call_does_anew_only_what_it_says_itself(pattern: ActPattern, action: Action, anew: bool) -> None:
    told = QUIET.with_call(Call(assistance=("vmc",)))
    assert does_anew(pattern, Deed(100.0, 99.0, action, True, told, "")) is anew


@pytest.mark.parametrize(("verb", "plan"), [
    ("divert", True), ("land", True), ("hold", True), ("continue", True), ("return to ramp", True), ("ask for", True),
    ("abort takeoff", True), ("stop taxi", True), ("cover", False), ("report", False),
])
def test_decisions_where_to_and_what_is_asked_for_make_a_plan(verb: str, plan: bool) -> None:
    assert of_plan(ActPattern(verb, "")) is plan


@pytest.mark.parametrize(("back_s", "taken"), [(2.0, True), (10.0, True), (12.0, False)])
def test_a_switch_set_back_within_seconds_was_moved_by_mistake(back_s: float, taken: bool) -> None:
    # ten seconds: the author's choice
    of = line((100.0, Switch("gps", "off")), (100.0 + back_s, Switch("gps", "on")))
    assert put_back_at_once(first(of), of) is taken


def test_another_switch_sets_nothing_back() -> None:
    of = line((100.0, Switch("gps", "off")), (102.0, Switch("strobes", "on")), (104.0, Switch("gps", "off")))
    assert not put_back_at_once(first(of), of)
