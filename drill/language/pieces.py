"""A typed line cut into its orders, with what was corrected put right and what was taken back marked."""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.corrections import marker_at
from drill.language.forbidding import forbids_next
from drill.language.mending import (
    WITHDRAWN,
    correction_at,
    given_anew,
    past_breaks,
    put_right,
    turned_round,
)
from drill.language.patterns import compiled
from drill.language.starting import JOINTS, LONGEST_ORDER, UNITS, starts
from drill.language.withdrawn import MENDS_ORDERS, dropped_at, takes_all_back
from drill.language.words import Token, joined


def pieces_of(line: Sequence[Token]) -> list[tuple[Token, ...]] | None:
    """Return the orders of a line, corrected; None when it was taken back and forth so often that nothing stands."""
    pieces: list[list[Token]] = [[]]
    taken_back = 0
    at = 0
    while at < len(line):
        at_joint = at == 0 or line[at - 1].text in JOINTS
        if pieces[-1] and (at_joint or line[at].text in ("no", "sorry")) and (end := turned_round(line, at, pieces)):
            at = end
            continue
        end = correction_at(line, at, pieces[-1], at_joint=at_joint) if at else at
        gone = dropped_at(line, at, after_break=at_joint) if at and _can_be_dropped(
            pieces, [token.text for token in line[at:at + 2]]) else at
        if gone > at and gone >= end and not given_anew(line[past_breaks(line, gone):], pieces[-1]):
            _withdraw(pieces, joined(line[at:gone]))
            at = gone
            continue
        if gone > end:
            end = gone
        if end > at:
            while end < len(line) and (line[end].is_break or marker_at(line, end, MENDS_ORDERS) > end):
                end = marker_at(line, end, MENDS_ORDERS) if not line[end].is_break else end + 1
            taken_back += 1
            if taken_back > 1:
                return None
            at = end + put_right(pieces, line[end:end + LONGEST_ORDER])
            continue
        if line[at].text == "while" and pieces[-1] and _meanwhile(line, at, pieces[-1]):
            pieces.append([])
            at += 1
            continue
        may_begin = at_joint or _follows_figure(line, at) or _after_stops(line[at], pieces[-1])
        if pieces[-1] and may_begin and starts(line[at:], pieces[-1]) and not forbids_next(joined(pieces[-1])):
            pieces.append([])
        pieces[-1].append(line[at])
        at += 1
    return [_plainly(trimmed(piece)) for piece in pieces if trimmed(piece)]


_FLOWN = frozenset({"turn", "left", "right", "climb", "descend", "hold", "maintain", "slow", "come", "bank", "level"})
_MEANWHILE = compiled(r"""
    ^while (?:holding|maintaining|keeping|(?:turning|climbing|descending|slowing) (?:\w+ )*\d)""")


def _meanwhile(line: Sequence[Token], at: int, piece: Sequence[Token]) -> bool:
    """Whether "while" joins two orders to the hands: "turn left 240 while descending to 3000"."""
    return not _FLOWN.isdisjoint(token.text for token in piece[:2]) and _MEANWHILE.match(
        joined(line[at:at + 6])) is not None


_HESITATES = frozenset({*JOINTS, "wait", "stop", "no", "oh", "sorry", "ok", "okay", "hang", "hold", "on", "er", "uh",
                        "um", "hm", "hmm", "well", "yes", "yeah", "actually", "please", "just"})
_CANCELLED = frozenset({"ifr", "instrument", "clearance", "plan", "takeoff", "flight"})


def _can_be_dropped(pieces: Sequence[Sequence[Token]], words: Sequence[str]) -> bool:
    """Whether something was said that `words` can take back; "cancel" may cancel IFR, too."""
    said = [token.text for piece in pieces if piece and piece[0].text != WITHDRAWN for token in piece]
    return not _HESITATES.issuperset(said) and (
        words[:1] != ["cancel"] or words[1:2] == ["that"] or _CANCELLED.isdisjoint(said))


def _withdraw(pieces: list[list[Token]], words: str) -> None:
    """Mark the last order as taken back, with those that an "and" joins to it; all of them where `words` say so."""
    last = max(at for at, piece in enumerate(pieces) if piece and piece[0].text != WITHDRAWN
               and any(token.text not in _HESITATES for token in piece))
    first = last
    while first and (takes_all_back(words) or (pieces[first - 1][-1:] and pieces[first - 1][-1].text == "and")):
        first -= 1
    for piece in pieces[first:last + 1]:
        if piece and piece[0].text != WITHDRAWN:
            piece.insert(0, Token(WITHDRAWN, piece[0].start, piece[0].start))
    pieces.append([])


_ORDERED_AS = {"covering": "cover", "uncovering": "uncover", "hiding": "hide", "levelling": "level",
               "leveling": "level",
               "holding": "hold", "maintaining": "maintain", "keeping": "keep", "switching": "switch",
               "squawking": "squawk"}


def _plainly(piece: Sequence[Token]) -> tuple[Token, ...]:
    """Return `piece` with what is told as being done as an order: "covering it" is "cover it"."""
    first = piece[0]
    return (Token(_ORDERED_AS.get(first.text, first.text), first.start, first.end), *piece[1:])


def _after_stops(token: Token, before: Sequence[Token]) -> bool:
    """Whether a takeoff is broken off at `token` after nothing but "stop": "stop stop reject the takeoff"."""
    return token.text in ("reject", "abort", "abandon", "discontinue") and all(each.text == "stop" for each in before)


_AFTER_FIGURE = compiled(r"""
    ^(?:heading \d|climb|descend|maintain|squawk|slow (?:to|\d)|cover|turn (?:left|right)|\d{2,3} (?:knots|kts?)\b)""")


def _follows_figure(line: Sequence[Token], at: int) -> bool:
    """Whether an order follows the figure of the one before without a joint ("left 240 descend to 3000")."""
    return at > 0 and (line[at - 1].text.isdecimal() or line[at - 1].text in UNITS) and _AFTER_FIGURE.match(
        joined(line[at:at + 3])) is not None


def trimmed(piece: Sequence[Token]) -> list[Token]:
    """Return `piece` without joints at its ends."""
    kept = list(piece)
    while kept and kept[-1].text in (*JOINTS, "no"):
        kept.pop()
    while kept and kept[0].text in JOINTS:
        kept.pop(0)
    return kept
