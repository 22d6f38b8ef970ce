"""The section with flights side by side, or with how to get there."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from drill.cockpit.debrief.grading_apart import Grading, GradingError
from drill.cockpit.debrief.sides import Sides, how_to, page
from drill.cockpit.text import Words

MARGIN_CELLS = 6         # at both sides, the scroll bar among them


class SidesView(VerticalScroll):
    """Flights side by side. `sides` is None until some are taken; `asked_s` is the moment (s) that was asked for.

    `asked_s` None: they are beside the flight that this one branched from.
    """

    DEFAULT_CSS = """
    SidesView { padding: 0 2; scrollbar-size-vertical: 1; }
    SidesView > #compared { height: auto; width: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__(id="sides")
        self.sides: Sides | None = None
        self.asked_s: float | None = None

    def compose(self) -> ComposeResult:
        """Lay out the text."""
        yield Words("", id="compared")

    async def compare(self, grading: Grading, at_s: float | None) -> str:
        """Take the flights as they part at `at_s` (s); return in words why there are none, or nothing.

        Those that were there stay if there are none.
        """
        self.query_one("#compared", Words).say(
            "Looking for the flight that this one branched from ..." if at_s is None
            else "Flying it as the grade sheet would have ...")
        try:
            sides = await grading.sides(at_s)
        except GradingError as error:
            return str(error)
        if sides is not None:
            self.sides, self.asked_s = sides, at_s
        return ""

    def show(self, chosen_s: float | None) -> None:
        """Show it in the width that there is; or how flights are set side by side from the moment `chosen_s` (s)."""
        width = self.screen.query_one("#sections").content_size.width - MARGIN_CELLS
        self.query_one("#compared", Words).say(how_to(chosen_s) if self.sides is None else page(self.sides, width))
