"""Heading, altitude and airspeed ordered in one breath ("fly 270 at 4000 and 100 knots"), and rates of climb.

Degrees, feet, knots; rates in feet per minute. The airplane is flown to altitudes and airspeeds: no rate can be
ordered, and one that is named is said to be left out.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from drill.language.altitudes import altitude
from drill.language.meaning import Action, Airspeed, Altitude, Decide, LevelWings, Turn, Unclear
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled
from drill.language.sought import sought
from drill.language.words import word_set

ASK_RATE = ("No rate of climb or descent is flown to: power and airspeed give it. Say an altitude, a power or a "
            "speed.")
LOWEST_FT = 1000
"""A bare figure beside a heading or a speed is an altitude from here up (the author's choice)."""
_PER_MINUTE = (r"(?:fpm|(?:feet|foot|ft) (?:per|a|and|an|each|every) (?:minute|min)|(?:per|a) minute|"
               r"(?:feet|ft) (?:minute|min))\b")
_RATE = sought(rf"""
    (?: ,)?(?: (?:at|with|using|by|of|about|around|a|the|your|rate|vertical|speed|roughly|and)){{0,6}}
    [ ](?:\d{{2,4}}(?:fpm\b| {_PER_MINUTE})(?: (?:rate|climb|descent|down|up))*|
    (?:rate of (?:climb|descent)|rate) (?:of |at )?\d{{2,4}}\b(?! degrees)(?: {_PER_MINUTE})?)""")

_STEEPER = compiled(r"""
    ^(?:slow|reduce|shallow|ease|steepen|increase|lessen|decrease)(?: down| off| up| out)? (?:the |my |our |this )?
    (?:rate of )?(?:climb|descent|sink)(?: rate| down| a bit| a little| please)*$""")


def rated(order: Order) -> list[Action] | None:
    """Climb or descend with a rate: what is ordered beside it, and word that the rate is left out."""
    text = without_opening(order.text)
    if _STEEPER.match(text):
        return [Unclear(ASK_RATE)]
    match = _RATE.search(f" {text}")
    if match is None or re.match(r"^(?:look|check|what|read|watch|monitor|is|are)\b", text):
        return None
    way = "descend" if match.group().endswith(" down") else "climb" if match.group().endswith(" up") else ""
    rest = f" {text}"[:match.start()] + f" {text}"[match.end():]
    plain = " ".join(rest.split()).strip(" ,")
    if way and not re.search(r"\b(?:climb|descend|descent|down|up)", plain):
        plain = f"{way} {plain}".strip()
    found = altitude(replace(order, text=plain)) if plain else None
    return [*(found or ()), Unclear(ASK_RATE)]


_BOTH = r"(?:(?:the|this|my|our|present|current|that) )*"
_HOLDS_BOTH = compiled(rf"""
    ^(?:hold|maintain|keep|fly) {_BOTH}(?:(?:heading|hdg|course)(?: ,)?(?: and| plus)? {_BOTH}(?:altitude|height|level)|
    (?:altitude|height)(?: ,)?(?: and| plus)? {_BOTH}(?:heading|hdg|course))(?: now| please| here)*$""")


_STRAIGHT = compiled(r"""
    ^(?:(?:keep|fly|go|stay|continue|hold)(?: it| on| her)? )?straight(?: ahead| on)?(?: now| please)*$""")


def holds_both(order: Order) -> list[Action] | None:
    """Keep the heading and the altitude of this moment, or only fly straight."""
    if _STRAIGHT.match(without_opening(order.text)):
        return [LevelWings()]
    return [LevelWings(), Altitude(None)] if _HOLDS_BOTH.match(without_opening(order.text)) else None


_BACK_TO = compiled(r"""
    ^(?:(?:get|go|come|turn|climb|descend|fly) )?(?:return|returning|back)(?: up| down| on| over)* (?:to|on|onto)
    [ ](?:the )?(?:(?P<kind>heading|hdg|course|altitude|level) )?(?P<figure>\d{3,5})(?P<unit> degrees| feet| ft)?
    (?: now| please)*$""")


def back_to(order: Order) -> list[Action] | None:
    """Go back to a heading or an altitude that was left."""
    if (match := _BACK_TO.match(without_opening(order.text))) is None:
        return None
    value = int(match["figure"])
    high = len(match["figure"]) > 3 or match["kind"] in ("altitude", "level") or match["unit"] in (" feet", " ft")
    if high:
        return [Altitude(value, _way(order.text))]
    return [Turn(heading_deg=value or 360)] if value <= 360 else None


_HOLDS_AT = compiled(r"""
    ^(?:hold|enter (?:a|the) hold|holding) (?:at|over|overhead) (?:the )?(?P<where><(?:place|fix)>)(?: ,)?(?: and)?
    [ ](?:at|maintain|maintaining|hold|holding|level)(?: at)? (?P<feet>\d{4,5})(?: feet| ft)?(?: please| now)*$""")


def holds_at(order: Order) -> list[Action] | None:
    """Hold over a place at an altitude."""
    text = without_opening(order.text)
    if (match := _HOLDS_AT.match(text)) is None:
        return None
    skipped = len(order.text) - len(text)
    where = order.typed_words(skipped + match.start("where"), skipped + match.end("where"))
    return [Decide("hold", where or None), Altitude(int(match["feet"]))]


_FIGURE = compiled(r"""
    (?P<heading>\b(?:heading|hdg|course|track) (?:of |to )?(?P<h>\d{1,3})\b(?! (?:knots|kts?|feet|ft)\b))|
    (?P<speed>(?<![\d.])(?P<s>\d{2,3}) (?:knots|kts?|kias)\b|(?:\bspeed|<airspeed_indicator>) (?:of |to |at )?
    (?P<v>\d{2,3})\b(?! (?:feet|ft|degrees)\b))|
    (?P<altitude>(?<![\d.])(?:(?P<f>\d{3,5}) (?:feet|ft)\b|(?P<a>\d{4,5})\b(?! (?:rpm|hpa)\b)))|
    (?P<bare>(?<![\d.])(?P<b>0\d\d|[12]\d\d|3[0-5]\d|360)(?: degrees)?\b(?! (?:to the|left|right|rpm)\b))""")
_BETWEEN = word_set("""fly flying maintain hold keep go steer turn turning left right climb climbing descend descending
                       to at and with on a an the of in up down stay , then now please heading hdg course track altitude
                       speed airspeed level come bank roll for at""")
_FLY_AT = re.compile(r"^(?:fly|flying|cruise) (?:it |us )?at \d{4,5}(?: feet| ft)?(?: please| now)*$")
_LATER = re.compile(r"\b(?:left|right|turn|come|bank|roll)\b[^,]*\d at \d")
_ASK_AT = "Turn now and fly at {feet} feet, or turn at {feet} feet?"


def abreast(order: Order) -> list[Action] | None:
    """Fly a heading, an altitude and an airspeed, or two of the three, that are named in one order."""
    text = without_opening(order.text)
    figures: dict[str, int] = {}
    rest = text
    for match in _FIGURE.finditer(text):
        kind = "heading" if match["bare"] else str(match.lastgroup and next(
            name for name in ("heading", "speed", "altitude") if match[name]))
        value = int(next(match[each] for each in ("h", "s", "v", "f", "a", "b") if match[each]))
        if kind in figures or (match["bare"] and figures):
            return None   # a bare figure is a heading only where it comes first
        figures[kind] = value
        rest = rest.replace(match.group(), ",", 1)
    if set(figures) == {"altitude"} and _FLY_AT.match(text) and figures["altitude"] >= LOWEST_FT:
        return [Altitude(figures["altitude"])]
    if len(figures) < 2 or not set(rest.split()) <= _BETWEEN:
        return None
    way = _way(text)
    if "altitude" in figures and figures["altitude"] < LOWEST_FT and "feet" not in text and " ft" not in text:
        return None
    named = re.search(r"(?:\bspeed|<airspeed_indicator>) (?:of |to |at )?\d", text) is not None
    if (set(figures) == {"heading", "speed"} and not named) or (way != "hold" and "heading" not in figures):
        return None   # the rules for turns and for airspeed read these
    if _LATER.search(text) and "altitude" in figures and "speed" not in figures and "feet" not in text:
        return [Unclear(_ASK_AT.format(feet=figures["altitude"]))]
    found: list[Action] = []
    if "heading" in figures:
        if not 0 <= figures["heading"] <= 360 or (re.search(r"\bleft\b", text) and re.search(r"\bright\b", text)):
            return None
        side: Literal["left", "right", "shortest"] = (
            "left" if re.search(r"\bleft\b", text) else "right" if re.search(r"\bright\b", text) else "shortest")
        found.append(Turn(side, figures["heading"] or 360))
    if "altitude" in figures:
        found.append(Altitude(figures["altitude"], way))
    if "speed" in figures:
        found.append(Airspeed(figures["speed"]))
    return found


def _way(text: str) -> Literal["climb", "descend", "hold"]:
    if re.search(r"\bclimb|\bup\b", text):
        return "climb"
    return "descend" if re.search(r"\bdescend|\bdown\b", text) else "hold"
