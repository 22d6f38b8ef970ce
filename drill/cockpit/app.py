"""The cockpit: the app that the screens stand in. Light: what flying needs is imported when somebody flies."""

from __future__ import annotations

import asyncio
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.filter import LineFilter
from textual.screen import Screen

from drill.clean import MAX_LINE, MAX_MARKS, clean
from drill.cockpit.ending import EndingApp
from drill.cockpit.plain_lines import PLAIN_LINES, draw_again
from drill.cockpit.serve.mode import served, without_folders
from drill.cockpit.settings import Settings, load, save
from drill.cockpit.start import Again, Fly, Resume, Start
from drill.cockpit.themes import THEMES, next_theme

if TYPE_CHECKING:
    from textual.command import Provider

    from drill.cockpit.starting import Ready
    from drill.scenario.cards import Card
    from drill.scenario.model import Scenario
    from drill.seat.pace import Pace, PaceClock
    from drill.seat.run import Run

BEGINNING = "Beginning the flight ..."
REWINDING = "Rewinding the flight ..."
TAKING_UP = "Taking the flight up again ..."
GIVEN_UP = "The flight was left before it began; nothing of it is kept."
NOT_TAKEN_UP = "The flight was left before it was taken up again."


def _own_commands() -> type[Provider]:
    from drill.cockpit.palette import Commands

    return Commands


class Ground(Screen[None]):
    """The empty screen below all others. Whoever comes back to it has left the last of them."""

    _built_on = False

    def on_screen_suspend(self) -> None:
        """Another screen stands on this one from now on."""
        self._built_on = True

    def on_screen_resume(self) -> None:
        """Leave, unless the first screen is yet to come."""
        if self._built_on and self.is_current:
            self.app.exit(0)


