"""Who is speaking and who is spoken to: callsigns in every form, facilities by name and by function.

Source of the forms: AIM 4-2-4 (after contact is made the callsign may be shortened to its last characters), 4-2-7
(letters).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from rapidfuzz.distance import OSA

from drill.language.meaning import Context
from drill.language.numbers import DIGITS, TEENS, TENS
from drill.language.words import BREAKS, Token, merged, word_set

LETTERS = {
    "alfa": "a", "alpha": "a", "bravo": "b", "charlie": "c", "delta": "d", "echo": "e", "foxtrot": "f", "fox": "f",
    "golf": "g",
    "hotel": "h", "india": "i", "juliett": "j", "juliet": "j", "kilo": "k", "lima": "l", "mike": "m",
    "november": "n", "oscar": "o", "papa": "p", "quebec": "q", "romeo": "r", "sierra": "s", "tango": "t",
    "uniform": "u", "juliette": "j", "charley": "c", "wiskey": "w", "wisky": "w", "yanky": "y", "foxtrott": "f",
    "victor": "v", "whiskey": "w", "whisky": "w", "xray": "x", "yankee": "y", "zulu": "z",
    "tee": "t", "bee": "b", "dee": "d", "gee": "g", "kay": "k", "jay": "j", "vee": "v", "zee": "z", "zed": "z",
}
_MISHEARD_DIGITS = {"ate": "8", "won": "1", "fiver": "5"}
FUNCTIONS: dict[str, tuple[str, ...]] = {
    "approach": ("approach", "app", "apch", "appr", "approch"),
    "departure": ("departure", "dep", "departures"),
    "center": ("center", "centre", "ctr"),
    "tower": ("tower", "twr"),
    "ground": ("ground", "gnd"),
    "information": ("information", "info"),
    "radar": ("radar",),
    "radio": ("radio",),
    "control": ("control",),
    "director": ("director",),
    "delivery": ("delivery",),
}
_FUNCTION_OF = {word: function for function, words in FUNCTIONS.items() for word in words}
OWN, OTHER, FACILITY, UNIT = "<callsign>", "<other callsign>", "<facility>", "<other unit>"


@dataclass(frozen=True, slots=True)
class Addressed:
    """A line with callsign and facility marked: the tokens, and what was found.

    `shortened`: the own callsign was given, but nowhere with all its characters.
    """

    line: tuple[Token, ...]
    callsign: Literal["given", "wrong", "absent"]
    facility: bool
    shortened: bool = False


@lru_cache(maxsize=4096)
def _characters(word: str) -> str | None:
    """Return the callsign characters that a word stands for ("niner" 9, "tango" t, "4dx" itself), or None."""
    if word in LETTERS:
        return LETTERS[word]
    if word in _MISHEARD_DIGITS:
        return _MISHEARD_DIGITS[word]
    for table in (DIGITS, TEENS, TENS):
        if word in table:
            return table[word]
    if len(word) == 1 and word.isalpha() and word not in ("a", "i"):
        return word
    return word if word[0].isdecimal() and word.isalnum() else None


def _spelled_at(line: Sequence[Token], at: int, rest: str = "") -> list[tuple[int, set[str]]]:
    """Return for each further end the characters that the words from `at` may spell ("four eighteen": 418).

    Letters that end `rest`, the characters of a callsign, count as such also in one word ("nine vr").
    """
    ends: list[tuple[int, set[str]]] = []
    so_far = {""}
    while at < len(line) and len(ends) < 8:
        word = line[at].text
        found = _characters(word)
        if found is None and ends and word.isalpha() and 1 < len(word) <= 3 and rest.endswith(word):
            found = word
        if found is None:
            break
        nexts = {said + found for said in so_far} if len(so_far) > 1 else {next(iter(so_far)) + found}
        if ends and word in DIGITS and line[at - 1].text in TENS:   # "thirty five": 35, not 305
            nexts |= {said[:-1] + found for said in so_far if said.endswith("0")}
        if word == "x" and at + 1 < len(line) and line[at + 1].text == "ray":
            at += 1
        so_far = nexts
        at += 1
        ends.append((at, so_far))
    return ends


def _parts(callsign: str) -> tuple[str, str]:
    """Return the name in small letters and the characters after it."""
    name, _, rest = callsign.strip().lower().rpartition(" ")
    if not name and not any(c.isdecimal() for c in rest):
        return rest, ""
    return name, "".join(c for c in rest if c.isalnum())


@lru_cache(maxsize=4096)
def _alike(word: str, name: str) -> bool:
    return word == name or (len(name) >= 5 and -2 < len(word) - len(name) < 2 and OSA.distance(word, name,
                                                                                               score_cutoff=1) <= 1)


@lru_cache(maxsize=4096)
def _mixed(characters: str) -> bool:
    return any(c.isdecimal() for c in characters) and any(c.isalpha() for c in characters)


def _callsign_at(
    line: Sequence[Token], at: int, name: str, rest: str, starts: bool
) -> tuple[int, Literal["given", "wrong"]] | None:
    """Return the end and verdict of the callsign at `at`, if one stands there."""
    word = line[at].text
    named = bool(name) and _alike(word, name)
    begin = at + 1 if named else at
    if not named and len(name) >= 6 and at + 1 < len(line) and word.isalpha() and len(word) > 2 and _alike(
            word + line[at + 1].text, name):
        named, begin = True, at + 2   # "copper leaf"
    if not named and not starts and (_characters(word) or "?")[0] not in rest:
        return None   # nobody's but another airplane's, and those are heard only where a callsign begins
    ends = _spelled_at(line, begin, rest)
    longest = max((len(said) for said in ends[-1][1]), default=0) if ends else 0
    for end, spellings in reversed(ends):
        for said in spellings:
            broken = named and end < ends[-1][0] and said != rest and longest <= len(rest)   # "828" is not "82"
            if broken:
                continue
            if rest.endswith(said) and len(said) >= (1 if named else 2) and (named or said == rest or _mixed(said)
                                                                             or len(said) >= 3):
                return end, "given"
    if named:
        begun = [end for end, spellings in ends for said in spellings if len(said) >= 2 and rest.startswith(said)]
        if begun and ends[-1][0] == begun[-1]:
            return begun[-1], "given"
        plausible = [end for end, spellings in ends for said in spellings
                     if len(said) == len(rest) or (len(said) >= 2 and _mixed(said) and len(said) <= len(rest) + 1)]
        if plausible:
            mended = _mended(line, plausible[-1], ends, rest)
            return (mended, "given") if mended else (plausible[-1], "wrong")
        if ends and (mended := _mended(line, ends[-1][0], ends, rest)):
            return mended, "given"
        return (begin, "given") if starts and not ends else None
    return _foreign_at(line, at, rest, starts)


_MENDS = (("i", "mean"), ("correction",), ("sorry",), ("make", "that"), ("no",), ("i", "meant"), ("er",), ("uh", "no"))


def _mended(line: Sequence[Token], at: int, ends: Sequence[tuple[int, set[str]]], rest: str) -> int:
    """Return the end of a callsign put right at once ("two six kay bec, I mean quebec"), 0 when it is not."""
    for marker in range(at, min(at + 3, len(line))):
        for words in _MENDS:
            end = marker + len(words)
            if tuple(token.text for token in line[marker:end]) != words:
                continue
            while end < len(line) and line[end].is_break:
                end += 1
            for until, spellings in reversed(_spelled_at(line, end)):
                for said in spellings:
                    kept = rest.removesuffix(said)
                    if kept != rest and (not kept or any(each.startswith(kept) for _, begun in ends for each in begun)):
                        return until
    return 0


def _foreign_at(line: Sequence[Token], at: int, rest: str, starts: bool) -> tuple[int, Literal["wrong"]] | None:
    """Return another airplane's callsign at `at`: a strange name with characters, or mixed characters alone."""
    word = line[at].text
    if word.isalpha() and len(word) >= 4 and word not in LETTERS and word not in _NOT_NAMES and _characters(
        word) is None:
        for end, spellings in reversed(_spelled_at(line, at + 1)):
            if starts and (rest in spellings or any(_mixed(said) and said[0].isdecimal() and len(said) >= 3
                                                    and said[-1].isalpha() for said in spellings)):
                return end, "wrong"
        return None
    if starts:
        for end, spellings in reversed(_spelled_at(line, at)):
            whole = end >= len(line) or line[end].is_break or line[end].text not in ("miles", "feet", "k")
            for said in spellings:
                if 3 <= len(said) == len(rest) and _mixed(said) and said[-1].isalpha() and said[
                    0].isdecimal() and whole:
                    return end, "wrong"
    return None


