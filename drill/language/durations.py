"""Lengths of time as they are said: "an hour and a half", "two hours ten", "2+15", "half a minute"."""

from __future__ import annotations

import re
from dataclasses import dataclass

_UNIT_S = {"hour": 3600.0, "h": 3600.0, "hr": 3600.0, "minute": 60.0, "min": 60.0, "second": 1.0, "sec": 1.0,
           "moment": 10.0}
_UNIT = r"hours?|hrs?|h(?= |$)|minutes?|mins?|seconds?|secs?|moments?"
_FORMS = re.compile(
    r"(?P<clock>\b\d{1,2})(?:[+:]| plus )(?P<clock_min>\d\d)\b(?! (?:hours?|souls?|people|persons?|minutes?|mins?))"
    rf"|\b(?P<number>\d{{1,6}}(?:\.\d{{1,6}})?|an?|1|(?:(?<=, )|^)(?=hours? of (?:fuel|gas))|(?:(?<=, )|^|"
    rf"(?<=aboard )|(?<=board ))(?=hour (?:and )?\d\d\b))(?P<and_half> and a half| and half| and 1 half| 1 half|"
    rf" and a quarter)?(?: more| full| good| whole)? ?(?P<unit>{_UNIT})"
    r"(?P<more> (?:and |plus )?(?:(?P<more_half>a half\b)|(?P<more_number>\d{1,2})\b(?! (?:souls?|people|"
    r"persons?|on board|pob|miles))"
    r"(?: (?:minutes?|mins?|seconds?|secs?))?))?"
    r"|\b(?P<quarters>(?:a |1 )?quarter|3 quarters|three quarters) of an? (?P<quarter_unit>hours?|hr|minutes?|min)\b"
    r"|\b(?P<half>(?:1 )?half)(?: of)?(?: an?)? (?P<half_unit>hours?|hr|minutes?|min)\b"
    r"|\b(?P<couple>a couple(?: of)?|a few) (?P<couple_unit>hours?|minutes?|mins?|seconds?|secs?)"
)


_SPOKEN_OF_TIME = ("hour", "hr", "min", "sec", "moment", "quarter", "+", ":", " plus ", " h")


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


def _counted(match: re.Match[str]) -> tuple[float, str]:
    unit = _unit(match["unit"])
    number = 1.0 if match["number"] in ("a", "an", "") else float(match["number"])
    if match["and_half"]:
        number += 0.25 if "quarter" in match["and_half"] else 0.5
    seconds = number * _UNIT_S[unit]
    if match["more_half"]:
        seconds += _UNIT_S[unit] / 2
    elif match["more_number"]:
        seconds += int(match["more_number"]) * (_UNIT_S[unit] / 60)
    return seconds, unit
