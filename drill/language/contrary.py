"""What a line orders and takes out at once ("autopilot on and leave it off"), or leaves open ("the AI or the DG")."""

from __future__ import annotations

import re
from itertools import pairwise

from drill.language.patterns import compiled

_CONTRARY = compiled(r"""
    ^do something\b|(?<!not )\bclimb(?:ing)?\b(?: or| and)+ descend|\bdescend\b(?: or| and)+ climb|
    \bleft (?:and|or) right\b|\bright (?:and|or) left\b|\bon (?:, )?(?:and|or) off\b|<\w+> on off$|
    <(\w+)> on <\1> off\b|
    \boff (?:,)?(?:and|or) on\b|
    \b(?:open|on) (?:[,.] )*(?:and|or) (?:shut|closed?|off)\b|\bon , off , whatever\b|
    \bon but (?:also )?(?:disconnect|disengage|switch|turn)\w* (?:it|that|off)\b|\b(?:you choose|your choice|
    whichever you)\b|\bopen (?:and|or) closed?\b|
    \bup and down\b|^(?!.*(?:<vertical_speed_indicator>|\b(?:not|no|nothing|going)\b)).*\bup or down\b|
    \bfaster and slower\b|\bspeed up and slow\b|\bcover and uncover\b|
    , (?:i|we) (?:do not know|can not decide)(?: which(?: one| 1)?)?$|
    (?:^|, )(?:climb , descend|descend , climb|left , right|right , left)(?: ,|$)|
    \b(?:oh|god|help|hell|christ),? (?:i|we) do not know$|\b\d{2,5} or \d{2,5}\b|
    \b(?:on|open) but .*\b(?:off|closed)$|\b(?:climb|descend)\b.*\band (?:stay|remain|keep|hold) (?:down|
    up) at\b|
    \bon\b.* (?:keep|leav)(?:e|ing)? (?:it|them|that) off\b|
    \boff\b.* (?:keep|leav)(?:e|ing)? (?:it|her|them|that) on\b|
    (?P<same><\w+>) off\b.* (?:keep|leav)(?:e|ing)? (?:the )?(?P=same) on\b|
    \b(?:shut|close|closed|stop)\b.* (?:keep|leav)(?:e|ing)? (?:it|her|them) (?:open|running|going)\b|
    \bopen\b.* (?:keep|leav)(?:e|ing)? (?:it|them) (?:shut|closed)\b|
    \b(?:cover|hide|mask|put|stick)\b.* (?:keep|leav)(?:e|ing)? (?:it|them) (?:uncovered|unmasked|open|visible|
    in view)\b|
    \b(?:uncover|off)\b.* (?:keep|leav)(?:e|ing)? (?:it|them|the (?:cover|paper|tape)) (?:on|covered)$|
    \bwings? level\b.*\bkeep\w* (?:\w+ ){0,3}(?:bank|turn)\b|
    \bpartial <?panel>?.*\b(?:while|but|and)\b.*\bfull <?panel|\b(?:partial|full) <panel> or (?:partial|full)\b|
    \bdivert\b.*\b(?:while|and|but)(?: also)? (?:continu|keep(?:ing)? (?:on|going)|press)|
    \b(?P<doing>\w{4,}) .*\bwithout (?P=doing)ing\b|
    \btake ?off and (?:keep|continue) (?:taking off|rolling)|\btaxi\w* and (?:keep|continue) (?:taxi|rolling)|
    \bengage\b.*\bdisengage\b.*\b(?:same|once)\b""")