_NOT_NAMES = word_set(
    """yeah yep nope sure okay sorry please just still fine copy copied correction cleared mayday approach
    departure center tower ground information radar radio control hello good morning evening afternoon this with
    from level heading runway squawk squawking altitude climb climbing descend descending maintain maintaining
    turn left right flight request requesting vectors souls fuel about around passing leaving through roger
    wilco unable affirmative negative standby emergency have here student solo code over block between until
    taxiway position final miles north south east west that again thanks speed at is are""")
_BEFORE_CALLSIGN = frozenset({"from", "this", "is", "and", "uh", "um", "hi", "hello", "hey", "student", "for",
                              "with"})


def _unit_words_spelled(line: Sequence[Token]) -> list[Token]:
    """Return `line` with the misspelled function of a unit put right: "approcah", "centr", "grond"."""
    return [Token(near, token.start, token.end)
            if len(token.text) >= 5 and token.text[0] in _UNIT_INITIALS and (near := _near_function(token.text))
            else token for token in line]


_UNIT_INITIALS = frozenset(known[0] for known in FUNCTIONS if len(known) >= 5)


@lru_cache(maxsize=4096)
def _near_function(word: str) -> str:
    if not word.isalpha() or word in _NO_FUNCTION or word in _FUNCTION_OF:
        return ""
    return next((known for known in FUNCTIONS if len(known) >= 5 and known[0] == word[0]
                 and abs(len(known) - len(word)) < 2
                 and OSA.distance(word, known) <= (2 if known in _LONG_FUNCTIONS else 1)), "")


