"""What stands beside the panel: the logs, and what is read or offered beside them when it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from drill.cockpit.flying.log import RADIO, set_line
from drill.cockpit.flying.reference import Reference
from drill.cockpit.text import WordLog, Words
from drill.seat.teller import Line


class Talk(Container):
    """Two logs side by side with one that has both; which is seen is a matter of classes. None of it takes focus."""

    def __init__(self, offered: Sequence[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._offered = offered

    def compose(self) -> ComposeResult:
        """Lay everything out."""
        yield Reference(id="reference")
        with Vertical(id="logs"):
            yield Words("RADIO", classes="heading apart")
            yield _log("radio", "apart")
            yield Words("IN THE COCKPIT", classes="heading apart")
            yield _log("cockpit", "apart")
            yield _log("both", "")
        yield OptionList(*(Option(Content(each)) for each in self._offered), id="offers", compact=True)

    def tell(self, lines: Sequence[Line]) -> None:
        """Add lines, each to the log where its kind belongs."""
        for line in lines:
            self.add(line, radio=line.kind in RADIO)

    def add(self, line: Line, *, radio: bool) -> None:
        """Add a line to the log of the radio, or to that of the cockpit."""
        content, hang = set_line(line)
        self.query_one("#radio" if radio else "#cockpit", WordLog).add(content, hang=hang)
        self.query_one("#both", WordLog).add(content, hang=hang)

    def page(self, pages: int) -> None:
        """Scroll what is in sight."""
        reference = self.query_one(Reference)
        if reference.is_on_screen:
            reference.page(pages)
            return
        for each in self.query(WordLog):
            if each.is_on_screen:
                each.scroll_relative(y=pages * max(1, each.size.height - 1), animate=False)


def _log(name: str, classes: str) -> WordLog:
    log = WordLog(id=name, classes=classes)
    log.can_focus = False
    return log
