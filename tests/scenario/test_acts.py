"""What counts as having done an act."""

from __future__ import annotations

import dataclasses

import pytest

from drill.language import meaning as m
from drill.language.meaning import Action, Call, Reply, Told, Transmit
from drill.scenario.acts import VERBS, ActPattern
from drill.scenario.names import rightly_named, same_place

VACUUM = frozenset({"vacuum_system"})
GYROS = frozenset({"attitude_indicator", "heading_indicator"})


def done(key: tuple[str, str], action: Action, told: Told | None = None) -> bool:
    return ActPattern(*key).matches(action, Told() if told is None else told)


def called(call: Call) -> tuple[Transmit, Told]:
    return Transmit("words", call), Told().with_call(call)


@pytest.mark.parametrize(
    ("key", "action"),
    [
        (("look", "suction_gauge"), m.Look("suction_gauge")),
        (("look", "suction_gauge"), m.Look("vacuum_system")),
        (("look", "suction_gauge"), m.Look("panel")),
        (("look", "turn_coordinator"), m.Compare(("attitude_indicator", "turn_coordinator"))),
        (
            ("compare", "attitude_indicator with turn_coordinator"),
            m.Compare(("attitude_indicator", "heading_indicator", "turn_coordinator")),
        ),
        (("cover", "attitude_indicator"), m.Cover("attitude_indicator")),
        (("uncover", ""), m.Uncover("altimeter")),
        (("fly by", "partial_panel"), m.FlyBy("partial_panel")),
        (("fly by", "turn_coordinator"), m.FlyBy("partial_panel")),
        (("turn", "left"), m.Turn("left", 270)),
        (("turn at", "half"), m.TurnRate("half")),
        (("climb", ""), m.Altitude(8000, "climb")),
        (("hold altitude", ""), m.Altitude(None, "hold")),
        (("power", "less"), m.Power(None, "idle")),
        (("pitch", "down"), m.Pitch("down")),
        (("switch", "standby_vacuum on"), m.Switch("standby_vacuum", "on")),
        (("pull breaker", ""), m.Breaker("turn_coordinator", "pull")),
        (("squawk", "7700"), m.Squawk("7700")),
        (("set", "altimeter"), m.Align("altimeter", None, 1013)),
        (("set", "altimeter 29.86 inHg"), m.Align("altimeter", inhg=29.86)),
        (("set", "altimeter 29.86 inHg"), m.Align("altimeter", inhg=29.865)),
        (("set", "altimeter 29.86 inHg"), m.Align("altimeter", hpa=1011)),
        (("set", "altimeter 1011 hPa"), m.Align("altimeter", inhg=29.86)),
        (("set", "altimeter 1011 hPa"), m.Align("altimeter", hpa=1011)),
        (("start timer", ""), m.Timer("start")),
        (("diagnose", "vacuum_system"), m.Diagnose(("attitude_indicator", "heading_indicator"))),
        (("divert", "Wendle"), m.Decide("divert", "wendle")),
        (("divert", ""), m.Decide("divert", None)),
        (("cancel IFR", ""), m.Decide("cancel_ifr")),
        (("checklist", "vacuum failure"), m.Checklist("vacuum failure")),
        (("write up", "placard"), m.WriteUp("placard")),
        (("go around", ""), m.GoAround()),
    ],
)
def test_this_act_does_it(key: tuple[str, str], action: Action) -> None:
    assert done(key, action)


@pytest.mark.parametrize(
    ("key", "action"),
    [
        (("look", "outside"), m.Look("panel")),
        (("look", "suction_gauge"), m.Look("altimeter")),
        (("cover", "attitude_indicator"), m.Uncover("attitude_indicator")),
        (("fly by", "partial_panel"), m.FlyBy("full_panel")),
        (("fly by", "turn_coordinator"), m.FlyBy("full_panel")),
        (("turn", "left"), m.Turn("shortest", 270)),
        (("set", "altimeter"), m.Align("heading_indicator")),
        (("set", "altimeter 29.86 inHg"), m.Align("heading_indicator")),
        (("set", "altimeter 29.86 inHg"), m.Align("altimeter", inhg=29.87)),
        (("set", "altimeter 29.86 inHg"), m.Align("altimeter")),
        (("set", "altimeter 1011 hPa"), m.Align("altimeter", hpa=1012)),
        (("climb", ""), m.Altitude(3000, "descend")),
        (("switch", "standby_vacuum on"), m.Switch("standby_vacuum", "off")),
        (("diagnose", "vacuum_system"), m.Diagnose(("heading_indicator",))),
        (("divert", "Wendle"), m.Decide("divert", "Tallowby")),
        (("divert", "Wendle"), m.Decide("divert", None)),
        (("checklist", ""), m.Checklist(None)),
        (("no such verb", ""), m.Wait()),
    ],
)
def test_this_act_does_not_do_it(key: tuple[str, str], action: Action) -> None:
    assert not done(key, action)


