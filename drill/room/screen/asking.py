"""The row in which the screen asks: whether something is meant, or for words that complete a command."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import ClassVar, TypeAlias

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input

from drill.cockpit.clean_input import CleanInput
from drill.cockpit.text import Words

Do: TypeAlias = Callable[[], Coroutine[None, None, None]]


class Confirm(Horizontal, can_focus=True):
    """Asks whether what a key does is meant, and does it only on Enter. Hidden until `ask`."""

    DEFAULT_CSS = """
    Confirm { display: none; height: auto; padding: 0 1; background: $panel; }
    Confirm.-asking { display: block; }
    Confirm > Words { width: 1fr; height: auto; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,y", "yes", "Yes"),
        Binding("escape,n", "no", "No"),
    ]

    class Answered(Message):
        """It was answered: what is to be done, None: nothing."""

        def __init__(self, do: Do | None) -> None:
            super().__init__()
            self.do = do

    def __init__(self) -> None:
        super().__init__()
        self._do: Do | None = None

    def compose(self) -> ComposeResult:
        """Lay out the question."""
        yield Words("")

    @property
    def asking(self) -> bool:
        """Whether it is in view."""
        return self.has_class("-asking")

    def ask(self, question: str, do: Do) -> None:
        """Ask, and do it if the answer is yes."""
        self._do = do
        self.query_one(Words).say(f"{question}  Enter: yes, Escape: no")
        self.add_class("-asking")
        self.focus()

    def action_yes(self) -> None:
        """It is meant."""
        self._answer(self._do)

    def action_no(self) -> None:
        """It is not."""
        self._answer(None)

    def _answer(self, do: Do | None) -> None:
        if self.asking:
            self.remove_class("-asking")
            self._do = None
            self.post_message(self.Answered(do))


class CommandLine(CleanInput):
    """One line for a command, with a beginning that a key has typed already. Hidden until `begin`."""

    DEFAULT_CSS = """
    CommandLine { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
    CommandLine.-asking { display: block; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Do it"),
        Binding("escape", "put_away", "Not"),
    ]

    class Given(Message):
        """A line was given; "" if none."""

        def __init__(self, line: str) -> None:
            super().__init__()
            self.line = line

    def __init__(self) -> None:
        super().__init__(most=600, placeholder="a command; help lists them")

    @property
    def asking(self) -> bool:
        """Whether it is in view."""
        return self.has_class("-asking")

    def begin(self, line: str = "") -> None:
        """Come into view with the beginning of a line."""
        self.value = line
        self.cursor_position = len(line)
        self.add_class("-asking")
        self.focus()

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._give(event.value)

    def action_put_away(self) -> None:
        """Go out of view; nothing is done."""
        self._give("")

    def _give(self, line: str) -> None:
        if self.asking:
            self.remove_class("-asking")
            self.value = ""
            self.post_message(self.Given(line))
