"""Answers to ATC inside a call: unable, standby, say again, yes and no, roger, wilco, and what is read back.

Source of the words: Pilot/Controller Glossary (AFFIRMATIVE, NEGATIVE, ROGER, SAY AGAIN, STAND BY, UNABLE, WILCO,
READ BACK).
"""

from __future__ import annotations

import re

from drill.language.alternatives import by_words
from drill.language.clauses import clauses
from drill.language.figures import reads_back
from drill.language.meaning import Reply, ReplyKind
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought
from drill.language.stating import cancels_emergency

_LEADING = r"^(?:(?:uh|um|er|ok|okay|sorry|and|well|ah|we are|i am|we will be|i will be) )*"
_KINDS: tuple[tuple[ReplyKind, re.Pattern[str]], ...] = (
    ("unable", re.compile(_LEADING + laid_out(r"""
        (?:negative )?unable\b|\bunable (?:to comply|that|to accept that)\b|
        \b(?:can not|will not be able to) (?:do that|accept that|comply|take that|make that)\b"""))),
    ("standby", re.compile(_LEADING + laid_out(r"""
        (?:stand ?by|standing by)(?: (?:1|a|for|please|on|we|while|working|i)\b.*)?$|
        \bstand ?by (?:1|a minute|a moment|for)\b"""))),
    ("say_again", compiled(r"""
        (?<!\bi )(?<!\bwe )(?<!\bwill )\bsay (?:that |it |all )?again\b|
        \brepeat (?:that|your|the|last)\b|\bdid not (?:copy|catch|get) that\b|
        ^(?:pardon|come again)\b|\bmissed (?:that|your last)\b""")),
    ("affirmative", re.compile(_LEADING + laid_out(r"""
        (?:affirm|affirmative|yes|yeah|yep|that is (?:correct|affirmative)|charlie charlie)\b|\baffirmative\b|
        ^affirm$"""))),
    ("negative", re.compile(_LEADING + laid_out(r"""
        (?:negative\b(?! <)|nope\b|no(?= (?:we|i|it|that|thanks|thank|sir|need)\b|$))"""))),
    ("wilco", re.compile(r"\bwilco\b|^(?:we )?will comply\b")),
    ("roger", re.compile(_LEADING + laid_out(r"""
        (?:roger|copy|copied|thanks|thank you|rodger)\b|\broger\b|^(?:ok|okay)$"""))),
)
_MAY_ANSWER = by_words(r"""
    (?:unable|stand|standing|standby|say|repeat|copy|copied|affirm\w*|yes|yeah|yep|correct|charlie|negative|nope|
    no|wilco|comply|roger|rodger|thanks|thank|ok|okay|pardon|come|did|can|will|missed)\b""")
"""A word of some answer; a part without any is none."""
_HEADING = compiled(r"""
    \b(?:left|right|heading|fly heading|turn\w*)(?: (?:turn|to|left|right|heading|of|a))* (\d{1,3})\b""")
_ALTITUDE = compiled(r"""
    \b(?:descend\w*|climb\w*|maintain\w*|down to|up to|level|for|to)(?: (?:and|maintain|to|now|at))* (\d{3,5}|
    \d{1,2}(?= |$))\b(?! degrees| <)""")
_FREQUENCY = by_words(r"(1[1-3]\d(?:\.\d{1,3}))\b|(1[1-3]\d (?:point|decimal) \d+)\b")
_CODE = Sought(r"\b(?:squawk\w*|code|transponder|xpdr)(?: \w+){0,2}? ([0-7]{4})\b")


def replies(text: str) -> tuple[Reply, ...]:
    """Return the answers in a call, in the order of the table of kinds; numbers read back are one "readback"."""
    found: list[Reply] = []
    parts = [part for part in clauses(text) if _MAY_ANSWER.search(part)] if _MAY_ANSWER.search(text) else []
    for kind, pattern in _KINDS if parts else ():
        if any(pattern.search(part) for part in parts):
            found.append(Reply(kind))
    if cancels_emergency(text):
        found.append(Reply("cancels_emergency"))
    if (back := _read_back(text)) is not None:
        found.append(back)
    return tuple(found)


def _read_back(text: str) -> Reply | None:
    frequency = _FREQUENCY.search(text)
    code = _CODE.search(text)
    instructed = reads_back(text)
    if not instructed and not (frequency or code):
        return None
    heading = altitude = None
    for clause in clauses(text) if instructed else ():
        if heading is None and (match := _HEADING.search(clause)) and 0 < int(match.group(1)) <= 360:
            heading = int(match.group(1))
        if altitude is None and (match := _ALTITUDE.search(clause)):
            value = int(match.group(1))
            altitude = value * 1000 if value <= 60 else value if value >= 400 else None
    return Reply("readback", heading, altitude, frequency.group() if frequency else None,
                 code.group(1) if code else None)
