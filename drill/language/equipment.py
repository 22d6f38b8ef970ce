"""What is said to have failed, and what is said to work.

A line is cut into sentences and clauses. In a clause each named piece of equipment takes the nearest word that says
how it is: the one after it, else the one before it. A bare list ("altimeter, airspeed and vertical speed all
suspect", "lost the AI and DG") shares the word of its neighbour.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal, TypeAlias

from drill.language import hearsay, predicates
from drill.language.lexicon import Lexicon, name_of
from drill.language.meaning import EQUIPMENT
from drill.language.patterns import compiled
from drill.language.words import Token, joined, split_at, word_set

State: TypeAlias = Literal["failed", "works", "supposed"]

_SENTENCE = frozenset({".", "?", "but", "while", "although", "though", "however", "whereas", "so", "because",
                       "<callsign>", "<other callsign>", "<facility>", "<other unit>"})
_CLAUSE = frozenset({",", "and", "or", "plus", "since", "as"})
_JOINING = (("as", "well", "as"), ("followed", "by"), ("along", "with"), ("together", "with"))
_BEGINS_JOINT = frozenset({"so", *(words[0] for words in _JOINING)})
_SO_IS = frozenset({"is", "does", "has", "did", "are", "have", "goes"})
_FILLER = word_set(
    """a an the my our your this that both also too well now just uh um like it is was in fact even all of 1 2 number
    we think i guess plus with same probably likely perhaps must be then first next possibly maybe simply informing
    inform you advising advised fyi reporting telling afraid sorry so say actually currently presently""")
_NEGATED = compiled(r"""
    (?:\b(?:not|never|nothing|no|nor)(?: (?:has|have|is|yet|actually|really|at|all|completely|a|any))*|free of) $""")
_DENIED = re.compile(r"\b(?:not|never|no longer|hardly|barely)(?: \w+)? $")
_NEITHER = re.compile(r"\b(?:neither|nor)\b")
_SECOND_THOUGHT = frozenset({"nope", "no", "wait", "actually", "oh", "ah", "hold on", "hang on"})
_AMISS = re.compile(r"\b(?:wrong|lying|bad|failed|off|out|suspect|not agree|disagree\w*|which|different)\b")
_NOT_THIS = re.compile(r"\bnot (?:the |my |our |a |with the )?$")
_CONTINUES = compiled(r"""
    ^(?:has|have|is|are|was|were|it|they|both|which|that|just|seems?|not|all|completely|shows?|reads?|says|looks?|
    no|keeps|must|appears?|failed|dead|gone|inop|out|will|would|can|could|do|does|did|won|sits?|stays?|stayed|
    refuses?|never)\b""")
_RIGHT = re.compile(r"\b(?:correct|right|accurate|true|the good (?:1|one)|which is (?:fine|good|ok|okay))\b")
_ONE_OF = compiled(r"""
    \b(?:1|either|one)(?: or the other)? (?:of (?:them|the 2|those|these|the two|my \w+|our \w+)|is|has)\b|
    \bwhich (?:1|one|of)\b|\bdo not know which\b|\bnot sure which\b|\bdo not agree\b|\bdisagree""")


LONGEST_TALK = 14
"""Words of a clause that names nothing and may still say how what was named before is."""
LONGEST_CLAUSE = 20
"""Words; a longer clause without any joint is cut, so that no text takes long."""
_BESIDE = ("on ", "off ", "with ")
_COMPARED = compiled(r"""
    \b(?:(?<!along )(?<!together )with|against|by|from|off|per|to|versus|charging|than|like|
    using)(?: the| my| our| a)? $""")
_REQUESTS = compiled(r"""
    \b(?:request\w*|req|give (?:me|us)|like|want|need|get|do|accept|take|expect)(?: an?| us| me)? $""")
_WHICH_SIDE = re.compile(r"\b(?:on|from|off) (?:the |our |my )?(?:left|right|number \d|good|other) $")
"""What follows tells where: "the pump on the left engine"."""
_AS_SERVICE = re.compile(r" (?:\w+ )?(?:vectors?|vectoring|approach\w*|turns?|steers?|headings?|par|asr|sra|"
                         r"surveillance|precision|radar|"
                         r"help|service|handling|recovery|let ?down|stuff|thing|business|deals?)\b")
_EXCEPT = ("except", "apart")
_OWN_WORD = (*_EXCEPT, "neither", "nor", "no ", "without", "negative")
_TOO = compiled(r"""
    \b(?:too|also|as well|both|even|now|then|next|possibly|maybe|probably|likely|perhaps)\b|\bwith it$""")
_RELATION = re.compile(r"\b(?:agree|match|disagree|differ|line up|consistent)\w*\b")


@dataclass(slots=True)
class _Clause:
    text: str
    book: Lexicon
    words: int
    names: list[tuple[int, int, str]] = field(default_factory=list)
    found: list[tuple[int, int, State]] | None = None
    falls: set[tuple[int, int]] = field(default_factory=set)   # of these, low or falling readings
    verdicts: list[State | None] = field(default_factory=list)
    joined_by_and: bool = False
    bare: bool = False

    @property
    def states(self) -> list[tuple[int, int, State]]:
        """The words that say how something is; sought only when asked for, as most clauses name nothing."""
        if self.found is None:
            nothing = not self.names and self.words > LONGEST_TALK
            self.found = [] if nothing else _states(self.text, self.names, self.book, self.falls)
        return self.found


def equipment_said(line: Sequence[Token], book: Lexicon) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return (said to have failed, said to work), each sorted, from a line whose names are marked.

    Equipment said to have failed is not also listed as working. A failure that is supposed ("if it fails"), denied,
    or simulated is in neither.
    """
    text = joined(line)
    if is_pretended(text, book) or _FOR_OTHERS.search(text):
        return (), ()
    failed: set[str] = set()
    works: set[str] = set()
    earlier: list[_Clause] = []
    for sentence in split_at(_plainly_joined(line), _SENTENCE):
        clauses = _clauses(sentence, book)
        _share(clauses, earlier[-1:])
        _one_is_wrong(clauses, earlier)
        _is_over(clauses, earlier)
        _is_it(clauses, earlier)
        earlier += clauses
    for clause in earlier:
        for (start, _, name), verdict in zip(clause.names, clause.verdicts, strict=True):
            if name == "gyros" and clause.text[:start].endswith("1 ") and _ONE_GYRO.search(text):
                continue   # "just the one gyro lost, the directional"
            if verdict == "failed":
                failed.update(book.equipment(name))
            elif verdict == "works":
                works.update(book.equipment(name))
                if _BACK.search(clause.text) or _DIFFER.search(text):
                    failed.difference_update(book.equipment(name))
    known = set(EQUIPMENT)
    return tuple(sorted(failed & known)), tuple(sorted((works - failed) & known))


