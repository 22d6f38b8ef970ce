"""What a line's words make likely: done where no rule reads it, asked for where rule and words part, and never done
where the line forbids. Common practice, no source."""

import json
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.language import read
from drill.language.labels import action_labels, plain_labels
from drill.language.likely.classifiers import HEADS, classifiers, knows, loaded
from drill.language.likely.features import MOST_WORDS, PLACES, features
from drill.language.likely.filling import filled
from drill.language.likely.judging import judged, shown
from drill.language.likely.learning import in_pairs, label, write
from drill.language.likely.weighing import ASK_DOUBT
from drill.language.meaning import (
    Airspeed,
    Align,
    Altitude,
    Compare,
    Context,
    Cover,
    Decide,
    Diagnose,
    Flaps,
    FlyBy,
    LevelWings,
    Look,
    Power,
    Squawk,
    Switch,
    Transmit,
    Turn,
    Unclear,
    Uncover,
    Wait,
)
from drill.language.score import NOBODY, taught_rows
from drill.language.spelling import spelled
from drill.language.words import tokens

DATA = Path(__file__).parent.parent / "data"
LEARNED = ("actions", "own_read_actions", "own_learned_actions", "own_other_actions", "own_several_actions",
           "own_tested_actions")
HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Tallowby", "Wendle"))


def line_of(typed: str):
    found = judged(spelled(tokens(typed), HERE.lexicon), typed, HERE)
    assert found is not None
    return found


@pytest.mark.parametrize(("typed", "action"), [
    ("somebody have a squint at that suction dial down there", Look("suction_gauge")),
    ("napkin goes over the horizon before it fools me again", Cover("attitude_indicator")),
    ("that napkin can come away from the horizon again", Uncover("attitude_indicator")),
    ("let us have the horizon and the turn needle side by side and see who fibs",
     Compare(("attitude_indicator", "turn_coordinator"))),
    ("twiddle the DG round until it says what the compass says", Align("heading_indicator", to="magnetic_compass")),
    ("bring some warmth to the pitot tube", Switch("pitot_heat", "on")),
    ("we shall be needing four thousand, up we go to it", Altitude(4000, "climb")),
])
def test_what_no_rule_has_words_for_is_done_where_it_is_clear(typed: str, action: object) -> None:
    assert read(typed, HERE) == [action]


@pytest.mark.parametrize("typed", [
    "in no case is the pitot heat to be switched off", "nobody is to touch the alternate static",
    "we could cover the horizon or we could cover the DG, take your pick", "do not, I repeat, do not squawk 7700",
    "if the suction drops below four, cover the horizon", "when we are on top, uncover the DG",
    "he said to turn left heading 240", "last week the vacuum pump quit on me",
])
def test_what_is_forbidden_left_open_or_told_is_not_done_for_being_likely(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))


@pytest.mark.parametrize(("typed", "actions"), [
    ("frobnicate the widget, turn left heading 240", [Unclear, Turn]),
    ("check the suction and frobnicate", [Look, Unclear]),
    ("left heading 240, then zap the whatsit", [Turn, Unclear]),
])
def test_strange_words_beside_an_order_are_asked_about_and_not_taken_for_talk(typed: str, actions: list[type]) -> None:
    assert [type(action) for action in read(typed, HERE)] == actions


@pytest.mark.parametrize(("kind", "typed", "action"), [
    ("turn", "right 020, sorry, they said 030", Turn("right", heading_deg=30)),
    ("turn", "ease her round to the left, two zero degrees of it", Turn("left", by_deg=20)),
    ("altitude", "down to 1600 with us, 500 a minute will do", Altitude(1600, "descend")),
    ("airspeed", "she is at 70, I want 85", Airspeed(85)),
    ("squawk", "new code, two, four, six, one", Squawk("2461")),
    ("align", "they gave us 29 92 for the altimeter", Align("altimeter", inhg=29.92)),
    ("align", "the altimeter wants 1004 millibars", Align("altimeter", hpa=1004)),
    ("align", "DG is ten degrees off the compass, mend that", Align("heading_indicator", to="magnetic_compass")),
    ("diagnose", "the AI, the DG and the vacuum pump have all died",
     Diagnose(("attitude_indicator", "heading_indicator", "vacuum_system"))),
    ("decide", "off with us to Wendle", Decide("divert", "Wendle")),
    ("fly_by", "the altimeter sticks, so I fly pitch from the vsi", FlyBy("vertical_speed_indicator")),
    ("wait", "let us sit for three minutes", Wait(180.0)),
    ("level_wings", "flat again please", LevelWings()),
])
def test_an_action_takes_its_parts_from_the_words_of_the_line(kind: str, typed: str, action: object) -> None:
    assert filled(kind, line_of(typed)) == action


