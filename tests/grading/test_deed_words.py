"""Acts told in the past tense."""

from __future__ import annotations

import pytest

from drill.flight.labels import ACTION_KINDS
from drill.grading.deed_words import deed_words
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Breaker,
    BreakOff,
    Checklist,
    ChecklistItem,
    Compare,
    Cover,
    Decide,
    Diagnose,
    Flaps,
    FlyBy,
    GoAround,
    Ident,
    LevelWings,
    Look,
    Pitch,
    Power,
    Squawk,
    StopTurn,
    Switch,
    Taxi,
    Timer,
    Track,
    Transmit,
    Tune,
    Turn,
    TurnRate,
    Unclear,
    Uncover,
    Wait,
    WriteUp,
)


@pytest.mark.parametrize(("action", "words"), [
    (Look("panel"), "looked over the whole panel"), (Look("outside"), "looked outside"),
    (Look("suction_gauge"), "looked at the suction gauge"), (Look("navigation"), "looked at the GPS"),
    (Compare(("attitude_indicator", "turn_coordinator")), "compared the attitude indicator and the turn coordinator"),
    (Compare(("altimeter", "airspeed_indicator", "navigation")),
     "compared the altimeter, the airspeed indicator and the GPS"),
    (Cover("heading_indicator"), "covered the heading indicator"),
    (Uncover("standby_instrument"), "uncovered the standby attitude indicator"),
    (FlyBy("partial_panel"), "flew by partial panel"), (Switch("pitot_heat", "on"), "switched the pitot heat on"),
    (Switch("autopilot", "off"), "switched the autopilot off"),
    (Breaker("turn_coordinator", "pull"), "pulled the turn coordinator's circuit breaker"),
    (Breaker("turn_coordinator", "reset"), "reset the turn coordinator's circuit breaker"),
    (Diagnose(("vacuum_system",)), "named it: vacuum system"), (Diagnose(()), "said that all was well"),
    (Decide("divert", "Wendle"), "decided to divert: Wendle"), (Decide("return_to_ramp"), "decided to return to ramp"),
    (Transmit("mayday"), "called: “mayday”"), (Transmit("word " * 20), "called: “" + "word " * 11 + "word …”"),
    (Checklist("vacuum failure"), "read the checklist vacuum failure"), (Checklist(), "asked for the checklists"),
    (WriteUp("enter", "pump"), "wrote up the pump"), (WriteUp("enter"), "wrote it up"),
    (Turn("left", heading_deg=70), "turned left to 070"), (Turn("shortest", heading_deg=0), "turned to 360"),
    (Turn("right", by_deg=30), "turned right by 30 degrees"), (Turn("left"), "turned left"),
    (LevelWings(), "leveled the wings"), (StopTurn(), "stopped the turn"),
    (TurnRate("standard"), "turned at standard rate"), (TurnRate("half"), "turned at half the standard rate"),
    (Track(), "followed the course needle"), (Altitude(8000, "climb"), "climbed to 8,000 feet"),
    (Altitude(None, "descend", by_ft=500), "descended by 500 feet"), (Altitude(), "held the altitude"),
    (Airspeed(90), "flew 90 knots"), (Power(to_rpm=2300), "set 2300 RPM"), (Power(change="idle"), "set idle power"),
    (Power(), "set other power"), (Pitch("up"), "put the nose up"), (Pitch("level"), "leveled the nose"),
    (Flaps(10), "set flaps to 10 degrees"), (Align("altimeter", inhg=29.86), "set the altimeter to 29.86"),
    (Align("altimeter", hpa=1013), "set the altimeter to 29.91"), (Align("altimeter"),
                                                                   "set the altimeter to another setting"),
    (Align(), "set the heading indicator to the compass"), (Squawk("7700"), "squawked 7700"),
    (Ident(), "identified by transponder"), (Tune("121.5"), "tuned 121.5"), (Timer("start"), "started the timer"),
    (Timer("stop"), "stopped the timer"), (Taxi(), "taxied"), (GoAround(), "went around"),
    (Wait(30.0), ""), (BreakOff(), ""), (ChecklistItem(), ""), (Unclear("What?"), ""),
])
def test_an_act_is_told_as_it_was_done(action: Action, words: str) -> None:
    assert deed_words(action) == words


def test_every_act_that_does_something_has_words() -> None:
    silent = {kind for kind, made in ACTION_KINDS.items() if not deed_words(made())}
    assert silent == {"wait", "break_off", "checklist_item", "unclear"}


def test_what_a_record_s_words_hold_is_told_clean() -> None:
    told = [deed_words(each) for each in (
        Transmit("a\x1b[2Jb"), Decide("divert", "\x1b]0;x\x07"), Squawk("\x1b7"))]
    assert all("\x1b" not in each and "\x07" not in each for each in told)
