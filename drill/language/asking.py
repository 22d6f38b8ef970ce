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
from drill.language.withdrawn import drops_plainly, takes_all_back

_STATES = compiled(r"""
    ^(?:and )?(?:we|i|our|my|it|they|he|she|this|that|both|heading|level|fuel|thanks|returning|diverting|landing|
    continuing|
    going|climbing|descending|leaving|out of|turning|squawking|currently|presently|now|on top|imc|vmc|intend|
    planning|staying|sticking|carrying|keeping|proceeding|stopping|making|shutting)\b|
    ^(?:the |my |our )?(?!what|where|how|when)[\w<>]+ (?:is|are|was|has|have)\b""")
_DECLINED = compiled(r"""
    \b(?:negative(?: on)?|(?<!say )no|not|
    do not (?:need|want|require|(?:give|offer|assign|get|pass)(?: (?:us|me))?|send|roll|launch|call(?: out)?|wake|
    alert|
    disturb|bother\w*(?: with)?)|(?:will|would) not (?:be )?(?:need|want|requir)\w*|
    no need for|no need to (?:give|offer|send|provide|get)(?: (?:us|me))?|take (?:us|me) off the|without|
    disregard|cancel\w*|never ?mind|terminat\w*|withdraw\w*|would you like (?:me|us) to|
    (?<!full )stop|quit|discontinue|thanks for|thank you for|no longer (?:need|want|requir|request|ask)\w*(?: for)?|
    unable|can not (?:accept|take)|decline|scrap|scrub|(?:(?:did|do|have) not|never) (?:ask|asked|request|requested|
    order)(?: for)?|(?:done|finished|happy) with(?:out)?|(?:is|had) enough|forget|
    scratch|instead of|rather than|avoid(?:ing)?|skip|(?:we|i) got|
    have got|cleared(?: for| to)?|expect(?:ing)?|unable|
    (?<!word )(?<!joy )(?<!luck )(?<!anything )(?<!something )
    (?<!news )(?<!update )(?<!updates )(?<!report )on the)(?: (?:need|any|the|a|an|that|those|more|further|
    request|requesting|asking|for|on|about|accept|to|my|our|last|new|delay|radar|require|want|lower|higher|
    ready)){0,6} $|
    \b(?:i|we) (?:had|have had|saw|see|(?:can|could) (?:now )?see)(?: the| our| my)? $|
    ^(?:(?:and|so|yes|ok) )*(?:i|we) have(?: now| got)? (?:the |our |my |your )?$""")
_AT_ONCE = re.compile(r"^(?: please| sir)* (?:now|immediately|right now|at once|right away|asap|quick\w*|help)"
                      r"(?: please)?$")
"""How a bare request ends that is asked for in haste: "engine out nearest airport now"."""
_NOT_WANTED = compiled(r"""
    (?: \w+)?(?: (?:is|are|will|will be|were|was))? (?:(?:not|no longer) (?:be )?(?:required|needed|necessary|
    wanted)|in sight|lined up|in position|already|great|aircraft|was|were|went|worked|looked|helped|
    (?:that |which )?(?:you|he|she|they) (?:gave|offered|promised|had for) (?:us|me)|
    (?:i|we) (?:take back|withdraw|cancel|do not (?:need|want))|(?:to |can |may |should )?(?:go home|
    stand(?:ing)? down|go back|relax)|for (?:somebody|someone|anybody|those|whoever|the next
    [ ](?:fellow|guy|crew|pilot|one|1|customer|chap|airplane)))\b""")
"""How a service that is only spoken of goes on: "fire trucks in sight", "vectors not required"."""
_WITHDRAWN = by_words(r"""
    \b(?:disregard|ignore|cancel|never ?mind|forget|scratch|scrap|scrub|no longer need|do not need|
    withdraw)(?: (?:that|the|my|our|
    request|for|last|any|more|those)){0,6}(?= )|
    \bhold (?:the|that|our|my)(?= (?:\w+ ){1,2}request\b)|
    \b(?:belay|drop|pull|bin|strike|retract|take back|call off|hold off on|put off|postpone|defer|delay|
    changed (?:my|our) minds? (?:about|on)) (?:that|the|my|our|any|those|this)(?= )|
    \b(?:put|leave) (?:that|the|my|our|those|this)(?= (?:\w+ ){1,4}(?:on hold|for now|for later|till later|
    until later)\b)""")
