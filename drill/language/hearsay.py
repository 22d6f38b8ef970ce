"""What is not reported here and now: asked, supposed, past, quoted, denied, taken back, or true of somebody else.

To hear a report that was not made is the worst that can happen to a call. Texts are as in `clauses`.
"""

from __future__ import annotations

import re

from drill.language.alternatives import by_words
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought

_LEADING = r"^(?:(?:and|so|but|ok|okay|uh|um|er|hey|well|say|sorry|please|again|oh|then|now|also) )*"
_ASKED = re.compile(
    _LEADING + laid_out(r"""
        (?:did (?:the|my|our|his|your|it|that|<\w)|did you(?! (?:copy|get|hear|receive|read|understand))|were you|
        do (?:you|they|airplanes|people)|do (?:i|we) (?:need|have) to|does|has any\w*|have any\w*|
        (?:is|are|was|were) (?:our|my|your|the|that|this|it|he|any\w*|some\w*|there|
        either)\b(?! (?:normal|usual) for)|who(?:ever)?\b|why|what (?:would|if|happens)|
        (?:could|would|should) (?:the|our|my|an?|it|we|i|you|that)\b(?! (?:have|get|like|please|give|use|accept|
        take|pass|relay|tell|let|advise|inform|note))|any (?:reports?|word) (?:of|on))"""))
_SUPPOSED = r"""
    ^(?:i|we) (?:do not think|doubt|am not sure|are not sure|once|remember)\b|^suppose\b|
    ^(?:nobody|no one) said\b|^(?:i|we) (?:did|do|have|had) not (?:say|said|report|mean|claim)\w*\b|^am i sure\b|
    \b(?:supposing|imagin(?:e|ing)|assum(?:e|ing)|hypothetical\w*|
    in (?:the )?event of|whether|worst case|best case|hope(?!less)|hoping|if you (?:lose|do not|can not)|
    checking (?:for|if)|(?:expect|expecting|going) to lose|^should (?:the|our|my|an?|it|we) [\w<])"""
_PAST = r"""
    \b(?:yesterday|the other day|last (?:week|month|year|night|flight|time|summer|winter|spring|autumn)|
    (?:days?|weeks?|months?|years?) ago|long ago|on the last (?:flight|leg)|in maintenance|out of maintenance|
    (?:must|could|may|might) have been|\b(?:was|were) (?:\w+ ){0,2}earlier$|
    (?:i|we) had .*\b(?:earlier|this morning|before (?:takeoff|departure))$|(?:was|were|had been) (?:\w+ ){1,3}(?:but|
    so) (?:it|i|we) (?:is|am|reset|fixed)|
    for \d+ minutes on the ground|(?:replaced|repaired|overhauled) (?:after|before|since)|and repaired)\b"""
_QUOTED = r"""
    \b(?:never fitted|not fitted|not equipped|in this airplane|kidding|joking|a joke|april fools?|unquote|
    reading about(?! \d)|watched a|(?:checklist|book|manual|poh|handbook|placard|notams?) (?:says|said|reads|has|
    calls))\b|\b(?:no|never had|without) (?:an? )?<\w+>(?: \w+)? (?:on board|aboard|installed|fitted)\b|
    ^lost <radio> (?:procedures?|route|squawk|instructions?)\b"""
_OTHERS = r"""
    \b(?:his|their|your|tower is|center is|wingman is|passengers? is|company traffic is) (?:\w+ )?<\w+>|
    ^(?:has |have )?(?:just )?lost (?:us|me)\b|\b(?:center|approach|tower|departure|radar|ground|you|they) (?:has |
    have |just )*(?:lost|losing) (?:us|me)\b|^(?:the )?(?:shop|mechanic|owner|club|maintenance|
    (?:last|previous|other) pilot) (?:told|said|says|thought|thinks)\b|
    \b(?:that|the) (?:last|first|next) (?:airplane|aircraft|plane|guy|fellow)\b|
    ^(?:we|i) (?:heard|hear|saw|see) (?!(?:\w+ )?<|(?:an? |the )?(?:red |off |warning )*(?:flags?|x|cross)\b)|
    \b(?:traffic|wingman|somebody else|someone else)\b|
    \b(?:airplane|aircraft|plane|guy|fellow|one|lot|traffic) (?:ahead|behind|in front)\b|
    \b(?:the|an) ?other (?:airplane|aircraft|plane|guy|fellow)s?\b|\b(?:ground vehicle|fire truck)\b|
    ^(?:he|she|my friend|my passenger|somebody|someone) (?:thinks|says|said|believes)\b|\bnumber \d in the flight\b"""
_DENIED = by_words(r"""
    \b(?:none of|not true|anything but|far from|mistaken|free of|no (?:signs?|indications?|evidence|trace) of|
    not (?:due to|because of|about)|rul(?:ed|e|ing) out|ruled that out|was (?:only |just )?a false alarm|false alarm|
    (?:could|can) not (?:reproduce|duplicate|replicate|repeat)|(?:any|no)thing (?:is )?wrong with|
    (?:unable to|can not|could not|did not) find (?:an? |any |the )?(?:faults?|problems?|failures?|defects?))\b|
    \b(?:0|zero|no) (?:more )?(?:failures?|problems?|troubles?|issues?|faults?) (?:on|with|of|in)\b|
    \bno longer (?:failed|dead|out|broken|stuck|frozen|blocked)\b|
    \b(?:negative|no|not any|had any|have any|without|0|zero)(?: on)?(?: the| an?| any| our| my| more)
    * <\w+> (?:failures?|problems?|trouble|issues?|faults?|outages?|malfunctions?)\b|
    \b(?:failure|problem|trouble|issue|fault|failures|problems)s? (?:(?:is|are|has|have|was|been|now|
    all) )*(?:resolved|solved|fixed|gone|over|went away|cleared|sorted|behind us)\b|\brecovered from\b|
    ^(?:(?:please|ok|okay|just|so) )*(?:cancel|disregard|ignore|forget|scratch|withdraw)\b.*\b(?:failure|
    failing|failed|problem|trouble|report|my last)\b""")
