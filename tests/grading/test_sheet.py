"""The author's grade sheet: do, never, keep; in time, in order, whole."""

from __future__ import annotations

import pytest

from drill.grading import Debrief, Finding, grade
from drill.language.meaning import Action, Call, Cover, Decide, Diagnose, FlyBy, Look, Squawk, Switch, Uncover
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import Compare, Did, Fact, Not
from drill.scenario.model import ActTree, Item, Within

from .builders import FAILED, GAUGE, NO_AGAIN, STEEP, STOP, TELL, call, flown, item, one, scenario


def graded(sheet: tuple[Item, ...], *acts: tuple[float, Action], **given: object) -> Debrief:
    return grade(scenario(sheet), flown(*acts, **given), 1)  # type: ignore[arg-type]


def of(given: Debrief, name: str) -> Finding:
    return next(finding for finding in given.findings if finding.item == name)


def test_done_in_time_is_done() -> None:
    found = of(graded((STOP,), (200.0, Cover("attitude_indicator"))), STOP.name)
    assert (found.verdict, found.at_s, found.score) == ("done", 200.0, 1.0)


def test_done_after_it_was_too_late_is_late() -> None:
    found = of(graded((STOP,), (700.0, FlyBy("partial_panel"))), STOP.name)
    assert found.verdict == "late"
    assert 0.0 < (found.score or 0.0) < 1.0
    assert found.better == STOP.example


def test_never_done_is_missed_and_tells_what_would_have_been_right() -> None:
    found = of(graded((STOP,)), STOP.name)
    assert (found.verdict, found.at_s, found.score) == ("missed", None, 0.0)
    assert found.better == STOP.example


def test_a_finding_names_its_moment_the_panel_the_reason_and_the_source() -> None:
    found = of(graded((STOP,), (200.0, Cover("attitude_indicator"))), STOP.name)
    assert found.at_s == 200.0
    assert found.panel
    assert STOP.why in found.reason
    assert found.source == STOP.source


def test_all_means_every_act_and_is_done_with_the_last() -> None:
    two = (one("cover", "attitude_indicator"), one("cover", "heading_indicator"))
    both = item("Both", do=ActTree("all", parts=two))
    assert of(graded((both,), (200.0, Cover("attitude_indicator"))), "Both").verdict == "missed"
    done = graded((both,), (200.0, Cover("attitude_indicator")), (300.0, Cover("heading_indicator")))
    assert of(done, "Both").at_s == 300.0


def test_an_author_s_window_is_said_to_be_the_author_s() -> None:
    found = of(graded((GAUGE,), (400.0, Look("suction_gauge"))), GAUGE.name)
    assert found.verdict == "late"
    assert "author's choice" in found.reason


@pytest.mark.parametrize(("t", "verdict"), [(300.0, "done"), (301.0, "late")])
def test_the_last_second_of_a_window_is_in_time(t: float, verdict: str) -> None:
    assert of(graded((GAUGE,), (t, Look("suction_gauge"))), GAUGE.name).verdict == verdict


def test_a_look_before_the_failure_does_not_count_for_it() -> None:
    assert of(graded((GAUGE,), (60.0, Look("suction_gauge"))), GAUGE.name).verdict == "missed"


def test_a_look_that_recognizes_counts_from_the_failure_on_though_its_window_counts_from_the_start() -> None:
    gauge = item("Gauge", do=one("look", "suction_gauge"), part="recognize", within=Within(720.0, "start", None))
    assert of(graded((gauge,), (13.0, Look("suction_gauge"))), "Gauge").verdict == "missed"
    assert of(graded((gauge,), (13.0, Look("suction_gauge")), (200.0, Look("suction_gauge"))), "Gauge").at_s == 200.0
    assert of(graded((gauge,), (13.0, Look("suction_gauge")), fails_at=None), "Gauge").verdict == "done"


def test_a_cover_from_before_the_failure_counts_while_it_is_still_on() -> None:
    on = graded((STOP,), (60.0, Cover("attitude_indicator")))
    off = graded((STOP,), (60.0, Cover("attitude_indicator")), (90.0, Uncover("attitude_indicator")))
    assert of(on, STOP.name).verdict == "done"
    assert of(off, STOP.name).verdict == "missed"


