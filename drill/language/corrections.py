"""What a speaker takes back at once: "three souls, correction, two"; "my boost is out, I mean my vacuum is out"."""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.lexicon import name_of
from drill.language.places import PLACE
from drill.language.withdrawn import MENDS_CALLS, Markers
from drill.language.words import Token

_MARKS = frozenset(MENDS_CALLS)


def marker_at(line: Sequence[Token], at: int, markers: Markers = MENDS_CALLS) -> int:
    """Return the end of the longest marker at `at`; `at` when there is none."""
    best = at
    for words in markers.get(line[at].text, ()):
        end = at + len(words)
        if end > best and end <= len(line) and all(line[at + n].text == word for n, word in enumerate(words)):
            best = end
    return best


def corrected(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line` with what was taken back left out.

    A number takes the place of the number before it, a name or place that of the name or place before it. Anything
    else that follows a marker leaves the line as it is. "Correction to my last" corrects an earlier call.
    """
    if _MARKS.isdisjoint([text for text, _, _ in line]):
        return tuple(line)
    result: list[Token] = []
    at = 0
    while at < len(line):
        end = marker_at(line, at)
        if end == at + 1 and line[at].text == "no" and not _between_alike(line, at):
            end = at
        if end == at or not result:
            result.append(line[at])
            at += 1
            continue
        while end < len(line) and line[end].is_break:
            end += 1
        if not _take_back(result, line[end:]):
            result += line[at:end]   # "scratch that" with nothing in its place takes back more than a word
        at = end
    return tuple(result)


def _between_alike(line: Sequence[Token], at: int) -> bool:
    """Whether figures stand before and after `at`, or places: "souls two, no three", "to Wendle, no, to Ashby"."""
    before = next((token.text for token in reversed(line[max(0, at - 4):at])
                   if not token.is_break and token.text not in _UNITS), "")
    after = next((token.text for token in line[at + 1:at + 5] if not token.is_break and token.text not in _TO), "")
    return (before[:1].isdigit() and after.isdecimal()) or before == after == PLACE


_TO = frozenset({"to", "for", "at", "into"})
_UNITS = frozenset({"on", "board", "onboard", "aboard", "persons", "pob",
                    "feet", "ft", "souls", "people", "minutes", "degrees"})


def _is_equipment(text: str) -> bool:
    """Whether `text` is a marked name that another may replace; "no-gyro" only tells what sort of vectors."""
    return name_of(text) not in (None, "gyros", "callsign", "other callsign", "facility", "other unit", "place",
                                 "fix")


def _stands_alone(ahead: Token, after: Sequence[Token]) -> bool:
    """Whether nothing but an article stands beside a name that replaces another."""
    at = next(n for n, token in enumerate(after) if token is ahead)
    beside = all(token.text in ("the", "my", "our") for token in after[:at])
    return beside and (at + 1 == len(after) or after[at + 1].is_break)


def _asks_last(said: Sequence[Token]) -> bool:
    """Whether the clause before a correction asks for something and names no equipment that another may replace."""
    ends = next((at + 1 for at in range(len(said) - 1, -1, -1) if not said[at].is_break), 0)
    begins = next((at for at in range(ends - 1, -1, -1) if said[at].is_break), -1)
    last = said[begins + 1:ends]
    return any(token.text in ("request", "requesting", "need", "want") for token in last) and not any(
        _is_equipment(token.text) for token in last)


def _other_place(said: list[Token], ahead: Token, after: Sequence[Token]) -> bool:
    """Put a place that is named in the stead of another into its place, and return whether there was one."""
    at = next(n for n, token in enumerate(after) if token is ahead)
    if any(token.text not in _TO for token in after[:at]):
        return False
    for back in range(len(said) - 1, max(-1, len(said) - 6), -1):
        if said[back].text == PLACE:
            said[back] = ahead
            return True
    return False


def _take_back(said: list[Token], after: Sequence[Token]) -> bool:
    """Take out of `said` what the words `after` a correction replace, and return whether there was anything."""
    ahead = next((token for token in after[:4] if token.text[0].isdigit() or token.text == PLACE
                  or _is_equipment(token.text)), None)
    if ahead is None:
        return False
    if ahead.text == PLACE:
        return _other_place(said, ahead, after)
    numeric = ahead.text[0].isdigit()
    if numeric and after[0] is not ahead and after[0].text not in ("heading", "altitude", "level", "fuel", "at"):
        return False
    if not numeric and not any(_is_equipment(token.text) for token in said[-12:]):
        for back in range(len(said) - 1, max(0, len(said) - 8), -1):   # "alt is out, I mean the alternator"
            if said[back].text in ("is", "are", "has", "have") and not said[back - 1].is_break:
                said[back - 1] = Token(ahead.text, said[back - 1].start, said[back - 1].end)
                return True
    if not numeric and not _stands_alone(ahead, after) and _asks_last(said):
        return False   # "the AI toppled, request no-gyro, correction, the DI is fine"
    for back in range(len(said) - 1, max(-1, len(said) - 12), -1):
        token = said[back]
        same = token.text[0].isdigit() if numeric else _is_equipment(token.text)
        if not same:
            continue
        if token.text == "<alternator_out>":
            return True   # "alt is out, I mean the alternator" says what it said before
        if not numeric and _stands_alone(ahead, after):
            said[back] = Token(ahead.text, token.start, token.end)   # "generator failure, I mean alternator"
            return True
        if (numeric and after[0] is ahead and len(after) == 1) or (numeric and (len(after) < 2 or after[1].is_break)):
            said[back] = Token(ahead.text, token.start, token.end)
        else:
            del said[back:]
        return True
    return False
