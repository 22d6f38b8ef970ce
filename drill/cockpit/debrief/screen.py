"""The debrief: how it ended and what to work on, the flight's moments along a line of time, findings, answers."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.screen import Screen
from textual.widgets import Footer, OptionList
from textual.widgets.option_list import Option

from drill.cockpit.debrief import pages
from drill.cockpit.debrief.again_bar import AgainBar
from drill.cockpit.debrief.grading_apart import Grading, GradingError
from drill.cockpit.debrief.lanes_view import LanesView
from drill.cockpit.debrief.pieces import Told, with_answers
from drill.cockpit.debrief.plots_view import PlotsView, PlotView
from drill.cockpit.debrief.save_bar import SaveBar
from drill.cockpit.debrief.saving import write_debrief, write_sides
from drill.cockpit.debrief.section_tab import SectionTab
from drill.cockpit.debrief.sections import KEYS, SECTIONS
from drill.cockpit.debrief.sides_view import SidesView
from drill.cockpit.debrief.timeline import LEGEND, Moment, nearest
from drill.cockpit.help import HelpPanel
from drill.cockpit.text import Words

if TYPE_CHECKING:
    from drill.cockpit.debrief.panel import ThenPanel
    from drill.paper.kinds import Kind


class DebriefScreen(Screen[None]):
    """The debrief of `record`, graded by `grading` if that has begun already, with `answers` just given.

    Stands alone: with nothing but a path it reads and grades by itself. Dismissed when the pilot leaves.
    """

    DEFAULT_CSS = """
    DebriefScreen {
        background: $background;
        #title { height: 1; padding: 0 1; text-style: bold; background: $panel; text-wrap: nowrap;
                 text-overflow: ellipsis; }
        #tabs { height: 1; }
        SectionTab { width: auto; padding: 0 1; pointer: pointer; }
        SectionTab.-chosen { text-style: bold reverse; }
        HelpPanel { display: none; height: 1fr; }
        &.-helping HelpPanel { display: block; }
        &.-helping #sections, &.-waiting #sections { display: none; }
        #wait { padding: 1 2; height: auto; }
        #sections, #timeline { height: 1fr; }
        #overview, #findings, #answers { padding: 0 2; scrollbar-size-vertical: 1; }
        #opening, #closing, #found, #answered, #score, #work { height: auto; width: 1fr; max-width: 104; }
        #columns { height: auto; layout: vertical; }
        #score, #work { margin-bottom: 1; }
        &.-narrow SectionTab { padding: 0; }
        #lanes { height: 7; padding: 0 1; }
        #legend { display: none; height: auto; padding: 0 1; color: $text-muted; }
        #moment { layout: vertical; height: 1fr; }
        #moments { height: 5; max-height: 5; padding: 0; border: none; background: $surface; text-wrap: nowrap;
                   text-overflow: ellipsis; scrollbar-size-vertical: 1; }
        #beside { layout: vertical; height: 1fr; width: 1fr; }
        #details { height: 1fr; width: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        #details:focus { background: $surface; }
        #what { height: auto; width: 1fr; max-width: 96; }
        #note { display: none; height: auto; padding: 0 1; }
        #caution { height: 1; padding: 0 1; color: $text-muted; }
        &.-tall #legend { display: block; }
        &.-tall #moments { height: 10; max-height: 10; }
        &.-wide #moment, &.-full #moment { layout: horizontal; }
        &.-wide #moments { width: 44; height: 1fr; max-height: 100%; }
        &.-full #moments { width: 52; height: 1fr; max-height: 100%; }
        &.-full.-tall #beside { layout: horizontal; }
        &.-wide #columns, &.-full #columns { layout: horizontal; }
        &.-wide #score, &.-full #score { width: 40; margin-right: 2; }
    }
    """
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide"), (140, "-full")]  # noqa: RUF012 - typed by the base class
    VERTICAL_BREAKPOINTS = [(0, "-short"), (34, "-tall")]  # noqa: RUF012 - typed by the base class
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "Help", priority=True),
        *(Binding(f"{key.lower()},{place}", f"section('{name}')", title, show=False)
          for place, (name, key, title) in enumerate(SECTIONS[:-1], 1)),
        Binding("f6", "again", "Fly again"),
        Binding("f7,6", "sides", "Side by side", show=False, priority=True),
        Binding("f8,s", "save", "Save"),
        Binding("f10,escape", "leave", "Leave"),
    ]

    def __init__(
        self, record: Path, *, grading: Grading | None = None, answers: Sequence[tuple[str, str]] | None = None,
    ) -> None:
        super().__init__(classes="-waiting")
        self._record = record
        self._grading = grading or Grading(record)
        self._answers = answers
        self._told: Told | None = None
        self._panel: ThenPanel | None = None
        self._faces: ModuleType | None = None
        self._section = "overview"

    # --- building --------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Lay out title, sections and cautions; they are filled when the grading is done."""
        yield Words("DEBRIEF", id="title")
        with Horizontal(id="tabs"):
            for section in SECTIONS:
                yield SectionTab(*section)
        yield HelpPanel("debrief", KEYS)
        yield Words("Grading the flight …", id="wait")
        with Container(id="sections"):
            with VerticalScroll(id="overview"):
                yield Words("", id="opening")
                with Container(id="columns"):
                    yield Words("", id="score")
                    yield Words("", id="work")
                yield Words("", id="closing")
            with Vertical(id="timeline"):
                yield LanesView()
                yield Words(LEGEND, id="legend")
                with Container(id="moment"):
                    yield OptionList(id="moments", markup=False, compact=True)
                    with Container(id="beside"), VerticalScroll(id="details"):
                        yield Words("", id="what")
            yield PlotsView()
            with VerticalScroll(id="findings"):
                yield Words("", id="found")
            with VerticalScroll(id="answers"):
                yield Words("", id="answered")
            yield SidesView()
        yield AgainBar()
        yield SaveBar()
        yield Words("", id="note")
        yield Words(pages.IN_VIEW, id="caution")
        yield Footer(show_command_palette=True, compact=True)

    def on_mount(self) -> None:
        """Begin to grade, unless that goes on already."""
        self._mark_tabs()
        self.run_worker(self._fill(), exclusive=True)

    async def on_unmount(self) -> None:
        """Grade for nobody no longer."""
        await self._grading.leave()

    async def _fill(self) -> None:
        self._grading.begin()
        # what the faces need is loaded while somebody waits anyway
        self._faces = await asyncio.to_thread(import_module, "drill.cockpit.debrief.panel")
        try:
            told = await self._grading.told()
        except GradingError as error:
            if self._stands:
                self.query_one("#wait", Words).say(f"There is no debrief. {error}")
            return
        self._told = told if self._answers is None else with_answers(told, self._answers)
        self._journal(told)
        if self._stands:
            self._show(self._told)

    def _journal(self, told: Told) -> None:
        from drill.seat import journal, keeping

        if told.complete:
            journal.graded(keeping.flights_folder(), self._record, told.score)

    def _show(self, told: Told) -> None:
        self.query_one("#title", Words).say(f"DEBRIEF  {told.title} — {told.outcome}, {told.score_words}")
        self.query_one("#opening", Words).say(pages.opening(told))
        self.query_one("#score", Words).say(pages.score(told, plain=self._plain))
        self.query_one("#work", Words).say(pages.work(told))
        self.query_one("#closing", Words).say(pages.cautions(told))
        self.query_one("#found", Words).say(pages.findings(told))
        self.query_one("#answered", Words).say(pages.answers(told))
        self.query_one("#caution", Words).say(pages.IN_VIEW)
        self.query_one("#wait").display = False
        self.remove_class("-waiting")
        self.query_one(LanesView).tell(told.lanes, told.length_s)
        self.query_one(PlotsView).tell(told, plain=self._plain)
        moments = self.query_one("#moments", OptionList)
        moments.add_options(Option(pages.row(moment)) for moment in told.moments)
        if told.moments:
            moments.highlighted = pages.first_to_see(told.moments)
        self.action_section(self._section)

    @property
    def _stands(self) -> bool:
        """Whether the parts of the screen are there: not before it is built, nor while it is taken away."""
        return self.is_mounted and self.is_attached and self.display    # of one that is going it is False

    @property
    def _plain(self) -> bool:
        return bool(getattr(getattr(self.app, "settings", None), "plain_faces", False))

    # --- moving about ----------------------------------------------------------------------------

    def action_section(self, section: str) -> None:
        """Show one of the sections."""
        self._section = section
        self.remove_class("-helping")
        self._mark_tabs()
        for name, _, _ in SECTIONS:
            self.query_one(f"#{name}").display = name == section
        self._focus_section()

    def _focus_section(self) -> None:
        if self._told is not None:
            inside = {"timeline": "#moments", "plots": "#plots VerticalScroll"}
            self.query_one(inside.get(self._section, f"#{self._section}")).focus()

    def _mark_tabs(self) -> None:
        for name, _, _ in SECTIONS:
            self.query_one(f"#tab-{name}", SectionTab).choose(name == self._section)

    @on(OptionList.OptionHighlighted, "#moments")
    def _at_moment(self, event: OptionList.OptionHighlighted) -> None:
        if self._told is not None and self._stands:
            self._tell_moment(self._told.moments[event.option_index])

    def _tell_moment(self, moment: Moment) -> None:
        self.query_one(LanesView).select(moment.t)
        self.query_one(PlotsView).select(moment)
        self.query_one("#what", Words).say(pages.details(moment, dense=self.has_class("-short")))
        self.query_one("#details").scroll_home(animate=False)
        self._panel_then(moment)

    @on(PlotsView.Step)
    def _step(self, event: PlotsView.Step) -> None:
        moments = self.query_one("#moments", OptionList)
        if moments.highlighted is not None:
            moments.highlighted = max(0, min(moments.highlighted + event.by, moments.option_count - 1))

    @on(LanesView.At)
    @on(PlotView.At)
    def _pointed_at(self, event: LanesView.At | PlotView.At) -> None:
        place = nearest(self._told.moments, event.t) if self._told is not None else None
        if place is not None:
            self.query_one("#moments", OptionList).highlighted = place

    def _panel_then(self, moment: Moment) -> None:
        """Show the instrument faces as they stood, where there is room for them."""
        room = self.size.width >= 118 and self.size.height >= 36 and bool(moment.shown)
        large = self.size.width >= 150 and self.size.height >= 46
        told = self._told
        if self._panel is None and room and self._faces is not None and told is not None and told.airframe:
            self._panel = self._faces.ThenPanel(told.airframe, moment, plain=self._plain, large=large)
            self.query_one("#beside").mount(self._panel, before=0)
        elif self._panel is not None:
            self._panel.display = room
            if room:
                self._panel.tell(moment, large=large)

    def on_resize(self) -> None:
        """Show the moment at another size, with the faces where there is room."""
        if self._told is None or not self._stands:
            return
        self.query_one(SidesView).show(self._chosen_s)
        place = self.query_one("#moments", OptionList).highlighted
        if place is not None:
            self._tell_moment(self._told.moments[place])

    # --- another way -----------------------------------------------------------------------------

    @property
    def _chosen_s(self) -> float | None:
        """The time (s) of the moment chosen on the timeline; None if it has none, or there is none."""
        place = self.query_one("#moments", OptionList).highlighted
        return None if self._told is None or place is None else self._told.moments[place].t

    def action_again(self) -> None:
        """Ask from which moment the flight is flown again."""
        bar = self.query_one(AgainBar)
        if bar.asking:
            bar.action_put_away()
        elif self._told is not None:
            self._note("")
            bar.ask(self._chosen_s or 0.0)

    @on(AgainBar.Chosen)
    def _fly_again(self, event: AgainBar.Chosen) -> None:
        self._focus_section()
        fly_again = getattr(self.app, "fly_again", None)    # the app knows how
        if fly_again is not None:
            fly_again(self._record, event.at_s)

    @on(AgainBar.PutAway)
    def _not_again(self) -> None:
        self._focus_section()

    @on(AgainBar.Unread)
    def _no_moment(self, event: AgainBar.Unread) -> None:
        self._note(event.words)

    def action_sides(self) -> None:
        """Let the sheet fly from the moment that is asked for; else show the flights side by side."""
        bar = self.query_one(AgainBar)
        if self._told is None:
            return
        at_s = bar.taken() if bar.asking else None
        if bar.asking:    # what was typed is no moment
            return
        self.action_section("sides")
        view = self.query_one(SidesView)
        if at_s is not None or view.sides is None:
            self.run_worker(self._compare(view, at_s), exclusive=True, group="sides")

    async def _compare(self, view: SidesView, at_s: float | None) -> None:
        self._note(await view.compare(self._grading, at_s))
        if self._stands:
            view.show(self._chosen_s)

    def action_help(self) -> None:
        """Show the help in place of the sections, or put it away."""
        self._help(not self.has_class("-helping"))

    def _help(self, shown: bool) -> None:
        self.set_class(shown, "-helping")
        if shown:
            self.query_one(HelpPanel).focus()
        else:
            self._focus_section()

    def action_leave(self) -> None:
        """Go back to where the debrief was asked for; help is put away first."""
        if self.has_class("-helping"):
            self._help(False)
            return
        for bar in (self.query_one(AgainBar), self.query_one(SaveBar)):
            if bar.asking:
                bar.action_put_away()
                return
        back = getattr(self.app, "to_board", None)    # the app knows where that is
        if back is not None:
            back()
        else:
            self.dismiss()

    def draw_plain(self, plain: bool) -> None:
        """Draw with ASCII characters only, or with all that there are."""
        if self._told is not None:
            self.query_one("#score", Words).say(pages.score(self._told, plain=plain))
        self.query_one(PlotsView).take_ink(plain=plain)
        if self._panel is not None:
            self._panel.draw_plain(plain)

    # --- keeping ---------------------------------------------------------------------------------

    def action_save(self) -> None:
        """Ask as what is saved what is in view, the flights side by side or else the debrief; then put it away."""
        bar = self.query_one(SaveBar)
        if bar.asking:
            bar.action_put_away()
        elif self._told is not None:
            self._note("")
            bar.ask(sides=self._section == "sides" and self.query_one(SidesView).sides is not None)

    @on(SaveBar.PutAway)
    def _not_saved(self) -> None:
        self._focus_section()

    @on(SaveBar.Chosen)
    def _chosen_kind(self, event: SaveBar.Chosen) -> None:
        self._focus_section()
        self._note("Saving …")
        at_s = self.query_one(SidesView).asked_s
        saved = self._save_sides(event.kind, at_s) if event.sides else self._save(event.kind)
        self.run_worker(saved, exclusive=True, group="save")

    async def _save(self, kind: Kind) -> None:
        try:
            self._note(write_debrief(self._record, await self._grading.text(kind), kind))
        except GradingError as error:
            self._note(f"Not saved. {error}")

    async def _save_sides(self, kind: Kind, at_s: float | None) -> None:
        try:
            self._note(write_sides(self._record, await self._grading.sides_text(kind, at_s), kind, at_s))
        except GradingError as error:
            self._note(f"Not saved. {error}")

    def _note(self, words: str) -> None:
        if not self._stands:
            return
        note = self.query_one("#note", Words)
        note.display = bool(words)
        note.say(words)

