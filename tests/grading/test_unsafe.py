"""Unsafe acts cap the grade; asking for help never is one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Acted, Assigned, Event, Heard, Trace
from drill.flight.labels import call_data
from drill.grading import Debrief, grade
from drill.language import read_call
from drill.language.meaning import Action, Call, Context, Cover, Decide, FlyBy, Look, Reply, Switch, Transmit, Uncover
from drill.scenario.model import Item

from .builders import FULL_CALL, call, flown, item, one, scenario

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Wendle", "Tallowby"))
WELL: tuple[tuple[float, Action], ...] = (
    (160.0, Look("suction_gauge")), (170.0, FlyBy("partial_panel")), call(240.0), (260.0, Decide("divert", "Wendle")),
)


def acts(given: Debrief) -> list[str]:
    return [act.act for act in given.unsafe_acts]


def graded(*more: tuple[float, Action], extra: tuple[Event, ...] = (), **given: object) -> Debrief:
    return grade(scenario(()), [*flown(*WELL, *more, **given), *extra], 1)  # type: ignore[arg-type]


def test_a_good_flight_has_no_unsafe_act() -> None:
    assert graded().unsafe_acts == ()


def test_an_unsafe_act_caps_the_grade_and_its_part() -> None:
    given = graded((500.0, Decide("cancel_ifr")))
    assert acts(given) == ["Cancelled IFR in cloud"]
    assert given.capped
    assert given.score == 40.0
    assert (given.parts["decide"] or 0.0) <= 40.0


def test_cancelling_ifr_out_of_cloud_is_safe() -> None:
    assert graded((500.0, Decide("cancel_ifr")), cloud=False).unsafe_acts == ()


@pytest.mark.parametrize(("words", "unsafe"), [
    ("Orrinfell, cancel IFR, Larkspur 5304W", True),
    ("we'd like to cancel our IFR clearance", True),
    ("do not cancel my IFR", False),
    ("unable to cancel IFR", False),
    ("cancel the descent, IFR to Wendle", False),
    ("we will cancel IFR on the ground", False),
    ("when in the clear we will cancel IFR", False),
    ("do you want us to cancel IFR?", False),
    ("keep our clearance, don't cancel", False),
])
def test_cancelling_on_the_radio_is_heard_in_plain_words(words: str, unsafe: bool) -> None:
    assert bool(graded((500.0, Transmit(words, read_call(words, HERE)))).unsafe_acts) == unsafe


def test_what_the_language_heard_is_what_counts_and_not_the_words_again() -> None:
    assert graded((500.0, Transmit("x", Call(cancels_ifr=True)))).unsafe_acts
    assert not graded((500.0, Transmit("x", Call(words="cancel IFR")))).unsafe_acts


def test_a_call_that_cancels_and_nobody_heard_cancels_nothing() -> None:
    events = [replace(event, heard=False) if isinstance(event, Acted) and event.t == 500.0 else event
              for event in flown(*WELL, (500.0, Transmit("cancel IFR", Call(cancels_ifr=True))))]
    assert grade(scenario(()), events, 1).unsafe_acts == ()


VERIFY = Heard(505.0, "Orrinfell Approach", "verify you are in visual conditions.", wants="visual")
RECEIVED = Heard(525.0, "Orrinfell Approach", "IFR cancellation received, squawk VFR.")


def in_and_out(call_: Call, *, back_in_s: float) -> list[str]:
    """Cancelling at 8:20 between clouds, ATC's question, an answer at 8:40, with cloud again from `back_in_s` on."""
    events = [replace(event, facts=tuple(each for each in event.facts if each != "is in cloud"))
              if isinstance(event, Trace) and 490.0 <= event.t < back_in_s else event
              for event in flown(*WELL, (500.0, Decide("cancel_ifr")), (520.0, Transmit("…", call_)))]
    return acts(grade(scenario(()), [*events, VERIFY, RECEIVED], 1))


@pytest.mark.parametrize("said", [Call(replies=(Reply("affirmative"),)), Call(conditions="vmc")])
def test_visual_conditions_falsely_confirmed_in_cloud_cancel_ifr_in_cloud(said: Call) -> None:
    assert in_and_out(said, back_in_s=510.0) == ["Cancelled IFR in cloud"]
    assert in_and_out(said, back_in_s=600.0) == []


def test_a_request_to_cancel_in_cloud_that_is_left_hanging_is_told() -> None:
    assert acts(graded((500.0, Decide("cancel_ifr")), extra=(VERIFY,))) == ["Cancelled IFR in cloud"]


@pytest.mark.parametrize("said", [
    replace(FULL_CALL, urgency="mayday"),
    Call(callsign="given", replies=(Reply("unable"),)),
    Call(callsign="given", assistance=("no_gyro_vectors", "priority", "rescue")),
])
def test_declaring_refusing_and_asking_for_help_are_never_unsafe(said: Call) -> None:
    assert graded(call(300.0, said)).unsafe_acts == ()


def test_below_the_minimum_altitude_in_cloud_is_unsafe() -> None:
    given = graded(altitude=lambda t: 2800.0 if t >= 600 else 5000.0)
    assert acts(given) == ["Below a minimum altitude without visual reference"]
    assert given.unsafe_acts[0].part == "decide"


def low(ordered: float, at: float, seconds: float = 60.0, **given: object) -> list[str]:
    """A minute at an altitude, in cloud over a minimum of 2,600 feet, with another one ordered."""
    events = [
        replace(event, controls={**event.controls, "altitude_ft": ordered},
                true={**event.true, "altitude_ft": at if 600.0 <= event.t < 600.0 + seconds else 2600.0})
        if isinstance(event, Trace) else event for event in flown(*WELL, **given)  # type: ignore[arg-type]
    ]
    return acts(grade(scenario((), minimum_altitude_ft=2600.0), events, 1))