_LONG_FUNCTIONS = frozenset({"approach", "departure", "information"})
_NO_FUNCTION = word_set("towel towels direction directions approaching direct directed directly enter towed towers "
                        "power grounds "
                        "grounded rounds approached approaches centered entered contro radars ratio radios audio")


def addressed(line: Sequence[Token], context: Context) -> Addressed:
    """Return `line` with the own callsign, others' callsigns and the facility as single marked tokens."""
    marked, facility = _with_facility(_unit_words_spelled(line), context)
    name, rest = _parts(context.callsign)
    result: list[Token] = []
    verdicts: list[str] = []
    whole = False
    possible = _may_begin(marked, name) if rest else frozenset()
    at = 0
    while at < len(marked):
        if at not in possible:
            result.append(marked[at])
            at += 1
            continue
        before = result[-1].text if result else "."
        starts = before in (",", ".", "?", FACILITY, UNIT, "pan", "mayday") or before in _BEFORE_CALLSIGN
        found = _callsign_at(marked, at, name, rest, starts)
        if found is None:
            result.append(marked[at])
            at += 1
            continue
        end, verdict = found
        if verdict == "given" and marked[at].text not in (name,) and not starts and end < len(marked) and not (
                marked[end].is_break or _mixed("".join(_characters(t.text) or "" for t in marked[at:end]))):
            result.append(marked[at])
            at += 1
            continue
        verdicts.append(verdict)
        whole = whole or (verdict == "given" and _is_whole(marked[at:end], name, rest))
        result.append(merged(marked, at, end, OWN if verdict == "given" else OTHER))
        at = end
    callsign: Literal["given", "wrong", "absent"] = (
        "given" if "given" in verdicts else "wrong" if "wrong" in verdicts else "absent")
    return Addressed(tuple(result), callsign, facility, shortened=callsign == "given" and not whole)


def _may_begin(line: Sequence[Token], name: str) -> frozenset[int]:
    """Return where a callsign can begin: with its name, or with characters there or after a word."""
    spelled = [_characters(text) is not None for text, _, _ in line]
    initial = name[:1]
    return frozenset(
        at for at, ((text, _, _), here, after) in enumerate(zip(line, spelled, (*spelled[1:], False), strict=False))
        if (here or text[0] == initial or (after and len(text) > 3)) and text[0] != "<" and not _is_bearing(line, at))


def _is_bearing(line: Sequence[Token], at: int) -> bool:
    """Whether a distance and a direction stand at `at`: "15 N of Kessing", which is nobody's callsign."""
    return at + 2 < len(line) and line[at + 1].text in _DIRECTIONS and line[at].text.isdecimal() and (
        line[at + 2].text in ("of", "from"))


_DIRECTIONS = frozenset({"n", "s", "e", "w", "ne", "nw", "se", "sw"})


def _is_whole(said: Sequence[Token], name: str, rest: str) -> bool:
    """Whether a callsign was said with its name and all its characters."""
    return any(rest in spellings for at in range(min(2, len(said))) if not name or at or not _alike(said[0].text, name)
               for _, spellings in _spelled_at(said, at)) and (not name or _alike(said[0].text, name))


_GREETING = word_set(
    """hi there hallo hello hey good morning evening afternoon day uh um er ah uhh uhm umm ehm erm hmm ok okay so and
    yes yeah no negative ja yo oh right hm nah nope standby stand by unable affirmative affirm roger mayday pan
    emergency this is thanks again well , . say attention to sorry""") | {OWN, OTHER, FACILITY}


