"""The commands of the palette: what there is to do on the screen in front, by name."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.app import SystemCommand
from textual.command import DiscoveryHit, Hits
from textual.screen import Screen
from textual.system_commands import SystemCommandsProvider

from drill.cockpit.themes import THEMES
from drill.seat.pace import PACE_WORDS, Pace

if TYPE_CHECKING:
    from drill.cockpit.app import Cockpit
    from drill.cockpit.flying.screen import FlightScreen


class Commands(SystemCommandsProvider):
    """Offers them in the order in which they stand below, the usual ones first."""

    async def discover(self) -> Hits:
        """Yield every command while nothing is sought."""
        for title, help_text, callback, discover in self.app.get_system_commands(self.screen):
            if discover:
                yield DiscoveryHit(title, callback, help=help_text)


def commands(app: Cockpit, screen: Screen[Any]) -> Iterator[SystemCommand]:
    """Yield the commands for `screen`. A flight's are the same at every moment of it."""
    flight = _flight(screen)
    if flight is not None:
        yield from _of_flight(app, flight)
    elif hasattr(screen, "action_help"):
        yield SystemCommand("Help", "How this screen is used", screen.action_help)
    for theme in THEMES:
        yield SystemCommand(f"Theme {theme.name}", "Colors of the cockpit", partial(app.take_theme, theme.name))
    for pace, words in PACE_WORDS.items():
        yield SystemCommand(f"Pace: {pace}", f"{words[:1].upper()}{words[1:]}. The pace costs nothing in the debrief",
                            partial(_take_pace, app, screen, pace))
    calm = app.settings.reduced_motion
    yield SystemCommand(f"Reduced motion {'off' if calm else 'on'}", "The panel moves once a second at most",
                        partial(app.take_motion, not calm))
    plain = app.settings.plain_faces
    yield SystemCommand(f"Plain faces {'off' if plain else 'on'}", "Instruments of letters and - | / only",
                        partial(app.take_plain_faces, not plain))
    if flight is not None:
        yield from _faces(flight)
    yield SystemCommand("Leave", "Ask, then leave; a flight can be flown on later", app.leave)


def _of_flight(app: Cockpit, flight: FlightScreen) -> Iterator[SystemCommand]:
    yield SystemCommand("Help", "How orders are given and the radio is used", partial(flight.read, "help"))
    yield SystemCommand("Briefing", "What you were told before the flight", partial(flight.read, "briefing"))
    yield SystemCommand("Pause or go on", "Stop time, or let it run again", flight.action_pause)
    yield SystemCommand("Cautions", "What this trainer is not", partial(flight.enter, "cautions"))
    offers = app.settings.suggestions
    yield SystemCommand(f"Suggestions {'off' if offers else 'on'}", "The same list of actions in every phase",
                        flight.action_offer)


def _faces(flight: FlightScreen) -> Iterator[SystemCommand]:
    from drill.cockpit.flying.panel_view import face_titles

    yield SystemCommand("Whole panel", "All instruments again", partial(flight.action_fill, ""))
    for code, name in face_titles():
        yield SystemCommand(f"Fill with {name}", "One instrument alone; once more: all of them",
                            partial(flight.action_fill, code))


def _flight(screen: Screen[Any]) -> FlightScreen | None:
    module = sys.modules.get("drill.cockpit.flying.screen")    # not loaded: nobody flies
    if module is None or not isinstance(screen, module.FlightScreen):
        return None
    flight: FlightScreen = screen
    return flight


def _take_pace(app: Cockpit, screen: Screen[Any], pace: Pace) -> None:
    app.remember(pace=pace)
    take = getattr(screen, "take_pace", None)    # of a flight, and of the briefing before it
    if take is not None:
        take(pace)
