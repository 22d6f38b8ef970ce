"""The briefing: all that a pilot would know before the flight, and what can be chosen for it. Gives nothing away."""

from __future__ import annotations

import asyncio
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Protocol, cast

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.geometry import Size
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Button, Footer, Input, RadioButton, RadioSet

from drill.cautions import CAUTIONS
from drill.clean import clean_line
from drill.cockpit.briefing import words as said
from drill.cockpit.briefing.sketch import sketch, sketch_words
from drill.cockpit.clean_input import CleanInput
from drill.cockpit.help import HelpPanel
from drill.cockpit.settings import Settings
from drill.cockpit.strips import Strips
from drill.cockpit.text import Words
from drill.cockpit.themes import ink_of
from drill.seat.pace import PACE_WORDS, PACES, Pace
from drill.seat.seeds import MOST_DIGITS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from drill.scenario.model import Scenario
    from drill.scenario.problems import Problem


KEYS = (
    ("enter", "begin the flight"), ("f2", "the next pace"), ("f4", "type a seed: the same one gives the same flight"),
    ("up, down", "read on"), ("tab", "from one thing to the next"), ("escape", "back to the board"),
)


WAIT_S = 0.4
"""Who waits no longer than this for the scenario is told nothing of it."""
MOST_WARNINGS = 20


class Host(Protocol):
    """What the briefing asks of the app. It may have `warnings` about the file that it was started with."""

    settings: Settings

    def remember(self, **changes: object) -> None:
        """Keep changed settings."""

    def fly(self, scenario: Scenario, pace: Pace, seed: int | None) -> None:
        """Begin the flight; without a seed one is drawn."""


