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
    ^(?!back$)(?:(?:it|they|that) )?(?:(?:has|have|is|are|now|since|just|all) )*(?:recovered|works|working|back|
    righted itself|come back|erected|reset)(?: (?:itself|again|now|fine|ok|okay|normally|up|online|on|line|
    to normal|properly))*$""")
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
    ^(?:came|come) back\b""")
_GONE = compiled(r"""
    ^(?:the |its |that )?(?:flag|light|warning|caution)s? (?:is |are |has |have |just )*(?:gone|out now|cleared|
    went (?:out|away)|off again)\b""")
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
_TAKEN_BACK = compiled(r"""
    ^(?:(?:no|nope|sorry|actually|oh|wait|uh|um|just|please|correction|my bad|we are|i am) )*(?:kidding|joking|
    not true|false alarm|no <?failure|(?:it|they|that) (?:has|have|did|is|are) not(?: fail\w*)?|
    all (?:is )?(?:well|good|fine))(?: (?:about|that|it|this|what|i|said|my|our|last|report|call|transmission|all|
    please|sorry))*$""")
"""A clause that takes back the report just before it."""
_IDLE = re.compile(r"(?:no|sorry|correction|wait|oh|actually|uh|um|please)")


def is_it(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What is said of "it" after a contrast holds of what was named last: "the AI seems fine but it is dead"."""
    for before, clause in pairwise(clauses):
        if before.names and not clause.names and before.verdicts[-1] is None and _I_THINK_IT.match(clause.text):
            before.verdicts[-1] = "failed"
    if not clauses or not earlier or clauses[0].names or not _IT.match(clauses[0].text) or (
            _TAKEN_BACK.match(clauses[0].text) or _is_over(clauses[0].text)):
        return
    told = next((clause for clause in reversed(earlier) if clause.names), None)
    states = clauses[0].states
    wrong = bool(states) and states[0][2] == "failed"
    if told is not None and wrong and told.verdicts[-1] in (None, "works"):
        told.verdicts[-1] = "failed"


def _is_over(clause: str) -> bool:
    return bool(_OVER.match(clause) or _NOW_WELL.match(clause))


def is_over(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """What was wrong is not any more, where it is said to be back: "had a rough engine but it is smooth again"."""
    for at, clause in enumerate(clauses):
        before = [*earlier, *clauses[:at]]
        if not any("failed" in each.verdicts for each in before):
            continue
        gone = _GONE.match(clause.text) is not None
        over = gone or _is_over(clause.text)
        if "failed" in clause.verdicts or not over:
            continue
        told = next((each for each in reversed(before) if "failed" in each.verdicts), None)
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
