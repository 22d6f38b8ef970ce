"""Strips are drawn for the size that they have, however they come to know of it."""

from __future__ import annotations

from cockpit.stage import seen
from textual.app import App, ComposeResult
from textual.strip import Strip

from drill.cockpit.strips import Strips


class Told(Strips):
    """Keeps the size that it was drawn for, and does not listen when the toolkit tells of another one."""

    DEFAULT_CSS = "Told { width: 1fr; height: 1fr; }"

    def _draw(self) -> None:
        self.put([Strip.blank(self.size.width)] * self.size.height)
        self.drawn = self.size


class Shown(App[int]):
    def compose(self) -> ComposeResult:
        yield Told()


async def test_what_depends_on_the_size_is_drawn_at_each_size_though_nobody_tells_of_it() -> None:
    app = Shown()
    async with app.run_test(size=(40, 10)) as pilot:
        await pilot.pause()
        seen(app)
        told = app.query_one(Told)
        assert told.drawn == (40, 10)
        await pilot.resize_terminal(30, 8)
        await pilot.pause()
        seen(app)
        assert told.drawn == (30, 8)
