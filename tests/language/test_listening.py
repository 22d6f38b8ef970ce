"""What a call's words make likely: heard where no rule has words for it, never against what the caller says of it.
Common practice, no source."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.language import read_call
from drill.language.calls import by_grammar, named_tokens
from drill.language.likely.classifiers import detectors, loaded_for_calls
from drill.language.likely.features import MOST_SAID, PLACES, call_features
from drill.language.likely.learning import TooFewError
from drill.language.likely.learning_calls import labels_of, write
from drill.language.likely.listening import FAILED, likely_in, weighed
from drill.language.meaning import Call, Context
from drill.language.score import call_rows, context_of

DATA = Path(__file__).parent.parent / "data"
LEARNED = ("radio_calls", "own_read_calls", "own_tested_calls")
HERE = Context("Larkspur 04W", "Orrinfell Approach", ("Tallowby", "Wendle"))
SURE = {"equipment vacuum_system": 0.99}


def test_what_is_likely_is_heard_beside_what_the_grammar_reads() -> None:
    call = Call(equipment=("altimeter",), assistance=("weather",), trouble=True)
    likely = {**SURE, "assistance vectors": 0.9, "impairment": 0.85, "conditions imc": 0.85}
    heard = weighed(call, likely, known=(), pretended=False)
    assert heard.equipment == ("altimeter", "vacuum_system")
    assert heard.assistance == ("vectors", "weather")
    assert (heard.impairment, heard.intentions, heard.conditions, heard.trouble) == (True, False, "imc", False)


def test_what_is_only_half_likely_is_not_heard() -> None:
    call = Call(trouble=True)
    assert weighed(call, {"equipment vacuum_system": FAILED - 0.01, "assistance hold": 0.6, "impairment": 0.5,
                          "conditions icing": 0.6}, known=(), pretended=False) == call


def test_no_failure_is_heard_that_the_caller_says_is_none() -> None:
    assert weighed(Call(), SURE, known=("equipment vacuum_system",), pretended=False).equipment == ()
    assert weighed(Call(), SURE, known=(), pretended=True).equipment == ()


def test_a_failure_or_a_request_that_is_read_is_heard_however_unlikely() -> None:
    call = Call(equipment=("engine",), assistance=("vectors",))
    heard = weighed(call, {"equipment engine": 0.0, "assistance vectors": 0.0}, known=(), pretended=False)
    assert heard == call


def test_what_is_surely_not_stated_is_not_heard() -> None:
    likely = {"impairment": 0.01, "intentions": 0.01}
    heard = weighed(Call(impairment=True, intentions=True), likely, known=(), pretended=False)
    assert (heard.impairment, heard.intentions) == (False, False)


def test_no_request_is_heard_that_the_grammar_knows_to_be_none() -> None:
    likely = {"assistance vectors": 0.99}
    assert weighed(Call(), likely, known=("assistance vectors",), pretended=False).assistance == ()


@pytest.mark.parametrize("said", [
    "request vectors to Wendle, scratch that", "later on we'd like lower", "no to the priority, we'd just like to hold",
    "send the fire trucks home, the gear light was a bulb", "did our transponder fail", "suppose the horizon failed",
])
def test_what_is_taken_back_put_off_or_supposed_is_not_added(said: str) -> None:
    call = f"Orrinfell Approach, Larkspur zero four whiskey, {said}"
    plainly, heard = by_grammar(call, HERE), read_call(call, HERE)
    assert (heard.equipment, heard.assistance) == (plainly.equipment, plainly.assistance)


def test_icing_is_heard_before_cloud() -> None:
    likely = {"conditions imc": 0.99, "conditions icing": 0.8}
    assert weighed(Call(), likely, known=(), pretended=False).conditions == "icing"


@pytest.mark.parametrize(("said", "equipment"), [
    ("we practise with the horizon failed, simulated, nothing is wrong", ()),
    ("the suction is fine again, thanks", ()),
    ("the vacuum pump was replaced last week and works a treat", ()),
    ("radio check please", ()),
    ("request taxi, two on board", ()),
])
def test_calls_without_a_failure_stay_without(said: str, equipment: tuple[str, ...]) -> None:
    assert read_call(f"Orrinfell Approach, Larkspur zero four whiskey, {said}", HERE).equipment == equipment


@given(st.text(max_size=600))
@settings(max_examples=100, deadline=None)
def test_any_text_is_listened_to(said: str) -> None:
    line = named_tokens(said, HERE)
    places = call_features(line)
    assert places == sorted(set(places))
    assert all(0 <= place < PLACES for place in places)
    assert all(0.0 <= share <= 1.0 for share in likely_in(line).values())


def test_of_a_call_without_end_only_the_beginning_is_listened_to() -> None:
    assert call_features(named_tokens("lost " * MOST_SAID * 2, HERE)) == call_features(
        named_tokens("lost " * MOST_SAID * 3, HERE))


def test_the_grammar_alone_reads_a_line_that_need_be_no_call() -> None:
    assert by_grammar("cover the attitude indicator", HERE).equipment == ()


def test_a_labelled_call_teaches_each_label_by_itself() -> None:
    assert labels_of({"equipment": ["pitot"], "assistance": ["vmc", "hold"], "impairment": True, "intentions": False,
                      "conditions": "vmc", "souls": 2}) == {
        "equipment pitot", "assistance vmc", "assistance hold", "impairment", "conditions vmc"}


def test_what_a_few_calls_teach_is_what_the_file_says(tmp_path) -> None:
    rows = [row for file in LEARNED for row in call_rows(DATA / f"{file}.jsonl")][::10]
    write(rows, tmp_path / "few.npz")
    taught = loaded_for_calls(tmp_path / "few.npz")
    right = 0
    for row in rows:
        likely = taught.likely(call_features(named_tokens(row["call"], context_of(row))))
        right += {label for label, share in likely.items() if share >= 0.5} == labels_of(row["expect"]) & set(likely)
    assert right / len(rows) >= 0.9


def test_too_few_calls_teach_nothing_and_leave_what_was_there(tmp_path) -> None:
    kept = tmp_path / "calls.npz"
    kept.write_bytes(b"as it was")
    with pytest.raises(TooFewError):
        write(call_rows(DATA / "radio_calls.jsonl")[:3], kept)
    assert kept.read_bytes() == b"as it was"
    assert list(tmp_path.iterdir()) == [kept]


@pytest.mark.long
def test_the_detectors_that_ship_are_what_the_labelled_calls_teach(tmp_path) -> None:
    rows = [row for file in LEARNED for row in call_rows(DATA / f"{file}.jsonl")]
    write(rows, tmp_path / "all.npz")
    anew, shipped = loaded_for_calls(tmp_path / "all.npz"), detectors()
    assert anew.labels == shipped.labels
    for row in rows[::20]:
        places = call_features(named_tokens(row["call"], context_of(row)))
        assert anew.likely(places) == pytest.approx(shipped.likely(places), abs=0.05)
