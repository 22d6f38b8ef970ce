"""An altitude that ATC assigned and the pilot heard is flown, or refused, or an emergency is declared."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from drill.flight.events import Assigned, Event, Heard, Trace
from drill.grading import Debrief, Finding, grade
from drill.grading.clearance import ITEM, binding
from drill.grading.deviations import deviations
from drill.grading.timeline import timeline
from drill.language.meaning import Action, Altitude, Call, Decide, Reply, Transmit

from .builders import call, flown, scenario

WORDS = "Larkspur zero four whiskey, climb and maintain eight thousand."


def graded(
    *acts: tuple[float, Action], words: str | None = WORDS, more: Sequence[Event] = (), seconds: int = 900,
    **given: object,
) -> Debrief:
    events = [*flown(*acts, fails_at=None, seconds=seconds, **given),  # type: ignore[arg-type]
              Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 240.0, 8000.0), *more]
    if words is not None:
        events.append(Heard(305.0, "Orrinfell Approach", words))
    return grade(scenario(()), events, 1)


def found(given: Debrief) -> Finding | None:
    return next((finding for finding in given.findings if finding.item == ITEM), None)


def verdict(given: Debrief) -> str | None:
    finding = found(given)
    return None if finding is None else finding.verdict


def test_an_assigned_altitude_that_was_neither_ordered_nor_refused_is_missed() -> None:
    # 14 CFR 91.123(a), (b)
    finding = found(graded())
    assert finding is not None
    assert (finding.verdict, finding.weight, finding.at_s, finding.score) == ("missed", "major", 305.0, 0.0)
    assert "8,000 feet" in finding.reason
    assert "91.123" in finding.source


@pytest.mark.parametrize(("t", "expected"), [(390.0, "kept"), (400.0, "missed")])
def test_ninety_seconds_are_enough_to_order_it(t: float, expected: str) -> None:
    # 90 seconds: the author's choice
    assert verdict(graded((t, Altitude(8000, "climb")))) == expected


def test_another_altitude_is_not_the_one_assigned() -> None:
    assert verdict(graded((330.0, Altitude(7000, "climb")))) == "missed"


def test_a_read_back_alone_flies_nothing() -> None:
    said = Call(callsign="given", replies=(Reply("readback", None, 8000),))
    assert verdict(graded(call(320.0, said))) == "missed"


def test_an_airplane_that_goes_there_is_flying_it_however_it_was_ordered() -> None:
    assert verdict(graded(altitude=lambda t: 5000.0 + max(0.0, min(3000.0, (t - 310.0) * 8.0)))) == "kept"


@pytest.mark.parametrize("act", [
    Transmit("unable", Call(callsign="given", replies=(Reply("unable"),))),
    Transmit("mayday", Call(callsign="given", urgency="mayday")),
    Transmit("pan-pan", Call(callsign="given", urgency="pan-pan")),
])
def test_whoever_says_unable_or_declares_need_not_fly_it(act: Action) -> None:
    assert verdict(graded((340.0, act))) is None


@pytest.mark.parametrize("words", [None, "Larkspur zero four whiskey, descend at your discretion, eight thousand.",
                                   "Larkspur zero four whiskey, roger."])
def test_what_was_not_heard_or_left_to_the_pilot_binds_nobody(words: str | None) -> None:
    assert verdict(graded(words=words)) is None


def test_an_assignment_that_was_soon_another_or_that_the_record_does_not_outlast_is_nobody_s_fault() -> None:
    assert verdict(graded(more=(Assigned(340.0, 240.0, 5000.0),))) is None
    assert verdict(graded(seconds=350)) is None


def test_the_altitude_that_the_flight_began_with_is_no_new_one() -> None:
    events = [*flown(fails_at=None), Assigned(0.0, 240.0, 5000.0), Heard(60.0, "Orrinfell Approach", "five thousand")]
    assert verdict(grade(scenario(()), events, 1)) is None


def away(given: Debrief) -> dict[str, float]:
    return {each.what: each.beyond_s for each in given.deviations}


def straying(*acts: tuple[float, Action], **given: object) -> Debrief:
    """500 feet above what ATC assigned for a hundred seconds."""
    return graded(*acts, words=None, seconds=290, **given,  # type: ignore[arg-type]
                  altitude=lambda t: 5500.0 if 100.0 <= t < 200.0 else 5000.0)


def test_straying_from_what_atc_assigned_is_told_beside_what_was_ordered() -> None:
    assert away(straying())["altitude assigned by ATC"] == 100.0
    traces = [each for each in flown(fails_at=None) if isinstance(each, Trace)]
    assert "heading assigned by ATC" not in {each.what for each in deviations(traces)}


def test_after_declaring_cancelling_or_at_discretion_nothing_is_strayed_from() -> None:
    declared = straying(call(90.0, Call(callsign="given", urgency="emergency")))
    cancelled = straying((90.0, Decide("cancel_ifr")), cloud=False)
    free = straying(more=(Heard(95.0, "Orrinfell Approach", "climb at your discretion"),))
    assert [away(each)["altitude assigned by ATC"] for each in (declared, cancelled, free)] == [0.0, 0.0, 0.0]


def assigned_ones(altitude: float, ordered: float | None, **given: object) -> dict[str, tuple[float, float]]:
    """What is told of 8,000 feet and heading 330 assigned at 5:00, with the airplane at `altitude` on 240."""
    words = "Larkspur zero four whiskey, turn right heading three three zero, climb and maintain eight thousand."
    order = () if ordered is None else ((330.0, Altitude(int(ordered), "climb")),)
    events = [*flown(*order, fails_at=None, altitude=lambda t: 5000.0 if t < 400.0 else altitude),
              Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 330.0, 8000.0), Heard(305.0, "Orrinfell Approach", words)]
    return {each.what: (each.worst, each.beyond_s) for each in grade(scenario(()), events, 1).deviations}


def test_an_assignment_that_was_never_reached_is_strayed_from_after_ninety_seconds() -> None:
    told = assigned_ones(5091.0, None)
    assert told["altitude assigned by ATC"][0] > 2900.0
    assert told["heading assigned by ATC"] == (90.0, 511.0)


def test_an_airplane_on_its_way_to_the_assigned_altitude_by_an_order_strays_from_nothing() -> None:
    assert assigned_ones(5500.0, 8000.0)["altitude assigned by ATC"][1] == 0.0


@pytest.mark.parametrize(("words", "to_us", "bound"), [
    ("turn right heading three three zero.", True, True), ("fly heading 330.", True, True),
    ("heading three three zero approved.", True, False), ("turn right heading three three zero.", False, False),
    ("turn right heading three four zero.", True, False), ("heading three three zero approved.", False, False),
])
def test_a_heading_binds_that_was_assigned_in_words_and_not_one_that_was_asked_for(
    words: str, to_us: bool, bound: bool,
) -> None:
    line = timeline([Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 330.0, 5000.0),
                     Heard(305.0, "Orrinfell Approach", f"Larkspur zero four whiskey, {words}", to_us=to_us)])
    assert [each.heading_deg for each in binding(line)] == [240.0, 330.0 if bound else None]


def test_an_altitude_at_the_pilots_discretion_binds_again_with_the_next_other_one() -> None:
    said = [Heard(t, "Orrinfell Approach", f"Larkspur zero four whiskey, {words}") for t, words in (
        (100.0, "altitude at your discretion."), (205.0, "climb and maintain eight thousand."))]
    assigned = [Assigned(t, 240.0, feet) for t, feet in ((0.0, 5000.0), (150.0, 5000.0), (200.0, 8000.0))]
    line = timeline([*assigned, *said])
    assert [(each.t, each.altitude_ft) for each in binding(line)] == [
        (0.0, 5000.0), (100.0, None), (150.0, None), (200.0, 8000.0)]


@pytest.mark.parametrize(("heard_s", "bound"), [(300.0, True), (360.0, True), (361.0, False), (299.0, False)])
def test_an_assignment_waits_a_minute_at_most_for_a_free_frequency(heard_s: float, bound: bool) -> None:
    line = timeline([Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 240.0, 8000.0),
                     Heard(heard_s, "Orrinfell Approach", "climb and maintain eight thousand.")])
    assert [each.altitude_ft for each in binding(line)][-1 if heard_s < 301.0 else 1] == (8000.0 if bound else None)


@pytest.mark.parametrize(("words", "expected"), [
    ("climb and maintain eight thousand, or as you need.", None),
    ("eight thousand, any altitude above two thousand six hundred.", None),
    ("climb and maintain eight thousand. Turns at your discretion.", "missed"),
    ("climb and maintain eight thousand. Any heading at your discretion.", "missed"),
])
def test_turns_at_discretion_leave_no_altitude_to_the_pilot_and_an_altitude_as_needed_does(
    words: str, expected: str | None,
) -> None:
    assert verdict(graded(words=f"Larkspur zero four whiskey, {words}")) == expected


@pytest.mark.parametrize("words", ["we are handling you as an emergency.", "any heading and any altitude at your "
                                   "discretion.", "any altitude at your discretion."])
def test_what_atc_itself_sets_free_in_time_need_not_be_flown(words: str) -> None:
    in_time, late = (Heard(t, "Orrinfell Approach", f"Larkspur zero four whiskey, {words}") for t in (335.0, 420.0))
    assert verdict(graded(more=(in_time,))) is None
    assert verdict(graded(more=(late,))) == "missed"