def test_a_dead_vacuum_system_is_rightly_reported_as_both_gyros() -> None:
    act, told = called(Call(equipment=("attitude_indicator", "heading_indicator")))
    assert done(("report", "vacuum_system"), act, told)


def test_the_plain_name_is_always_right_and_another_never() -> None:
    for equipment in m.EQUIPMENT:
        assert rightly_named(equipment, frozenset({equipment}))
        assert not rightly_named(equipment, frozenset())
    assert rightly_named("vacuum_system", VACUUM)
    assert rightly_named("vacuum_system", GYROS)
    assert not rightly_named("vacuum_system", frozenset({"heading_indicator"}))
    assert not rightly_named("alternator", VACUUM)
    assert not rightly_named("attitude_indicator", VACUUM)


def test_reports_add_up_over_calls() -> None:
    told = Told().with_call(Call(equipment=("attitude_indicator",)))
    second = Call(equipment=("heading_indicator",))
    assert done(("report", "vacuum_system"), Transmit("words", second), told.with_call(second))


@pytest.mark.parametrize(
    ("said", "wanted", "counts"),
    [
        ("mayday", "anything", True),
        ("mayday", "emergency", True),
        ("mayday", "pan-pan", True),
        ("emergency", "pan-pan", True),
        ("pan-pan", "anything", True),
        ("pan-pan", "emergency", False),
        ("emergency", "mayday", False),
        ("none", "anything", False),
    ],
)
def test_a_stronger_word_of_urgency_satisfies_a_weaker_one(said: m.Urgency, wanted: str, counts: bool) -> None:
    act, told = called(Call(urgency=said))
    assert done(("declare", wanted), act, told) is counts


def test_calls_ask_tell_and_reply() -> None:
    act, told = called(
        Call(
            assistance=("no_gyro_vectors",), impairment=True, fuel_min=170, conditions="imc", replies=(Reply("unable"),)
        )
    )
    for key in (
        ("ask for", "no_gyro_vectors"),
        ("tell", "impairment"),
        ("tell", "fuel"),
        ("tell", "conditions"),
        ("reply", "unable"),
        ("call", ""),
    ):
        assert done(key, act, told), key
    for key in (("ask for", "vectors"), ("tell", "souls"), ("reply", "wilco"), ("report", ""), ("declare", "")):
        assert not done(key, act, told), key


def test_a_call_answers_when_it_follows_a_line_of_atc() -> None:
    for answers in (True, False):
        act, told = called(Call(answers=answers))
        assert done(("answer", ""), act, told) is answers


def test_who_reports_a_failure_has_named_it() -> None:
    act, told = called(Call(equipment=("attitude_indicator", "heading_indicator")))
    assert done(("diagnose", "vacuum_system"), act, told)
    assert not done(("diagnose", "alternator"), act, told)
    later = Transmit("and another call", Call(fuel_min=60))
    assert not done(("diagnose", "vacuum_system"), later, told), "it names nothing"


@pytest.mark.parametrize("call", [
    Call(intentions=True, places=("Wendle",)), Call(assistance=("named_airport", "vectors"), places=("Wendle",)),
])
def test_a_call_that_asks_for_a_field_or_says_it_is_bound_for_it_is_a_decision_for_it(call: Call) -> None:
    act, told = called(call)
    for verb in ("divert", "land"):
        assert done((verb, "wendel"), act, told)
        assert done((verb, ""), act, told)
        assert not done((verb, "Tallowby"), act, told)
    assert not done(("continue", "Wendle"), act, told)
    assert not done(("divert", "Wendle"), *called(Call(assistance=("weather",), places=("Wendle",))))


def test_every_kind_of_action_but_the_unclear_one_has_a_verb() -> None:
    kinds = {
        action
        for action in vars(m).values()
        if isinstance(action, type) and issubclass(action, Action) and dataclasses.is_dataclass(action)
    }
    matched = {
        kind for verb in VERBS.values() for kind in (verb.kind if isinstance(verb.kind, tuple) else (verb.kind,))
    }
    assert kinds - {Action, m.Unclear} == matched


def test_a_place_may_be_misspelt_a_little() -> None:
    assert same_place("Wendle", "wendel")
    assert same_place("WENDLE", "Wendle ")
    assert not same_place("Wendle", "Tallowby")
    assert not same_place("", "")
