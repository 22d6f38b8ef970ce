"""With plain instruments everything on the screen is ASCII: frames, scroll bars and dividers too."""

from __future__ import annotations

from pathlib import Path

import pytest
from cockpit.flown import flying
from cockpit.stage import seen
from rich.segment import Segment
from rich.style import Style
from textual.color import Color

from drill.cockpit.plain_lines import PLAIN_LINES
from drill.cockpit.settings import Settings

BLACK = Color.parse("#000000")


def written(*segments: Segment) -> str:
    return "".join(segment.text for segment in PLAIN_LINES.apply(list(segments), BLACK))


@pytest.mark.parametrize(("drawn", "plain"), [("┌──┐", "+--+"), ("│ │", "| |"), ("▔▁", "-_"), ("▊▎", "||")])
def test_lines_become_the_characters_that_look_like_them(drawn: str, plain: str) -> None:
    assert written(Segment(drawn)) == plain


def test_every_frame_of_the_toolkit_becomes_ascii() -> None:
    from textual._border import BORDER_CHARS

    for rows in BORDER_CHARS.values():
        for row in rows:
            assert written(Segment("".join(row))).isascii()


def test_words_stay_as_they_are() -> None:
    assert written(Segment("Zürich")) == "Zürich"


def test_a_scroll_bar_shows_its_place_without_color() -> None:
    bar = [Segment(" ", Style(meta={"@mouse.down": what})) for what in ("scroll_up", "grab", "grab", "scroll_down")]
    assert written(*bar) == ":##:"


async def test_a_flight_is_shown_in_ascii_and_the_palette_changes_that(tmp_path: Path) -> None:
    async with flying(tmp_path, size=(100, 30), settings=Settings(plain_faces=True)) as (pilot, screen):
        await pilot.pause()
        assert "\n".join(seen(screen.app)).isascii()
        screen.app.take_plain_faces(False)  # type: ignore[attr-defined]
        await pilot.pause()
        assert not "\n".join(seen(screen.app)).isascii()
