"""What a call tells of those on board and of the fuel: how many, and how many minutes.

Texts are as in `clauses`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.alternatives import by_words
from drill.language.clauses import clauses
from drill.language.durations import durations
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought

_SOULS = (
    compiled(r"""
        \b\d{1,2} (?:souls?|on board|aboard|persons?|people|pob|sob) (?:, )?(?:no|sorry|correction|beg pardon|make that|
        i mean)(?: (?:,|no|sorry|beg|pardon|i beg your|make that|correction|i mean|that is|it is))* (?P<n>\d{1,2})
        (?= (?:souls?|on board|aboard|people|persons?|pob|sob|[,.])|$)"""),
    re.compile(r"\bboth souls\b(?P<n>)"),
    re.compile(r"\bfamily of (?P<n>[2-9])\b"),
    compiled(r"""
        \b(?:student and (?:an |the )?instructor|instructor and (?:a |the )?student|husband and wife|
        pilot and (?:a |1 )?(?:passenger|copilot))(?P<n>) (?:on board|aboard|only|in here|up here)\b"""),
    re.compile(r"\b(?:me|myself) (?:and|plus) (?:my|the|a|1) (?!dog\b|cat\b)[a-z]+(?P<n>)\b"),
    re.compile(r"\b(?:souls?|pob|sob|persons?|people)(?: on board| aboard)? , (?P<n>\d{1,2})(?= [,.]|$)"),
    re.compile(r"\b(?P<n>\d{1,3}) (?:in all\b|in the (?:airplane|aircraft|plane|cockpit)\b|"
               r"including (?:(?:the )?(?:crew|pilots?)|me\b|myself))"),
    compiled(r"""
        (?<![+:.\d])(?<!hour )(?<!hours )\b(?P<n>\d{1,3})(?: (?!different|other|fuel|gas|petrol)[a-z]+)?
        [ ](?:souls?|on board|onboard|persons?|people|pob|sob|aboard|of us|occupants|pax)\b"""),
    compiled(r"""
        \b(?:souls?|pob|sob|persons?|people)(?: on board| aboard)?(?: is| are| number)? (?P<n>\d{1,3})\b"""),
    re.compile(r"\b(?:on board|onboard|aboard) (?P<n>\d{1,2})\b(?![+:])"),
    re.compile(r"\b(?P<n>\d{1,2}) p (?:o|of) b\b"),
    re.compile(r"\b(?:crew|party|group|total) of (?P<n>\d{1,2})\b"),
    re.compile(r"(?:^|[,.] |\bwe are )(?P<n>[1-9]) up(?= [,.]|$)"),   # "two up"
    compiled(r"""
        \b(?:wife|husband|student|son|daughter|brother|sister|friend|instructor|copilot|boss|partner|dad|father|mother|
        mum|mom|passenger|girlfriend|boyfriend|nephew|niece|mate|buddy|client) and (?:me|i|myself)(?P<n>)
        (?= (?:on board|aboard|only|in here|up here)\b| [,.]|$)"""),
)
_OF_PEOPLE = by_words(r"""
    \b(?:board|onboard|aboard|soul|p.?o.?b|p of b|sob\b|pers|peopl|pax|pass|occup|of us|solo|alone|my ?self|my own|
    (?:me|just me) (?:only|alone)|me plus|me and|single pilot|just me|only me|only myself|family|and me\b|plus me\b|
    student and|instructor and|husband and|pilot and|
    the pilot|pilot plus|crew|party|group|total|others?|\d up|including|nobody|
    in the (?:airplane|aircraft|plane|cockpit))""")
"""What no call that tells how many are on board is without."""
_CORRECTED = re.compile(r"\b(?:no|sorry|correction|make that|i mean)\b")
_WITH_ME = sought(r"""
    \bcrew of (?P<crew>\d) (?:and|plus|with) (?P<guests>\d{1,2}) (?:pax|passengers?)\b|
    \b(?P<n>[1-9]) [a-z]{3,}s (?:plus|and) (?:me|myself)\b|
    \b(?P<pax>\d{1,2}) (?:pax|passengers?|others?) (?:plus|and) (?:me|myself|the pilot|crew|1 crew)\b|
    \b(?:me|myself|pilot) (?:plus|and|with) (?:my )?(?P<more>\d{1,2}) (?:pax|passengers?|others?|friends|
    kids|students|guests|children|mates|colleagues)\b|
    \bpilot plus (?P<plus>\d{1,2})\b""")
_SOLO = sought(r"""
    (?:^|[,.] |\band )(?:all )?alone(?= [,.]|$)|\ball alone\b|
    (?<!not )\balone (?:on board|aboard|up here|in (?:(?:the|my|this|an) )?(?:aircraft|airplane|plane|cockpit|
    machine))\b|
    \bnobody else (?:on board|aboard|with me|in here)\b|
    \b(?:solo|(?<!navigate )(?<!manage )(?<!fly )(?<!lick )(?<!nav )on my own|just me|just myself|only me|
    only myself|just the pilot|me only|
    (?:(?:^|[,.] |just |flying |am |here |up here |all )by myself)|i am alone)\b""")
_ONLY_HOURS = compiled(r"""
    (?:[2-9]\d|1\d\d) minutes?|(?:and |about |with |we have |i have |have |got |still )*(?:\d(?:\.\d)?|an?|
    1) (?:hours?|hrs?)(?: and a half| \d+| and \d+)?(?: minutes| mins)?""")
_OF_TIME = by_words(r"""
    (?:hours?|hrs?|h|minutes?|mins?|quarters?|half|fuel|endurance)\b|\d+[+:h]\d|plus \d""")
"""What no call that tells the fuel is without."""
_FUEL = compiled(r"""
    \b(?:fuel|gas|endurance|fob|avgas|petrol|remaining|bingo|(?:down to|enough for)(?= \d)|in the tanks|tanks?|
    usable|useable|in the wings|(?:we are|i am|tanks? (?:is|are)|fuel|gas) good for(?= (?:\d|an?\b))|
    autonomy|runs? dry|dry tanks|hours? left)\b""")
_HOURS_ON_BOARD = Sought(r"\bhours?\b.*\bon board\b")
_ABOARD_FIRST = re.compile(r"\b(?:on board|aboard|souls|pob|sob|persons|people)(?: and)? $")
_BARE_FUEL = Sought(r"\b(?:fuel|endurance)(?: remaining| is)? (\d{2,3})$")
_PLUS = Sought(r"\b\d plus \d\d\b")
_SLIPS = re.compile(r"(?:no|nope|sorry|correction|rather|i mean|wait|scratch that|beg pardon|pardon)"
                    r"(?: (?:no|sorry|wait|i mean|correction))*")
_THE_BETTER = re.compile(r" (?:actually|rather|sorry|i mean|i should say)")
_HESITATES = re.compile(r"(?:uh|um|er|ah|hmm|about|say|maybe|well|let us see)")


def _put_right(following: Sequence[str]) -> int | None:
    """Return the minutes that the clauses after those of a fuel put in its place: "fuel 25 minutes, no, 35 minutes"."""
    hesitates = False
    for clause in following:
        if _SLIPS.fullmatch(clause) or _HESITATES.fullmatch(clause):
            hesitates = True
            continue
        said = durations(clause)
        if said and not said[0].start and (
                _THE_BETTER.fullmatch(clause[said[0].end:]) or (hesitates and said[0].end == len(clause))):
            return round(said[0].seconds / 60)
        return None
    return None


def souls(text: str) -> int | None:
    """Return the number of persons on board."""
    if _OF_PEOPLE.search(text) is None:
        return None
    if match := _WITH_ME.search(text):
        beside = int(match["crew"] or 1)
        return beside + int(next(each for each in match.groups()[1:] if each))
    for pattern in _SOULS:
        said = list(pattern.finditer(text))
        if said:
            corrected = len(said) > 1 and _CORRECTED.search(text[said[0].end():said[-1].start()])
            return int(said[-1 if corrected else 0]["n"] or 2)
    return 1 if _SOLO.search(text) else None


def fuel_min(text: str) -> int | None:
    """Return the fuel remaining in minutes."""
    if _OF_TIME.search(text) is None:
        return None
    spoken_of_fuel = False
    parts = clauses(text)
    for at, clause in enumerate(parts):
        said = [each for each in durations(clause) if each.unit in ("hour", "hr", "h", "minute", "min")
                and not clause[each.end:].startswith((" ago", " from", " out", " late"))
                and not clause[:each.start].endswith((" in ", " within "))]
        denied = [each for each in said if clause[:each.start].endswith("not ")]
        said = [each for each in said if each not in denied]
        words = [match.start() for match in _FUEL.finditer(clause)]
        if said and not words and _HOURS_ON_BOARD.search(clause):
            return round(said[0].seconds / 60)
        if len(said) > 1 and words and said[0].unit[0] == "h" == said[1].unit[0] and said[0].end + 1 == said[1].start:
            return round(said[1].seconds / 60)   # put right at once: "three hours twenty, make that two hours twenty"
        if said and words:
            nearest = min(said, key=lambda each: min(abs(each.start - at) for at in words))
            return _put_right(parts[at + 1:]) or round(nearest.seconds / 60)
        if said and _ABOARD_FIRST.search(clause[:said[-1].start]) and said[-1].end == len(clause):
            return round(said[-1].seconds / 60)   # "two on board four hours"
        if said and spoken_of_fuel and len(clause.split()) <= 9:
            return round(said[0].seconds / 60)
        if ("+" in clause or _PLUS.search(clause) or _ONLY_HOURS.fullmatch(clause)) and said:
            return round(said[0].seconds / 60)   # "1+45" is nothing but fuel
        if match := _BARE_FUEL.search(clause):
            return int(match.group(1))
        spoken_of_fuel = bool(words or denied) or (spoken_of_fuel and _HESITATES.fullmatch(clause) is not None)
    return None