@pytest.mark.parametrize(("kind", "typed"), [
    ("altitude", "either 4000 or 5000"), ("airspeed", "somewhere fast"), ("squawk", "a code of 7800 or so"),
    ("compare", "the horizon against something"), ("turn", "heading 240 and heading 250"), ("wait", "a good while"),
    ("decide", "off to Wendle or Tallowby with us"), ("breaker", "the breaker"), ("transmit", "tell them all of it"),
    ("altitude", "climb to 90000"), ("align", "set 1500 on the altimeter"),
])
def test_what_is_missing_or_said_twice_makes_no_action(kind: str, typed: str) -> None:
    assert filled(kind, line_of(typed)) is None


@pytest.mark.parametrize(("typed", "actions"), [
    ("airspeed is 140 and rising, power to idle", [Power(change="idle")]),
    ("in a minute turn left to 270", [Wait(60.0), Turn("left", heading_deg=270)]),
    ("TC flag showing, check its breaker", [Look("turn_coordinator"), Look("breakers")]),
    ("with the AI dead I'm using the TC and compass", [FlyBy("turn_coordinator")]),
])
def test_what_is_told_beside_an_order_does_not_take_its_place(typed: str, actions: list[object]) -> None:
    assert read(typed, HERE) == actions


@pytest.mark.parametrize("typed", [
    "it's dangerous to turn left", "remind me to turn the pitot heat off", "I wish I could climb to 6000",
    "last time I turned left 270", "imagine turning left 270",
    "pretend to cover the AI", "we're turning left",
])
def test_what_is_wished_remembered_or_imagined_is_not_done(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))


@pytest.mark.parametrize("typed", ["napkin over the horizon, and the DG too", "cover the horizon, the DG as well"])
def test_of_two_things_that_are_named_together_neither_is_dropped(typed: str) -> None:
    assert read(typed, HERE) == [Cover("attitude_indicator"), Cover("heading_indicator")]
    assert filled("uncover", line_of("the napkins off the horizon and the DG")) is None


@pytest.mark.parametrize(("typed", "action"), [
    ("avionics off until the smell is gone", Switch("avionics", "off")),
    ("partial panel till we are on the ground", FlyBy("partial_panel")),
    ("if any of them has popped I want to know, so check the breakers", Look("breakers")),
])
def test_what_only_lasts_until_something_is_done_now(typed: str, action: object) -> None:
    assert read(typed, HERE) == [action]


@pytest.mark.parametrize("typed", [
    "until the suction is back, then uncover the horizon", "wait until we are level, then turn left 240",
    "not until we are on top will I turn the pitot heat off", "once the DG agrees, uncover it",
    "if the alternator light comes on, so does my temper, then shed the load",
])
def test_what_waits_for_something_is_asked_for_in_time(typed: str) -> None:
    assert all(isinstance(action, Unclear | Wait) for action in read(typed, HERE))


@pytest.mark.parametrize(("typed", "action"), [
    ("I cannot see my VSI like this, take the paper off it", Uncover("vertical_speed_indicator")),
    ("don't need the standby vacuum any more, switch it off", Switch("standby_vacuum", "off")),
    ("I do not want a bust on top of this, stay on the altitude we have", Altitude(None, "hold")),
])
def test_what_is_ordered_after_a_negation_is_done(typed: str, action: object) -> None:
    assert read(typed, HERE) == [action]


@pytest.mark.parametrize("typed", [
    "under no circumstances, descend to 3000", "cover the DG, no, don't", "turn left 270, no, forget it",
    "we will not hold at Tallowby", "land at Wendle? over my dead body", "no hold at Tallowby",
    "shutting down the engine is not an option", "skip the vacuum failure checklist",
    "nobody dials a new QNH into my altimeter", "who invented the vertical speed indicator anyway",
])
def test_what_is_ruled_out_in_any_words_is_not_done(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))


