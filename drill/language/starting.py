"""Where an order begins in a line: the words that orders begin with, and where such words begin none."""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language import conditional
from drill.language.durations import durations
from drill.language.lexicon import name_of
from drill.language.orders import without_opening
from drill.language.patterns import compiled
from drill.language.words import Token, joined

LONGEST_ORDER = 40
"""Words and breaks; what is longer is a tale, not an order."""
JOINTS = frozenset({",", ".", "?", "and", "then", "plus", "but", "so"})
UNITS = frozenset({"feet", "ft", "knots", "kts", "kt", "degrees"})
_STARTERS = compiled(r"""
    ^(?:covering|uncovering|hiding|levell?ing|switching|squawking|quit|hightail|nip|bail|consult|suss|shine|plaster|
    bung|whip|pin|nail|look|sweep|peer|fold|freeze|(?:we are|were|i am) going (?:to|into) <place|show me|read me|
    check|scan|read|peek|glance|examine|view|watch|monitor|verify|inspect|observe|
    have (?:a|another|one more) (?:quick |good |close )?look|take a|what|how|compare|cross|sync\w*|match|stuff|
    shove|jam|wedge|tuck|cover|hide|mask|block off|tape|stick|slap|put|uncover|unhide|peel|remove|fly|flying|use|go|
    trust|rely|turn|left|right|come|steer|bank|roll|level|wings|center|straighten|stop|climb|descend|maintain|hold|
    keep|stay|start|begin|resume|slow|speed|accelerate|reduce|increase|add|set|squawk|ident|tune|dial|switch|select|open|
    close|engage|disengage|kill|activate|disconnect|turn on|reset|sync|align|pull|push|raise|lower|flaps|power|
    throttle|idle|pitch|nose|divert|continue|return|taxi|abort|reject|land|cancel|shut|run|do|get|wait|give|sit|
    hang|pause|defer|placard|enter|write|log|done|break|partial panel|full panel|head|proceed|press on|make|execute|
    call|tell|inform|say|advise|declare|request|ask|report|transmit|radio|broadcast|let|reply|answer|qnh|timed|
    standard rate|half standard|do not|never|ease|drop|increase|apply|secure|cut|tap|note|restart|try|track|
    intercept|follow|ignore|forget|disregard|descending|climbing|recover|direct|bearing|ck|chk|hand fly|bug|
    heading (?:bug|mode|select)|altitude hold|depart|take ?off|swing|carry|crack on|abandon|target|disconnect|
    cruise|(?:easy|gently|gentle|careful) (?:on|with)|less bank|shallower|
    it is (?:partial|limited|emergency) <?panel|(?:(?:i|we) )?can not (?:trust|use|believe|rely on) (?:it|that|them)|
    arrest|neutrali[sz]e|zero|release|brakes?|cycle|recycle|
    roll|bring (?:her|it|us|me)|(?:full|idle|takeoff|max|climb) (?:power|throttle)|
    (?:a )?(?:(?:bit|little|touch|tad) )?(?:more|less) power|tick|flip|yank|crank|fire up|
    go ?around|hang|press the)\b|^\d{1,2} degrees?(?: nose)? (?:up|down)\b|^(?:heading|hdg) \d{2,3}\b|
    ^(?:we are|i am) (?:carrying|continuing|pressing|diverting|landing|holding|returning)\b|
    ^<(?:place|panel)> (?:looks?|is|are)\b|^\d{2,3} (?:knots|kts?)\b|
    ^(?:<airspeed_indicator>|speed|airspeed) (?:of |at |to )?\d{2,3}(?! ?(?:degrees|feet))\b|
    ^<\w+> (?:only |alone )?for (?:the )?(?:bank|pitch|roll|heading)\b|^(?:partial|full|limited) <panel>|
    ^<(?:pitot_heat|alternate_static|standby_vacuum|avionics|landing_light|nav_lights|strobes|autopilot|
    carburettor_heat|alternator|battery|master)> (?:to )?(?:on|off|open|closed)\b""")
_SWITCHED = compiled(r"""
    ^<(?:pitot_heat|alternate_static|standby_vacuum|avionics|landing_light|nav_lights|strobes|autopilot|
    carburettor_heat|alternator|battery)>$""")
_ASKS_OF_BOTH = frozenset({("do", "they"), ("do", "these"), ("do", "both"), ("are", "they"), ("does", "it")})
_BARE_VERBS = frozenset({"pull", "open", "on", "off", "close", "closed", "engage", "push", "disengage", "disconnect"})
_TURNING = frozenset({"turn", "turning", "left", "right", "come", "steer", "fly", "bank", "roll", "head", "swing"})


def starts(line: Sequence[Token], before: Sequence[Token] = ()) -> bool:
    """Whether an order begins with `line`, `before` being the words of the order so far."""
    said = {token.text for token in before[-LONGEST_ORDER:]}
    if [token.text for token in before[-2:]] == ["nice", "and"]:
        return False   # "nice and slow"
    if line[0].text == "maintain" and said & {"climb", "descend", "climbing", "descending", "turn"}:
        return False   # "descend and maintain" is one order
    if line[0].text in ("heading", "hdg") and (not said.isdisjoint(_TURNING) or said <= {",", "no", "and", "then"}):
        return False   # "turn left, heading 240" is one order
    if line[0].text in ("wait", "just") and before and durations(joined(before)) and len(before) <= 5:
        return False   # "five minutes, just wait"
    timed = bool(before) and before[0].text == "for" and len(before) <= 5 and durations(joined(before))
    if timed and line[0].text in _TURNING:
        return False   # "for one minute, turn left"
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