def _with_facility(line: Sequence[Token], context: Context) -> tuple[tuple[Token, ...], bool]:
    words = context.facility.lower().split()
    name, function = (words[0], _FUNCTION_OF.get(words[-1], words[-1])) if words else ("", "")
    own = _parts(context.callsign)[0]
    last = max((at for at, token in enumerate(line) if _FUNCTION_OF.get(token.text) == function), default=0)
    initials = {name[:1], function[:1]}   # a name's first letter is right where no break stands before it
    furthest = _furthest_unit(line, name)
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
        talked = at > 0 and (before in _SPOKEN_TO or (before == "over" and at > 1 and line[at - 2].text == "is"))
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
        opening = opening and (text in _GREETING or text in _FUNCTION_OF or _characters(text) is not None
                               or bool(own and _alike(text, own)))
        result.append(line[at])
        at += 1
    result += line[at:]
    return tuple(result), found


def _furthest_unit(line: Sequence[Token], name: str) -> int:
    """Return the place of the last word that can belong to a unit: its name, also misspelled, or its function."""
    least, most = (len(name) - 1, len(name) + 1) if name else (0, -1)
    texts = [text for text, _, _ in line]
    return max((at for at, (text, after) in enumerate(pairwise((*texts, "")))
                if text in _FUNCTION_OF or (least <= len(text) <= most and _alike(text, name))
                or (least <= len(text) + len(after) <= most and _alike(text + after, name))), default=-1)


def _name_at(line: Sequence[Token], at: int, name: str) -> int:
    """Return the end of the facility's name at `at`, also misspelled or in two words; `at` when it is not there."""
    if _alike(line[at].text, name):
        return at + 1
    if at + 1 < len(line) and _alike(line[at].text + line[at + 1].text, name) and not line[at + 1].is_break:
        return at + 2
    return at


_OF_RADIOS = word_set(
    """spare standby stby old new left right front rear my our the this that weather comm attitude backup handheld
    flight number second first main primary other both navigation""")
"""Words that stand before "radio" and "director" when these are equipment, not units."""
_OF_APPROACHES = word_set(
    "rnav gnss circling coupled missed visual precision surveillance instrument localizer straight")
_NO_UNIT = _GREETING | _NOT_NAMES | _OF_RADIOS | _OF_APPROACHES
_NOT_CALLED = frozenset({"airport", "aerodrome", "vor", "is", "weather", "runway", "field", "atis", "altimeter"})


_SPOKEN_TO = word_set("now you thanks please sorry good ok okay roger copy yes no there hello much again help")
"""Words after which a facility named before a break is spoken to: "we're good now Brightwater, ..."."""


def _facility_at(line: Sequence[Token], at: int, name: str, function: str, opening: bool) -> tuple[int, str]:
    end = _name_at(line, at, name) if name else at
    following = line[end].text if end < len(line) else "."
    if end > at:
        if (other := _FUNCTION_OF.get(following)) is not None:
            return end + 1, FACILITY if other == function else UNIT
        alone = following in (",", ".", "?") or (end + 1 < len(line) and (following, line[end + 1].text) in _INTRODUCES)
        return (end, FACILITY) if (opening and following not in _NOT_CALLED) or alone else (at, "")
    if _FUNCTION_OF.get(line[at].text) == function and function:
        alone = at + 1 >= len(line) or line[at + 1].text in (",", ".", "?")
        lights = at + 1 < len(line) and line[at + 1].text in _NOT_A_UNIT and (at or line[at + 1].text != "the")
        return (at + 1, FACILITY) if (opening and not lights) or alone else (at, "")
    if (at + 1 < len(line) and (other := _FUNCTION_OF.get(line[at + 1].text)) and opening
            and line[at].text.isalpha() and len(line[at].text) > 3 and line[at].text not in _NO_UNIT):
        return at + 2, UNIT
    return at, ""


_INTRODUCES = frozenset({("it", "is"), ("this", "is")})
"""What follows a facility's name when the caller says who calls: "Harrow, it's Hollis three three charlie"."""
_NOT_A_UNIT = frozenset({"checklist", "lights", "the", "speed", "check", "plate", "brief", "briefing"})


def _spoken_to(line: Sequence[Token], at: int, name: str, function: str) -> tuple[int, str]:
    """A facility spoken to within a call, before a break or thanks: "thank you very much center, good day"."""
    end = _name_at(line, at, name) if name else at
    if end == at and function and _FUNCTION_OF.get(line[at].text) == function:
        end = at + 1
    ends = end > at and (end == len(line) or line[end].is_break or line[end].text in ("thank", "thanks", "please"))
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
