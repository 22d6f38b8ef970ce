"""Documents are checked whole: every fault of every file at once, at its place, for people and for programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from check.fragments import WHOLE
from drill.check.checking import Checked, NothingToCheck, check, check_text, documents
from drill.check.report import as_annotations, as_json, told
from drill.check.rules import CHECKED
from drill.check.spans import columns, lines_of, pointed, span_of
from drill.scenario import shipped
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Place, Problem

TEXT = WHOLE.read_text(encoding="utf-8")
GOLDEN = Path(__file__).parent.parent / "golden" / "problems"


def checked(text: str, file: str = "short-hop.yaml") -> Checked:
    return check_text(text, file, airplanes_beside(WHOLE))


def page(*many: Checked, strict: bool = False) -> list[str]:
    return ["".join(run.text for run in line) for line in told(many, strict=strict)]


def test_all_that_ships_is_without_fault_and_without_warning() -> None:
    found = [check(path) for path in documents(())]
    assert {Path(each.file).stem for each in found} >= set(shipped())
    assert {each.kind for each in found} == {"scenario", "airplane"}
    assert [problem for each in found for problem in each.problems] == []


def test_a_folder_is_all_the_documents_in_it_and_below(tmp_path: Path) -> None:
    (tmp_path / "airplanes").mkdir()
    for name in ("b.yaml", "a.yml", "notes.txt", "airplanes/own.yaml"):
        (tmp_path / name).write_text(TEXT, encoding="utf-8")
    assert documents([str(tmp_path)]) == [tmp_path / "a.yml", tmp_path / "airplanes" / "own.yaml", tmp_path / "b.yaml"]
    assert documents([str(tmp_path / "b.yaml"), str(tmp_path)])[0] == tmp_path / "b.yaml"
    (tmp_path / "empty").mkdir()
    with pytest.raises(NothingToCheck, match="no document"):
        documents([str(tmp_path / "empty")])
    with pytest.raises(NothingToCheck, match="cruise-to-tallowby"):
        documents(["cruise-to-talowby"])


def test_an_airplane_is_told_from_a_scenario_by_its_keys_and_else_by_its_folder() -> None:
    assert check_text("drill: 1\ntitle: Own\nstall: 50 kt\n", "own.yaml", lambda _: None).kind == "airplane"
    assert check_text("drill: 1\ntitle: Own\n", "airplanes/own.yaml", lambda _: None).kind == "airplane"
    assert check_text("drill: 1\ntitle: Own\n", "own.yaml", lambda _: None).kind == "scenario"
    wrong = check_text("drill: 1\ntitle: Own\nstall: 50 ft\n", "airplanes/own.yaml", lambda _: None)
    assert [(each.rule, each.place.line) for each in wrong.problems] == [("wrong-unit", 3)]


def test_faults_and_warnings_are_counted_apart() -> None:
    warned = checked(TEXT.replace("title: A short hop", "title: A short hop with partial panel"))
    assert (warned.faults, warned.warnings) == (0, 1)
    assert page(warned)[-2] == "1 warning in 1 document, which nobody has to heed."
    assert page(warned, strict=True)[-2] == "1 warning in 1 document."
    wrong = checked(TEXT.replace("5000 ft", "5000 m"))
    assert (wrong.faults, wrong.warnings) == (1, 0)


def test_a_problem_is_told_with_its_line_the_place_underlined_what_is_right_and_what_to_do() -> None:
    lines = page(checked(TEXT.replace("how: shaft shears", "how: breaks")))
    assert lines[:6] == [
        "short-hop.yaml:16:29  fault, unknown-how",
        "    16 |   pump: {part: vacuum pump, how: breaks, at: 4 min, spread: 12 min}",
        "       |                             ^^^",
        "  what  a vacuum pump does not fail in the way `breaks`",
        " right  known are `shaft shears`, `weakens`",
        "    do  write one of the known ways",
    ]


def test_every_fault_of_every_file_is_told_at_once() -> None:
    found = [check(GOLDEN / f"{name}.yaml") for name in ("many-at-once", "tab", "unknown-key")]
    lines = page(*found)
    assert sum(line.endswith(("fault, wrong-unit", "fault, tab", "fault, unknown-key")) for line in lines) == 5
    assert lines[-2] == "14 faults and 2 warnings in 3 documents."


def test_what_is_wrong_in_the_airplane_is_shown_with_the_airplanes_line(tmp_path: Path) -> None:
    (tmp_path / "airplanes").mkdir()
    (tmp_path / "airplanes" / "own.yaml").write_text("drill: 1\ntitle: Own\nstall: fast\n", encoding="utf-8")
    (tmp_path / "a.yaml").write_text(TEXT.replace("larkspur-180", "own"), encoding="utf-8")
    lines = page(check(tmp_path / "a.yaml"))
    assert lines[0] == "own.yaml:3:8  fault, not-a-quantity"
    assert lines[1] == "     3 | stall: fast"


def test_what_is_wrong_many_times_is_told_once_with_its_other_lines() -> None:
    text = TEXT.replace("part: aviate", "part: flying").replace("part: communicate", "part: flying")
    for number in range(4):
        text += f"  - {{item: More {number}, part: flying, do: answer, example: call, why: So., source: AIM 4}}\n"
    lines = page(checked(text))
    assert sum(line.endswith("fault, unknown-choice") for line in lines) == 1
    assert any(line.startswith("  also  and 5 more like it, in lines") for line in lines)


@pytest.mark.parametrize(
    ("line", "column", "wrong", "meant"),
    [
        ("title: Suction lost", 1, "`titel` is no key", "title"),
        ("  - {when: true bank > 60 kt, end: upset}", 24, "`true bank`: `60 kt`: degrees", "60 kt"),
        ('  says: "{callsign}, hello."', 9, "too long", '"{callsign}, hello."'),
        ("  - item: Tell ATC", 3, "missing", "item"),
        ("   needs: [callsign, equipmnt]", 22, "`needs`: `equipmnt`", "equipmnt"),
        ("title: words  # comment", 8, "no", "words"),
        ("\ttell: x", 1, "tab", "\t"),
        ("short", 40, "no", ""),
    ],
)
def test_what_is_meant_in_a_line_is_underlined(line: str, column: int, wrong: str, meant: str) -> None:
    rule = "tab" if line.startswith("\t") else "unknown-key"
    start, end = span_of(line, Problem(Place("a", 1, column), rule, wrong, "", "x"))
    assert line[start:end] == meant


@settings(max_examples=300, deadline=None)
@given(st.text(min_size=1, max_size=300), st.integers(1, 320), st.integers(20, 78), st.text(max_size=20))
def test_any_line_is_cut_to_the_columns_with_what_is_meant_in_sight(
    line: str, column: int, width: int, wrong: str
) -> None:
    line = lines_of(line)[0]
    start, end = span_of(line, Problem(Place("a", 1, column), "unknown-key", wrong, "", "x"))
    assert 0 <= start <= end <= max(len(line), start)
    shown = pointed(line, start, end, width)
    assert columns(shown.before + shown.meant + shown.after) <= width
    assert shown.indent + shown.width <= width + 1
    assert "\x1b" not in shown.before + shown.meant + shown.after


@settings(max_examples=120, deadline=None)
@example(38, 37, "000⺀")
@given(st.integers(0, len(TEXT) - 1), st.integers(0, 40), st.text(max_size=8))
def test_any_damaged_scenario_is_told_in_clean_lines_and_in_valid_json(at: int, dropped: int, put: str) -> None:
    found = checked(TEXT[:at] + put + TEXT[at + dropped :])
    for line in page(found):
        assert all(each.isprintable() or each in " \u00a0\u3000" or ord(each) > 0x2000 for each in line)
        assert cell_len(line) <= 78 or "/" in line
    read = json.loads(as_json([found]))
    assert len(read["problems"]) == len(found.problems)
    assert all(1 <= each["column"] < each["end_column"] for each in read["problems"])


def test_the_json_has_every_problem_with_its_place_kind_and_remedy() -> None:
    read = json.loads(as_json([checked(TEXT.replace("5000 ft", "5000 m"))]))
    assert read == {
        "documents": [{"file": "short-hop.yaml", "kind": "scenario", "faults": 1, "warnings": 0}],
        "problems": [
            {
                "file": "short-hop.yaml",
                "line": 7,
                "column": 34,
                "end_column": 40,
                "level": "fault",
                "kind": "wrong-unit",
                "what": "`altitude`: `5000 m`: feet are wanted",
                "right": "",
                "do": "write 5000 ft",
            }
        ],
    }


def test_an_annotation_escapes_what_would_end_it() -> None:
    problem = Problem(Place("a:b,c%.yaml", 3, 5), "wrong-form", "50 % off\nand on", "", "mend: it", "warning")
    (line,) = as_annotations([Checked("a", "scenario", (problem,), {})])
    assert line == (
        "::warning file=a%3Ab%2Cc%25.yaml,line=3,col=5,endColumn=6,title=wrong-form::50 %25 off%0Aand on; mend: it"
    )


def test_a_lint_is_a_warning_and_its_rule_is_listed(tmp_path: Path) -> None:
    path = tmp_path / "vacuum-lost.yaml"
    path.write_text(
        TEXT.replace("why: The controller sees the weather and the traffic that you do not see.", "why: Yes."),
        encoding="utf-8",
    )
    found = check(path).problems
    assert {(each.level, each.rule) for each in found} == {
        ("warning", "gives-it-away"),
        ("warning", "reason-says-nothing"),
    }
    assert {each.rule for each in found} <= set(CHECKED)
