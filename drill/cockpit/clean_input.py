"""A line to type in that takes a paste whole, and clean."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input

from drill.clean import MAX_LINE, clean


class CleanInput(Input):
    """One line of at most `most` characters. The cursor never blinks, and coming here selects nothing.

    The toolkit keeps the first line of a paste and lets control characters through; this one joins all its lines.
    """

    virtual_size = Reactive(Size(0, 0))    # in one row of fixed width a letter more moves nothing else on the screen

    def __init__(self, value: str = "", *, most: int = MAX_LINE, **kwargs: Any) -> None:
        super().__init__(value, max_length=most, select_on_focus=False, compact=True, **kwargs)
        self.cursor_blink = False

    def on_paste(self, event: events.Paste) -> None:
        """Insert all that was pasted, in place of what is selected; what no longer fits is left out.

        Spaces around it stay: they part it from what stands there. Who takes the line cleans the whole of it.
        """
        event.stop()
        event.prevent_default()
        start, end = sorted(self.selection)
        pasted = _one_line(event.text)
        if self.restrict is None and self.max_length is not None:
            pasted = pasted[: max(0, self.max_length - (len(self.value) - (end - start)))]
        if pasted:
            self.replace(pasted, start, end)


def _one_line(text: str) -> str:
    """Return `text` clean in one line, with at most one space wherever there is space."""
    words = clean(text, limit=10 * MAX_LINE)
    inner = " ".join(words.split())
    if not inner:
        return " " if words else ""
    before = " " if words[0].isspace() else ""
    after = " " if words[-1] == " " else ""    # the line break at the end of a copied line parts nothing
    return before + inner + after
