"""README.md tells its readers what is so."""

import argparse
import re
from pathlib import Path

from drill.cli import parser
from drill.grading.debrief import CAUTIONS
from drill.seat.own_words import LEAVING, OWN_WORDS
from drill.seat.pace import PACES

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```sh\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def test_the_cautions_stand_in_full_before_the_first_command() -> None:
    before = README[: README.index("```sh")]
    for caution in CAUTIONS:
        assert caution in before


def test_there_are_exactly_two_commands_to_copy_one_to_run_and_one_to_test() -> None:
    assert README.count("```") == 4
    run, test = (block.strip() for block in BLOCKS)
    assert run == "python3 -m venv .venv && .venv/bin/pip install --quiet . && .venv/bin/drill"
    assert test == (
        "python3 -m venv .venv && .venv/bin/pip install --quiet --editable '.[test]' && .venv/bin/python -m pytest"
    )


def test_the_full_check_runs_both_commands_as_they_stand_in_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert '"$here/README.md"' in script
    assert 'pass_tests=$(readme_command 2)' in script
    assert 'bash -euo pipefail -c "$pass_tests"' in script
    assert 'run_trainer=$(readme_command 1)' in script
    assert 'bash -euo pipefail -c "$run_trainer"' in script
    assert "pip install --quiet --editable" not in script, "the command is taken from the README, not written twice"


def test_every_command_of_the_command_line_is_in_the_readme() -> None:
    commands = [
        name for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
        for name in action.choices
    ]
    assert commands
    for command in commands:
        assert f"`drill {command}" in README, command


def test_the_words_of_the_program_are_all_listed() -> None:
    listed = README[README.index("belong to the program and cost no flight time") :].split("\n\n")[0]
    for word in (*OWN_WORDS, LEAVING[0]):
        assert f"`{word}`" in listed, word


def test_every_pace_is_explained() -> None:
    for pace in PACES:
        assert f"- `{pace}`" in README


def test_the_last_section_tells_users_what_has_changed() -> None:
    assert re.findall(r"^## (.+)$", README, re.MULTILINE)[-1] == "Changes for users"


def test_the_documents_name_no_path_of_any_one_machine() -> None:
    for name in ("README.md", "DEVELOPERS.md", ".ci/run", "pyproject.toml"):
        text = (ROOT / name).read_text(encoding="utf-8")
        assert not re.search(r"(?<![\w.~$}])/(home|root|work|Users|tmp|opt)/", text), name
