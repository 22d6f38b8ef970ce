"""A turn that ATC orders is flown or refused: headings by 14 CFR 91.123(b), no-gyro turns by AIM 5-4-11 (memory)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from drill.airplane.controls import TURN_TO_HEADING
from drill.flight.events import Assigned, Event, Heard, Trace
from drill.grading import Finding, grade
from drill.grading.ordered_turns import ITEM
from drill.language.meaning import Action, Call, Reply, Transmit

from .builders import flown, scenario

WHO = "Orrinfell Approach"
GIVEN = (Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 330.0, 5000.0),
         Heard(305.0, WHO, "Larkspur zero four whiskey, turn right heading three three zero, vectors for spacing.",
               wants="readback"))


def said(t: float, **meaning: object) -> tuple[float, Action]:
    return t, Transmit("…", Call(callsign="given", **meaning))  # type: ignore[arg-type]


def findings(*acts: tuple[float, Action], more: tuple[Event, ...] = (), seconds: int = 900,
             true: Callable[[float], dict[str, float]] | None = None) -> list[Finding]:
    events = sorted([*flown(*acts, fails_at=None, seconds=seconds, true=true), *more], key=lambda event: event.t)
    return [each for each in grade(scenario(()), events, 1).findings if each.item == ITEM]


def toward(t: float) -> dict[str, float]:
    return {"heading_deg": 240.0 + min(90.0, max(0.0, (t - 310.0) * 3.0))}


def test_a_heading_that_is_never_flown_is_told() -> None:
    (finding,) = findings(more=GIVEN)
    assert (finding.verdict, finding.part, finding.weight, finding.score, finding.at_s) == (
        "missed", "aviate", "major", 0.0, 305.0)
    assert "heading three three zero" in finding.reason
    assert "91.123" in finding.source


def test_a_heading_that_is_gone_to_is_flown() -> None:
    (finding,) = findings(more=GIVEN, true=toward)
    assert (finding.verdict, finding.score) == ("kept", 1.0)


@pytest.mark.parametrize(("turned", "verdict"), [(19.0, "missed"), (20.0, "kept")])
def test_an_airplane_that_is_on_its_way_to_the_heading_is_flying_it_however_it_was_ordered(
    turned: float, verdict: str,
) -> None:
    (finding,) = findings(more=GIVEN, true=lambda t: {"heading_deg": 240.0 + (turned if t > 340.0 else 0.0)})
    assert finding.verdict == verdict


@pytest.mark.parametrize("reply", ["unable", "negative"])
def test_a_heading_that_is_refused_need_not_be_flown(reply: str) -> None:
    assert findings(said(330.0, replies=(Reply(reply),)), more=GIVEN) == []   # type: ignore[arg-type]


def test_in_an_emergency_headings_are_the_pilots() -> None:
    assert findings(said(330.0, urgency="pan-pan"), more=GIVEN) == []
    freed = Heard(340.0, WHO, "Larkspur zero four whiskey, we are handling you as an emergency.")
    assert findings(more=(*GIVEN, freed)) == []


def test_a_heading_that_was_never_said_or_was_soon_another_binds_nobody() -> None:
    assert findings(more=GIVEN[:2]) == []
    assert findings(more=(*GIVEN, Assigned(350.0, 240.0, 5000.0))) == []
    assert findings(more=GIVEN, seconds=350) == []


def called(t: float, words: str) -> Heard:
    return Heard(t, WHO, f"Larkspur zero four whiskey, {words}.", wants="turn")


def turning(*spans: tuple[float, float, float]) -> Callable[[float], dict[str, float]]:
    return lambda t: {"turn_rate_dps": next((rate for start, end, rate in spans if start <= t <= end), 0.0)}


def test_called_turns_that_nobody_flies_are_critical_also_in_an_emergency() -> None:
    calls = (called(300.0, "turn left"), called(330.0, "turn left"), called(500.0, "turn right"))
    (finding,) = findings(said(100.0, urgency="pan-pan"), more=calls)
    assert (finding.verdict, finding.part, finding.weight, finding.score) == ("missed", "aviate", "critical", 0.0)
    assert finding.reason.startswith("Of 2 turns that ATC ordered 2 were not flown within 20 s")
    assert "5-4-11" in finding.source


def test_a_called_turn_that_begins_in_time_to_its_side_is_flown() -> None:
    calls = (called(300.0, "turn left"), called(400.0, "stop turn"), called(500.0, "turn right"))
    (flown_both,) = findings(more=calls, true=turning((310.0, 400.0, -3.0), (505.0, 600.0, 3.0)))
    assert flown_both.verdict == "kept"
    (one,) = findings(more=calls, true=turning((310.0, 400.0, -3.0), (505.0, 600.0, -3.0)))
    assert one.verdict == "missed"
    assert one.score == pytest.approx(2.0 / 3.0)


def test_a_turn_that_is_flown_when_called_again_was_flown() -> None:
    calls = (called(300.0, "turn left"), called(325.0, "turn left"))
    (finding,) = findings(more=calls, true=turning((330.0, 400.0, -3.0)))
    assert finding.verdict == "kept"


def test_a_turn_that_goes_on_after_its_end_was_called_is_not_flown_as_told() -> None:
    calls = (called(300.0, "turn left"), called(360.0, "stop turn"), called(375.0, "stop turn"))
    (ended,) = findings(more=calls, true=turning((310.0, 370.0, -3.0)))
    assert ended.verdict == "kept"
    (overshot,) = findings(more=calls, true=turning((310.0, 378.0, -3.0)))
    assert (overshot.verdict, overshot.score, overshot.at_s) == ("missed", 0.5, 360.0)
    assert "“stop turn”" in overshot.reason


def test_a_turn_that_is_stopped_at_once_or_refused_counts_for_nothing() -> None:
    assert findings(more=(called(300.0, "turn left"), called(310.0, "stop turn"))) == []
    assert findings(said(310.0, replies=(Reply("unable"),)), more=(called(300.0, "turn left"),)) == []


def test_a_heading_that_is_ordered_to_the_hands_in_time_is_flown_whatever_the_airplane_does_yet() -> None:
    events = [replace(each, controls={**each.controls, "lateral": TURN_TO_HEADING, "heading_deg": 330.0})
              if isinstance(each, Trace) and each.t >= 390.0 else each for each in flown(fails_at=None)]
    found = grade(scenario(()), sorted([*events, *GIVEN], key=lambda event: event.t), 1).findings
    assert [each.verdict for each in found if each.item == ITEM] == ["kept"]


def test_a_turn_that_atc_only_speaks_of_is_none_that_it_calls() -> None:
    spoken = Heard(300.0, WHO, "Larkspur zero four whiskey, expect to turn left in five miles.")
    assert findings(more=(spoken,)) == []
