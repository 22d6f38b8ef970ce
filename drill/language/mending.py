"""What a pilot takes back of an order and gives anew: "descend to 3000, no, 4000", "cover the AI, I mean the DG"."""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.corrections import corrected, marker_at
from drill.language.durations import durations
from drill.language.lexicon import name_of
from drill.language.patterns import compiled
from drill.language.starting import JOINTS, UNITS, starts
from drill.language.withdrawn import MENDS_ORDERS
from drill.language.words import Token, joined

WITHDRAWN = "~"
"""Stands, where no typed word can, before an order that was taken back."""
_NO_OF = frozenset({"gyro", "need", "more", "rush", "hurry", "problem", "worries", "doubt", "later", "lower", "higher",
                    "joy", "way", "reason", "point", "sense", "use", "chance", "idea", "choice", "ice", "change",
                    "flaps", "delay", "sweat", "drama", "good"})
_STATES = frozenset({"on", "off", "open", "closed"})
_SIDES = frozenset({"left", "right"})
_GROUPS = (_STATES, _SIDES, frozenset({"up", "down"}), frozenset({"standard", "half"}), frozenset({"more", "less"}),
           frozenset({"climb", "descend"}))
"""Words of which one takes the place of another: "pitot heat on, no, off"."""
_LEADING = frozenset({"the", "my", "our", "to", "at", "a", "heading", "about", "around", "for", "altitude", "code",
                      "by", "of", "just", "only"})
_MENDED = frozenset({"wings", "panel", "thousand", "seconds", "minutes", "minute", "rpm", "up", "down", "climb",
                     "descend", "it", "standard", "half", "heat", "rate", "altitude"})


def _mendable(token: Token) -> bool:
    """Whether a token is something that a correction can put another in place of."""
    return (token.text[0].isdigit() or token.text in UNITS | _STATES | _SIDES or name_of(token.text) is not None
            or token.text in _MENDED)


def correction_at(line: Sequence[Token], at: int, piece: Sequence[Token] = (), *, at_joint: bool = True) -> int:
    """Return the end of the words at `at` that take something back to give it anew, `at` where there are none.

    Without a break before them ("080 sorry 060") they count where what follows can stand for what is just before.
    """
    end = marker_at(line, at, MENDS_ORDERS)
    if end == at or not _marks(line, at, end):
        return at
    after = line[past_breaks(line, end):]
    if line[end - 1].text == "wait" and end == at + 1 and (
            not at_joint or durations(joined(after[:4])) or not given_anew(after, piece) or starts(after)):
        return at   # "alternator off, wait, on", but "wait, 30 seconds"
    told = name_of(after[0].text) if after else None
    plain = line[at].text == "no" and end == at + 1
    if plain and len(_clause(line[end:])) == 1 and starts(after) and not given_anew(after, piece, phrase=True):
        return at   # "roll level, no bank"
    if at_joint:
        return end if told in (None, "place") or given_anew(after, piece) else at
    said = tuple(token.text for token in line[at:at + 3])
    mended = _mendable(line[at - 1]) and given_anew(after, piece, phrase=plain)
    return end if mended or said == ("er", "i", "mean") else at


