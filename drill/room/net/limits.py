"""What one phone, one address and one room may ask for. Sizes are in bytes on the way and in characters once read."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from drill.clean import typed_line
from drill.serving.budget import Budget

LONGEST_NAME = 24
LONGEST_TABLE = 16
LONGEST_WORDS = 400
"""Of a call that is typed; a long one on the radio has two hundred."""

LARGEST_MESSAGE = 4_096          # of a socket: a vote with the longest words takes half of it
LARGEST_FORM = 8_192             # of a form that is sent
LONGEST_ADDRESS = 1_000          # of a page: path and query

MOST_ADDRESSES = 4_096


@dataclass(frozen=True, slots=True)
class Rate:
    """So much a second in the long run, and so much at once after a quiet while."""

    a_second: float
    at_once: float


@dataclass(frozen=True, slots=True)
class Limits:
    """How much of everything. Behind some networks a whole room has one address: what that may is for a room."""

    phones: int = 1_200
    phones_an_address: int = 1_000               # a program on one phone must not fill the room
    sockets: int = 1_600                         # of all phones; one more waits for news without
    sockets_a_phone: int = 2                     # pages open at a time; the oldest is closed for another
    waits_a_phone: int = 3                       # questions that wait for news, without a socket
    walls: int = 6
    door: int = 1_024                            # connections that have not become a socket, in all
    door_an_address: int = 768
    messages: Rate = Rate(10.0, 40.0)            # of a phone, by all ways; thumbs send two or three
    asked: Rate = Rate(200.0, 8_000.0)           # pages and forms of an address; each phone that comes asks for six
    joined: Rate = Rate(20.0, 600.0)             # of an address
    guessed: Rate = Rate(0.2, 30.0)              # wrong numbers of the evening, of an address
    sends_s: float = 20.0                        # a page that takes nothing for so long is closed
    silent_s: float = 20.0                       # a socket that answers no ping for about so long is closed
    news_s: float = 25.0                         # a question without a socket is answered after so long at the latest


class Purses:
    """A budget for each address, or phone, of which only the last `MOST_ADDRESSES` are remembered."""

    def __init__(self, rate: Rate, now: Callable[[], float] = monotonic) -> None:
        self._rate = rate
        self._now = now
        self._of: OrderedDict[str, Budget] = OrderedDict()

    def empty(self, address: str) -> bool:
        """Return whether an address may have nothing more at present."""
        budget = self._of.get(address)
        return budget is not None and not budget.holds(1)

    def spend(self, address: str) -> bool:
        """Take one from what an address may; return whether there was as much."""
        budget = self._of.get(address)
        if budget is None:
            budget = self._of[address] = Budget(self._rate.a_second, self._rate.at_once, self._now)
            if len(self._of) > MOST_ADDRESSES:
                self._of.popitem(last=False)
        self._of.move_to_end(address)
        return budget.spend(1)


def name_of(given: str) -> str:
    """Return a name as the room shows it: one clean line of at most `LONGEST_NAME` characters; "" for none at all."""
    return _short(given, LONGEST_NAME)


def table_of(given: str) -> str:
    """Return a table as the room shows it; "" for none."""
    return _short(given, LONGEST_TABLE)


def words_of(given: str) -> str:
    """Return what was typed in a poll, as one clean line; "" where nothing in it can be read."""
    return _short(given, LONGEST_WORDS)


def _short(given: str, most: int) -> str:
    written = typed_line(given, limit=4 * most)[:most].strip()
    return written if any(each.isalnum() for each in written) else ""