@pytest.mark.parametrize("typed", [
    "keep this altitude while descending to 2500", "switch the strobes on while switching them off",
    "stay exactly at 5000 and climb to 6000 at the same time", "slow to 90 and same time accelerate",
    "carb heat hot and cold at the same time", "bank left while rolling right to 120",
    "steer 010 and 190 at once", "full panel and partial panel, both please",
    "heading 060 or heading 160, toss a coin", "cover the AI or cover the DG, I have but one sticker",
])
def test_what_cannot_be_done_together_or_is_left_open_is_asked(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))


@pytest.mark.parametrize(("typed", "actions"), [
    ("hold 4000 while turning left to 270", [Altitude(4000, "hold"), Turn("left", heading_deg=270)]),
    ("both wings level", [LevelWings()]),
    ("avionics off, I need both hands", [Switch("avionics", "off")]),
])
def test_what_can_be_done_together_is_done(typed: str, actions: list[object]) -> None:
    assert read(typed, HERE) == actions


@pytest.mark.parametrize(("typed", "action"), [
    ("bank to zero", LevelWings()), ("bank angle back to zero please", LevelWings()),
    ("de-energise the avionics bus", Switch("avionics", "off")), ("energise the avionics", Switch("avionics", "on")),
    ("carb heat: cease", Switch("carburettor_heat", "off")), ("strobes dark", Switch("strobes", "off")),
    ("standby vacuum, bring it in", Switch("standby_vacuum", "on")),
    ("the standby vacuum has done its work, shut it down", Switch("standby_vacuum", "off")),
    ("leave 4000 for 6000", Altitude(6000, "climb")), ("leave 6000 for 4000", Altitude(4000, "descend")),
    ("rate of descent, please", Look("vertical_speed_indicator")),
    ("nose against the side window, any lights down there", Look("outside")),
    ("VSI, up or down", Look("vertical_speed_indicator")),
    ("once round the panel", Look("panel")),
    ("Wendle's nearer and clear, divert", Decide("divert", "Wendle")),
    ("Merringa's got better weather, divert there instead", Decide("divert", "Merringa")),
])
def test_words_that_were_taken_for_another_order_are_read(typed: str, action: object) -> None:
    assert read(typed, HERE) == [action]


@pytest.mark.parametrize(("typed", "actions"), [
    ("we are carrying ice, so fly one hundred and five knots", [Airspeed(105)]),
    ("vacuum is in the green again, so unmask the DG", [Uncover("heading_indicator")]),
    ("the 30.07 is from the tower just now, twist it into the altimeter", [Align("altimeter", inhg=30.07)]),
])
def test_the_reason_for_an_order_is_no_order_beside_it(typed: str, actions: list[object]) -> None:
    assert read(typed, HERE) == actions


def test_a_call_that_is_sent_by_its_words_is_sent_whatever_they_make_likely() -> None:
    assert isinstance(read("tell approach we would like to cover the attitude indicator", HERE)[0], Transmit)


def test_where_grammar_and_words_part_and_nothing_is_clear_it_is_asked() -> None:
    rows = [json.loads(line) for line in (DATA / "own_learned_actions.jsonl").read_text("utf-8").splitlines()]
    asked = [row["expect"]["action"] for row in rows if read(row["text"], NOBODY) == [Unclear(ASK_DOUBT)]]
    assert asked
    assert sum(kind != "unclear" for kind in asked) < len(rows) / 100


@pytest.mark.parametrize(("file", "least"), [("own_other_actions", 0.75), ("own_several_actions", 0.75)])
def test_kinds_that_have_no_labels_of_their_own_and_several_orders_are_read(file: str, least: float) -> None:
    rows = [json.loads(line) for line in (DATA / f"{file}.jsonl").read_text("utf-8").splitlines()]
    right = 0
    for row in rows:
        kinds = [action.kind for action in read(row["text"], NOBODY)]
        expect = row["expect"]
        right += kinds == expect["actions"] if "actions" in expect else (
            action_labels(read(row["text"], NOBODY))["action"] == expect["action"])
    assert right / len(rows) >= least


