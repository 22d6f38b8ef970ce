"""What is asked of ATC.

A request needs words that ask, in its clause or earlier in its sentence; one that is conditional, declined or
withdrawn is not listed. Texts are as in `clauses`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from drill.language.alternatives import by_words
from drill.language.clauses import sentences
from drill.language.lexicon import Lexicon
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought
from drill.language.withdrawn import drops_plainly

_STATES = compiled(r"""
    ^(?:and )?(?:we|i|our|my|it|they|he|she|this|that|both|heading|level|fuel|thanks|returning|diverting|landing|
    continuing|
    going|climbing|descending|leaving|out of|turning|squawking|currently|presently|now|on top|imc|vmc|intend|
    planning|staying|sticking|carrying|keeping|proceeding|stopping|making|shutting)\b|
    ^(?:the |my |our )?(?!what|where|how|when)[\w<>]+ (?:is|are|was|has|have)\b""")
_DECLINED = compiled(r"""
    \b(?:negative(?: on)?|no|not|do not (?:need|want|require)|(?:will|would) not (?:be )?(?:need|want|requir)\w*|
    no need for|without|disregard|cancel\w*|never ?mind|terminat\w*|withdraw\w*|would you like (?:me|us) to|
    (?<!full )stop|quit|discontinue|thanks for|thank you for|no longer (?:need|want|requir|request|ask)\w*(?: for)?|
    unable|can not (?:accept|take)|decline|scrap|scrub|(?:did|do|have) not (?:ask|asked|request|requested|
    order)(?: for)?|forget|
    scratch|instead of|rather than|avoid(?:ing)?|skip|(?:we|i) got|
    have got|cleared(?: for| to)?|expect(?:ing)?|unable|
    (?<!word )(?<!news )(?<!update )(?<!updates )(?<!report )on the)(?: (?:need|any|the|a|an|that|those|more|further|
    request|requesting|asking|for|on|about|accept|to|my|our|last|new|delay|radar|require|want|lower|higher)){0,6} $|
    \b(?:i|we) (?:had|have had|saw|see|(?:can|could) (?:now )?see)(?: the| our| my)? $""")
_AT_ONCE = re.compile(r"^(?: please| sir)* (?:now|immediately|right now|at once|right away|asap|quick\w*|help)"
                      r"(?: please)?$")
"""How a bare request ends that is asked for in haste: "engine out nearest airport now"."""
_NOT_WANTED = compiled(r"""
    (?: \w+)?(?: (?:is|are|will|will be|were|was))? (?:(?:not|no longer) (?:be )?(?:required|needed|necessary|
    wanted)|in sight|great|aircraft|was|were|went|worked|looked|helped|
    (?:i|we) (?:take back|withdraw|cancel)|(?:to |can |may |should )?(?:go home|stand(?:ing)? down|go back|relax))\b""")
"""How a service that is only spoken of goes on: "fire trucks in sight", "vectors not required"."""
_WITHDRAWN = by_words(r"""
    \b(?:disregard|ignore|cancel|never ?mind|forget|scratch|scrap|scrub|no longer need|do not need|
    withdraw)(?: (?:that|the|my|our|
    request|for|last|any|more|those)){0,6}(?= )""")

_WITHDRAWS = re.compile(r"^(?:(?:please|ok|and|so) )*(?:disregard|cancel|forget|scratch|scrap|scrub|ignore) "
                        r"(?:the|that|my|our) (?:[\w<>]+ ){0,3}request$")
"""A clause whose "request" asks for nothing: "disregard the nearest airport request"."""
_CONFIRMS = re.compile(r"^(?:did you (?:say|clear|mean)|confirm|verify|was that|is that(?! (?:still )?current)|"
                       r"understand)\b")
_INSTEAD = re.compile(r"^(?:(?:no|sorry|actually|wait|correction) )*make (?:that|it) ")
_CORRECTS = compiled(r"""
    ^(?:(?:no|sorry|actually|wait|uh|say|um|ah) )*(?:correction|strike that|scratch that|i mean|
    rather)(?: make that)?$""")
"""A clause after which another request stands in the place of the one before it."""
_BARE = re.compile(r"(?:lower|higher|(?:a )?descent)(?: (?:now|please|asap|immediately|right away))*")
"""A clause that is nothing but what is wanted."""
_VECTORS_TO = re.compile(r"(?:radar )?(?:vectors?|steers?|headings?) (?:(?:me|us) )?(?:to|into|toward|for|out of)\b")
_ABLE_TO = re.compile(r"\b(?:can|will|not|unable to|to) $")
_LIKE_TO = re.compile(r"\b(?:like|want|request\w*|need|possible|prefer) to $|"
                      r"\b(?:chance|possible|ok|okay)(?: that)? (?:we|i) (?:can|could) $")
_LEVEL_WANTED = compiled(r"""
    \b(?:climb|descent|descend|lower|higher|down|up|request\w*|like|want|approve|need|
    (?:can|could|may) (?:i|we) (?:have|get))(?: (?:and|maintain|to|altitude|at|for|a|flight|level))* (\d{4,5}|
    \d{1,2}(?= ?$))""")
_HEADING_WANTED = Sought(r"\bheading(?: of)? (\d{2,3})\b")
_PLEASE = re.compile(r"please(?: sir| ma am)?")
_TO_LAND = re.compile(r"\b(?:land|vectors?|approach|priority)\b")
_NOT_THERE = re.compile(r"\b(?:not|can not|unable) (?:\w+ ){0,3}$")
_FROM_THERE = re.compile(r"\b(?:miles?|out|off|from|relay)\b[^,]*$")
_CONCLUDED = re.compile(r" (?:i|we) (?:will|would|am|are|have)\b")
_NO_NEED = Sought(r"^(?:please |but |and )*(?:disregard|scratch|forget|cancel|ignore) that and\b|"
                      r"\b(?:do not|no need to) (?:bother|worry)(?: \w+)?$|\bso no need$|"
                      r"\b(?:but|and) (?:disregard|never ?mind|forget it|scratch that|cancel that)$")
_RELAYED = sought(r"""
    \blet \w+ know\b|\bpass (?:on |along )?to\b|\b(?:relay\w*|pass(?:ed)?(?: on| along)? (?:our|my|this|the|an?|
    that)(?: \w+)*) to\b""")
_NOT_A_LEVEL = compiled(r"""
    ^ (?:ground|terrain|clouds?|ceilings?|tops|bases?|weather|visibility|time|minima|minimums)\b""")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of ATC."""

    assistance: tuple[str, ...]
    altitude_ft: int | None
    heading_deg: int | None


