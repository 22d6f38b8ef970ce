"""A typed line read whole: the orders in it, in their order, and what goes out on the radio."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TypeAlias

from drill.clean import clean_line
from drill.language import conditional, decisions, instruments, maneuvers, radio, switches
from drill.language.calls import read_call
from drill.language.corrections import corrected, marker_at
from drill.language.durations import durations
from drill.language.leftovers import (
    NOT_UNDERSTOOD,
    left_over,
    not_understood,
    part_by_part,
    says_nothing,
    with_referent,
)
from drill.language.lexicon import name_of, with_names
from drill.language.meaning import (
    Action,
    BreakOff,
    Context,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    StopTurn,
    Switch,
    Taxi,
    Unclear,
)
from drill.language.numbers import join_numbers
from drill.language.orders import Order, order, without_opening
from drill.language.places import with_places
from drill.language.shorthand import spelled_out
from drill.language.spelling import spelled
from drill.language.words import Token, joined, tokens

Rule: TypeAlias = Callable[[Order], list[Action] | None]

RULES: tuple[Rule, ...] = (
    decisions.break_off, decisions.checklist_item, decisions.checklist, decisions.write_up, decisions.timer,
    decisions.wait,
    instruments.uncover, instruments.align, instruments.cover, switches.transponder, switches.breaker,
    instruments.compare, maneuvers.go_around, maneuvers.level_wings, maneuvers.stop_turn, maneuvers.timed_turn,
    maneuvers.track, maneuvers.bug, switches.by_whom, instruments.fly_by,
    instruments.look, switches.switch, switches.tune, maneuvers.flaps, maneuvers.power, maneuvers.pitch,
    decisions.run_up, decisions.taxi, decisions.decide,
    maneuvers.turn_rate, maneuvers.airspeed, maneuvers.altitude, maneuvers.turn, decisions.diagnose,
    switches.named_only,
)
"""Every way to read an order; the first that fits is taken."""

ASK_WHAT = "I could not tell what to do; say one thing to do, for example look at an instrument, turn, or call ATC."
ASK_WHICH = "That can be taken in two ways; which one do you want?"
ASK_REST = "That is more than can be taken in one line; say the rest again."
MOST_ORDERS = 20
LONGEST_ORDER = 40
"""Words and breaks; what is longer is a tale, not an order."""
LONGEST_ANSWER = 80
ASK_NOT_DONE = "Nothing is done for that; what do you want to do instead?"

_STARTERS = re.compile(
    r"^(?:look|sweep|peer|fold|freeze|(?:we are|were|i am) going (?:to|into) <place|show me|read me|check|scan|read|"
    r"peek|"
    r"glance|examine|view|watch|"
    r"monitor|verify|inspect|observe|have a "
    r"look|"
    r"take a|what|how|"
    r"compare|cross|sync\w*|match|stuff|shove|jam|wedge|tuck|cover|hide|mask|block off|tape|stick|slap|put|uncover|"
    r"unhide|peel|remove|fly|flying|"
    r"use|go|trust|rely|"
    r"turn|left|right|come|steer|bank|roll|level|wings|center|straighten|stop|climb|descend|maintain|hold|"
    r"keep|stay|start|begin|slow|"
    r"speed|accelerate|reduce|increase|add|set|squawk|ident|tune|dial|switch|select|open|close|engage|"
    r"disengage|kill|activate|disconnect|turn on|"
    r"reset|sync|align|pull|push|raise|lower|flaps|power|throttle|idle|pitch|nose|divert|continue|return|"
    r"taxi|abort|reject|land|cancel|"
    r"shut|run|do|get|wait|give|sit|hang|pause|defer|placard|enter|write|log|done|break|partial panel|"
    r"full panel|head|proceed|"
    r"press on|make|execute|call|tell|inform|say|advise|declare|request|ask|report|transmit|radio|"
    r"broadcast|let|reply|answer|"
    r"qnh|timed|standard rate|half standard|do not|never|ease|drop|increase|apply|secure|cut|tap|note|"
    r"restart|try|track|intercept|follow|ignore|descending|climbing|recover|direct|bearing|ck|chk|"
    r"hand fly|bug|heading (?:bug|mode|select)|altitude hold|depart|take ?off|swing|carry|crack on|abandon|target|"
    r"disconnect|cruise|arrest|"
    r"neutrali[sz]e|zero|release|brakes?|roll)\b"
    r"|^(?:heading|hdg) \d{2,3}\b|^<(?:place|panel)> (?:looks?|is|are)\b"
    r"|^\d{2,3} (?:knots|kts?)\b|^<\w+> (?:only |alone )?for (?:the )?(?:bank|pitch|roll|heading)\b|"
    r"^(?:partial|full|limited) <panel>"
    r"|^<(?:pitot_heat|alternate_static|standby_vacuum|avionics|landing_light|nav_lights|strobes|autopilot|"
    r"carburettor_heat|alternator|battery|master)> (?:to )?(?:on|off|open|closed)\b")
FORBIDDEN: list[Action] = []
"""The reading of an order that only forbids ("do not touch the pitot heat"): nothing is done."""
_JOINTS = frozenset({",", ".", "?", "and", "then", "plus", "but"})
_NEGATED = re.compile(r"^(?:do not|never(?! mind)|avoid|i (?:will|would|do|am) not|not going to|no need to|"
                      r"without|i am not|leave(?! \d)|not|let us not|please do not)\b")
_KEEPS = re.compile(r"\bdo not climb(?: and| or| ,)? (?:do not )?descend\b|\bdo not (?:lose|gain) (?:any "
                    r")?(?:altitude|height)\b|\bdo not (?:climb|"
                    r"descend) or\b|^leave (?:that|it)\b")
_CONTRARY = (
    re.compile(r"\bclimb(?:ing)?\b(?: or| and)+ descend|\bdescend\b(?: or| and)+ climb|\bleft (?:and|"
               r"or) right\b|\bright (?:and|or) left\b|\bon (?:and|or) off\b|\boff (?:and|or) on\b|"
               r"\bopen (?:and|or) closed?\b|\bup (?:and|or) down\b|\bfaster and slower\b|"
               r"\bcover and uncover\b"),
    re.compile(r"\b(?:either|maybe|perhaps|not sure (?:if|whether)|should i|shall i|will i|(?<!see )(?<!check "
               r")(?<!verify )(?<!look )(?<!tell )"
               r"(?<!determine )whether)\b|\?.*\bor\b|"
               r"\bor (?:maybe|should|else|land|continue|divert|return|press|turn|climb|descend|go|hold|carry|head|"
               r"press|keep|"
               r"stay|wait|abort|left|right|<\w+> off|to <place>|<place>)\b"),
)
_ACTION_MARKERS: tuple[tuple[str, ...], ...] = (
    ("correction",), ("i", "mean"), ("make", "that"), ("scratch", "that"), ("i", "meant"), ("or", "rather"),
    ("strike", "that"),
    ("no", "wait"), ("wait", "no"), ("sorry",), ("no",), ("no", "make", "that"), ("actually",), ("no", "sorry"),
    ("nope",), ("sorry", "make", "that"), ("wait", ",", "no"), ("no", ",", "make", "that"),
    ("actually", "make", "that"), ("actually", "no"), ("rather",), ("oops",), ("er", "no"), ("uh", "no"),
    ("no", ",", "wait"), ("no", "i", "mean"), ("no", ",", "i", "mean"), ("er",), ("negative",), ("er", "i", "mean"),
                                                                                                 ("nah",), ("nah",
                                                                                                            ","),
                                                                                                            ("hang",
                                                                                                          "on"),
                                                                                                          ("hang",
                                                                                                           "on",
                                                                                                           ","),
                                                                                                           ("i",
                                                                                                            "mean",
                                                                                                            ","),
                                                                                                            ("no",
                                                                                                             "wait",
                                                                                                      ","), ("er", ","),
)


def read(line: str, context: Context) -> list[Action]:
    """Return what a typed line orders, in order; never empty and never raises.

    A semicolon parts orders, also from what is said on the radio before it. What cannot be read, excludes itself, or
    is only forbidden ("don't touch the pitot heat") is one `Unclear`; so is, in its place, each part of a line that
    is not understood beside others that are.
    """
    lines = _lines(clean_line(line))
    found = [_read_line(each, context) for each in lines[:MOST_ORDERS]]
    if len(found) > 1:
        found = [[not_understood(order(tokens(each), each, context.lexicon))] if actions == [Unclear(ASK_WHAT)]
                 else actions for each, actions in zip(lines[:MOST_ORDERS], found, strict=True)]
    if len(lines) > MOST_ORDERS:
        found.append([Unclear(ASK_REST)])
    return [action for actions in found for action in actions] or [Unclear(ASK_WHAT)]


def _lines(typed: str) -> list[str]:
    """Return the parts of a line between semicolons outside quotation marks, a correction with what it corrects."""
    if ";" not in typed:
        return [typed] if any(not token.is_break for token in tokens(typed)) else []
    parts: list[str] = []
    for piece in re.findall(r'(?:[^;"]|"[^"]*"|")+', typed):
        words = [token for token in tokens(piece) if not token.is_break]
        if not words:
            continue
        if parts and (end := marker_at(words, 0, _ACTION_MARKERS)) and _marks(words, 0, end):
            parts[-1] += "," + piece
        else:
            parts.append(piece)
    return parts


def _read_line(typed: str, context: Context) -> list[Action]:
    raw = tokens(typed)
    fixed = spelled(raw, context.lexicon)
    if radio.is_call(fixed, context):
        return [radio.transmit(raw, typed, context, whole=True)]
    spoken_from = _radio_start(fixed)
    if spoken_from >= 0 and (cut := radio.spoken_until(fixed[spoken_from:], typed, context)) is not None:
        return [*_read_line(typed[:cut[0]], context), *_read_line(typed[cut[1]:], context)]
    if spoken_from >= 0 and fixed[spoken_from].text == "declare" and conditional.is_conditional(
            joined(fixed[spoken_from:])):
        spoken_from = -1
    if spoken_from > 0 and _waits(fixed[:spoken_from], typed):
        spoken_from = -1
    actions: list[Action] = []
    if spoken_from > 0 or spoken_from == -1:
        actions = _orders(fixed if spoken_from == -1 else fixed[:spoken_from], typed, context)
    if spoken_from >= 0:
        if actions == [Unclear(ASK_WHAT)]:
            before = order(_trimmed(fixed[:spoken_from]), typed, context.lexicon)
            actions = [] if says_nothing(before) else [not_understood(before)]
        actions.append(radio.transmit(fixed[spoken_from:], typed, context, whole=False))
    return actions


def _radio_start(line: Sequence[Token]) -> int:
    """Return where the words for the radio begin, -1 when none are."""
    for at, token in enumerate(line):
        if at == 0 or line[at - 1].text in _JOINTS:
            if token.text in _JOINTS:
                continue
            if radio.opens_radio(joined(line[at:at + LONGEST_ORDER])):
                return at
    return -1


def _waits(line: Sequence[Token], typed: str) -> bool:
    """Whether a condition in the orders of `line` governs what comes after them, too."""
    pieces = conditional.together(_pieces(line) or (), typed)
    return bool(pieces) and conditional.opens(joined(pieces[-1])) and "." not in typed[pieces[-1][-1].end:line[-1].end]


def _orders(line: Sequence[Token], typed: str, context: Context) -> list[Action]:
    book = context.lexicon
    named, _ = with_places(with_names(spelled_out(join_numbers(line), typed), book.cockpit), typed, context)
    named = _without_right(named)
    pieces = _pieces(named)
    if pieces is None or any(pattern.search(joined(named)) for pattern in _CONTRARY):
        return [Unclear(ASK_WHICH)]
    pieces = conditional.together(pieces, typed)
    orders = [order(piece, typed, book) for piece in pieces[:MOST_ORDERS]]
    readings = [_read_piece(each, named) for each in orders]
    forbidden = any(reading is FORBIDDEN for reading in readings)
    if not any(readings) and not forbidden and (whole := _first_fit(order(named, typed, book))):
        return whole
    actions: list[Action] = []
    for at, (each, reading) in enumerate(zip(orders, readings, strict=True)):
        found = reading
        if found is None and (meant := with_referent(each, orders[:at])) is not None:
            found = _first_fit(meant)
            if found is not None and at == 1 and orders[0].names and len(orders[0].line) <= 3:
                actions.clear()   # "heat for the pitot tube, switch it off": the name leads up to the order
        if found is None:
            found = part_by_part(each, _first_fit)
        actions += [action for action in found if action not in actions[-1:]]
    if len(pieces) > MOST_ORDERS:
        actions.append(Unclear(ASK_REST))
    if _undoes(actions) and not any(token.text == "then" for token in line):
        return [Unclear(ASK_WHICH)]
    if any(not isinstance(action, Unclear) or not action.ask.startswith(NOT_UNDERSTOOD) for action in actions):
        return _settled(actions)
    if not forbidden and len(line) <= LONGEST_ANSWER and _answers_atc(typed, context):
        return [radio.transmit(line, typed, context, whole=True)]
    return [Unclear(ASK_NOT_DONE if forbidden else ASK_WHAT)]


def _without_right(line: tuple[Token, ...]) -> tuple[Token, ...]:
    """Return `line` without a "right then" or "right," that only leads up to an order and turns nowhere."""
    if len(line) < 3 or line[0].text not in ("right", "alright", "okay", "ok"):
        return line
    leads = line[1].text == "then" or (line[1].text == "," and _starts(line[2:]) and not re.match(
        r"^(?:heading|hdg|turn|to|\d)", line[2].text))
    return line[2:] if leads else line


def _answers_atc(typed: str, context: Context) -> bool:
    """Whether a line tells persons on board or fuel, or asks for what nobody but ATC can give."""
    call = read_call(typed, context)
    return call.souls is not None or call.fuel_min is not None or bool(call.assistance)


def _undoes(actions: Sequence[Action]) -> bool:
    """Whether a switch is put on and off, or a flight continued and given up, in one breath."""
    switched = [action for action in actions if isinstance(action, Switch)]
    plans = {action.plan for action in actions if isinstance(action, Decide)}
    return bool("continue" in plans and plans & {"divert", "return_to_ramp", "abort_takeoff"}) or any(
        one.what == other.what and one.to != other.to for one, other in pairwise(switched))


def _settled(actions: list[Action]) -> list[Action]:
    """Return `actions` without a stop that wings level, or standing still, has already brought about, and with
    one thing to fly by, the last ("ignore the horizon, fly partial panel")."""
    if any(isinstance(action, LevelWings) or action in (Decide("stop_taxi"),
                                                               Decide("abort_takeoff")) for action in actions):
        actions = [action for action in actions if not isinstance(action, StopTurn)]
    if Decide("abort_takeoff") in actions:
        actions = [action for action in actions if action != Decide("stop_taxi") and not isinstance(action, BreakOff)]
    if Decide("return_to_ramp") in actions:
        actions = [action for action in actions if not isinstance(action, Taxi)]
    flown_by = [action for action in actions if isinstance(action, FlyBy)]
    return [action for action in actions if not isinstance(action, FlyBy) or action is flown_by[-1]]


def _read_piece(piece: Order, line: Sequence[Token]) -> list[Action] | None:
    """Return what one order says: `FORBIDDEN` where it only forbids, None where it is not understood."""
    text = without_opening(piece.text)
    if conditional.is_conditional(piece.text) and not _is_told(piece):
        return [conditional.asked_in_time(piece.line, piece.typed)]
    if (instead := instruments.distrust(piece)) is not None:
        return instead
    if _NEGATED.match(text) and not _KEEPS.search(text):
        failed = decisions.diagnose(piece) if re.match(r"^(?:do not (?:trust|have|believe)|i do not|not)\b",
                                                       text) else None
        return failed or FORBIDDEN
    found = maneuvers.altitude(piece) if _KEEPS.search(text) else _first_fit(piece)
    if found is None and re.match(r"^(?:compare|cross)\b", text):
        found = instruments.compare(order(line, piece.typed, piece.book))
    return [*found, *left_over(piece, found, _first_fit)] if found else None


def _is_told(piece: Order) -> bool:
    """Whether `piece` tells of what failed, or only talks: "it died when we turned" is no condition."""
    found = _first_fit(piece)
    if found is None:
        return not conditional.opens(piece.text) or decisions.wait(piece) is not None
    return all(isinstance(action, Diagnose) for action in found)


def _first_fit(piece: Order) -> list[Action] | None:
    if len(piece.line) > LONGEST_ORDER:
        return None
    for rule in RULES:
        if (found := rule(piece)) is not None:
            return found
    return None


def _pieces(line: Sequence[Token]) -> list[tuple[Token, ...]] | None:
    """Return the orders of a line, corrected; None when it was taken back and forth so often that nothing stands."""
    pieces: list[list[Token]] = [[]]
    taken_back = 0
    at = 0
    while at < len(line):
        at_joint = at == 0 or line[at - 1].text in _JOINTS
        end = marker_at(line, at, _ACTION_MARKERS) if at and (at_joint or _mends(line, at)) else at
        told = name_of(line[end].text) if end < len(line) else None
        if end > at and told in (None, "place") and _marks(line, at, end):
            while end < len(line) and line[end].is_break:
                end += 1
            taken_back += 1
            if taken_back > 1:
                return None
            _replace(pieces, line[end:end + LONGEST_ORDER])
            at = end
            continue
        may_begin = at_joint or _follows_figure(line, at) or _after_stops(line[at], pieces[-1])
        if pieces[-1] and may_begin and _starts(line[at:], pieces[-1]):
            pieces.append([])
        pieces[-1].append(line[at])
        at += 1
    return [tuple(_trimmed(piece)) for piece in pieces if _trimmed(piece)]


def _marks(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether the correction word at `at` takes something back ("..., no, left"), and is not part of what is said."""
    if line[at].text == "hang" and end < len(line) and line[end].text[0].isdigit():
        return False
    return line[at].text != "no" or at == 0 or end >= len(line) or line[end].text not in _NO_OF


