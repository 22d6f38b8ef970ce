"""What a call's words make likely: heard where no rule has words for it, never against what the caller says of it.
Common practice, no source."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drill.language import calls, read_call
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


OPENING = "Orrinfell Approach, Larkspur zero four whiskey, "


@pytest.mark.parametrize(("said", "label"), [
    ("did the vacuum pump quit on the one ahead of us", "equipment vacuum_system"),
    ("the heading indicator is working again after it failed", "equipment heading_indicator"),
    ("if our alternator quits we will be back", "equipment alternator"),
    ("our attitude indicator has toppled, practice only, nothing is wrong", "equipment attitude_indicator"),
    ("relaying a mayday for Siskin 55X, vacuum pump failed", "equipment vacuum_system"),
    ("request no-gyro vectors, cancel that request", "assistance no_gyro_vectors"),
    ("no longer asking for the weather at Wendle", "assistance weather"),
    ("if the ice gets worse we may want lower", "assistance altitude_change"),
])
def test_what_is_likely_by_its_words_is_not_heard_where_the_grammar_knows_better(
        monkeypatch: pytest.MonkeyPatch, said: str, label: str) -> None:
    monkeypatch.setattr(calls, "likely_in", lambda _line: {label: 0.99})
    heard = read_call(OPENING + said, HERE)
    assert label.partition(" ")[2] not in (*heard.equipment, *heard.assistance)


def test_what_is_likely_is_heard_where_the_grammar_says_nothing_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calls, "likely_in", lambda _line: {"equipment alternator": 0.99, "assistance priority": 0.99})
    heard = read_call(f"{OPENING}the glow worms have died on us", HERE)
    assert heard.equipment == ("alternator",)
    assert heard.assistance == ("priority",)


def test_what_is_corrected_away_is_not_heard() -> None:
    said = "the altimeter has failed, correction, the airspeed indicator has failed"
    assert read_call(OPENING + said, HERE).equipment == ("airspeed_indicator",)


def test_the_failure_of_another_that_is_relayed_is_not_ours() -> None:
    said = "relaying a mayday for Siskin 55X, vacuum pump failed, attitude indicator out"
    assert read_call(OPENING + said, HERE).equipment == ()


@pytest.mark.parametrize("said", [
    "the suction is fine again, thanks", "the vacuum pump was replaced last week and works a treat",
    "radio check please", "the altimeter and VSI say we are level", "horizon level, ball centered",
    "request taxi, two on board",
])
def test_calls_in_which_parts_are_only_spoken_of_report_nothing(said: str) -> None:
    assert read_call(OPENING + said, HERE).equipment == ()


@pytest.mark.parametrize(("said", "equipment"), [
    ("the altimeter and VSI say we are level, so the AI is the bad one", ("attitude_indicator",)),
    ("horizon toppled, flying on the turn coordinator and the airspeed, compass says two ten", ("attitude_indicator",)),
    ("suction zero, keeping an eye on the horizon", ("vacuum_system",)),
])
def test_a_part_beside_one_that_has_failed_is_not_heard_to_have_failed(said: str, equipment: tuple[str, ...]) -> None:
    assert read_call(OPENING + said, HERE).equipment == equipment


@given(st.text(max_size=600))
@settings(max_examples=100, deadline=None)
def test_any_text_is_listened_to(said: str) -> None:
    line = named_tokens(said, HERE)
    places = call_features(line)
    assert len(places) == len(set(places))
    assert all(0 <= place < PLACES for place in places)
    assert all(0.0 <= share <= 1.0 for share in likely_in(line).values())


def test_of_a_call_without_end_only_the_beginning_is_listened_to() -> None:
    assert set(call_features(named_tokens("lost " * MOST_SAID * 2, HERE))) == set(call_features(
        named_tokens("lost " * MOST_SAID * 3, HERE)))


def test_the_grammar_alone_hears_less() -> None:
    rows = call_rows(DATA / "own_unread_calls.jsonl")
    more = [row for row in rows if read_call(row["call"], context_of(row)) != by_grammar(row["call"], context_of(row))]
    assert len(more) > 10


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