def asked_of_atc(text: str, book: Lexicon) -> Asked:
    """Return what is asked: sorted assistance, and the altitude or heading wanted where one is named."""
    found: set[str] = set()
    wanted_ft: int | None = None
    wanted_deg: int | None = None
    corrects = False      # what is asked for next replaces what was asked before
    change_open = False   # a change of altitude is asked for, and to which is not said yet
    for clause, asking, begins in _clauses_asking(text, book):
        if change_open and (bare := BARE_ALTITUDE.match(clause)):
            wanted_ft = _feet(bare.group(1))
        change_open = False
        if _CONFIRMS.match(clause):
            continue
        asking = asking or _BARE.fullmatch(clause) is not None
        if corrects and book.asking.search(clause):
            found.clear()
            wanted_ft = wanted_deg = None
        corrects = _CORRECTS.match(clause) is not None or (corrects and not asking)
        if _INSTEAD.match(clause):
            found.clear()
            asking = True
        carried_in = asking and not book.asking.search(clause)
        likely = book.any_ask.kinds(clause)
        for name, pattern, alone in book.asks if likely else ():
            if name not in likely or not (asking or alone or name == "vmc") or name in found:
                continue
            for match in pattern.finditer(clause):
                led = alone or (name == "vmc" and _VECTORS_TO.match(clause))
                if not (asking or (led and (match.start() <= begins or _AT_ONCE.match(clause[match.end():])))):
                    continue
                if _DECLINED.search(clause[:match.start()]) or _NOT_WANTED.match(clause[match.end():]):
                    continue
                asked_before = (carried_in or clause.endswith(("?", "please"))
                                or book.asking.search(clause[:match.end()]))
                if name == "vmc" and not (asked_before or _VECTORS_TO.match(clause)):
                    continue   # "VMC on top, request direct": where they are, not what they want
                if name == "altitude_change" and _NOT_A_LEVEL.match(clause[match.end():]):
                    continue
                before = clause[:match.start()]
                if name == "relay" and before.endswith(("i will ", "we will ")):
                    continue   # "I will call my wife after landing"
                if name == "hold" and _ABLE_TO.search(before) and not _LIKE_TO.search(before):
                    continue
                found.add(name)
                asking = True
                break
        if drops_plainly(clause) or _NO_NEED.search(clause):
            found.clear()
            wanted_ft = wanted_deg = None
            continue
        if asking:
            if not _RELAYED.search(clause):
                found |= _named_airport(clause, book)
            if _THERE.search(clause) and "<place>" in text:
                found.add("named_airport")
            if wanted := _LEVEL_WANTED.search(clause):
                wanted_ft = _feet(wanted.group(1))
            else:
                change_open = LEVEL_CHANGE.search(clause) is not None
            if flown := _HEADING_WANTED.search(clause):
                wanted_deg = int(flown.group(1))
    return Asked(tuple(sorted(found - _withdrawn(text, book))), wanted_ft, wanted_deg)


