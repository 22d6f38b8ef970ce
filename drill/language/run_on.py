"""Orders that follow one another without any joint: "cover the AI level the wings"."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeAlias

from drill.language.conditional import is_conditional
from drill.language.durations import durations
from drill.language.hearsay import quotes_book
from drill.language.lexicon import Lexicon
from drill.language.meaning import Action, Compare, Diagnose, Look, Unclear
from drill.language.orders import Order, order
from drill.language.patterns import compiled
from drill.language.sending import NO_END
from drill.language.starting import LONGEST_ORDER, starts
from drill.language.words import Token, joined

Reader: TypeAlias = Callable[[Order], list[Action] | None]

_MAY_RUN_ON = compiled(r"""
    ^(?:(?:heading|hdg) \d|level (?:the |my |our |those )?wings|wings level|(?:turn|come|bank) (?:left|right)|
    (?:climb|descend) (?:and|to|now|\d)|squawk|ident$|partial <panel>|go partial|fly partial|
    (?:cover|uncover|check|compare|look at|cross ?check) |(?:switch|turn|put|set) (?:on|off|the|my|<)|
    <\w+> (?:on|off)\b|slow (?:to|down|\d)|reduce|power (?:off|idle|back)|maintain|hold|tune|run the|divert|
    call|tell|declare|request)""")
_UPSET = compiled(r"""
    (?:(?:oh|god|help|no|shit|ok|okay|so|and|,) )*(?:(?:i|we|it|she|(?:the |this )?(?:airplane|plane|aircraft|
    nose)) (?:am|are|is) )?(?:now |still |just )?(?:(?:in|into|entering) (?:a |an |the )?(?:\w+ ){0,2})?
    (?:spiral(?:ing|ling)?|dive|diving|spin|spinning|upset|stall|stalling|banking|turning|rolling|falling|dropping|
    inverted|upside down|unusual attitude|overspeed(?:ing)?|too (?:fast|slow|low|steep)|
    losing (?:altitude|height|speed|it)|speeding up|steep (?:bank|turn))(?: (?:fast|badly|now|left|right|to the left|
    to the right|down|over))*""")
"""What is told of the airplane in alarm before an order without a break: "i am in a spiral reduce power"."""
_OF_A_TURN = re.compile(r"\b(?:turn\w*|left|right|fly|stop|steer|come|bank|roll|hold|maintain|new|set)\b")
_AFTER_TIME = compiled(r"""
    (?:in|after|wait|wait for|give it)(?: about| another)? (?:\d{1,3}|a|an|half a|1) (?:seconds?|secs?|
    minutes?|mins?|moment)""")
_OF_IT = re.compile(r"^(?:cover|uncover|hide) (?:it|them)\b")
MOST_RUN_ON = 6


def run_on(piece: tuple[Token, ...], typed: str, book: Lexicon, first_fit: Reader) -> list[tuple[Token, ...]]:
    """Return the orders of a piece in which one follows another without any joint: "cover the AI level the wings"."""
    parts: list[tuple[Token, ...]] = []
    while len(piece) <= LONGEST_ORDER and len(parts) < MOST_RUN_ON and (
            at := _second_order(piece, typed, book, first_fit)):
        parts.append(piece[:at])
        piece = piece[at:]
    return [*parts, piece]


def _second_order(piece: tuple[Token, ...], typed: str, book: Lexicon, first_fit: Reader) -> int:
    """Return where a second order of another kind begins in `piece`, 0 where none does."""
    if quotes_book(joined(piece)):
        return 0
    if after_look := _told_after_look(piece, typed, book, first_fit):
        return after_look
    for at in range(2, len(piece)):
        before, text = piece[at - 1], joined(piece[at:at + 4])
        waited = _AFTER_TIME.fullmatch(joined(piece[:at])) is not None and starts(piece[at:])
        if before.is_break or (not waited and (before.text in NO_END or not _MAY_RUN_ON.match(text))):
            continue
        if text.startswith(("heading ", "hdg ")) and _OF_A_TURN.search(joined(piece[:at])):
            continue
        if piece[0].text == "for" and durations(joined(piece[:at])):
            return 0   # "for 1 minute turn left" is a timed turn
        if _UPSET.fullmatch(joined(piece[:at])):
            return at
        first, rest = first_fit(order(piece[:at], typed, book)), first_fit(order(piece[at:], typed, book))
        told = first and all(isinstance(action, Diagnose) for action in first)
        if told and _OF_IT.match(text) and not is_conditional(joined(piece)):
            return at   # "because the AI died cover it"
        if not first or not rest or any(isinstance(action, Unclear | Diagnose) for action in (*first, *rest)):
            continue
        whole = first_fit(order(piece, typed, book)) or []
        if {action.kind for action in first}.isdisjoint(action.kind for action in rest) and not (
                {action.kind for action in (*first, *rest)} <= {action.kind for action in whole}):
            return at
    return 0


_LOOKS = compiled(r"""
    ^(?:(?:and|ok|okay|now|so) )*(?:scan|check|look|read|cross|compare|sweep|run|glance|watch|examine)\b""")
_STATES = compiled(r"""
    ^(?:(?:the|my|our|both|and|but) )*<\w+>(?: \w+)? (?:is|are|has|have|was|just|quit|died|failed|went)\b""")


def _told_after_look(piece: tuple[Token, ...], typed: str, book: Lexicon, first_fit: Reader) -> int:
    """Return where, after a look and a break, it is told what has failed: "scan the panel, the AI is dead"."""
    text = joined(piece)
    if not _LOOKS.match(text):
        return 0
    for at in range(2, len(piece) - 1):
        if not (piece[at - 1].is_break or piece[at - 1].text == "and") or not _STATES.match(joined(piece[at:at + 6])):
            continue
        first = first_fit(order(piece[:at - 1], typed, book))
        rest = first_fit(order(piece[at:], typed, book))
        if first and rest and all(isinstance(action, Look | Compare) for action in first) and all(
                isinstance(action, Diagnose) and action.failed for action in rest):
            return at
    return 0
