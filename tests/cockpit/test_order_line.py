"""The order line: earlier lines, pasting, completion; and the list of what is offered."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from cockpit.stage import until
from textual import events
from textual.app import App, ComposeResult
from textual.widgets.input import Selection

from drill.clean import MAX_LINE
from drill.cockpit.clean_input import CleanInput
from drill.cockpit.flying.order_history import MOST_LINES, OrderHistory
from drill.cockpit.flying.order_line import OrderLine
from drill.cockpit.flying.suggestions import suggestions
from drill.language import read
from drill.language.meaning import Context
from drill.scenario import load, shipped


class Page(App[int]):
    """An order line alone."""

    def __init__(self, history: OrderHistory) -> None:
        super().__init__()
        self.history = history

    def compose(self) -> ComposeResult:
        yield OrderLine(self.history)


class Short(App[int]):
    """A line of ten characters alone."""

    def compose(self) -> ComposeResult:
        yield CleanInput(most=10)


def test_earlier_lines_come_back_and_the_draft_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "orders.txt"
    history = OrderHistory(path)
    for line in ("turn left", "turn left", "hold altitude"):
        history.add(line)
    assert history.older("dra") == "hold altitude"
    assert history.older("hold altitude") == "turn left"
    assert history.older("turn left") == "turn left"
    assert history.newer("turn left") == "hold altitude"
    assert history.newer("hold altitude") == "dra"
    assert history.newer("dra") == "dra"
    again = OrderHistory(path)
    assert again.lines == ("turn left", "hold altitude")
    assert path.stat().st_mode & 0o077 == 0    # nobody else's business


def test_no_more_lines_are_kept_than_are_of_use(tmp_path: Path) -> None:
    path = tmp_path / "orders.txt"
    path.write_text("".join(f"line {number}\n" for number in range(3 * MOST_LINES)))
    assert len(OrderHistory(path).lines) == MOST_LINES
    assert OrderHistory(path).lines[-1] == f"line {3 * MOST_LINES - 1}"
    assert path.read_text().count("\n") == MOST_LINES


def test_what_is_in_the_file_is_cleaned_and_a_file_that_is_none_is_done_without(tmp_path: Path) -> None:
    path = tmp_path / "orders.txt"
    path.write_bytes(b"turn\x1b]0;x\x07 left\n\xff\xfe\n\n")
    assert all(ord(character) >= 32 for line in OrderHistory(path).lines for character in line)
    os.mkfifo(tmp_path / "pipe")
    for none in (tmp_path, tmp_path / "pipe"):    # a folder; nobody writes to or reads from the pipe
        history = OrderHistory(none)
        history.add("turn left")
        assert history.lines == ("turn left",)


async def test_keys_paste_and_completion(tmp_path: Path) -> None:
    history = OrderHistory()
    history.add("turn left")
    app = Page(history)
    async with app.run_test(size=(60, 5)) as pilot:
        line = app.query_one(OrderLine)
        line.focus()
        await pilot.press(*"hol", "up")
        assert line.value == "turn left"
        await pilot.press("down")
        assert line.value == "hol"
        line.post_message(events.Paste("d altitude\nand \x1b[31mturn\tleft\r\n"))
        await pilot.pause()
        assert line.value == "hold altitude and [31mturn left"
        assert line.last_key is not None
        line.value = ""
        assert line.last_key is None
        line.post_message(events.Paste("word " * 500))
        await pilot.pause()
        assert line.value == ("word " * 500)[:MAX_LINE]
        line.value = "descend"
        line.post_message(events.Paste(" \t to   5000 \n"))
        await pilot.pause()
        assert line.value == "descend to 5000"
        assert line.take() == "descend to 5000"
        line.offer(("hold altitude", "hold"))
        await pilot.press(*"hold a")
        await until(pilot, lambda: "hold altitude" in line.render_line(0).text)
        await pilot.press("right")
        assert line.value == "hold altitude"
        assert line.take() == "hold altitude"
        assert line.value == ""


async def test_a_paste_takes_the_place_of_what_is_selected_and_no_more_than_fits() -> None:
    app = Short()
    async with app.run_test(size=(60, 5)) as pilot:
        line = app.query_one(CleanInput)
        line.focus()
        line.value = "0123456789"
        line.selection = Selection(10, 4)    # backwards, as it may be made
        line.post_message(events.Paste("abc\x1b\ndefgh"))
        await pilot.pause()
        assert line.value == "0123abc de"
        line.selection = Selection(0, 10)
        line.post_message(events.Paste("word\u202e"))
        await pilot.pause()
        assert line.value == "word"
        line.post_message(events.Paste("\n\n"))
        await pilot.pause()
        assert line.value == "word "


async def test_a_completion_that_is_no_longer_offered_is_gone_at_once() -> None:
    app = Page(OrderHistory())
    async with app.run_test(size=(60, 5)) as pilot:
        line = app.query_one(OrderLine)
        line.focus()
        line.offer(("hold altitude",))
        await pilot.press(*"hol")
        await until(pilot, lambda: "hold altitude" in line.render_line(0).text)
        line.offer(())
        assert line.render_line(0).text.strip() == "hol"
        await pilot.press("right")
        assert line.value == "hol"


@pytest.mark.parametrize("words", suggestions(("Wendle", "Orrinfell"), "Orrinfell Approach"))
def test_whatever_is_offered_is_understood(words: str) -> None:
    context = Context("Larkspur 5304W", "Orrinfell Approach", ("Wendle", "Orrinfell"))
    assert not any(each.kind == "unclear" for each in read(words, context))


def test_what_is_offered_differs_between_scenarios_by_names_of_the_briefing_alone() -> None:
    lists = set()
    for path in shipped().values():
        scenario = load(path)
        names = [field.name for field in scenario.fields]
        offered = suggestions(names, scenario.clearance.facility)
        without = [each.replace(scenario.clearance.facility, "FACILITY") for each in offered
                   if each not in {f"divert to {name}" for name in names}]
        lists.add(tuple(without))
    assert len(lists) == 1
    assert 35 <= len(lists.pop()) <= 60
