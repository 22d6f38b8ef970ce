"""An assigned altitude is left only when ATC knows: 14 CFR 91.123(a)-(c), AIM 5-3-3 a."""

from __future__ import annotations

import pytest

from drill.flight.events import Assigned, Event, Heard
from drill.grading import Finding, grade
from drill.grading.leaving import ITEM
from drill.language.meaning import Action, Altitude, Call, Reply, Transmit

from .builders import flown, scenario

CLIMB = (300.0, Altitude(8000, "climb"))
WHO = "Orrinfell Approach"


def climbing(t: float) -> float:
    """500 ft a minute from 5:00 on, to 8,000."""
    return 5000.0 + min(3000.0, max(0.0, (t - 300.0) * 500.0 / 60.0))


def said(t: float, **meaning: object) -> tuple[float, Action]:
    return t, Transmit("…", Call(callsign="given", **meaning))  # type: ignore[arg-type]


def found(
    *acts: tuple[float, Action], more: tuple[Event, ...] = (), cloud: bool = True, goes: bool = True,
) -> Finding | None:
    events = [*flown(*acts, fails_at=None, cloud=cloud, altitude=climbing if goes else None),
              Assigned(0.0, 240.0, 5000.0), *more]
    findings = grade(scenario(()), sorted(events, key=lambda event: event.t), 1).findings
    return next((each for each in findings if each.item == ITEM), None)


def test_climbing_out_of_an_assigned_altitude_with_nobody_told_is_a_broken_clearance() -> None:
    finding = found(CLIMB)
    assert finding is not None
    assert (finding.verdict, finding.part, finding.weight, finding.score, finding.at_s) == (
        "broken", "decide", "critical", 0.0, 300.0)
    assert "5,000 feet" in finding.reason
    assert "never told" in finding.reason
    assert "91.123" in finding.source


def test_in_cloud_it_is_worse_for_nobody_can_see_the_other_there() -> None:
    finding = found(CLIMB, cloud=False)
    assert finding is not None
    assert finding.weight == "major"


@pytest.mark.parametrize("told", [
    {"altitude_wanted_ft": 8000}, {"assistance": ("altitude_change",)}, {"assistance": ("vmc",)},
    {"urgency": "pan-pan"}, {"altitude_ft": 5300}, {"replies": (Reply("unable"),)},
])
@pytest.mark.parametrize("t", [200.0, 320.0])
def test_a_pilot_who_says_so_before_or_at_once_leaves_nothing_unannounced(t: float, told: dict[str, object]) -> None:
    assert found(CLIMB, said(t, **told)) is None


def test_where_one_is_heard_to_be_says_nothing_of_leaving_it() -> None:
    assert found(CLIMB, said(280.0, altitude_ft=5000, assistance=("vectors",))) is not None


def test_an_emergency_may_leave_it_and_tells_as_soon_as_it_can() -> None:
    # 14 CFR 91.123(c)
    assert found(said(120.0, urgency="mayday"), CLIMB) is None
    late = found(CLIMB, said(480.0, urgency="mayday"))
    assert late is not None
    assert (late.verdict, late.score) == ("late", 0.4)
    assert "3 min after the order" in late.reason


@pytest.mark.parametrize("more", [
    (Assigned(290.0, 240.0, 8000.0), Heard(291.0, WHO, "Larkspur zero four whiskey, climb, maintain eight thousand.")),
    (Heard(250.0, WHO, "Larkspur zero four whiskey, any altitude above two thousand six hundred."),),
    (Heard(250.0, WHO, "Larkspur zero four whiskey, climb at your discretion."),),
    (Heard(250.0, WHO, "Larkspur zero four whiskey, we are handling you as an emergency."),),
])
def test_an_altitude_that_atc_has_changed_or_left_to_the_pilot_is_not_left(more: tuple[Event, ...]) -> None:
    assert found(CLIMB, more=more) is None


def test_turns_at_discretion_leave_no_altitude_to_the_pilot() -> None:
    heard = Heard(250.0, WHO, "Larkspur zero four whiskey, nobody is in your way, turns at your discretion.")
    assert found(CLIMB, more=(heard,)) is not None


def test_an_order_that_is_taken_back_before_three_hundred_feet_left_nothing() -> None:
    assert found(CLIMB, (330.0, Altitude(5000, "descend")), goes=False) is None
    assert found(CLIMB, goes=False) is None


def test_what_the_hands_wander_is_no_leaving() -> None:
    assert found() is None


def test_an_emergency_that_atc_itself_has_made_later_is_told_late_and_of_the_altimeter() -> None:
    heard = Heard(480.0, WHO, "Larkspur zero four whiskey, we are handling you as an emergency.")
    late = found(CLIMB, more=(heard,))
    assert late is not None
    assert (late.verdict, late.about) == ("late", ("altimeter",))


def test_a_roger_tells_nothing_of_an_altitude_and_a_new_one_read_back_does() -> None:
    assert found(CLIMB, said(320.0, replies=(Reply("roger"),))) is not None
    assert found(CLIMB, said(320.0, replies=(Reply("readback", None, 8000),))) is None
