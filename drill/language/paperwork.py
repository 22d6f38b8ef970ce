"""Orders about what is written: the airplane's checklists, and defects in the maintenance record."""

from __future__ import annotations

import re

from drill.language.hearsay import quotes_book
from drill.language.meaning import Action, Checklist, ChecklistItem, WriteUp
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled
from drill.language.sought import sought
from drill.language.words import word_set

_NO_NAME = word_set(
    """, . ? : the a an my our that this those these your any some another other on off down into through to with for
    from over at by and or so now then please is are was will can could may i we me us it you he them him lets
    ok okay alright""")
"""Words before "checklist" that are no part of its name, nor is anything before them."""
_READS = word_set(
    """run do read get open pull go start use work consult follow complete bring call grab begin perform execute action
    reference accomplish finish take review find look what which where does list show have let need want give see
    continue resume restart repeat flip crack turn hand pass carry fetch fish dig reach whip drag haul break step
    straight back right correct proper appropriate relevant airplane aircraft whole entire time doing running reading
    working using going getting opening starting pulling out up in of no""")
"""Words that lead up to a name, and are none."""
_A_CHECKLIST = sought(r"""
    \bcheck ?lists?\b(?: items?)?|\bmemory items\b|\bitems(?= for )|(?<=landing )checks$|(?<=takeoff )checks$|
    (?<=flight )checks$|(?<=failure )(?:list|procedure|drills?|card)\b|
    (?<=emergency )(?:list|procedure|drills?)\b|(?<=fire )(?:procedure|drills?)\b|\bqrh\b|\bpoh\b|\bhandbook\b""")
_CHECKLIST_FOR = compiled(r"""
    (?: procedures?)? (?:called|named|for(?! (?:me|us|this|that|it)\b)|
    on(?! (?:my|the|our))|of|about|:)(?: (?:a|an|the|my|our))* (.+)$""")
_QUOTED = re.compile(r'check ?list:?\s+["“]([^"“”]*)["”]', re.IGNORECASE)


def checklist(order: Order) -> list[Action] | None:
    """Read a checklist of the airplane; unnamed, ask which there are."""
    text = without_opening(order.text)
    if (match := _A_CHECKLIST.search(text)) is None or quotes_book(text) or (
            re.match(r"^(?:done|finished|through|over) with\b", text)):
        return None
    if re.search(r"\b(?:card|page|over|in front of|across)\b.*<", text[match.end():]):
        return None   # something to cover with
    offset = len(order.text) - len(text)
    after = _CHECKLIST_FOR.match(text[match.end():])
    if after:
        start = match.end() + after.start(1)
        return [Checklist(_name(order, offset + start, offset + len(text)))]
    if quoted := _QUOTED.search(order.typed):
        return [Checklist(quoted[1].strip() or None)]
    start = _name_begins(text[:match.start()])
    follows = _NAME_FOLLOWS.match(text[match.end():])
    if start == match.start() and follows:
        start = offset + match.end()
        return [Checklist(_name(order, start + follows.start(1), start + follows.end(1)))]
    return [Checklist(_name(order, offset + start, offset + match.start()))]


_NAME_FOLLOWS = compiled(r"""
    (?: ,)? ((?!(?:read|run|open|do|go|get|pull|let|give) )(?:[a-z<>_]+ ){0,3}(?:failure|fail|fire|loss|out|landing|
    takeoff|departure|descent|climb|cruise|approach|icing|ice|airspeed|<(?!clock>)\w+>|smoke|fumes|start|shutdown|
    emergency))(?: ,| please|$)""")
"""A name after the word: "checklist unreliable airspeed"."""


def _name_begins(before: str) -> int:
    """Return where in the words before "checklist" its name begins."""
    words = list(re.finditer(r"\S+", before))
    first = len(words)
    while first and words[first - 1][0] not in _NO_NAME and not words[first - 1][0][0].isdigit():
        first -= 1
    while first < len(words) and words[first][0] in _READS and before[words[first].start():] != "run up ":
        first += 1
    return words[first].start() if first < len(words) else len(before)


def _name(order: Order, start: int, end: int) -> str | None:
    typed = order.typed_words(start, end).strip(" ,.!?;:'\"")
    typed = re.sub(r"^(?:the|a|an|our|my)\s+", "", typed, flags=re.IGNORECASE)
    typed = re.sub(r"^check ?list\s+", "", typed, flags=re.IGNORECASE)
    typed = re.sub(r"\s*(?:,|\b(?:please|pls|plz|now)\b).*$", "", typed, flags=re.IGNORECASE).strip()
    typed = re.sub(r"\s+(?:drill|procedures?)$", "", typed, flags=re.IGNORECASE)
    return typed if typed and typed.lower() not in ("checklist", "out", "up") else None


_ITEM_DONE = compiled(r"""
    ^(?:done|checked|check|checklist (?:done|complete|item done)|next item|next|item done|complete|completed|
    item complete|tick|tick it(?: off)?|that is done|got it done|check it off|
    mark (?:it )?(?:done|complete))(?: (?:done|that|item|please))*$""")


_NEXT_ITEM = compiled(r"""
    ^(?:(?:ok|okay|and|now|then|so|,) )*(?:(?:on to|go to|read(?: me)?|do|what is|give me) )?(?:the )?next (?:item|
    checklist item|step|point|line|thing|one|1)(?: (?:(?:on|of) the (?:check ?list|list)|please|then|now|,))*$|
    ^item (?:checked|is done|complete)$""")


def checklist_item(order: Order) -> list[Action] | None:
    """Tick the present item."""
    alone = order.text == order.typed.strip(" .,!").lower() == "next"
    done = alone or _ITEM_DONE.match(without_opening(order.text)) or _NEXT_ITEM.match(order.text)
    return [ChecklistItem()] if done else None


_WRITTEN_UP = compiled(r"""
    ^(?P<how>defer\w*|placard\w*|write up|write (?:it|that|the|this)|enter|log|squawk the|note|put|record|
    make an? entry|document|logbook|fill in|inop placard)\b""")
_IN_THE_RECORD = compiled(r"""
    \b(?:up|maintenance|log|logs|logbook|record|records|book|tech log|defect|discrepancy|squawk sheet)\b""")


def write_up(order: Order) -> list[Action] | None:
    """Defer, placard or enter a defect in the maintenance record."""
    text = without_opening(order.text)
    match = _WRITTEN_UP.match(text)
    if match is None:
        return None
    how = match["how"]
    if how.startswith("defer"):
        return [WriteUp("defer", _defect(order))]
    if how.startswith(("placard", "inop")) or re.search(r"\bplacard\b", text):
        return [WriteUp("placard", _defect(order))]
    if how == "write up" or _IN_THE_RECORD.search(text):
        return [WriteUp("enter", _defect(order))]
    return None


def _defect(order: Order) -> str | None:
    return next((order.book.equipment(name)[0] for name in order.names if name not in ("clock", "panel")), None)
