"""The evening in one view: plan, flight as the wall shows it, poll with its counts, what to do now, people.

Letters are keys while nothing is typed. What cannot be undone is asked first. Everything goes to the host as a command,
and everything shown comes from its view for the desk.
"""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content

from drill.cockpit.text import Words
from drill.flight.readings import absent
from drill.room.saving import worked_out
from drill.room.screen import join, words
from drill.room.screen.acting import Acting
from drill.room.screen.asking import CommandLine, Confirm
from drill.room.screen.foot import Foot, keys_of
from drill.room.screen.help import help_content
from drill.room.screen.keys import KEYS, TYPED, at_foot, name_of, offered, written
from drill.room.screen.lists import PeopleList, TypedList
from drill.room.screen.results_words import results_words
from drill.room.screen.told import Told
from drill.room.screen.true_state import TrueState

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.net.app import Running

_NAMES = frozenset(each.name for each in KEYS)
AT_MOST_EVERY_S = 0.25
"""The screen follows no faster, however many vote."""
PAUSES = 12.0
"""So many times as long as the last drawing took (the votes in between included) nothing is drawn."""
CLOCK_S = 1.0
SECTIONS = ("flight", "poll", "notes", "people")
AT_FIRST = {"lobby": "people", "brief": "notes", "fly": "flight", "poll": "poll", "talk": "poll", "debrief": "poll",
            "over": "poll"}
"""On a small terminal: the part that a stage begins with."""
IN_HELP = (("f1", "Back"), ("pagedown", "Down"), ("pageup", "Up"))


