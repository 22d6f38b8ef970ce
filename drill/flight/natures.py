"""What is wrong that is no equipment: fire, ice, fuel, people. A table: its words, what ATC says it has copied."""

from __future__ import annotations

import re
from dataclasses import dataclass

from drill.flight.saying import said_now
from drill.language.meaning import Call
from drill.language.patterns import compiled

LOW_FUEL_MIN = 30        # less is trouble, whatever it is called (14 CFR 91.151: the reserve by day)


@dataclass(frozen=True, slots=True)
class Nature:
    """One kind of trouble; `copied`: how it is named on the air, `crews`: what waits on the ground is told of it."""

    key: str
    copied: str
    said: re.Pattern[str]
    crews: bool = False


NATURES = (
    Nature("fire", "fire", compiled(r"""
        \b(?:on fire|fire(?! (?:trucks?|crews?|services?|tenders?|engines?|brigade|department|equipment|extinguishers?|
        rescue)\b)|flames?)\b"""), crews=True),
    Nature("burning", "burning smell", compiled(r"\bburning\b"), crews=True),
    Nature("smoke", "smoke", compiled(r"\b(?:smoke|fumes)\b"), crews=True),
    Nature("medical", "medical emergency", compiled(r"""
        \b(?:medical|heart attack|stroke|seizure|unconscious|chest pain|bleeding|passed out|(?:passenger|pilot|wife|
        husband|friend|child|he|she|somebody|someone) (?:is|has|got|feels?)(?: feeling)? (?:very |really |suddenly |so |
        pretty |quite )?(?:sick|ill|unwell|
        collapsed|fainted))\b"""), crews=True),
    Nature("incapacitated", "pilot incapacitated", compiled(r"""
        \b(?:pilot (?:is |has )?(?:incapacitated|unconscious|dead|passed out|fainted|collapsed)|
        (?:am|are) (?:only |just )?(?:a|the) passengers?)\b"""), crews=True),
    Nature("fuel", "low fuel", compiled(r"""
        \b(?:(?:out of|low on|short of|running out of) (?:fuel|gas)|fuel (?:emergency|critical|is low|low)|
        bingo fuel)\b""")),
    Nature("icing", "icing", compiled(r"""
        \b(?:severe|moderate|heavy|light|rime|clear|lot of|losing .* due to|airframe|wing)\b.*\b(?:ice|icing)\b|
        \b(?:icing up|iced up|(?:picking up|collecting|building|accumulating|load of|due to) (?:\w+ ){0,2}(?:ice|icing)|
        ice (?:all over|on the|building|is building)|in (?:the )?(?:ice|icing))\b""")),
    Nature("lost", "position unknown", compiled(r"""
        \b(?:(?:we|i) (?:are|am) lost|is lost|do not know where (?:i|we) (?:am|are)|lost our (?:way|position)|
        unsure of (?:our|my) position)\b""")),
    Nature("disoriented", "spatial disorientation", compiled(r"""
        \b(?:disorient\w*|vertigo|which way is up|spatial disorientation)\b|
        \b(?:everything|the (?:room|world|whole panel)|my head)(?:'s| is)? spinning\b""")),
    Nature("disagree", "instruments unreliable", compiled(r"""
        \binstruments? (?:\w+ ){0,3}(?:disagree\w*|crazy|wild|unreliable|do not agree)\b""")),
    Nature("open", "door open", compiled(r"\b(?:door|window|hatch|canopy)\b.*\b(?:open|popped|off)\b")),
)
_BY_KEY = {each.key: each for each in NATURES}


def natures_in(call: Call) -> tuple[str, ...]:
    """Return the keys of what a call says is wrong; () for one that reports nothing wrong."""
    icing = call.conditions == "icing"
    minimum = "minimum fuel" in call.words.lower()   # that is its own word (AIM 5-5-15)
    low = call.fuel_min is not None and call.fuel_min < LOW_FUEL_MIN and not minimum
    if not (call.trouble or call.equipment or call.urgency != "none" or icing or call.impairment):
        return ("fuel",) if low else ()
    found = [each.key for each in NATURES if each.key != "icing" and said_now(call.words, each.said)]
    if low and "fuel" not in found:
        found.append("fuel")
    return (*found, "icing") if icing else tuple(found)


def copied(keys: tuple[str, ...]) -> list[str]:
    """Return what is wrong in the words of the air."""
    return [_BY_KEY[key].copied for key in keys]


def airplane_sound(keys: tuple[str, ...]) -> bool:
    """Say whether what is wrong leaves the airplane as it was: somebody is ill, and nothing else is known."""
    return bool(keys) and set(keys) <= {"medical"}


def calls_out_crews(keys: tuple[str, ...]) -> bool:
    """Say whether what is wrong wants help on the ground at once."""
    return any(_BY_KEY[key].crews for key in keys)