_BACK = re.compile(r"\b(?:is|are|came|come|has come) back\b|\bworking again\b")
_DIFFER = re.compile(r"\b(?:disagree\w*|not agree|differ\w*)\b")
"""Of two that disagree the one that is called right is not suspect."""
_ONE_GYRO = re.compile(r"<(?:heading|attitude)_indicator>")
_FOR_OTHERS = re.compile(r"\bmayday relay\b|\brelay(?:ing)?(?: a mayday)? for <other callsign>")
"""The trouble of another airplane, passed on."""
_FOR_REAL = compiled(r"""
    \b(?:(?:not|no|never)(?: \w+){0,2} (?:drill|simulat\w+|practi[cs]e|exercise|training)|for real|the real thing|
    real (?:one|failure|emergency)|actually (?:failed|lost|died|quit|gone))\b""")


def is_pretended(text: str, book: Lexicon) -> bool:
    """Whether a call speaks of practice: what fails in it is only simulated, unless it is said to be real."""
    return book.pretended.search(text) is not None and _FOR_REAL.search(text) is None


def _plainly_joined(line: Sequence[Token]) -> list[Token]:
    """Return `line` with "as well as" and its like as "and", and "so is" as "too"."""
    plain: list[Token] = []
    at = 0
    while at < len(line):
        if line[at].text not in _BEGINS_JOINT:
            plain.append(line[at])
            at += 1
            continue
        here = tuple(token.text for token in line[at:at + 3])
        joint = next((words for words in _JOINING if here[:len(words)] == words), None)
        if joint:
            plain.append(Token("and", line[at].start, line[at].end))
            at += len(joint)
        elif here[0] == "so" and len(here) > 1 and here[1] in _SO_IS:
            plain.append(Token("too", line[at].start, line[at].end))
            at += 2
        else:
            plain.append(line[at])
            at += 1
    return plain


