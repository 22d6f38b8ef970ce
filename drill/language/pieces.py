"""A typed line cut into its orders, with what was corrected put right."""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language import conditional
from drill.language.corrections import corrected, marker_at
from drill.language.durations import durations
from drill.language.lexicon import name_of
from drill.language.orders import without_opening
from drill.language.patterns import compiled
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
ACTION_MARKERS = tuple(tuple(words.split()) for words in (
    "correction", "i mean", "make that", "scratch that", "i meant", "or rather", "strike that", "no wait",
    "wait no", "sorry", "no", "no make that", "actually", "no sorry", "nope", "sorry make that", "wait , no",
    "no , make that", "actually make that", "make it", "no make it", "actually no", "rather", "oops", "er no",
    "uh no", "no , wait", "no i mean", "no , i mean", "er", "negative", "er i mean", "jk", "just kidding",
    "oops wrong", "nah", "nah ,", "hang on", "hang on ,", "i mean ,", "no wait ,", "er ,"))
"""Words with which a pilot takes back an order and gives it anew."""


def pieces_of(line: Sequence[Token]) -> list[tuple[Token, ...]] | None:
    """Return the orders of a line, corrected; None when it was taken back and forth so often that nothing stands."""
    pieces: list[list[Token]] = [[]]
    taken_back = 0
    at = 0
    while at < len(line):
        at_joint = at == 0 or line[at - 1].text in JOINTS
        end = marker_at(line, at, ACTION_MARKERS) if at and (at_joint or _mends(line, at)) else at
        told = name_of(line[end].text) if end < len(line) else None
        if end > at and told in (None, "place") and marks(line, at, end):
            while end < len(line) and (line[end].is_break or marker_at(line, end, ACTION_MARKERS) > end):
                end = marker_at(line, end, ACTION_MARKERS) if not line[end].is_break else end + 1
            taken_back += 1
            if taken_back > 1:
                return None
            _replace(pieces, line[end:end + LONGEST_ORDER])
            in_place = end < len(line) and line[end].text.isdecimal() and line[end].text in (
                token.text for token in pieces[-1])
            at = end + 1 if in_place else end   # the figure stands where the one taken back stood
            continue
        may_begin = at_joint or _follows_figure(line, at) or _after_stops(line[at], pieces[-1])
        if pieces[-1] and may_begin and starts(line[at:], pieces[-1]):
            pieces.append([])
        pieces[-1].append(line[at])
        at += 1
    return [_plainly(trimmed(piece)) for piece in pieces if trimmed(piece)]


_ORDERED_AS = {"covering": "cover", "uncovering": "uncover", "hiding": "hide", "levelling": "level",
               "leveling": "level",
               "switching": "switch", "squawking": "squawk"}


def _plainly(piece: Sequence[Token]) -> tuple[Token, ...]:
    """Return `piece` with what is told as being done as an order: "covering it" is "cover it"."""
    first = piece[0]
    return (Token(_ORDERED_AS.get(first.text, first.text), first.start, first.end), *piece[1:])


def marks(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether the correction word at `at` takes something back ("..., no, left"), and is not part of what is said."""
    if line[at].text == "make":
        return line[at + 1].text == "that" or (end < len(line) and line[end].text.isdecimal())
    if line[at].text == "hang" and end < len(line) and line[end].text[0].isdigit():
        return False
    return line[at].text != "no" or at == 0 or end >= len(line) or line[end].text not in _NO_OF


def _mends(line: Sequence[Token], at: int) -> bool:
    """Whether a correction stands at `at` without a break: "080 sorry 060", "the airspeed er I mean the altimeter"."""
    if line[at - 1].text.isdecimal() and at + 1 < len(line) and line[at + 1].text.isdecimal():
        return line[at].text in ("sorry", "no", "er", "correction", "negative", "nope", "jk", "rather")
    if line[at - 1].text.isdecimal() and (end := marker_at(line, at, ACTION_MARKERS)) > at and end < len(line):
        return starts(line[end:])   # "descend four thousand no wait descend five thousand"
    return tuple(token.text for token in line[at:at + 3]) == ("er", "i", "mean")


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


_ASKS_OF_BOTH = frozenset({("do", "they"), ("do", "these"), ("do", "both"), ("are", "they"), ("does", "it")})
_BARE_VERBS = frozenset({"pull", "open", "on", "off", "close", "closed", "engage", "push", "disengage", "disconnect"})
_TURNING = frozenset({"turn", "turning", "left", "right", "come", "steer", "fly", "bank", "roll", "head", "swing"})


def _replace(pieces: list[list[Token]], after: Sequence[Token]) -> None:
    """Drop from the orders so far what the words `after` a correction put right."""
    if not after:
        return
    if starts(after):
        pieces[-1] = []
        return
    sides = [token for token in after[:3] if token.text in ("left", "right")]
    if sides and any(token.text in ("left", "right") for token in pieces[-1]) and len(after) <= 4:
        pieces[-1] = [sides[0] if token.text in ("left", "right") else token for token in pieces[-1]
                      if not (after[0].text.isdecimal() and (token.text.isdecimal() or token.text in _UNITS))]
        return
    if after[0].text in ("at", "to", "for") and len(after) > 1 and after[1].text == "<place>":
        after = after[1:]
    if after[0].text == "<place>":
        pieces[-1] = [after[0] if token.text == "<place>" else token for token in pieces[-1]]
        return
    mended = corrected([*pieces[-1], Token("correction", after[0].start, after[0].start), *after])
    pieces[-1] = list(mended[:max(0, len(mended) - len(after))]) if len(mended) >= len(after) else list(mended)


def trimmed(piece: Sequence[Token]) -> list[Token]:
    """Return `piece` without joints at its ends."""
    kept = list(piece)
    while kept and kept[-1].text in (*JOINTS, "no"):
        kept.pop()
    while kept and kept[0].text in JOINTS:
        kept.pop(0)
    return kept
