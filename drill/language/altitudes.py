"""Orders to climb, to descend, and to hold an altitude. Altitudes and amounts are feet."""

from __future__ import annotations

import re
from typing import Literal

from drill.language.meaning import Action, Altitude, Unclear
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought

_CLIMB = Sought(r"\bgain (?:altitude|height)(?= (?:up )?to\b)|^up \d{4,5}|"
                    r"\b(?:climb\w*|rise|up we go|go up|(?<!own )(?<!fess )(?<!face )up to|higher|ascend|pull up to)\b")
_DESCEND = compiled(r"""
    \blose (?:altitude|height)(?= (?:down )?to\b)|^down \d{4,5}|\b(?:descen[dt]\w*|down we go|go down|
    down to(?! (?:the |my |our |a )?<)|lower|
    drop (?:(?:her|it|us) )?(?:down )?to|start down|bring (?:her|it|us) down|get (?:us|it|her) down|come down|
    let down|sink)\b""")
_HOLD = compiled(r"""
    \b(?:pin|nail|peg|stick|hold|maintain|keep|stay|cruise|level(?: off)?|
    stop (?=at \d)|(?:stop|arrest|halt|check) (?:the |this |my )?(?:climb|descent|descending|climbing|sink)|remain|
    lose|gain)\b""")
_KEEP = sought(r"""
    \b(?:hold|maintain|keep|watch|stay at|preserve|lock)(?: (?:the|this|my|our|present|current|that|on|at|
    it))* (?:altitude|level)\b|^level off$|^level off (?:here|now|please)\b|
    \bstay (?:right )?(?:here|level|at this altitude|where (?:i am|we are))\b|\bhold (?:it )?(?:right )?here\b|
    \b(?:stop|arrest|halt|quit|cease|enough|no more|end)(?: of)? (?:the |this |my |our )?(?:climb|descent|descending|
    climbing|sink|sinking)\b|\bhold level\b|\b(?:keep|hold|leave) (?:it|us|her) where (?:it is|we are|she is)\b|
    \bat this (?:height|altitude|level)\b|\bfreeze (?:the |my |our )?altitude\b|\bat the (?:altitude|height|
    level) (?:we have|i have|we are at|i am at)\b|\bstay at this\b|
    \bdo not (?:lose|gain) (?:any )?(?:altitude|height)\b|\b(?:keep|fly|stay|go) (?:it )?level\b|
    \b(?:keep|hold|maintain)(?: exactly| just)? (?:the |this |my |our )?(?:height|altitude|level)\b|
    \bsteady (?:on|at) (?:this|the) (?:altitude|level|height)\b|\bstay (?:on|at) (?:this|the|my) (?:altitude|level|
    height)\b|\blevel flight\b|\bhold what (?:(?:height|altitude|level) )?(?:i|we)(?: have)? (?:have|got)\b|^level$""")
_FEET = compiled(r"""
    (?<![.\d])\b(\d{3,5})\b(?! ?(?:knots|kts?|rpm|degrees|hpa|fpm|feet per minute|ft per))|
    \b(?:to|at|maintain|hold|level|for|descend|climb) (\d{1,2})$""")
_FROM_TO = compiled(r"""
    \b(?:leav(?:e|ing)|vacat(?:e|ing)|out of|passing|(?:climb|descend)(?:ing)? (?:through|past)) (\d{4,5}|
    [1-9]\d?) (?:for|to) (\d{4,5}|
    [1-9]\d?)\b(?! (?:knots|degrees|minutes))""")
_NOT_A_FOOT = re.compile(r" , (?:not (?:a|one|1|any)|(?:no|not|never|nothing) (?:lower|higher|below|above))\b.*$")
"""What only stresses an order: "hold 3000 feet, not a foot lower"."""
_NO_ALTITUDE = sought(r"""
    \b(?:knots|kts?|heading|left|(?<!stay )right(?! where| here| now| on| at)|rpm|degrees)\b|<airspeed_indicator>""")
