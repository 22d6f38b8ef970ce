"""Orders that follow one another without any joint: "cover the AI level the wings"."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeAlias

from drill.language.conditional import is_conditional
from drill.language.hearsay import quotes_book
from drill.language.lexicon import Lexicon
from drill.language.meaning import Action, Compare, Diagnose, Look, Unclear
from drill.language.orders import Order, order
from drill.language.patterns import compiled
from drill.language.sending import NO_END
from drill.language.starting import LONGEST_ORDER
from drill.language.words import Token, joined

Reader: TypeAlias = Callable[[Order], list[Action] | None]

_MAY_RUN_ON = compiled(r"""
    ^(?:level (?:the |my |our |those )?wings|wings level|(?:turn|come|bank) (?:left|right)|
    (?:climb|descend) (?:and|to|now|\d)|squawk|ident$|partial <panel>|go partial|fly partial|
    (?:cover|uncover|check|compare|look at|cross ?check) |(?:switch|turn|put|set) (?:on|off|the|my|<)|
    <\w+> (?:on|off)\b|slow (?:to|down)|reduce|maintain|hold|tune|run the|divert|call|tell|declare|request)""")
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
        if before.is_break or before.text in NO_END or not _MAY_RUN_ON.match(text):
            continue
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
