"""The words of a clause that say how a part of the airplane is: failed, works, or only supposed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from drill.language import hearsay
from drill.language.alternatives import by_words
from drill.language.lexicon import Lexicon
from drill.language.patterns import compiled, laid_out
from drill.language.sought import sought

State: TypeAlias = Literal["failed", "works", "supposed"]
LONGEST_TALK = 14
"""Words of a clause that names nothing and may still say how what was named before is."""
_NEGATED = sought(r"""
    (?:\b(?:not|never|nothing|no|nor)(?: (?:has|have|is|been|to|read|shown|showed|gone|yet|
    actually|really|at|all|completely|a|any))*|free of) $""")
_DENIED = re.compile(r"\b(?:not|never|no longer|hardly|barely)(?: \w+)? $|\b(?:can|could|will) not \w+ (?:it|her|us) $|"
                     r"\b(?:doubt|not (?:\w+ )?(?:sure|convinced|certain))\b[^,]*$")
_NEITHER = re.compile(r"\b(?:neither|nor)\b")
_ALL_OFF = re.compile(r"\b(?:off|out|down)\b")
_CLEARED = r"""
    \bis now (?:engaged|back|working|fine|ok|okay|normal|up)\b|\bflag (?:has |
    is )?(?:been )?(?:pulled )?out of view\b|\bsmoothed out\b|\b(?:flag|light|warning|
    caution)s?(?: on (?:the |my |our )?<\w+>)? (?:is |are |has |have |just )*(?:gone(?: away| out)?|cleared|out now|
    went (?:out|away)(?: again)?|off again)\b|\b(?:has|have) (?:now |all |since )?(?:cleared|gone away|recovered|
    sorted itself|come back|righted itself|freed (?:itself|up)|stood (?:back )?up|come (?:good|right|to life|round)|
    woken up|picked itself up)\b(?! and| then)|\b(?:freed|unstuck|unjammed) itself\b|
    \b(?:has|have|is|are) (?:stopped|quit|no longer) (?:tumbling|drifting|precessing|wandering|failing|flickering|
    surging|smoking|leaking|hunting|porpoising|coughing|fluctuating)\b"""
_STILL_OUT = compiled(r"""
    \bif (?:i|we) (?:can not|do not) get .* back\b|\bif\b.*\b(?:does|do|will|is|are) not (?:come back|go out|go off|
    recover|reset|clear|improve|get (?:any )?better|start working|work again|return|fix itself)\b|
    \bif (?:the |my |our |this |that )?<\w+> (?:keeps\b|\w+ (?:itself |off |out )?(?:once more|(?<!it )again)\b)""")
"""A hope about what is out by now: "if the alternator does not come back"."""
_THOUGHT = r"""
    \b(?:it|this) (?:was|is) (?:only|just) an? (?:sticky|bad|stuck|loose|dud)\b(?! <)|
    \b(?:do|does|did) not have (?:(?:an?|any) )?<\w+> (?:problem|failure|issue|fault)s?\b|
    \b(?:only|just|was|is|nothing but)(?: only| just)? (?:a |the )?(?:bad |blown |dud )?(?:bulb|sensor fault|wiring|
    gauge line)\b|\b(?:thought|believed|figured|was sure)\b.*\b(?:was|were|had)\b"""
_NOT_ANY_MORE = by_words(f"{laid_out(_CLEARED)}|{laid_out(_THOUGHT)}")
_AS_MEANT = sought(r"""
    \b(?:(?:just |exactly )?(?:as|like) (?:it|they|he|she) should|as (?:advertised|designed|intended|it is meant to)|
    by design|
    by nature)\b(?! (?:not|have|be))""")
_NOT_AS_MEANT = compiled(r"""
    \b(?:not|never|no|nothing|nor|neither|no longer|hardly|barely|scarcely|rarely|seldom|without|instead of|rather than|
    (?:fail\w*|refus\w+|declin\w+|unable|unwilling|reluctant|slow|slower|struggl\w+|loath) to|
    (?:stops?|stopped|quit|quits|ceased|ceases) \w+ing|anything but|far from|nowhere near|less|anywhere near)\b""")
"""What stands before "as it should" where it is not so: "fails to move as it should"."""
_BESIDE = ("on ", "off ", "with ")
_REQUESTS = compiled(r"""
    \b(?:request\w*|req|give (?:me|us)|like|want|need|get|do|accept|take|expect)(?: an?| us| me)? $""")
_ALL_OF = compiled(r"""
    ^(?:(?:and|so|but|now) )*(?:all|everything|anything|every|each)(?: (?:the|our|my|of|them|these|else|flight))*
    (?: (?:instruments?|gauges?|systems?|radios?|dials?|needles?|indicators?|indications|avionics))? $""")
"""What stands before "except", where what is said of all follows: "everything except the transponder is out"."""
EXCEPT = ("except", "apart", "other than", "bar ")


@dataclass(slots=True)
class Clause:
    """A clause of a call: its text, the named parts in it as (start, end, name), and the verdict on each of them."""

    text: str
    book: Lexicon
    words: int
    names: list[tuple[int, int, str]] = field(default_factory=list)
    found: list[tuple[int, int, State]] | None = None
    falls: set[tuple[int, int]] = field(default_factory=set)   # of these, low or falling readings
    verdicts: list[State | None] = field(default_factory=list)
    joined_by_and: bool = False
    ends_list: bool = False    # joined by "and" or "or" with no comma before it: the last of a list
    bare: bool = False

    @property
    def states(self) -> list[tuple[int, int, State]]:
        """The words that say how something is; sought only when asked for, as most clauses name nothing."""
        if self.found is None:
            nothing = not self.names and self.words > LONGEST_TALK
            self.found = [] if nothing else states_in(self.text, self.names, self.book, self.falls)
        return self.found


def _is_as_meant(text: str) -> bool:
    """Whether what looks like trouble is how a part is made: "the DG drifts by design"."""
    meant = _AS_MEANT.search(text)
    return meant is not None and "not " not in text and not _NOT_AS_MEANT.search(text[:meant.start()])


def states_in(text: str, names: Sequence[tuple[int, int, str]], book: Lexicon,
              falls: set[tuple[int, int]]) -> list[tuple[int, int, State]]:
    """Return (start, end, state) of the words that say how something is, in order.

    Low or falling readings, which are trouble of some parts only, are added to `falls`.
    """
    if _NOT_ANY_MORE.search(text):
        return [(0, len(text), "works")]
    still_out = _STILL_OUT.search(text) if names and "if " in text else None
    if still_out is not None and "<" in still_out.group():
        return [(0, len(text), "failed")]
    supposed = still_out is None and book.unlikely.search(text) is not None
    found: list[tuple[int, int, State]] = []
    for match in book.failing.finditer(text):
        if match.group() == "no " and _REQUESTS.search(text[:match.start()]):
            continue
        if match.group().startswith("not ") and text[:match.start()].endswith(("i am ", "we are ")):
            continue   # "it says we are not turning"
        if match.group().startswith(EXCEPT):
            before, after = text[:match.start()], text[match.end():]
            turned_round = any(state == "failed" for _, _, state in found) or _ALL_OFF.search(before) or (
                _ALL_OF.search(before) and book.failing.search(after))
            found.append((match.start(), match.end(), "works" if turned_round else "failed"))
            continue
        turned = _NEGATED.search(text[:match.start()]) and not match.group().startswith(("not", "no "))
        found.append((match.start(), match.end(), "supposed" if supposed else "works" if turned else "failed"))
    if any(name in book.falling_names for _, _, name in names):
        spans = {match.span() for match in book.falling.finditer(text)} - {(start, end) for start, end, _ in found}
        falls.update(spans)
        found += [(start, end, "supposed" if supposed else "failed") for start, end in sorted(spans)]
    if found and (hearsay.is_denied(text) or _is_as_meant(text)):
        return [(0, len(text), "works")]
    if (found or book.working.search(text)) and hearsay.is_not_reported(text):
        return [(0, len(text), "supposed")]
    taken = list(found)
    for match in book.working.finditer(text):
        if match.start() == 0 and match.group() in ("ok", "okay", "all right", "alright") and names:
            continue   # "ok, the horizon ..."
        beside = match.group().startswith(_BESIDE) and any(end <= match.start() for _, end, _ in taken)
        if not beside and not any(start < match.end() and match.start() < end for start, end, _ in taken):
            denied = _DENIED.search(text[:match.start()])
            neither = _NEITHER.search(text[:match.start()])
            found.append((match.start(), match.end(),
                          "supposed" if supposed else "failed" if denied or neither else "works"))
    return sorted(found)
