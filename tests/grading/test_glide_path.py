"""An ILS is flown on its glide path: three degrees, three quarters of full scale (IR.VI.B, AIM 1-1-9, from memory)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.flight.events import Assigned, Event, Trace
from drill.grading import Debrief, Finding, grade
from drill.grading.glide_path import ITEM, WHAT

from .builders import flown, scenario

FEET_A_MILE = 318.4       # tan 3 deg times 6,076 ft
ELEVATION_FT = 400.0
MILES_A_SECOND = 110.0 / 3600.0


def miles(t: float) -> float:
    return max(0.0, 10.0 - (t - 300.0) * MILES_A_SECOND) if t >= 300.0 else 10.0


def on_path(t: float) -> float:
    return ELEVATION_FT + 50.0 + FEET_A_MILE * miles(t)


def flies(height: Callable[[float], float], *, approach: str | None = "ILS 24", cloud: bool = True) -> Debrief:
    """Inbound from ten miles at 5:00 on 240, cleared at 5:00, at `height`; a mile every half minute."""
    events: list[Event] = [*flown(fails_at=None, altitude=height, cloud=cloud, seconds=620),
                           Assigned(0.0, 240.0, 3000.0), Assigned(300.0, 240.0, 3000.0, approach)]
    events = [replace(each, values={**each.values, "distance to Tallowby": miles(each.t)})
              if isinstance(each, Trace) else each for each in events]
    return grade(scenario(()), sorted(events, key=lambda event: event.t), 1)


def found(debrief: Debrief) -> Finding | None:
    return next((each for each in debrief.findings if each.item == ITEM), None)


def level_then_down(t: float) -> float:
    return min(3000.0, on_path(t))


def test_level_to_the_path_and_down_it_keeps_it() -> None:
    finding = found(flies(level_then_down))
    assert finding is not None
    assert (finding.verdict, finding.score, finding.part) == ("kept", 1.0, "aviate")


def test_hundreds_of_feet_below_it_is_more_than_full_scale_and_critical() -> None:
    debrief = flies(lambda t: min(3000.0, max(700.0, on_path(t) - 600.0)))
    finding = found(debrief)
    assert finding is not None
    assert (finding.verdict, finding.weight, finding.score) == ("broken", "critical", 0.0)
    assert "feet below, more than full scale" in finding.reason
    away = {each.what: each for each in debrief.deviations}[WHAT]
    assert (away.unit, away.tolerance) == ("deg", 0.5)
    assert away.beyond_s > 60.0


def test_between_three_quarters_and_full_scale_it_is_a_lapse() -> None:
    # 0.6 degrees below at each distance
    finding = found(flies(lambda t: min(2900.0, ELEVATION_FT + 50.0 + 0.8 * FEET_A_MILE * miles(t))))
    assert finding is not None
    assert (finding.weight, finding.score) == ("major", 0.5)


def test_how_far_off_the_path_the_airplane_was_is_told_to_a_tenth_of_a_degree() -> None:
    # 80 % of the height of a path of three degrees: 2.40 degrees, 0.60 below it; 1.30 degrees above it at 4.3
    away = {each.what: each for each in flies(
        lambda t: min(2900.0, ELEVATION_FT + 50.0 + 0.8 * FEET_A_MILE * miles(t))).deviations}[WHAT]
    assert away.worst == 0.6
    above = flies(lambda t: level_then_down(t) if miles(t) > 6.0 else ELEVATION_FT + 50.0 + 457.0 * miles(t))
    assert {each.what: each for each in above.deviations}[WHAT].worst == 1.3
    finding = found(above)
    assert finding is not None
    assert "the airplane was above the glide path" in finding.reason
    assert "miles out" in finding.reason
    assert "The path comes down some 318 feet a mile." in finding.reason


def test_level_flight_below_the_path_before_it_comes_down_is_how_an_approach_begins() -> None:
    finding = found(flies(lambda t: 3000.0 if miles(t) > 8.2 else on_path(t)))
    assert finding is not None
    assert finding.verdict == "kept"


def test_an_approach_that_is_never_flown_down_is_above_the_path() -> None:
    finding = found(flies(lambda t: 3000.0))
    assert finding is not None
    assert (finding.verdict, finding.weight) == ("broken", "major")
    assert "given up aloud" in finding.reason


@pytest.mark.parametrize("given", [{"approach": None}, {"approach": "visual"}, {"cloud": False}])
def test_only_an_ils_in_cloud_has_a_path_to_keep(given: dict[str, object]) -> None:
    debrief = flies(lambda t: 1500.0, **given)   # type: ignore[arg-type]
    assert found(debrief) is None
