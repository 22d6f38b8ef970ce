"""Orders to the hands to turn, to level the wings, to follow a course, and to fly an airspeed. Degrees and knots."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from drill.language.altitudes import altitude
from drill.language.durations import durations
from drill.language.instruments import trusted
from drill.language.meaning import (
    Action,
    Airspeed,
    FlyBy,
    LevelWings,
    StopTurn,
    Track,
    Turn,
    TurnRate,
    Unclear,
)
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.sought import sought
from drill.language.words import word_set

_LEVEL_WINGS = sought(r"""
    \bwings on the (?:horizon|<attitude_indicator>)|^stop (?:the |this )?roll\b|
    \bbring the wings (?:back )?(?:to )?level|\bcenter (?:up )?(?:the |my )?<turn_coordinator>|
    <turn_coordinator> (?:back )?(?:in|to|into) the (?:middle|center|centre)\b|
    \b(?:make sure|ensure|see|check|verify|confirm)(?: (?:that|if|the|my|our|both))* wings? are level\b|
    \b(?:wings?(?: (?:stay|remain|kept|held))? level|level (?:the |my |our |your |those )?wings|
    roll(?:ing)? (?:\w+ )?level|level (?:the )?(?:bank|roll)|center (?:the |up the )?(?:needle|ball|turn)|
    straight and level|straighten(?: out| up)?|roll (?:(?:her|it|us|me|the airplane) )?(?:out|upright|flat|even)|
    (?:stop|kill|get out of|take out|get rid of|remove|zero) (?:(?:the|this|that|all|all of) )*bank\w*|
    wings (?:back )?level|wings back to level|(?:enough|no more) (?:of )?(?:this |the |that )?bank(?:ing)?|
    get (?:them|it|us|her|this)(?: back)? level|get (?:the |my )?wings level|unbank|
    pick up (?:the|that) (?:low )?wing|wings (?:straight|even)|(?:get|have|put) (?:the |my |our )?wings (?:straight|
    even)|have (?:us|it|her) level|take (?:the |all |that |this )?bank (?:off|out)|
    (?:0|neutrali[sz]e) (?:the |my |our )?bank|get (?:us|it|me|her|this|this thing|the airplane) (?:upright|
    right side up)|(?:bank|roll)(?: angle)? (?:to|back to|at) 0|
    (?:hold|maintain|keep)(?: the| this| my| our| present| current| that| on)* heading(?: now| please)?
    (?: (?:until|till?) .*)?$|stop banking|
    level (?:it|her) (?:out|up)|^level (?:her|us)$|back to wings level|get back to wings level|needle (?:back )?(?:in|
    to|into) the (?:middle|center|centre)\b|^flatten (?:it|her|us) out$|level\b.* laterally|level the airplane|
    level (?:us|me|them) (?:out|up)|level them|no bank|zero bank)\b|^recover(?: (?:the airplane|now|please|it))*$""")
_LEVEL_BY = compiled(r"""
    \b(?:by|with|using|on|use|per|reference|trust)(?: (?:only|just|reference to|the|my|our|and)){0,3} <\w+>""")
_STOP_TURN = re.compile(r"^(?:stop|end|halt|quit|cease) (?:of )?(?:the |this |that |my )?(?:turn|turning)\b")
_STANDARD = re.compile(r"\b(?P<half>half)(?: of)?(?: the)?(?: a)? ?(?:standard)?(?: rate)?\b.*\b(?:rate|"
                       r"standard|turns?)\b|\bstandard rate\b|\brate (?:1|one)\b")


def level_wings(order: Order) -> list[Action] | None:
    """Stop banking; "by the turn coordinator" first trusts it."""
    text = without_opening(order.text)
    if not _LEVEL_WINGS.search(text) or re.search(
            r"\b(?:heading|to|on|onto) (?:heading |due )?(?:\d{2,3}|north|south|east|west)", text):
        return None
    by = next(iter(trusted(order)), None) if _LEVEL_BY.search(text) else None
    return [FlyBy(by), LevelWings()] if by else [LevelWings()]


def stop_turn(order: Order) -> list[Action] | None:
    """Stop the turn where it is."""
    text = without_opening(order.text)
    if _STOP_TURN.match(text) and (wanted := re.search(r"\b\d{2,3}\b", text)):
        return [Unclear(f"Stop the turn now, or turn to {wanted.group()}?")]
    return [StopTurn()] if _STOP_TURN.match(text) or re.fullmatch(r"stop(?: stop| now| it now|!)*", text) else None


def turn_rate(order: Order) -> list[Action] | None:
    """Half or full standard rate, for turns from now on."""
    match = _STANDARD.search(order.text)
    if match is None or re.search(r"\b(?:left|right|heading|degrees)\b|\d{2,3}", order.text):
        return None
    return [TurnRate("half" if match["half"] else "standard")]


CARDINALS = {"north": 360, "east": 90, "south": 180, "west": 270, "northeast": 45, "southeast": 135,
             "southwest": 225, "northwest": 315}
_TURNS = compiled(r"""
    \b(?:uey|u ey|uie|alter|point|take up|turn\w*|reverse|reversal|left|right|steer|com(?:e|ing)|swing|heading|bank|
    roll|hdg|fly|track|head|about)\b""")
_BY = sought(r"""
    (?<!\bto )(?<!onto )(?<!heading )\b(\d{1,3}) (?:degrees?|deg)\b|
    \bto (?:the )?(?:left|right) (\d{1,2}) degrees?\b|\bby (\d{1,3})\b|
    \bturn (\d{1,2})(?= (?:to the )?(?:left|right))|\b(?:left|right)(?: turn| now| about)? ([1-9]\d)$|
    \b(\d{1,2}|180|360|90) (?:degrees )?(?:, )?(?:left|right)\b(?! (?:turn|seat|tank|side|wing|hand side|engine))|
    \b(?:a|do a|make a) (\d{2,3})(?: turn| degree| to the|$)|\b(?:left|right) (180|360)$|
    \b(180|360|90)(?: turn| to the (?:left|right))\b""")
_TO = compiled(r"""
    \b(?:take up|heading|head|hdg|to|steer|onto|out on|stop on|stop at|for|fly|course|until|till|
    track)(?: of| to| is| about| the| heading| a| course)* (\d{1,3})\b(?! (?:degrees? (?:left|right|of)|knots|kt|
    kts|feet|ft|rpm|percent|miles|seconds?|secs?|minutes?|mins?))""")
_DIRECT = compiled(r"""
    \ba (\d{3}) heading\b|\b(?:left|right)(?: turn| now)? (0\d|\d{3})$|
    \b(?:left|right)(?: turn| now)? (\d{3})\b(?! degrees?| feet)""")
_BARE_TURN = word_set(
    """turn turning turns come coming round around bring bank roll start begin standard rate gentle half timed make
    do left right ease enter go shallow slow gradual a an the to steer keep continue now please until told stop
    slowly gently in into hand side it us me as soon possible asap when able if ready till i say says tell tells
    you they further notice otherwise , .""")
"""A turn ordered in these words alone has no amount; another word makes it something else ("the right side's fine")."""


_AT_RATE = re.compile(r"(?:\b(?:at|using|with)(?: a| the)?|,) (?P<half>half )?(?:of )?(?:a )?standard(?: turn)? rate\b")


_SHORTEST = re.compile(r"(?: ,)? (?:by |going |take )?(?:the |whichever (?:is|way is) (?:the )?)?"
                       r"(?:shortest|shorter|quickest|quicker|nearest|short)"
                       r"(?: (?:way|side|direction|turn)(?: round| around)?)?$")
"""How a turn ends whose side is left to the hands."""
_REVERSES = compiled(r"""
    \b(?:turn around|u turn|uey|u ey|uie|back the way we came|course reversal|1 ?80 turn|reverse course|
    course reversal|(?:do|make|pull|fly) a 180|180 degrees? turn)\b""")


def turn(order: Order) -> list[Action] | None:
    """Turn to a heading or by an amount; "turn left" with neither goes on until stopped."""
    text = without_opening(order.text)
    if "<static_system>" not in text:
        text = re.sub(r"\bport\b", "left", text)
    text = _A_FEW.sub(f"{A_FEW_DEG} degrees", text)
    if not (_TURNS.search(text) or _REVERSES.search(text)) or re.search(r"<fuel>|\b(?:knots|kts?|feet|ft|rpm)\b", text):
        return None
    left = re.search(r"\bleft\b", text) is not None
    right = re.search(r"\bright\b(?! now| away| here| there)", text) is not None
    if left and right:
        return None
    text = _SHORTEST.sub("", text)
    if bare := _SO_FAR_ASIDE.match(text):
        return [Turn("left" if left else "right", by_deg=int(bare[1]))]
    direction: Literal["left", "right", "shortest"] = "left" if left else "right" if right else "shortest"
    if direction != "shortest" and (rated := _AT_RATE.search(text)) and not durations(text):
        rest = turn(replace(order, text=" ".join((text[:rated.start()] + text[rated.end():]).split())))
        return rest and [TurnRate("half" if rated["half"] else "standard"), *rest]
    if re.search(r"\bquarter turn\b", text):
        return [Turn(direction, by_deg=90)]
    by, to = _BY.search(text), _heading(text)
    if _REVERSES.search(text) and to in (None, 180):
        return [Turn(direction, by_deg=180)]
    if by and not (to is not None and re.search(r"\bheading \d", text)):
        amount = int(next(group for group in by.groups() if group))
        if 0 < amount <= 360 and (direction != "shortest" or re.search(r"\bturn\b", text) or amount == 180):
            return [Turn(direction, by_deg=amount)]
    if to is not None:
        return [Turn(direction, heading_deg=to)]
    if direction != "shortest" and set(text.split()) <= _BARE_TURN:
        return [Turn(direction)]
    return None


_SO_FAR_ASIDE = re.compile(r"(?:about |another )?([1-9]\d?) (?:to (?:the |my |our )?)(?:left|right)\b"
                           r"(?! (?:of|side|heading|\d))")
"""Degrees without their name: "fifteen to the right"."""
A_FEW_DEG = 5
"""What "a few degrees" are taken to be: common practice, no source."""
_A_FEW = re.compile(r"\ba (?:few|couple(?: of)?) degrees\b")
STANDARD_RATE_DEG_S = 3.0
"""Standard rate: FAA-H-8083-15, "3 degrees per second"."""
MOST_TURN_DEG = 720


def timed_turn(order: Order) -> list[Action] | None:
    """Turn for a time: as far as standard rate, or half of it where that is said, turns in that time."""
    text = without_opening(order.text)
    side = re.search(r"\b(left|right)\b", text)
    said = durations(text)
    if side is None or len(said) != 1 or not re.match(
            laid_out(r"""
                ^(?:for (?:about )?)?(?:(?:\d+|a|an|half a) \w+ (?:, )?)?(?:timed|turn\w*|left|right|come|
                bank|roll|make|do|start|begin|standard|half|a|go|steer|keep|continue|hold)\b"""),
            text):
        return None
    if re.search(r"\b(?:heading|degrees|knots|feet|level|left (?:and|or) right|right (?:and|or) left)\b", text):
        return None
    if re.search(r"\b(?:in|after|within) (?:about )?$", text[:said[0].start]):
        return [Unclear("Do you want to turn for that long, or to wait that long and then turn?")]
    half = re.search(r"\bhalf\b(?! (?:a|an|of a)? ?(?:minute|min|hour))", text) is not None
    by = round(said[0].seconds * STANDARD_RATE_DEG_S / (2 if half else 1))
    if not 0 < by <= MOST_TURN_DEG:
        return [Unclear("That turn is nothing, or more than two circles; for how long do you want to turn?")]
    turned = Turn("left" if side.group() == "left" else "right", by_deg=by)
    return [TurnRate("half"), turned] if half else [turned]


_BUG = compiled(r"""
    ^(?:set |move |put |turn |spin )?(?:the |my )?(?:(?:heading|hdg) (?:bug|select|sel|mode)|
    bug)(?: (?:to|on|at|of|heading|is|mode|and))*(?: (?P<to>\d{1,3}))?(?: degrees| now| please)*$""")


def bug(order: Order) -> list[Action] | None:
    """Set the heading bug, which is an order to turn there to whoever flies, hands or autopilot."""
    match = _BUG.match(without_opening(order.text))
    if match is None:
        return None
    if match["to"] is None:
        return [Unclear("Which heading?")]
    heading = int(match["to"])
    return [Turn(heading_deg=heading or 360)] if heading <= 360 else None


_TRACKED = compiled(r"""
    ^(?:track|intercept|follow|join|capture|chase|fly|get (?:back )?on|stay on|back on|re ?intercept|
    steer)(?: (?:along|the|my|our|that|inbound|outbound|final|approach|back|to))* (?:<navigation>|needle|
    course)(?: (?:needle|course|inbound|outbound|in|now|please|to <place>|track))*$|
    ^(?:track|intercept)(?: (?:it|inbound|outbound))+$""")
_COURSE_WORDS = re.compile(r"\b(?:loc\w*|cdi|course|needle|vor|radial|track)\b", re.IGNORECASE)


def track(order: Order) -> list[Action] | None:
    """Follow a course by its needle."""
    text = without_opening(order.text)
    if not _TRACKED.match(text) or re.match(r"^(?:stay|keep) on course\b", text):
        return None
    if re.match(r"^(?:follow|fly|steer|chase|stay on) (?:the |my )?needle", text):
        return [Unclear("Which needle do you mean?")]
    named = _COURSE_WORDS.search(order.typed_words(0, len(order.text))) or text.startswith(("track", "intercept"))
    return [Track()] if named else None


_TO_CARDINAL = compiled(r"""
    \b(?:turn|heading|head|fly|steer|to|onto|come|left|right|nose|reads|
    point (?:it|her|us))(?: to| onto| the| due| toward| at| back)* ((?:north|south) ?(?:east|west)|
    north|east|south|west)\b(?! of)""")


def _heading(text: str) -> int | None:
    for pattern in (_TO, _DIRECT):
        if match := pattern.search(text):
            said = next(group for group in match.groups() if group)
            value = int(said)
            if 0 < value <= 360:
                return value
            if said in ("000", "0"):
                return 360
    if match := _TO_CARDINAL.search(text):
        return CARDINALS[match.group(1).replace(" ", "")]
    if match := re.match(r"^(?:(?:make (?:that|it) )?(\d{3}) on the heading|"
                         r"(?:turn|swing) (?!180|360|090)(\d{3}))$", text):
        value = int(match.group(1) or match.group(2))
        return value if 0 < value <= 360 else None
    if match := re.match(r"^(?:heading |hdg )?(\d{3})$", text):
        value = int(match.group(1))
        return value if "heading" in text and 0 < value <= 360 else None
    return None


_SPEED_WORDS = compiled(r"""
    \b(?:bleed|speed|knots|kts?|slow(?:ing|er)?|faster|accelerate|best glide|decelerate|maneuvering|approach speed|
    kias|ias|mph)\b|^(?:pitch|power|trim|trimmed)(?: it)?(?: and (?:power|pitch))? for \d{2,3}$|
    ^(?:target|reduce to|decelerate to|accelerate to|slow to)(?: about)? \d{2,3}$|<airspeed_indicator>|\bspeed up\b|
    \bdo not get slow\b|\d on the <clock>""")


def _with_it(order: Order, match: re.Match[str]) -> list[Action]:
    """Return the climb, descent or turn that is ordered with the airspeed at `match` ("climb to 5000 at 90 knots")."""
    before, after = order.text[:match.start()], order.text[match.end():]
    led = re.search(r"(?: at| with| and| ,)+ $", before)
    rest = replace(order, text=" ".join(f"{before[:led.start()] if led else before} {after}".split()))
    if led is None or not re.match(r"^(?:climb|descend|turn|come)\b", without_opening(rest.text)):
        return []
    return altitude(rest) or turn(rest) or []


_SPEED_SHOWN = compiled(r"""
    \b(?:stuck|frozen|jammed|hung|sitting|stands?|hangs?) (?:at|on) \d|
    (?:<airspeed_indicator>|\bspeed) (?:is |at )?\d{2,3}(?: knots)? and (?:dropping|falling|sinking|decaying|rising|
    climbing|increasing|building|decreasing)\b""")
"""An airspeed that is only told: "airspeed 60 and dropping"."""


def airspeed(order: Order) -> list[Action] | None:
    """Fly an airspeed in knots."""
    text = order.text
    if not _SPEED_WORDS.search(text) or _SPEED_SHOWN.search(text):
        return None
    if match := re.search(r"\b(\d{2,3}) (?:knots|kts?|kias)\b", text):
        if not 40 <= int(match.group(1)) <= 250 or re.search(r"\bby \d", text):
            return [Unclear("To how many knots?")]
        return [Airspeed(int(match.group(1))), *_with_it(order, match)]
    if match := re.search(r"\b(\d{2,3}) on the <clock>", text):
        return [Airspeed(int(match.group(1)))]
    for match in re.finditer(r"(?<![.\d])\b(\d{2,3})\b(?! ?(?:feet|ft|degrees|rpm|seconds|minutes|percent))", text):
        if 40 <= int(match.group(1)) <= 250:
            return [Airspeed(int(match.group(1)))]
    return None
