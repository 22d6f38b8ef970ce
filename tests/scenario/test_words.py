"""Conditions and acts as an author writes them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.scenario.act_words import read_act
from drill.scenario.acts import VERBS, ActPattern
from drill.scenario.conditions import All, AnyOf, Compare, Condition, Did, Fact, Not
from drill.scenario.places import Text
from drill.scenario.problems import Place
from drill.scenario.quantities import QUANTITIES, STATES
from drill.scenario.reading import Reading
from drill.scenario.units import BY_CODE
from drill.scenario.words import read_condition
from scenario.documents import changed, loaded, problems, with_condition


def condition(words: str) -> Condition:
    to = Reading(named={"minimum altitude": 3000.0, "freezing level": 8500.0})
    read = read_condition(Text(words, Place(), Place()), to)
    assert not to.problems, to.problems
    return read


@pytest.mark.parametrize(
    ("words", "read"),
    [
        ("reported vacuum system", Fact("reported", "vacuum_system")),
        ("not reported vacuum system", Not(Fact("reported", "vacuum_system"))),
        ("declared", Fact("declared", "anything")),
        ("declared pan-pan", Fact("declared", "pan-pan")),
        ("asked for no-gyro vectors", Fact("asked for", "no_gyro_vectors")),
        ("asked for vmc", Fact("asked for", "vmc")),
        ("told people on board", Fact("told", "souls")),
        ("noted cold feet", Fact("noted", "cold feet")),
        ("failed pump", Fact("failed", "pump")),
        ("covered attitude indicator", Fact("covered", "attitude_indicator")),
        ("flying by partial panel", Fact("flying by", "partial_panel")),
        ("planned divert", Fact("planned", "divert")),
        ("planned divert to Wendle", Fact("planned", "divert Wendle")),
        ("planned cancel IFR", Fact("planned", "cancel_ifr")),
        ("in cloud", Fact("is", "in cloud")),
        ("not in a spiral", Not(Fact("is", "in a spiral"))),
        ("did cover attitude indicator", Did(ActPattern("cover", "attitude_indicator"), here=False)),
        ("did divert to Wendle here", Did(ActPattern("divert", "Wendle"), here=True)),
        ("did climb 3 times", Did(ActPattern("climb"), here=False, times=3)),
        ("did climb twice here", Did(ActPattern("climb"), here=True, times=2)),
        ("did look at suction gauge since failure tired pump",
         Did(ActPattern("look", "suction_gauge"), here=False, since="tired pump")),
        ("did squawk 7700 2 times since failure pump",
         Did(ActPattern("squawk", "7700"), here=False, times=2, since="pump")),
        ("pitot heat on", Fact("on", "pitot_heat")),
        ("the pitot heat is on", Fact("on", "pitot_heat")),
        ("alternate static source off", Not(Fact("on", "alternate_static"))),
        ("not carburetor heat on", Not(Fact("on", "carburettor_heat"))),
        ("autopilot off", Not(Fact("is", "autopilot on"))),
        ("true bank > 30 deg", Compare("true bank", ">", 30.0)),
        ("true altitude<=minimum altitude", Compare("true altitude", "<=", 3000.0)),
        ("height < freezing level", Compare("height", "<", 8500.0)),
        ("time > 5 min", Compare("time", ">", 300.0)),
        ("fuel < 45 min", Compare("fuel", "<", 45.0)),
        ("suction < 4 inHg", Compare("suction", "<", 4.0)),
        ("course needle > 0.95", Compare("course needle", ">", 0.95)),
        ("distance to Wendle < 3 nm", Compare("distance to", "<", 3.0, "Wendle")),
    ],
)
def test_a_condition_reads_as_what_it_says(words: str, read: Condition) -> None:
    assert condition(words) == read


def test_a_distance_is_observed_under_the_name_of_its_field() -> None:
    read = condition("distance to Wendle < 3 nm")
    assert isinstance(read, Compare)
    assert read.key == "distance to Wendle"


@pytest.mark.parametrize(
    "quantity", [each for each in QUANTITIES if not each.name.endswith(" to")], ids=lambda each: each.name
)
def test_every_quantity_compares_in_its_own_unit(quantity: object) -> None:
    unit = BY_CODE[quantity.unit]  # type: ignore[attr-defined]
    name = quantity.name  # type: ignore[attr-defined]
    assert condition(f"{name} >= 2 {unit.sample}".strip()) == Compare(name, ">=", 2.0)


@pytest.mark.parametrize("state", STATES)
def test_every_state_is_a_condition(state: str) -> None:
    assert condition(state) == Fact("is", state)


@pytest.mark.parametrize(("words", "points_at", "says"), [
    ("did climb once", "once", "`did` alone means once"),
    ("did climb three times", "three", "how often is said by a number in figures"),
    ("did climb 1 time", "1 time", "leave it out: `did` alone means once"),
    ("did climb 21 times", "21", "from 2 to 20"),
    ("did climb at least 3 times", "at least", "so often or oftener; less is said with `not`"),
    ("did cliimb 3 times", "cliimb", "the nearest known word is `climb`"),
    ("did report vacuum system 2 times", "2", "`report` is not counted"),
    ("did climb since pump", "pump", "write it like `since failure pump`"),
    ("did climb since failure pmp", "pmp", "the nearest known word is `pump`"),
    ("did climb since failure pump twice", "pump twice", "write `did climb twice since failure pump`"),
    ("did climb since failure pump 3 times", "pump 3", "write `did climb 3 times since failure pump`"),
    ("did climb after the failure", "after the", "like `did climb since failure pump`"),
    ("did climb here since failure pump", "here", "`here` and `since failure` exclude each other"),
    ("pitot heater on", "pitot heater", "the nearest known word is `pitot heat`"),
    ("not the standby vacuum is off", "standby vacuum", "write a switch of the airplane"),
    ("pitot heat", "pitot heat", "the nearest known word is `pitot heat on`"),
])
def test_how_often_since_when_and_which_switch_are_told_where_they_are_wrong(
    words: str, points_at: str, says: str,
) -> None:
    [problem] = problems(with_condition(words))
    assert (problem.place.line, problem.place.column) == (20, 15 + words.index(points_at))
    assert says in str(problem)


def test_a_list_of_conditions_means_all_and_forms_nest() -> None:
    text = with_condition("{any: [in cloud, {not: {all: [stalled, broken]}}, [stalled, covered attitude indicator]]}")
    assert loaded(text).phase("cruise").branches[0].when == AnyOf(
        (
            Fact("is", "in cloud"),
            Not(All((Fact("is", "stalled"), Fact("is", "broken")))),
            All((Fact("is", "stalled"), Fact("covered", "attitude_indicator"))),
        )
    )


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_reads_back_from_its_own_key_with_every_object(verb: str) -> None:
    known = VERBS[verb]
    patterns = [ActPattern(verb, each) for each in known.objects]
    if not known.needs_object:
        patterns.append(ActPattern(verb))
    for pattern in patterns:
        to = Reading()
        assert read_act(Text(pattern.key, Place()), pattern.key, 0, to) == pattern, to.problems


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("look at the suction gauge", None),
        ("look at suction gauge", "look suction gauge"),
        ("level wings by turn coordinator", "level wings"),
        ("switch standby vacuum on", "switch standby vacuum on"),
        ("turn on pitot heat", "switch pitot heat on"),
        ("land at Wendle", "land Wendle"),
        ("divert Wendle", "divert Wendle"),
        ("compare attitude indicator with turn coordinator", "compare attitude indicator with turn coordinator"),
        ("compare turn coordinator and attitude indicator", "compare attitude indicator with turn coordinator"),
        ("squawk 7700", "squawk 7700"),
        ("ask for no-gyro vectors", "ask for no-gyro vectors"),
        ("declare pan-pan", "declare pan-pan"),
        ("reply read back", "reply readback"),
        ("tell people on board", "tell souls"),
        ("reduce power", "power less"),
        ("run checklist vacuum failure", "checklist vacuum failure"),
        ("missed approach", "go around"),
        ("slow", "fly airspeed"),
        ("set altimeter", "set altimeter"),
        ("set altimeter to 29.86", "set altimeter 29.86 inHg"),
        ("set altimeter 29.86 inHg", "set altimeter 29.86 inHg"),
        ("set altimeter 1011", "set altimeter 1011 hPa"),
        ("set altimeter to 1011 mb", "set altimeter 1011 hPa"),
        ("set altimeter to 12", None),
        ("set altimeter to 29.86 ft", None),
        ("set heading indicator to 240", None),
        ("answer", "answer"),
        ("answer ATC", "answer"),
    ],
)
def test_an_act_may_be_written_in_more_than_one_way(words: str, key: str | None) -> None:
    to = Reading()
    pattern = read_act(Text(words, Place()), words, 0, to)
    assert (pattern.key if isinstance(pattern, ActPattern) else None) == key


def test_a_mistake_inside_a_condition_is_pointed_at_inside_it() -> None:
    [problem] = problems(with_condition("not reported vacum system"))
    assert (problem.place.line, problem.place.column) == (20, 15 + len("not reported "))
    [problem] = problems(with_condition('"did cover the suction gage"'))
    assert (problem.place.line, problem.place.column) == (20, 16 + len("did cover "))


def test_a_mistake_in_a_folded_condition_is_pointed_at_where_the_condition_begins() -> None:
    [problem] = problems(
        changed(("when: reported vacuum system", "when: >-\n          reported\n          vacum system"))
    )
    assert (problem.place.line, problem.place.column) == (20, 15)


def test_conditions_joined_by_a_word_are_told_how_to_be_joined() -> None:
    [problem] = problems(with_condition("in cloud and stalled"))
    assert "`all: [...]`" in problem.remedy


def test_a_comparison_with_an_unreadable_minimum_altitude_is_told_of_once() -> None:
    text = changed(
        ("minimum altitude: 3000 ft", "minimum altitude: 3000"), ("true bank > 60 deg", "height < minimum altitude")
    )
    assert [each.rule for each in problems(text)] == ["unit-missing"]


@settings(max_examples=300)
@given(
    st.text(max_size=60)
    | st.lists(
        st.sampled_from(
            [
                "not",
                "did",
                "cover",
                "reported",
                "true bank",
                ">",
                "<",
                "30 deg",
                "here",
                "distance to",
                "Wendle",
                "",
                "planned",
                "to",
            ]
        )
    ).map(" ".join)
)
def test_any_words_are_a_condition_or_a_problem(words: str) -> None:
    to = Reading()
    read = read_condition(Text(words, Place(), Place()), to)
    assert bool(to.problems) != isinstance(read, Condition)
