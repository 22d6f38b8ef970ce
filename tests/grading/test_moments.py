"""The moments of a flight, and its lanes: what is told of a failure, of a call, of a finding and of an unsafe act."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drill.flight.events import Acted, Event, Heard, Trace
from drill.grading import Debrief, grade
from drill.grading.debrief import CallHeard, EndingReached, FailureStory, Finding, UnsafeAct
from drill.grading.lanes import Lane, Mark, Stretch, lanes
from drill.grading.moments import Moment, cost_words, moments
from drill.language.meaning import Call, Cover, Transmit

from .builders import flown, scenario

EMPTY = replace(grade(scenario(()), [], 1), findings=(), failures=(), unsafe_acts=(), calls=(), ending=None)
STORY = FailureStory("pump", "vacuum pump", "shaft shears", 120.0, 150.0, "the suction gauge was below 4 inches",
                     200.0, "covered the attitude indicator", 260.0, "The shaft shears.", 400.0, 180.0,
                     "the horizon leaned", 190.0, "the suction gauge was low")
FOUND = Finding("Tell ATC", "communicate", "late", 300.0, "Told late.", "14 CFR 91.187", "major", readings="Suction 0.",
                better="tell approach", score=0.4, cost=4.5, about=("suction_gauge",))
ACT = UnsafeAct("Lost control of the airplane", 500.0, "The bank ran away.", "a source", readings="Bank 80.",
                about=("attitude_indicator",))


def of(**parts: object) -> Debrief:
    return replace(EMPTY, flown_s=600.0, **parts)  # type: ignore[arg-type]


def kinds(found: tuple[Moment, ...]) -> list[tuple[float | None, str, str]]:
    return [(each.t, each.kind, each.title) for each in found]


def test_a_failure_is_told_from_its_beginning_to_its_end() -> None:
    found = moments(of(failures=(STORY,)))
    assert kinds(found) == [
        (120.0, "failed", "The vacuum pump fails"), (150.0, "evident", "It could have been known: vacuum pump"),
        (180.0, "instrument evident", "The instrument could have been told: vacuum pump"),
        (190.0, "part evident", "It could have been named: vacuum pump"),
        (200.0, "first act", "First act on it: covered the attitude indicator"),
        (260.0, "named", "Named rightly: vacuum pump"), (400.0, "healed", "The vacuum pump works again")]
    said = [each.details for each in found]
    assert said[0][0][0] == "What happened, and what came of it"
    assert said[0][0][1].startswith("The shaft shears.")
    assert said[1] == (
        ("What showed it", "The suction gauge was below 4 inches."),
        ("How it is reckoned", "From here on a careful cross-check, gone round once, would have met it. That is 30 s "
                               "after it began."))
    assert said[2] == (("What told it", "The horizon leaned."),)
    assert said[3] == (("What told it", "The suction gauge was low."),)
    assert said[4] == (("What happened", "Covered the attitude indicator. 50 s after it could have been known."),)
    assert said[5] == (("What happened", "You named what had failed, 2 min 20 s after it began."),)
    assert said[6] == (("What happened", "What had failed came back."),)


@pytest.mark.parametrize(("change", "gone"), [
    ({"evidence_s": None}, "evident"), ({"instrument_s": None}, "instrument evident"),
    ({"instrument_s": 190.0}, "instrument evident"), ({"instrument_s": 150.0}, "instrument evident"),
    ({"system_s": None}, "part evident"), ({"system_s": 150.0}, "part evident"), ({"first_act_s": None}, "first act"),
    ({"named_s": None}, "named"), ({"healed_s": None}, "healed"),
])
def test_what_never_was_or_was_known_together_is_no_moment_of_its_own(change: dict[str, object], gone: str) -> None:
    found = moments(of(failures=(replace(STORY, **change),)))  # type: ignore[arg-type]
    assert len(found) == 6
    assert gone not in {each.kind for each in found}


@pytest.mark.parametrize(("first_act_s", "evidence_s", "words"), [
    (150.0, 150.0, "Covered the attitude indicator. 0 s after it could have been known."),
    (140.0, 150.0, "Covered the attitude indicator. 10 s before it could have been known."),
    (140.0, None, "Covered the attitude indicator."),
])
def test_the_first_act_is_set_against_the_evidence(
    first_act_s: float, evidence_s: float | None, words: str,
) -> None:
    told = moments(of(failures=(replace(STORY, first_act_s=first_act_s, evidence_s=evidence_s),)))
    assert next(each.details for each in told if each.kind == "first act") == (("What happened", words),)


def test_a_finding_is_told_with_its_reason_panel_remedy_cost_and_source() -> None:
    poor, good = moments(of(findings=(FOUND, replace(FOUND, verdict="done", at_s=310.0, cost=0.0, readings="",
                                                     better=""))))
    assert (poor.t, poor.kind, poor.title, poor.about) == (300.0, "poor", "Tell ATC: late", ("suction_gauge",))
    assert poor.details == (
        ("What happened, and why it matters", "Told late."), ("On the panel then, what it is about", "Suction 0."),
        ("Right would have been", "tell approach"),
        ("What it cost", "Communicate: 4.5 points of 100. Weight: major."), ("Source", "14 CFR 91.187"))
    assert (good.kind, good.details) == ("good", (
        ("What happened, and why it matters", "Told late."), ("What it cost", "Communicate: nothing. Weight: major."),
        ("Source", "14 CFR 91.187")))


def test_what_does_not_count_is_told_so() -> None:
    assert cost_words(replace(FOUND, score=None, part="recognize")) == "Recognize: told, not counted."


def test_what_was_missed_comes_last_and_what_was_kept_or_not_needed_is_no_moment() -> None:
    missed = replace(FOUND, item="Look", verdict="missed", at_s=None)
    kept, spared = replace(missed, item="Keep", verdict="kept"), replace(FOUND, item="Spared", verdict="not needed")
    ending = EndingReached("clear", "safe", "Out of it.")
    found = moments(of(findings=(missed, kept, spared, FOUND), ending=ending))
    assert kinds(found) == [(300.0, "poor", "Tell ATC: late"), (600.0, "ended", "The end: safe"),
                            (None, "poor", "Look: missed")]
    assert found[1].details == (("What happened", "Out of it."),)


def test_an_unsafe_act_is_told_once_with_what_it_cost() -> None:
    same = replace(FOUND, item=ACT.act, at_s=500.0, verdict="broken", part="aviate", cost=20.0)
    (alone,), (both,) = moments(of(unsafe_acts=(ACT,))), moments(of(unsafe_acts=(ACT,), findings=(same,)))
    assert (alone.t, alone.kind, alone.title, alone.about) == (
        500.0, "unsafe", "UNSAFE: Lost control of the airplane", ("attitude_indicator",))
    assert alone.details == (
        ("What happened, and why it matters", "The bank ran away."),
        ("On the panel then, what it is about", "Bank 80."),
        ("What it cost", "It holds the grade down."), ("Source", "a source"))
    assert both.title == "UNSAFE: Lost control of the airplane: broken"
    assert both.details[2:4] == (
        ("Right would have been", "tell approach"),
        ("What it cost", "It holds the grade down. Aviate: 20 points of 100. Weight: major."))


def said(t: float, words: str = "04W, vacuum", *, heard: bool = True, refused: bool = False) -> Acted:
    act = Transmit(words, Call()).as_labels()
    return Acted(t, act, t - 2.0, heard=heard, refused=refused)


def atc(t: float, words: str = "say again", *, to_us: bool = True) -> Heard:
    return Heard(t, "Approach", words, to_us=to_us)


def test_a_call_is_told_with_what_atc_said_within_a_minute_before_and_after_it() -> None:
    events: list[Event] = [atc(200.0, "long ago"), atc(240.0, "before"), said(300.0), atc(300.0, "at once"),
                           atc(350.0, "later"), atc(299.0, "to another", to_us=False)]
    (call,) = moments(of(), events)
    assert (call.t, call.kind, call.title) == (300.0, "called", "You called: 04W, vacuum")
    assert call.details == (("You said", "04W, vacuum"), ("Heard before, 4:00", "Approach: before"),
                            ("Heard after, 5:00", "Approach: at once"))


@pytest.mark.parametrize(("events", "others"), [
    ([atc(239.0), said(300.0)], ()), ([atc(240.0), said(300.0)], ("Heard before, 4:00",)),
    ([said(300.0), atc(360.0)], ("Heard after, 6:00",)), ([said(300.0), atc(361.0)], ()),
    ([said(300.0, heard=False)], ("Heard by nobody",)),
])
def test_what_is_further_off_than_a_minute_is_no_answer(events: list[Event], others: tuple[str, ...]) -> None:
    (call,) = moments(of(), events)
    assert tuple(name for name, _ in call.details[1:]) == others


def test_a_call_that_got_through_to_nobody_is_told_so_and_one_that_was_refused_is_none() -> None:
    (call,) = moments(of(), [said(300.0, heard=False), said(310.0, refused=True)])
    assert call.details == (("You said", "04W, vacuum"), ("Heard by nobody", "The call did not get through."))


def test_what_atc_made_of_a_call_stands_beside_it() -> None:
    heard = CallHeard(300.0, "04W, vacuum", (), ("who was calling",), ())
    (call,) = moments(of(calls=(heard,)), [said(300.0)])
    assert call.details[1] == ("What ATC made of it", "Heard: nothing. Not heard by then: who was calling.")


# --- lanes -------------------------------------------------------------------------------------------


def lane(name: str, debrief: Debrief, events: list[Event]) -> Lane:
    return next(each for each in lanes(debrief, moments(debrief, events), events) if each.name == name)


def test_each_moment_stands_in_the_lane_of_its_kind() -> None:
    debrief = of(failures=(STORY,), findings=(FOUND,), unsafe_acts=(ACT,), ending=EndingReached("x", "safe", ""))
    found = {each.name: [mark.kind for mark in each.marks] for each in lanes(debrief, moments(debrief), ())}
    assert found == {
        "failure": ["failed", "healed"], "evidence": ["evident", "instrument evident", "part evident"],
        "acts": ["first act", "named"], "control": [], "calls": [], "grade sheet": ["poor", "unsafe", "ended"]}


def test_the_lane_of_acts_has_each_act_that_was_done_and_no_call() -> None:
    events: list[Event] = [Acted(310.0, Cover("attitude_indicator").as_labels(), 309.0), said(300.0),
                           Acted(290.0, {"action": "fly_by", "what": "partial_panel"}, 289.0),
                           Acted(320.0, {"action": "look", "at": "clock"}, 319.0, refused=True)]
    assert lane("acts", of(), events).marks == (Mark(290.0, "act", "fly by"), Mark(310.0, "act", "cover"))


def test_the_lane_of_calls_has_both_sides_in_the_order_of_time() -> None:
    events: list[Event] = [atc(320.0), said(300.0), atc(310.0, to_us=False)]
    assert lane("calls", of(), events).marks == (
        Mark(300.0, "called", "You called: 04W, vacuum"), Mark(320.0, "heard", "Approach: say again"))


@pytest.mark.parametrize(("healed", "end"), [(400.0, 400.0), (None, 600.0)])
def test_a_failure_lasts_until_it_is_over_or_the_flight_is(healed: float | None, end: float) -> None:
    debrief = of(failures=(replace(STORY, healed_s=healed),))
    assert lane("failure", debrief, []).stretches == (Stretch(120.0, end, "failed", "vacuum pump: shaft shears"),)


def test_steep_bank_is_a_stretch_of_the_lane_of_control() -> None:
    bank = {100: 20.0, 101: 21.0, 102: 45.0, 103: -46.0, 104: 50.0, 105: 30.0, 106: 0.0, 107: -21.0}
    traces = [event for event in flown(seconds=107, bank=lambda t, _: bank.get(int(t), 0.0))
              if isinstance(event, Trace)]
    assert lane("control", of(), [*reversed(traces)]).stretches == (
        Stretch(101.0, 102.0, "bank over 20", "bank over 20 degrees"),
        Stretch(103.0, 104.0, "bank over 45", "bank over 45 degrees"),
        Stretch(105.0, 105.0, "bank over 20", "bank over 20 degrees"),
        Stretch(107.0, 107.0, "bank over 20", "bank over 20 degrees"))
