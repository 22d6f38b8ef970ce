"""Numbers as pilots say and write them, and the way back to spoken words.

Sources: AIM 4-2-7 (digits and their sounds), 4-2-8 and 4-2-9 (figures, altitudes, flight levels), 4-2-10
(directions), 4-2-11 (speeds). Round everyday forms ("5k", "three fifty", "two ten") are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.patterns import compiled
from drill.language.remembered import Remembered
from drill.language.words import Token, merged

DIGITS = {
    "zero": "0", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "nought": "0", "naught": "0", "eight": "8", "nine": "9", "niner": "9", "tree": "3", "fower": "4", "fife": "5",
    "ait": "8", "oh": "0",
}
TEENS = {
    "ten": "10", "eleven": "11", "twelve": "12", "thirteen": "13", "fourteen": "14", "fifteen": "15",
    "sixteen": "16", "seventeen": "17", "eighteen": "18", "nineteen": "19",
}
TENS = {
    "twenty": "20", "thirty": "30", "forty": "40", "fourty": "40", "fifty": "50", "sixty": "60", "seventy": "70",
    "eighty": "80", "ninety": "90",
}
SPOKEN = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "niner")
_TIMES = {"double": 2, "triple": 3}
_POINTS = ("point", "decimal", "dot")
_UNIT = compiled(r"""
    (\d+(?:\.\d+)?)(h(?=$)|kts?|kt|nm|ft|deg|degrees|mins?|hrs?|hours?|rpm|hpa|mb|sm|secs?|knots|feet|s)$""")
_THOUSANDS = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)k$")
_LEVEL = re.compile(r"fl(\d{2,3})$")


_PRESSURES = frozenset({"millibars", "hectopascals", "hpa", "mb"})
_OF_PRESSURE = frozenset({"qnh", "qfe", "pressure", "altimeter"})
_ENDS_ALTITUDE = frozenset({"please", "now", "if", "when"})
"""What may follow "three thousand five" besides a break."""
_BEGIN_NUMBERS = frozenset({*DIGITS, *TEENS, *TENS, *_TIMES, "a", "hundred"})


def digits_of(word: str) -> str | None:
    """Return the digits that one spoken or written number word stands for ("niner" 9, "eighteen" 18), or None."""
    return DIGITS.get(word) or TEENS.get(word) or TENS.get(word) or (word if word.isdecimal() else None)


def join_numbers(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line` with each spoken or written number as one token of digits.

    Leading zeros stay ("zero five zero" is "050"); "thousand" and "hundred" are multiplied out; "flight level one
    niner zero" and "FL190" become "19000"; a unit written against its number ("90kt") is parted from it.
    """
    parted = _parted_units(line)
    result: list[Token] = []
    at = 0
    while at < len(parted):
        if not _BEGINS[parted[at][0]]:
            result.append(parted[at])
            at += 1
            continue
        end, text = _number_at(parted, at)
        if end == at:
            result.append(parted[at])
            at += 1
        else:
            result.append(merged(parted, at, end, text))
            at = end
    return _flight_levels(result)


def _begins_number(word: str) -> bool:
    return word in _BEGIN_NUMBERS or word[0].isdecimal()


def _may_be_parted(word: str) -> bool:
    return word[0].isdigit() or word.startswith("fl")


_BEGINS = Remembered(_begins_number)
_MAY_BE_PARTED = Remembered(_may_be_parted)


def _parted_units(line: Sequence[Token]) -> list[Token]:
    result: list[Token] = []
    for token in line:
        text = token[0]
        if not _MAY_BE_PARTED[text]:
            result.append(token)
        elif level := _LEVEL.match(text):
            result.append(Token(str(int(level.group(1)) * 100), token.start, token.end))
        elif thousands := _THOUSANDS.match(text):
            value = round(float(thousands.group(1)) * 1000)
            result.append(Token(str(value), token.start, token.end))
        elif unit := _UNIT.match(text):
            middle = token.start + len(unit.group(1))
            result += [Token(unit.group(1), token.start, middle), Token(unit.group(2), middle, token.end)]
        else:
            result.append(token)
    return result


def _flight_levels(line: Sequence[Token]) -> tuple[Token, ...]:
    if {"fl", "level"}.isdisjoint([text for text, _, _ in line]):
        return tuple(line)
    result: list[Token] = []
    for token in line:
        if token.text.isdecimal() and len(token.text) <= 3 and result:
            if result[-1].text == "fl":
                result[-1:] = [Token(str(int(token.text) * 100), result[-1].start, token.end)]
                continue
            if result[-1].text == "level" and len(result) > 1 and result[-2].text == "flight":
                result[-2:] = [Token(str(int(token.text) * 100), result[-2].start, token.end)]
                continue
        result.append(token)
    return tuple(result)