_BY_THEN_TO = compiled(r"""
    \b(?P<way>climb|descend|down|up|lose|gain|drop|sink)(?:ing)? (?:(?:a |another )?\d{3,4}(?: feet| ft)?|
    (?:some |a bit of |a little )?(?:altitude|height))
    (?: (?:,|and|go|get|level|stop|back|down|up|off))* (?:to|at) (?P<to>\d{4,5})\b|
    \b(?P<some>lose|gain) (?:some |a bit of |a little )?(?:altitude|height) , (?P<feet>\d{4,5})\b""")
"""An amount, or only the way, and where it ends: "lose five hundred, go to 3500"; "lose some height, 2500"."""


def from_one_to_another(text: str) -> Altitude | None:
    """Return the change that a text tells both ends of: "leave 4000 for 6000"."""
    match = _FROM_TO.search(text)
    if match is None:
        return None
    left, wanted = (int(each) if len(each) > 2 else int(each) * 1000 for each in match.groups())
    return Altitude(wanted, "climb" if wanted > left else "descend")


_ITS_RATE = sought(r"\b(?:rate of (?:climb|descent)|(?:climb|descent) rate)\b(?!.*\d)")
"""What is looked at, where no figure orders it."""
_GO_TO = re.compile(r"(?:go|get|fly|move|come)(?: back)?(?: (?P<way>up|down))? to (?P<to>\d{1,2}[05]00)(?: feet| ft)?"
                    r"(?: now| please)*")


def altitude(order: Order) -> list[Action] | None:
    """Climb, descend, or hold an altitude."""
    text = _NOT_A_FOOT.sub("", without_opening(order.text))
    if _NO_ALTITUDE.search(text):
        return [Altitude(None, "hold")] if _KEEP.search(text) and "altitude" in text and not re.search(
            r"\d", text) else None
    if text.startswith("take up ") or _ITS_RATE.search(text):
        return None
    if changed := from_one_to_another(text):
        return [changed]
    if match := _GO_TO.fullmatch(text):
        way = match["way"]
        return [Altitude(int(match["to"]), "climb" if way == "up" else "descend" if way == "down" else "hold")]
    if match := _BY_THEN_TO.search(text):
        way, feet_said = match["way"] or match["some"], match["to"] or match["feet"]
        return [Altitude(int(feet_said), "climb" if way in ("climb", "up", "gain") else "descend")]
    climb, descend, hold = _CLIMB.search(text), _DESCEND.search(text), _HOLD.search(text)
    if climb and descend and not hold:
        return None
    if (climb or descend) and (_BELOW_ZERO.search(order.typed_words(0, len(order.text))) or "minus " in text):
        return [Unclear(_TO_WHICH)]
    if re.fullmatch(r"(?:engage |select |set )?(?:the )?(?:altitude|alt) hold(?: on| mode)?", text):
        return [Altitude(None, "hold")]
    if _KEEP.search(text) and not re.search(r"\d", text):
        return [Altitude(None, "hold")]
    if (rate := _AT_RATE_OF.search(text)) and int(rate.group(1)) <= LIKELIEST_RATE_FPM:
        return [Unclear(_TO_WHICH)]
    feet = _target(text)
    direction: Literal["climb", "descend", "hold"]
    if re.fullmatch(r"(?:start|begin|go|get)(?: us| going)? (?:down|up)(?: now| please)?", text):
        return [Unclear(_TO_WHICH)]
    if not _ABOVE_SEA.search(text) and (match := _AMOUNT.search(text)) and (said := _amount(match)) is not None:
        return said
    if climb or descend:
        direction = "climb" if climb else "descend"
    elif feet is not None and (hold or re.search(r"\b(?:altitude|feet|ft|level)\b", text)):
        direction = "hold"
    else:
        return None
    if direction == "hold" and _BESIDE_IT.search(text):
        return [Unclear(_TO_WHICH)]   # "stay below 5000"
    if feet is None and _FIGURE_LEFT.search(text):
        return [Unclear(_TO_WHICH)]   # a figure that is no altitude is not left out in silence
    return [Altitude(feet, direction)]


