"""The evening in one view: plan, flight as the wall shows it, poll with its counts, what to do now, people.

Letters are keys while nothing is typed. What cannot be undone is asked first. Everything goes to the host as a command,
and everything shown comes from its view for the desk.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer
from textual.worker import Worker, WorkerState

from drill.clean import clean_line
from drill.cockpit.text import Words
from drill.flight.readings import absent
from drill.room import commands as c
from drill.room.commands import Command, Refusal
from drill.room.saving import PAPERS, saved, worked_out
from drill.room.screen import join, words
from drill.room.screen.asking import CommandLine, Confirm
from drill.room.screen.help import help_content
from drill.room.screen.keys import HIDDEN_IN_FOOTER, KEYS, name_of, offered, question
from drill.room.screen.lists import Asked, PeopleList, TypedList
from drill.room.screen.results_words import results_words
from drill.room.screen.told import Told
from drill.room.spoken import NotUnderstood, command_of

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.net.app import Running

_NAMES = frozenset(each.name for each in KEYS)
AT_MOST_EVERY_S = 0.25
"""The screen follows no faster, however many vote."""
CLOCK_S = 1.0
SECTIONS = ("flight", "poll", "notes", "people")
AT_FIRST = {"lobby": "people", "brief": "notes", "fly": "flight", "poll": "poll", "talk": "poll", "debrief": "poll",
            "over": "poll"}
"""On a small terminal: the part that a stage begins with."""


class EveningScreen(Screen[None]):
    """The facilitator's screen of `host`; `running` says where phones and wall are, None: nothing is served."""

    CSS_PATH = "evening_screen.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - typed by the base class
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(each.key, each.action, each.says, show=each.key not in HIDDEN_IN_FOOTER) for each in KEYS),
        Binding("escape", "back", "Back", show=False),
        Binding("pagedown,down", "scroll_poll(1)", "Down", show=False),
        Binding("pageup,up", "scroll_poll(-1)", "Up", show=False),
    ]

    def __init__(self, host: Host, running: Running | None = None) -> None:
        super().__init__()
        self._host = host
        self._served = running
        self._absent = absent(host.scenario.airplane.airframe)
        self._view: Mapping[str, Any] = host.desk_view()
        self._stage = ""
        self._section = "people"
        self._results: Content | None = None
        self._keys: set[str] = set()

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
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Follow the evening from now on."""
        self.set_focus(None)
        self._show()
        self._run(self._follow(), "follow")
        self.set_interval(CLOCK_S, self._tick)

    async def _follow(self) -> None:
        since = -1
        while True:
            since = await self._host.changed(since)
            self._tick()
            await asyncio.sleep(AT_MOST_EVERY_S)

    async def _work_out(self) -> None:
        """Work out what came of the evening, beside everything else, and show it in place of the polls."""
        if self._results is None:
            self._results = Content("Working out what came of it ...")
            self._tick()
            self._results = results_words(await worked_out(self._host))
            self._tick()

    def _tick(self) -> None:
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
                self._run(self._work_out(), "results")
        self._say("#title", words.title(view, max(20, self.size.width - 2)))
        self._say("#plan", words.plan(view))
        across = self._room("#flight")
        self._say("#flight-words", words.flight(view, self._absent, *across))
        self._say("#poll-words", self._results or words.poll(view, self._room("#poll")[0]))
        self._say("#notes-words", words.notes(view))
        seats = words.tables(view)
        self._say("#seats", seats)
        self.query_one("#seats").display = bool(seats)
        self._show_people(view)
        self._show_typed(view)
        if self.has_class("-joining"):
            self._show_way_in()
        if view["trouble"]:
            self.note(view["trouble"], bad=True)
        self._show_keys()

    def _show_keys(self) -> None:
        """Show the keys at the foot anew where they are others: it costs more than all the rest."""
        now = {each.name for each in KEYS if self.check_action(each.name, ())}
        if now != self._keys:
            self._keys = now
            self.refresh_bindings()

    def _say(self, name: str, text: Any) -> None:
        self.query_one(name, Words).say(text)

    def _room(self, name: str) -> tuple[int, int]:
        """Return the columns and rows inside a part; of one that is not in view those of the screen."""
        size = self.query_one(name).content_size
        return (size.width or self.size.width - 3, size.height or max(8, self.size.height - 6))

    def _show_people(self, view: Mapping[str, Any]) -> None:
        persons = self.query_one(PeopleList)
        persons.tell(words.people(view), words.person, self._room("#persons")[0])

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

    def note(self, said: str, *, bad: bool = False) -> None:
        """Say something in the row above the keys."""
        self._say("#note", Content.assemble((said, "bold $error" if bad else "")))

    # --- keys ---------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Say whether a key is offered now."""
        name = name_of(action, parameters)
        if not self.is_mounted or name not in _NAMES:
            return True
        if self.query_one(Confirm).asking or self.query_one(CommandLine).asking:
            return False
        return self.has_class("-narrow") if name == "section" else offered(name, self._view)

    async def _do(self, command: Command) -> None:
        outcome = await self._host.command(command)
        self.note(outcome.words, bad=isinstance(outcome, Refusal))
        self._tick()

    def action_ask(self, what: str) -> None:
        """Ask whether what a key does is meant; say why, if it cannot be done."""
        asked = question(what, self._view)
        if isinstance(asked, str):
            self.note(asked, bad=True)
            return
        said, command = asked
        self._confirm(said, lambda: self._do(command))

    def _confirm(self, said: str, do: Callable[[], Coroutine[None, None, None]]) -> None:
        self.note("")
        self.query_one(Confirm).ask(said, do)

    @on(Confirm.Answered)
    async def _confirmed(self, event: Confirm.Answered) -> None:
        self.set_focus(None)
        if event.do is not None:
            do = event.do
            self._run(do(), "command")

    def _run(self, work: Coroutine[None, None, None], group: str) -> None:
        """Run something beside the screen; a fault of it ends neither the screen nor the evening."""
        self.run_worker(work, group=group, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say what a fault was."""
        if event.state is WorkerState.ERROR:
            error = event.worker.error
            fault = clean_line(f"{type(error).__name__}: {error}", limit=300)
            self.note(f"A fault in the program ({fault}). The evening goes on. Please report it.", bad=True)

    async def action_brief(self) -> None:
        """Begin the briefing."""
        await self._do(c.Brief())

    async def action_run(self) -> None:
        """Let the flight run or stop it; ask before it begins, and before it goes on with no way chosen."""
        held = self._view["held"][-1] if self._view["held"] else None
        if self._view["stage"] == "fly":
            await self._do(c.Stop() if self._view["pace"] else c.Fly())
        elif self._view["stage"] == "talk" and held is not None and held["way"] is not None:
            await self._do(c.Fly())
        else:
            self.action_ask("fly")

    async def action_pace(self, pace: int) -> None:
        """Let the flight run so fast."""
        await self._do(c.Fly(pace))

    async def action_reveal(self) -> None:
        """Show what came of the last poll."""
        await self._do(c.Reveal())

    def action_own(self) -> None:
        """Type the way that the room goes on."""
        self.action_type("own ")

    def action_hands(self) -> None:
        """Type counts of hands, the letters given."""
        held = self._view["held"][-1] if self._view["held"] else None
        if held is None or not held["answers"]:
            self.note("There are no hands to count in this poll.", bad=True)
            return
        counted = " ".join(f"{each['key']}={held['hands'].get(each['key'], 0)}" for each in held["answers"])
        self.action_type(f"hands {counted}")

    async def action_more(self, minutes: int) -> None:
        """Give what runs now more minutes, or fewer."""
        await self._do(c.More(float(minutes)))

    async def action_papers(self) -> None:
        """Write handout and totals."""
        await self._save("handout")

    def action_leave(self) -> None:
        """Leave, if that is meant."""
        async def leave() -> None:
            self.app.exit(0)

        self._confirm("Leave? Phones and wall go dark; drill room --resume takes the evening up again.", leave)

    def action_type(self, line: str) -> None:
        """Begin a line."""
        self.note("")
        self.query_one(CommandLine).begin(line)

    @on(CommandLine.Given)
    async def _given(self, event: CommandLine.Given) -> None:
        self.set_focus(None)
        if event.line.strip():
            self._run(self._carry_out(event.line.strip()), "command")

    async def _carry_out(self, line: str) -> None:
        match line.casefold():
            case "help":
                self.action_help()
            case "quit":
                self.action_leave()
            case what if what in PAPERS:
                await self._save(what)
            case _:
                try:
                    await self._do(command_of(line, self._view["everybody"]))
                except NotUnderstood as error:
                    self.note(str(error), bad=True)

    async def _save(self, what: str) -> None:
        self.note("Writing ...")
        said, bad = await saved(self._host, what)
        self.note(said, bad=bad)

    def action_people(self) -> None:
        """Go to the people."""
        self.remove_class("-helping")
        if self.has_class("-narrow"):
            self.remove_class("-joining")
        self._go_to("people")
        persons = self.query_one(PeopleList)
        persons.focus()
        if persons.highlighted is None and persons.option_count:
            persons.highlighted = 0

    def action_words(self) -> None:
        """Go to what was typed."""
        if not self.has_class("-typed"):
            self.note("Nothing has been typed in this poll.", bad=True)
            return
        self.remove_class("-helping")
        self._go_to("poll")
        typed = self.query_one(TypedList)
        typed.focus()
        if typed.highlighted is None:
            typed.highlighted = 0

    @on(Asked)
    async def _about(self, event: Asked) -> None:
        one = event.one
        match event.what:
            case "hide":
                await self._do(c.Show(one["phone"]) if one["hidden"] else c.Hide(one["phone"]))
            case "rename":
                table = f" / {one['table']}" if one["table"] else ""
                self.action_type(f"rename {one['place']} {one['name']}{table}")
            case "remove":
                self._confirm(f"Send #{one['place']} {one['name']} out? In polls that are closed its votes stay.",
                              lambda: self._do(c.Remove(one["phone"])))
            case "strike":
                await self._do(c.Strike(one["poll"], one["phone"]))

    def _go_to(self, section: str) -> None:
        self._section = section
        for name in SECTIONS:
            self.set_class(name == section, f"-at-{name}")

    def action_section(self) -> None:
        """Show the next part, on a small terminal."""
        self.remove_class("-joining", "-helping")
        self._go_to(SECTIONS[(SECTIONS.index(self._section) + 1) % len(SECTIONS)])
        self.call_after_refresh(self._tick)

    def action_join(self) -> None:
        """Show the way in, or put it away."""
        self.remove_class("-helping")
        self.toggle_class("-joining")
        self.call_after_refresh(self._tick)

    def action_scroll_poll(self, way: int) -> None:
        """Scroll what stands in the place of the poll, or the help."""
        part = self.query_one("#helping" if self.has_class("-helping") else "#poll", VerticalScroll)
        part.scroll_relative(y=way * max(1, part.size.height // 2), animate=False)

    @on(TypedList.OptionHighlighted, "#typed")
    def _whole_words(self) -> None:
        """Show the chosen words whole: a row has not room for them."""
        typed = self.query_one(TypedList)
        if typed.has_focus and typed.chosen is not None:
            self.note(typed.chosen["words"])

    def action_help(self) -> None:
        """Show the help, or put it away."""
        self.toggle_class("-helping")

    def action_back(self) -> None:
        """Put away what stands before the evening, and leave a list."""
        self.remove_class("-helping")
        self.set_focus(None)
