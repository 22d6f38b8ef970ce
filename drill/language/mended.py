"""What was wrong and is not: back again, mended, only thought so, or taken back in the same call.

Each function mends the verdicts of clauses that were read before.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from drill.language.patterns import compiled
from drill.language.states import Clause
from drill.language.withdrawn import drops_plainly

_SECOND_THOUGHT = frozenset({"nope", "no", "wait", "actually", "oh", "ah", "hold on", "hang on"})
_NOW_WELL = compiled(r"""
    ^(?!back$)(?:(?:it|they|that|(?:the|this|that|our|my) (?:set|unit|box|thing|
    needle|gauge|instrument|system|dial)) )?(?:(?:has|have|is|are|now|since|just|all) )*(?:recovered|works|working|back|
    righted itself|come back|erected|reset)(?: (?:itself|again|now|fine|ok|okay|normally|up|online|on|line|
    to normal|properly|right|correctly|well|nicely|perfectly|as (?:it should|normal|before)))*$""")
"""What is said of a part, right after a "but": "the AI tumbled but has recovered"."""
_HAD = compiled(r"""
    \b(?:an?|\d+|half an?|a few|some) (?:hours?|minutes?|seconds?|moments?|while) (?:ago|back)\b|
    \bfor (?:an?|half|\d+|some)\b.*\b(?:minutes?|seconds?|moment|bit|while)\b|
    \b(?:had|was|were|thought|did have|used to|showed|earlier|briefly|momentarily)\b""")
_LIT = re.compile(r"\b(?:came|comes|come|lit|flashed|flickered)(?: on| up)?(?: again)?$")
"""What a warning light did before it went out."""
_MENDED = re.compile(r"\b(?:pushed (?:it )?back in|sorted|fixed|resolved|solved|reset|recycled|cycled|false alarm)\b")
_OVER = compiled(r"""
    ^(?:(?:it|that|which|they) )?(?:went|(?:is |are |has |have )?gone) (?:out|off|away)(?: again)?\b|
    ^charging (?:like|normally|again|
    fine|well)\b|
    ^(?:(?:both|all|they|it|everything|things)(?: are| is)? )?(?:now )?(?:reading|working|running|spinning|
    indicating|pulling)(?: \w+)? (?:again|now|ok|okay|fine|normally)\b|
    ^(?:(?:and|now|then|all|everything|uh|um) )*(?:it|they|that|this|everything|all|things?) (?:is|are|has|have|
    came|seems?|looks?)(?: (?:all|now|just|been|since|to be))* (?:holding|tracking|staying|agreeing|back|up|upright|
    erect|alright|
    all right|fine|ok|okay|good|normal|smooth|steady|fixed|working|running|cleared|recovered|restored|resolved|come|
    healthy)\b|^(?:all|everything|now)(?: (?!else\b|other\b)\w+)? (?:fine|ok|okay|good|normal|back|working)\b|
    ^(?:came|come) back\b|
    ^(?:ok|okay|fine|good|normal|working|alright|all right|steady) (?:now|again)$""")
_GONE = compiled(r"""
    ^(?!.*\b(?:then|but|again|back|for)\b)(?:(?:and|then|since) )*(?:(?:it|that|they) (?:has |have |just |
    all )*(?:cleared|smoothed out|
    went away|disappeared|vanished|burned off|burnt off)|(?:we |i )?(?:burned|burnt|cleaned|leaned) (?:it|that) (?:off|
    out))\b|
    ^(?:the |its |that )?(?:flag|light|warning|caution)s? (?:is |are |has |have |just )*(?:gone|out now|cleared|
    went (?:out|away)|off again)\b|
    ^(?!.*\b(?:not|nothing|never|neither|hop(?:e|ing)|if|hardly|will|would|should|might|may)\b)(?:(?:and|the|some|a|bit|
    of|little|touch|cycling|recycling|switching|tapping|resetting) )*[\w<>]+(?: [\w<>]+)? (?:(?:has|have|just|
    seems to have) )*(?:fixed|cured|cleared|sorted|solved|took care of|brought) (?:it|that|them)
    (?: (?:right )?(?:up|out|back|away))?$""")
"""What is said of a trouble that has passed: "it has cleared", "the light has gone", "carb heat fixed it"."""
_THAWED = compiled(r"""
    ^(?:(?:and|but) )*(?:it|that|they) (?:is|are) (?:clear|open|free)(?: of ice)?(?: (?:now|again))*$""")
_WAS_BLOCKED = re.compile(r"\b(?:was|were|had) (?:\w+ )*(?:frozen|blocked|iced|clogged|plugged|jammed|stuck|full of)\b")
"""A part that was blocked, of which "it is clear now" tells no weather."""
_CAME_GOOD = compiled(r"""
    ^(?!.*\b(?:but|then (?!it|they)|only to)\b)(?:(?:then|later|and|soon|now) )*(?:it|they) (?:has |have |just )*
    (?:came|come|comes) (?:good|right|to life|round|to it is senses|on line|online|
    back(?: (?:on|up|again|alive|to life|online))*$)\b""")
"""What is said of a part that was lost for a time: "we lost the DG, then it came good"."""
_ANY_MORE = r"^(?:well )?(?:it|they) (?:is|are|does|do|has) not (?:any ?more|any longer|now)$"
_NOT_SO_NOW = re.compile(_ANY_MORE)
"""Turns round what was said: "the AI was tumbling, it isn't any more"."""
_BELIEVE_NONE = compiled(r"""
    ^(?:(?:and|so|but|i|we|can|do|will|would|to|am|are) )*(?:(?:trust|believe|buy|credit|rely on|like|trusting|
    believing) (?:none|neither|nothing of)|(?:not|hardly|can not|could not) (?:really )?(?:trust|believe|rely on|credit)
    (?:either|any)(?: (?:1|one))?(?: of)?)\b(?! <)(?:.*\b(?P<how>[2-9])\b)?""")
"""Who trusts none of the parts that were named: "150 on the compass and 190 on the DG, trust neither"."""
_IT_WHICH = compiled(rf"""
    ^(?:(?:and|but) )?now (?:it|they) (?:is|are|has|have|will)\b|
    ^(?:(?:and|but|now|well) )*(?:it|they) (?:is|has|have|are) (?:quit|died|failed|packed up|given up)\b|
    ^(?:(?:has|then|just|now) )*(?:quit|died|failed|stopped|dropped out|tripped)(?: (?:out|off))? again\b|
    ^(?:it|they) (?:held|worked|ran|lasted|stayed|was|were|came|agreed|read) .*\b(?:then|but|and then)\b|
    ^(?:i|we) (?:would |will |am |are |going to )*(?:call|calling|consider|deem|rate|class) (?:it|that|them)\b|
    ^(?:(?:and|but|now) )*(?:it|they) (?:is|has|have|are) (?:(?:just|now|since|suddenly) )+(?:gone|quit|died|failed|
    stopped|dropped|
    toppled|tumbled|packed up|given up)\b|
    ^(?:(?:and|but) )?then (?:it |they )?(?:walked|slid|slipped|crept|ran|wandered|drifted|rolled|fell|flopped|keeled|
    died|quit|failed|stopped|went|froze|stuck|tumbled|toppled|dropped)\b|
    ^(?:(?:and|but|then|now) )*(?:it|they) .* again(?: (?:today|now|just now|here|this morning))?$|
    {_ANY_MORE}""")
"""What is said of a part that was named before, in the same sentence: "it held for a minute then slid off"."""
_NO_EFFECT = compiled(r"""
    ^(?:(?:and|but) )*it (?:(?:does|did|will|would|can|could) not (?:disconnect|disengage|let go|release|respond|react|
    work|trip|do (?:a thing|anything))|(?:does|did|has done) nothing|(?:has|had) no effect)\b""")
"""What comes of a part that was tried: "we have tried the autopilot disconnect and it does not disconnect"."""
_TRIED = re.compile(r"\b(?:tried|tested|checked|pushed|pressed|pulled|punched|hit)\b")
_IT = compiled(r"""
    ^(?:is |runs |running )?(?:still |very |now |a bit )*(?:failing|dying|fading|going|weak|rough)$|
    ^(?:it|they) keeps? (?:on )?\w+ing\b|^(?:has |then |just |now )*(?:quit|died|failed|stopped|gone|went out) again$|
    ^(?:(?:i|we) (?:still )?(?:think|reckon|believe|say|guess|
    am sure)(?: that)? )?(?:it|they) (?:is|are|has|have)\b|^(?:i|we) (?:still )?(?:do not|can not|
    would not) (?:\w+ )?(?:trust|believe|like|(?:bet|rely|count|depend|stake \w+(?: \w+)?) on|swear by)
    [ ](?:it|them)\b""")
_I_THINK_IT = compiled(r"""
    ^(?:i|we) (?:think|reckon|believe|guess|fear|suspect)(?: that)? (?:it|they) (?:(?:has|have|is|are|just) )*(?:died|
    dead|quit|failed|stopped|packed up|given up|gave up|conked out|gone|out)$""")
_SEEMED = compiled(r"""
    ^(?:thought|figured|assumed|feared)\b|
    \b(?:(?:could|would) have (?:sworn|bet|said)|(?:i|we) (?:(?:really|first|at first|just|had) )*(?:was|were|
    got) (?:sure|convinced|certain|
    positive|afraid|worried)|(?:i|we) (?:(?:really|first|at first|just|had) )*(?:thought|feared|suspected|figured|
    assumed|
    imagined|wondered|believed|fancied|took)|(?:looked|seemed|sounded|felt|smelled|smelt) (?:as if|as though|like)|for a
    (?: \w+)? ?(?:second|moment|minute))\b""")
_TURNED_OUT = compiled(r"""
    ^(?:(?:and|but|well|then|now|it|that|which|actually|only|so) )*(?:turns? out|turned out|proved|(?:it|that|
    this) (?:was|is)
    (?: (?:only|just|all|really))* (?:nothing|me|my|our|the|them|him|her|his|some|somebody|an?|us)|
    (?:it|they|he|she) (?:was|were|is|had|has|did) not$|never (?:did|was|happened)|
    (?:i|we|mechanic|shop|they) (?:was|were)? ?(?:wrong|mistaken|found nothing|just|only))\b
    (?!.*\b(?:after all|really (?:has|is)|has (?:quit|died|failed|gone)|is (?:dead|gone|out)|was right|
    were right)\b)""")
"""How it goes on where something only seemed so: "could have sworn it coughed, turns out it was the door"."""
_NOT_OURS = compiled(r"""
    ^(?:(?:and|so|but|it is|that is|this is|they are) )*not (?:us|ours|mine|me|our own)(?: (?:though|sir|thankfully|
    luckily|
    thank goodness|by the way|thanks|i hasten to add|i am glad to say))*$|
    ^ours (?:is|works|has been) (?:\w+ )?(?:fine|ok|okay|good|solid|normal|perfect|great|sound|well|as normal)\b""")
_SINCE_RENEWED = compiled(r"""
    ^(?:(?:and|so|but|now|since|then|that|i|we|they|he|she|the|its?|a|has|have|had|is|was|been|got|all|long|brand|shop|
    mechanic|this|1|one) )*(?:replaced|rebuilt|repaired|overhauled|swapped|sorted|fixed|mended|renewed|changed|
    exchanged|
    rewired|resealed|ripped (?:it )?out|replacement|new (?:1|one)|had it (?:\w+ )?(?:\w+ed|rebuilt))\b|
    ^since (?:the|that|its?) (?:overhaul|rebuild|repair|refit|annual)\b""")
"""What was done about a part that was bad before this flight."""
_THANKED = re.compile(r"^(?:(?:and|ok|okay|many) )*(?:thanks|thank you|cheers|appreciate\w*)\b")
_AS_EVER = compiled(r"""
    ^(?:(?:which|that|it|this) is )?(?:(?:quite|perfectly|all) )*(?:normal (?:for|at)|always does|they all do|
    typical)\b""")
"""How it goes on where a part is as it always is: "suction drops at idle, always does"."""
_SAFE = compiled(r"""
    ^(?:and )?(?:(?:we are|i am|all) )?(?:now )?(?:all )?(?:set|parked|down safe\w*|safe|home|on the ground|sorted|
    shut down|
    at the gate|on stand)\b""")
"""How it goes on where a trouble that thanks are said for is behind."""
_INTRODUCES = compiled(r"""
    ^(?:(?:sorry|and|so|ok|well|i am|we are|i|we|was|were|just) )*(?:reading|quoting|reciting) (?:out |aloud )*(?:of|
    from|the|my|our|
    an?) (?:\w+ )?(?:book|manual|handbook|poh|checklist|card|report|article|magazine|chapter|page)\b|
    ^(?:(?:i|we) )?(?:just )?read (?:about|(?:the|an) (?:accident|incident|safety))\b|
    ^(?:(?:a|here is a|got a) )*(?:quiz|exam|trick|theory) question\b""")
"""What brings in words that are another's: "reading from the book, with a failed alternator shed load"."""
_BUT_NOT = re.compile(r"^(?:(?:well|but|sorry|only) )*(?:it|they) (?:is|are|was|were|does|do|did|has|have) not$")
_ONCE_SO = re.compile(r"\b(?:was|were|had|used to|last|old|before|previous|once|would)\b")
_OURS_TOO = compiled(r"""
    ^(?:and )?(?:too (?:ours|mine)|(?:ours|mine)(?: (?:has|is|did|does|went))*(?: (?:too|also|as well|likewise)))\b""")
