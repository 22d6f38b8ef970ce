"""Lengths of time as they are said: "an hour and a half", "two hours ten", "2+15", "half a minute", "two thirty"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from drill.language.numbers import DIGITS, TEENS, TENS
from drill.language.words import Token, word_set

_UNIT_S = {"hour": 3600.0, "h": 3600.0, "hr": 3600.0, "minute": 60.0, "min": 60.0, "second": 1.0, "sec": 1.0,
           "moment": 10.0}
_UNIT = r"hours?|hrs?|h(?= |$)|minutes?|mins?|seconds?|secs?|moments?"
_FORMS = re.compile(
    r"(?P<clock>\b\d{1,2})(?:[+:h]| plus )(?P<clock_min>\d\d)\b(?! (?:hours?|souls?|people|persons?|minutes?|mins?))"
    rf"|\b(?P<number>\d{{1,6}}(?:\.\d{{1,6}})?|an?|1|(?:(?<=, )|^)(?=hours? of (?:fuel|gas))|(?:(?<=, )|^|"
    rf"(?<=aboard )|(?<=board ))(?=(?:hour|hr) (?:and )?(?:\d\d|a (?:half|quarter))\b))"
    rf"(?P<and_half> and a half| and half| and 1 half| 1 half| and (?:a|1|3) quarters?)?"
    rf"(?: more| full| good| whole)? ?(?P<unit>{_UNIT})"
    r"(?P<more> (?:and |plus )?(?:(?P<more_part>(?:a |1 )?half|(?:(?:a|1|3) )?quarters?)\b(?! (?:souls?|of an?)\b)|"
    r"(?P<more_number>\d{1,2})\b(?! (?:souls?|people|persons?|on board|pob|miles|quarters?|hours?|hrs?))"
    r"(?: (?:minutes?|mins?|seconds?|secs?))?))?"
    r"|\b(?P<quarters>(?:a |1 )?quarter|3 quarters|three quarters) of an? (?P<quarter_unit>hours?|hr|minutes?|min)\b"
    r"|\b(?P<half>(?:1 )?half)(?: of)?(?: an?)? (?P<half_unit>hours?|hr|minutes?|min)\b"
    r"|\b(?P<couple>a couple(?: of)?|a few) (?P<couple_unit>hours?|minutes?|mins?|seconds?|secs?)"
)


_SPOKEN_OF_TIME = ("hour", "hr", "min", "sec", "moment", "quarter", "+", ":", " plus ", " h",
                   *(f"{digit}h" for digit in range(10)))


@dataclass(frozen=True, slots=True)
class Duration:
    """A length of time in seconds, and where it stands in the text."""

    seconds: float
    start: int
    end: int
    unit: str


def _unit(word: str) -> str:
    return word.rstrip("s")


def durations(text: str) -> list[Duration]:
    """Return the lengths of time in `text` (words in small letters, numbers as digits), in order."""
    if not any(part in text for part in _SPOKEN_OF_TIME):
        return []
    return [_duration(match) for match in _FORMS.finditer(text)]


def _duration(match: re.Match[str]) -> Duration:
    if match["clock"]:
        seconds, unit = int(match["clock"]) * 3600.0 + int(match["clock_min"]) * 60.0, "hour"
    elif match["quarters"]:
        unit = _unit(match["quarter_unit"])
        seconds = _UNIT_S[unit] * (0.75 if match["quarters"].endswith("s") else 0.25)
    elif match["half"]:
        unit = _unit(match["half_unit"])
        seconds = _UNIT_S[unit] / 2
    elif match["couple"]:
        unit = _unit(match["couple_unit"])
        seconds = _UNIT_S[unit] * (2 if "couple" in match["couple"] else 3)
    else:
        seconds, unit = _counted(match)
    return Duration(seconds, match.start(), match.end(), unit)


def _part(said: str | None) -> float:
    """Return the share of a unit that "and a half", "a quarter", "3 quarters" add to it."""
    if not said:
        return 0.0
    return 0.5 if "quarter" not in said else 0.75 if "3" in said else 0.25


def _counted(match: re.Match[str]) -> tuple[float, str]:
    unit = _unit(match["unit"])
    number = 1.0 if match["number"] in ("a", "an", "") else float(match["number"])
    seconds = (number + _part(match["and_half"]) + _part(match["more_part"])) * _UNIT_S[unit]
    if match["more_number"]:
        seconds += int(match["more_number"]) * (_UNIT_S[unit] / 60)
    return seconds, unit


_FUEL = word_set("fuel gas endurance avgas petrol")
_OF_FUEL = _FUEL | {"remaining", "tanks"}
_BETWEEN = word_set("""of in on the left remaining is for about approximately total with worth our my board
                     onboard aboard""")
_OTHER_FIGURES = word_set("""heading hdg left right turn course radial squawk squawking runway at to track from
                             souls soul pob people persons""")
_OF_UNITS = re.compile(rf"(?:{_UNIT}|pounds?|lbs?|gallons?|liters?|litres?|percent|kilos?|kg)")


def clock_spoken(line: Sequence[Token], said: str) -> tuple[Token, ...]:
    """Return `line`, its numbers joined, with fuel told as on a clock in the form "2+30": "two thirty fuel", "2 30
    remaining". One figure after the other ("one two zero"), and what is typed as one number, stays minutes."""
    if _OF_FUEL.isdisjoint([text for text, _, _ in line]):
        return tuple(line)
    found: list[Token] = []
    at = 0
    while at < len(line):
        end, text = _clock_at(line, at, said)
        if end > at and _beside_fuel(line, at, end):
            found.append(Token(text, line[at].start, line[end - 1].end))
            at = end
        else:
            found.append(line[at])
            at += 1
    return tuple(found)


def _clock_at(line: Sequence[Token], at: int, said: str) -> tuple[int, str]:
    """Return the end and the form of hours and minutes said without their units at `at`; the end is `at` for none."""
    text = line[at].text
    if len(text) == 1 and text.isdecimal() and at + 1 < len(line):
        minutes = line[at + 1].text
        fits = len(minutes) == 2 and minutes.isdecimal() and minutes < "60"
        return (at + 2, f"{text}+{minutes}") if fits else (at, "")
    if len(text) != 3 or not text.isdecimal() or text[1] > "5":
        return at, ""
    words = said[line[at].start:line[at].end].lower().replace("-", " ").split()
    if len(words) < 2 or (words[0] not in DIGITS and words[0] not in "123456789"):
        return at, ""
    clocked = words[1] in TEENS or words[1] in TENS or words[1] == "oh"
    return (at + 1, f"{text[0]}+{text[1:]}") if clocked else (at, "")


def _beside_fuel(line: Sequence[Token], at: int, end: int) -> bool:
    """Whether the words `line[at:end]` stand beside a word for fuel, and are no other figure's."""
    if (at and line[at - 1].text in _OTHER_FIGURES) or (end < len(line) and _OF_UNITS.fullmatch(line[end].text)):
        return False
    before, after = at - 1, end
    while before >= 0 and (line[before].text in _BETWEEN or line[before].text == ","):
        before -= 1
    if before >= 0 and line[before].text in _FUEL:
        return True
    while after < len(line) and line[after].text in _BETWEEN:
        after += 1
    left = any(token.text == "remaining" for token in line[end:after])
    if after == len(line) or line[after].text not in _FUEL | {"tanks"}:
        return left
    return all(not token.text[0].isdigit() for token in line[after + 1:after + 3])   # "two thirty, fuel two hours"
