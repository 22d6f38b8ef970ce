"""A typed line as tokens: small letters, contractions spelled out, breaks kept, each with its place in the line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from drill.language.patterns import compiled
from drill.language.remembered import Remembered


def word_set(words: str) -> frozenset[str]:
    """Return the words of a text as a set; tables of words read best as text."""
    return frozenset(words.split())


BREAKS = frozenset({",", ".", "?"})
"""A short break (comma, dash), the end of a sentence, a question mark."""

_PIECE = compiled(r"""
    [a-z]+(?=[ ,.;:?!]|$)|(?<![^\W_])[a-z]/[a-z](?![^\W_])|\d+[+:]\d\d(?!\d)|\d{1,3}(?:,\d{3})+(?!\d|,\d)|
    \d+(?:\.\d+)?[a-z]*|
    (?:fl|com|comm|nav|vor|vhf|n)\d[a-z0-9]*|[a-z]{1,3}\d[a-z0-9]*|[^\W\d_]+(?:'[^\W\d_]+)*|\?|[.!;:]+|,|
    \s[-–—]+\s|[–—]|[()\"]|[&+/]""")
_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "`": "'", "´": "'", "“": '"', "”": '"', "…": "."})

_WHOLE = {
    "can't": "can not", "cant": "can not", "cannot": "can not", "won't": "will not", "wont": "will not",
    "don't": "do not", "dont": "do not", "doesnt": "does not", "didnt": "did not", "isnt": "is not",
    "arent": "are not", "wasnt": "was not", "hasnt": "has not", "havent": "have not", "indicatr": "indicator",
    "indicater": "indicator", "altimiter": "altimeter", "teh": "the", "hte": "the", "adn": "and", "waht": "what",
    "tunr": "turn", "trun": "turn", "lvl": "level", "ill": "i will", "alternater": "alternator", "pls": "please",
    "plz": "please", "thx": "thanks", "pse": "please", "idk": "i do not know", "grand": "thousand",
    "vecs": "vectors", "vctrs": "vectors", "towards": "toward", "rq": "request", "rqst": "request", "req": "request",
    "ded": "dead", "wot": "what", "wots": "what is", "loosing": "losing", "brokn": "broken", "faild": "failed",
    "wouldnt": "would not", "werent": "were not", "couldnt": "could not", "im": "i am", "ive": "i have",
    "whats": "what is", "hows": "how is", "thats": "that is", "its": "it is", "weve": "we have",
    "theres": "there is", "wheres": "where is", "ain't": "is not", "let's": "let us", "lets": "let us",
    "gimme": "give me", "lemme": "let me", "dunno": "do not know", "kinda": "kind of", "outta": "out of",
    "imma": "i will", "gonna": "going to", "wanna": "want to", "gotta": "got to", "shouldnt": "should not",
    "youre": "you are", "theyre": "they are", "whos": "who is", "shall": "will", "wat": "what", "wats": "what is",
    "rite": "right", "pito": "pitot", "deg": "degrees", "ldg": "landing", "sqwk": "squawk", "sqk": "squawk",
    "squak": "squawk", "sqawk": "squawk", "sqwak": "squawk", "glnce": "glance",
    "righ": "right", "rol": "roll", "lef": "left", "xcheck": "cross check", "xchk": "cross check", "clmb": "climb",
    "desc": "descend", "dsnd": "descend", "ppl": "people", "cna": "can", "goin": "going", "bout": "about",
    "cannae": "can not", "dinnae": "do not", "youse": "you", "aboot": "about", "o": "of", "wi": "with",
    "awa": "gone", "git": "get", "panal": "panel", "pannel": "panel", "panle": "panel", "wngs": "wings",
    "levl": "level", "yer": "your", "lite": "light", "lites": "lights", "sq": "squawk",
    "geting": "getting", "passin": "passing", "prety": "pretty", "neded": "needed", "runing": "running",
    "compair": "compare", "rihgt": "right", "rigth": "right", "hedding": "heading", "heding": "heading",
    "aint": "is not", "chek": "check", "gage": "gauge", "gages": "gauges", "thou": "thousand", "nuthin": "nothing",
    "nuthing": "nothing", "em": "them", "cos": "because", "cuz": "because", "coz": "because", "ya": "you",
    "ur": "your", "b4": "before", "tryna": "trying to", "hafta": "have to", "prolly": "probably", "tho": "though",
    "thru": "through", "tru": "through", "kias": "knots", "mornin": "morning", "evenin": "evening",
    "gday": "hello", "g'day": "hello",
    "howdy": "hello", "hiya": "hello", "freq": "frequency", "freqs": "frequencies", "wx": "weather", "dct": "direct",
    "vacumn": "vacuum", "vaccumn": "vacuum", "vacume": "vacuum", "clowd": "cloud", "clowds": "clouds", "cluod": "cloud",
    "wich": "which", "cluods": "clouds", "allign": "align", "giro": "gyro",
    "skys": "skies", "giros": "gyros", "nogyro": "no gyro", "nogyros": "no gyros", "sucshun": "suction",
    "gyroes": "gyros", "electrix": "electrics", "mins": "minutes", "smth": "something", "rn": "now",
    "rght": "right", "lft": "left", "cver": "cover", "wigns": "wings", "pwr": "power", "whilst": "while", "bk": "back",
    "agn": "again", "flite": "flight", "spd": "speed", "alti": "altimeter", "e2b": "compass", "avionix": "avionics",
    "lil": "little", "til": "until", "hundo": "hundred", "strt": "start", "wierd": "weird", "checkie": "checklist",
    "desend": "descend", "decend": "descend", "anticlockwise": "left", "counterclockwise": "left",
    "leftwards": "left", "rightwards": "right", "leftward": "left", "rightward": "right", "std": "standard",
    "dept": "department", "approx": "approximately", "diffrent": "different", "diferent": "different",
    "lieing": "lying", "plese": "please", "pleese": "please", "coud": "could", "woud": "would", "shoud": "should",
    "comming": "coming", "emergancy": "emergency", "emergencey": "emergency", "ninty": "ninety", "fourty": "forty",
    "yankie": "yankee", "yankey": "yankee", "degres": "degrees", "ennough": "enough", "allmost": "almost",
}
_TYPED_SHORT = word_set("""
    com go tak mak turn climb descend drop hold head look show read fly bank roll los gett putt sett work tell
    ask say divert switch slow land stay keep sitt wait check runn stopp start freez fail dy spinn driv rais tun
    call try bring lean leav lett pull push think talk wander drift swing slid bleed pick fight want wond shak
    warm cool open clos cover peel tap pop reset squawk request declar fix kick charg burn dump shedd level
    straighten follow trust believ us forgett ignor happen mov lead lagg stick fall creep sink build""")
