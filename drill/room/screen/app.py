"""The app that the facilitator's screen stands in, in the loop of host and server."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.filter import LineFilter

from drill.clean import MAX_LINE, clean
from drill.cockpit.ending import EndingApp
from drill.cockpit.launch import at_terminal, is_utf8
from drill.cockpit.plain_lines import PLAIN_LINES
from drill.cockpit.settings import Settings, load, save
from drill.cockpit.themes import THEMES, next_theme
from drill.room.long_lived import set_aside
from drill.room.screen.evening_screen import EveningScreen
from drill.serving.refusal import CannotServe

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.net.app import Running

NO_TERMINAL = ("the facilitator's screen needs a terminal that can place words; without one, type commands: "
               "drill room --headless")

SETTLED_S = 2.0
"""So long after its start the screen is there, with all that it has loaded."""


class RoomApp(EndingApp):
    """Shows the evening of `host`; `running` says where phones and wall are, None: nothing is served.

    It is left by `exit`; signals are whoever's who runs it. `keeps`: a theme that is chosen stays chosen.
    """

    TITLE = "drill"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "leave", "Leave", show=False, priority=True),
        Binding("ctrl+c", "leave", "Leave", show=False, priority=True),
        Binding("f9", "next_theme", "Theme", show=False, priority=True),
    ]

    def __init__(
        self, host: Host, running: Running | None = None, *, settings: Settings | None = None, keeps: bool = False,
    ) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        self._keeps = keeps
        self.settings = settings or Settings()
        self.theme = self.settings.theme
        self.animation_level = "none"
        self._host = host
        self._served = running

    def heed_signals(self) -> None:
        """Leave signals to who runs the evening."""

    def on_mount(self) -> None:
        """Show the screen."""
        self.push_screen(EveningScreen(self._host, self._served))

    async def on_event(self, event: events.Event) -> None:
        """Clean what is pasted before any widget has it."""
        if isinstance(event, events.Paste):
            event = events.Paste(clean(event.text, limit=10 * MAX_LINE))
        elif isinstance(event, events.Key) and event.is_printable and not clean(event.character or ""):
            return
        await super().on_event(event)

    def get_line_filters(self) -> list[LineFilter]:
        """Return what goes over every line that is drawn."""
        return [*super().get_line_filters(), *([PLAIN_LINES] if self.settings.plain_faces else [])]

    def notify(self, message: str, **options: Any) -> None:
        """Say something at the edge of the screen, literally."""
        super().notify(message, **{**options, "markup": False})

    def action_leave(self) -> None:
        """Ask, then leave."""
        if isinstance(self.screen, EveningScreen):
            self.screen.action_leave()
        else:
            self.exit(0)

    def action_next_theme(self) -> None:
        """Go on to the next theme, here and in the cockpit."""
        self.theme = next_theme(self.theme)
        if self._keeps:
            save(replace(load(), theme=self.theme))


async def shown(host: Host, running: Running, *, gray: bool = False) -> None:
    """Show the screen until it is left, `gray` without colors; see `facilitate`."""
    if not at_terminal():
        raise CannotServe(NO_TERMINAL)
    settings = load()
    settings = replace(settings, theme="mono" if gray else settings.theme,
                       plain_faces=settings.plain_faces or not is_utf8())
    app = RoomApp(host, running, settings=settings, keeps=not gray)
    screen = asyncio.create_task(app.run_async())
    asyncio.get_running_loop().call_later(SETTLED_S, set_aside)
    try:
        await asyncio.shield(screen)
    except asyncio.CancelledError:
        app.exit(0)
        await screen
        raise
    if app.fault:
        raise CannotServe(f"a fault in the screen ({app.fault}); the evening goes on with --resume. Please report it")
