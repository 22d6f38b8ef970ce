"""What went well is said as it was: which act, when, how soon; and how near a limit came."""

from __future__ import annotations

import pytest

from drill.grading import Finding, grade
from drill.language.meaning import Action, Align, Cover, FlyBy, Look, Switch
from drill.scenario.conditions import All, AnyOf, Compare
from drill.scenario.model import ActTree, Item, Within

from .builders import FAILED, call, flown, item, one, scenario


def finding(asked: Item, *acts: tuple[float, Action], **of_flight: object) -> Finding:
    events = flown(*acts, **of_flight)  # type: ignore[arg-type]
    return next(each for each in grade(scenario((asked,)), events, 1).findings if each.item == asked.name)


def test_what_was_done_is_told_before_why_it_counts() -> None:
    found = finding(item("Stop", do=one("cover", "attitude_indicator"), when=FAILED),
                    (300.0, Cover("attitude_indicator")))
    assert found.reason == "The pilot covered the attitude indicator. It matters."


def test_of_several_ways_only_the_one_that_was_taken_is_told() -> None:
    asked = item("Stop", do=ActTree("any", parts=(one("cover", "attitude_indicator"), one("fly by", "partial_panel"))))
    found = finding(asked, (300.0, FlyBy("partial_panel")), (320.0, Cover("attitude_indicator")))
    assert found.reason == "The pilot flew by partial panel. It matters."


def test_of_what_takes_several_acts_all_are_told_in_their_order() -> None:
    asked = item("Cover", do=ActTree("all", parts=(one("cover", "heading_indicator"),
                                                   one("cover", "attitude_indicator"))))
    found = finding(asked, (300.0, Cover("attitude_indicator")), (330.0, Cover("heading_indicator")))
    assert found.reason == ("From 5:00 to 5:30 the pilot covered the attitude indicator, then covered the heading "
                            "indicator. It matters.")


def test_how_long_before_it_was_late_is_told_where_there_is_a_limit() -> None:
    asked = item("Look", do=one("look", "suction_gauge"), when=FAILED, within=Within(180.0, "failure", "pump"))
    assert "looked at the suction gauge, 1 min before it was late." in finding(
        asked, (240.0, Look("suction_gauge"))).reason
    assert "The pilot" not in finding(asked, (400.0, Look("suction_gauge"))).reason    # late: told as that


def test_a_call_is_told_by_its_words_cut_where_they_are_many() -> None:
    found = finding(item("Tell", do=one("report", "vacuum_system"), when=FAILED),
                    call(300.0, words="we have lost our vacuum pump and with it the horizon, partial panel, help"))
    assert "The pilot called: “we have lost our vacuum pump and with it the horizon, …”." in found.reason


@pytest.mark.parametrize(("inhg", "hpa", "words"), [
    (29.86, None, "set the altimeter to 29.86"), (None, 1013, "set the altimeter to 29.91"),
])
def test_settings_are_told_in_inches(inhg: float | None, hpa: int | None, words: str) -> None:
    found = finding(item("Set", do=one("set", "altimeter")), (60.0, Align("altimeter", hpa=hpa, inhg=inhg)))
    assert words in found.reason


@pytest.mark.parametrize(("keep", "words"), [
    (Compare("true bank", "<", 45.0), "The most true bank was 20 deg at 1:40, the limit 45 deg. It matters."),
    (Compare("true altitude", ">", 4000.0),
     "The least true altitude was 5,000 ft at 0:00, the limit 4,000 ft. It matters."),
    (All((Compare("true bank", "<=", 30.0), Compare("fuel", ">=", 60.0))),
     "The most true bank was 20 deg at 1:40, the limit 30 deg; the least fuel was 180 min at 0:00, the limit 60 min. "
     "It matters."),
    (AnyOf((Compare("true bank", "<", 45.0), Compare("suction", ">", 4.0))), "It matters."),
    (Compare("suction", "<", 99.0), None),
])
def test_of_what_was_kept_the_nearest_to_its_limit_is_told(keep: All | AnyOf | Compare, words: str | None) -> None:
    found = finding(item("Keep", keep=keep), bank=lambda t, follows: 20.0 if t == 100.0 else 0.0, fails_at=None)
    if words is None:
        assert found.verdict == "broken"    # nobody can say that it was kept
    else:
        assert (found.verdict, found.reason) == ("kept", words)


OFF_AND_ON = item("Cycle", do=ActTree("all", parts=(one("switch", "alternator off"), one("switch", "alternator on"))))


def test_off_and_on_again_is_told_in_the_order_in_which_it_brings_a_field_back() -> None:
    found = finding(OFF_AND_ON, (280.0, Switch("alternator", "on")), (300.0, Switch("alternator", "off")),
                    (304.0, Switch("alternator", "on")))
    assert found.at_s == 304.0
    assert found.reason.startswith(
        "From 5:00 to 5:04 the pilot switched the alternator off, then switched the alternator on.")


def test_a_switch_that_was_on_and_is_only_switched_off_has_not_been_cycled() -> None:
    found = finding(OFF_AND_ON, (280.0, Switch("alternator", "on")), (300.0, Switch("alternator", "off")))
    assert found.verdict == "missed"


def test_a_switch_moved_by_mistake_and_set_back_is_no_load_shed() -> None:
    asked = item("Shed", do=ActTree("all", parts=(one("switch", "strobes off"), ActTree("any", parts=(
        one("switch", "gps off"), one("switch", "nav_lights off"))))))
    found = finding(asked, (280.0, Switch("gps", "off")), (284.0, Switch("gps", "on")),
                    (300.0, Switch("strobes", "off")), (304.0, Switch("nav_lights", "off")))
    assert found.reason.startswith("From 5:00 to 5:04 the pilot switched the strobes off, then switched the nav lights "
                                   "off.")