class SketchView(Strips):
    """Draws the sketch as large as it is wide, in the colours of the theme."""

    DEFAULT_CSS = "SketchView { height: auto; }"

    def __init__(self, scenario: Scenario, *, plain: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._scenario = scenario
        self._plain = plain

    def on_mount(self) -> None:
        """Draw again when the theme is another one."""
        self.app.theme_changed_signal.subscribe(self, lambda _theme: self._draw())

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002 - the toolkit's
        """Return a height that the width allows, and that leaves the whole sketch in sight at once."""
        return max(12, min(24, width * 3 // 8, viewport.height - 8))

    def on_resize(self) -> None:
        """Draw at the new size."""
        self._draw()

    def draw_plain(self, plain: bool) -> None:
        """Draw in ASCII characters from now on, or with all that there are."""
        self._plain = plain
        self._draw()

    def _draw(self) -> None:
        if self.size:
            ink = ink_of(self.app.theme_variables)
            self.put(sketch(self._scenario, *self.size, ink, plain=self._plain))


class Choice(RadioButton):
    """A choice whose state is a shape, not only a color."""

    @property
    def _button(self) -> Content:
        return Content("(*)" if self.value else "( )")


class Page(VerticalScroll):
    """The briefing's text, scrolled by keys; Enter in it begins the flight."""


class BriefingScreen(Screen[None]):
    """Briefs one scenario, given as loaded or as the path of its file, which is then read after the first paint.

    `title` is shown meanwhile; `pace` and `seed` stand there at first; `plain` draws in ASCII characters. What is None
    is as the app's settings have it.
    """

    TITLE = "Briefing"
    AUTO_FOCUS = "#page"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (120, "-wide")]  # noqa: RUF012 - the toolkit's own
    DEFAULT_CSS = """
    BriefingScreen {
        background: $background;
        #title { height: 1; padding: 0 1; text-style: bold; background: $panel; color: $foreground; }
        Page { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        Page > * { margin-right: 1; }
        .columns { height: auto; layout: vertical; }
        .columns > Vertical { height: auto; width: 1fr; }
        &.-wide .columns, .both { layout: horizontal; }
        &.-wide .columns > Vertical:first-child, .both > Vertical:first-child { margin-right: 3; }
        .head { color: $accent; text-style: bold; margin-top: 1; height: 1; }
        .caution { height: auto; }
        SketchView { margin-top: 1; }
        #problems { height: auto; margin-top: 1; }
        #choose { height: 4; padding: 0 1; border-top: solid $foreground 40%; border-title-color: $foreground;
            border-title-align: left; }
        RadioSet { width: 53; border: none; padding: 0; height: 3; background: $background; }
        RadioSet:focus { border: none; }
        RadioSet:blur > Choice.-selected > .toggle--label { background: transparent; color: $foreground; }
        #begin { background: $primary; color: $background; }
        #begin:disabled { background: $panel; color: $foreground; }
        HelpPanel { height: auto; max-height: 60%; border-top: solid $foreground 40%; }
        #more { width: 1fr; height: 3; padding-left: 3; }
        #seeds { height: 1; }
        #seeds Words { width: 6; }
        #seed { width: 13; background: $surface; }
        #wrong { height: 1; color: $error; }
        #buttons { height: 1; }
        Button { width: auto; min-width: 9; margin-right: 2; }
        &.-unfit #choose { display: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "begin", "Begin", key_display="enter"),
        Binding("f5", "begin", "Begin"),
        Binding("f1", "help", "Help"),
        Binding("f2", "next_pace", "Pace"),
        Binding("f4", "seed", "Seed", priority=True),    # before the digits that follow at once
        Binding("escape,f10", "back", "Board"),
    ]

    def __init__(
        self, scenario: Scenario | Path, *, title: str = "", pace: Pace | None = None, seed: int | None = None,
        plain: bool | None = None,
    ) -> None:
        super().__init__()
        self._source = scenario
        self._scenario: Scenario | None = None
        self._at_first = clean_line(title)
        self._asked_pace, self._asked_plain = pace, plain
        self._pace: Pace = pace or "held"
        self._plain = bool(plain)
        self._early = "" if seed is None else str(seed)    # what the seed is before there is a line for it
        self._to_seed = False

    @property
    def pace(self) -> Pace:
        """The pace chosen."""
        return self._pace

    def compose(self) -> ComposeResult:
        """Lay out what is there before the scenario is read."""
        settings: Settings = getattr(self.app, "settings", None) or Settings()
        self._pace = self._asked_pace or settings.pace
        self._plain = settings.plain_faces if self._asked_plain is None else self._asked_plain
        yield Words(self._at_first, id="title")
        with Page(id="page"):
            yield Words("", id="reading")
        with Horizontal(id="choose") as choose:
            choose.border_title = said.NO_GRADE
            with RadioSet(id="pace"):
                for name, meaning in PACE_WORDS.items():
                    yield Choice(Content(f"{name}: {meaning}"), name == self._pace, id=f"pace-{name}")
            with Vertical(id="more"):
                with Horizontal(id="seeds"):
                    yield Words("Seed")
                    yield CleanInput(
                        self._early, most=MOST_DIGITS, placeholder="random", restrict="[0-9]*", id="seed",
                    )
                yield Words("", id="wrong")
                with Horizontal(id="buttons"):
                    yield Button(Content("[Begin]"), variant="primary", compact=True, id="begin", disabled=True)
                    yield Button(Content("[Back]"), compact=True, id="back")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Paint first, read afterwards."""
        if self._to_seed:
            self.action_seed()
        if isinstance(self._source, Path):
            self.set_timer(WAIT_S, self._say_reading)
            self.call_after_refresh(self.run_worker, partial(self._read, self._source), exclusive=True)
        else:
            self.call_after_refresh(self._brief, self._source)

    async def _read(self, path: Path) -> None:
        """Load the scenario, in a thread: its checker alone takes half a second to import."""
        from drill.scenario.problems import DocumentError

        try:
            scenario = await asyncio.to_thread(_load, path)
        except DocumentError as error:
            await self._refuse(error.problems)
        else:
            await self._brief(scenario)

    def _say_reading(self) -> None:
        """Say what is waited for, unless it is there."""
        for words in self.query("#reading").results(Words):
            words.say("Reading the scenario ...")

    @property
    def _stands(self) -> bool:
        """Whether the parts of the screen are there: not while it is taken away."""
        return self.is_attached and self.display    # of one that is going it is False

    async def _refuse(self, problems: tuple[Problem, ...]) -> None:
        if not self._stands:
            return
        self.add_class("-unfit")
        page = self.query_one(Page)
        await page.remove_children()
        if self._stands:
            await page.mount(Words(said.problem_lines(problems), id="problems"))

    async def _brief(self, scenario: Scenario) -> None:
        if not self._stands:
            return
        self._scenario = scenario
        self.query_one("#title", Words).say(f"Briefing: {scenario.board_title}")
        page = self.query_one(Page)
        await page.remove_children()
        if self._stands:
            self.query_one("#begin", Button).disabled = False
            await page.mount(*self._cautions(scenario), *self._warnings(), *self._sections(scenario))

    def _cautions(self, scenario: Scenario) -> list[Widget]:
        return [Words(caution, classes="caution") for caution in (*CAUTIONS, *scenario.cautions)]

    def _warnings(self) -> list[Widget]:
        """Return what the checker warns the author of, who flies a file of his own."""
        warnings: Sequence[str] = () if isinstance(self._source, Path) else getattr(self.app, "warnings", ())
        if not warnings:
            return []
        head = "For its author: a warning" if len(warnings) == 1 else f"For its author: {len(warnings)} warnings"
        return [_head(head), *(Words(clean_line(warning), classes="caution") for warning in warnings[:MOST_WARNINGS])]

    def _sections(self, scenario: Scenario) -> list[Widget]:
        from drill.seat.briefing import hands

        return [
            Horizontal(
                Vertical(
                    *_section("Situation", said.situation(scenario)),
                    *_section("Clearance", said.clearance(scenario)),
                    *_section("Who flies", Content(hands(scenario))),
                ),
                Vertical(SketchView(scenario, plain=self._plain, id="sketch")),
                classes="columns",
            ),
            Horizontal(
                Vertical(*_section("Weather, in plain words", said.weather_in_words(scenario))),
                Vertical(*_section("Weather, coded", said.weather_in_code(scenario))),
                classes="columns both",
            ),
            Horizontal(
                Vertical(*_section("Fields", said.fields(scenario))),
                Vertical(*_section("The sketch in words", Content("\n".join(sketch_words(scenario))))),
                classes="columns",
            ),
        ]

    # --- what is chosen -----------------------------------------------------------------------------

    @on(RadioSet.Changed, "#pace")
    def pace_chosen(self, event: RadioSet.Changed) -> None:
        """Keep the pace chosen, for the next flight too."""
        self._pace = PACES[event.radio_set.pressed_index]
        host = cast("Host", self.app)
        if host.settings.pace != self._pace:
            host.remember(pace=self._pace)

    def action_next_pace(self) -> None:
        """Choose the next pace."""
        self.take_pace(PACES[(PACES.index(self._pace) + 1) % len(PACES)])

    def take_pace(self, pace: Pace) -> None:
        """Choose `pace`, as if it had been pressed."""
        self.query_one(f"#pace-{pace}", Choice).value = True

    def action_seed(self) -> None:
        """Go to the seed."""
        self._to_seed = True
        for line in self.query("#seed").results(Input):
            self.set_focus(line)    # at once: digits may wait behind this key

    def on_key(self, event: events.Key) -> None:
        """Take digits for the seed, wherever they are typed."""
        digit = event.character or ""
        if not (digit.isascii() and digit.isdigit()):
            return
        self.action_seed()
        for line in self.query("#seed").results(Input):
            line.insert_text_at_cursor(digit)
            return
        self._early = (self._early + digit)[:MOST_DIGITS]

    @on(Button.Pressed, "#begin")
    @on(Input.Submitted, "#seed")
    def action_begin(self) -> None:
        """Begin the flight, unless the scenario cannot be flown or the seed is none."""
        if self._scenario is None:
            return
        try:
            seed = said.seed_of(self.query_one("#seed", Input).value)
        except ValueError as error:
            self.query_one("#wrong", Words).say(str(error))
            return
        self.query_one("#wrong", Words).say("")
        cast("Host", self.app).fly(self._scenario, self._pace, seed)

    def draw_plain(self, plain: bool) -> None:
        """Draw the sketch in ASCII characters from now on, or with all that there are."""
        self._plain = plain
        for view in self.query(SketchView):
            view.draw_plain(plain)

    async def action_help(self) -> None:
        """Show the help, or hide it again."""
        if shown := self.query(HelpPanel):
            await shown.remove()
        else:
            await self.mount(HelpPanel("briefing", KEYS), before="#choose")

    @on(Button.Pressed, "#back")
    def action_back(self) -> None:
        """Go back to where this was asked for."""
        self.dismiss()


def _load(path: Path) -> Scenario:
    from drill.scenario import load

    return load(path)


def _head(words: str) -> Words:
    return Words(words, classes="head")


def _section(head: str, body: Content) -> list[Widget]:
    return [_head(head), Words(body)]