_WHOLE |= {f"{verb}in": f"{verb}ing" for verb in _TYPED_SHORT}   # "turnin", "droppin"
_SWEARING = word_set(
    """darn darned damn damned bloody goddamn goddamned blasted freaking freakin frigging friggin flipping dang dratted
    fucking fuckin effing blooming ruddy wretched""")
"""Words that say nothing but how the speaker feels."""
_DRAWN_OUT = re.compile(r"([a-z])\1{2,}")
_ENDINGS = {"s": "is", "re": "are", "m": "am", "ve": "have", "ll": "will", "d": "would"}


class Token(NamedTuple):
    """One word, number, break or recognised phrase; `text[start:end]` of the line is where it stands."""

    text: str
    start: int
    end: int

    @property
    def is_break(self) -> bool:
        """Whether this is a break between words."""
        return self.text in BREAKS


@lru_cache(maxsize=8)
def tokens(line: str) -> tuple[Token, ...]:
    """Return the tokens of `line`. "n't" becomes "not", "'s" becomes "is", "&" and "/" become "and"."""
    small = line.lower() if line.isascii() and "`" not in line else line.translate(_APOSTROPHES).lower()
    if len(small) != len(line):   # a letter whose small form is longer: keep places true by leaving it out
        small = "".join(c.lower() if len(c.lower()) == 1 else " " for c in line.translate(_APOSTROPHES))
    return tuple([_new(Token, (text, match.start(), match.end()))
                  for match in _PIECE.finditer(small) for text in _SPELLED_OUT[match[0]]])


_new = tuple.__new__
"""Makes a token without the detour over its keywords: this is done for every word that is typed."""


def _spelled_out(piece: str) -> tuple[str, ...]:
    first = piece[0]
    if piece[1:2] == "/":   # "T/C", "A/P"; what is "U/S" stays two letters
        return ("u", "s") if piece == "u/s" else (piece[0] + piece[2],)
    if first in "&+/":
        return ("and",)
    piece = _DRAWN_OUT.sub(r"\1\1", piece)   # "neeed", "pleeease"
    if piece in _SWEARING:
        return ()
    if piece in _WHOLE:
        return tuple(_WHOLE[piece].split())
    if first.isdigit():
        return (piece.replace(",", ""),)
    if not first.isalpha():
        return ("?",) if first == "?" else (".",) if first in ".!;" else (",",)
    if piece.endswith("n't"):
        return (piece[:-3], "not") if piece[:-3] else ("not",)
    stem, _, ending = piece.rpartition("'")
    said = (*_WHOLE.get(stem, stem).split(), _ENDINGS[ending]) if stem and ending in _ENDINGS else (piece,)
    return tuple(bare for each in said if (bare := each.replace("'", "")))


_SPELLED_OUT = Remembered(_spelled_out)


def joined(line: Sequence[Token]) -> str:
    """Return the texts of `line` with one space between."""
    return " ".join([text for text, _, _ in line])


def merged(line: Sequence[Token], start: int, end: int, text: str) -> Token:
    """Return one token saying `text` in the place of `line[start:end]`."""
    return Token(text, line[start].start, line[end - 1].end)


def split_at(line: Sequence[Token], texts: frozenset[str]) -> list[tuple[Token, ...]]:
    """Return the non-empty runs of `line` between tokens whose text is in `texts`."""
    runs: list[tuple[Token, ...]] = []
    run: list[Token] = []
    for token in line:
        if token.text in texts:
            if run:
                runs.append(tuple(run))
            run = []
        else:
            run.append(token)
    if run:
        runs.append(tuple(run))
    return runs