_THERE = Sought(r"\b(?:vectors?|direct|straight|steers?|headings?)(?: to)? there\b")
"""A field that was named before is asked for: "going to Wendle, request vectors there"."""
LEVEL_CHANGE = re.compile(r"\b(?:lower|higher|climb|descent|descend|altitude)(?: please)?$")
"""The end of a clause that asks for another altitude and leaves open which."""
BARE_ALTITUDE = re.compile(r"^(?:to |maybe |say |preferably |about )?(\d{4,5}|\d{1,2})(?: feet| ft| please| if able)*$")
"""A clause that only names an altitude."""


def _feet(said: str) -> int:
    feet = int(said)
    return feet if feet >= 400 else feet * 1000


def _clauses_asking(text: str, book: Lexicon) -> Iterator[tuple[str, bool, int]]:
    """Yield (clause, whether it asks, how far into it a bare request may begin)."""
    unlikely = book.unlikely if book.unlikely.possible(text) else None
    for sentence in sentences(text):
        carried = supposed = False
        for at, clause in enumerate(sentence):
            if unlikely is not None and unlikely.search(clause):
                carried, supposed = False, clause.startswith(("if ", "in case ", "unless ",
                                                              "should ")) and not _CONCLUDED.search(clause)
                continue
            if supposed:
                supposed = False
                continue
            asking = (book.asking.search(clause) is not None and not _WITHDRAWS.match(clause)) or clause.endswith("?")
            if asking:
                carried = True
            elif at + 1 < len(sentence) and _PLEASE.fullmatch(sentence[at + 1]):
                asking = True
            elif _STATES.match(clause):
                carried = False
            yield clause, asking or carried, 16


def _withdrawn(text: str, book: Lexicon) -> set[str]:
    gone: set[str] = set()
    for match in _WITHDRAWN.finditer(text):
        rest = re.split(r" [,.?](?: |$)", text[match.start():match.end() + 40])[0]
        gone |= {name for name, pattern, _ in book.asks if pattern.search(rest)}
        if re.match(r"(?:forget|scratch|disregard)(?: about)? <place>$", rest):
            gone.add("named_airport")
    return gone


_TO_FIELD = sought(r"""
    \bobjections? to <place>|\b(?:like|want|destination(?: to)?|change to) <place>(?: please| instead| now)
    *$|\b(?:land|will take|would take) <place>|\b(?:like|want|request) (?:the |an? )?<place> (?:<navigation>|
    ils|approach|visual|loc)|\bvectors? <place>|\bvectors? (?:(?:to|for) )?(?:the |an? )?(?:ils|localizer|visual|
    approach|
    <navigation>)(?: approach)?(?: (?:rwy|runway))?(?: \d+\w?)? <place>|^into <place>$|\bstraight in(?: (?:rwy|runway|
    approach|to))?(?: \d+\w?)? <place>|
    \b(?:request|requesting|wants?|needs?) <place>(?! (?:weather|tower|approach|ground|atis|information))|
    \b(?:back to|back into|to|direct|at|into|for|toward|towards|in|over to|approach|par|asr|sra|ils|visual|
    aerodrome of|airport of|field of)(?: the)?(?: (?:visual|ils|localizer|approach|asr|par|runway \d+\w?|
    straight in|field|airport)(?: at| to| into)?)? <place>(?! (?:vor|ndb|intersection|radial|approach control|
    center|tower|information|radio|director|ground|departure|unicom|frequency|<navigation>))|
    \bdirect (?:to )?<place>""")
_NOT_LANDING = compiled(r"""
    \b(?:weather|relay|frequency|word|message|hold\w*|latest|winds?|tops|clouds?|metars?|tafs?|actuals?|atis|ceilings?|
    wife|club|desk|ring|phone|fbo|call|hangar|
    reporting|ceiling|change|switch|husband|how far|actual|cloud ?bases?|how is|company|happened|
    continu(?:e|ing)(?: on)?$|continu(?:e|ing)(?: on)? to$|winds|visibility|altimeter|ceiling|conditions|
    <altimeter>|forecast|miles? \w+ of|what is|is it)\b|^(?:is|are) (?:the )?(?:[\w<>]+ )?<?\w+>? $|^why\b|
    ^(?:is|was|were) \w+ (?:landing|diverting|going)\b""")


def _named_airport(clause: str, book: Lexicon) -> set[str]:
    asks = book.asking.search(clause)
    for match in _TO_FIELD.finditer(clause):
        before = clause[:match.start()]
        if not ((_NOT_LANDING.search(before) and not _TO_LAND.search(before))
                or _DECLINED.search(before) or _NOT_THERE.search(before) or (_FROM_THERE.search(before) and not asks)):
            return {"named_airport"}
    return set()
