"""The row in which a moment is named from which a debriefed flight is flown again."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input

from drill.cockpit.clean_input import CleanInput
from drill.cockpit.debrief.timeline import clock
from drill.cockpit.text import Words
from drill.seat.moments import moment_of

ASKS = "Fly again from "
HOW = "Enter: you. F7: the sheet. Escape: neither."
LONGEST = 10


class AgainBar(Horizontal):
    """Asks from which moment. Hidden until `ask`; posts what is chosen."""

    DEFAULT_CSS = """
    AgainBar { display: none; height: 1; padding: 0 1; background: $panel; }
    AgainBar.-asking { display: block; }
    AgainBar > Words { width: auto; height: 1; }
    AgainBar > CleanInput { width: 12; height: 1; border: none; padding: 0 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "put_away", "Not", show=False)]

    class Chosen(Message):
        """The pilot wants to fly again from `at_s` (s)."""

        def __init__(self, at_s: float) -> None:
            super().__init__()
            self.at_s = at_s

    class PutAway(Message):
        """The pilot does not want to."""

    class Unread(Message):
        """What was typed is no moment; `words` say what one looks like."""

        def __init__(self, words: str) -> None:
            super().__init__()
            self.words = words

    def compose(self) -> ComposeResult:
        """Lay out the question, the moment, and what the keys do."""
        yield Words(ASKS)
        yield CleanInput(most=LONGEST, id="from")
        yield Words(HOW)

    @property
    def asking(self) -> bool:
        """Whether it is in view."""
        return self.has_class("-asking")

    def ask(self, at_s: float) -> None:
        """Come into view with `at_s` (s) as the moment proposed."""
        self.add_class("-asking")
        line = self.query_one(CleanInput)
        line.value = clock(at_s)
        line.focus()
        line.select_all()     # what is typed takes the place of the moment proposed

    def taken(self) -> float | None:
        """Return the moment typed (s) and go out of view; None, after saying so, if it is none."""
        try:
            at_s = moment_of(self.query_one(CleanInput).value)
        except ValueError as error:
            self.post_message(self.Unread(str(error)))
            return None
        self.remove_class("-asking")
        return at_s

    @on(Input.Submitted)
    def _chosen(self, event: Input.Submitted) -> None:
        event.stop()
        at_s = self.taken()
        if at_s is not None:
            self.post_message(self.Chosen(at_s))

    def action_put_away(self) -> None:
        """Go out of view."""
        self.remove_class("-asking")
        self.post_message(self.PutAway())
