"""A scenario is found by its name or its path, and what is neither is told apart."""

from pathlib import Path

import pytest

from drill.scenario import ScenarioNotFound, find, shipped


def test_a_name_and_a_path_are_found(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text("")
    assert find(str(path)) == path
    assert find("cruise-to-tallowby") == shipped()["cruise-to-tallowby"]


def test_a_folder_and_what_is_no_regular_file_are_said_to_be_such(tmp_path: Path) -> None:
    with pytest.raises(ScenarioNotFound, match="this is a folder"):
        find(str(tmp_path))
    with pytest.raises(ScenarioNotFound, match="/dev/zero: this is not a regular file"):
        find("/dev/zero")
    for none in (str(tmp_path / "none"), "no\0path", "x" * 5_000):
        with pytest.raises(ScenarioNotFound, match="there is no scenario"):
            find(none)