def _clauses(sentence: Sequence[Token], book: Lexicon) -> list[_Clause]:
    found: list[_Clause] = []
    part: list[Token] = []
    joint = ""
    for token in (*sentence, Token(",", 0, 0)):
        if token.text not in _CLAUSE and len(part) < LONGEST_CLAUSE:
            part.append(token)
            continue
        if part:
            clause = _clause(part, book)
            clause.joined_by_and = joint == "and"
            found.append(clause)
            part, joint = [], ""
        if token.text not in _CLAUSE:
            part = [token]
        else:
            joint = token.text if token.text != "," or not joint else joint
    return found


def _clause(part: Sequence[Token], book: Lexicon) -> _Clause:
    text = joined(part)
    clause = _Clause(text, book, len(part))
    at = 0
    for token in part:
        if (name := name_of(token.text)) is not None:
            clause.names.append((at, at + len(token.text), name))
        at += len(token.text) + 1
    if not clause.names:
        return clause
    clause.verdicts = [_verdict(clause, at, book) for at in range(len(clause.names))]
    clause.bare = bool(clause.names) and not clause.states and all(
        token.text in _FILLER or name_of(token.text) for token in part)
    return clause


_ALL_OFF = re.compile(r"\b(?:off|out|down)\b")
_CLEARED = compiled(r"""
    \bis now (?:engaged|back|working|fine|ok|okay|normal|up)\b|\bflag (?:has |
    is )?(?:been )?(?:pulled )?out of view\b|\bsmoothed out\b|\b(?:flag|light|warning|caution)s? (?:is |are |has |
    have |just )*(?:gone(?: away| out)?|cleared|out now|went (?:out|away)(?: again)?|off again)\b|
    \b(?:has|have) (?:now |all |since )?(?:cleared|gone away|recovered|sorted itself|come back|righted itself)\b""")
_STILL_OUT = compiled(r"""
    \bif (?:i|we) (?:can not|do not) get .* back\b|\bif\b.*\b(?:does|do|will|is|are) not (?:come back|go out|go off|
    recover|reset|clear|improve|get (?:any )?better|start working|work again|return|fix itself)\b|
    \bif (?:the |my |our )?<\w+> keeps\b""")
"""A hope about what is out by now: "if the alternator does not come back"."""
_THOUGHT = compiled(r"""
    \b(?:it|this) (?:was|is) (?:only|just) an? (?:sticky|bad|stuck|loose|dud)\b|
    \b(?:do|does|did) not have (?:an?|any) <\w+> (?:problem|failure|issue|fault)s?\b|
    \b(?:only|just|was|is|nothing but)(?: only| just)? (?:a |the )?(?:bad |blown |dud )?(?:bulb|sensor fault|wiring|
    gauge line)\b|\b(?:thought|believed|figured|was sure)\b.*\b(?:was|were|had)\b""")


def _states(text: str, names: Sequence[tuple[int, int, str]], book: Lexicon,
            falls: set[tuple[int, int]]) -> list[tuple[int, int, State]]:
    if _THOUGHT.search(text) or _CLEARED.search(text):
        return [(0, len(text), "works")]
    supposed = book.unlikely.search(text) is not None and not _STILL_OUT.search(text)
    found: list[tuple[int, int, State]] = []
    for match in book.failing.finditer(text):
        if match.group() == "no " and _REQUESTS.search(text[:match.start()]):
            continue
        if match.group().startswith("not ") and text[:match.start()].endswith(("i am ", "we are ")):
            continue   # "it says we are not turning"
        if match.group().startswith(_EXCEPT):
            turned_round = any(state == "failed" for _, _, state in found) or _ALL_OFF.search(text[:match.start()])
            found.append((match.start(), match.end(), "works" if turned_round else "failed"))
            continue
        turned = _NEGATED.search(text[:match.start()]) and not match.group().startswith(("not", "no "))
        found.append((match.start(), match.end(), "supposed" if supposed else "works" if turned else "failed"))
    if any(name in book.falling_names for _, _, name in names):
        spans = {match.span() for match in book.falling.finditer(text)} - {(start, end) for start, end, _ in found}
        falls.update(spans)
        found += [(start, end, "supposed" if supposed else "failed") for start, end in sorted(spans)]
    if found and hearsay.is_denied(text):
        return [(0, len(text), "works")]
    if found and hearsay.is_not_reported(text):
        return [(0, len(text), "supposed")]
    taken = list(found)
    for match in book.working.finditer(text):
        beside = match.group().startswith(_BESIDE) and any(end <= match.start() for _, end, _ in taken)
        if not beside and not any(start < match.end() and match.start() < end for start, end, _ in taken):
            denied = _DENIED.search(text[:match.start()])
            neither = _NEITHER.search(text[:match.start()])
            found.append((match.start(), match.end(),
                          "supposed" if supposed else "failed" if denied or neither else "works"))
    return sorted(found)


