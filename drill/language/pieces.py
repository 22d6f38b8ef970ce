"""A typed line cut into its orders, with what was corrected put right."""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language import conditional
from drill.language.corrections import corrected, marker_at
from drill.language.durations import durations
from drill.language.forbidding import forbids_next
from drill.language.lexicon import name_of
from drill.language.orders import without_opening
from drill.language.patterns import compiled
from drill.language.withdrawn import MENDS_ORDERS, dropped_at, takes_all_back
from drill.language.words import Token, joined

LONGEST_ORDER = 40
"""Words and breaks; what is longer is a tale, not an order."""

_STARTERS = compiled(r"""
    ^(?:covering|uncovering|hiding|levell?ing|switching|squawking|quit|hightail|nip|bail|consult|suss|shine|plaster|
    bung|whip|pin|nail|look|sweep|peer|fold|freeze|(?:we are|were|i am) going (?:to|into) <place|show me|read me|
    check|scan|read|peek|glance|examine|view|watch|monitor|verify|inspect|observe|
    have (?:a|another|one more) (?:quick |good |close )?look|take a|what|how|compare|cross|sync\w*|match|stuff|
    shove|jam|wedge|tuck|cover|hide|mask|block off|tape|stick|slap|put|uncover|unhide|peel|remove|fly|flying|use|go|
    trust|rely|turn|left|right|come|steer|bank|roll|level|wings|center|straighten|stop|climb|descend|maintain|hold|
    keep|stay|start|begin|slow|speed|accelerate|reduce|increase|add|set|squawk|ident|tune|dial|switch|select|open|
    close|engage|disengage|kill|activate|disconnect|turn on|reset|sync|align|pull|push|raise|lower|flaps|power|
    throttle|idle|pitch|nose|divert|continue|return|taxi|abort|reject|land|cancel|shut|run|do|get|wait|give|sit|
    hang|pause|defer|placard|enter|write|log|done|break|partial panel|full panel|head|proceed|press on|make|execute|
    call|tell|inform|say|advise|declare|request|ask|report|transmit|radio|broadcast|let|reply|answer|qnh|timed|
    standard rate|half standard|do not|never|ease|drop|increase|apply|secure|cut|tap|note|restart|try|track|
    intercept|follow|ignore|forget|disregard|descending|climbing|recover|direct|bearing|ck|chk|hand fly|bug|
    heading (?:bug|mode|select)|altitude hold|depart|take ?off|swing|carry|crack on|abandon|target|disconnect|
    cruise|arrest|neutrali[sz]e|zero|release|brakes?|roll)\b|^(?:heading|hdg) \d{2,3}\b|
    ^<(?:place|panel)> (?:looks?|is|are)\b|^\d{2,3} (?:knots|kts?)\b|
    ^<\w+> (?:only |alone )?for (?:the )?(?:bank|pitch|roll|heading)\b|^(?:partial|full|limited) <panel>|
    ^<(?:pitot_heat|alternate_static|standby_vacuum|avionics|landing_light|nav_lights|strobes|autopilot|
    carburettor_heat|alternator|battery|master)> (?:to )?(?:on|off|open|closed)\b""")
JOINTS = frozenset({",", ".", "?", "and", "then", "plus", "but", "so"})
WITHDRAWN = "~"
"""Stands, where no typed word can, before an order that was taken back."""


def pieces_of(line: Sequence[Token]) -> list[tuple[Token, ...]] | None:
    """Return the orders of a line, corrected; None when it was taken back and forth so often that nothing stands."""
    pieces: list[list[Token]] = [[]]
    taken_back = 0
    at = 0
    while at < len(line):
        at_joint = at == 0 or line[at - 1].text in JOINTS
        if pieces[-1] and (at_joint or line[at].text in ("no", "sorry")) and (end := _other_way(line, at, pieces)):
            at = end
            continue
        end = correction_at(line, at, pieces[-1], at_joint=at_joint) if at else at
        gone = dropped_at(line, at, after_break=at_joint) if at and _can_be_dropped(
            pieces, [token.text for token in line[at:at + 2]]) else at
        if gone > at and gone >= end and not _anew(line[_past_breaks(line, gone):], pieces[-1]):
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
            at = end + _replace(pieces, line[end:end + LONGEST_ORDER])
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


def _past_breaks(line: Sequence[Token], at: int) -> int:
    while at < len(line) and line[at].is_break:
        at += 1
    return at


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