_STANDS_DOWN = sought(r"""
    (?<!not )(?<!never )(?:\bstand(?:ing)? (?:(?:them|everyone|everybody|(?:the|those|all the|your) [\w<>]+(?: \w+)?) )?
    down\b|\bcall(?:ing)? (?:(?:them|everyone|everybody|(?:the|those) [\w<>]+(?: \w+)?) off|off (?:the|those|them))\b|
    \b(?:send|wave) (?:them|everyone|everybody|(?:the|those|your) [\w<>]+(?: \w+)?) (?:all )?(?:home|away|back)\b|
    \bhold (?:off )?(?:on )?(?:the|those|your) (?:[\w<>]+ )?(?:trucks|crews?|vehicles|services|ambulances?)\b)""")
"""Words that send home who was to stand by."""
_THEM_NOT = sought(r"""
    \b(?:do|will|would) not (?:(?:be|really|actually|even) )*(?:need|want|requir)\w* (?:them|it|that|those|
    any of (?:that|it|them))(?: (?:now|any ?more|after all|at all|please|thanks|thank you))*$""")
"""What was asked for just before is not wanted: "hold the trucks, we do not want them"."""
_NO_LAST = re.compile(r"(?:(?:er|uh|um|oh|well|wait|actually) )*no(?: no)*")
_REFUSES = re.compile(r"^(?:(?:and|but|so|actually|sorry|only|well) )*(?:no|not|negative)(?: (?:the|more|any|to))* ")

_WITHDRAWS = compiled(r"""
    ^(?:(?:please|ok|and|so|actually|no|sorry) )*(?:(?:disregard|cancel|forget|scratch|scrap|scrub|ignore|belay|drop|
    hold|pull|bin|strike|retract) (?:the|that|my|our) (?:(?:[\w<>]+ ){0,3}request$|request\b)|
    (?:disregard|forget|ignore|cancel|scratch)(?: about)? (?:what(?:ever)?|everything|all)(?: that)? (?:i|we)\b)""")
"""A clause whose "request" asks for nothing: "disregard the nearest airport request"."""
_WHAT_I_ASKED = sought(r"""
    ^(?:(?:please|ok|and|so|actually|no|sorry) )*(?:disregard|cancel|forget|scratch|scrap|scrub|ignore|belay|drop|
    withdraw)
    [ ](?:what|that|everything|all)(?: that)? (?:i|we) (?:(?:just|had|have|was|were) )*(?:asked|requested|wanted|asking|
    requesting)(?: for)?(?: earlier| before)?$""")
"""What is taken back is named after it: "cancel what I asked for, the surveillance approach"."""
_ROGERS = re.compile(r"^(?:(?:ok|okay|yes|and|sir|ma am|thanks|thank you) )*(?:roger|copy|copied|wilco)\b")
"""A clause that takes note of what ATC offers and asks for nothing: "roger, no-gyro vectors"."""
_CONFIRMS = re.compile(r"^(?:did you (?:say|clear|mean|want|ask)|"
                       r"are you (?:asking|telling|clearing|offering|giving)|confirm|verify|was that|"
                       r"is that(?! (?:still )?current)|"
                       r"understand)\b")
_INSTEAD = re.compile(r"^(?:(?:no|sorry|actually|wait|correction) )*make (?:that|it) ")
_MEANT = compiled(r"""
    ^(?:(?:no|sorry|actually) )*(?:i mean|i meant|or rather|rather) (?:(?:the|a|some) )?(?:lower|higher|vectors?|
    descent|
    climb|no <gyros>|radar|surveillance|priority|block|weather|hold)\b""")
_CORRECTS = compiled(r"""
    ^(?:(?:no|sorry|actually|wait|uh|say|um|ah) )*(?:correction|strike that|scratch that|i mean|
    rather)(?: make that)?$""")
"""A clause after which another request stands in the place of the one before it."""
_BARE = re.compile(r"(?:lower|higher|(?:a )?descent)(?: (?:now|please|asap|immediately|right away))*")
"""A clause that is nothing but what is wanted."""
_VECTORS_TO = re.compile(r"(?:radar )?(?:vectors?|steers?|headings?) (?:(?:me|us) )?(?:to|into|toward|for|out of)\b")
_ABLE_TO = re.compile(r"\b(?:can|will|not|unable to|to) $")
_LIKE_TO = re.compile(r"\b(?:like|want|request\w*|need|possible|prefer|somewhere|a place|room) to $|"
                      r"\b(?:chance|possible|ok|okay)(?: that)? (?:we|i) (?:can|could) $")
_LEVEL_WANTED = compiled(r"""
    \b(?:climb|descent|descend|lower|higher|down|up|request\w*|like|want|approve|need|
    (?:can|could|may) (?:i|we) (?:have|get))(?: (?:and|maintain|to|altitude|at|for|a|flight|level))* (\d{4,5}|
    \d{1,2}(?= ?$))""")