_TO_WHICH = "To which altitude?"
_AT_RATE_OF = re.compile(r"\b(?:climb|descend)\w*(?: down| up)? at (\d{3,4})$")
LIKELIEST_RATE_FPM = 1500
"""A climb or descent "at" no more than this is a rate in feet a minute, not an altitude (the author's choice)."""
_BELOW_ZERO = re.compile(r"(?:^|[\s(])[-\u2010-\u2015\u2212]\d")
_BESIDE_IT = re.compile(r"\b(?:above|below|under|over|between) (?:about )?\d")
_ABOVE_SEA = re.compile(r"\b(?:msl|amsl|asl)\b")
_FIGURE_LEFT = compiled(r"""
    (?<!\S)\d[\d.]*(?!\S)(?! (?:fpm|feet per|ft per|feet a|per|minutes?|seconds?|mins?|secs?|degrees?|rpm|percent|
    miles?|
    times?)\b)""")


_AMOUNT = compiled(r"""
    \b(?P<way>climb\w*|descen[dt]\w*|up|down|lose|gain|drop|sink|ascend|
    rise)(?: (?:up|down|us|me|another|about|around|by|an|additional|extra|a|
    further))* (?P<feet>\d{2,5})(?P<unit> feet| ft)?\b(?! ?(?:knots|kts?|rpm|degrees|hpa|fpm|feet per|ft per|
    per))(?P<more>.*)""")
LIKELY_AMOUNT_FT = 1000
LIKELY_ALTITUDE_FT = 2000


def _amount(match: re.Match[str]) -> list[Action] | None:
    """Read "descend 500 feet" as an amount, "climb 5000" as no amount (None), and ask where it may be either."""
    feet = int(match["feet"])
    way: Literal["climb", "descend"] = (
        "climb" if match["way"].startswith(("climb", "up", "gain", "ascend", "rise")) else "descend")
    plain = re.search(r"\b(?:by|another|additional|extra|further)\b", match.group()) or re.match(
        r"^ (?:more|higher|lower|further)\b", match["more"]) or match["way"] in ("lose", "gain")
    if not 0 < feet <= 60_000 or (not match["unit"] and not plain and feet < 100):
        return None
    if plain or feet <= LIKELY_AMOUNT_FT:
        return [Altitude(None, way, by_ft=feet)]
    if feet < LIKELY_ALTITUDE_FT or (match["unit"] and feet == LIKELY_ALTITUDE_FT):
        return [Unclear(f"To {feet} feet, or by {feet} feet?")]
    return None


HIGHEST_FT = 60_000
_THOUSANDS = compiled(r"""
    \b(?:to|at|maintain|hold|level|for|descend|climb) (\d{1,2}\.\d{1,3})(?: (?:thousand|grand))?(?: (?:feet|ft))?$""")
"""An altitude in thousands of feet with a point: "climb to 5.5"."""


def _target(text: str) -> int | None:
    if to := re.search(r"\bfrom \d{3,5}(?: feet| ft)? (?:down |up )?to (\d{3,5})\b", text):
        return int(to.group(1))
    if angels := re.search(r"\bangels (\d{1,2})\b", text):
        return int(angels.group(1)) * 1000
    if (short := _THOUSANDS.search(text)) and 0 < float(short.group(1)) < HIGHEST_FT / 1000:
        return round(float(short.group(1)) * 1000)
    for match in _FEET.finditer(text):
        said = match.group(1) or match.group(2)
        value = int(said)
        if match.group(2):
            return value * 1000 if 0 < value < 20 else value * 100
        if 400 <= value <= HIGHEST_FT:
            return value
    return None
