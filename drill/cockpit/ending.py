"""How the app ends when nobody asked it to: a signal, a mistake that the user has to mend, a fault of the program."""

from __future__ import annotations

import asyncio
import signal
from contextlib import suppress
from pathlib import Path
from typing import Any

from textual.app import App

from drill.clean import clean_line
from drill.seat.exit_codes import MISTAKE, SIGNALS_FROM

ENDING = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT)
LONGEST_FAULT = 300


class EndingApp(App[int]):
    """An app that closes down in good order however it ends.

    After `run`: `mistake` and `fault` say in words what ended it, and `left` is the record of a flight that was left
    before its end.
    """

    def __init__(self) -> None:
        super().__init__()
        self.mistake = ""
        self.fault = ""
        self.left: Path | None = None

    def note_where(self) -> None:
        """Keep in `left` what is cut off by an end at this moment; called before each of them."""

    def on_load(self) -> None:
        """Heed signals before the terminal is touched."""
        self.heed_signals()

    def heed_signals(self) -> None:
        """Leave in good order when the program is told to end: exit code 128 and the signal's number."""
        if self.is_headless:
            return
        loop = asyncio.get_running_loop()
        for number in ENDING:
            with suppress(NotImplementedError, RuntimeError, ValueError):
                if signal.getsignal(number) != signal.SIG_IGN:    # so nohup stays what it is
                    loop.add_signal_handler(number, self._ended_by, number)

    def _ended_by(self, number: int) -> None:
        self.note_where()
        self.exit(return_code=SIGNALS_FROM + number)

    def stop_with(self, words: str) -> None:
        """End the program because of something that the user has to put right; what is said first is said."""
        if not self.mistake:
            self.mistake = words
            self.note_where()
        self.exit(return_code=MISTAKE)

    # --- faults: the toolkit would show a traceback ---------------------------------------------------

    def _handle_exception(self, error: Exception) -> None:
        """Close down in good order after a fault of the program; `fault` says what it was."""
        cause: BaseException = error
        while isinstance(inner := getattr(cause, "error", None) or cause.__cause__, BaseException):
            cause = inner
        if not self.fault:
            self.fault = clean_line(f"{type(cause).__name__}: {cause}")[:LONGEST_FAULT]
            self.note_where()
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        self._close_messages_no_wait()

    def panic(self, *renderables: Any) -> None:
        """Close down; `fault` says what there is to say."""
        del renderables
        self._close_messages_no_wait()