def test_lines_of_the_tests_are_learned_as_the_tests_hold_them() -> None:
    rows = [json.loads(line) for line in (DATA / "own_tested_actions.jsonl").read_text("utf-8").splitlines()]
    single = [row for row in rows if "action" in row["expect"]]
    chosen = single[::4]
    right = sum(action_labels(read(row["text"], HERE)) == plain_labels(row["expect"]) for row in chosen)
    assert right / len(chosen) >= 0.95


def test_every_head_ships_with_weights_for_labels_that_exist() -> None:
    heads = classifiers()
    assert set(heads) == set(HEADS)
    for head in heads.values():
        assert head.weights.shape == (PLACES, len(head.labels))
        shares = head.likely(shown("turn left heading two four zero"))
        assert sum(share for _, share in shares) == pytest.approx(1.0)
        assert shares == sorted(shares, key=lambda each: -each[1])


def test_words_of_lines_that_were_learned_are_known_and_their_places_are_not() -> None:
    assert all(map(knows, ("turn", "please", "napkin")))
    assert not any(map(knows, ("frobnicate", "blivet")))


@given(st.text(max_size=400))
@settings(max_examples=150, deadline=None)
def test_any_text_shows_places_in_range_once_each(typed: str) -> None:
    places = shown(typed)
    assert list(places) == sorted(set(places))
    assert all(0 <= place < PLACES for place in places)


def test_a_line_too_long_for_one_order_is_not_judged() -> None:
    typed = "word " * (MOST_WORDS + 1)
    assert judged(tokens(typed), typed, HERE) is None


def test_a_figure_shows_how_long_it_is_and_not_what_it_is() -> None:
    def of(typed: str) -> list[int]:
        return features(tokens(typed), typed)

    assert of("climb to 4000") == of("climb to 7000")
    assert of("climb to 4000") != of("climb to 40")


@pytest.mark.parametrize(("head", "expect", "taught"), [
    ("kind", {"action": "look", "at": "ice"}, "look"), ("ordered", {"action": "unclear"}, "no"),
    ("target", {"action": "look", "at": "ice"}, "ice"), ("target", {"action": "turn"}, None),
    ("switched", {"action": "switch", "what": "strobes", "to": "off"}, "off"),
    ("side", {"action": "turn", "direction": "left"}, "left"), ("amount", {"action": "turn"}, "none"),
    ("amount", {"action": "turn", "by_deg": 20}, "by"), ("way", {"action": "altitude", "direction": "hold"}, "hold"),
    ("plan", {"action": "decide", "plan": "land"}, "land"), ("several", {"actions": ["look", "turn"]}, "yes"),
    ("several", {"action": "look"}, "no"), ("kind", {"actions": ["look", "turn"]}, None),
    ("ordered", {"actions": ["look", "turn"]}, "yes"),
])
def test_a_labelled_line_teaches_each_head_what_it_is_about(head, expect, taught) -> None:
    assert label(head, expect) == taught


def test_what_a_few_lines_teach_is_what_the_file_says(tmp_path) -> None:
    rows = [row for file in LEARNED for row in taught_rows(DATA / f"{file}.jsonl")][::25]
    write(rows, tmp_path / "few.npz")
    heads = loaded(tmp_path / "few.npz")
    taught = [row for row in rows if row["expect"].get("action")]
    right = sum(heads["kind"].likely(shown(row["text"]))[0][0] == row["expect"]["action"] for row in taught)
    assert right / len(taught) >= 0.97


@pytest.mark.long
def test_the_classifiers_that_ship_are_what_the_labelled_lines_teach(tmp_path) -> None:
    rows = [row for file in LEARNED for row in taught_rows(DATA / f"{file}.jsonl")]
    write(rows, tmp_path / "all.npz")
    anew, shipped = loaded(tmp_path / "all.npz"), classifiers()
    for row in rows[::20]:
        places = shown(row["text"])
        for head in HEADS:
            one, other = dict(anew[head].likely(places)), dict(shipped[head].likely(places))
            assert one == pytest.approx(other, abs=0.05)


def test_pairs_of_orders_are_made_of_different_kinds() -> None:
    rows = [{"text": f"line {n}", "expect": {"action": ("look", "turn")[n % 2]}} for n in range(2_400)]
    pairs = in_pairs(rows)
    assert pairs
    assert all(len(set(pair["expect"]["actions"])) == 2 for pair in pairs)


