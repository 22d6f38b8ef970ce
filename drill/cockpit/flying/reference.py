"""What is read in flight beside the instruments: the help of the moment, or the briefing once more."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content

from drill.cockpit.help import HelpPanel, When
from drill.cockpit.text import Words
from drill.seat.briefing import briefing_lines, cautions

if TYPE_CHECKING:
    from drill.seat.sitting import Sitting

Reading: TypeAlias = Literal["", "help", "briefing"]
"""What is being read; nothing is an empty word."""

KEYS = (
    ("Enter", "send; Up, Down: earlier"), ("Right", "take the gray completion"),
    ("PgUp, PgDn", "scroll help or logs"), ("Escape", "help away; the whole panel"), ("F2", "pause, go on"),
    ("F3", "one face; Shift+F3: before"), ("F4", "next theme; F5: suggestions"),
    ("Ctrl+P", "all commands; Ctrl+Q: leave"),
)
_AWAY = "F1 or Escape: away"
_LOW = 6    # rows; in so few, a page is all of them


class Reference(Vertical):
    """A text to scroll, and a foot that says whether there is more of it and how it is put away."""

    DEFAULT_CSS = """
    Reference {
        width: 1fr; height: 1fr;
        #help { height: 1fr; }
        #foot { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
    }
    """

    def compose(self) -> ComposeResult:
        """Lay out the text and its foot."""
        yield HelpPanel("flight", KEYS, id="help", can_focus=False)
        yield Words(_AWAY, id="foot")

    def on_mount(self) -> None:
        """Follow the text as it is scrolled and changed."""
        self.watch(self._text, "scroll_y", self._say_foot, init=False)
        self.watch(self._text, "virtual_size", self._say_foot, init=False)

    def on_resize(self, event: events.Resize) -> None:
        """Say what the foot has to say in another size."""
        del event
        self.call_after_refresh(self._say_foot)

    def show(self, what: Reading, sitting: Sitting, *, flowing: bool) -> None:
        """Show the briefing, or the help of this moment, its keys in running text if it is to be short."""
        if what == "briefing":
            scenario = sitting.run.scenario
            lines = briefing_lines(scenario)[len(cautions(scenario)) + 1 :]
            self._text.show(Content.assemble(("BRIEFING\n", "bold"), "\n".join(lines)))
            return
        clock = sitting.clock
        moment: When = "paused" if clock.paused else "turn by turn" if clock.pace == "turns" else "flight"
        self._text.tell(moment, KEYS, flowing=flowing)

    def page(self, pages: int) -> None:
        """Scroll by so many pages, back if fewer than none."""
        rows = self._text.size.height
        self._text.scroll_relative(y=pages * max(1, rows if rows <= _LOW else rows - 1), animate=False)

    def _say_foot(self, *_: Any) -> None:
        if not self.is_attached or not self._nodes:
            return
        text = self._text
        ways = ["PgDn: more"] if text.scroll_y < text.max_scroll_y else []
        ways += ["PgUp: back"] if text.scroll_y > 0 else []
        self.query_one("#foot", Words).say("   ".join([*ways, _AWAY]))

    @property
    def _text(self) -> HelpPanel:
        return self.query_one(HelpPanel)
