"""The units of ATC that are spoken to, by name and by function."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from rapidfuzz.distance import OSA

from drill.language.letters import NOT_NAMES, alike, characters, parts_of
from drill.language.meaning import Context
from drill.language.remembered import Remembered
from drill.language.words import BREAKS, Token, merged, word_set

FUNCTIONS: dict[str, tuple[str, ...]] = {
    "approach": ("approach", "app", "apch", "appr", "approch"),
    "departure": ("departure", "dep", "departures"),
    "center": ("center", "centre", "ctr"),
    "tower": ("tower", "twr"),
    "ground": ("ground", "gnd", "grnd", "grd"),
    "information": ("information", "info"),
    "radar": ("radar",),
    "radio": ("radio",),
    "control": ("control",),
    "director": ("director",),
    "delivery": ("delivery",),
}
_FUNCTION_OF = {word: function for function, words in FUNCTIONS.items() for word in words}
OWN, OTHER, FACILITY, UNIT = "<callsign>", "<other callsign>", "<facility>", "<other unit>"


def unit_words_spelled(line: Sequence[Token]) -> Sequence[Token]:
    """Return `line` with the misspelled function of a unit put right: "approcah", "centr", "grond"."""
    right = [_NEAR[text] for text, _, _ in line]
    if not any(right):
        return line
    return [Token(near, token.start, token.end) if near else token for near, token in zip(right, line, strict=True)]


def _near_function(word: str) -> str:
    """Return the function that `word` is a misspelling of; nothing where it is none."""
    if len(word) < 5 or not word.isalpha() or word in _NO_FUNCTION or word in _FUNCTION_OF:
        return ""
    return next((known for known in FUNCTIONS if len(known) >= 5 and known[0] == word[0]
                 and abs(len(known) - len(word)) < 2
                 and OSA.distance(word, known) <= (2 if known in _LONG_FUNCTIONS else 1)), "")


_NEAR = Remembered(_near_function)
_LONG_FUNCTIONS = frozenset({"approach", "departure", "information"})
_NO_FUNCTION = word_set("towel towels direction directions approaching direct directed directly enter towed towers "
                        "power grounds "
                        "grounded rounds approached approaches centered entered contro radars ratio radios audio")


_GREETING = word_set(
    """help ahh err errm hi there hallo hello hey good morning evening afternoon day uh um er ah uhh uhm umm ehm erm
    hmm ok okay so and
    yes yeah no negative ja yo oh right hm nah nope standby stand by unable affirmative affirm roger mayday pan
    emergency this is thanks again well , . say attention to sorry""") | {OWN, OTHER, FACILITY}


def with_facility(line: Sequence[Token], context: Context) -> tuple[tuple[Token, ...], bool]:
    """Return `line` with the units that are spoken to as single marked tokens, and whether one is the context's."""
    words = context.facility.lower().split()
    name, function = (words[0], _FUNCTION_OF.get(words[-1], words[-1])) if words else ("", "")
    own = parts_of(context.callsign)[0]
    initials = {name[:1], function[:1]}   # a name's first letter is right where no break stands before it
    furthest, last = _furthest_unit(line, name, function)
    result: list[Token] = []
    found = False
    opening = True
    at = 0
    while at <= furthest:
        text = line[at].text
        if text == own != name:
            result.append(line[at])   # "Yarrow" is not Harrow misspelled
            at += 1
            continue
        before = line[at - 1].text if at else "."
        starts = opening or not result or before in BREAKS
        talked = at > 0 and (before in _SPOKEN_TO or (at > 1 and before in _LED_TO_BY and (
            (before in ("me", "us") and line[at - 2].text in _SPOKEN_TO) or (line[at - 2].text, before) in _LEADS_TO)))
        if not starts and text[0] not in initials and not talked:
            result.append(line[at])
            at += 1
            continue
        after = at + 2 if at + 1 < len(line) and line[at + 1].is_break else at + 1
        introduced = after + 1 < len(line) and (line[after].text, line[after + 1].text) in _INTRODUCES
        end, mark = _facility_at(line, at, name, function, opening) if starts or introduced else (at, "")
        if not mark and talked:
            end, mark = _spoken_to(line, at, name, function)
        if not mark and 0 < at <= last and function and text not in _GREETING:
            end, mark = _closing(line, at, name, function)
        if mark:
            found = found or mark == FACILITY
            result.append(merged(line, at, end, mark))
            at = end
            continue
        opening = opening and (text in _GREETING or text in _FUNCTION_OF or characters(text) is not None
                               or bool(own and alike(text, own)))
        result.append(line[at])
        at += 1
    result += line[at:]
    return tuple(result), found


def _furthest_unit(line: Sequence[Token], name: str, function: str) -> tuple[int, int]:
    """Return where the last word stands that can belong to a unit (-1: none), and the last that is `function` (0)."""
    texts = [text for text, _, _ in line]
    kinds = _kinds_of(name)
    of_words = [kinds[text] for text in texts]
    furthest = last = -1
    for at, kind in enumerate(of_words):
        if not kind:
            continue
        if kind == "begins" and not (at + 1 < len(texts) and alike(texts[at] + texts[at + 1], name)):
            continue
        furthest = at
        if _FUNCTION_OF.get(texts[at]) == function:
            last = at
    return furthest, max(last, 0)