class EveningScreen(Acting):
    """The facilitator's screen of `host`; `running` says where phones and wall are, None: nothing is served."""

    CSS_PATH = "evening_screen.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - typed by the base class
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(each.key, each.action, each.says) for each in KEYS),
        Binding("escape", "back", "Back", show=False),
        Binding("pagedown,down", "scroll_poll(1)", "Down", show=False),
        Binding("pageup,up", "scroll_poll(-1)", "Up", show=False),
    ]

    def __init__(self, host: Host, running: Running | None = None) -> None:
        super().__init__(host)
        self._served = running
        self._absent = absent(host.scenario.airplane.airframe)
        self._stage = ""
        self._section = "people"
        self._results: Content | None = None
        self._true = TrueState(host)

    # --- building and following -----------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Lay out the parts; they are filled when the screen is there."""
        yield Told("", id="title")
        yield Told("", id="plan")
        with VerticalScroll(id="helping", classes="part"):
            yield Words(help_content())
        with Container(id="middle"):
            with Vertical(id="left"):
                with VerticalScroll(id="way-in", classes="part"):
                    yield Told("", id="way-in-words")
                with VerticalScroll(id="flight", classes="part"):
                    yield Told("", id="flight-words")
                with Vertical(id="poll-part"):
                    with VerticalScroll(id="poll", classes="part"):
                        yield Told("", id="poll-words")
                    yield TypedList(id="typed")
            with Vertical(id="right"):
                with VerticalScroll(id="notes", classes="part"):
                    yield Told("", id="notes-words")
                with Vertical(id="people", classes="part"):
                    yield Told("", id="seats")
                    yield PeopleList(id="persons")
        yield Told("", id="note")
        yield Confirm()
        yield CommandLine()
        yield Foot()

    def on_mount(self) -> None:
        """Follow the evening from now on."""
        self.set_focus(None)
        self._show()
        self.call_after_refresh(self.refreshed)      # now the size of each part is known
        self.beside(self._follow(), "follow")

    async def _follow(self) -> None:
        """Show what changes, and the clock. The longer it took to be seen, the longer until it is shown again."""
        since, loop = self._host.version, asyncio.get_running_loop()
        while True:
            with suppress(TimeoutError):
                since = await asyncio.wait_for(self._host.changed(since), CLOCK_S)
            begun, painted = loop.time(), asyncio.Event()
            self.refreshed()
            self.call_after_refresh(painted.set)
            with suppress(TimeoutError):
                await asyncio.wait_for(painted.wait(), CLOCK_S)
            await asyncio.sleep(min(CLOCK_S, max(AT_MOST_EVERY_S, PAUSES * (loop.time() - begun))))

    async def _work_out(self) -> None:
        """Work out what came of the evening, beside everything else, and show it in place of the polls."""
        if self._results is None:
            self._results = Content("Working out what came of it ...")
            self.refreshed()
            self._results = results_words(await worked_out(self._host))
            self.refreshed()

    def refreshed(self) -> None:
        """Show the evening as it stands now."""
        if self.is_attached and self.is_mounted:
            self._show()

    def on_resize(self) -> None:
        """Show it at another size."""
        if self.is_mounted:
            self._show()

    def _show(self) -> None:
        view = self._view = self._host.desk_view()
        if view["stage"] != self._stage:
            self._stage = view["stage"]
            self._go_to(AT_FIRST[self._stage])
            self.set_class(self._stage in ("debrief", "over"), "-debriefing")
            self.set_class(self._stage == "lobby" and self._served is not None, "-joining")
            if self._stage in ("debrief", "over"):
                self.beside(self._work_out(), "results")
        self._say("#title", words.title(view, max(20, self.size.width - 2)))
        self._say("#plan", words.plan(view))
        across = self._room("#flight")
        self._say("#flight-words", words.flight(view, self._absent, *across, self._true.lines()))
        notes = words.notes(view)
        self._say("#poll-words", self._results or self._polled(view, notes))
        self._say("#notes-words", notes)
        seats = words.tables(view)
        self._say("#seats", seats)
        self.query_one("#seats").display = bool(seats)
        self._show_people(view)
        self._show_typed(view)
        if self.has_class("-joining"):
            self._show_way_in()
        if self._true.is_old(view["stage"]):
            self.beside(self._look_up(), "true")
        if view["trouble"]:
            self.note(view["trouble"], bad=True)
        self._show_keys()

    def _polled(self, view: Mapping[str, Any], notes: Content) -> Content:
        """Return the poll; on a small terminal with what to do and to talk about, which has a place of its own else."""
        held = words.poll(view, self._room("#poll")[0])
        beside = self.has_class("-narrow") and view["stage"] in ("poll", "talk")
        return Content("\n\n").join([held, notes]) if beside else held

    def _show_keys(self) -> None:
        """Show at the foot the keys that do something now."""
        asking = next((each for each in (self.query_one(Confirm), self.query_one(CommandLine)) if each.asking), None)
        if asking is not None:
            keys = keys_of(asking)
        elif self.has_class("-helping"):
            keys = [(written(key), called, key) for key, called in IN_HELP]
        elif isinstance(self.focused, PeopleList | TypedList):
            keys = [*keys_of(self.focused), (written("f1"), "Help", "f1")]
        else:
            keys = at_foot(self._view, self.size.width, narrow=self.has_class("-narrow"))
        self.query_one(Foot).tell(keys)

    def on_descendant_focus(self) -> None:
        """Show the keys of what has the focus now."""
        self._show_keys()

    def on_descendant_blur(self) -> None:
        """Show the keys of what has the focus now."""
        self._show_keys()

    def _say(self, name: str, text: Any) -> None:
        self.query_one(name, Words).say(text)

    def _room(self, name: str) -> tuple[int, int]:
        """Return the columns and rows inside a part; of one that is not in view those of the screen."""
        size = self.query_one(name).content_size
        return (size.width or self.size.width - 3, size.height or max(8, self.size.height - 6))

    def _show_people(self, view: Mapping[str, Any]) -> None:
        persons = self.query_one(PeopleList)
        persons.tell(words.people(view), words.person, self._room("#persons")[0], words.who_answered(view))

    def _show_typed(self, view: Mapping[str, Any]) -> None:
        typed = words.all_typed(view)
        self.set_class(bool(typed), "-typed")
        self.query_one(TypedList).tell(typed, words.typed, self._room("#poll")[0])

    def _show_way_in(self) -> None:
        at = self._served
        self._say("#way-in-words", join.way_in(
            self._view["number"], "" if at is None else at.phones_url, "" if at is None else at.wall_url,
            room=self._room("#way-in"), plain=self._plain))

    @property
    def _plain(self) -> bool:
        return bool(getattr(getattr(self.app, "settings", None), "plain_faces", False))

    # --- keys ---------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Say whether a key is offered now."""
        name = name_of(action, parameters)
        if not self.is_mounted or name not in _NAMES:
            return True
        if self.query_one(Confirm).asking or self.query_one(CommandLine).asking:
            return False
        return self.has_class("-narrow") if name == "section" else name in TYPED or offered(name, self._view)

    def action_people(self) -> None:
        """Go to the people."""
        self.remove_class("-helping")
        if self.has_class("-narrow"):
            self.remove_class("-joining")
        self._go_to("people")
        persons = self.query_one(PeopleList)
        persons.focus()
        persons.choose_some()

    def action_words(self) -> None:
        """Go to what was typed."""
        if not self.has_class("-typed"):
            self.note("Nothing has been typed in this poll.", bad=True)
            return
        self.remove_class("-helping")
        self._go_to("poll")
        typed = self.query_one(TypedList)
        typed.focus()
        typed.choose_some()

    def _go_to(self, section: str) -> None:
        self._section = section
        for name in SECTIONS:
            self.set_class(name == section, f"-at-{name}")

    def action_section(self) -> None:
        """Show the next part, on a small terminal."""
        self.remove_class("-joining", "-helping")
        self._go_to(SECTIONS[(SECTIONS.index(self._section) + 1) % len(SECTIONS)])
        self.call_after_refresh(self.refreshed)

    def action_join(self) -> None:
        """Show the way in, or put it away."""
        self.remove_class("-helping")
        self.toggle_class("-joining")
        self.call_after_refresh(self.refreshed)

    def action_true(self) -> None:
        """Show what is true, on this screen alone, or put it away."""
        self._true.shown = not self._true.shown
        if self._true.shown:
            self.remove_class("-joining", "-helping")
            self._go_to("flight")
            self.beside(self._look_up(), "true")
        self.call_after_refresh(self.refreshed)

    async def _look_up(self) -> None:
        await self._true.look_up()
        self.refreshed()

    def action_results(self) -> None:
        """Read on in the results."""
        self.action_scroll_poll(1)

    def action_scroll_poll(self, way: int) -> None:
        """Scroll what stands in the place of the poll, or the help."""
        part = self.query_one("#helping" if self.has_class("-helping") else "#poll", VerticalScroll)
        part.scroll_relative(y=way * max(1, part.size.height // 2), animate=False)

    @on(TypedList.Chosen, "#typed")
    def _whole_words(self) -> None:
        """Show the chosen words whole: a row has not room for them."""
        typed = self.query_one(TypedList)
        if typed.has_focus and typed.chosen is not None:
            self.note(typed.chosen["words"])

    def action_help(self) -> None:
        """Show the help, or put it away."""
        self.toggle_class("-helping")
        self._show_keys()

    def action_back(self) -> None:
        """Put away what stands before the evening, and leave a list."""
        self.remove_class("-helping")
        self.set_focus(None)
        self._show_keys()