def _run_at(line: Sequence[Token], at: int, *, after_point: bool = False) -> tuple[int, str]:
    """Return the end and the digits, set side by side, of the run of number words at `at`."""
    said = ""
    start = at
    while at < len(line):
        word = line[at].text
        if word.isdecimal() and word.isascii():
            if len(word) > 1 and said:
                break
            said += word
            at += 1
            if len(word) > 1:
                break
        elif word in _TIMES and (digit := digits_of(_text(line, at + 1))) and len(digit) == 1:
            said += digit * _TIMES[word]   # "seven six double zero"
            at += 2
        elif word in TENS:
            said += TENS[word]
            at += 1
            if at < len(line) and (unit := DIGITS.get(line[at].text)) and unit != "0":
                said = said[:-1] + unit
                at += 1
        elif word in TEENS:
            said += TEENS[word]
            at += 1
        elif word in DIGITS and not (word in ("oh", "tree") and at == start and not (
                after_point or _two_digits(line, at + 1))):
            said += DIGITS[word]
            at += 1
        elif word == "tree" and at + 1 < len(line) and _counts(line[at + 1].text):
            said += "3"
            at += 1
        else:
            break
    return at, said


def _two_digits(line: Sequence[Token], at: int) -> bool:
    """Whether two more digits follow, so that "oh" is a zero: "oh four five"."""
    return at + 1 < len(line) and line[at].text in DIGITS and line[at + 1].text in DIGITS


def _counts(word: str) -> bool:
    return word in ("hundred", "thousand", *_POINTS) or digits_of(word) is not None


def _text(line: Sequence[Token], at: int) -> str:
    return line[at].text if at < len(line) else ""


def _number_at(line: Sequence[Token], at: int) -> tuple[int, str]:
    """Return the end and the text of the number at `at`; the end is `at` when there is none."""
    end, said = _run_at(line, at)
    if end == at and _text(line, at) == "a" and _text(line, at + 1) in ("hundred", "thousand"):
        end, said = at + 1, "1"
    if end == at and _text(line, at) == "hundred" and _text(line, at + 1) == "and" and digits_of(_text(line, at + 2)):
        said = "1"   # "the full hundred and eighty"
    if not said:
        return at, ""
    if [token.text for token in line[end:end + 4]] == ["and", "a", "half", "thousand"] and len(said) <= 2:
        return end + 4, str(int(said) * 1000 + 500)
    if _text(line, end) == "thousand":
        value = int(said) * 1000
        end += 1
        more_end, more = _run_at(line, end)
        if more and _text(line, more_end) == "hundred":
            return more_end + 1, str(value + int(more) * 100)
        if _text(line, end) == "and":   # "one thousand and four millibars"
            few_end, few = _run_at(line, end + 1)
            if few and len(few) <= 2 and _text(line, few_end) in _PRESSURES:
                return few_end, str(value + int(few))
        if len(more) == 1 and value == 1000 and _text(line, at - 1 if _text(line, at - 1) != "is" else at - 2) in (
                _OF_PRESSURE) and at:
            return more_end, str(value + int(more))   # "QNH one thousand five"
        if len(more) == 1 and more != "0" and more_end - end == 1 and value >= 1000 and (
                more_end == len(line) or line[more_end].is_break or line[more_end].text in _ENDS_ALTITUDE):
            return more_end, str(value + int(more) * 100)   # "three thousand five"
        if len(more) == 3 and more_end - end == 1:
            return more_end, str(value + int(more))
        return end, str(value)
    if _text(line, end) == "hundred":
        value = int(said) * 100
        end += 1
        after = end + 1 if _text(line, end) == "and" else end
        more_end, more = _run_at(line, after)
        counted = _text(line, more_end)
        if more and len(more) <= 2 and value < 1000 and counted not in ("hundred", "thousand", "hours") and (
                value == 100 or counted not in ("souls", "on")):
            return more_end, str(value + int(more))
        return end, str(value)
    if _text(line, end) in _POINTS:
        more_end, more = _run_at(line, end + 1, after_point=True)
        if more:
            return more_end, f"{said}.{more}"
    return end, said


def spoken_digits(digits: str) -> str:
    """Return `digits` (a frequency, heading, code) said one by one: "118.3" is "one one eight point three"."""
    return " ".join("point" if each == "." else SPOKEN[int(each)] for each in digits)


def spoken_altitude(feet: int) -> str:
    """Return an altitude as it is said: AIM 4-2-9. `feet` is a multiple of 100, 0 < feet < 60 000."""
    if feet >= 18_000:
        return "flight level " + spoken_digits(f"{feet // 100:03d}")
    thousands, hundreds = divmod(feet // 100, 10)
    said = [f"{spoken_digits(str(thousands))} thousand"] if thousands else []
    if hundreds:
        said.append(f"{SPOKEN[hundreds]} hundred")
    return " ".join(said)


def spoken_heading(degrees: int) -> str:
    """Return a heading in its three digits: AIM 4-2-10. North is "three six zero"."""
    return spoken_digits(f"{degrees % 360 or 360:03d}")
