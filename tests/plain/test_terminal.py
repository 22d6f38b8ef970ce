"""Typing: keys from a terminal and lines from a pipe become clean lines; the terminal is given back as it was."""

import io
import os
import pty
import termios
import threading
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.clean import MAX_LINE, clean_line
from drill.plain.out import Out
from drill.plain.terminal import InputEnded, KeyReader, PipeLines, TerminalLines


class Screen:
    """What a terminal shows of one row, to which only characters and wipes are sent."""

    def __init__(self) -> None:
        self.shown = ""
        self.keys = KeyReader(self.echo, self.rub_out)

    def echo(self, text: str) -> None:
        self.shown += text

    def rub_out(self, columns: int) -> None:
        self.shown = self.shown[: len(self.shown) - columns]

    def take(self, text: str) -> list[str]:
        self.keys.take(text)
        lines = list(self.keys.lines)
        self.keys.lines.clear()
        return lines


def test_a_line_ends_with_enter() -> None:
    assert Screen().take("level wings\n") == ["level wings"]
    assert Screen().take("level wings\r") == ["level wings"]


def test_backspace_takes_back_one_character() -> None:
    screen = Screen()
    assert screen.take("turm\x7fn left\n") == ["turn left"]
    assert screen.shown == "turn left\n"


def test_control_u_takes_back_the_line_and_control_w_the_word() -> None:
    assert Screen().take("turn left\x15level wings\n") == ["level wings"]
    assert Screen().take("turn left\x17right\n") == ["turn right"]


def test_backspace_at_the_start_of_a_line_wipes_nothing() -> None:
    screen = Screen()
    screen.shown = "above"
    screen.take("\x7f\x7f\x15\x17")
    assert screen.shown == "above"


def test_control_d_ends_the_input_only_on_an_empty_line() -> None:
    screen = Screen()
    screen.take("ab\x04")
    assert not screen.keys.ended
    screen.take("\x15\x04")
    assert screen.keys.ended


@pytest.mark.parametrize(
    "key", ["\x1b[A", "\x1bOP", "\x1b[1;5C", "\x1b[200~", "\x1b]0;title\x07", "\x1b]0;t\x1b\\", "\x1bb"]
)
def test_arrow_and_function_keys_and_pasted_escape_codes_leave_no_trace(key: str) -> None:
    screen = Screen()
    assert screen.take(f"look{key} outside\n") == ["look outside"]
    assert screen.shown == "look outside\n"


def test_a_pasted_block_gives_its_lines_one_by_one() -> None:
    assert Screen().take("level wings\nhold altitude\n") == ["level wings", "hold altitude"]


def test_a_line_is_cut_at_the_longest_that_is_read() -> None:
    (line,) = Screen().take("x" * (MAX_LINE + 500) + "\n")
    assert len(line) == MAX_LINE


@given(st.text(max_size=200))
def test_whatever_is_typed_only_clean_text_is_echoed_and_entered(text: str) -> None:
    screen = Screen()
    lines = screen.take(text + "\n")
    assert all(line == clean_line(line) for line in lines)
    assert not [c for c in screen.shown if (ord(c) < 0x20 and c != "\n") or 0x7F <= ord(c) < 0xA0]


@pytest.fixture
def terminal() -> Iterator[tuple[int, int]]:
    ours, theirs = pty.openpty()
    yield ours, theirs
    os.close(ours)
    os.close(theirs)


def test_a_line_typed_at_a_terminal_is_read_and_the_terminal_given_back(terminal: tuple[int, int]) -> None:
    ours, theirs = terminal
    before = termios.tcgetattr(theirs)
    with TerminalLines(theirs, Out(io.StringIO())) as lines:
        assert termios.tcgetattr(theirs)[3] & termios.ECHO == 0
        os.write(ours, "höld ".encode())
        while lines.last_key() is None:
            assert lines.poll(1.0) is None
        os.write(ours, b"altitude\n")
        line = None
        while line is None:
            line = lines.poll(1.0)
        assert line == "höld altitude"
        assert lines.last_key() is None
    assert termios.tcgetattr(theirs) == before


def test_the_terminal_is_given_back_after_an_error(terminal: tuple[int, int]) -> None:
    _, theirs = terminal
    before = termios.tcgetattr(theirs)
    with pytest.raises(RuntimeError), TerminalLines(theirs, Out(io.StringIO())):
        raise RuntimeError
    assert termios.tcgetattr(theirs) == before


def test_words_that_come_while_a_line_is_typed_stand_above_it(terminal: tuple[int, int]) -> None:
    ours, theirs = terminal
    page = io.StringIO()
    out = Out(page)
    with TerminalLines(theirs, out) as lines:
        os.write(ours, b"hold al")
        while lines.last_key() is None:
            lines.poll(1.0)
        lines.step_aside()
        out.line("Orrinfell Approach: say altitude.")
        lines.come_back()
    assert page.getvalue() == "hold al\nOrrinfell Approach: say altitude.\nhold al"


def test_a_pipe_gives_its_lines_and_then_its_end() -> None:
    reading, writing = os.pipe()
    os.write(writing, b"level wings\r\nhold \x1b[31maltitude\nlast without a break")
    os.close(writing)
    lines = PipeLines(reading)
    assert [lines.poll(1.0) for _ in range(3)] == ["level wings", "hold [31maltitude", "last without a break"]
    with pytest.raises(InputEnded):
        lines.poll(1.0)
    os.close(reading)


def test_a_pipe_from_which_nothing_comes_gives_no_line() -> None:
    reading, writing = os.pipe()
    lines = PipeLines(reading)
    assert lines.poll(0.01) is None
    later = threading.Timer(0.05, os.write, (writing, b"go on\n"))
    later.start()
    assert lines.poll(5.0) == "go on"
    later.join()
    os.close(reading)
    os.close(writing)


@given(st.binary(max_size=300))
def test_no_bytes_in_a_pipe_break_the_reading(raw: bytes) -> None:
    reading, writing = os.pipe()
    os.write(writing, raw)
    os.close(writing)
    lines = PipeLines(reading)
    try:
        for _ in range(1_000):
            line = lines.poll(1.0)
            assert line == clean_line(line or "")
    except InputEnded:
        pass
    finally:
        os.close(reading)


def test_what_was_begun_before_a_new_question_is_no_answer_to_it(terminal: tuple[int, int]) -> None:
    ours, theirs = terminal
    page = io.StringIO()
    with TerminalLines(theirs, Out(page)) as lines:
        os.write(ours, b"turn le")
        while lines.last_key() is None:
            lines.poll(1.0)
        lines.begin_anew("> ")
        assert lines.poll(0.0) is None
        os.write(ours, b"the pump\n")
        line = None
        while line is None:
            line = lines.poll(1.0)
    assert line == "the pump"
    assert page.getvalue() == "turn le\n> the pump\n"
