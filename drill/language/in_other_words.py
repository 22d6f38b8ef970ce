"""Parts of a line that give no order of their own: they say again what is ordered beside them, or how it is done
("shut her down, engine off"; "punch the red button, autopilot off"; "DG to the compass, reset it").

What they would order alone is asked for; beside the order that they belong to, nothing is.
"""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    Pitch,
    Power,
    Switch,
)
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled

_ENGINE_OFF = compiled(r"""
    (?:(?:the|everything|all|it) )*(?:<engine> (?:off|out)|<master> off|mixture(?: (?:to|at|is))*(?: idle)?
    (?: cut ?off| out| idle| lean)*|mags? off|switches off|<panel> off|everything off)""")
_STOPPED = compiled(r"""
    (?:(?:the|on|hard|max|maximum|full|heavy) )*(?:brakes?|brak(?:e|ing) hard|throttle(?: to)? (?:closed|idle|off)|
    power (?:off|idle|back)|stay on the (?:runway|ground)|chop (?:the )?(?:power|throttle|it))""")
_BUTTON = compiled(r"""
    (?:press|push|punch|hit|click|squeeze|thumb|mash)(?: (?:the|that|my|big))* (?:red )?(?:button|disconnect|
    trigger)""")
_SET_IT = compiled(r"(?:re)?(?:set|align|sync|match|slave) (?:it|that|them)(?: (?:up|again|now|please))*")
_OUT_OF_SIGHT = compiled(r"""
    (?:get|have|put|take) (?:it|that|them) (?:out of (?:sight|view|my sight|my view|the way)|away)""")
_REST = compiled(r"""
    fly (?:on|by|with) (?:those|these|them|that)|
    (?:ignore|forget|disregard|leave|never ?mind) (?:(?:about )?(?:the )?(?:rest|others?)|(?:everything|all) else)|
    nothing else""")
_NO_GYROS = compiled(r"""
    (?:ditch|forget|lose|bin|drop|ignore|disregard|never ?mind|no) (?:about )?(?:(?:the|both|those|my|our) )*
    (?:<gyros>|<attitude_indicator>|<heading_indicator>)|no <gyros>""")
_SETS = compiled(r"(?:update|adjust|correct|fix|do)(?: (?:the|my|our))? <(?:altimeter|heading_indicator)>")
_GLIDE = compiled(r"(?:pull|pitch|bring|trim|slow)(?: (?:it|her|us|back|up|down))* (?:to|for) best glide(?: speed)?")
_CARD = compiled(r"(?:fly|set|use)(?: by| on)?(?: the| known)? (?:pitch and power|power and pitch)(?: settings?)?")
_BALL = compiled(r"(?:the )?<(?:turn_coordinator|needle_ball)>(?: is)? (?:centred|centered|in the (?:middle|center))")
_LEVEL = compiled(r"(?:get|put|bring|make) (?:her|it|us|me|this|them)(?: back)? (?:straight|upright|flat|even|right)")


def in_other_words(part: Order, actions: Sequence[Action]) -> bool:
    """Whether `part`, which is not understood, only says again what one of `actions` does, or how."""
    text = without_opening(part.text)
    for action in actions:
        match action:
            case Decide("shut_down"):
                said = _ENGINE_OFF.fullmatch(text)
            case Decide("abort_takeoff"):
                said = _STOPPED.fullmatch(text)
            case Switch("autopilot", "off"):
                said = _BUTTON.fullmatch(text)
            case Align():
                said = _SET_IT.fullmatch(text) or _SETS.fullmatch(text)
            case Cover():
                said = _OUT_OF_SIGHT.fullmatch(text)
            case LevelWings():
                said = _LEVEL.fullmatch(text) or _BALL.fullmatch(text)
            case FlyBy("partial_panel"):
                said = _REST.fullmatch(text) or _NO_GYROS.fullmatch(text)
            case FlyBy():
                said = _REST.fullmatch(text)
            case Airspeed():
                said = _GLIDE.fullmatch(text)
            case Power() | Pitch():
                said = _CARD.fullmatch(text)
            case Diagnose():
                said = part.book.failing.fullmatch(text)
            case _:
                continue
        if said:
            return True
    return False
