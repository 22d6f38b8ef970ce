"""What the facilitator's keys and typed lines do: commands to the host, each asked first if it cannot be undone."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Mapping
from typing import TYPE_CHECKING, Any

from textual import on
from textual.content import Content
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from drill.clean import clean_line
from drill.cockpit.text import Words
from drill.room import commands as c
from drill.room.commands import Command, Refusal
from drill.room.saving import PAPERS, saved
from drill.room.screen.asking import CommandLine, Confirm
from drill.room.screen.keys import TYPED, offered, question
from drill.room.screen.lists import Asked
from drill.room.spoken import NotUnderstood, command_of

if TYPE_CHECKING:
    from drill.room.host import Host

NOT_NOW = {
    "enter": "A line is taken from the begin of the flight to the debrief; close an open poll first (c).",
    "own": "Another way is chosen once, in the talk after a poll; a line can be given with i.",
    "ask": "A question is asked from the briefing to the debrief, one at a time; close an open poll first (c).",
    "face": "One instrument fills the wall from the beginning of the flight to the debrief.",
}
"""Why a line that is begun could not be carried out now, by its first word."""


class Acting(Screen[None]):
    """A screen whose keys act on the evening of `host`; what is in view is another's (`refreshed`, `action_help`)."""

    def __init__(self, host: Host) -> None:
        super().__init__()
        self._host = host
        self._view: Mapping[str, Any] = host.desk_view()

    def refreshed(self) -> None:
        """Show the evening as it stands now."""
        raise NotImplementedError

    def action_help(self) -> None:
        """Show the help, or put it away."""
        raise NotImplementedError

    def note(self, said: str, *, bad: bool = False) -> None:
        """Say something in the row above the keys."""
        self.query_one("#note", Words).say(Content.assemble((said, "bold $error" if bad else "")))

    async def _do(self, command: Command) -> None:
        self.note("")       # before it is done: what is said meanwhile is not to be wiped away
        outcome = await self._host.command(command)
        if isinstance(command, c.Choose) and outcome == c.Done():
            self.note("Chosen. Space flies on.")
        if outcome.words:
            self.note(outcome.words, bad=isinstance(outcome, Refusal))
        self.refreshed()

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
            self.beside(do(), "command")

    def beside(self, work: Coroutine[None, None, None], group: str) -> None:
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
        """Begin a line; where it could not be done now, say so beside it."""
        what = line.strip()
        late = what in TYPED and not offered(what, self._view)
        self.note(NOT_NOW[what] if late else "", bad=late)
        self.query_one(CommandLine).begin(line)

    @on(CommandLine.Given)
    async def _given(self, event: CommandLine.Given) -> None:
        self.set_focus(None)
        if event.line.strip():
            self.beside(self._carry_out(event.line.strip()), "command")

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
                self._confirm(f"Send #{one['place']} {one['name']} out? Votes in polls that are closed stay.",
                              lambda: self._do(c.Remove(one["phone"])))
            case "strike":
                await self._do(c.Strike(one["poll"], one["phone"]))
