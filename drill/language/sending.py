"""Which words of a typed line go out on the radio: where they begin, where they end, and when none do.

What is said on the air cannot be taken back, so words are held back while anything makes them doubtful.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language import conditional, radio
from drill.language.calls import by_grammar
from drill.language.callsigns import addressed
from drill.language.forbidding import ASK_NOT_DONE
from drill.language.meaning import Action, Context, Transmit, Unclear
from drill.language.mending import correction_at
from drill.language.orders import without_opening
from drill.language.patterns import compiled
from drill.language.pieces import pieces_of
from drill.language.spelling import spelled
from drill.language.starting import JOINTS, LONGEST_ORDER
from drill.language.withdrawn import dropped_at, drops_plainly
from drill.language.words import Token, joined, tokens, word_set

NO_END = word_set(
    """to and the a an not or before after by no then my our of in at with without you will should can could never
    standard rate half please i we it that this do let us for from if when while until as is are""")
"""Words after which no order and no call begins."""
_CALLS_OUT = compiled(r"""
    ^(?:tell|inform|advise) (?:approach|atc|center|tower|ground|departure|control|radar|them)\b|
    ^declare (?:an |a )?emergency\b""")
_DOUBTFUL = compiled(r"""
    \b(?:maybe|perhaps|possibly|might|may|could|not|never|no|nobody|none|whether|either|or|think(?:ing)? (?:about|of)|
    consider\w*|wonder\w*|ready to|about to|prepare\w* to|if|unless|when|whenever|once|until|before|after|should we|
    should i|in case|avoid|without|nearly|almost|suppose\w*|rather|instead|said|
    says?|told|tells|asked|wants?|book|checklist|manual|would|let us say|what if)\b""")
_DOUBT_ALONE = compiled(r"""
    (?:(?:ok|okay|well|hm+|so|and|,) )*(?:maybe|perhaps|possibly|(?:i am )?not sure|(?:i|we) (?:may|might)|
    should (?:i|we)|never|(?:under|on|in|at|by) no (?:circumstances?|account|means|case|condition))(?: ,)*""")
_DECLARES = re.compile(r"^(?:declar\w+ |call (?:a )?(?:mayday|pan)|(?:make|send|put out|transmit|broadcast) an? "
                       r"(?:mayday|pan|distress|urgency))")
_ASK_FOR = re.compile(r"^ask (?:(?:approach|atc|center|tower|ground|departure|control|radar|them|him|her) )?for\b")
_WHEN_ALONE = compiled(r"""
    (?:later|soon|first|again|yet|now|then|shortly|in (?:about )?\w+ (?:minutes?|seconds?|moments?|bit|while|mins?|
    secs?)|
    (?:after|before|while|until) .*)""")
"""Nothing to say, but when: "tell approach later"."""
_MEANT = re.compile(r"^(?:request|declar|mayday|pan\b|emergency|we (?:have|need|want|are))")
"""Calls without an address that are taken back before they are sent; "negative, disregard" is said."""
_LEFT_OPEN = compiled(r"""
    \?$|\bor (?:not|wait|maybe|just|should|shall|else|keep|continue)\b|\b(?:later|eventually|sometime|at some point)$|
    \b(?:wait|hold on|hang on|hold it|not sure|maybe|i guess)(?: a (?:second|minute|moment|sec))?$|
    \bin (?:about )?\w+ (?:minutes?|seconds?|mins?|secs?)$""")
_COCKPIT = compiled(r"""
    ^(?:set|cover|uncover|hide|check|look|compare|align|reset|tune|pull|push|switch|open|close|squawk|ident|
    scan|fly partial|fly full|fly the|go partial|partial panel|turn (?:on|off)|turn the|start the timer|put|use|trust|
    level the|level my|lean|stop the turn|run the|wait \d+|wait for \d+|wait a)\b|
    ^(?:the |my |our )?(?:pitot|standby|alternate|alternator|battery|master|avionics|autopilot|carb|carburettor|
    landing|nav|
    strobes?|beacon)(?: \w+){0,2} (?:on|off|open|closed)\b""")
_NEVER_SAID = compiled(r"""
    ^(?:(?:cover|uncover|hide|mask)(?: up)? (?:the|my|our|both|that|<\w+>|ai|dg|tc|horizon|attitude|gyros?)|
    (?:go|fly) partial panel|go partial$|fly full panel|level (?:the|my|our) wings|
    (?:scan|compare|cross ?check) (?:the|my|ai|dg|tc|instruments)|look at (?:the|my) (?!weather|radar)|
    start the (?:timer|clock)|run the \w+(?: \w+)? checklist|run the checklist|
    run through the checklist)(?! \w+ (?:vectors?|approach))(?!\w)""")
"""How an order begins that can be no part of a call."""
_FLOWN = re.compile(
    r"^(?:turn (?:left|right)|climb (?:and|to|\d)|descend (?:and|to|\d)|slow to|hold heading|wings level|level off)\b")
_STILL_SAID = re.compile(
    r"\b(?:request\w*|want|like|need|vectors?|cleared|plan\w*|inten\w+|will|going|can|could|able)\b")
_LISTENS = word_set("""to please we i you can could will would they approach atc them him her center centre tower
                       ground departure radar control say and or""")
_WEAK = frozenset({"sorry", "er", "negative", "hang", "actually", "check", "make"})
"""Corrections that are as often said on the air as to oneself."""


DOUBTFUL = -2
ASK_SENT = "Nothing is sent; say it as an order if it is to go out."
ASK_WORDS = "What do you want to say on the radio?"


def begins(line: Sequence[Token]) -> int:
    """Return where the words for the radio begin, -1 where none are, `DOUBTFUL` where they may not be meant."""
    found = -1
    for at, token in enumerate(line):
        if at == 0 or line[at - 1].text in JOINTS:
            if _in_passing(line, at):
                continue
            if token.text in JOINTS or (found == DOUBTFUL and not line[at - 1].is_break):
                continue
            if radio.opens_radio(joined(line[at:at + LONGEST_ORDER])):
                return DOUBTFUL if _DOUBT_ALONE.fullmatch(joined(_sentence_before(line, at))) else at
        elif line[at - 1].text not in NO_END and _CALLS_OUT.match(joined(line[at:at + 3])):
            # "descend 3000 tell approach we lost the vacuum", but not "maybe tell approach ..."
            if not _DOUBTFUL.search(joined(_clause_before(line, at))):
                return at
            found = DOUBTFUL
    return found


def _in_passing(line: Sequence[Token], at: int) -> bool:
    """Whether "say" stands between commas and says nothing: "within, say, five degrees"."""
    return line[at].text == "say" and at > 0 and line[at - 1].text == "," and line[at + 1:at + 2] != () and (
        line[at + 1].text == ",")


def _clause_before(line: Sequence[Token], at: int) -> Sequence[Token]:
    start = next((n + 1 for n in range(at - 1, -1, -1) if line[n].is_break), 0)
    return line[start:at]


def _sentence_before(line: Sequence[Token], at: int) -> Sequence[Token]:
    start = next((n + 1 for n in range(at - 1, -1, -1) if line[n].text == "."), 0)
    return line[start:at]


def waits(before: Sequence[Token], typed: str) -> bool:
    """Whether a condition in the orders `before` a call governs the call, too."""
    pieces = pieces_of(before) or []
    for each in (pieces, conditional.together(pieces, typed)):
        if each and conditional.opens(joined(each[-1])) and "." not in typed[each[-1][-1].end:before[-1].end]:
            return True
    return len(pieces) > 0 and conditional.checks(joined(pieces[-1])) and before[-1].text == "then"


def held_back(said: Sequence[Token], typed: str, context: Context, *, whole: bool) -> Unclear | None:
    """Return what to ask where the call that the words `said` order is not to be sent, None where it is.

    It is taken back in the same breath, has a condition, is only asked or left for later, or has no words.
    `whole`: the line itself is the call.
    """
    text = joined(said).rstrip(" ,.")
    if _ASK_FOR.match(without_opening(text)) and conditional.is_conditional(text):
        return conditional.asked_in_time(said, typed)   # "ask for vectors if it gets worse"
    if whole:
        who = addressed(said, context)
        bare = who.callsign == "absent" and not who.facility and _MEANT.match(without_opening(text)) is not None
        return Unclear(ASK_NOT_DONE) if bare and _taken_back(said, typed, 1, any_words=True) else None
    plain = without_opening(text)
    skipped = len(text) - len(plain)
    opened = radio.opening_of(plain)
    if opened >= len(plain) or radio.only_calls(plain) or _WHEN_ALONE.fullmatch(plain[opened:]):
        return Unclear(ASK_WORDS)   # "tell approach", and nothing is said
    words = plain[opened:]
    call = by_grammar(words, context)
    first = text[:skipped + opened].count(" ") + (opened == 0)
    if _taken_back(said, typed, first, any_words=call.urgency != "none" or bool(call.equipment or call.assistance)):
        return Unclear(ASK_NOT_DONE)
    if ((call.urgency != "none" or call.equipment) and _LEFT_OPEN.search(text)) or text.endswith(" or not"):
        return Unclear(ASK_SENT)
    if (_DECLARES.match(plain) and conditional.is_conditional(plain)) or _only_if(words, context):
        return conditional.asked_in_time(said, typed)
    return None


def _taken_back(said: Sequence[Token], typed: str, first: int, *, any_words: bool) -> bool:
    """Whether the words `said` end with ones that take back what stands before, from `first` on."""
    if '"' in typed:
        return False
    end = len(said)
    while end and said[end - 1].is_break:
        end -= 1
    for at in range(first + 1, end):
        after_break = said[at - 1].is_break
        if not after_break and said[at - 1].text in _LISTENS:
            continue
        if at == end - 1 and any_words and said[at].text == "no":
            return True
        if any_words or not after_break:
            gone = dropped_at(said[:end], at, after_break=after_break)
        else:
            gone = end if drops_plainly(joined(said[at:end])) else at
        if gone == end:
            return True
    return False


def _only_if(words: str, context: Context) -> bool:
    """Whether what is to be said is a report with a condition on it ("we lost the vacuum if the suction is zero"), or
    nothing but a condition."""
    clauses = [part.strip() for part in re.split(r" ?[,.?] ?", words) if part.strip()]
    if not clauses:
        return True
    at = conditional.begins_at(clauses[-1])
    if at == 0:
        if not conditional.only_condition(clauses[-1]):
            return False
        before = by_grammar(", ".join(clauses[:-1]), context)
        return len(clauses) == 1 or before.urgency != "none" or bool(before.equipment)
    if at < 0:
        return False
    before = by_grammar(clauses[-1][:at], context)
    return before.urgency != "none" or bool(before.equipment)


def kept_back(typed: str, actions: Sequence[Action], context: Context) -> bool:
    """Whether a line has words that send a call, and nothing is sent: it is taken back, doubtful or conditional."""
    if any(isinstance(action, Transmit) for action in actions):
        return False
    line = spelled(tokens(typed), context.lexicon)
    return radio.is_call(line, context) or begins(line) != -1


def anew(said: Sequence[Token]) -> int:
    """Return where, after words that take back, another order or call begins in what is `said`; 0 where none does."""
    weak = _WEAK - {"actually"} if _DECLARES.match(without_opening(joined(said))) else _WEAK
    for at in range(1, len(said) - 1):
        if not said[at - 1].is_break or said[at].text in weak:
            continue
        end = max(correction_at(said, at), dropped_at(said, at, after_break=True))
        while at < end < len(said) and said[end].is_break:
            end += 1
        if at < end < len(said):
            rest = joined(said[end:end + LONGEST_ORDER])
            if radio.opens_radio(rest) or _COCKPIT.match(rest) or _FLOWN.match(rest):
                return end
    return 0


def is_quoted(typed: str, at: int) -> bool:
    """Whether what stands at `at` of a line is within quotation marks."""
    return typed.count('"', 0, at) % 2 == 1 or typed.rfind("“", 0, at) > typed.rfind("”", 0, at)


def _after_quote(line: Sequence[Token], typed: str) -> tuple[int, int] | None:
    """Return where a call in quotation marks ends, and where what is ordered after it begins; or None."""
    opened = typed.find('"', line[0].start)
    closed = typed.find('"', opened + 1)
    if opened < 0 or closed < 0 or '"' in typed[closed + 1:]:
        return None
    after = [token for token in line if token.start > closed]
    while after and (after[0].text in JOINTS or joined(after[:2]) == "after that"):
        after = after[1 + (after[0].text == "after"):]
    return (closed + 1, after[0].start) if after else None


def ends(line: Sequence[Token], typed: str, context: Context) -> tuple[int, int] | None:
    """Return where in `typed` what is said ends, and where an act of the cockpit begins after it; or None.

    A clear order of the cockpit ends it after "then", with or without a break; after a mere comma or "and" only one
    that can be no part of a call does ("cover the AI"). Turns, climbs and descents may be read back or asked for: they
    are said where the callsign follows, or where a request or plan stands before.
    """
    if '"' in typed:
        return _after_quote(line, typed)
    for at in range(2, len(line) - 1):
        before, token = line[at - 1], line[at]
        then = token.text == "then"
        if not then and not before.is_break and before.text != "and":
            continue
        first = at
        while first < len(line) - 1 and (line[first].text == "then" or line[first].is_break or (
                first == at and line[first].text == "and")):
            first += 1
        rest = joined(line[first:first + LONGEST_ORDER])
        planned = _STILL_SAID.search(joined(line[:at])) is not None
        if then:
            parted = before.is_break
            flown = _FLOWN.match(rest) is not None and not planned
            acts = flown or (_COCKPIT.match(rest) is not None and (parted or not planned))
        else:
            acts = _NEVER_SAID.match(rest) is not None
        if acts and addressed(line[first:], context).callsign == "absent":
            last = at - 1
            while last > 0 and (line[last].is_break or line[last].text == "and"):
                last -= 1
            return line[last].end, line[first].start
    return None