_ROUGH_AIR = r"""
    \b(?:swing\w*|all over the place|bounc\w+|wander\w*|jump\w*|spinning)\b.*\bin (?:this|the|all this|a steep|
    a)? ?(?:chop|turbulence|bumps|turns?|rough air)\b|\bbecause (?:we|i) (?:are|am) (?:in a|turning|climbing|
    descending)|\b(?:shows|says|reads|indicates) an? (?:climb|descent|turn|bank)\b.*\bbecause\b|
    \bas (?:always|usual|ever)\b"""

_NOT_HERE_AND_NOW = by_words("|".join(map(laid_out, (_SUPPOSED, _PAST, _QUOTED, _OTHERS, _ROUGH_AIR))))


def is_asked(clause: str) -> bool:
    """Whether a clause asks, and so reports nothing: "did you say the vacuum failed?"."""
    return _ASKED.match(clause) is not None


def is_denied(clause: str) -> bool:
    """Whether a clause says that something is not wrong, or not any more, or takes a report back."""
    return _DENIED.search(clause) is not None


def is_not_reported(clause: str) -> bool:
    """Whether what a clause says is wrong is only asked, supposed, past, quoted, natural, or somebody else's."""
    return is_asked(clause) or _NOT_HERE_AND_NOW.search(clause) is not None


_OF_OTHERS = by_words(r"""
    \b(?:he|she|they|somebody|someone|everybody|everyone|traffic|
    (?:the|that|another|an other) (?:\w+ ){0,2}(?:guy|airplane|aircraft|plane|one)(?: \w+)?|
    (?:airplane|aircraft|guy) (?:ahead|behind|in front)(?: of \w+)?|
    <other callsign>)(?: (?:is|are|was|were|just|has|have|will|now))* $""")


def is_of_others(before: str) -> bool:
    """Whether the words before a verb make it somebody else's: "the airplane ahead is diverting"."""
    return _OF_OTHERS.search(before) is not None


_QUESTION = re.compile(_LEADING + laid_out(r"""
    (?:(?:are|am|is|was|were|did|does|has|have) (?:i|we|you|they|he|it|the|my|our|your|this|that|there|these|those|
    any|both|<\w+>)|do (?:i|we|you|they|these)|should|would(?! you| love| like)|what|why|who|where|which|
    when (?:did|do|will|is)|how|could (?:it|the|that)|will (?:it|the|that))(?!\w)"""))
_TOLD_BY_OTHERS = compiled(r"""
    ^(?:he|she|they|somebody|someone|nobody|everybody|everyone|(?:my|the|our) (?:other |left seat |
    safety )?(?:instructor|wife|husband|friend|passenger|passengers|student|controller|manual|book|poh|handbook|
    checklist|card|procedure|airplane|aircraft|guy|plane|copilot)(?: ahead| behind)?) (?:\w+ )?(?:said|says|say|
    told|tells|would|wants|wanted|thinks|is|was|are|turned|does|did|asked|cleared|assigned|gave|instructed|advised|
    approved)\b""")
_BY_THE_BOOK = compiled(r"""
    ^(?:(?:and|but|so|ok|okay|now|well|,) )*(?:(?:the|my|our|this|that) )?(?:\w+ ){0,2}?(?:check ?list|manual|book|
    poh|handbook|card|procedure|qrh|flow|placard|drill)s? (?:(?:here|now|just|also|only) )*(?:says?|said|reads|
    tells?(?: us|me)?|wants?|calls? for|recommends?|requires?|suggests?|would have|asks? for)\b(?: that| to|,|:)?""")
_NOT_NOW = compiled(r"""
    ^(?:i|we) (?:once|was (?:going|about) to|were (?:going|about) to|remember when|could(?! (?:use|do with))|
    would never|almost|nearly|would(?! (?:like|better)\b))\b|^(?:almost|nearly|later|no way)\b|^before (?:i|we)\b|
    ^(?!.*\bwait)(?:turn|climb|descend|land|divert|cover|level)\b.*\b(?:in|after) (?:about )?\d+ (?:minutes?|
    mins?|hours?)$|^(?!turn|climb|descend|set|go|fly|put|look|check)(?:the |my |our )?(?:[\w<>]+ ){1,4}(?:was|
    were|would be)\b|^it would\b|\bshould be (?:climbing|descending|turning)\b""")


def orders_nothing(text: str) -> bool:
    """Whether an order's text asks, tells what others said, or speaks of another time: "did I cover the AI?"."""
    return any(pattern.match(text) for pattern in (_QUESTION, _TOLD_BY_OTHERS, _BY_THE_BOOK, _NOT_NOW))


def quotes_book(text: str) -> bool:
    """Whether a text begins with what a checklist or book says, which is not ordered: "the checklist says ..."."""
    return _BY_THE_BOOK.match(text) is not None


def only_quotes(text: str) -> bool:
    """Whether a text is no more than such a beginning ("the checklist says")."""
    return _BY_THE_BOOK.fullmatch(text) is not None


_ASKED_ITSELF = Sought(r" \? (?:, )?(?:no|nope|nah|not yet|never|negative|no way)(?: way|(?: , )?not yet| now| "
                           r"thanks)*$")


def asks_itself(text: str) -> bool:
    """Whether a line asks whether to do something and answers no: "cover the AI? not yet"."""
    return _ASKED_ITSELF.search(text) is not None
