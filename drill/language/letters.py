"""The letters and figures of a callsign as they are said, and names as they are misspelled."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz.distance import OSA

from drill.language.numbers import DIGITS, TEENS, TENS
from drill.language.words import word_set

LETTERS = {
    "alfa": "a", "alpha": "a", "bravo": "b", "charlie": "c", "delta": "d", "echo": "e", "foxtrot": "f", "fox": "f",
    "golf": "g",
    "hotel": "h", "india": "i", "juliett": "j", "juliet": "j", "kilo": "k", "lima": "l", "mike": "m",
    "november": "n", "oscar": "o", "papa": "p", "quebec": "q", "romeo": "r", "sierra": "s", "tango": "t",
    "uniform": "u", "juliette": "j", "charley": "c", "wiskey": "w", "wisky": "w", "yanky": "y", "foxtrott": "f",
    "victor": "v", "whiskey": "w", "whisky": "w", "xray": "x", "yankee": "y", "zulu": "z",
    "tee": "t", "bee": "b", "dee": "d", "gee": "g", "kay": "k", "jay": "j", "vee": "v", "zee": "z", "zed": "z",
}
_MISHEARD_DIGITS = {"ate": "8", "fiver": "5"}
NOT_NAMES = word_set(
    """yeah yep nope sure okay sorry please just still fine copy copied correction cleared mayday approach
    departure center tower ground information radar radio control hello good morning evening afternoon this with
    from level heading runway squawk squawking altitude climb climbing descend descending maintain maintaining
    turn left right flight request requesting vectors souls fuel about around passing leaving through roger
    wilco unable affirmative negative standby emergency have here student solo code over block between until
    taxiway position final miles north south east west that again thanks speed at is are""")
"""Words that are the name of no callsign and of no unit."""


@lru_cache(maxsize=4096)
def characters(word: str) -> str | None:
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


def parts_of(callsign: str) -> tuple[str, str]:
    """Return the name in small letters and the characters after it."""
    name, _, rest = callsign.strip().lower().rpartition(" ")
    if not name and not any(c.isdecimal() for c in rest):
        return rest, ""
    return name, "".join(c for c in rest if c.isalnum())


@lru_cache(maxsize=4096)
def alike(word: str, name: str) -> bool:
    """Whether `word` is `name`, or one of five letters and more with one of them wrong, added or left out."""
    return word == name or (len(name) >= 5 and -2 < len(word) - len(name) < 2 and OSA.distance(word, name,
                                                                                               score_cutoff=1) <= 1)
