"""Actions that need a thing: what a line names, or what its words are likely to be about."""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.forbidding import negates
from drill.language.instruments import INSTRUMENTS, seen, told_of
from drill.language.lexicon import name_of
from drill.language.likely.corrections import after_correction
from drill.language.likely.judging import CLEAR, LIKELY, Judged
from drill.language.meaning import (
    EQUIPMENT,
    IN_SIGHT,
    SWITCHES,
    Action,
    Breaker,
    Compare,
    Cover,
    Diagnose,
    FlyBy,
    Look,
    Switch,
    Uncover,
)
from drill.language.words import joined

_SWITCH_OF = {"pitot": "pitot_heat"}
"""What is switched where a part is named that has no switch: "warm the pitot tube"."""
_FACES = tuple(sorted(INSTRUMENTS))
_FLOWN = tuple(face for face in _FACES if face not in ("suction_gauge", "ammeter", "clock"))
"""Faces that mislead a pilot; a gauge named beside one is the reason ("suction is back, unmask the horizon")."""


_BOTH = re.compile(r"<\w+>(?:(?: ,| and| plus)+(?: (?:the|my|our|that))* <\w+>)+")


def names(line: Judged) -> list[str]:
    """Return what a line names, each once; of names parted by a correction only those that follow it."""
    found = (name_of(token.text) for token in after_correction(line.line, _is_name))
    return [name for name in dict.fromkeys(found) if name not in (None, "place", "fix")]


def _is_name(word: str) -> bool:
    return word[0] == "<"


def _target(line: Judged, possible: Sequence[str], sure: float = CLEAR) -> str | None:
    """Return the one of `possible` that a line is about: the only one named, or the likeliest of those named; where
    none is, the likeliest."""
    likely = [(label, share) for label, share in line.likely("target") if label in possible]
    named = {at for name in names(line) for at in (*seen(name), _SWITCH_OF.get(name, name)) if at in possible}
    if len(named) > 1:
        named.discard("panel")   # "engine instruments, everything in the green?"
    if len(named) == 1:
        return named.pop()
    if named and any(len({at for name in re.findall(r"<(\w+)>", match.group()) for at in seen(name)} & named) > 1
                     for match in _BOTH.finditer(joined(line.line))):
        return None   # "a napkin over the horizon, and the DG too": one of them would be dropped
    if named:
        shares = [(label, share) for label, share in likely if label in named]
        clear = shares and shares[0][1] > CLEAR * sum(share for _, share in shares)
        return shares[0][0] if clear else None
    return likely[0][0] if likely and likely[0][1] >= sure else None


UNNAMED = 0.98
"""The likelihood from which on a switch is worked that a line does not name ("fuel pump off" names none)."""


def look(line: Judged) -> Action | None:
    """Look at what is named or told of."""
    at = _target(line, IN_SIGHT) or told_of(joined(line.line))
    return Look(at) if at else None


def compare(line: Judged) -> Action | None:
    """Set what is named against each other; beside two instruments, nothing else that is named only as a reason."""
    named = names(line)
    sights = {at for name in named for at in seen(name) if at != "panel"}
    faces = set(named) & (INSTRUMENTS - {"clock"})
    if "gyros" in named:
        faces |= {"attitude_indicator", "heading_indicator"}
    if len(faces) > 1:
        sights = faces   # "both run on vacuum: do AI and DG agree?"
    return Compare(tuple(sorted(sights))) if len(sights) > 1 else None


def cover(line: Judged) -> Action | None:
    """Cover the instrument that is named."""
    at = _target(line, _FACES) or _target(line, _FLOWN)
    return Cover(at) if at else None


def uncover(line: Judged) -> Action | None:
    """Uncover the instrument that is named."""
    at = _target(line, _FACES) or _target(line, _FLOWN)
    return Uncover(at) if at else None


_FLOWN_BY = re.compile(r"\b(?:by|off|off of|from|on|using|use|trust|with|follow|reference|against) "
                       r"(?:(?:the|my|our|that|only|just) )*<(\w+)>")


def fly_by(line: Judged) -> Action | None:
    """Fly by the whole panel, by part of it, or by the instrument that stands after "by", "off" or "from"."""
    if "needle_ball" in names(line):
        return FlyBy("partial_panel")
    what, share = line.likely("target")[0]
    if what in ("partial_panel", "full_panel") and share >= LIKELY:
        return FlyBy(what)
    by = {match[1] for match in _FLOWN_BY.finditer(joined(line.line)) if match[1] in INSTRUMENTS}
    at = by.pop() if len(by) == 1 else _target(line, _FACES)
    return FlyBy(at) if at else None


_CARBURETTOR = re.compile(r"\bcarb\b|\bcarb?ur\w+\b")


def switch(line: Judged) -> Action | None:
    """Put a switch on or off."""
    if "covering" in names(line):
        return None   # "get the suction cup off"
    what = "carburettor_heat" if _CARBURETTOR.search(joined(line.line)) else _target(line, SWITCHES, UNNAMED)
    to, share = line.likely("switched")[0]
    return Switch(what, "on" if to == "on" else "off") if what and share >= CLEAR else None


_SOME_WORK = re.compile(r"\b(?:fine|ok|okay|good|works?|working|agrees?|right|still|normal|but|healthy|alright|alive|"
                        r"running|(?<!as )well|believe|trust|while|shows?|says?|reads?|by|with|against|on)\b")
"""Words by which not all that is named need have failed."""


def diagnose(line: Judged) -> Action | None:
    """Say what has failed: the one part that is named, or all of them where none is said to work."""
    parts = [line.book.equipment(name) for name in names(line)]
    failed = {each for part in parts for each in part if each in EQUIPMENT}
    text = joined(line.line)
    alone = sum(any(each in EQUIPMENT for each in part) for part in parts) == 1
    all_of_them = alone or not (negates(text) or _SOME_WORK.search(text))
    return Diagnose(tuple(sorted(failed))) if failed and all_of_them else None


_PULLS = re.compile(r"\b(?:pull|yank|out|trip)\b")
_PUSHES = re.compile(r"\b(?:reset|push|in)\b")


def breaker(line: Judged) -> Action | None:
    """Pull or reset the breaker of the one part that is named."""
    text = joined(line.line)
    parts = {each for name in names(line) if name != "breakers" for each in (line.book.equipment(name) or (name,))}
    pulls = _PULLS.search(text) is not None
    if len(parts) != 1 or pulls == (_PUSHES.search(text) is not None):
        return None
    return Breaker(parts.pop(), "pull" if pulls else "reset")
