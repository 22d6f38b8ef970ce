"""What an order's words only tell: what somebody has done ("I left the pitot heat off"), or how a light shows.

What is told is not done again.
"""

from __future__ import annotations

import re

from drill.language.leftovers import has_shape_of_order
from drill.language.orders import without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.sought import sought

_LED = r"^(?:(?:yes|no|yeah|ok|okay|so|and|well|but|oh|sorry|sir|also|then|because|since|wait|hm+|,|" \
       r"(?:the )?last (?:time|<clock>|week|month|flight)|yesterday|earlier|previously|before|once|a \w+ ago) )*"
_WHO = laid_out(r"""
    (?:i|we|he|she|they|somebody|someone|nobody|no 1|atc|approach|(?:the|my|our) (?!<)\w+)""")
_ADVERBS = laid_out(r"""
    (?:just|already|accidentally|mistakenly|inadvertently|only|also|must|should|could|may|might|would|will|never|
    probably|apparently|earlier|then|both|all|now|recently|nearly|almost|not|did|do|even|stupidly|foolishly)""")
_DONE = laid_out(r"""
    (?:turned|switched|left|put|pulled|pushed|covered|uncovered|hid|hidden|squawked|descended|climbed|tuned|opened|
    closed|flipped|bumped|knocked|forgot|forgotten|meant|flew|flown|levell?ed|used|trusted|aligned|dropped|raised|
    lowered|slowed|diverted|landed|declared|cancell?ed|reset|went|gone|came|started|stopped|
    killed|engaged|disengaged|disconnected|selected|checked|looked|compared|saw|did|done|made|took|taken|
    got|held|kept|maintained|banked|rolled|pitched|added|reduced|tried|wanted|began|begun|had|was|were|been|lost|hit|
    set|cut|shut|flagged|tripped|popped|tapped|started|resumed|failed|noticed|thought|ran|sent|moved|touched|
    removed)""")
_HAS = r"(?:have|has)"
_PAST = re.compile(
    rf"{_LED}(?:(?:{_WHO} )?{_HAS}(?: {_ADVERBS})* (?!(?:had|got|to|set|hit|lost)\b){_DONE}\b|"
    rf"{_WHO}(?: {_ADVERBS})* (?!(?:set|cut|shut|hit|got)\b){_DONE}\b(?! better\b)|"
    rf"(?:{_WHO} (?:just|already|accidentally|mistakenly|inadvertently|only just)|"
    rf"(?:{_WHO} )?(?:already|accidentally|mistakenly|inadvertently)) {_DONE}\b)")
_FORGOT = re.compile(
    rf"{_LED}(?:{_WHO} )?(?:forgot|forgotten|meant|tried|wanted|neglected|should have|"
    r"could have|would have|ought to have|used) (?:to )?\w+|"
    rf"{_LED}{_WHO} (?:was|were) (?:supposed|going|about) to\b")
_TO_ONESELF = re.compile(
    rf"{_LED}(?:now |maybe |perhaps )*i (?:(?:really|probably|just|know i|think i|guess i|suppose i|also|now) )*"
    r"(?:should|ought to|am (?:supposed|meant) to)\b(?! (?:like|love|prefer|appreciate|say|think|imagine|guess)\b)")
"""What one is bound to do, said to oneself: "I should turn left". "We should" is said to a crew, and ordered."""
_NOT_YET = compiled(rf"""
    {_LED}(?:(?:i|we) (?:might|may)\b|(?:(?:i|we) (?:am|are) |getting |get |be )?(?:about|ready|prepare|prepared|
    preparing|
    expect|expecting) to\b|(?:before(?! (?:any|every|all\b|doing|(?:it|this|that|things?) gets?))|while|
    whilst|during|prior to|ahead of) (?:(?:the|my|our|we|i|you) )?\w+)""")
