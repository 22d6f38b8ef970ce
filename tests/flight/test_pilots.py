"""Who flies: scripts, and the words of the grade sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.flight.events import Acted, Typed
from drill.flight.pilots import LinesPilot, ScriptError, ScriptPilot, fly
from drill.language.meaning import Look
from flight.flights import begun, of


def test_a_script_says_its_lines_at_their_times() -> None:
    flight, _ = begun()
    pilot = ScriptPilot.parse("# first a look\n0:03 look at the suction gauge\n\n1:05.5 level wings\n")
    flown = fly(flight, pilot, until_s=80.0)
    assert [(each.t, each.line) for each in of(Typed, flown.events)] == [
        (3.0, "look at the suction gauge"), (66.0, "level wings")]
    assert not flown.ended


@pytest.mark.parametrize(("text", "message"), [
    ("look at the suction gauge", "script:1: no time and words; write `M:SS words`"),
    ("0:10 level wings\n0:05 look outside", "script:2: this time is before the line above"),
    ("0:75 level wings", "script:1: no time and words"),
])
def test_a_script_that_cannot_be_used_names_its_line(text: str, message: str) -> None:
    with pytest.raises(ScriptError) as caught:
        ScriptPilot.parse(text)
    assert str(caught.value).startswith(message)


def test_a_script_file_that_is_no_text_is_told_by_its_line(tmp_path: Path) -> None:
    path = tmp_path / "bad.txt"
    path.write_bytes(b"0:10 level wings\n0:20 \xff\xfe\n")
    with pytest.raises(ScriptError, match=r"bad\.txt:2: not UTF-8"):
        ScriptPilot.read(path)


@given(st.text())
def test_any_text_is_a_script_or_is_told_what_is_wrong(text: str) -> None:
    try:
        times = [t for t, _ in ScriptPilot.parse(text).lines]
    except ScriptError:
        return
    assert times == sorted(times)


def test_pilots_may_give_actions_instead_of_words() -> None:
    class Looker(LinesPilot):
        def next(self, shown, heard, t):  # type: ignore[no-untyped-def]
            return [Look("altimeter")] if t == 2.0 else []

    flight, _ = begun()
    flown = fly(flight, Looker([]), until_s=10.0)
    assert of(Acted, flown.events)[0].result == "altimeter: 5,000 feet, set to 29.92"
