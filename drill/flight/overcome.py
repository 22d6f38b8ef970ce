"""What a pilot says is over: the fire is out, the ice is gone, the engine runs again, all is well.

Each word is judged in its own clause, as `saying` does; a question says nothing of the kind.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState
from drill.flight.saying import said_now
from drill.language.meaning import Call
from drill.language.patterns import compiled

_GONE = r"(?: is| are|'s|'re| has| have| was)?(?: all| now| been| just| gone)* "
_OVER: dict[str, re.Pattern[str]] = {
    "fire": compiled(rf"\b(?:fire|flames?){_GONE}(?:out|extinguished|over)\b|\b(?:put|got) (?:the |that )?fire out\b"),
    "smoke": compiled(rf"\b(?:smoke|fumes|smell){_GONE}(?:gone|clear(?:ed|ing)?|out|over|stopped)\b"),
    "icing": compiled(rf"""
        \b(?:ice|icing){_GONE}(?:gone|off|melt(?:ed|ing)|shed(?:ding)?|stopped|over)\b|
        \b(?:clear of|out of|free of|shed(?:ding)?|lost|no more|no longer (?:in|any)) (?:the |all |all the |any )?
        (?:ice|icing)\b(?! warning)"""),
    "engine": compiled(r"""
        \b(?:engine|power|motor)(?: is| has|'s)?(?: all| now| been)* (?:back|restored|recovered|(?:running|fine|ok|
        okay|normal|smooth\w*)(?: again| now)?)\b(?! rough)|
        \b(?:restarted|re-?started|relit) (?:the |our )?engine\b|\bengine (?:re-?started|caught)\b|
        \b(?:have|got) (?:the |our )?(?:engine|power) (?:back|running)\b"""),
}
_BURNING = ("fire", "burning", "smoke")
ALL_WELL = compiled(r"""
    \b(?:everything(?: is|'s)? |all (?:is |systems |back to )?)(?:fine|ok|okay|all right|well|good|normal)\b|
    \bunder control\b|\brecovered\b|\bno problems?\b|\bback to normal\b""")


def over_in(call: Call) -> frozenset[str]:
    """Return what a call says is over: "fire", "smoke", "icing", "engine"."""
    if call.words.rstrip().endswith("?"):
        return frozenset()
    return frozenset(key for key, said in _OVER.items() if said_now(call.words, said))


def overcome(state: ControllerState, call: Call) -> ControllerState:
    """Return the controller without the trouble that a call says is over."""
    over = over_in(call)
    told = state.told
    natures = set(state.natures)
    if "fire" in over:
        natures -= {*_BURNING}
    if "smoke" in over:
        natures -= {"smoke", "burning"}
    if "icing" in over:
        natures.discard("icing")
        told = replace(told, conditions="unstated" if told.conditions == "icing" else told.conditions)
    if "engine" in over and "engine" not in call.equipment:
        told = replace(told, equipment=told.equipment - {"engine"})
    return replace(state, told=told, natures=tuple(each for each in state.natures if each in natures))