def test_a_window_counts_from_the_evidence_where_the_author_says_so() -> None:
    name = item("Name it", do=one("diagnose", "vacuum_system"), within=Within(60.0, "evidence", "pump"))
    evident = graded((name,)).failures[0].evidence_s
    assert evident is not None
    assert of(graded((name,), (evident + 50.0, Diagnose(("vacuum_system",)))), "Name it").verdict == "done"
    assert of(graded((name,), (evident + 70.0, Diagnose(("vacuum_system",)))), "Name it").verdict == "late"


def test_the_wrong_order_is_named_with_the_item_that_was_to_come_first() -> None:
    found = of(graded((STOP, TELL), call(200.0), (300.0, FlyBy("partial_panel"))), TELL.name)
    assert found.verdict == "out of order"
    assert STOP.name in found.reason


def test_the_order_on_the_sheet_does_not_matter_for_what_comes_after() -> None:
    acts = ((200.0, FlyBy("partial_panel")), call(300.0))
    assert [of(graded(sheet, *acts), TELL.name).verdict for sheet in ((STOP, TELL), (TELL, STOP))] == ["done", "done"]


def test_an_item_with_needs_is_graded_on_all_calls_together() -> None:
    first = Call(callsign="given", equipment=("vacuum_system",))
    more = Call(callsign="given", impairment=True, intentions=True)
    secured = (200.0, FlyBy("partial_panel"))
    alone = of(graded((STOP, TELL), secured, call(300.0, first)), TELL.name)
    assert alone.verdict == "incomplete"
    assert "how far that limited the flight and what was wanted" in alone.reason
    assert of(graded((STOP, TELL), secured, call(300.0, first), call(340.0, more)), TELL.name).verdict == "done"


def test_a_failure_that_did_not_happen_asks_for_nothing() -> None:
    given = graded((STOP, TELL, GAUGE, NO_AGAIN), fails_at=None)
    assert {finding.verdict for finding in given.findings if finding.item in (STOP.name, TELL.name, GAUGE.name)} == {
        "not needed"}
    assert given.score == 100.0


def test_an_item_that_answers_a_failure_is_not_needed_without_one_even_if_its_author_forgot_to_say_so() -> None:
    bare = item("Report", do=one("report", "vacuum_system"))
    assert of(graded((bare,), fails_at=None), "Report").verdict == "not needed"
    assert of(graded((bare,)), "Report").verdict == "missed"


def test_what_is_never_to_be_done_is_kept_or_broken() -> None:
    covered = (200.0, Cover("attitude_indicator"))
    assert of(graded((NO_AGAIN,), covered), NO_AGAIN.name).verdict == "kept"
    found = of(graded((NO_AGAIN,), covered, (300.0, Uncover("attitude_indicator"))), NO_AGAIN.name)
    assert (found.verdict, found.at_s, found.score) == ("broken", 300.0, 0.0)


def test_never_holds_only_while_its_condition_does() -> None:
    high = item("Not 7700 up here", never=one("squawk", "7700"), when=Fact("is", "in cloud"))
    assert of(graded((high,), (200.0, Squawk("7700"))), high.name).verdict == "broken"
    assert of(graded((high,), (200.0, Squawk("7700")), cloud=False), high.name).verdict == "not needed"


def test_an_unsafe_item_that_is_broken_is_an_unsafe_act() -> None:
    grave = item("Never again", part="decide", never=one("uncover", "attitude_indicator"), unsafe=True)
    given = graded((grave,), (200.0, Cover("attitude_indicator")), (300.0, Uncover("attitude_indicator")))
    assert [act.act for act in given.unsafe_acts] == ["Never again"]
    assert (given.parts["decide"] or 0.0) <= 40.0


def test_keep_is_broken_by_a_lapse_and_says_from_when() -> None:
    level = item("Hold 5,000", keep=Compare("true altitude", ">", 4800.0))
    lapse = graded((level,), altitude=lambda t: 4700.0 if 300.0 <= t < 340.0 else 5000.0)
    assert of(lapse, level.name).verdict == "broken"
    assert of(lapse, level.name).at_s == pytest.approx(300.0, abs=1.0)


@pytest.mark.parametrize(("within", "verdict"), [(280.0, "kept"), (330.0, "broken"), (None, "broken")])
def test_a_keep_with_a_window_counts_no_longer_than_it(within: float | None, verdict: str) -> None:
    level = item("Hold 5,000", keep=Compare("true altitude", ">", 4800.0),
                 within=None if within is None else Within(within, "start", None))
    found = of(graded((level,), altitude=lambda t: 4700.0 if 300.0 <= t < 340.0 else 5000.0), level.name)
    assert found.verdict == verdict