def _verdict(clause: _Clause, which: int, book: Lexicon) -> State | None:
    start, end, name = clause.names[which]
    if name in book.says_so:
        later = clause.text[end:].startswith((" after", " from now"))
        return None if later or clause.text[:start].endswith((" go ", "going ")) else "failed"
    if name == "static_system" and clause.text[:start].endswith("full of "):
        return None
    if name == "magnetic_compass" and clause.text[end:].startswith(" only"):
        return "works"
    if name == "gyros" and clause.text[:start].endswith("no ") and _AS_SERVICE.match(clause.text[end:]):
        return None
    if name == "gyros" and clause.text[:start].endswith(("unable no ", "unable for no ", "decline no ")):
        return None   # the service is declined
    if name == "engine" and _WHICH_SIDE.search(clause.text[:start]):
        return None
    if _NOT_THIS.search(clause.text[:start]):
        return "works"
    if (which or _RELATION.search(clause.text[:start])) and _COMPARED.search(clause.text[:start]) and any(
        state == "failed" for at, _, state in clause.states if at < start):
        return None
    own: list[State] = []
    for at, until, state in clause.states:
        if (at, until) in clause.falls and name not in book.falling_names:
            continue
        if at < start and not clause.text[until:start].strip() and clause.text[at:until].startswith(_OWN_WORD):
            return state
        if at >= end:
            return own[-1] if own and _binds(clause, which, start) else state
        own.append(state)
    after = clause.text[end:]
    if own and which and predicates.has_own_verb(after):
        own = []   # "AI shows a left bank TC shows right": what was said before is the other's
    if not own and predicates.is_odd(after, known=name in _PARTS):
        return "failed"
    return own[-1] if own else None


_PARTS = frozenset(EQUIPMENT)


def _binds(clause: _Clause, which: int, start: int) -> bool:
    """Whether the word just before the name is its own ("no airspeed", "lost the AI"), so that a later one is not."""
    return any(state == "failed" and start - until <= 9 and not clause.text[until:start].strip(" ").count(" ")
               for _, until, state in clause.states if until <= start) and which + 1 < len(clause.names)


def _share(clauses: Sequence[_Clause], before_all: Sequence[_Clause]) -> None:
    """Give each bare list the state of its neighbour: of the clause after it, else of the clause before it."""
    for at in range(len(clauses) - 1, -1, -1):
        clause = clauses[at]
        if not clause.names or any(clause.verdicts):
            continue
        after = clauses[at + 1] if at + 1 < len(clauses) else None
        if after is None:
            continue
        falls = not after.names and {name for _, _, name in clause.names} & clause.book.falling_names and (
            clause.book.falling.fullmatch(after.text.removeprefix("still ").removeprefix("is ")))
        if falls:
            clause.verdicts = ["failed"] * len(clause.names)
        elif any(_COMPARED.search(clause.text[:start]) for start, _, _ in clause.names):
            continue   # "nine thousand by the GPS, cannot hold it"
        elif not after.names and after.states and (clause.bare or _CONTINUES.match(after.text)
                                                       or len(after.text.split()) <= 2):
            clause.verdicts = [after.states[0][2]] * len(clause.names)
        elif clause.bare and after.names and after.verdicts[0] and (
                after.bare or not after.states or after.names[0][0] < after.states[0][0]):
            clause.verdicts = [after.verdicts[0]] * len(clause.names)
            clause.bare = True
    for before, clause in pairwise((*before_all, *clauses)):
        if before in before_all and not _TOO.search(clause.text):
            continue
        if clause.bare and not any(clause.verdicts) and not before.names and before.states and (
                len(before.text.split()) <= 8):
            clause.verdicts = [before.states[-1][2]] * len(clause.names)
        if clause.bare and not any(clause.verdicts) and before.names and before.verdicts[-1] and (
                before.bare or not before.states or clause.joined_by_and or before.states[0][0] < before.names[-1][0]
                or _TOO.search(clause.text)):
            clause.verdicts = [before.verdicts[-1]] * len(clause.names)


