"""Words on the screen: literal, wrapped, newest last."""

from __future__ import annotations

from cockpit.stage import until
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.content import Content

from drill.cockpit.text import WordLog, Words, literal

HOSTILE = "[bold]b[/bold] [/nope] [@click=app.exit]c[/] {x}"


class Page(App[int]):
    """Words above a log."""

    CSS = "WordLog { height: 1fr; }"

    def compose(self) -> ComposeResult:
        yield Words(HOSTILE, id="words")
        yield WordLog(max_lines=50, id="log")


@given(st.text())
@settings(max_examples=200)
def test_every_character_stands_for_itself(text: str) -> None:
    assert literal(text).plain == Content(text).plain
    assert literal(text).spans == []


async def test_words_and_entries_are_literal_and_wrapped() -> None:
    app = Page()
    async with app.run_test(size=(40, 12)) as pilot:
        words, log = app.query_one(Words), app.query_one(WordLog)
        assert words.said == HOSTILE
        words.say("[/]")
        log.add(HOSTILE)
        log.add("0:12 " + "word " * 12, hang=5)
        await pilot.pause()
        rows = [log.render_line(y).text.rstrip() for y in range(log.size.height)]
        assert " ".join(rows[:2]) == HOSTILE
        assert rows[2].startswith("0:12 word")
        assert rows[3].startswith("     word")
        assert all(len(row) < 40 for row in rows)
        await pilot.resize_terminal(20, 12)
        await until(pilot, lambda: log.size.width == 20)
        assert "".join(log.render_line(y).text for y in range(log.virtual_size.height)).count("word") == 12


async def test_a_log_follows_its_end_unless_the_reader_has_scrolled_up_and_forgets_the_oldest() -> None:
    app = Page()
    async with app.run_test(size=(40, 12)) as pilot:
        log = app.query_one(WordLog)
        for number in range(60):
            log.add(f"line {number}")
        await pilot.pause()
        assert log.entries[0] == "line 10"
        assert log.entries[-1] == "line 59"
        assert log.render_line(log.size.height - 1).text.strip() == "line 59"
        log.scroll_to(y=5, animate=False)
        await pilot.pause()
        log.add("unseen")
        assert log.scroll_offset.y == 4    # the first row is forgotten
        log.scroll_to(y=20, animate=False)
        await pilot.pause()
        read = log.render_line(0).text
        for number in range(15):
            log.add(f"another {number}")
        assert log.render_line(0).text == read, "what is read stays where it is"
        log.scroll_end(animate=False)
        await pilot.pause()
        log.add("seen")
        assert log.render_line(log.size.height - 1).text.strip() == "seen"
