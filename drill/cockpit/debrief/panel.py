"""The instrument panel as it stood at a moment of a flight that is over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.containers import Vertical

from drill.airplane.airframe import Airframe
from drill.cockpit.debrief.timeline import Moment, clock
from drill.cockpit.flying.arrangement import Arrangement
from drill.cockpit.flying.panel_view import PanelView, dial_of
from drill.cockpit.text import Words

SMALL = Arrangement("compact", 76, 13, 26, 13)
LARGE = Arrangement("standard", 54, 26, 18, 9)
HEAD_ROWS = 1


class ThenPanel(Vertical):
    """The faces at one moment, with the time above them. `large`: all of them as faces, otherwise one and rows."""

    DEFAULT_CSS = """
    ThenPanel { height: auto; width: 1fr; }
    ThenPanel > Words { height: 1; padding: 0 1; text-style: bold; }
    """

    def __init__(self, airframe: Mapping[str, Any], moment: Moment, *, plain: bool, large: bool) -> None:
        super().__init__()
        self._view = PanelView(dial_of(Airframe(**airframe)), plain=plain)
        self._moment = moment
        self._large = large
        self._plain = plain

    def compose(self) -> ComposeResult:
        """Lay out the time and the faces."""
        yield Words("")
        yield self._view

    def on_mount(self) -> None:
        """Let the faces stand at their size, and show the moment."""
        self._view.take_ink(plain=self._plain)
        self._stand()

    def draw_plain(self, plain: bool) -> None:
        """Draw with ASCII characters only, or with all that there are."""
        self._plain = plain
        self._view.take_ink(plain=plain)

    def tell(self, moment: Moment, *, large: bool) -> None:
        """Show the panel of `moment`, in the large or in the small arrangement."""
        self._moment, self._large = moment, large
        if self.is_mounted and self.is_attached:
            self._stand()

    def _stand(self) -> None:
        into, moment = LARGE if self._large else SMALL, self._moment
        self._view.take_places(into)
        self._view.styles.height = into.panel_rows
        self.styles.width = into.panel_columns if self._large else "1fr"
        self.styles.height = into.panel_rows + HEAD_ROWS
        self.query_one(Words).say(f"THE PANEL AT {clock(moment.t or 0.0)}")
        self._view.show(moment.shown, moment.covered)
