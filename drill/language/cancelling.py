"""Whether the caller cancels IFR now, and does not merely talk of it.

A present request or statement does ("cancel IFR", "we'd like to cancel our instrument clearance"). What is put off,
conditional, denied, asked or only reported does not ("we will cancel on the ground", "do you want us to cancel?").
Texts are as in `clauses`.
"""

from __future__ import annotations

import re

from drill.language.clauses import sentences
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought

_CANCELS = compiled(r"""
    \b(?:scrap|scrub|ditch|bin|bail out of|cancel(?:l?ing|s)?|clos(?:e|ing)|terminat(?:e|ing)|
    drop(?:ping)?) (?:(?:out|off|my|our|the|this|that) )*(?:ifr|
    instrument (?:flight|clearance|plan|rules))\b(?! (?:approach|arrival|departure|reservation|minimums))|
    \b(?:go|going|proceed(?:ing)?) vfr and cancel(?:l?ing)?$""")
_SPELT = re.compile(r"\bi ?\.? ?f ?\.? ?r(?: \.(?= ))?(?= |$)")
_FILLER = re.compile(r"^(?:(?:uh|um|er|and|so|ok|okay|well|also|please|but) )+")
_LATER = (laid_out(r"""
    (?:if|when|whenever|once(?! (?:again|more))|unless|until|till|before|after|in case|as soon as|
    should (?:we|i|it|the))\b"""))
_PUT_OFF = re.compile(rf"\b{_LATER}")
_PUTS_OFF = re.compile(rf"^(?:(?:but |and |just )*(?:not|only) )?{_LATER}")
_DENIED = compiled(r"""
    \b(?:not|never|no|nor|without|unable|instead of|rather than|avoid\w*|refus\w*|against|disregard|ignore|
    stand(?:ing)? ?by(?: to| for)?|may|might|could|can|should|would(?! (?:like|love|prefer|appreciate|rather))|
    able to|about to|ready to|prepared to|plan\w*|intend\w*|expect\w*|hop(?:e|es|ing)|consider\w*|think\w*|
    wonder\w*|talk\w*|discuss\w*|mention\w*|ask(?:s|ed|ing)?|t(?:ell|old)|sa(?:id|ys|ying)|wants|suggest\w*|
    advise[ds]?|later|(?:want|like|need|expect|let) (?:me|us|you|him|her|them))\b""")
_FUTURE = re.compile(r"\b(?:will|shall|going to)\b")
_NOW = re.compile(r"\b(?:now|at this time|at this point|this time|right away|immediately|here)\b")
_REQUEST = re.compile(r"\b(?:can|could|would|will) you (?:please )?(?:just )?$")
_QUESTION = compiled(r"""
    ^(?:do|does|did|are|is|was|should|shall|can|could|may|must|why|what|how|where|which|have|has|confirm|verify|
    understand|say again)\b|\?$""")
_NOT_YET = re.compile(
    rf"\b{_LATER}|\b(?:on (?:the ground|landing|arrival|final|short final)|at (?:the )?(?:field|airport|<place>)|"
    rf"(?:in|within) (?:\d+|a|a few|some) (?:more )?(?:minutes?|miles?)|later|shortly|soon|\d+ miles out)\b|"
    r"^(?: (?:clearance|flight|plan|rules))* (?:is|was|would|will|may|might|could|sounds|seems|now is|right now is)\b")
_TAKEN_BACK = compiled(r"""
    ^(?:disregard|never ?mind|scratch that|belay that|forget (?:that|it)|strike that|(?:no )?cancel that)\b""")
_MAY_CANCEL = Sought(r"scrap|scrub|ditch|bin|bail|cancel|clos|terminat|drop")


def cancels_ifr(text: str, *, as_order: bool = False) -> bool:
    """Whether `text` cancels IFR at this moment.

    `as_order`: it is said to the cockpit, where "we will cancel IFR" is done as it is said; on the radio it is a plan.
    """
    if _MAY_CANCEL.search(text) is None:
        return False
    later = False
    for sentence in reversed([*sentences(_SPELT.sub("ifr", text))]):
        parts = [_FILLER.sub("", part) for part in sentence]
        for at in reversed(range(len(parts))):
            if _TAKEN_BACK.match(parts[at]):
                later = True
            if later:
                continue
            around = (parts[at - 1] if at else "", parts[at + 1] if at + 1 < len(parts) else "")
            if any(_PUTS_OFF.match(each) for each in around):
                continue
            if any(_cancels(parts[at], match, as_order) for match in _CANCELS.finditer(parts[at])):
                return True
    return False


def _cancels(clause: str, match: re.Match[str], as_order: bool) -> bool:
    before, after = clause[:match.start()], clause[match.end():]
    if _NOT_YET.search(after):
        return False
    if _REQUEST.search(before):
        return True
    if _QUESTION.search(clause) or _PUT_OFF.search(before) or _DENIED.search(before):
        return False
    return as_order or _FUTURE.search(before) is None or _NOW.search(clause) is not None
