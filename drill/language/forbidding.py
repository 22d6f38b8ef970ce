"""What a negation makes of an order: "nobody cover the AI" covers nothing, "cover the DG, not the AI" one of the two.

Nothing that stands after a negation, in its clause, is done.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeAlias

from drill.language.meaning import Action, Compare, Decide, Diagnose, Look, Unclear, Wait
from drill.language.orders import Order, order, without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.sought import sought
from drill.language.starting import starts
from drill.language.words import Token, joined

Reader: TypeAlias = Callable[[Order], list[Action] | None]

FORBIDDEN: list[Action] = []
"""The reading of an order that only forbids ("do not touch the pitot heat"): nothing is done."""
ASK_NOT_DONE = "Nothing is done for that; what do you want to do instead?"
_FORBIDS = compiled(r"""
    ^(?:do not|never(?! mind)|avoid|refrain|resist|desist|i (?:will|would|do|am) not|not going to|no need to|
    without|i am not|rather than|hold off(?! (?:for )?(?:\d|a ))|no way|no (?:squawk|<\w+> (?:on|off))\b|
    (?:cancel|forget|scratch) (?:the|that|our|my) (?:descent|climb|turn|left|right|diversion)|
    (?:cancel|forget|scratch|ignore|disregard|never ?mind|scrap) (?:what|all|anything|whatever|(?:the|that)
    [ ](?:bit|part|thing|order)|about)\b(?!$)|
    (?:forget|ignore|disregard|scratch|never ?mind) <panel> (?:i|we|that|about)|leave(?! \d)|not|
    let us not|please do not|(?:keep )?(?:your |my )?hands off (?:the|my|our|that|those)|
    (?:keep|stay) (?:away|clear|off) (?:from|of|the|that)|(?:do )?(?:any|every)thing (?:but|except))\b""")
_PUT_OFF = sought(r"""
    \b(?:can|may|will|must|should|has to|have to) wait\b(?! for)|\bout of the question\b|
    \boff the (?:table|menu|cards)\b|\bover my dead body\b|
    \b(?:is|are) (?:strictly )?(?:forbidden|banned|not allowed|off limits|not to be|not (?:an option|necessary|needed|
    required))\b|\bnot on your life\b|
    \bsome other (?:time|day)\b|\babstain\w*|\bremind me\b|\bneed not\b|\bkeep (?:your|my|those) \w+ off\b|
    \b(?:dangerous|unsafe|unwise|foolish|stupid|crazy|wrong|suicidal) to\b""")
"""What is put off or ruled out in other words than a negation: "the checklist can wait"."""
_ONLY_THOUGHT = compiled(r"""
    ^(?:imagine|pretend|suppose|(?:i|we) wish|if only|lay off|no hands on|(?:i |we )?(?:was|were) told to|
    let (?:(?:the|my|our|that|this) )?(?:<\w+>|it|them) be\b(?! (?:my|our|the|your))|stop (?:looking|staring|checking|
    reading|watching)|
    (?:next time|last time|<moment>)(?: ,)? (?:i|we|remind)|
    no (?:waiting|cancel\w*|switching|covering|turning|diverting|squawking|landing)|
    no (?:hold(?:ing)? (?:at|over)|(?:left|right) turns?\b(?! (?:is|are))|cross ?checks?|need (?:for|to)|diversion)|
    (?:skip|forget|bin|never ?mind) (?:the |that |any )?(?:[\w<>]+ ){0,3}checklist$|
    (?:nobody|no 1|no one) (?:is|goes|touches|turns?|dials?|climbs?|descends?|covers?|switches|sets?)|
    (?:who (?:invented|thought up|designed|built)|why did (?:i|we)))\b""")
"""How words begin that wish, remember or imagine, or leave a thing be."""
_FOOLISH = laid_out(r"""
    (?:stupid|foolish|silly|daft|dumb|insane|insanity|crazy|mad|madness|nuts|lunacy|idiotic|absurd|ridiculous|nonsense|
    (?:pure )?folly|unwise|unnecessary|needless|excessive|overkill|over the top|extreme|drastic|harsh|wasteful|
    premature|hasty|rash|rushed|pointless|senseless|reckless|suicide|suicidal|dangerous|risky|unsafe|deadly|fatal|
    trouble|asking for trouble|out of (?:the question|place)|no (?:good|use|help|way)|
    (?:too|a bit|rather) (?:much|early|soon|late)|(?:big |bad |serious |grave )?mistake|
    (?:bad|terrible|poor|awful|lousy|dreadful|horrible) (?:idea|move|plan|choice|call|decision|thing|thinking|
    airmanship)|
    not (?:(?:a|the|such|very|really|all that|exactly|what|my|so|particularly) )*(?:good|great|wise|smart|bright|
    sensible|best|clever|safe|worth|needed|necessary|helpful|right|going to (?:help|work)|we|i)\b)""")
_MAKES_NONE = laid_out(r"""
    (?:(?:makes?|would make|is making|made) (?:no|little|zero|not much) sense|
    (?:does|would|will) not (?:make (?:any |much )?sense|help|work|do (?:us |me )?any good|
    be (?:wise|smart|safe|a good idea))|
    (?:will|would|could|might) (?:only )?(?:kill|doom|finish|hurt) (?:us|me|everyone|everybody)|
    (?:gets|would get|will get) us nowhere|(?:serves|would serve) no purpose)""")
_DOING = laid_out(r"""
    (?!(?:no|any|every|some)thing\b)(?:(?:to|even) )*(?:\w+ing|cover|uncover|hide|level|hold|maintain|keep|switch|
    squawk|turn|divert|land|continue|climb|descend|go|partial <panel>|cut|shut|kill|cancel|pull|open|close|put|fly|
    slow|stop|declare|press|return|abort|reject)\b""")
_IS = laid_out(r"""
    (?:(?:would|might|could|will|may|must|has got to|is going to)(?: just| only| really)? be|is|seems?|looks?|sounds?|
    feels?|strikes me as|amounts to|was)(?: (?:be|a|an|the|to|me|like|just|simply|really|rather|quite|pretty|very|
    plain|downright|completely|totally|utterly|clearly|bit|little|so|such|sort|kind|of|pure|only)\b)*""")
_ONLY_JUDGED = compiled(rf"""
    ^{_DOING}(?:(?!\b(?:because|since|as|which|who|that|it|they|if|when|until|and|but|so|i|we)\b)[^,.?])*?
    [ ](?:{_IS} {_FOOLISH}|{_MAKES_NONE})(?!\w| to\b)|
    ^(?:a|any|another|the) (?:descent|climb|diversion|turn|left turn|right turn|landing|mayday|squawk|hold|checklist)
    (?: \w+){{0,3}} (?:{_IS} {_FOOLISH}|{_MAKES_NONE})(?!\w)|
    ^it (?:{_IS} {_FOOLISH}|{_MAKES_NONE}) to\b|^(?:there is )?no (?:sense|point|use) (?:in|to)\b|
    ^(?!(?:no|any|every|some)thing\b)\w+ing\b[^,.?]*? (?:(?:would|might|could|will) be|(?<!> )(?:is|seems|looks|
    sounds|feels))(?: (?:a|the|just|quite|really|so|very|all))* (?:wrong|bad|worse|awful|terrible|horrible|waste)\b
    (?! to\b)""")
"""What is named only to be judged: "turning off the pitot heat would be stupid"."""
_PERSON = laid_out(r"""
    (?:co ?pilot|first officer|fo|instructor|student|passengers?|wife|husband|friend|buddy|son|daughter|brother|
    sister|safety pilot|other pilot|other guy|captain|right seat|left seat|guy|fellow|man|lady|kid|mechanic|
    engineer|cfi|examiner|observer)""")
_OF_ANOTHER = compiled(rf"""
    ^(?:let|have|get|make|ask|tell|allow|want|leave it to|instruct|order) (?:(?:the|my|our|your|this|that) )?
    {_PERSON}(?: to| in the right seat| beside me| next to me)* (?!know\b|hear\b|see\b|that\b|i\b|we\b|about\b|
    is\b|the\b|<)\w|
    ^(?:(?:the|my|our) )?{_PERSON} (?:should|can|could|will|must|may|is to|is going to|has to|ought to|needs? to|turns|
    climbs|descends|covers|switches|squawks|flies|levels|takes|does|wants to)\b""")
"""What another aboard is to do: "let the copilot turn left 240"."""
_HOLDS = compiled(r"""
    \bdo not (?:climb|descend|sink)(?: and| or| ,)* (?:do not )?(?:climb|descend|sink)\b|
    \bdo not (?:lose|gain|change|alter|vary) (?:any |the |our |my |this )?(?:altitude|height|level)\b|
    \bdo not (?:climb|descend) or\b""")
"""Negations that order to hold the altitude."""
_ORDERS_BY_NOT = sought(r"""
    ^leave (?:that|it)\b|\b(?:no|not|do not|never) (?:taking off|take ?off|going(?! to))\b|\bno bank\b|
    \bno more partial\b|\b(?:no longer|stop|quit|not) (?:partial|using)\b""")
"""Negations that are orders themselves, which the rules read."""
_NEGATES = compiled(r"""
    \b(?:not|never(?! mind)|nobody|no 1|none|nothing|without|neither|nor|hardly|refus\w+|refrain\w*|resist\w*|
    avoid\w*|forbid\w*|forbidden|prohibited|unable|(?:bad|terrible|poor) idea|
    (?:mistake|crazy|mad|foolish|stupid|dangerous|unwise|unsafe|wrong|too (?:early|late|soon|low|high)) to|
    (?:any|every)(?:thing|body|one)? (?:but|except)|(?<=<panel> )but|(?:everything|all|anything|lot)\b.* (?:but|bar|
    save)|leav(?:e|ing)(?= (?:the |my |our )?<)|except|other than|apart from|besides|
    rather than|instead of|no(?! (?:problem|worr\w+|rush|hurry|doubt|gyros?|sweat|drama|joy|time|choice|delay|flaps|
    flying (?:today|now)|
    nonsense|fuss|messing|more than)\b))\b""")
_EXCLUDED = compiled(r"""
    (?:, )?\b(?:but )?(?:not|rather than|instead of|and not|except(?: for)?|never)(?: (?:the|my|our|to|a))* (?:<\w+>|
    left|right|on|off|open|closed|\d[\d.]*)(?: (?:degrees|feet|knots))?(?: ,)?(?: but)?(?= |$)(?! to [a-z])|
    (?:, )?\b(?:but |and )?(?:no|not any|never) (?:lower|higher|faster|slower|steeper)(?: than (?:that|this|it))?
    (?= |$)(?! than)|
    (?:, )?\b(?:but |and )?leav(?:e|ing)(?: (?:the|my|our))? <\w+>(?: (?:alone|uncovered|covered|on|off|open|closed|
    be|as it is|in sight|in view|running|where it is))?(?= |$)""")
"""What is named only to be left out: "not the AI", "instead of the AI", "not 6000"."""
_ALL_BUT = sought(r"""
    (?:\b(?:everything|all(?: of (?:it|them))?|anything|the lot)\b|
    <(?:panel|electrical_system|avionics|master)>).*? (?:but|bar|except(?: for)?|
    (?<!to )save(?: for)?|other than|apart from)(?: (?:the|my|our))* <\w+>""")
"""All is meant but one: that one is not to be touched, and the others are not named."""
_NEVER_SO = compiled(r"""
    (?:(?:and|but|so|please|just) )*(?:(?:under|in|on|at|by) no (?:circumstances?|account|means|case|condition|
    time|event)|never ever|no way|do not(?: ,)?(?: (?:i )?(?:repeat|say again)(?: ,)?(?: do)? not)+)(?: ,)?""")
"""Words that forbid what comes after them, also over a comma: "under no circumstances, descend"."""


def without_holds(text: str) -> str:
    """Return `text` without the negations that order to hold the altitude ("do not climb or descend")."""
    return _HOLDS.sub("hold altitude", text)


_TAKES_OUT = compiled(r"""
    ^(?:(?:and|but|no|then|ok|okay|please|actually|,) )*(?:cancel|scrap|scratch|forget|drop|abandon|stop|skip|belay|
    undo|
    scrub|call off|no|do not|never|disregard|ignore|never ?mind|forget about)
    (?: (?:what|everything|whatever|all)(?: (?:that )?(?:i|we) (?:have )?(?:just )?(?:said|told you|ordered|asked|
    wanted)))?(?: about)? (?:(?:the|that|our|my|any) )?(?:(?P<turn>turn\w*)|(?P<altitude>climb\w*|
    descent|descend\w*)|(?P<divert>diversion|divert\w*)|(?P<squawk>squawk\w*)|(?P<cover>cover\w*)|
    (?P<look>look|scan|check))(?: (?:left|right|it|at all|now|yet|please|after all|,))*$""")
_KINDS = {"turn": ("turn", "turn_rate"), "altitude": ("altitude",), "divert": ("decide",), "squawk": ("squawk",),
          "cover": ("cover",), "look": ("look", "compare")}


def takes_out(text: str) -> tuple[str, ...]:
    """Return the kinds of action that a text takes out of what was ordered before it ("scratch the turn")."""
    match = _TAKES_OUT.match(text)
    return _KINDS[match.lastgroup] if match and match.lastgroup else ()


def negates(text: str) -> bool:
    """Whether anything is denied or forbidden in `text`."""
    return _NEGATES.search(text) is not None


def forbids_next(text: str) -> bool:
    """Whether `text` only says that what follows must not be done, or is all that is not meant ("anything but")."""
    return _NEVER_SO.fullmatch(text) is not None or re.search(
        r"\b(?:any|every|no)(?:thing| 1|one|body)? but$", text) is not None


def read_unless_forbidden(piece: Order, first_fit: Reader) -> list[Action] | None:
    """Return what `piece` orders by `first_fit`: `FORBIDDEN` where it only forbids, None where it is not understood."""
    if reminder := _REMINDS.match(piece.text):
        piece = order(piece.line[reminder.group().count(" "):], piece.typed, piece.book)
    text = without_opening(piece.text)
    if any(pattern.search(text) for pattern in (_PUT_OFF, _ONLY_THOUGHT, _ONLY_JUDGED, _OF_ANOTHER)):
        return FORBIDDEN
    if (never := _NEVER_SO.match(text)) and never.end() < len(text):
        return FORBIDDEN
    if (wanted := _instead_of(piece)) is not None:
        return read_unless_forbidden(wanted, first_fit)
    if _HOLDS.search(text):
        return first_fit(order(_HOLD, piece.typed, piece.book))
    if _ORDERS_BY_NOT.search(text):
        return first_fit(piece)
    if _FORBIDS.match(text):
        wary = re.match(r"^(?:do not (?:trust|have|believe)|i do not|not)\b", text)
        told = first_fit(piece) if wary else None
        return told if told and all(isinstance(action, Diagnose) for action in told) else FORBIDDEN
    if _ALL_BUT.search(piece.text):
        others = [action for action in first_fit(piece) or () if action != Look(piece.names[-1])]
        looks = re.match(r"^(?:scan|check|look|read|watch|sweep)\b", text) is not None
        if others and all(isinstance(action, Look | Compare) for action in others):
            return others
        return [Look("panel")] if looks else FORBIDDEN
    found = first_fit(piece)
    if found and all(isinstance(action, Diagnose) for action in found) and _ASKED_BEFORE.match(
            piece.typed, piece.line[-1].end):
        return FORBIDDEN   # "vacuum pump failed? check the suction"
    if not _NEGATES.search(piece.text):
        return found
    kept = _without_excluded(piece)
    if found is not None and not _acts(found):
        only_asked = all(isinstance(action, Unclear) for action in found) and len(kept) < len(piece.line)
        left = first_fit(order(kept, piece.typed, piece.book)) if only_asked and kept else None
        return left if left and _acts(left) else found   # "squawk 7600 not 7700"
    if found is None:
        return _read_beside(piece, kept, first_fit)
    if not _NEGATES.search(joined(kept)):
        return first_fit(order(kept, piece.typed, piece.book)) or FORBIDDEN
    left = first_fit(order(_before_negations(kept), piece.typed, piece.book))
    if not left or not all(_is_part_of(action, found) for action in left):
        return FORBIDDEN
    return left


_ASKED_BEFORE = re.compile(r" *\?[ ?!.,;]*(?!(?:yes|yep|yeah|yup|affirm\w*|it (?:has|did|is)|sure)\b)"
                           r"(?!.*\b(?:other|another|both|them|two|2|each)\b)\w", re.IGNORECASE)
"""Where a question ends that something else follows; what answers yes to it tells it."""
_INSTEAD = re.compile(r"^(?:instead of|rather than) (?:\w+ing|(?:the|a|an|my|our|that|this) [\w<>]+|<\w+>|to )")
LONGEST_INSTEAD = 10


def _instead_of(piece: Order) -> Order | None:
    """Return what is ordered in the stead of what a text begins with: "instead of turning left turn right to 100"."""
    if not _INSTEAD.match(piece.text):
        return None
    first = next((at for at in range(3, min(len(piece.line), LONGEST_INSTEAD))
                  if starts(piece.line[at:]) and not piece.line[at].text.endswith("ing")
                  and piece.line[at].text not in ("left", "right")), None)
    return order(piece.line[first:], piece.typed, piece.book) if first else None


def _read_beside(piece: Order, kept: Sequence[Token], first_fit: Reader) -> list[Action] | None:
    """Return what is read of an order without what its negation leaves out, where no figure is lost with it."""
    before = kept if not _NEGATES.search(joined(kept)) else _before_negations(kept)
    if len(before) == len(piece.line) or any(token.text[0].isdigit() for token in set(kept) - set(before)):
        return None
    found = first_fit(order(before, piece.typed, piece.book))
    return found if found and _acts(found) else None


_REMINDS = re.compile(r"^(?:.* )?(?:do not|never) (?:forget|hesitate|fail) to ")
_HOLD = tuple(Token(word, 0, 0) for word in ("hold", "altitude"))


def _acts(found: Sequence[Action]) -> bool:
    """Whether something is done, and not only looked at or thought."""
    return not all(isinstance(action, Look | Compare | Diagnose | Wait | Unclear) for action in found)


def _is_part_of(action: Action, found: Sequence[Action]) -> bool:
    """Whether `action`, read without the negation, is also read with it, or of another kind: "turn left without
    30 degrees" leaves no turn without an end."""
    if isinstance(action, Decide):
        return any(isinstance(other, Decide) and other.plan == action.plan for other in found)
    return action in found or all(action.kind != other.kind for other in found)


def _without_excluded(piece: Order) -> tuple[Token, ...]:
    """Return the tokens of `piece` without what is named only to be left out."""
    gone: set[int] = set()
    for match in _EXCLUDED.finditer(piece.text):
        first = piece.text[:match.start()].count(" ") if match.start() else 0
        gone |= set(range(first, first + len(match.group().split())))
    return tuple(token for at, token in enumerate(piece.line) if at not in gone)


def _before_negations(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return of each clause of `line` what stands before a negation in it."""
    kept: list[Token] = []
    clause: list[Token] = []
    for token in (*line, None):
        if token is not None and not token.is_break:
            clause.append(token)
            continue
        said = joined(clause)
        match = _NEGATES.search(said)
        kept += clause[:said[:match.start()].count(" ")] if match else clause
        if token is not None:
            kept.append(token)
        clause = []
    while kept and kept[-1].is_break:
        kept.pop()
    return tuple(kept)