def test_hands_that_wander_below_the_minimum_that_was_ordered_are_no_unsafe_act() -> None:
    # IR.IV.A.S1 (FAA-S-ACS-8C): within 100 feet
    assert low(2600.0, 2580.0) == []
    assert low(2600.0, 2501.0) == []
    assert low(2600.0, 2490.0) == ["Below a minimum altitude without visual reference"]


def test_an_order_below_the_minimum_is_unsafe_once_it_is_flown() -> None:
    assert low(2300.0, 2400.0) == ["Below a minimum altitude without visual reference"]
    assert low(2300.0, 2580.0) == ["Below a minimum altitude without visual reference"]
    assert low(2300.0, 2580.0, seconds=9.0) == []


@pytest.mark.parametrize("after", [
    Heard(520.0, "Orrinfell Approach", "Larkspur zero four whiskey, roger, IFR clearance remains in effect"),
    Acted(515.0, Transmit("negative").as_labels(), 512.0,
          meaning=call_data(Call(callsign="given", replies=(Reply("negative"),)))),
])
@pytest.mark.parametrize("sheet", [
    (), (item("Keep the clearance", part="decide", never=one("cancel IFR"), unsafe=True),),
])
def test_a_cancellation_that_was_taken_back_in_time_costs_a_remark(after: Event, sheet: tuple[Item, ...]) -> None:
    offered = [*flown(*WELL, call(500.0, Call(callsign="given", cancels_ifr=True)))]
    received = Heard(505.0, "Orrinfell Approach", "IFR cancellation received, squawk VFR")
    assert len(grade(scenario(sheet), [*offered, received, after], 1).unsafe_acts) == 1
    assert len(grade(scenario(sheet), offered, 1).unsafe_acts) == 1
    given = grade(scenario(sheet), [*offered, after], 1)
    assert given.unsafe_acts == ()
    assert [each.verdict for each in given.findings if each.item.startswith("Cancel IFR")] == ["remark"]


def test_below_the_minimum_altitude_with_the_ground_in_sight_is_safe() -> None:
    assert graded(altitude=lambda t: 2800.0 if t >= 600 else 5000.0, cloud=False).unsafe_acts == ()


@pytest.mark.parametrize(("distance", "altitude", "unsafe"), [
    (6.0, 2000.0, False),      # on the approach
    (20.0, 2000.0, True),      # cleared, and still far away
    (6.0, 600.0, True),        # below the approach's own minimums, 700 feet
])
def test_a_cleared_approach_allows_its_own_altitudes_near_its_field(
    distance: float, altitude: float, unsafe: bool,
) -> None:
    given = graded(altitude=lambda t: altitude if t >= 600 else 5000.0, values={"distance to Tallowby": distance},
                   extra=(Assigned(550.0, 240.0, None, "ILS 24"),))
    assert bool(given.unsafe_acts) == unsafe


def test_an_altimeter_that_stands_still_before_anything_could_have_told_is_nobody_s_act() -> None:
    given = grade(scenario(()), flown(fails_at=None, altitude=lambda t: 2800.0 if t >= 600 else 5000.0,
                                      shown=lambda t: {"altitude_ft": 5000.0}), 1)
    assert given.unsafe_acts == ()


def test_trusting_a_covered_instrument_again_is_unsafe() -> None:
    given = graded((300.0, Cover("attitude_indicator")), (400.0, Uncover("attitude_indicator")),
                   (410.0, FlyBy("full_panel")), bank=lambda t, follows: 0.0)
    assert acts(given) == ["Trusted a covered instrument again"]


def test_uncovering_without_flying_by_it_is_not() -> None:
    given = graded((300.0, Cover("attitude_indicator")), (400.0, Uncover("attitude_indicator")))
    assert given.unsafe_acts == ()


def test_trusting_it_again_once_the_suction_is_back_is_not() -> None:
    given = graded((300.0, Cover("attitude_indicator")), (350.0, Switch("standby_vacuum", "on")),
                   (700.0, Uncover("attitude_indicator")), (710.0, FlyBy("full_panel")),
                   shown=lambda t: {"suction_inhg": 4.9} if t > 350 else {}, bank=lambda t, follows: 0.0)
    assert given.unsafe_acts == ()


@pytest.mark.parametrize(("truth", "act"), [
    ("spiral", "Lost control of the airplane"),
    ("broken", "Lost control of the airplane"),
    ("beyond_never_exceed", "Beyond never-exceed speed"),
    ("beyond_limit_load", "Beyond the limit load"),
])
def test_losing_control_or_leaving_the_limits_is_unsafe(truth: str, act: str) -> None:
    events = [replace(event, true={**event.true, truth: 1.0}) if isinstance(event, Trace) and event.t >= 700 else event
              for event in flown(*WELL)]
    given = grade(scenario(()), events, 1)
    assert acts(given) == [act]
    assert given.unsafe_acts[0].at_s == 700.0


@pytest.mark.parametrize("outcome", ["loss of control", "hit the ground", "broke up", "below minimums"])
def test_a_bad_ending_caps_the_grade(outcome: str) -> None:
    assert (graded(ending=outcome).score or 0.0) <= 40.0


@pytest.mark.parametrize("outcome", ["safe", "landed", "unresolved"])
def test_another_ending_does_not(outcome: str) -> None:
    assert not graded(ending=outcome).capped
