"""How well labelled lines are read.

`radio_calls` and `actions` are the given lines; two thirds were read while the lexicon grew, the last third only its
misses, late. `own_read` are lines of our own (common practice, no source), written and labelled after the same rules by
people who did not know the reader, and then read by us; from `own_learned`, whose writers were asked for words of their
own instead of the handbook's, the classifiers of orders were learned; and besides from `own_read`, `own_other` and
`own_several` (labelled by the kinds of action alone) and `own_tested` (lines that the tests of the reader hold,
labelled as it reads them). The detectors of calls were learned from `own_read` and `own_tested` calls.
`own_unread` are lines of such writers that only the score has seen; `own_spoken_of` are calls, as unread, in which
parts and services are only spoken of: in four of five nothing is reported or asked.
"""

from pathlib import Path

import pytest

from drill.language.labels import CALL_FIELDS
from drill.language.score import action_rows, call_rows, score_actions, score_calls

DATA = Path(__file__).parent.parent / "data"


@pytest.mark.parametrize(("file", "lines", "exact", "every_field", "invented"), [
    ("radio_calls", 160, 0.98, 0.98, 0.01),
    pytest.param("own_read_calls", 9_150, 0.95, 0.98, 0.01, marks=pytest.mark.long),
    ("own_unread_calls", 700, 0.91, 0.97, 0.01),
])
def test_share_of_calls_read_right_stays_up_and_invented_reports_stay_rare(file, lines, exact, every_field, invented):
    score = score_calls(call_rows(DATA / f"{file}.jsonl"))
    assert score.n == lines
    assert set(score.fields) == set(CALL_FIELDS)
    assert score.exact >= exact
    assert {key: share for key, share in score.fields.items() if share < every_field} == {}
    assert score.invented_report_share <= invented
    assert min(score.equipment_f1, score.assistance_f1) >= 0.95


def test_what_is_only_spoken_of_is_seldom_heard_as_a_report() -> None:
    score = score_calls(call_rows(DATA / "own_spoken_of_calls.jsonl"))
    assert score.n == 140
    assert score.invented_report_share <= 0.1
    assert score.fields["assistance"] >= 0.94


@pytest.mark.long
@pytest.mark.parametrize(("file", "lines", "exact", "most_wrong"), [
    ("actions", 200, 0.99, 0.0),
    ("own_read_actions", 6_100, 0.98, 0.005),
    ("own_learned_actions", 8_300, 0.92, 0.02),
    ("own_unread_actions", 1_560, 0.92, 0.02),
])
def test_share_of_actions_read_right_stays_up_and_doing_the_wrong_thing_stays_rare(file, lines, exact, most_wrong):
    score = score_actions(action_rows(DATA / f"{file}.jsonl"))
    assert score.n == lines
    assert score.exact >= exact
    assert score.wrong <= most_wrong
