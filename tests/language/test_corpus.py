"""How well the labelled lines are read. Two thirds of each corpus were read while the lexicon grew, one third was
not."""

import zlib
from pathlib import Path

import pytest

from drill.language.labels import CALL_FIELDS
from drill.language.score import action_rows, call_rows, score_actions, score_calls

DATA = Path(__file__).parent.parent / "data"


def half(rows, *, held_out):
    return [row for row in rows if (zlib.crc32(row["id"].encode()) % 3 == 0) == held_out]


@pytest.mark.parametrize(("held_out", "floor"), [(False, 0.98), (True, 0.50)])
def test_share_of_calls_read_wholly_right_stays_up(held_out, floor):
    score = score_calls(half(call_rows(DATA / "radio_calls.jsonl"), held_out=held_out))
    assert score.n > 40
    assert score.exact >= floor


def test_over_all_visible_calls_every_field_is_right_in_at_least_92_of_100():
    score = score_calls(call_rows(DATA / "radio_calls.jsonl"))
    assert score.n == 160
    assert set(score.fields) == set(CALL_FIELDS)
    assert {key: share for key, share in score.fields.items() if share < 0.92} == {}
    assert score.exact >= 0.82


@pytest.mark.parametrize(("held_out", "most"), [(False, 0.01), (True, 0.08)])
def test_a_failure_that_was_not_reported_is_rarely_heard(held_out, most):
    score = score_calls(half(call_rows(DATA / "radio_calls.jsonl"), held_out=held_out))
    assert score.invented_report_share <= most


@pytest.mark.parametrize(("held_out", "floor", "most_wrong"), [(False, 0.98, 0.01), (True, 0.84, 0.075)])
def test_share_of_actions_read_right_stays_up_and_doing_the_wrong_thing_stays_rare(held_out, floor, most_wrong):
    score = score_actions(half(action_rows(DATA / "actions.jsonl"), held_out=held_out))
    assert score.n > 60
    assert score.exact >= floor
    assert score.wrong <= most_wrong


def test_over_all_visible_actions_at_least_90_of_100_are_right():
    assert score_actions(action_rows(DATA / "actions.jsonl")).exact >= 0.94