def _mends(line: Sequence[Token], at: int) -> bool:
    """Whether a correction stands at `at` without a break: "080 sorry 060", "the airspeed er I mean the altimeter"."""
    if line[at - 1].text.isdecimal() and at + 1 < len(line) and line[at + 1].text.isdecimal():
        return line[at].text in ("sorry", "no", "er", "correction", "negative", "nope")
    return tuple(token.text for token in line[at:at + 3]) == ("er", "i", "mean")


def _after_stops(token: Token, before: Sequence[Token]) -> bool:
    """Whether a takeoff is broken off at `token` after nothing but "stop": "stop stop reject the takeoff"."""
    return token.text in ("reject", "abort", "abandon", "discontinue") and all(each.text == "stop" for each in before)


_NO_OF = frozenset({"gyro", "need", "more", "rush", "hurry", "problem", "worries", "doubt", "later", "lower", "higher",
                    "joy", "way", "reason", "point", "sense", "use", "chance", "idea", "choice", "ice", "change",
                    "flaps", "delay", "sweat", "drama", "good"})
_UNITS = frozenset({"feet", "ft", "knots", "kts", "kt", "degrees"})
_AFTER_FIGURE = re.compile(r"^(?:heading \d|climb|descend|maintain|squawk|slow to|cover|turn (?:left|right)|"
                           r"\d{2,3} (?:knots|kts?)\b)")