@pytest.mark.parametrize(("seconds", "lasting", "score"), [(4, "4 s", 0.5), (9, "9 s", 0.5), (10, "10 s", 0.0)])
def test_how_long_it_was_not_kept_is_told_and_ten_seconds_of_it_earn_nothing(
    seconds: int, lasting: str, score: float,
) -> None:
    level = item("Hold 5,000", keep=Compare("true altitude", ">", 4800.0), example="climb to 5000", weight="minor")
    found = of(graded((level,), altitude=lambda t: 4700.0 if 300.0 <= t < 300.0 + seconds else 5000.0), level.name)
    assert (found.reason, found.score, found.at_s) == (
        f"Not kept, for {lasting} in all. {level.why}", score, 300.0)
    assert (found.better, found.weight, found.source) == ("climb to 5000", "minor", level.source)


def test_lapses_add_up() -> None:
    level = item("Hold 5,000", keep=Compare("true altitude", ">", 4800.0))
    found = of(graded((level,), altitude=lambda t: 4700.0 if t % 300.0 < 6.0 and t else 5000.0), level.name)
    assert found.score == 0.0


def test_a_blink_is_no_broken_keep() -> None:
    level = item("Hold 5,000", keep=Compare("true altitude", ">", 4800.0), when=FAILED)
    acted = (200.0, Cover("attitude_indicator"))
    assert of(graded((level,), acted, altitude=lambda t: 4700.0 if 300.0 <= t < 303.0 else 5000.0),
              level.name).verdict == "kept"


def test_conditions_may_name_acts_and_what_was_said() -> None:
    told = item("Then squawk", do=one("squawk", "7700"), when=Fact("reported", "vacuum_system"))
    assert of(graded((told,), (500.0, Squawk("7700"))), told.name).verdict == "not needed"
    assert of(graded((told,), call(300.0), (500.0, Squawk("7700"))), told.name).verdict == "done"
    covered = item("After the cover", do=one("look", "clock"),
                   when=Did(ActPattern("cover", "attitude_indicator"), here=False))
    assert of(graded((covered,), (300.0, Cover("attitude_indicator")), (350.0, Look("clock"))),
              covered.name).verdict == "done"


def test_conditions_may_name_the_plan_with_its_place_in_any_near_spelling() -> None:
    planned = item("Then look", do=one("look", "clock"), when=Fact("planned", "divert Wendle"))
    acts = ((300.0, Decide("divert", "wendel")), (350.0, Look("clock")))
    assert of(graded((planned,), *acts), "Then look").verdict == "done"
    assert of(graded((planned,), (300.0, Decide("divert", "Tallowby"))), "Then look").verdict == "not needed"


def test_a_value_that_the_record_does_not_have_makes_its_comparison_false() -> None:
    unseen = item("Unseen", do=one("look", "clock"), when=Compare("distance to", "<", 3.0, "Nowhere"))
    assert of(graded((unseen,)), "Unseen").verdict == "not needed"


def test_what_was_not_done_before_a_cut_record_ends_is_not_called_missed_while_there_was_time() -> None:
    found = of(graded((GAUGE,), seconds=200, ending=None), GAUGE.name)
    assert found.verdict == "not needed"
    assert found.score is None


def test_before_can_be_turned_round() -> None:
    climb = item("Level first", do=one("look", "clock"), before=Not(STEEP))
    assert of(graded((climb,), (300.0, Look("clock"))), climb.name).verdict == "late"


CHOOSE = item("Choose visual weather", part="decide", when=FAILED, do=ActTree("any", parts=(
    one("divert", "Wendle"), one("ask for", "vmc"), one("land", "Wendle"))))
ASKS = Call(callsign="given", assistance=("vmc",))
TO_WENDLE, TO_TALLOWBY = Decide("divert", "Wendle"), Decide("divert", "Tallowby")


def chosen(*acts: tuple[float, Action], **given: object) -> Finding:
    return of(graded((CHOOSE,), *acts, **given), CHOOSE.name)


@pytest.mark.parametrize("before", [TO_WENDLE, Decide("land", "Wendle")])
@pytest.mark.parametrize("after", [TO_TALLOWBY, Decide("land", "Tallowby"), Decide("continue", "Tallowby")])
def test_the_last_decision_counts_and_a_withdrawn_one_is_said_to_be(before: Action, after: Action) -> None:
    found = chosen((200.0, before), (300.0, after))
    assert (found.verdict, found.score) == ("missed", 0.0)
    assert "3:20 and withdrawn" in found.reason
    assert "Tallowby" in found.reason
    assert found.at_s == 300.0