@lru_cache(maxsize=64)
def _kinds_of(name: str) -> Remembered[str]:
    """Return what a word can be to the unit of that name: "unit", what "begins" its name, or nothing."""
    def kind(word: str) -> str:
        if word in _FUNCTION_OF or (name and alike(word, name)):
            return "unit"
        return "begins" if name and word[0] == name[0] and len(word) <= len(name) else ""
    return Remembered(kind)


def _name_at(line: Sequence[Token], at: int, name: str) -> int:
    """Return the end of the facility's name at `at`, also misspelled or in two words; `at` when it is not there."""
    if alike(line[at].text, name) and (line[at].text == name or line[at].text not in _NO_SLIP):
        return at + 1
    if at + 1 < len(line) and alike(line[at].text + line[at + 1].text, name) and not line[at + 1].is_break:
        return at + 2
    return at


_NO_SLIP = word_set("shallow standard gentle steep level power heading hollow yellow higher lower smooth")
"""Words of the trade that are nobody's name misspelled: "shallow" is not Sallow."""
_OF_RADIOS = word_set(
    """spare standby stby old new left right front rear my our the this that weather comm attitude backup handheld
    flight number second first main primary other both navigation""")
"""Words that stand before "radio" and "director" when these are equipment, not units."""
_OF_APPROACHES = word_set(
    "rnav gnss circling coupled missed visual precision surveillance instrument localizer straight")
_NO_UNIT = _GREETING | NOT_NAMES | _OF_RADIOS | _OF_APPROACHES
_NOT_CALLED = frozenset({"airport", "aerodrome", "vor", "is", "weather", "runway", "field", "atis", "altimeter"})


_LEADS_TO = frozenset({("is", "over"), ("hold", "on"), ("hang", "on"), ("appreciate", "it"),
                        ("heads", "up"), ("i", "mean")})
_LED_TO_BY = frozenset({"me", "us", *(last for _, last in _LEADS_TO)})
_SPOKEN_TO = word_set("now you thanks please sorry good ok okay roger copy yes no there here hello much again help "
                      "hear read receiving thing mayday today tonight")
"""Words after which a facility named before a break is spoken to: "we're good now Brightwater, ..."."""


def _facility_at(line: Sequence[Token], at: int, name: str, function: str, opening: bool) -> tuple[int, str]:
    end = _name_at(line, at, name) if name else at
    following = line[end].text if end < len(line) else "."
    if end > at:
        if (other := _FUNCTION_OF.get(following)) is not None:
            return end + 1, FACILITY if other == function else UNIT
        alone = following in (",", ".", "?", "please", "help", "mayday") or (
            end + 1 < len(line) and (following, line[end + 1].text) in _INTRODUCES | _SAYS_TO)
        return (end, FACILITY) if (opening and following not in _NOT_CALLED) or alone else (at, "")
    if _FUNCTION_OF.get(line[at].text) == function and function:
        alone = at + 1 >= len(line) or line[at + 1].text in (",", ".", "?")
        lights = at + 1 < len(line) and line[at + 1].text in _NOT_A_UNIT and (at or line[at + 1].text != "the")
        lights = lights or (function == "radar" and at + 1 < len(line) and line[at + 1].text in _OF_RADAR)
        return (at + 1, FACILITY) if (opening and not lights) or alone else (at, "")
    if (at + 1 < len(line) and (other := _FUNCTION_OF.get(line[at + 1].text)) and opening
            and line[at].text.isalpha() and len(line[at].text) > 3 and line[at].text not in _NO_UNIT):
        return at + 2, UNIT
    return at, ""


_INTRODUCES = frozenset({("it", "is"), ("this", "is")})
"""What follows a facility's name when the caller says who calls: "Harrow, it's Hollis three three charlie"."""
_SAYS_TO = frozenset({("do", "you"), ("come", "in"), ("can", "you"), ("could", "you"), ("are", "you"), ("how", "do"),
                      ("is", "there")})
"""What follows a facility's name, after a break, when something is asked of it: "..., Harrow do you read"."""
_OF_RADAR = word_set("contact vectors headings steers identified service services coverage vectoring identification")
"""What "radar" stands before when it is no unit: "negative radar contact"."""
_NOT_A_UNIT = frozenset({"checklist", "lights", "the", "speed", "check", "plate", "brief", "briefing"})


def _spoken_to(line: Sequence[Token], at: int, name: str, function: str) -> tuple[int, str]:
    """A facility spoken to within a call, before a break or thanks: "thank you very much center, good day"."""
    end = _name_at(line, at, name) if name else at
    if end == at and function and _FUNCTION_OF.get(line[at].text) == function:
        end = at + 1
    ends = end > at and (
        end == len(line) or line[end].is_break or line[end].text in ("thank", "thanks", "please", "but"))
    return (end, FACILITY) if ends else (at, "")


def _closing(line: Sequence[Token], at: int, name: str, function: str) -> tuple[int, str]:
    """A facility named after the callsign: "..., Thistle niner victor romeo, Ostrander Approach, ..."."""
    end = _name_at(line, at, name) if name else at
    if end > at and end < len(line) and _FUNCTION_OF.get(line[end].text) == function:
        before = line[at - 1].text
        if before == "at" and at > 1 and line[at - 2].text in ("anybody", "anyone", "somebody", "someone"):
            return end + 1, FACILITY
        if before not in ("to", "with", "from", "by", "the", "at", "for", "of", "direct"):
            return end + 1, FACILITY
    return at, ""
