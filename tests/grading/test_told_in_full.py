"""What a finding says, whole: sentences of findings that none of the described flights comes to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from drill.flight.events import Acted, Assigned, Event, Healed, Heard, Seated, Trace
from drill.grading import Finding, grade
from drill.grading.debrief import UnsafeAct
from drill.language.meaning import (
    Action,
    Altitude,
    Call,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    Look,
    Reply,
    Squawk,
    Transmit,
    Uncover,
)
from drill.scenario.conditions import Compare
from drill.scenario.model import Item

from .builders import FAILED, FULL_CALL, STOP, TELL, call, flown, item, one, scenario

WHO = "Orrinfell Approach"
HELLO = "Larkspur zero four whiskey, "


def told(name: str, *acts: tuple[float, Action], sheet: tuple[Item, ...] = (), more: tuple[Event, ...] = (),
         changed: Callable[[Event], Event] = lambda event: event, **given: Any) -> Finding:
    events = sorted([*map(changed, flown(*acts, **given)), *more], key=lambda event: event.t)
    return next(each for each in grade(scenario(sheet), events, 1).findings if each.item == name)


def question(t: float, words: str, wants: str) -> Heard:
    return Heard(t, WHO, HELLO + words, wants=wants)


def answer(t: float) -> tuple[float, Action]:
    return t, Transmit("…", Call(callsign="given", replies=(Reply("standby"),)))


@pytest.mark.parametrize(("count", "times"), [(1, "once"), (2, "twice"), (3, "3 times")])
def test_what_was_answered(count: int, times: str) -> None:
    asked = tuple(question(300.0 + 100.0 * place, "say fuel.", f"{place}") for place in range(count))
    found = told("Answer what ATC asks", *(answer(310.0 + 100.0 * place) for place in range(count)), more=asked,
                 fails_at=None)
    assert found.reason == f"ATC asked for something {times}, and was answered each time."
    assert (found.verdict, found.weight, found.part, found.score) == ("done", "minor", "communicate", 1.0)


def test_what_was_left_open() -> None:
    asked = (question(300.0, "roger. Say intentions.", "intentions"), question(320.0, "say intentions.", "intentions"),
             question(500.0, "say fuel.", "fuel"), question(600.0, "say souls on board.", "people"))
    found = told("Answer what ATC asks", (620.0, Transmit("…", Call())), more=asked, fails_at=None)
    assert found.reason == (
        "Of 3 things that ATC asked, 2 had no answer within 1 min: at 5:00 “say intentions”, put twice, answered after "
        "5 min 19 s; at 8:20 “say fuel”, answered after 1 min 59 s. ATC cannot tell a busy pilot from one who has lost "
        "the radio, or control, and asks on. “Stand by” is an answer.")
    assert found.better == "stand by, and the callsign; then the answer when the airplane is in hand"
    assert (found.verdict, found.at_s) == ("incomplete", 300.0)
    assert found.score == pytest.approx(1.0 / 3.0)


def test_speed_beyond_never_exceed() -> None:
    found = told("Keep the speed in the green", fails_at=None, true=lambda t: {"airspeed_kt": 170.0 if t == 200.0
                                                                               else 110.0})
    assert found.reason == "170 knots at 3:20, beyond never-exceed speed (158)."
    assert (found.verdict, found.weight, found.score, found.at_s, found.about) == (
        "broken", "critical", 0.0, 200.0, ("airspeed_indicator",))
    assert found.better == "reduce power, level wings, then raise the nose"


def approach(height: Callable[[float], float]) -> Finding:
    def miles(t: float) -> float:
        return max(0.0, 10.0 - max(0.0, t - 300.0) / 32.0)

    def nearer(event: Event) -> Event:
        return replace(event, values={**event.values, "distance to Tallowby": miles(event.t)}) if isinstance(
            event, Trace) else event
    return told("Keep the glide path", fails_at=None, seconds=620, changed=nearer,
                altitude=lambda t: min(3000.0, 450.0 + height(miles(t))),
                more=(Assigned(0.0, 240.0, 3000.0), Assigned(300.0, 240.0, 3000.0, "ILS 24")))


def test_an_approach_on_below_and_above_its_path() -> None:
    on, below, above = (approach(height) for height in (
        lambda nm: 318.4 * nm, lambda nm: 318.4 * nm - 500.0, lambda nm: 318.4 * nm if nm > 5.0 else 1592.0))
    assert on.reason == "On the ILS the airplane stayed on the glide path."
    assert below.reason == (
        "From 5:34 the airplane was below the glide path, 4 min 15 s off it in all; at the worst, 1.0 miles out, 500 "
        "feet below, more than full scale. The path comes down some 318 feet a mile. Below it nothing in cloud keeps "
        "the ground away.")
    assert below.better == "level off until the path comes down to you; or go around"
    assert above.reason == (
        "From 8:04 the airplane was above the glide path, 1 min 45 s off it in all; at the worst, 1.0 miles out, 1274 "
        "feet above, more than full scale. The path comes down some 318 feet a mile. From above it there is no "
        "landing; an approach that is not flown down is given up aloud.")
    assert above.better == "descend with the path; or go around, and tell ATC"
    assert [each.about for each in (below, above)] == [("altimeter", "navigation")] * 2
    assert [each.weight for each in (below, above)] == ["critical", "major"]


def test_an_altitude_that_was_left_before_atc_was_told() -> None:
    found = told("Leave an assigned altitude only when ATC knows", (300.0, Altitude(6000, "climb")),
                 call(400.0, Call(callsign="given", urgency="emergency")), fails_at=None, cloud=False,
                 altitude=lambda t: 5000.0 + 10.0 * max(0.0, min(100.0, t - 305.0)),
                 more=(Assigned(0.0, 240.0, 5000.0),))
    assert found.reason == (
        "From 5:00 the airplane left 5,000 feet, which ATC had assigned, and was 300 feet away from it at 5:36. ATC "
        "was told 1 min 40 s after the order. ATC keeps others away from the altitude that it has assigned, not from "
        "the one that is flown.")
    assert (found.verdict, found.score, found.weight) == ("late", 0.4, "major")
    assert found.better == "tell ATC first: request higher, or: unable to maintain, climbing"


def test_looks_that_went_to_one_instrument() -> None:
    looks = [(310.0 + 25.0 * place, Look("attitude_indicator")) for place in range(4)]
    acts = sorted([*looks, (320.0, Look("altimeter")), (124.0, Look("magnetic_compass"))], key=lambda act: act[0])
    found = told("Emphasis", *acts, (600.0, Cover("attitude_indicator")), more=(Seated(0.0, "words"),))
    assert ("Of 6 looks 4 went to the attitude indicator alone: one instrument was leaned on where several belong "
            "together. Told, not counted") in found.reason


def test_turns_that_were_all_begun_in_time() -> None:
    given = (Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 330.0, 5000.0),
             Heard(305.0, WHO, f"{HELLO}turn right heading three three zero.", wants="readback"))
    found = told("Fly the turns that ATC orders, or say unable", fails_at=None, more=given,
                 true=lambda t: {"heading_deg": 240.0 if t < 320.0 else 330.0})
    assert found.reason == "Each turn that ATC ordered was begun in time."


def test_a_plan_that_was_taken_and_one_that_atc_knew_of() -> None:
    decided = told("Make a plan", (400.0, Decide("divert", "Wendle")))
    assert (decided.reason, decided.at_s, decided.score) == ("At 6:40 the plan was: divert Wendle.", 400.0, 1.0)
    asked = told("Make a plan", call(400.0, Call(callsign="given", assistance=("vectors",))))
    assert asked.reason == "At 6:40 ATC knew what was wanted."


def test_a_failure_that_came_back_before_people_act() -> None:
    found = told("Recognize: vacuum pump", more=(Healed(300.0, "pump"),))
    assert found.reason.endswith("until it came back at 5:00. People take longer than that: it is told, not counted.")
    assert (found.verdict, found.score) == ("missed", None)


def test_a_pump_called_failed_with_a_good_gauge_just_seen() -> None:
    found = told("Name what failed, and only that", (300.0, Look("suction_gauge")),
                 (360.0, Diagnose(("vacuum_system",))), fails_at=None)
    assert found.reason == (
        "At 6:00 the pilot named the vacuum system, which had not failed. The suction gauge had been looked at, at "
        "5:00, and stood in the green: suction that is there clears the pump and its lines.")
    assert (found.weight, found.score, found.about) == ("critical", 0.0, ("suction_gauge",))


def test_an_item_that_came_out_of_order() -> None:
    before = told(TELL.name, call(200.0), (300.0, FlyBy("partial_panel")), sheet=(STOP, TELL))
    assert before.reason == f"It was to come after “{STOP.name}”, which was done only at 5:00. {TELL.why}"
    never = told(TELL.name, call(200.0), sheet=(STOP, TELL))
    assert never.reason == f"It was to come after “{STOP.name}”, which was never done. {TELL.why}"
    assert (before.score, never.score, before.verdict) == (0.5, 0.5, "out of order")


def test_an_item_that_was_done_too_late_or_undone() -> None:
    late = told(STOP.name, (700.0, FlyBy("partial_panel")), sheet=(STOP,))
    assert late.reason.endswith(f"after it was too late for it. {STOP.why}")
    again = told(STOP.name, (200.0, FlyBy("partial_panel")), (300.0, FlyBy("full_panel")),
                 (330.0, FlyBy("partial_panel")), sheet=(STOP,), bank=lambda t, follows: 0.0)
    assert again.reason.startswith("It was done, then undone at 5:00, and done again at 5:30.")
    assert again.score == 0.5


def test_an_item_that_had_not_come_up_when_the_record_stops() -> None:
    later = item("Later", do=one("squawk", "7700"), when=Compare("true altitude", ">", 9000.0))
    open_, over = (told("Later", sheet=(later,), ending=ending) for ending in (None, "safe"))
    assert (open_.reason, over.reason) == ("This had not come up by then.", "This did not come up in this flight.")
    none = told("Later", (100.0, Squawk("7700")), sheet=(replace(later, when=FAILED),), fails_at=None)
    assert none.reason == "Nothing failed in this flight."


def talked(**given: Any) -> Finding:
    said = Acted(345.0, Transmit("roger", Call(callsign="given")).as_labels(), 330.0)
    return told("Fly first, then talk: nothing running away", more=(said,), **given)


def test_talking_while_something_ran_away() -> None:
    rolled = talked(bank=lambda t, follows: max(0.0, t - 300.0))
    assert rolled.reason == (
        "The call at 5:30 took 15 s, and the bank grew from 30 to 45 degrees meanwhile. Nobody on the radio can level "
        "the wings. Told, not counted: what came of it is graded where it shows.")
    assert rolled.better == "level wings; when the needles stand still, the call"
    assert rolled.about == ("attitude_indicator", "turn_coordinator", "altimeter")
    sank = talked(altitude=lambda t: 5000.0 - 10.0 * max(0.0, t - 300.0))
    assert "and the airplane went from 300 to 450 feet off its altitude meanwhile. " in sank.reason


# --- unsafe acts -------------------------------------------------------------------------------------


def act(name: str, *acts: tuple[float, Action], changed: Callable[[Event], Event] = lambda event: event,
        **given: Any) -> UnsafeAct:
    events = [*map(changed, flown(*acts, **given))]
    return next(each for each in grade(scenario(()), events, 1).unsafe_acts if each.act == name)


def test_a_clearance_given_up_in_cloud() -> None:
    found = act("Cancelled IFR in cloud", call(300.0, Call(callsign="given", cancels_ifr=True)))
    assert (found.reason, found.at_s, found.part) == (
        "At 5:00 IFR was cancelled while the airplane was in cloud: no separation, no help, no clearance to be there.",
        300.0, "decide")


@pytest.mark.parametrize(("outcome", "words"), [
    ("loss of control", "At 15:00 the airplane was out of control."),
    ("hit the ground", "At 15:00 the airplane was out of control; in the end it met the ground."),
    ("broke up", "At 15:00 the airplane was out of control; in the end it broke up."),
])
def test_control_that_was_lost(outcome: str, words: str) -> None:
    found = act("Lost control of the airplane", ending=outcome, bank=lambda t, follows: 0.0)
    assert (found.reason, found.at_s, found.part) == (words, 900.0, "aviate")
    assert found.about == ("attitude_indicator", "turn_coordinator", "airspeed_indicator", "altimeter")


def test_minimums_that_were_left_without_the_runway() -> None:
    found = act("Went below minimums", ending="below minimums")
    assert (found.reason, found.part, found.about) == (
        "At 15:00 the airplane was below the approach's minimums without the runway in sight.", "decide",
        ("altimeter",))


def test_limits_that_were_left() -> None:
    def beyond(event: Event) -> Event:
        return replace(event, true={**event.true, "beyond_never_exceed": 1.0, "beyond_limit_load": 1.0}) if isinstance(
            event, Trace) and event.t >= 700.0 else event
    speed, load = (act(name, changed=beyond) for name in ("Beyond never-exceed speed", "Beyond the limit load"))
    assert speed.reason == "At 11:40 the airplane was beyond its limit of 158 knots."
    assert load.reason == "At 11:40 the airplane was beyond its limit of 3.8 g."
    assert (speed.about, load.about) == (("airspeed_indicator",), ("airspeed_indicator", "turn_coordinator"))


def test_a_covered_instrument_that_was_trusted_again() -> None:
    found = act("Trusted a covered instrument again", call(250.0, FULL_CALL), (300.0, Cover("attitude_indicator")),
                (400.0, Uncover("attitude_indicator")), (410.0, FlyBy("full_panel")), bank=lambda t, follows: 0.0)
    assert found.reason == (
        "The attitude indicator was uncovered at 6:40, while it still failed, and at 6:50 the hands flew by it again.")
    assert found.about == ("attitude_indicator", "turn_coordinator")