_HEADING_WANTED = Sought(r"\bheading(?: of)? (\d{2,3})\b")
_PLEASE = re.compile(r"please(?: sir| ma am)?")
_TO_LAND = re.compile(r"\b(?:land|vectors?|approach|priority|turns)\b")
_OTHER_THAN = re.compile(r"\b(?:rather than|instead of)(?: (?:be|being|going|go|switching|sent|handed|diverting|"
                         r"landing|over|on|off|back|in))* $")
_NOT_THERE = re.compile(r"\b(?:not|can not|unable) (?:\w+ ){0,3}$")
_FROM_THERE = re.compile(r"\b(?:miles?|out|off|from|relay)\b[^,]*$")
_CONCLUDED = re.compile(r" (?:i|we) (?:will|would|am|are|have)\b")
_NO_NEED = Sought(r"^(?:please |but |and )*(?:disregard|scratch|forget|cancel|ignore) that and\b|"
                      r"\b(?:do not|no need to) (?:bother|worry)(?: \w+)?$|\bso no need$|"
                      r"\b(?:but|and) (?:disregard|never ?mind|forget it|scratch that|cancel that)$|"
                      r"\b(?:scratch|cancel|forget|belay) that$|"
                      r"^(?:(?:but|and|so|no|sorry|actually) )*(?:(?:i|we) (?:have |had )?)?changed (?:my|our) minds?"
                      r"(?: now)?$|^(?:(?:please|so|but|and) )+(?:disregard|cancel|scratch|forget|ignore) "
                      r"(?:that|it|this)"
                      r"(?: now| please| thanks)*$")
_NOT_YET = sought(r"""
    \bwould have (?:asked|liked|wanted|requested|taken)\b|\bth(?:ought|inking|ink) (?:about|of) (?:asking|requesting)\b|
    ^just in case (?:we|i) (?:need|want)|\b(?:there is a chance|chances are)(?: that)? (?:we|i) |^depending on |
    ^subject to |\b(?:may|might) (?:(?:have|need) to )?(?:ask|request)\b|\bgoing to (?:need|want|ask)\b[^,]*\blater\b|
    \b(?:expect|anticipate) (?:us|me) to (?:ask|request|want|need)\b|\bstand ?by for (?:a|our|my) request\b|
    \b(?:might|may|could) (?:(?:well|also|soon|then|end up) )*(?:be )?(?:asking|wanting|needing|requesting|after)\b|
    \bin (?:that|which) case\b(?! please)|^(?:and |but )?once (?:we|i) (?:are|am|have|get|reach|pass|clear|level|
    turn)\b|
    \b(?:will|may|might|would) (?:be )?(?:need|want|ask|request|like)\w*\b[^,]*\b(?:later(?: on)?$|when (?:i|
    we) (?:am|are|get|reach|have|come)\b)|
    ^(?:and |but )?(?:when (?:i|we) (?:am|are|get|reach|have|come)\b|later(?: on)? |in the event |in (?:\d+|a few|
    a couple of) (?:minutes|miles) (?:i|we) |were (?:it|this|that|the \w+) to )""")
"""Words that put a request off: "once we are past the ridge we would like lower"."""
_OTHERS_ASK = compiled(r"""
    ^(?:he|she|(?:the|that|an) other (?:\w+ )?|the (?:jet|airliner|heavy|guy|one|1)(?: (?:ahead|behind|in front))?) ?
    (?:also )?(?:wants|asked|asks|is asking|requested|requests)\b""")
_ONCE = re.compile(r"^(?:and |but )?once (?:we|i) ")
_RELAYED = sought(r"""
    \blet \w+ know\b|\bpass (?:on |along )?to\b|\b(?:relay\w*|pass(?:ed)?(?: on| along)? (?:our|my|this|the|an?|
    that|all|everything|it|these|those)(?: \w+)*) to\b""")
_NOT_A_LEVEL = compiled(r"""
    ^ (?:ground|terrain|clouds?|ceilings?|tops|bases?|weather|visibility|time|minima|minimums)\b""")
