"""The actions that are offered to a pilot who asks for suggestions: one list, the same in every phase of every flight.

It holds what helps and what does not, so that it gives nothing away. Of a scenario only what its briefing tells goes
in: the names of the fields, and the facility that is called.
"""

from __future__ import annotations

from collections.abc import Sequence

_BEFORE: tuple[str, ...] = (
    "look at the panel", "look at the attitude indicator", "look at the heading indicator",
    "look at the turn coordinator", "look at the suction gauge", "look at the ammeter", "look at the altimeter",
    "look outside", "check the ice", "compare the attitude indicator with the turn coordinator",
    "compare the heading indicator with the compass", "cover the attitude indicator", "cover the heading indicator",
    "uncover the attitude indicator", "fly partial panel", "fly full panel", "fly heading 270", "turn left heading 180",
    "turn right heading 090", "stop turn", "level the wings", "half standard rate turns", "hold altitude",
    "climb to 7000", "descend to 4000", "airspeed 90", "power 2200", "flaps 10", "pitot heat on", "carb heat on",
    "open the alternate static source", "alternator off", "pull the turn coordinator breaker", "start the timer",
    "set the heading indicator to the compass", "set altimeter to 29.92", "squawk 7700", "checklist", "wait 30 seconds",
    "break off", "I think the vacuum system has failed", "I think the alternator has failed",
    "I think the pitot tube is blocked", "hold", "continue",
)
_CALLS: tuple[str, ...] = (
    "unable", "say again", "request vectors", "request no-gyro vectors", "request lower", "declaring an emergency",
)


def suggestions(fields: Sequence[str] = (), facility: str = "") -> tuple[str, ...]:
    """Return what is offered, with the briefing's `fields` and `facility` filled in."""
    calls = tuple(f"{facility}, {each}" if facility else f"say {each}" for each in _CALLS)
    return (*_BEFORE, *(f"divert to {each}" for each in fields), *calls)