@pytest.mark.parametrize("after", [
    Decide("land", "Wendle"), Decide("land"), Decide("hold"), Decide("continue"), Decide("divert", "wendel"),
    Decide("cancel_ifr"),
])
def test_going_on_with_what_was_decided_withdraws_nothing(after: Action) -> None:
    found = chosen((200.0, TO_WENDLE), (300.0, after), cloud=False)
    assert (found.verdict, found.at_s) == ("done", 200.0)


def test_a_request_is_withdrawn_by_a_decision_for_another_place_too() -> None:
    assert chosen(call(200.0, ASKS), (300.0, TO_TALLOWBY)).verdict == "missed"
    # what ATC still remembers from the first call is no new request
    assert chosen(call(200.0, ASKS), (300.0, TO_TALLOWBY), call(400.0, Call(callsign="given"))).verdict == "missed"


def test_a_decision_taken_up_again_counts_from_then() -> None:
    found = chosen((200.0, TO_WENDLE), (300.0, TO_TALLOWBY), (400.0, TO_WENDLE))
    assert (found.verdict, found.at_s) == ("done", 400.0)
    assert chosen((200.0, TO_TALLOWBY), (300.0, TO_WENDLE)).verdict == "done"


def test_a_decision_before_the_failure_counts_only_while_it_is_the_plan() -> None:
    assert chosen((60.0, TO_WENDLE)).verdict == "done"
    assert chosen((60.0, TO_WENDLE), (90.0, TO_TALLOWBY)).verdict == "missed"


def test_what_is_no_decision_is_not_withdrawn_by_one() -> None:
    either = item("Either", when=FAILED, do=ActTree("any", parts=(
        one("cover", "attitude_indicator"), one("divert", "Wendle"))))
    found = of(graded((either,), (200.0, Cover("attitude_indicator")), (250.0, TO_WENDLE), (300.0, TO_TALLOWBY)),
               "Either")
    assert (found.verdict, found.at_s) == ("done", 200.0)


def test_a_decision_without_a_place_on_the_sheet_is_withdrawn_by_its_contrary() -> None:
    divert = item("Divert", part="decide", when=FAILED, do=one("divert"))
    back = item("Back", part="decide", when=FAILED, do=one("return to ramp"))
    assert of(graded((divert,), (200.0, TO_WENDLE), (300.0, Decide("continue", "Tallowby"))),
              "Divert").verdict == "missed"
    assert of(graded((divert,), (200.0, TO_WENDLE), (300.0, TO_TALLOWBY)), "Divert").verdict == "done"
    gone_on = graded((back,), (200.0, Decide("return_to_ramp")), (300.0, Decide("continue")))
    assert of(gone_on, "Back").verdict == "missed"


def test_a_switch_from_before_counts_while_it_stands_so() -> None:
    heat = item("Pitot heat", when=FAILED, do=one("switch", "pitot_heat on"))
    on, off = (60.0, Switch("pitot_heat", "on")), (90.0, Switch("pitot_heat", "off"))
    assert of(graded((heat,), on), "Pitot heat").verdict == "done"
    assert of(graded((heat,), on, off), "Pitot heat").verdict == "missed"


def test_a_code_from_before_counts_while_it_is_set() -> None:
    code = item("Squawk", when=FAILED, do=one("squawk", "7700"))
    assert of(graded((code,), (60.0, Squawk("7700"))), "Squawk").verdict == "done"
    assert of(graded((code,), (60.0, Squawk("7700")), (90.0, Squawk("1200"))), "Squawk").verdict == "missed"


def test_cancelling_on_the_radio_breaks_an_item_that_forbids_it_and_talking_of_it_does_not() -> None:
    keep_it = item("Keep the clearance", part="decide", never=one("cancel IFR"))
    assert of(graded((keep_it,), call(300.0, Call(cancels_ifr=True))), keep_it.name).verdict == "broken"
    assert of(graded((keep_it,), (300.0, Decide("cancel_ifr"))), keep_it.name).verdict == "broken"
    assert of(graded((keep_it,), call(300.0, Call(words="we will cancel IFR on the ground"))),
              keep_it.name).verdict == "kept"