_TO_CLEAR = compiled(r"""
    ^(?: (?:out|away|over|back|down|up|please|straight|me|us))*(?: (?:to|toward|towards|into|for|at))? ?
    (?:(?:where|anywhere|somewhere|someplace|(?:some|any|a|the) (?:place|spot|patch|area|bit|piece))\b[^,]{0,30}?
    \b(?:vmc|vfr|visual|clear|cloudless|sunny|sun|(?:no|without|free of|clear of) (?:any )?clouds?|
    (?:clouds?|layer|overcast|clag|murk|weather) (?:ends?|stops?|breaks?|thins?|gives? out|gives? way|runs? out)|
    see (?:the ground|out|outside|something))|
    (?:(?:some|the|any) )?(?:vmc|vfr|visual (?:conditions?|weather|flight)|(?:better|good) weather|clear (?:air|sky|
    skies|weather)|cloudless|blue sky|blue skies|sunshine|
    open air))\b(?! (?:of|approach|runway|traffic))""")
"""Where vectors are to lead that are wanted for the weather alone: "steer us to where the cloud ends"."""
_OTHERS_FIRST = re.compile(r"\b(?:let|give|allow) (?:the|him|her|them|that|those|someone|somebody)\b[^,]*$")
_ROOM = sought(r"\b(?:some|enough|a bit of|a little|more) (?:vertical |altitude )?(?:room|leeway|slack|latitude)$")
_TELLS = re.compile(r"\b(?:tell|telling|inform|advise|let) (?:them|him|her|(?:my|our|the) \w+)\b")
_LIMITS = re.compile(r"^(?:say |from |between |anywhere |maybe |like )*\d{1,5} (?:to|and|through|up to) \d{1,5}"
                     r"(?: feet)?$")
_UNTIL_THEN = re.compile(r"\b(?:till?|until|before|after|during) (?:the|our|my) $")


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
    sentence = -1
    in_sentence: set[str] = set()   # what its sentence asked for before a clause
    last: set[str] = set()          # what was asked for last
    asks_before = room = False      # whether the sentence asked before; whether for room, and how much is still to come
    dropping = False      # what is taken back is still to be named
    for at, clause, asking, begins in _clauses_asking(text, book):
        if dropping and not book.asking.search(clause):
            dropping = False
            found -= {name for name, pattern, _ in book.asks if pattern.search(clause)}
            continue
        dropping = _WHAT_I_ASKED.search(clause) is not None
        if at != sentence:
            sentence, in_sentence, asks_before = at, set(), False
        gone = _withdrawn(clause, book, found)
        found -= gone
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
            found &= {"radar_approach"} if "no <gyros>" in clause else set()
            asking = True
        carried_in = asking and not book.asking.search(clause)
        if _MEANT.match(clause) and last:
            found -= last
            asking = True
        had = frozenset(found)
        if asking and room and _LIMITS.match(clause):
            found.add("block_altitude")
        room = asking and _ROOM.search(clause) is not None
        likely = book.any_ask.kinds(clause)
        for name, pattern, alone in book.asks if likely else ():
            if name not in likely or not (asking or alone or name == "vmc") or name in found or name in gone:
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
                if _means_otherwise(name, match, clause, blocked="block" in clause or "block_altitude" in found):
                    continue
                found.add("vmc" if name == "vectors" and _TO_CLEAR.match(clause[match.end():]) else name)
                asking = True
                break
        if _THEM_NOT.search(clause) or _NO_LAST.fullmatch(clause):
            found -= last
        if drops_plainly(clause) or _NO_NEED.search(clause):
            found -= in_sentence | (found - had) if asks_before and not takes_all_back(clause) else set(found)
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
        in_sentence |= found - had
        last = found - had or last
        asks_before = bool(likely or in_sentence)
    return Asked(tuple(sorted(found)), wanted_ft, wanted_deg)


def _means_otherwise(name: str, match: re.Match[str], clause: str, *, blocked: bool) -> bool:
    """Whether the words of a request are used of something else; `blocked`: a block of altitudes is asked for."""
    before, after = clause[:match.start()], clause[match.end():]
    if name == "altitude_change":   # "let me stay on this frequency till the descent"; "a block, seven up to nine"
        return bool(_NOT_A_LEVEL.match(after) or _UNTIL_THEN.search(before)) or (
            blocked and before[-2:-1].isdigit() and match.group().startswith(("up to ", "down to ")))
    if name == "priority":
        return _OTHERS_FIRST.search(before) is not None
    if name == "relay":
        return before.endswith(("i will ", "we will "))   # "I will call my wife after landing"
    return name == "hold" and _ABLE_TO.search(before) is not None and not _LIKE_TO.search(before)


_THERE = Sought(r"\b(?:vectors?|direct|straight|steers?|headings?)(?: to)? there\b")
"""A field that was named before is asked for: "going to Wendle, request vectors there"."""
LEVEL_CHANGE = re.compile(r"\b(?:lower|higher|climb|descent|descend|altitude)(?: please)?$")
"""The end of a clause that asks for another altitude and leaves open which."""
BARE_ALTITUDE = re.compile(r"^(?:to |maybe |say |preferably |about )?(\d{4,5}|\d{1,2})(?: feet| ft| please| if able)*$")
"""A clause that only names an altitude."""