def _follows_figure(line: Sequence[Token], at: int) -> bool:
    """Whether an order follows the figure of the one before without a joint ("left 240 descend to 3000")."""
    return at > 0 and (line[at - 1].text.isdecimal() or line[at - 1].text in _UNITS) and _AFTER_FIGURE.match(
        joined(line[at:at + 3])) is not None


def _starts(line: Sequence[Token], before: Sequence[Token] = ()) -> bool:
    said = {token.text for token in before[-LONGEST_ORDER:]}
    if line[0].text == "maintain" and said & {"climb", "descend", "climbing", "descending", "turn"}:
        return False   # "descend and maintain" is one order
    if line[0].text in ("heading", "hdg") and (not said.isdisjoint(_TURNING) or said <= {",", "no", "and", "then"}):
        return False   # "turn left, heading 240" is one order
    if line[0].text in ("wait", "just") and before and durations(joined(before)) and len(before) <= 4:
        return False   # "five minutes, just wait"
    if line[0].text in ("left", "right") and before and re.fullmatch(r"\d{1,3}(?: degrees)?(?: ,)?", joined(before)):
        return False   # "one eighty, right hand"
    if line[0].text == "roll" and len(line) > 1 and line[1].text == "out" and not said.isdisjoint(_TURNING):
        return False   # "turn left and roll out on 180"
    if not said.isdisjoint({"glide", "speed", "pitch", "slow"}) and re.match(r"^\d{2,3} (?:knots|kts?)$",
                                                                                         joined(line[:2])):
        return False   # "best glide, 72 knots"
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
_TURNING = frozenset({"turn", "turning", "left", "right", "come", "steer", "fly", "bank", "roll", "head"})


def _replace(pieces: list[list[Token]], after: Sequence[Token]) -> None:
    """Drop from the orders so far what the words `after` a correction put right."""
    if not after:
        return
    if _starts(after):
        pieces[-1] = []
        return
    sides = [token for token in after[:3] if token.text in ("left", "right")]
    if sides and any(token.text in ("left", "right") for token in pieces[-1]) and len(after) <= 4:
        pieces[-1] = [sides[0] if token.text in ("left", "right") else token for token in pieces[-1]]
        return
    if after[0].text == "<place>":
        pieces[-1] = [after[0] if token.text == "<place>" else token for token in pieces[-1]]
        return
    mended = corrected([*pieces[-1], Token("correction", after[0].start, after[0].start), *after])
    pieces[-1] = list(mended[:max(0, len(mended) - len(after))]) if len(mended) >= len(after) else list(mended)


def _trimmed(piece: Sequence[Token]) -> list[Token]:
    kept = list(piece)
    while kept and kept[-1].text in (*_JOINTS, "no"):
        kept.pop()
    while kept and kept[0].text in _JOINTS:
        kept.pop(0)
    return kept
