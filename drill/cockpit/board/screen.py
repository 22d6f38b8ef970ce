"""The board: the scenarios there are to fly, and flights that wait to be finished. Gives nothing away unless asked.

It is the first screen: it paints empty, then reads the cards. Nothing heavy is imported for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Protocol, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Button, Footer, Input

from drill.cautions import CAUTIONS
from drill.clean import clean_line
from drill.cockpit.board.list_view import BoardList
from drill.cockpit.board.rows import (
    ANY,
    LENGTHS,
    ORDERS,
    Entry,
    Row,
    Wanted,
    airplanes,
    entries,
    length_words,
    nothing_here,
    rows,
    title_of,
)
from drill.cockpit.clean_input import CleanInput
from drill.cockpit.help import HelpPanel
from drill.cockpit.text import Words

if TYPE_CHECKING:
    from drill.scenario.cards import Card
    from drill.seat.journal import Attempt
    from drill.seat.record_glance import Glance

T = TypeVar("T")

LONGEST_SEARCH = 80
KEYS = (
    ("Enter", "brief the scenario, or go on with the flight; a double click does so too"),
    ("Up, Down", "point at another one"), ("letters", "seek a title"), ("F2, F3, F4", "airplane, length, order"),
    ("F6 twice", "what it trains: this gives the failure away"), ("Escape", "clear search and filters"),
    ("Ctrl+P", "all commands"), ("Ctrl+Q", "leave"),
)
FILTERS = Binding.Group("Filter")
"""Each has its name on its button; together they leave the footer room for the rest in 80 columns."""

MOST_GLANCES = 50
"""Of so many unfinished flights the records are looked at, the newest first: more are never listed at once."""

GIVES_AWAY = "What it trains (gives the failure away)"
ASK_AGAIN = "F6 again shows what it trains; it gives the failure away."


class Host(Protocol):
    """What the board asks of the app."""

    def brief(self, card: Card) -> None:
        """Show the briefing of a scenario."""

    def resume(self, record: Path) -> None:
        """Go on with an unfinished flight."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the board shows: the scenarios' cards, and the flights in the journal, oldest first.

    `glances`: at the records of unfinished flights. `wrong`: why the journal cannot be read or written, in words.
    """

    cards: Sequence[Card] = ()
    attempts: Sequence[Attempt] = ()
    glances: Mapping[Path, Glance] = field(default_factory=dict)
    wrong: str = ""


def known() -> Known:
    """Read the shipped scenarios' cards, the pilot's flights in the journal, and the ends of unfinished records."""
    from drill.cockpit.serve.mode import pilot, without_folders
    from drill.scenario.cards import cards  # with the parser of the documents, after the first paint
    from drill.seat.journal import attempts, why_not_kept
    from drill.seat.keeping import flights_folder
    from drill.seat.record_glance import glance

    folder = flights_folder()
    flown = attempts(folder, pilot())
    left = [attempt.record for attempt in flown if not attempt.ended][-MOST_GLANCES:]
    return Known(cards(), flown, {record: glance(record) for record in left}, without_folders(why_not_kept(folder)))


class Search(CleanInput):
    """The line in which a title is sought; up, down, page keys and Enter work in the list meanwhile."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "in_list('move(-1)')", "Up", show=False),
        Binding("down", "in_list('move(1)')", "Down", show=False),
        Binding("pageup", "in_list('page(-1)')", "Page up", show=False),
        Binding("pagedown", "in_list('page(1)')", "Page down", show=False),
        Binding("enter", "in_list('choose')", "Choose", key_display="enter"),
    ]

    async def action_in_list(self, action: str) -> None:
        """Do `action` in the list."""
        await self.screen.query_one(BoardList).run_action(action)