def _marks(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether the correction word at `at` takes something back ("..., no, left"), and is not part of what is said."""
    if line[end - 1].text in ("that", "it") and line[end - 2].text == "make":
        return line[end - 1].text == "that" or line[at].text != "make" or (
            end < len(line) and line[end].text[0].isdigit())
    if line[at].text == "hang" and end < len(line) and line[end].text[0].isdigit():
        return False
    return line[at].text != "no" or at == 0 or end >= len(line) or line[end].text not in _NO_OF


def given_anew(after: Sequence[Token], piece: Sequence[Token], *, phrase: bool = False) -> bool:
    """Whether the words `after` a correction can stand for something in `piece`: a figure for a figure, a name that
    stands alone for a name, or another order. `phrase`: an order of one word is none ("no climb")."""
    ahead = next((at for at, token in enumerate(after) if token.text not in _LEADING), None)
    if ahead is None:
        return False
    new, rest = after[ahead], after[ahead + 1:ahead + 2]
    if new.text[0].isdigit():
        return any(token.text[0].isdigit() for token in piece)
    alone = not rest or rest[0].is_break or rest[0].text in ("please", "now", "instead", "then", "and")
    for group in _GROUPS:
        if new.text in group and any(token.text in group for token in piece):
            return True
    if new.text in _STATES:
        return False
    if (name := name_of(new.text)) is not None and name != "gyros" and (
            (alone and any(name_of(token.text) not in (None, "gyros") for token in piece))
            or (_named(after) > 1 and _named(piece) > 1)):
        return True
    return starts(after, ()) and not (phrase and alone)


_OTHER_WAY = compiled(r"""
    (?:(?:no|sorry|actually|i mean|make that|,) )*(?:the )?(?:other|opposite) (?:way|side|direction)(?= [,.?]|$)""")
LONGEST_WAY = 8


def turned_round(line: Sequence[Token], at: int, pieces: list[list[Token]]) -> int:
    """Turn the side of the last order round where "the other way" stands at `at`; return its end, or 0."""
    match = _OTHER_WAY.match(joined(line[at:at + LONGEST_WAY]))
    if match is None or all(token.text not in _SIDES for token in pieces[-1]):
        return 0
    other = {"left": "right", "right": "left"}
    pieces[-1] = [Token(other.get(token.text, token.text), token.start, token.end) for token in pieces[-1]]
    return at + len(match.group().split())


def past_breaks(line: Sequence[Token], at: int) -> int:
    """Return the first place from `at` on where no break stands, the length of `line` where there is none."""
    while at < len(line) and line[at].is_break:
        at += 1
    return at


_ONLY_SIDE = frozenset({"left", "right", "turn", "hand", "the", "to", "instead", "please", "it", "a"})


def _without_old(piece: list[Token], clause: Sequence[Token]) -> list[Token]:
    """Return `piece` without its figures, or its names and what follows them, where `clause` has such anew."""
    if any(token.text[0].isdigit() for token in clause):
        kept = [token for token in piece if not token.text[0].isdigit() and token.text not in UNITS]
        return kept[:-1] if kept and kept[-1].is_break else kept
    named = next((at for at, token in enumerate(piece) if name_of(token.text)), len(piece))
    return piece[:named] if any(name_of(token.text) for token in clause) else piece


def _named(line: Sequence[Token]) -> int:
    end = next((at for at, token in enumerate(line) if token.is_break and at), len(line))
    return sum(name_of(token.text) is not None for token in line[:end])


_LED_UP = frozenset({"let", "us", "do", "better", "rather", "i", "want", "would", "have", "it", "should", "be", "is",
                     "meant", "mean", "we", "need", "make", "go", "with", "like", "say", "up", "down"})


def _led_up(after: Sequence[Token], piece: Sequence[Token]) -> int:
    """Return how many words `after` a correction lead up to a bare figure or name for one in `piece`: "no, let us do
    4000"."""
    led = next((at for at, token in enumerate(after) if token.text not in _LED_UP), 0)
    return led if led and not starts(after[led:]) and given_anew(after[led:], piece) and _clause(after[led:]) else 0


def put_right(pieces: list[list[Token]], after: Sequence[Token]) -> int:
    """Put right in the orders so far what the words `after` a correction give anew; return how many are used up."""
    clause = _clause(after)
    if not clause:
        return 0
    piece = pieces[-1]
    sides = [token for token in clause if token.text in _SIDES]
    if len(sides) == 1 and {token.text for token in clause} <= _ONLY_SIDE and any(
            token.text in _SIDES for token in piece):
        pieces[-1] = [sides[0] if token.text in _SIDES else token for token in piece]
        return len(clause)
    group = next((each for each in _GROUPS if clause[0].text in each), frozenset())
    if len(clause) == 1 and any(token.text in group for token in piece):
        last = max(at for at, token in enumerate(piece) if token.text in group)
        pieces[-1] = [*piece[:last], clause[0], *piece[last + 1:]]
        return 1
    if led := _led_up(after, piece):
        return led + put_right(pieces, after[led:])
    if starts(after):
        if piece:
            piece.insert(0, Token(WITHDRAWN, piece[0].start, piece[0].start))
            pieces.append([])
        return 0
    sides = [token for token in after[:3] if token.text in _SIDES]
    if sides and any(token.text in _SIDES for token in piece) and len(after) <= 4:
        figured = any(token.text.isdecimal() for token in after[:3])
        pieces[-1] = [sides[0] if token.text in _SIDES else token for token in piece
                      if not (figured and (token.text.isdecimal() or token.text in UNITS))]
        return 0
    if _named(clause) > 1 and _named(piece) > 1:   # "the AI against the TC, sorry, the DG against the compass"
        pieces[-1] = list(piece[:next(at for at, token in enumerate(piece) if name_of(token.text))])
        return 0
    used = 0
    if after[0].text in ("at", "to", "for", "about", "around", "by") and len(after) > 1 and (
            after[1].text == "<place>" or after[1].text[0].isdigit()):
        after, used = after[1:], 1
    if after[0].text == "<place>":
        pieces[-1] = [after[0] if token.text == "<place>" else token for token in piece]
        return used + (after[0] in pieces[-1])
    mended = corrected([*piece, Token("correction", after[0].start, after[0].start), *after])
    only = clause[0].text in ("just", "only") and _named(clause) > 0
    if only or any(token.text == "correction" for token in mended[len(piece):]):
        pieces[-1] = _without_old(piece, clause)
        return used
    pieces[-1] = list(mended[:max(0, len(mended) - len(after))]) if len(mended) >= len(after) else list(mended)
    in_place = after[0].text[0].isdigit() and after[0].text in (token.text for token in pieces[-1])
    return used + in_place   # the figure stands where the one taken back stood


def _clause(after: Sequence[Token]) -> Sequence[Token]:
    """Return `after` to its first break or joint."""
    end = next((at for at, token in enumerate(after) if token.text in JOINTS), len(after))
    return after[:end]