"""What may come, or is only named as the time of something else: "before descending, ..."."""
_STANDS = compiled(r"""
    ^(?:(?:and|but|so|ok|okay|now|because|since|the|my|our|that|assigned|present|current|indicated) )*(?:<(?!place|
    fix)\w+>|heading|altitude|speed|airspeed|power|rpm|nose|flaps?|frequency|throttle|pitch|wings?|
    bank)(?: (?:now|still|indicator|setting))? (?:is|are|was|were|shows?|showing|says?|reads?|reading|indicat\w+|
    dropping|dropped|increasing|decreasing|rising|falling)\b(?! (?:to be|going|coming|my)\b)|
    ^(?:(?:and|but|so|ok|okay|now) )*(?:we|i) (?:are|am) (?:now |still |just )?(?:in|at|
    on (?:a |the )?(?:heading|course|\d)|doing|level|straight|established|over|above|below|through|passing|
    leaving)\b(?! (?:it|our way)\b)|
    ^(?:(?:and|but|so|ok|okay|now) )*(?:we|i) are (?:(?:now|still|slowly|rapidly) )*(?:climbing|descending|sinking|
    speeding up|slowing down|accelerating|banking|rolling|turning)(?: (?:left|right|fast|rapidly|slowly|a bit|
    again|now))*(?= ,|$)|
    ^(?:(?:a|the|any) )?(?:(?:descend|climb|turn|bank)\w*|
    descent)(?: left| right)? (?:is|
    was|would be|will be|has|had|seems|looks)\b|^(?:(?:we|i) (?:are|am) )?(?:(?:now|just|still) )?(?:passing|leaving|
    (?:climb|descend)ing (?:through|past|out of))\b(?! \S+ (?:for|to) )""")
"""How a clause begins that tells how the airplane or an instrument stands: "heading is 240", "the AI shows a climb"."""
_RELAYED = compiled(r"""
    ^(?:(?:and|but|so|ok|okay|now) )*(?:atc|(?:the )?(?:approach|center|centre|tower|ground|departure|
    controller)) (?:(?:just|has|had|is|was) )*(?:said|says|told|tells|wants?|wanted|asked|asks|cleared|gave|gives|
    saying|telling)\b""")
"""What ATC said is no order of the pilot's yet."""
_BARE_PAST = compiled(r"""
    ^(?:turned|switched|covered|uncovered|squawked|descended|climbed|pulled|pushed|tuned|aligned|levell?ed|opened|
    killed|engaged|disengaged|banked|rolled|slowed|reduced|added|diverted|landed|declared|flew|dropped|
    raised)(?: (?:off|on|up|down|to|the|my|our|it|left|right|back|through|past)| \d| <)""")
_LIGHT = sought(r"""
    <\w+>(?: \w+)? (?:status |power )?(?:light|lamp|annunciator|caption|message)s?(?: (?:is|are|has|just|came|comes|
    coming|went|going|still|stays|now))* (?:on|off|out|lit|up|in view|in sight|illuminated|flashing|blinking|steady|
    green|red|amber|white)\b|<\w+> (?:on|off|fail|failure|inop|low) (?:light|lamp|annunciator|caption|message)\b""")
_WARNS = re.compile(r"<(?:alternator|vacuum_system|suction_gauge|battery|electrical_system|engine|gyros|master)>")


def light_shows(text: str) -> bool:
    """Whether a text only tells how the light of a part shows that no failure lights up ("pitot heat light on")."""
    return _LIGHT.search(text) is not None and _WARNS.search(text) is None


_NO_ACT = re.compile(r"(?:(?:and|i|we) )*(?:need|want|have|has|had|got|lost|is|are|was|in|on|at|with|still|no)\b")


def tells(text: str) -> bool:
    """Whether an order's text tells what was done, or was to be done, or how a light shows."""
    plain = without_opening(text)
    if any(_STANDS.match(each) for each in (text, plain)) and " so " not in text and not any(
            has_shape_of_order(part) and not _NO_ACT.match(part) for part in text.split(" , ")[1:]):
        return True
    return any(pattern.match(each) for each in (text, plain)
               for pattern in (_PAST, _FORGOT, _TO_ONESELF, _BARE_PAST, _NOT_YET, _RELAYED)) or (
        _LIGHT.search(plain) is not None)
