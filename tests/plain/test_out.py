"""All words leave through one door: clean, wrapped, in what the stream can write."""

import io

from hypothesis import given
from hypothesis import strategies as st

from drill.plain.out import WIDTH, Out, wrapped


def written(text: str, *, encoding: str = "utf-8", hang: int = 0) -> str:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    Out(stream).line(text, hang=hang)
    return raw.getvalue().decode(encoding)


def test_words_are_wrapped_between_words_at_78_columns() -> None:
    rows = written("altitude " * 40).splitlines()
    assert len(rows) > 3
    assert all(len(row) <= 78 for row in rows)
    assert all(set(row.split()) == {"altitude"} for row in rows)


def test_rows_after_the_first_hang_below_the_words_and_not_below_the_stamp() -> None:
    page = io.StringIO()
    Out(page).at(65, "heading " * 20)
    first, second, *_ = page.getvalue().splitlines()
    assert first.startswith("1:05 heading")
    assert second.startswith("     heading")


def test_an_ascii_terminal_gets_plainer_characters() -> None:
    assert written("5° right – “fine” ✈", encoding="ascii") == '5 degrees right - "fine" ?\n'


@given(st.text())
def test_no_control_byte_is_ever_written(text: str) -> None:
    out = written(text)
    assert not [c for c in out if (ord(c) < 0x20 and c != "\n") or 0x7F <= ord(c) < 0xA0]


@given(st.text(alphabet=st.characters(min_codepoint=0x20, max_codepoint=0x7E)), st.integers(0, 10))
def test_no_row_is_wider_than_asked_and_no_word_is_lost(text: str, hang: int) -> None:
    rows = wrapped(text, hang=hang)
    assert all(len(row) <= WIDTH for row in rows)
    assert "".join("".join(rows).split()) == "".join(text.split())


def test_json_is_not_wrapped() -> None:
    page = io.StringIO()
    Out(page).whole("{" + "x" * 500 + "}")
    assert page.getvalue().count("\n") == 1