def _feet(said: str) -> int:
    feet = int(said)
    return feet if feet >= 400 else feet * 1000


def _clauses_asking(text: str, book: Lexicon) -> Iterator[tuple[int, str, bool, int]]:
    """Yield (number of its sentence, clause, whether it asks, how far into it a bare request may begin)."""
    unlikely = book.unlikely if book.unlikely.possible(text) else None
    for number, sentence in enumerate(sentences(text)):
        carried = supposed = acknowledged = False
        for at, clause in enumerate(sentence):
            if ((unlikely is not None and unlikely.search(clause)) or _NOT_YET.search(clause)
                    or _OTHERS_ASK.match(clause)):
                carried = False
                supposed = (clause.startswith(("if ", "in case ", "unless ", "should "))
                            or _ONCE.match(clause) is not None) and not _CONCLUDED.search(clause)
                continue
            if supposed:
                supposed = False
                continue
            asking = (book.asking.search(clause) is not None and not _WITHDRAWS.match(clause)) or clause.endswith("?")
            if asking:
                carried = True
            elif _ROGERS.match(clause):
                acknowledged = True
                continue
            elif at + 1 < len(sentence) and _PLEASE.fullmatch(sentence[at + 1]):
                asking = True
            elif _STATES.match(clause):
                carried = acknowledged = False
            elif acknowledged and not carried:
                continue
            yield number, clause, asking or carried, 16


def _withdrawn(clause: str, book: Lexicon, asked: set[str]) -> set[str]:
    """Return what a clause takes back, of what was `asked` before or is named in it."""
    gone = {"rescue"} if _STANDS_DOWN.search(clause) else set()
    if (refuses := _REFUSES.match(clause)) and asked:
        gone |= {name for name, pattern, _ in book.asks if name in asked
                 and (match := pattern.search(clause)) and match.start() == refuses.end()}
    for match in _WITHDRAWN.finditer(clause):
        rest = clause[match.start():match.end() + 40]
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
    straight in|field|airport)(?: at| to| into)?)? <place>(?! (?:is )?(?:vor|ndb|intersection|radial|approach control|
    center|tower|information|radio|director|ground|departure|unicom|frequency|<navigation>))|
    \bdirect (?:to )?<place>|\bmake (?:it|that) <place>|\b(?:can|could|will|would) <place> (?:take|accept|have|handle|
    fit)\b|<place>(?= would (?:be (?:best|better|good|fine|ideal|great|
    nice|preferable)|suit|work)\b)""")
_NOT_LANDING = compiled(r"""
    \b(?:weather|relay|frequency|word|message|hold\w*|latest|winds?|tops|clouds?|metars?|tafs?|actuals?|atis|ceilings?|
    wife|club|desk|ring|phone|fbo|call|hangar|
    reporting|ceiling|bases|fog|mist|lifted|cleared up|change(?! (?:that|this|it|(?:our|my) destination)\b)|switch|
    husband|how far|actual|cloud ?bases?|how is|company|happened|
    what (?:sort|kind)|continu(?:e|ing)(?: on)?$|continu(?:e|ing)(?: on)? to$|winds|visibility|altimeter|ceiling|
    conditions|
    <altimeter>|forecast|miles? \w+ of|what is|is it(?! (?:possible|ok|okay|alright))|they (?:got|have))\b|\bsay $|
    ^(?:is|are) (?:the )?(?:[\w<>]+ )?<?\w+>? $|^why\b|
    ^(?:is|was|were) \w+ (?:landing|diverting|going)\b""")


def _comes_last(pattern: re.Pattern[str], other: re.Pattern[str], before: str) -> bool:
    """Whether words of `pattern` stand in `before` with none of `other` behind them."""
    found = [*pattern.finditer(before)]
    return bool(found) and other.search(before, found[-1].start()) is None


def _named_airport(clause: str, book: Lexicon) -> set[str]:
    asks = book.asking.search(clause)
    for match in _TO_FIELD.finditer(clause):
        before = clause[:match.start()]
        if not (_comes_last(_NOT_LANDING, _TO_LAND, before) or _OTHER_THAN.search(before) or _TELLS.search(before)
                or _DECLINED.search(before) or _NOT_THERE.search(before) or (_FROM_THERE.search(before) and not asks)):
            return {"named_airport"}
    return set()
