"""Help that fits the moment, in plain words. It tells how things are done, never what would be right to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal, TypeAlias

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from drill.cockpit.text import Words
from drill.seat.pace import PACE_WORDS

WIDEST_KEY = 10    # cells; what is told of keys with longer names is not lined up

When: TypeAlias = Literal["board", "briefing", "flight", "paused", "turn by turn", "questions", "debrief"]
Keys: TypeAlias = Sequence[tuple[str, str]]
Section: TypeAlias = tuple[str, list[str]]

_ORDERS = [
    "Plain words, then Enter. Several things in a line are done in turn.",
    "Hands: fly heading, turn, stop turn, level wings, climb, descend, hold, airspeed, power, pitch, flaps, fly by.",
    "Cockpit: look at, compare, cover, uncover, switch, set, squawk, checklist, wait, break off.",
    "Mind: I think ..., divert to ..., continue, land at ...",
    "No cost: briefing, repeat, log, time.",
]
_RADIO = [
    "Whom you call, or \"say\", comes first: tell approach ... Then who you are, then the rest, as spoken. "
    "Read back with your callsign.",
]
_TEXT: dict[When, list[Section]] = {
    "board": [
        ("The board", [
            "Each row is a flight that can be flown. Up and down choose one, Enter opens its briefing.",
            "Type to search. The board tells no more than a title: what a flight trains is shown only if you ask.",
        ]),
        ("How a flight goes", [
            "You read a briefing, fly by typed words, answer a few questions, and hear how it went.",
            "Your hands fly by the instruments that you tell them to trust. You look, decide, order and talk.",
        ]),
    ],
    "briefing": [
        ("The briefing", [
            "All that you are told before the flight: where you are, the weather, the fields, the clearance.",
            "Take your time. The flight begins when you say so, and the briefing can be read again in flight.",
        ]),
        ("Time", [
            *(f"{pace.capitalize()}: {words}." for pace, words in PACE_WORDS.items()),
            "The pace costs nothing in the debrief.",
        ]),
    ],
    "flight": [("Orders", _ORDERS), ("Radio", _RADIO)],
    "paused": [("Orders, once you go on", _ORDERS), ("Radio", _RADIO)],
    "turn by turn": [("Orders: time goes on with them alone", _ORDERS), ("Radio", _RADIO)],
    "questions": [
        ("The questions", [
            "The flight is over. Before you are told anything, you are asked how you saw it.",
            "Type an answer and press Enter. Enter alone skips a question. The answers go into the record and "
            "stand beside what was so. They are not graded.",
        ]),
    ],
    "debrief": [
        ("The debrief", [
            "Overview: how it ended, unsafe acts first, the score and what to work on.",
            "Timeline: every moment in order. Choose one, and beside it stands what happened, the panel then, "
            "what would have been right, why, and where that is written.",
            "Findings: all that counted, good and bad, and how far the airplane strayed. "
            "Answers: what you said, beside what was so.",
        ]),
        ("Flying it again", [
            "It asks for a moment: the one chosen on the timeline, or any other as minutes and seconds. Enter there, "
            "and you have the controls again, in the same air; that flight gets a record of its own.",
            "Or let the grade sheet fly from there. Both flights then stand side by side, and are what is saved while "
            "they are in view: the page has plots of how each flew.",
        ]),
        ("The lanes", [
            "X fails, = failed, o comes back. e: a careful cross-check could have known.",
            "| an act, 1 the first one on it, n named rightly. > you call, < they call.",
            "~ bank over 20 degrees, # over 45. + well, - to work on, ! unsafe, ] the end.",
        ]),
    ],
}


def help_words(moment: When, keys: Keys = ()) -> list[Section]:
    """Return the help for `moment` as (heading, lines); `keys` are the caller's own, as (key, what it does)."""
    told = [("Keys", [f"{key}  {words}" for key, words in keys])] if keys else []
    return [*told, *((heading, list(lines)) for heading, lines in _TEXT[moment])]


def help_content(moment: When, keys: Keys = (), *, flowing: bool = False) -> Content:
    """Return the help as one piece of literal text; keys lined up, or in running text if it is `flowing`."""
    wide = max((len(key) for key, _ in keys if len(key) <= WIDEST_KEY), default=0)
    pieces: list[str | tuple[str, str]] = []
    for heading, lines in help_words(moment):
        pieces += [(f"{heading.upper()}\n", "bold"), *(f"{line}\n" for line in lines)]
    if keys:
        rows = [f"{key:<{wide}}  {words}\n" for key, words in keys]
        if flowing:
            rows = [f"{'; '.join(f'{key}: {words}' for key, words in keys)}.\n"]
        pieces = [("KEYS\n", "bold"), *rows, *pieces]
    return Content.assemble(*pieces).rstrip()


class HelpPanel(VerticalScroll):
    """The help of a moment, to stand beside or over what it is about. It takes no key but those that scroll it."""

    DEFAULT_CSS = """
    HelpPanel { padding: 0 1; background: $surface; color: $foreground; scrollbar-size-vertical: 1; }
    HelpPanel > Words { width: 1fr; height: auto; }
    """

    def __init__(self, moment: When, keys: Keys = (), **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._content = help_content(moment, keys)

    def compose(self) -> ComposeResult:
        """Show the words."""
        yield Words(self._content)

    def tell(self, moment: When, keys: Keys = (), *, flowing: bool = False) -> None:
        """Show the help of another moment."""
        self.show(help_content(moment, keys, flowing=flowing))

    def show(self, content: Content) -> None:
        """Show other words, from their beginning; the same words stay where they are."""
        if content.is_same(self._content):
            return
        self._content = content
        if self.is_mounted:
            self.query_one(Words).say(content)
        self.scroll_home(animate=False)
