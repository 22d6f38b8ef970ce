"""After the flight the pilot is asked first, and told only then. The grading goes on meanwhile, out of sight."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Button, Footer, Input

from drill.clean import clean_line
from drill.cockpit.debrief.grading_apart import Grading
from drill.cockpit.flying.order_line import OrderLine
from drill.cockpit.help import HelpPanel
from drill.cockpit.text import Words

if TYPE_CHECKING:
    from drill.seat.run import Run

OPENING = "Before the debrief, a few questions. Enter alone skips one. Press Enter to begin."
KEYS = (("Enter", "answer; alone, skip"), ("F1", "help"), ("F10", "skip the rest"),
        ("Ctrl+P", "all commands"), ("Ctrl+Q", "leave the questions for the debrief"))


class QuestionsScreen(Screen[None]):
    """Asks the scenario's questions one at a time, records the answers, then gives way to the debrief.

    Takes the ended flight's `run`, its recorder still open, and the path of its `record`. The first Enter begins and
    answers nothing: it may have been meant for the flight. Without questions the debrief comes at once.
    """

    CSS = """
    QuestionsScreen { layout: vertical; }
    QuestionsScreen #head { height: 1; padding: 0 1; background: $panel; text-style: bold; }
    QuestionsScreen #asked { height: 1fr; padding: 1 2; scrollbar-size-vertical: 1; }
    QuestionsScreen #asked > Words { max-width: 96; height: auto; }
    QuestionsScreen OrderLine { margin: 0 1; background: $surface; }
    QuestionsScreen #buttons { height: 1; margin: 1 2; }
    QuestionsScreen Button { margin-right: 2; }
    QuestionsScreen #note { height: auto; padding: 0 2; color: $text-muted; }
    QuestionsScreen HelpPanel { display: none; height: auto; max-height: 60%; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "Help", priority=True),
        Binding("f10", "leave", "Skip the rest"),
        Binding("ctrl+q", "app.quit", "Leave", priority=True),    # asks the screen in front: `action_leave`
    ]

    def __init__(self, run: Run, record: Path, *, grading: Grading | None = None) -> None:
        super().__init__()
        self._run = run
        self._record = record
        self._questions: Sequence[str] = run.scenario.debrief.ask
        self._grading = grading or Grading(record)
        self._given: list[tuple[str, str]] = []
        self._place = -1    # of the question being asked; -1: not begun
        self._handed_over = False

    def compose(self) -> ComposeResult:
        """Lay out the question, the line to answer in, and the buttons."""
        yield Words("AFTER THE FLIGHT", id="head")
        yield HelpPanel("questions", KEYS)
        with VerticalScroll(id="asked", can_focus=False):
            yield Words(OPENING)
        yield Words("", id="note")
        yield OrderLine()
        with Horizontal(id="buttons"):
            yield Button(Content("Begin"), id="next", compact=True)
            yield Button(Content("Skip the rest"), id="skip", compact=True)
        yield Footer(show_command_palette=True, compact=True)

    def on_mount(self) -> None:
        """Begin to grade, and to ask."""
        self._grading.begin()
        self.query_one(OrderLine).focus()

    def on_screen_resume(self) -> None:
        """Go on at once if there is nothing to ask."""
        if not self._questions:
            self.call_after_refresh(self._over)

    async def on_unmount(self) -> None:
        """Grade for nobody no longer."""
        if not self._handed_over:
            await self._grading.leave()

    @property
    def answers(self) -> tuple[tuple[str, str], ...]:
        """The questions answered so far, with their answers."""
        return tuple(self._given)

    @on(Input.Submitted)
    @on(Button.Pressed, "#next")
    def _next(self, event: Input.Submitted | Button.Pressed) -> None:
        event.stop()
        if self._handed_over:
            return
        line = self.query_one(OrderLine)
        answer = clean_line(line.value)
        line.value = ""
        line.focus()
        if 0 <= self._place < len(self._questions) and answer:
            self._keep(self._questions[self._place], answer)
        self._place += 1
        if self._place >= len(self._questions):
            self._over()
        else:
            self._ask()

    @on(Button.Pressed, "#skip")
    def action_leave(self) -> None:
        """Ask no more: go on to the debrief. What has been begun in the line is an answer still, if one is due."""
        if self._handed_over:
            return
        answer = clean_line(self.query_one(OrderLine).value)
        if self._place >= 0 and answer:
            self._keep(self._questions[self._place], answer)
        self._over()

    def action_help(self) -> None:
        """Show the help, or put it away."""
        panel = self.query_one(HelpPanel)
        panel.display = not panel.display

    def _keep(self, question: str, answer: str) -> None:
        from drill.flight.events import Reflected
        from drill.flight.recorder import RecordError

        self._given.append((question, answer))
        try:
            self._run.note(Reflected(self._run.flight.t_s, question, answer))
        except RecordError as error:
            self.query_one("#note", Words).say(f"The answer is not in the record: {clean_line(str(error))}")

    def _ask(self) -> None:
        pieces: list[str | tuple[str, str]] = []
        given = dict(self._given)
        for question in self._questions[: self._place]:
            pieces += [(f"{question}\n", "$text-muted"), f"    {given.get(question, '(skipped)')}\n\n"]
        pieces += [(f"Question {self._place + 1} of {len(self._questions)}\n", "$text-muted"),
                   (self._questions[self._place], "bold")]
        self.query_one("#asked > Words", Words).say(Content.assemble(*pieces))
        self.query_one("#asked").scroll_end(animate=False)
        self.query_one("#next", Button).label = Content("Next")

    def _over(self) -> None:
        from drill.cockpit.debrief.screen import DebriefScreen

        if self._handed_over or not self.is_current:
            return
        self._handed_over = True
        self.app.switch_screen(DebriefScreen(self._record, grading=self._grading, answers=self._given))