@pytest.mark.parametrize(("typed", "action"), [
    ("get the sticker off that DG", Uncover("heading_indicator")),
    ("we need the DG again, get the suction cup off", Uncover("heading_indicator")),
    ("lose the card over the altimeter", Uncover("altimeter")),
    ("see if the suction comes up when I add power", Look("suction_gauge")),
    ("airspeed says what", Look("airspeed_indicator")),
    ("head up, look outside", Look("outside")),
    ("cut the avionics to save the battery", Switch("avionics", "off")),
    ("r to 140", Turn("right", heading_deg=140)), ("fifteen to the left", Turn("left", by_deg=15)),
    ("slower, 85 knots", Airspeed(85)), ("roll out of this turn", LevelWings()),
    ("the turn needle to the middle please", LevelWings()),
    ("carry on with the trip", Decide("continue")),
    ("Glenmoor is closest, divert there", Decide("divert", "Glenmoor")),
    ("kill the engine, we're done", Decide("shut_down")),
    ("there goes the vacuum", Diagnose(("vacuum_system",))),
    ("horizon and DG are gone, vacuum pump as well",
     Diagnose(("attitude_indicator", "heading_indicator", "vacuum_system"))),
    ("that will be the alternator gone off line", Diagnose(("alternator",))),
    ("push the alternate static back in", Switch("alternate_static", "off")),
    ("let the airspeed be our pitch instrument", FlyBy("airspeed_indicator")),
])
def test_plain_orders_are_read_as_they_are_meant(typed: str, action: object) -> None:
    assert read(typed, HERE) == [action]


@pytest.mark.parametrize("typed", [
    "get the suction cup off", "alternate static both open and shut", "carb heat on, off, whatever",
    "autopilot on but also disconnect it",
])
def test_what_names_nothing_or_both_ways_is_asked(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))


def test_what_is_quoted_is_sent_whole() -> None:
    sent = read('transmit "Wendle traffic, no radio receive, landing zero niner"', HERE)
    assert [action.call for action in sent if isinstance(action, Transmit)] == [
        "Wendle traffic, no radio receive, landing zero niner"]


PLAIN_ORDERS = (
    "wings level", "hold 4000", "full power", "power 2100", "nose up", "descend to 3000", "slow to 90", "turn left 240",
    "cover the AI", "pitot heat on", "alternator off", "squawk 7700", "check the suction", "go around", "flaps 20",
    "reset the DG", "partial panel", "divert to Wendle", "ident", "start the timer",
)


ENDS_A_TURN = {"turn left 240", "wings level"}
"""A turn to a heading ends with the wings level."""


@pytest.mark.parametrize("joint", [", ", " and ", " then ", ". "])
def test_of_two_plain_orders_in_a_line_neither_is_dropped(joint: str) -> None:
    alone = {order: read(order, HERE)[0].kind for order in PLAIN_ORDERS}
    lost = []
    for one, other in permutations(PLAIN_ORDERS, 2):
        both = read(f"{one}{joint}{other}", HERE)
        asked = any(isinstance(action, Unclear) for action in both)
        if not asked and {one, other} != ENDS_A_TURN and {action.kind for action in both} != {alone[one], alone[other]}:
            lost.append(f"{one}{joint}{other}")
    assert lost == []


@pytest.mark.parametrize(("typed", "actions"), [
    ("alternator off, battery stays on", [Switch("alternator", "off")]),
    ("turn off the landing light and the pitot heat stays on", [Switch("landing_light", "off")]),
    ("because the battery failed turn off the landing light", [Switch("landing_light", "off")]),
    ("AI is tumbling but the TC is good, cover it", [Diagnose(("attitude_indicator",)), Cover("attitude_indicator")]),
    ("slow to 90, full flaps", [Flaps(30), Airspeed(90)]),
    ("turn the autopilot of", [Switch("autopilot", "off")]),
    ("turn right standard rate one minute", [Turn("right", by_deg=180)]),
])
def test_what_stays_is_named_as_a_reason_or_counted_is_not_taken_for_the_order(typed, actions) -> None:
    assert read(typed, HERE) == actions


@pytest.mark.parametrize("typed", [
    "fuel pump off", "boost pump off", "electric fuel pump on", "cover all that is vacuum driven",
])
def test_no_other_switch_is_worked_for_one_that_there_is_not(typed: str) -> None:
    assert all(isinstance(action, Unclear) for action in read(typed, HERE))