class Cockpit(EndingApp):
    """Screens one on top of the other: board, briefing, flight, questions, debrief.

    `settings` are the pilot's as they hold now. After `close`, `given_up` says in words that a flight was left before
    it began. With `timed` false no flight time passes by itself.
    """

    TITLE = "drill"
    COMMANDS = {_own_commands}  # noqa: RUF012 - typed by the base class
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "Leave", show=False, priority=True),
        Binding("ctrl+c", "help_quit", show=False, system=True),
        Binding("ctrl+p", "command_palette", "Commands", show=False, priority=True),
    ]
    CSS = """
    CommandPalette { background: transparent; align-horizontal: right; }
    CommandPalette > Vertical { width: 42; margin-top: 2; background: $panel; }
    CommandPalette SearchIcon { display: none; }
    CommandPalette #--input { border: none; padding-left: 1; }
    CommandPalette CommandList { max-height: 60vh; border-top: none; }
    CommandPalette > .command-palette--help-text { color: $text-muted; text-style: not bold; }
    """

    def __init__(self, start: Start, settings: Settings, *, timed: bool = True, keeps: bool = True) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        for name in list(self.available_themes):
            if name not in {theme.name for theme in THEMES}:
                self.unregister_theme(name)
        self.settings = settings
        self.warnings: list[str] = []
        self.given_up = ""
        self._asked = start
        self._timed = timed
        self._keeps = keeps
        self._asking: set[Screen[Any]] = set()    # each has a flight being made ready
        self._made: list[Ready] = []              # and not shown yet
        self._marks = 0    # typed one after the other on one letter
        self._scenario: Scenario | Path | None = None
        self._flight: Ready | None = None
        self._paces: dict[Path, PaceClock] = {}   # of the flights flown here, by their records
        self._noted: Screen[Any] | None = None    # the screen that notes are shown on
        self.theme = settings.theme
        self._calm()

    # --- coming and going ---------------------------------------------------------------------------

    def prepare(self) -> None:
        """Look at what the start names before the screen is taken. Raises asked_for.CannotBegin."""
        match self._asked:
            case Fly(scenario=name, record=record, phase=phase):
                from drill.seat import asked_for

                asked_for.check_record(record)
                self._scenario, self.warnings = asked_for.source_of(name, phase)
            case Resume(record=record, pace=pace):
                from drill.cockpit import starting

                self._flight = starting.take_up(record, pace=pace or self._pace)
            case Again(record=record, at_s=at_s, pace=pace, new_record=new_record):
                from drill.cockpit import starting

                self._flight = starting.fly_again(record, at_s, pace=pace or self._pace, record=new_record)

    def on_mount(self) -> None:
        """Show the first screen."""
        self.screen_change_signal.subscribe(self, self._drop_notes)
        if self._flight is not None:
            self._show_flight(self._flight, instead=False)
        elif self._scenario is not None:
            self._show_briefing(self._scenario)
        else:
            from drill.cockpit.board.screen import BoardScreen

            self.push_screen(BoardScreen())

    def get_default_screen(self) -> Screen[None]:
        """Return the empty screen that all others stand on."""
        return Ground(id="_default")

    def note_where(self) -> None:
        """Remember the record of a flight that is cut off."""
        ready = self._flight
        if ready is not None and not ready.sitting.ended:
            self.left = ready.path

    async def on_event(self, event: events.Event) -> None:
        """Clean what is typed and pasted before any widget has it; the toolkit's own lines show all as it comes."""
        if isinstance(event, events.Paste):
            event = events.Paste(clean(event.text, limit=10 * MAX_LINE))
        elif isinstance(event, events.Key) and event.is_printable:
            typed = event.character or ""
            self._marks = self._marks + 1 if unicodedata.category(typed) in ("Mn", "Me") else 0
            if not clean(typed) or self._marks > MAX_MARKS:
                return
        await super().on_event(event)

    async def action_quit(self) -> None:
        """Leave the screen in front as it wants to be left, or the program. The palette only gives way."""
        if isinstance(self.screen, CommandPalette):
            self.screen.dismiss()
        leave = getattr(self.screen, "action_leave", None)
        if leave is not None:
            leave()
        else:
            self.note_where()
            self.exit()

    def action_help_quit(self) -> None:
        """Say how the program is left."""
        say = getattr(self.screen, "say", None)
        words = "Ctrl+Q leaves. Nothing is lost: a flight can be flown on."
        if say is not None:
            say(words)
        else:
            self.notify(words, markup=False)

    # --- from screen to screen ----------------------------------------------------------------------

    def brief(self, card: Card) -> None:
        """Show the briefing of a scenario from the board."""
        self._show_briefing(card.path, card.board_title)

    def _show_briefing(self, scenario: Scenario | Path, title: str = "") -> None:
        from drill.cockpit.briefing.screen import BriefingScreen

        asked = self._asked if isinstance(self._asked, Fly) else Fly("")
        self.push_screen(BriefingScreen(scenario, title=title, pace=asked.pace or self._pace, seed=asked.seed,
                                        plain=self.settings.plain_faces))

    def fly(self, scenario: Scenario, pace: Pace, seed: int | None) -> None:
        """Begin a flight in place of its briefing. Without a seed take the start's, or draw one."""
        asked = self._asked if isinstance(self._asked, Fly) else Fly("")

        def begin() -> Ready:
            from drill.cockpit import starting

            return starting.begin(scenario, seed=asked.seed if seed is None else seed, pace=pace, record=asked.record)

        self._make_ready(begin, BEGINNING, instead=True)

    def resume(self, record: Path) -> None:
        """Go on with an unfinished flight; if there is nothing of it left to fly, show its debrief."""
        def take_up() -> Ready:
            from drill.cockpit import starting

            return starting.take_up(record, pace=self._pace)

        self._make_ready(take_up, TAKING_UP, instead=False, record=record)

    def fly_again(self, record: Path, at_s: float) -> None:
        """Fly a debriefed flight another way from `at_s` (s) on, above its debrief, which waits meanwhile."""
        def begin_again() -> Ready:
            from drill.cockpit import starting

            flown = self._paces.get(record)
            return starting.fly_again(record, at_s, pace=self._pace if flown is None else flown.pace)

        self._make_ready(begin_again, REWINDING, instead=False)

    def _make_ready(self, make: Callable[[], Ready], words: str, *, instead: bool, record: Path | None = None) -> None:
        """Show the flight that `make` gives, which may take a while. A screen that asks twice begins once."""
        asking = self.screen
        if asking not in self._asking:
            self._asking.add(asking)
            self.notify(words, markup=False)
            self.run_worker(self._begun(make, asking, instead=instead, record=record))

    async def _begun(
        self, make: Callable[[], Ready], asking: Screen[Any], *, instead: bool, record: Path | None
    ) -> None:
        from drill.seat.asked_for import CannotBegin, NothingToFly

        try:
            ready = await asyncio.to_thread(self._keep, make)
        except NothingToFly as error:
            self._debrief(asking, record, str(error))
            return
        except CannotBegin as error:
            self.clear_notifications()
            self.say_mistake(str(error))
            return
        finally:
            self._asking.discard(asking)
        self.clear_notifications()
        if self._in_front(asking):
            self._made.remove(ready)
            self._show_flight(ready, instead=instead)
        else:
            self.notify(self._give_up(ready), markup=False)

    def _keep(self, make: Callable[[], Ready]) -> Ready:
        """Make a flight ready, in a thread: it outlives an app that is left meanwhile, and `close` has to find it."""
        ready = make()
        self._made.append(ready)
        return ready

    def _in_front(self, asking: Screen[Any]) -> bool:
        """Say whether `asking` is still what the user looks at; the palette gives way."""
        if isinstance(self.screen, CommandPalette) and self.screen_stack[-2] is asking:
            self.screen.dismiss()
        return self.screen is asking

    def _give_up(self, ready: Ready) -> str:
        """Undo what was made ready for a screen that has been left, and return words about it."""
        self._made.remove(ready)
        ready.give_up()
        return GIVEN_UP if ready.new else NOT_TAKEN_UP

    def _show_flight(self, ready: Ready, *, instead: bool) -> None:
        """Show a flight, `instead` of the screen in front."""
        from drill.cockpit.flying.order_history import OrderHistory, history_path
        from drill.cockpit.flying.screen import FlightScreen

        if self._flight is not ready:
            self.close_record()
        self._flight = ready
        self._paces[ready.path] = ready.sitting.clock
        self.left = None
        history = OrderHistory(history_path() if self._keeps and not served() else None)
        screen = FlightScreen(ready.sitting, ready.path, ready.first, history=history, timed=self._timed)
        if instead:
            self.switch_screen(screen)
        else:
            self.push_screen(screen)

    def _debrief(self, asking: Screen[Any], record: Path | None, why: str) -> None:
        """Show the debrief of a flight that cannot be flown on, above the screen that asked for it."""
        from drill.cockpit.debrief.screen import DebriefScreen

        self.clear_notifications()
        if record is not None and self._in_front(asking):
            self.push_screen(DebriefScreen(record))
            self.notify(why, markup=False)

    def flight_over(self, run: Run, record_path: Path) -> None:
        """Go on to the questions, which give way to the debrief; leaving that leads back to where the flight began."""
        from drill.cockpit.debrief.questions import QuestionsScreen

        self.switch_screen(QuestionsScreen(run, record_path))

    def to_board(self) -> None:
        """Leave a debrief: back to where the flight began."""
        self.close_record()
        self.pop_screen()

    def flight_left(self, record_path: Path) -> None:
        """Leave a flight that can be flown on: to the board if it began there, otherwise altogether."""
        self.close_record()
        self.left = record_path
        self.pop_screen()

    def close(self) -> None:
        """Close what is open after the app has ended; a flight that nobody came to fly is given up."""
        for ready in list(self._made):
            self.given_up = self._give_up(ready)
        self.close_record()

    def close_record(self) -> None:
        """Close the record of the last flight; a second time does nothing."""
        if self._flight is not None:
            self._flight.recorder.close()
            self._flight = None

    def say_mistake(self, words: str) -> None:
        """Say what is wrong where the user is; with no screen to go back to, leave with it."""
        if len(self.screen_stack) > 1:
            self.notify(words, title="This cannot be flown", severity="error", timeout=15, markup=False)
        else:
            self.stop_with(words)

    # --- settings -----------------------------------------------------------------------------------

    def remember(self, **changes: Any) -> None:
        """Change settings now, and keep just these for the next start."""
        self.settings = replace(self.settings, **changes)
        if "pace" in changes:
            self._paces.clear()
        if self._keeps:
            save(replace(load(), **changes))

    def action_next_theme(self) -> None:
        """Go on to the next theme."""
        self.take_theme(next_theme(self.theme))

    def take_theme(self, name: str) -> None:
        """Show everything in another theme from now on."""
        self.theme = name
        self.remember(theme=name)

    def take_motion(self, reduced: bool) -> None:
        """Let little move on the screen from now on, or as much as there is to see."""
        self.remember(reduced_motion=reduced)
        self._calm()

    def take_plain_faces(self, plain: bool) -> None:
        """Draw the instruments with ASCII characters from now on, or with all that there are."""
        self.remember(plain_faces=plain)
        draw = getattr(self.screen, "draw_plain", None)
        if draw is not None:
            draw(plain)
        for screen in self.screen_stack:
            draw_again(screen)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return what goes over every line that is drawn."""
        return [*super().get_line_filters(), *([PLAIN_LINES] if self.settings.plain_faces else [])]

    async def leave(self) -> None:
        """Leave as Ctrl+Q does."""
        await self.action_quit()

    def _calm(self) -> None:
        self.animation_level = "none" if self.settings.reduced_motion else "basic"

    @property
    def _pace(self) -> Pace:
        return self.settings.pace

    # --- commands -----------------------------------------------------------------------------------

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """Yield the palette's commands: the cockpit's own, and nothing of the toolkit's."""
        from drill.cockpit.palette import commands

        return commands(self, screen)

    def notify(self, message: str, **options: Any) -> None:
        """Say something at the edge of the screen, literally, and only once at a time."""
        words = without_folders(message)
        for said in [each for each in self._notifications if each.message == words]:
            self._unnotify(said, refresh=False)
        super().notify(words, **{**options, "markup": False})

    def _drop_notes(self, screen: Screen[Any]) -> None:
        """Take notes away with the screen that they were about; the palette comes and goes between."""
        if screen is not self._noted and not isinstance(screen, CommandPalette):
            self._noted = screen
            self.clear_notifications()