"""What says of the caller's part what was said of another's: "the tug's battery has died and so has ours"."""
_TAKEN_BACK = compiled(r"""
    ^(?:(?:no|nope|sorry|actually|oh|wait|uh|um|just|please|correction|my bad|we are|i am) )*(?:kidding|joking|
    not true|false alarm|never (?:had|did)(?: (?:1|one|it))?|(?:not|none) (?:fitted|installed)|
    no <?failure|(?:it|they|that) (?:has|have|did|is|are) not(?: fail\w*)?|
    all (?:is )?(?:well|good|fine))(?: (?:about|that|it|this|what|i|said|my|our|last|report|call|transmission|all|
    please|sorry))*$""")
"""A clause that takes back the report just before it."""
_IDLE = re.compile(r"(?:no|sorry|correction|wait|oh|actually|uh|um|please)")


def is_it(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What is said of "it" after a contrast holds of what was named last: "the AI seems fine but it is dead"."""
    for before, clause in pairwise(clauses):
        if before.names and not clause.names and before.verdicts[-1] is None and _I_THINK_IT.match(clause.text):
            before.verdicts[-1] = "failed"
    _is_it_which(clauses)
    _none_is_believed(clauses, earlier)
    if not clauses or not earlier or clauses[0].names or not _IT.match(clauses[0].text) or (
            _TAKEN_BACK.match(clauses[0].text) or _is_over(clauses[0].text)):
        return
    told = next((clause for clause in reversed(earlier) if clause.names), None)
    states = clauses[0].states
    wrong = bool(states) and states[0][2] == "failed"
    if told is not None and wrong and told.verdicts[-1] in (None, "works"):
        told.verdicts[-1] = "failed"


def _failed_last(clause: Clause) -> bool:
    return bool(clause.states) and clause.states[-1][2] == "failed"


def _is_it_which(clauses: Sequence[Clause]) -> None:
    """What is said of "it" in the same sentence holds of what was named last: "the AI was fine, well it's not now"."""
    for at, clause in enumerate(clauses):
        told = next((each for each in reversed(clauses[:at]) if each.names), None)
        if told and not clause.names and _NO_EFFECT.match(clause.text) and _TRIED.search(told.text):
            told.verdicts[-1] = "failed"
        if clause.names or not _IT_WHICH.match(clause.text) or not _failed_last(clause):
            continue
        good = told is not None and told.book.working.search(told.text)
        anew = ("supposed",) if good or " again" in clause.text else ()
        if told is None or told.verdicts[-1] not in (None, "works", *anew) or told.names[-1][2] in told.book.says_so:
            continue
        if not (_NOT_SO_NOW.match(clause.text) and "failed" in [state for *_, state in told.states]):
            told.verdicts[-1] = "failed"


def _none_is_believed(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """The two (or as many as are said) that were named last are suspect where none of them is trusted."""
    for at, clause in enumerate(clauses):
        none = None if clause.names else _BELIEVE_NONE.match(clause.text)
        if none is None:
            continue
        named = [(each, which) for each in reversed([*earlier, *clauses[:at]])
                 for which in reversed(range(len(each.names)))]
        for each, which in named[:int(none["how"] or 2)]:
            if each.verdicts[which] != "supposed":
                each.verdicts[which] = "failed"


def _is_over(clause: str) -> bool:
    return bool(_OVER.match(clause) or _NOW_WELL.match(clause))


def is_over(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What was wrong is not any more, where it is said to be back: "had a rough engine but it is smooth again"."""
    for at, clause in enumerate(clauses):
        before = [*earlier, *clauses[:at]]
        if not any("failed" in each.verdicts for each in before):
            continue
        gone = _GONE.match(clause.text) is not None
        told = next((each for each in reversed(before) if "failed" in each.verdicts), None)
        if _NOT_SO_NOW.match(clause.text):
            if told is not None and "failed" in [state for *_, state in told.states]:
                told.verdicts = ["works"] * len(told.verdicts)
            continue
        gone = gone or _CAME_GOOD.match(clause.text) is not None or (
            told is not None and _WAS_BLOCKED.search(told.text) is not None and _THAWED.match(clause.text) is not None)
        over = gone or _is_over(clause.text)
        if "failed" in clause.verdicts or not over:
            continue
        nope = any(each.text in _SECOND_THOUGHT for each in before[-2:])
        nope = nope or any(_MENDED.search(each.text) for each in before)
        well = _NOW_WELL.match(clause.text) and told is before[-1]
        once = told is not None and (_HAD.search(told.text) or (
            _LIT.search(told.text) and not any(_LIT.search(each.text) for each in clauses[at + 1:])))
        if told is not None and (nope or gone or well or once):
            told.verdicts = ["works"] * len(told.verdicts)
            for one, other in pairwise(reversed(before[:before.index(told) + 1])):
                if not (one.joined_by_and and other.bare):
                    break
                other.verdicts = ["works"] * len(other.verdicts)


def is_let_go(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What only seemed wrong, was somebody else's, or was put right before is not reported."""
    every = [*earlier, *clauses]
    introduced = False
    for at in range(len(earlier), len(every)):
        text = every[at].text
        if introduced:
            every[at].verdicts = ["supposed" if verdict == "failed" else verdict for verdict in every[at].verdicts]
        introduced = introduced or _INTRODUCES.match(text) is not None
        ours_too = _OURS_TOO.match(text) is not None
        told = next((each for each in reversed(every[:at]) if each.names), None)
        if told is None:
            continue
        if ours_too:
            if told.verdicts[-1] == "supposed":
                told.verdicts[-1] = "failed"
            continue
        if _BUT_NOT.match(text) and told.verdicts[-1] == "supposed" and told.book.working.search(told.text):
            told.verdicts[-1] = "failed"
            continue
        if "failed" not in told.verdicts or (told.names[-1][2] in [name for *_, name in every[at].names]):
            continue
        behind = _THANKED.match(told.text) and _SAFE.match(text)
        seemed = _SEEMED.search(told.text) and _TURNED_OUT.match(text)
        renewed = not every[at].names and _ONCE_SO.search(told.text) and _SINCE_RENEWED.match(text)
        if _NOT_OURS.match(text) or _AS_EVER.match(text) or behind or seemed or renewed:
            told.verdicts = ["supposed" if verdict == "failed" else verdict for verdict in told.verdicts]


def _takes_back(clause: str) -> bool:
    return drops_plainly(clause) or _TAKEN_BACK.match(clause) is not None


def is_taken_back(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What was reported just before is not, where it is taken back: "vacuum pump failed, disregard"."""
    every = [*earlier, *clauses]
    for at in range(len(every) - len(clauses), len(every)):
        if at == 0 or every[at].names or not _takes_back(every[at].text):
            continue
        for told in reversed(every[:at]):
            if told.names:
                told.verdicts = ["works" if verdict == "failed" else verdict for verdict in told.verdicts]
            if not (_takes_back(told.text) or _IDLE.fullmatch(told.text)):
                break
