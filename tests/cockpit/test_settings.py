"""Settings: kept, and never in the way."""

from __future__ import annotations

import json
import os
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as example_settings
from hypothesis import strategies as st

from drill.cockpit.settings import THEME_NAMES, Settings, load, save
from drill.seat.pace import PACES, Pace


def test_settings_come_back_as_they_were_kept(tmp_path: Path) -> None:
    kept = Settings(theme="day", pace="turns", suggestions=True, reduced_motion=True, plain_faces=True)
    assert save(kept, tmp_path / "deep" / "cockpit.json")
    assert load(tmp_path / "deep" / "cockpit.json") == kept


def test_without_a_file_everything_has_its_default(tmp_path: Path) -> None:
    assert load(tmp_path / "none.json") == Settings()
    assert not Settings().suggestions


@pytest.mark.parametrize("text", ["", "[]", "{", "null", '{"theme": "plaid", "pace": 3}', "[" * 100_000])
def test_a_damaged_file_is_done_without(tmp_path: Path, text: str) -> None:
    path = tmp_path / "cockpit.json"
    path.write_text(text)
    assert load(path) == Settings()


def test_one_bad_value_spoils_no_other(tmp_path: Path) -> None:
    path = tmp_path / "cockpit.json"
    path.write_text('{"theme": "mono", "pace": "never", "plain_faces": "yes", "new": 1}')
    assert load(path) == Settings(theme="mono")


@given(st.binary(max_size=60) | st.dictionaries(
    st.sampled_from(list(asdict(Settings()))), st.none() | st.booleans() | st.text() | st.lists(st.integers()),
).map(lambda kept: json.dumps(kept).encode()))
@example_settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_bytes_whatever_break_it(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "cockpit.json"
    path.write_bytes(data)
    kept = load(path)
    assert kept.theme in THEME_NAMES
    assert kept.pace in PACES
    assert {type(each) for name, each in asdict(kept).items() if name not in ("theme", "pace")} == {bool}


def test_what_cannot_be_written_is_said_and_harms_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert not save(Settings(), tmp_path / "file" / "cockpit.json")


@pytest.mark.parametrize("pace", PACES)
def test_every_pace_can_be_kept(tmp_path: Path, pace: Pace) -> None:
    assert save(Settings(pace=pace), tmp_path / "cockpit.json")
    assert load(tmp_path / "cockpit.json").pace == pace


def test_a_pipe_in_the_file_s_place_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "cockpit.json")
    assert load(tmp_path / "cockpit.json") == Settings()


def test_the_first_theme_is_the_one_at_first() -> None:
    assert Settings().theme == THEME_NAMES[0]
