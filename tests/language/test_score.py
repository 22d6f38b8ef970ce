"""The scoring command."""

import json
import subprocess
import sys
from typing import Any

import pytest

from drill.language.__main__ import main

CALL: dict[str, Any] = {"id": "1", "context": {"callsign": "Larkspur 04W", "facility": "Orrinfell Approach"},
        "call": "Approach, 04W, vacuum failure", "expect": {"facility": True, "callsign": "given", "urgency": "none",
                                                            "equipment": ["vacuum_system"], "conditions": "unstated"}}
ACTION = {"id": "1", "text": "turn left", "expect": {"action": "turn", "direction": "left", "heading_deg": None}}


def written(path, *rows):
    path.write_text("".join(row if isinstance(row, str) else json.dumps(row) + "\n" for row in rows),
                    encoding="utf-8")
    return str(path)


def test_calls_are_scored_field_by_field(tmp_path, capsys):
    invented = CALL | {"expect": CALL["expect"] | {"equipment": []}}
    assert main(["score", "calls", written(tmp_path / "c.jsonl", CALL, invented), "--json"]) == 0
    figures = json.loads(capsys.readouterr().out)
    assert (figures["n"], figures["exact"], figures["fields"]["equipment"]) == (2, 0.5, 0.5)
    assert figures["invented_report_share"] == 0.5
    assert figures["equipment_f1"] == pytest.approx(2 / 3)
    assert figures["assistance_f1"] == 1.0


def test_actions_are_scored_and_a_null_label_is_an_absent_one(tmp_path, capsys):
    other = ACTION | {"text": "turn right"}
    vague = ACTION | {"text": "uhhh"}
    assert main(["score", "actions", written(tmp_path / "a.jsonl", ACTION, other, vague), "--json"]) == 0
    figures = json.loads(capsys.readouterr().out)
    assert figures == {"n": 3, "exact": pytest.approx(1 / 3), "wrong": pytest.approx(1 / 3),
                       "asked_back": pytest.approx(1 / 3)}


def test_a_missed_line_is_shown_with_what_was_expected_and_what_was_read(tmp_path, capsys):
    assert main(["score", "actions", written(tmp_path / "a.jsonl", ACTION | {"text": "turn right"})]) == 0
    shown = capsys.readouterr().out
    assert "1: turn right" in shown
    assert "direction: expected 'left', read 'right'" in shown


@pytest.mark.parametrize(("row", "fault"), [
    ("{\n", ":2: not JSON"), ("[]\n", ":2: a JSON object is wanted"), ('{"expect": {}}\n', ':2: no "text"'),
    ('{"text": "x"}\n', ':2: no "expect"')])
def test_a_bad_line_is_told_with_file_and_line(tmp_path, capsys, row, fault):
    path = written(tmp_path / "bad.jsonl", ACTION, row)
    assert main(["score", "actions", path]) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"{path}{fault}")
    assert told.count("\n") == 1


def test_a_file_that_is_not_there_is_told_in_one_line(tmp_path, capsys):
    assert main(["score", "calls", str(tmp_path / "none.jsonl")]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_nobody_reading_on_is_no_traceback(tmp_path):
    path = written(tmp_path / "a.jsonl", *([ACTION | {"text": "turn right"}] * 3_000))
    command = f"'{sys.executable}' -m drill.language score actions '{path}' | head -1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)  # noqa: S602
    assert done.stderr == ""


def test_a_labelled_text_with_escape_codes_is_shown_without_them(tmp_path, capsys):
    path = written(tmp_path / "a.jsonl", ACTION | {"text": "\x1b[31mturn right\x1b[2J"})
    assert main(["score", "actions", path]) == 0
    assert "\x1b" not in capsys.readouterr().out


def test_what_is_wrong_with_the_command_line_is_told_without_escape_codes(capsys):
    with pytest.raises(SystemExit) as left:
        main(["explain", "vacuum", "--x\x1b[31mred"])
    assert left.value.code == 2
    said = capsys.readouterr().err
    assert "red" in said
    assert "\x1b" not in said


def test_a_line_is_explained_by_its_words(capsys):
    assert main(["explain", "cover the AI, then tell approach 04W lost the vac pump, the doohickey is bust"]) == 0
    shown = capsys.readouterr().out
    assert "cover, what attitude_indicator" in shown
    assert '  equipment vacuum_system: "lost the vac pump"' in shown
    assert '  not understood: "the doohickey is bust"' in shown
    assert "  not heard: impairment, assistance" in shown


@pytest.mark.parametrize(("line", "words"), [
    ("ok then, please turn left two four zero for me", '"left two four zero"'),
    ("could you maybe have a look at the suction gauge down there", '"look suction"'),
])
def test_an_order_is_explained_by_the_fewest_words_that_it_rests_on(line, words, capsys):
    assert main(["explain", line]) == 0
    assert words in capsys.readouterr().out


def test_what_is_learned_from_is_looked_at_before(tmp_path, capsys):
    bad = tmp_path / "bad.jsonl"
    bad.write_text('{"text": "look out", "expect": {"actions": "look"}}\n', encoding="utf-8")
    assert main(["learn", "actions", str(bad), "--to", str(tmp_path / "to.npz")]) == 2
    assert "bad.jsonl:1" in capsys.readouterr().err


def test_from_lines_that_differ_in_nothing_nothing_is_learned_and_what_stood_there_stays(tmp_path, capsys):
    kept = tmp_path / "to.npz"
    kept.write_text("learned before", encoding="utf-8")
    assert main(["learn", "actions", written(tmp_path / "a.jsonl", ACTION, ACTION), "--to", str(kept)]) == 2
    told = capsys.readouterr().err
    assert "at least two different labels" in told
    assert told.count("\n") == 1
    assert kept.read_text(encoding="utf-8") == "learned before"
    assert {each.name for each in tmp_path.iterdir()} == {"a.jsonl", "to.npz"}


def test_where_nothing_can_be_written_learning_says_so_before_it_starts(tmp_path, capsys):
    nowhere = tmp_path / "missing" / "to.npz"
    assert main(["learn", "actions", written(tmp_path / "a.jsonl", ACTION), "--to", str(nowhere)]) == 2
    assert capsys.readouterr().err == f"{nowhere}: cannot be written: No such file or directory\n"


def test_a_right_act_with_a_question_beside_it_is_asked_back_and_a_wrong_one_is_not(tmp_path, capsys):
    right = ACTION | {"text": "turn left, frob the widget"}
    wrong = ACTION | {"text": "turn right, frob the widget"}
    assert main(["score", "actions", written(tmp_path / "a.jsonl", right, wrong), "--json"]) == 0
    figures = json.loads(capsys.readouterr().out)
    assert (figures["asked_back"], figures["wrong"]) == (0.5, 0.5)
