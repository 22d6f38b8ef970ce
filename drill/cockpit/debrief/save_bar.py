"""The row in which is chosen as what a debrief, or flights side by side, are saved."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Button

from drill.cockpit.text import Words
from drill.paper.kinds import KINDS, Kind

SAVES_DEBRIEF = "Save as"
SAVES_SIDES = "Save side by side as"
_NAMES: dict[Kind, str] = {"html": "Page (HTML)", "md": "Markdown", "json": "JSON", "txt": "Words"}


class SaveBar(Horizontal):
    """Asks as what. Hidden until `ask`; posts what is chosen."""

    DEFAULT_CSS = """
    SaveBar { display: none; height: 1; padding: 0 1; background: $panel; }
    SaveBar.-asking { display: block; }
    SaveBar > Words { width: auto; height: 1; margin-right: 1; }
    SaveBar > Button { min-width: 0; margin-right: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "put_away", "Not", show=False),
        Binding("left", "app.focus_previous", "The one before", show=False),
        Binding("right", "app.focus_next", "The next one", show=False),
    ]

    class Chosen(Message):
        """The debrief, or else the flights side by side, are to be saved as this kind of file."""

        def __init__(self, kind: Kind, *, sides: bool) -> None:
            super().__init__()
            self.kind = kind
            self.sides = sides

    class PutAway(Message):
        """It is not to be saved."""

    def __init__(self) -> None:
        super().__init__()
        self._sides = False

    def compose(self) -> ComposeResult:
        """Lay out the question and what there is to choose."""
        yield Words(SAVES_DEBRIEF, id="asks")
        for kind in KINDS:
            yield Button(Content(_NAMES[kind]), id=f"save-{kind}", compact=True)
        yield Words("Escape: not")

    @property
    def asking(self) -> bool:
        """Whether it is in view."""
        return self.has_class("-asking")

    def ask(self, *, sides: bool = False) -> None:
        """Come into view, the first kind proposed; `sides`: the flights side by side are to be saved."""
        self._sides = sides
        self.query_one("#asks", Words).say(SAVES_SIDES if sides else SAVES_DEBRIEF)
        self.add_class("-asking")
        self.query(Button).first().focus()

    @on(Button.Pressed)
    def _chosen(self, event: Button.Pressed) -> None:
        event.stop()
        self.remove_class("-asking")
        kind = next(kind for kind in KINDS if event.button.id == f"save-{kind}")
        self.post_message(self.Chosen(kind, sides=self._sides))

    def action_put_away(self) -> None:
        """Go out of view."""
        self.remove_class("-asking")
        self.post_message(self.PutAway())
