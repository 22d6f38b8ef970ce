"""Of parts that disagree, the one that the caller blames, and the one that is believed.

Texts and clauses are as in `states`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.patterns import compiled
from drill.language.sought import Sought
from drill.language.states import Clause

DIFFER = Sought(r"\b(?:disagree\w*|not agree|differs?|fighting each other|at odds|arguing|squabbling|at loggerheads)\b|"
                r"\bshows? .*\bbut\b.*\b(?:do|does) not (?:move|turn|agree|show)\b")
"""Of two that disagree the one that is called right is not suspect."""
UNDECIDED = Sought(r"\b(?:which|neither|no clue|no idea|do not know|can not (?:tell|say)|or maybe|or perhaps|"
                   r"not sure)\b")
BELIEVED = re.compile(r"(?:(?:i|we) )?(?:(?:am|are) )?(?:believe|trust|going with|go with|siding with)"
                       r" (?:the |my |our )?<\w+>|(?:the |my |our )?<\w+> (?:i|we) (?:trust|believe)")
_BLAMES = compiled(r"""
    ^(?:i |we )?(?:suspect|blame|think it is|believe it is|reckon it is|it is probably|probably|most likely|
    my money is on|it is|it must be)(?: the| my| our)? <\w+>(?: that is (?:wrong|lying|off|bad|out))?$|
    ^(?:(?:so|then|i am|we are|i will|we will|i would|we would) )*(?:cross(?:ing)?|writ(?:e|ing)|strik(?:e|ing)|
    count(?:ing)?) (?:out|off)(?: the| my| our)? <\w+>$|
    ^(?:(?:so|then|the|my|our) )*<\w+> is (?:bad|wrong|lying|off|out|dead|the bad (?:1|one)|the liar|no good)$""")
_SURE = compiled(r"""
    ^(?:(?:i|we) (?:am|are) )?(?:pretty sure|fairly sure|quite sure|sure|(?:i|we) (?:think|reckon|guess|bet))(?: that)
    ?(?: the| my| our)? <\w+>""")
"""Who is sure of a part may blame it or praise it: what follows tells."""


def blamed_in(clauses: Sequence[Clause]) -> set[str]:
    """Return what the caller suspects of those that disagree: "compass and DG do not agree, suspect the DG"."""
    return {name for clause in clauses if _blames(clause) for _, _, name in clause.names}


def _blames(clause: Clause) -> bool:
    if _BLAMES.match(clause.text):
        return True
    sure = _SURE.match(clause.text)
    return sure is not None and (sure.end() == len(clause.text) or "failed" in [state for _, _, state in clause.states])