_HAD = compiled(r"""
    \bfor (?:an?|half|\d+|some)\b.*\b(?:minutes?|seconds?|moment|bit|while)\b|
    \b(?:had|was|were|thought|did have|used to)\b""")
_MENDED = re.compile(r"\b(?:pushed (?:it )?back in|sorted|fixed|resolved|solved|reset|recycled|cycled|false alarm)\b")
_OVER = compiled(r"""
    ^(?:went|gone) (?:out|off|away)(?: again)?\b|^charging (?:like|normally|again|fine|well)\b|
    ^(?:(?:both|all|they|it|everything|things)(?: are| is)? )?(?:now )?(?:reading|working|running|spinning|
    indicating|pulling)(?: \w+)? (?:again|now|ok|okay|fine|normally)\b|
    ^(?:(?:and|now|then|all|everything|uh|um) )*(?:it|they|that|this|everything|all|things?) (?:is|are|has|have|
    came|seems?|looks?)(?: (?:all|now|just|been|since|to be))* (?:back|alright|all right|fine|ok|okay|good|
    normal|smooth|steady|fixed|working|running|cleared|recovered|restored|resolved|come|healthy)\b|
    ^(?:all|everything|now)(?: \w+)? (?:fine|ok|okay|good|normal|back|working)\b|^(?:came|come) back\b""")
_GONE = compiled(r"""
    ^(?:the |its |that )?(?:flag|light|warning|caution)s? (?:is |are |has |have |just )*(?:gone|out now|cleared|
    went (?:out|away)|off again)\b""")
_IT = compiled(r"""
    ^(?:failing|dying|fading|going|weak|rough)$|^(?:(?:i|we) (?:still )?(?:think|reckon|believe|say|guess|
    am sure)(?: that)? )?(?:it|they) (?:is|are|has|have)\b|^(?:i|we) (?:still )?(?:do not|can not|
    would not) (?:\w+ )?(?:trust|believe|like) (?:it|them)\b""")


def _is_it(clauses: Sequence[_Clause], earlier: Sequence[_Clause]) -> None:
    """What is said of "it" after a contrast holds of what was named last: "the AI seems fine but it is dead"."""
    if not clauses or not earlier or clauses[0].names or not _IT.match(clauses[0].text):
        return
    told = next((clause for clause in reversed(earlier) if clause.names), None)
    states = clauses[0].states
    wrong = bool(states) and states[0][2] == "failed"
    if told is not None and wrong and told.verdicts[-1] in (None, "works"):
        told.verdicts[-1] = "failed"


def _is_over(clauses: Sequence[_Clause], earlier: Sequence[_Clause]) -> None:
    """What was wrong is not any more, where it is said to be back: "had a rough engine but it is smooth again"."""
    for at, clause in enumerate(clauses):
        before = [*earlier, *clauses[:at]]
        gone = _GONE.search(clause.text) is not None
        if "failed" in clause.verdicts or not before or not (gone or _OVER.search(clause.text)):
            continue
        told = next((each for each in reversed(before) if "failed" in each.verdicts), None)
        nope = any(each.text in _SECOND_THOUGHT for each in before[-2:])
        nope = nope or any(_MENDED.search(each.text) for each in before)
        if told is not None and (nope or gone or _HAD.search(told.text)):
            told.verdicts = ["works"] * len(told.verdicts)
            for one, other in pairwise(reversed(before[:before.index(told) + 1])):
                if not (one.joined_by_and and other.bare):
                    break
                other.verdicts = ["works"] * len(other.verdicts)


def _one_is_wrong(clauses: Sequence[_Clause], earlier: Sequence[_Clause]) -> None:
    """Both are suspect where one of two is wrong and nobody knows which."""
    if not any(_ONE_OF.search(clause.text) for clause in clauses):
        return
    text = " ".join(clause.text for clause in clauses)
    if not _AMISS.search(text):
        return
    for clause in earlier:
        clause.verdicts = [verdict or "failed" for verdict in clause.verdicts]
    for clause in clauses:
        others = {name for each in clauses for _, _, name in each.names} - {"navigation", "gyros"}
        clause.verdicts = [verdict if (name == "gyros" and clause.text[:start].endswith("no "))
                           or (name == "navigation" and others)
                           or (verdict == "works" and _RIGHT.search(clause.text)) else "failed"
                           for (start, _, name), verdict in zip(clause.names, clause.verdicts, strict=True)]
