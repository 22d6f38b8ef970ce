"""A failure can come, go and come again: each time is a failure of its own, and one that is over asks for nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Event, Failed, Healed, Trace
from drill.grading import Debrief, Finding, debrief_lines, grade
from drill.grading.evidence import evidence
from drill.grading.timeline import timeline
from drill.language.meaning import Action, Call, Cover, Decide, FlyBy

from .builders import PUMP, STOP, call, flown, scenario

HANDS_OFF = "Stop flying by the attitude indicator"


def events(*acts: tuple[float, Action], spans: tuple[tuple[float, float | None], ...], **given: object) -> list[Event]:
    """A level flight in which the pump fails and comes back at each of `spans`, and the suction with it."""
    def dead(t: float) -> bool:
        return any(start <= t and (end is None or t < end) for start, end in spans)

    def shown(t: float) -> dict[str, float]:
        return {"suction_inhg": 0.0 if dead(t) else 5.0}

    happened: list[Event] = []
    for start, end in spans:
        happened.append(Failed(start, *PUMP))
        if end is not None:
            happened.append(Healed(end, "pump"))
    level = flown(*acts, fails_at=None, shown=shown, bank=lambda t, follows: 0.0, **given)  # type: ignore[arg-type]
    failing = [replace(each, facts=(*each.facts, "failed pump"))
               if isinstance(each, Trace) and dead(each.t) else each for each in level]
    return sorted([*happened, *failing], key=lambda event: event.t)


def graded(*acts: tuple[float, Action], spans: tuple[tuple[float, float | None], ...], **given: object) -> Debrief:
    return grade(scenario(()), events(*acts, spans=spans, **given), 1)


def of(given: Debrief, item: str) -> list[Finding]:
    return [finding for finding in given.findings if finding.item.startswith(item)]


def test_each_time_that_a_failure_comes_has_its_own_evidence() -> None:
    first, second = graded(spans=((100.0, 300.0), (500.0, None))).failures
    assert first.evidence_s is not None
    assert second.evidence_s is not None
    assert 100.0 < first.evidence_s < 300.0
    assert 500.0 < second.evidence_s < 600.0
    assert (first.healed_s, second.healed_s) == (300.0, None)


def test_what_shows_after_a_failure_is_over_is_no_evidence_of_it() -> None:
    # it is over before a cross-check has come round; the gauge falls again at 130 s by another failure
    line = timeline([*flown(fails_at=None, shown=lambda t: {"suction_inhg": 0.0} if t >= 105.0 else {}),
                     Failed(100.0, *PUMP), Healed(110.0, "pump")])
    assert evidence(line, line.onsets[0]) is None


def test_a_failure_that_comes_back_in_the_second_in_which_it_fails_again_is_healed_once() -> None:
    line = timeline([Failed(100.0, *PUMP), Healed(200.0, "pump"), Failed(200.0, *PUMP)])
    assert [onset.healed for onset in line.onsets] == [200.0, None]


def test_an_act_on_the_second_failure_is_no_act_on_the_first() -> None:
    given = graded((560.0, FlyBy("partial_panel")), spans=((100.0, 400.0), (500.0, None)))
    assert [failure.first_act_s for failure in given.failures] == [None, 559.0]
    assert [finding.verdict for finding in of(given, "Recognize: vacuum pump")] == ["done", "missed"]


def test_two_failures_that_were_both_left_alone_are_told_twice() -> None:
    found = of(graded(spans=((100.0, 320.0), (400.0, None))), "Recognize: vacuum pump")
    assert [finding.item for finding in found] == ["Recognize: vacuum pump", "Recognize: vacuum pump, again at 6:40"]


def test_a_failure_over_soon_after_it_showed_asked_for_nothing() -> None:
    given = graded(spans=((100.0, 170.0),))
    assert given.failures[0].evidence_s is not None
    assert [finding.verdict for finding in of(given, "Recognize")] == ["not needed"]
    for item in (HANDS_OFF, "Tell ATC", "Make a plan"):
        assert of(given, item) == []
    assert given.score == 100.0


def test_an_item_of_the_sheet_asks_for_no_act_on_a_failure_that_was_over_so_soon() -> None:
    def verdict(end: float) -> str:
        return of(grade(scenario((STOP,)), events(spans=((100.0, end),)), 1), STOP.name)[0].verdict
    assert verdict(170.0) == "not needed"
    assert verdict(480.0) == "missed"


def test_another_failure_that_was_soon_over_excuses_nothing() -> None:
    both = [*events(spans=((100.0, 480.0),)), Failed(600.0, "line", "vacuum line", "leaks"), Healed(620.0, "line")]
    assert of(grade(scenario((STOP,)), both, 1), STOP.name)[0].verdict == "missed"
    other = [*events(spans=((100.0, 170.0),)), Failed(600.0, "line", "vacuum line", "leaks")]
    assert of(grade(scenario((STOP,)), other, 1), STOP.name)[0].verdict == "not needed"


def test_the_time_that_a_failure_was_left_alone_ends_when_it_does() -> None:
    given = graded(spans=((100.0, 480.0),))
    found = of(given, "Recognize")[0]
    assert found.verdict == "missed"
    waited = 480.0 - (given.failures[0].evidence_s or 0.0)
    assert f"{int(waited // 60)} min {int(waited % 60)} s until it came back at 8:00" in found.reason
    assert "that were left" not in found.reason


def test_a_failure_over_within_three_minutes_calls_nobody_slow() -> None:
    found = of(graded(spans=((100.0, 250.0),)), "Recognize")[0]
    assert (found.verdict, found.score) == ("missed", None)


def test_hands_that_never_left_the_bad_horizon_get_no_credit_for_its_coming_back() -> None:
    found = of(graded(spans=((100.0, 480.0),)), HANDS_OFF)[0]
    assert (found.verdict, found.score) == ("missed", 0.0)
    assert "until the failure was over at 8:00" in found.reason


def test_an_act_long_after_a_failure_is_over_is_no_act_on_it() -> None:
    soon = graded((485.0, Cover("attitude_indicator")), spans=((100.0, 480.0),))
    late = graded((600.0, Cover("attitude_indicator")), spans=((100.0, 480.0),))
    assert soon.failures[0].first_act_s == 484.0
    assert late.failures[0].first_act_s is None


def test_the_debrief_says_when_it_came_back_and_claims_nothing_for_good() -> None:
    text = " ".join(" ".join(debrief_lines(graded(spans=((100.0, 480.0),)))).split())
    assert "It came back at 8:00." in text
    assert "from then on" not in text
    for_good = " ".join(" ".join(debrief_lines(graded(spans=((100.0, None),)))).split())
    assert "from then on" in for_good
    assert "It came back" not in for_good


def test_atc_need_not_be_told_again_of_what_it_knows() -> None:
    told = call(200.0, Call(callsign="given", equipment=("vacuum_system",), impairment=True, assistance=("vectors",)))
    again = graded(told, spans=((100.0, 300.0), (500.0, None)))
    assert [finding.verdict for finding in of(again, "Tell ATC")] == ["done"]
    # once ATC has heard that it works again, a second failure is news
    works = call(320.0, Call(callsign="given", rejoined=("vacuum_system",)))
    news = graded(told, works, spans=((100.0, 300.0), (500.0, None)))
    assert [finding.verdict for finding in of(news, "Tell ATC")] == ["done", "missed"]


@pytest.mark.parametrize(("ending", "words"), [
    ("safe", "Nothing failed in this flight"), (None, "Nothing had failed by then")])
def test_of_a_cut_record_only_what_is_known_is_said(ending: str | None, words: str) -> None:
    given = grade(scenario(), flown(fails_at=None, ending=ending), 1)
    text = " ".join(" ".join(debrief_lines(given)).split())
    assert f"{words}." in text
    assert (f"{words}, and nothing was taken" in text)
    assert ("Nothing failed" in text) == (ending is not None)


@pytest.mark.parametrize(("end", "shown"), [(130.0, False), (131.0, True)])
def test_the_second_in_which_a_failure_is_over_shows_it_no_more(end: float, shown: bool) -> None:
    # thirty seconds of an empty gauge are the cross-check's round: they are full at 130 s
    line = timeline([*flown(fails_at=None, shown=lambda t: {"suction_inhg": 0.0} if 100.0 <= t <= end else {}),
                     Failed(100.0, *PUMP), Healed(end, "pump")])
    assert (evidence(line, line.onsets[0]) is not None) == shown


def test_a_plan_for_a_failure_that_was_soon_over_is_none_for_the_next() -> None:
    decided = (160.0, Decide("divert", "Wendle"))
    assert of(graded(decided, spans=((100.0, 170.0), (300.0, None))), "Make a plan")[0].verdict == "missed"
    assert of(graded(decided, spans=((100.0, None),)), "Make a plan")[0].verdict == "done"