class BoardScreen(Screen[None]):
    """Lists scenarios by their board titles, with airplane, minutes and how each last went."""

    TITLE = "Scenarios"
    AUTO_FOCUS = "#search"
    HORIZONTAL_BREAKPOINTS = [(0, "-tight"), (76, "-narrow"), (120, "-wide")]  # noqa: RUF012 - the toolkit's own
    DEFAULT_CSS = """
    BoardScreen {
        background: $background;
        #title { height: 1; padding: 0 1; text-style: bold; background: $panel; color: $foreground; }
        #asked { height: auto; padding: 1 1; }
        #search { width: 1fr; margin-right: 1; background: $surface; }
        Button { width: auto; min-width: 8; margin-right: 1; }
        BoardList { margin: 0 1; }
        #nothing { display: none; height: 1fr; padding: 1 2; }
        &.-nothing #nothing { display: block; }
        &.-nothing BoardList { display: none; }
        HelpPanel { height: auto; max-height: 60%; border-top: solid $foreground 40%; }
        #foot { height: auto; padding: 0 1; }
        #told { height: auto; max-height: 8; padding: 0 1; margin: 1 1 0 1; display: none; }
        #told { border-left: thick $warning; }
        &.-told #told { display: block; }
        #wrong { height: auto; max-height: 3; padding: 0 1; margin: 0 1; display: none; border-left: thick $warning; }
        &.-wrong #wrong { display: block; }
        #cautions { height: auto; padding: 0 1; color: $foreground; border-top: solid $foreground 40%; }
        Footer.-compact FooterLabel { margin-right: 1; }
        &.-narrow #asked, &.-tight #asked { padding: 0 1; }
        &.-narrow #cautions, &.-tight #cautions { border: none; color: $foreground 80%; }
        &.-narrow #told, &.-tight #told { margin: 0 1; }
        &.-tight FooterKey.-command-palette { display: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "choose", "Choose", key_display="enter"),
        Binding("f1", "help", "Help"),
        Binding("ctrl+q", "app.quit", "Leave", priority=True),
        Binding("f2", "next_airplane", "Airplane", group=FILTERS),
        Binding("f3", "next_length", "Length", group=FILTERS),
        Binding("f4", "next_order", "Sort", group=FILTERS),
        Binding("f6", "trains", "Trains"),
        Binding("escape", "all", "All"),
    ]

    def __init__(self, read: Callable[[], Known] = known, *, today: Callable[[], date] | None = None) -> None:
        super().__init__()
        self._read = read
        self._today = today or date.today
        self._known = Known()
        self._entries: list[Entry] = []
        self._wanted = Wanted()
        self._is_read = False
        self._asked_trains: Path | None = None    # the scenario of which it has been asked once

    def compose(self) -> ComposeResult:
        """Lay the board out, empty."""
        yield Words("Scenarios", id="title")
        with Horizontal(id="asked"):
            yield Search(placeholder="Search by title", most=LONGEST_SEARCH, id="search")
            yield Button("", id="airplane", compact=True)
            yield Button("", id="length", compact=True)
            yield Button("", id="order", compact=True)
        yield BoardList(id="list")
        yield Words("", id="nothing")
        yield Words("", id="wrong")
        yield Words("", id="told")
        with Horizontal(id="foot"):
            yield Button(Content(f"[{GIVES_AWAY}]"), id="trains", compact=True)
        yield Words(" ".join(CAUTIONS), id="cautions")
        yield Footer(show_command_palette=True, compact=True)

    def on_mount(self) -> None:
        """Paint first, read afterwards."""
        self._label()
        self.call_after_refresh(self.read_again)

    def on_screen_resume(self) -> None:
        """Read the journal again: a flight may have been flown meanwhile."""
        if self._is_read:
            self.read_again()

    def read_again(self) -> None:
        """Read cards and journal, and show them."""
        self._is_read = True
        self._known = self._read()
        self._entries = entries(self._known.cards, self._known.attempts, self._today())
        self.query_one("#wrong", Words).say(clean_line(self._known.wrong))
        self.set_class(bool(self._known.wrong), "-wrong")
        self._show()

    # --- what is asked ------------------------------------------------------------------------------

    @on(Input.Changed, "#search")
    def seek(self, event: Input.Changed) -> None:
        """Seek as the pilot types."""
        if self._is_read:
            self._want(replace(self._wanted, words=clean_line(event.value)))

    @on(Button.Pressed, "#airplane")
    def action_next_airplane(self) -> None:
        """Filter by the next airplane, then by none."""
        self._want(replace(self._wanted, airplane=_after(self._wanted.airplane, (ANY, *airplanes(self._entries)))))

    @on(Button.Pressed, "#length")
    def action_next_length(self) -> None:
        """Filter by the next length, then by none."""
        self._want(replace(self._wanted, length=_after(self._wanted.length, LENGTHS)))

    @on(Button.Pressed, "#order")
    def action_next_order(self) -> None:
        """Sort the other way."""
        self._want(replace(self._wanted, order=_after(self._wanted.order, ORDERS)))

    def action_all(self) -> None:
        """Clear search and filters."""
        self.query_one("#search", Input).value = ""
        self._want(Wanted(order=self._wanted.order))

    def action_choose(self) -> None:
        """Choose the row pointed at."""
        self.query_one(BoardList).action_choose()

    @on(BoardList.Chosen)
    def chosen(self, event: BoardList.Chosen) -> None:
        """Brief the scenario chosen, or go on with the flight chosen."""
        host = cast("Host", self.app)
        if event.row.record is not None:
            host.resume(event.row.record)
        elif event.row.card is not None:
            host.brief(event.row.card)

    async def action_help(self) -> None:
        """Show the help, or hide it again."""
        if shown := self.query(HelpPanel):
            await shown.remove()
        else:
            await self.mount(HelpPanel("board", KEYS), before="#told")

    # --- what it trains -----------------------------------------------------------------------------

    @on(Button.Pressed, "#trains")
    def action_trains(self) -> None:
        """Show what the scenario pointed at trains when asked a second time, or hide it again."""
        asked_before, self._asked_trains = self._asked_trains, None
        if self.has_class("-trains"):
            self._told()
            return
        row = self.query_one(BoardList).row
        card = None if row is None else row.card
        if card is None or card.problem:
            self._told("Point at a scenario first: what it trains is shown for one at a time.")
            return
        if asked_before != card.path:
            self._told(ASK_AGAIN)
            self._asked_trains = card.path
            return
        self._told(trains_words(card))
        self.add_class("-trains")

    @on(BoardList.At)
    def pointed(self, event: BoardList.At) -> None:
        """Hide what another scenario trains; say in full why one cannot be read."""
        self._asked_trains = None
        card = None if event.row is None else event.row.card
        self._told(f"Cannot be read: {card.problem}" if card is not None and card.problem else "")

    def _told(self, words: Content | str = "") -> None:
        self.remove_class("-trains")
        self.query_one("#told", Words).say(words)
        self.set_class(bool(words), "-told")

    # --- showing ------------------------------------------------------------------------------------

    def _want(self, wanted: Wanted) -> None:
        if wanted != self._wanted:
            self._wanted = wanted
            self._show()

    def _show(self) -> None:
        self._label()
        nothing = nothing_here(self._entries, self._wanted)
        lines: list[Row] = rows(self._entries, self._known.attempts, self._wanted, self._today(), self._known.glances)
        self.query_one(BoardList).show(lines)
        self.query_one("#nothing", Words).say(nothing)
        self.set_class(bool(nothing) and not lines, "-nothing")
        found = sum(1 for line in lines if line.card is not None)
        words = f"Scenarios: {found}" + (f" of {len(self._entries)}" if found != len(self._entries) else "")
        self.query_one("#title", Words).say(words if not nothing or not lines else f"{words}. {nothing}")

    def _label(self) -> None:
        for name, words in (
            ("airplane", f"[Airplane: {self._wanted.airplane}]"),
            ("length", f"[Length: {length_words(self._wanted.length)}]"),
            ("order", f"[By {self._wanted.order}]"),
        ):
            button = self.query_one(f"#{name}", Button)
            if str(button.label) != words:
                button.label = Content(words)
                button.refresh(layout=True)     # its width follows the words


def trains_words(card: Card) -> Content:
    """Return what a scenario trains, with a warning in front."""
    parts: list[str | tuple[str, str]] = [
        ("This gives the failure away. ", "bold"), f"{title_of(card)} trains: {card.title}."
    ]
    if card.aim:
        parts.append(f"\nAim: {card.aim}")
    if card.covers:
        parts.append(f"\nCovers: {', '.join(card.covers)}")
    return Content.assemble(*parts)


def _after(now: T, choices: Sequence[T]) -> T:
    return choices[(choices.index(now) + 1) % len(choices)] if now in choices else choices[0]