def correction_at(line: Sequence[Token], at: int, piece: Sequence[Token] = (), *, at_joint: bool = True) -> int:
    """Return the end of the words at `at` that take something back to give it anew, `at` where there are none.

    Without a break before them ("080 sorry 060") they count where what follows can stand for what is just before.
    """
    end = marker_at(line, at, MENDS_ORDERS)
    if end == at or not _marks(line, at, end):
        return at
    after = line[_past_breaks(line, end):]
    if line[end - 1].text == "wait" and end == at + 1 and (
            not at_joint or durations(joined(after[:4])) or not _anew(after, piece) or starts(after)):
        return at   # "alternator off, wait, on", but "wait, 30 seconds"
    told = name_of(after[0].text) if after else None
    plain = line[at].text == "no" and end == at + 1
    if plain and len(_clause(line[end:])) == 1 and starts(after) and not _anew(after, piece, phrase=True):
        return at   # "roll level, no bank"
    if at_joint:
        return end if told in (None, "place") or _anew(after, piece) else at
    said = tuple(token.text for token in line[at:at + 3])
    mended = _mendable(line[at - 1]) and _anew(after, piece, phrase=plain)
    return end if mended or said == ("er", "i", "mean") else at


def _marks(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether the correction word at `at` takes something back ("..., no, left"), and is not part of what is said."""
    if line[end - 1].text in ("that", "it") and line[end - 2].text == "make":
        return line[end - 1].text == "that" or line[at].text != "make" or (
            end < len(line) and line[end].text[0].isdigit())
    if line[at].text == "hang" and end < len(line) and line[end].text[0].isdigit():
        return False
    return line[at].text != "no" or at == 0 or end >= len(line) or line[end].text not in _NO_OF


_STATES = frozenset({"on", "off", "open", "closed"})
_SIDES = frozenset({"left", "right"})
_OTHER_WAY = compiled(r"""
    (?:(?:no|sorry|actually|i mean|make that|,) )*(?:the )?(?:other|opposite) (?:way|side|direction)(?= [,.?]|$)""")


def _other_way(line: Sequence[Token], at: int, pieces: list[list[Token]]) -> int:
    """Turn the side of the last order round where "the other way" stands at `at`; return its end, or 0."""
    match = _OTHER_WAY.match(joined(line[at:at + LONGEST_WAY]))
    if match is None or all(token.text not in _SIDES for token in pieces[-1]):
        return 0
    other = {"left": "right", "right": "left"}
    pieces[-1] = [Token(other.get(token.text, token.text), token.start, token.end) for token in pieces[-1]]
    return at + len(match.group().split())


LONGEST_WAY = 8
_GROUPS = (_STATES, _SIDES, frozenset({"up", "down"}), frozenset({"standard", "half"}), frozenset({"more", "less"}),
           frozenset({"climb", "descend"}))
"""Words of which one takes the place of another: "pitot heat on, no, off"."""
_LEADING = frozenset({"the", "my", "our", "to", "at", "a", "heading", "about", "around", "for", "altitude", "code",
                      "by", "of", "just", "only"})


_MENDED = frozenset({"wings", "panel", "thousand", "seconds", "minutes", "minute", "rpm", "up", "down", "climb",
                     "descend", "it", "standard", "half", "heat", "rate", "altitude"})


def _mendable(token: Token) -> bool:
    """Whether a token is something that a correction can put another in place of."""
    return (token.text[0].isdigit() or token.text in _UNITS | _STATES | _SIDES or name_of(token.text) is not None
            or token.text in _MENDED)


def _anew(after: Sequence[Token], piece: Sequence[Token], *, phrase: bool = False) -> bool:
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


def _after_stops(token: Token, before: Sequence[Token]) -> bool:
    """Whether a takeoff is broken off at `token` after nothing but "stop": "stop stop reject the takeoff"."""
    return token.text in ("reject", "abort", "abandon", "discontinue") and all(each.text == "stop" for each in before)


_NO_OF = frozenset({"gyro", "need", "more", "rush", "hurry", "problem", "worries", "doubt", "later", "lower", "higher",
                    "joy", "way", "reason", "point", "sense", "use", "chance", "idea", "choice", "ice", "change",
                    "flaps", "delay", "sweat", "drama", "good"})
_UNITS = frozenset({"feet", "ft", "knots", "kts", "kt", "degrees"})
_AFTER_FIGURE = compiled(r"""
    ^(?:heading \d|climb|descend|maintain|squawk|slow to|cover|turn (?:left|right)|\d{2,3} (?:knots|kts?)\b)""")


def _follows_figure(line: Sequence[Token], at: int) -> bool:
    """Whether an order follows the figure of the one before without a joint ("left 240 descend to 3000")."""
    return at > 0 and (line[at - 1].text.isdecimal() or line[at - 1].text in _UNITS) and _AFTER_FIGURE.match(
        joined(line[at:at + 3])) is not None


def starts(line: Sequence[Token], before: Sequence[Token] = ()) -> bool:
    """Whether an order begins with `line`, `before` being the words of the order so far."""
    said = {token.text for token in before[-LONGEST_ORDER:]}
    if line[0].text == "maintain" and said & {"climb", "descend", "climbing", "descending", "turn"}:
        return False   # "descend and maintain" is one order
    if line[0].text in ("heading", "hdg") and (not said.isdisjoint(_TURNING) or said <= {",", "no", "and", "then"}):
        return False   # "turn left, heading 240" is one order
    if line[0].text in ("wait", "just") and before and durations(joined(before)) and len(before) <= 4:
        return False   # "five minutes, just wait"
    if line[0].text in said & {"left", "right"} and (len(line) == 1 or line[1].is_break):
        return False   # "turn left 20, left"
    if line[0].text in ("left", "right") and said & {"heading", "hdg"} and said.isdisjoint({"left", "right"}) and (
            re.fullmatch(r"(?:left|right)(?: hand)?(?: turn)?(?: [,.])?", joined(line[:4]))):
        return False   # "set heading 360, left turn"
    if line[0].text in ("left", "right") and before and re.fullmatch(r"\d{1,3}(?: degrees)?(?: ,)?", joined(before)):
        return False   # "one eighty, right hand"
    if line[0].text in ("left", "right") and len(line) > 1 and line[1].text == "hand" and (
            len(line) == 2 or line[2].is_break) and not said.isdisjoint(_TURNING):
        return False   # "swing round 120 degrees, right hand"
    if line[0].text == "roll" and len(line) > 1 and line[1].text == "out" and not said.isdisjoint(_TURNING):
        return False   # "turn left and roll out on 180"
    if line[0].text == "stop" and len(line) > 2 and line[1].text in ("at", "on") and not said.isdisjoint(_TURNING):
        return False   # "turn left and stop on 240"
    if line[0].text in ("standard", "half") and not said.isdisjoint(_TURNING):
        return False   # "turn left, standard rate, heading 240" is one order
    if before and _SWITCHED.match(joined(line[:1])) and all(
            token.is_break or token.text == "and" or _SWITCHED.match(token.text) for token in before):
        return False   # "pitot heat, alternate static on"
    if not said.isdisjoint({"glide", "speed", "pitch", "slow"}) and re.match(r"^\d{2,3} (?:knots|kts?)$",
                                                                                         joined(line[:2])):
        return False   # "best glide, 72 knots"
    if line[0].text in ("climb", "descend", "climbing", "descending") and (len(line) == 1 or line[1].is_break) and any(
            token.text.isdecimal() for token in before):
        return False   # "up to eight thousand, climb"
    if line[0].text == "power" and "pitch" in said:
        return False   # "pitch and power for 95" is one order
    if before and line[0].text in _BARE_VERBS and (len(line) == 1 or line[1].is_break or line[1].text == "it") and all(
            token.is_break or name_of(token.text) for token in before):
        return False   # "alternate static, open"
    if (line[0].text, line[1].text if len(line) > 1 else "") in _ASKS_OF_BOTH:
        return False   # "airspeed and altimeter, do they agree"
    if line[0].text == "level" and before and before[-1].text == "and" and "straight" in said:
        return False
    plain = without_opening(joined(line[:12]))
    return _STARTERS.match(plain) is not None or conditional.opens(plain)


_SWITCHED = compiled(r"""
    ^<(?:pitot_heat|alternate_static|standby_vacuum|avionics|landing_light|nav_lights|strobes|autopilot|
    carburettor_heat|alternator|battery)>$""")
_ASKS_OF_BOTH = frozenset({("do", "they"), ("do", "these"), ("do", "both"), ("are", "they"), ("does", "it")})
_BARE_VERBS = frozenset({"pull", "open", "on", "off", "close", "closed", "engage", "push", "disengage", "disconnect"})
_TURNING = frozenset({"turn", "turning", "left", "right", "come", "steer", "fly", "bank", "roll", "head", "swing"})


_ONLY_SIDE = frozenset({"left", "right", "turn", "hand", "the", "to", "instead", "please", "it", "a"})


def _without_old(piece: list[Token], clause: Sequence[Token]) -> list[Token]:
    """Return `piece` without its figures, or its names and what follows them, where `clause` has such anew."""
    if any(token.text[0].isdigit() for token in clause):
        kept = [token for token in piece if not token.text[0].isdigit() and token.text not in _UNITS]
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
    return led if led and not starts(after[led:]) and _anew(after[led:], piece) and _clause(after[led:]) else 0


def _replace(pieces: list[list[Token]], after: Sequence[Token]) -> int:
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
        return led + _replace(pieces, after[led:])
    if starts(after):
        if piece:
            piece.insert(0, Token(WITHDRAWN, piece[0].start, piece[0].start))
            pieces.append([])
        return 0
    sides = [token for token in after[:3] if token.text in _SIDES]
    if sides and any(token.text in _SIDES for token in piece) and len(after) <= 4:
        figured = any(token.text.isdecimal() for token in after[:3])
        pieces[-1] = [sides[0] if token.text in _SIDES else token for token in piece
                      if not (figured and (token.text.isdecimal() or token.text in _UNITS))]
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


def trimmed(piece: Sequence[Token]) -> list[Token]:
    """Return `piece` without joints at its ends."""
    kept = list(piece)
    while kept and kept[-1].text in (*JOINTS, "no"):
        kept.pop()
    while kept and kept[0].text in JOINTS:
        kept.pop(0)
    return kept