_UNDECIDED = compiled(r"""
    \b(?:either|possibly|maybe(?! (?:just )?(?:wait|look|check|peek|glance|sit)| ,)|
    perhaps(?! (?:just )?(?:wait|look|check))|not sure (?:if|whether)|should i|shall i|will i|
    (?<!see )(?<!check )(?<!verify )(?<!look )(?<!tell )(?<!determine )whether)\b|
    \?(?!(?: ,)? (?:is|are|does|do) (?:it|they|that) \w+ or \w+$).*\bor\b|\bone of them$|
    \b\d{2,5}(?: \w+)?(?: ,)? or (?:heading |to |fly |else )?\d{2,5}\b|
    \b(?P<done>cover|uncover|divert|land|run|switch) (?:(?:the|my|to|at) )*<?\w+>? or (?P=done)\b|
    \b(?:toss a coin|heads or tails|you (?:pick|choose|decide)|take your pick|pick (?:1|one)$|one or the other|
    1 or the other|
    \bor\b.* up to you|can ?not make up my mind|whichever(?! (?:side|way|direction)))\b|
    , (?:one|1) of (?:them|those|these)\b|\bor\b.* as you (?:like|please|wish|prefer)$|
    \bor (?:just )?(?:back|take|maybe|should|else|land|continue|divert|return|press|turn|climb|descend|go|hold|
    carry|head|press|keep|stay|wait|abort|left|right|<\w+> off|to <place>|<place>)\b""")


def excludes_itself(text: str) -> bool:
    """Whether the text of a line, its names marked, orders what cannot be done together."""
    return _CONTRARY.search(text) is not None


def undecided(text: str) -> bool:
    """Whether the text of a line leaves open what is to be done, or whether anything is."""
    return _UNDECIDED.search(text) is not None


_SIMULTANEOUS = compiled(r"""
    \bsimultaneously\b|\bsame (?:time|<clock>|<moment>)\b|
    (?:,|\band\b) .*\b(?:\d{2,5}|on|off|open|shut|closed?|in|out|up|down|hot|cold|lit|dark|level|full|partial|
    climb\w*|descend\w*|slow\w*|fast\w*|quick\w*|accelerat\w*|speed\w*|bank|turn|disconnect\w*|disengag\w*|uncover\w*)
    \b.*\b(?:both|at once|together)(?: at once| together| now| right now| please)*(?: [,.]|$)""")
"""Words by which all of a line is wanted at once; one order of it was read, so another excludes it."""
_WHILE: dict[str, re.Pattern[str]] = {
    "altitude": re.compile(r"\bwhile (?:also |still )?(?:climbing|descending)\b|"
                           r"\bwhile (?:also |still )?(?:holding|staying|maintaining|keeping)(?: at)?"
                           r"(?: (?:this|the|exact|exactly|my|present))*(?: (?:altitude|height|level|it|\d{4,5})\b|$)|"
                           r"\b(?:hold|keep|maintain) this (?:altitude|height|level) while you do\b"),
    "airspeed": re.compile(r"\bwhile (?:slowing|speeding|accelerating|decelerating)\b"),
    "turn": re.compile(r"\b(?:left\b.* while \w+ing right|right\b.* while \w+ing left)\b"),
    "switch": re.compile(r"\bwhile (?:switching|turning|leaving|keeping)\b.* (?:on|off|open|closed)\b"),
    "decide": re.compile(r"\bwhile (?:continuing|landing|diverting)\b"),
    "level_wings": re.compile(r"\bwhile (?:turning|banking|rolling)\b"),
}
"""What is to be done meanwhile excludes what was read."""
EXCLUSIVE = (*_WHILE, "squawk", "align", "uncover", "fly_by")


def excludes_all_at_once(text: str, kind: str) -> bool:
    """Whether the text of a line wants, with the one action of `kind` that it was read as, at the same time another."""
    meanwhile = _WHILE.get(kind)
    return kind in EXCLUSIVE and (
        _SIMULTANEOUS.search(text) is not None or (meanwhile is not None and meanwhile.search(text) is not None))


_AT_ONCE = re.compile(r"\b(?:while|both|together|simultaneously|at once|at the same time|in the same moment)\b|"
                      r"\bat the <moment>")
_FIGURE = re.compile(r"(?<![\d.])\d{2,5}(?:\.\d+)?(?![\d.])")
MOST_TIMES = 3
"""Two figures that are further apart are not of the same thing: "hold 3000 while I count to 60"."""


def figures_at_once(text: str) -> bool:
    """Whether the text of a line wants two figures of one thing at once: "80 knots while doing 120"."""
    figures = sorted(set(map(float, _FIGURE.findall(text))))
    return _AT_ONCE.search(text) is not None and any(other <= one * MOST_TIMES for one, other in pairwise(figures))
