"""Being ended from outside: a signal becomes an exception, so that the terminal and the record are put in order."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

ENDING = (signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT)


class Ended(BaseException):
    """A signal asks the program to end; `number` is the signal's."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


def _end(number: int, _frame: FrameType | None) -> None:
    for each in ENDING:      # a second one must not break the putting in order
        signal.signal(each, signal.SIG_IGN)
    raise Ended(number)


@contextmanager
def ending_signals() -> Iterator[None]:
    """Raise `Ended` on SIGTERM, SIGHUP and SIGQUIT meanwhile; a signal that was ignored (nohup) stays so.

    Only the main thread is ever sent a signal; in another one this does nothing.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {number: signal.getsignal(number) for number in ENDING}
    try:
        for number, handler in before.items():
            if handler != signal.SIG_IGN:
                signal.signal(number, _end)
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
