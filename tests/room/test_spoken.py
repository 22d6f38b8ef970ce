"""What a facilitator types, as a command of the host."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.room import commands as c
from drill.room.commands import Command
from drill.room.spoken import HELP, OWN_WORDS, NotUnderstood, command_of

PEOPLE = ({"place": 1, "phone": "aa"}, {"place": 7, "phone": "bb"})


@pytest.mark.parametrize(("line", "command"), [
    ("brief", c.Brief()),
    ("fly", c.Fly(1)),
    ("fly 2", c.Fly(2)),
    ("FLY 4x", c.Fly(4)),
    ("stop", c.Stop()),
    ("advance 1:30", c.Advance(90)),
    ("advance 45", c.Advance(45)),
    ("poll", c.OpenPoll()),
    ("poll p3", c.OpenPoll("p3")),
    ("ask At 500 ft/min? / yes / no", c.OpenPoll(question="At 500 ft/min?", kind="what next", answers=("yes", "no"))),
    ("ask Where to? / Back / On", c.OpenPoll(question="Where to?", kind="what next", answers=("Back", "On"))),
    ("ask What do you say?", c.OpenPoll(question="What do you say?", kind="what do you say")),
    ("close", c.Close()),
    ("close quietly", c.Close(show=False)),
    ("reveal", c.Reveal()),
    ("hands a=12 b=3", c.CountHands({"a": 12, "b": 3})),
    ("hands A: 12, B:3", c.CountHands({"a": 12, "b": 3})),
    ("a=12 b=3", c.CountHands({"a": 12, "b": 3})),
    ("A=7", c.CountHands({"a": 7})),
    ("majority", c.Choose("majority")),
    ("majority B", c.Choose("majority", answer="b")),
    ("sheet", c.Choose("sheet")),
    ("fork", c.Choose("fork")),
    ("own turn left 240, no, 250", c.Choose("own", line="turn left 240, no, 250")),
    ("enter check the suction gauge", c.Enter("check the suction gauge")),
    ("face attitude indicator", c.ShowFace("attitude_indicator")),
    ("face panel", c.ShowFace(None)),
    ("hide 7", c.Hide("bb")),
    ("show #7", c.Show("bb")),
    ("remove 1", c.Remove("aa")),
    ("rename 7 Robin Alder / 2", c.Rename("bb", "Robin Alder", "2")),
    ("rename 7 Robin", c.Rename("bb", "Robin", None)),
    ("rename 7 / 2", c.Rename("bb", None, "2")),
    ("strike p3 7", c.Strike("p3", "bb")),
    ("debrief", c.Debrief()),
    ("end", c.End()),
    ("more 5", c.More(5)),
    ("more -5", c.More(-5)),
])
def test_a_line_is_a_command(line: str, command: Command) -> None:
    assert command_of(line, PEOPLE) == command


@pytest.mark.parametrize("line", [
    "", "go", "fly 3", "fly now", "advance", "advance soon", "close the door", "hands", "hands a", "hands twelve",
    "hands a=1 and b", "own", "enter", "hide", "hide 9", "hide bb", "rename 7", "strike p3", "ask", "ask / a / b",
    "more", "more time", "brief them", "end it all", "stop it all",
])
def test_what_is_no_command_is_said_in_a_sentence_with_what_would_be(line: str) -> None:
    with pytest.raises(NotUnderstood, match=r"^['A-Z].* .*"):
        command_of(line, PEOPLE)


@given(st.text())
def test_whatever_is_typed_is_a_command_or_is_said_to_be_none(line: str) -> None:
    with contextlib.suppress(NotUnderstood):
        assert command_of(line, PEOPLE)


def test_every_command_stands_in_the_help() -> None:
    told = {each.strip().split(" ")[0] for line in HELP for each in line[:30].split(",")}
    commands = {"brief", "fly", "stop", "advance", "poll", "ask", "close", "reveal", "hands", "majority", "sheet",
                "fork", "own", "enter", "face", "hide", "show", "remove", "rename", "strike", "debrief", "end", "more"}
    assert told == commands | set(OWN_WORDS)
    for each in commands:
        with contextlib.suppress(NotUnderstood):
            command_of(f"{each} a very odd thing", PEOPLE)


def test_bare_numbers_are_told_how_hands_are_counted() -> None:
    for line in ("7", "7 3 0", "7, 3"):
        with pytest.raises(NotUnderstood, match="hands a=12 b=3"):
            command_of(line)
