"""Which part of a typed line is said on the radio, and to whom."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from drill.clean import clean_line
from drill.language.calls import read_call
from drill.language.callsigns import addressed
from drill.language.facilities import FACILITY, OTHER, OWN
from drill.language.letters import LETTERS
from drill.language.meaning import Context, Transmit, Unclear
from drill.language.numbers import DIGITS, TEENS, TENS
from drill.language.orders import without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.starting import starts
from drill.language.words import BREAKS, Token, joined, split_at

_STATION = (laid_out(r"""
    (?:approach|departure|center|centre|tower|ground|information|radar|radio|control|atc|controllers?|clearance|
    delivery|director|dispatch|unicom|ctaf|company|fss|flight service|flight watch)"""))
_WHOM = (
    rf"(?:the |our )?(?:(?:\w+ ){{0,2}}?{_STATION}|them|him|her|everyone|everybody|traffic|(?!me\b|"
    rf"us\b|it\b|my\b|the\b|you\b)\w+)"
)
_TELL = re.compile(rf"^(?:tell?|inform|advise|notify|remind|update|warn) {_WHOM}(?: (?:on|"
                   rf"over) the <?radio>?)?(?: (?:that|of|about)(?= ))?(?: ,)? "
                   rf"|^(?:let|make sure) {_WHOM} knows?(?: (?:that|of|about)(?= ))?(?: ,)? "
                   rf"|^(?:call|radio|raise|contact|hail|get|reply to|answer|"
                   rf"respond to) (?:back )?{_WHOM}(?: back)?(?: ,)? (?:and |to )?(?:say|tell (?:them|him|"
                   rf"her)|report|inform (?:them|him|her)|advise(?: them)?|let (?:them|him|"
                   rf"her) know)(?: (?:that|of)(?= ))?(?: ,)? "
                   rf"|^(?:get on the (?:horn|radio|phone)|talk|speak|get back)(?: to| with)? {_WHOM}(?: ,)?(?: "
                   rf"and)? (?:say|tell (?:them|him|her)"
                   rf"|report|let (?:them|him|her) know)(?: (?:that|of)(?= ))?(?: ,)? "
                   rf"|^(?:pass|relay)(?: (?:the|a|this|our))?(?: (?:message|word|news|on))* to {_WHOM}(?: (?:that|"
                   rf"of)(?= ))?(?: ,)? "
                   rf"|^confirm (?:back )?(?:to|with) {_WHOM}(?: (?:that|of)(?= ))?(?: ,)? "
                   rf"|^(?:say|report|mention|explain|announce) (?:back )?to {_WHOM}(?: (?:that|"
                   rf"of)(?= ))?(?: ,)? ")
_SAY = re.compile(r"^(?:say(?: on the radio| over the radio| back)?|radio|transmit|broadcast|report|"
                  r"announce|respond|reply|answer|read ?back|call out|"
                  r"key the mic(?: and say)?|send|reporting|get on the radio and (?:say|tell them)|come back with|"
                  r"acknowledge with|tell them)(?: with)?(?: that)?(?: [,.])? ")
_WHOLE = re.compile(rf"^(?:declare|declaring|request|requesting|ask (?!myself)|call mayday|call (?:a )?pan|"
                    rf"call {_WHOM} (?:for|with|and ask|to ask)|acknowledge|mayday|pan pan|"
                    r"call (?:for|in)|squawk (?:mayday)|advise)\b|^(?:make|send|put out|transmit|"
                    r"broadcast)(?: (?:an?|the)(?: call)?| call) (?:mayday|pan|distress|urgency)"
                    r"|^(?:can|could|may) (?:we|i) (?:please )?(?:get|have|go(?! (?:left|right|to heading|straight|"
                    r"partial)))\b(?!.*\bcheck ?list)"
                    r"|^(?:can|could|may|might) (?:we|i) (?:please |maybe |possibly )?(?:climb|descend)\b"
                    r"|^(?:(?:we|i) )?(?:need|want|would like) (?:to go )?(?:lower|higher|an? (?:lower|higher|block|"
                    r"different))\b"
                    r"|^(?:(?:we|i) )?(?:really )?(?:need|want|require) (?:(?:an? )?(?:immediate|urgent) (?:descent|"
                    r"climb|lower|higher|vectors?|landing)|(?:the |some |any )?(?:nearest|closest|priority|radar|"
                    r"vectors?|no <gyros>|no gyro))\b")
_ASK = re.compile(rf"^(?:ask|call) (?P<whom>{_WHOM}) (?:(?:and|to) ask )?(?P<way>for|with|to|about|if|whether|what) ")
_CALL = re.compile(rf"^call {_WHOM}(?: ,| :| \.)? ")
_BARE_REPLY = compiled(r"""
    ^(?:(?:yes|yeah|yep)(?: sir)?$|say (?:that|it|all) again\b|radio check\b(?! list|list)|intentions?\b|(?:yes|
    yeah|yep)(?: ,| sir)* (?:we|i) (?:are|am|do|have|would|need|want)\b|emergency emergency|emergency here|
    we have an emergency|unable|say again|stand ?by|roger|wilco|negative|affirm|affirmative|copy|copied|with you|
    readback|pan pan|pan|mayday|any station|request|requesting|declaring|all stations|no joy|loud and clear|
    read you|going missed ,)\b""")


_SUPPOSES = re.compile(r"(?:(?:and|so|ok|okay|now) )*let us say\b")


_OPINES = re.compile(r"^(?:so |and |but )?(?:i|we) (?:should|would|must|dare) say\b")
"""Said to oneself: "I should say that it is stuck"."""


def opens_radio(text: str) -> bool:
    """Whether an order begins with a word that sends what follows (or all of it) over the radio."""
    plain = without_opening(text)
    if _SUPPOSES.match(text) or _OPINES.match(text):
        return False   # "let us say it fails"
    return any(pattern.match(plain + " ") for pattern in (_TELL, _SAY, _WHOLE, _CALL)) and not _not_radio(plain)


_NOT_SAID = compiled(r"""
    ^(?:(?:tell|inform|advise) \w+ nothing$|report to me|answer me|ask (?:me|what should)|send it$|mayday code|
    radio (?:and|master|1|2|one|two|off|on|check panel|is|was|has|are|went|dead|failed|gone|out|quit|inop)\b|
    advise me|(?:tell|ask) (?:myself|nobody|no one)|say (?:nothing|a prayer)\b|
    update (?:the|my|altimeter|heading|dg|gyro)|remind me|radio$|<radio>|
    call (?:it|out the|the checklist|up the|off|my)\b|get (?:the|my|a|out|rid|back|to|it|us)\b|raise (?:the|nose)|
    contact 1|request a checklist|report$|reply (?:light|lamp)|call when$|
    call (?:the|my|this|that) (?:stop|rollout|roll out|take ?off|level ?off|turn)\b)""")


def _not_radio(plain: str) -> bool:
    return tells_aboard(plain) or plain.startswith("say when ") or _NOT_SAID.match(plain) is not None


_ABOARD = compiled(r"""
    ^(?:tell|inform|brief|advise|ask|reassure|calm) (?:my|the|our) (?:passengers?|pax|copilot|friends?|student|
    instructor|wife|husband|kids|family)\b|^let (?:my|the|our) (?:passengers?|student|wife|husband) know\b""")


def tells_aboard(text: str) -> bool:
    """Whether an order speaks to somebody on board: "tell the passengers we are diverting"."""
    return _ABOARD.match(without_opening(text)) is not None


_NO_REPLY = compiled(r"""
    ^(?:stand ?by (?:vac|vacuum|instr|horizon|att|ai|pump|static|comp|alt|batt|gyro|power|(?:for )?\d|
    a (?:minute|moment)|(?:for )?(?:\w+ ){1,3}(?:seconds?|minutes?|secs?|mins?)$|to \w)|request (?:a )?checklist)""")
_RELAYS = re.compile(rf"^{FACILITY} (?:(?:just|has|had|is|was) )*(?:said|says|told|tells|wants?|wanted|asked|asks|"
                     r"cleared|gave|gives|saying|telling)\b")
_CALL_OPENS = compiled(r"""
    ^(?:(?:uh|um|er|ok|okay|hi|hello|hey|good morning|good evening|good afternoon|and|well|yes|yeah|mayday|pan|
    emergency|this is|[,.]) )+""")


_SAYS_AGAIN = compiled(r"""
    ^(?:i|we) (?:will )?say again(?: ,)? (?:mayday|pan|request\w*|emergency|unable|we|i|negative|affirm\w*|
    declaring|my|our|the|engine|<\w+>|smoke|fire|lost|no)\b""")
_FIGURE = rf"(?:{'|'.join((*DIGITS, *TEENS, *TENS))}|\d)"
_LETTER = rf"(?:{'|'.join(LETTERS)}|x ray|[b-hj-z])"
_NO_UNIT = r"(?!\d+(?:kts?|nm|sm|ft|k|s|m|h|rpm|mb|am|pm|st|nd|rd|th|hz)\b)"
_OF_ANOTHER = compiled(rf"""
    ^(?:[a-z]{{4,}} )?(?:{_FIGURE} ){{0,4}}(?:{_NO_UNIT}\d{{1,4}}[a-z]{{1,2}}|{_FIGURE}(?: {_LETTER}){{1,2}})(?: ,)?
    [ ](?:request\w*|req|with you|declar\w+|mayday|pan|unable|roger|wilco|affirm\w*|negative|need|would like|
    checking in|say again|is|has|we|leaving|passing|descending|climbing|level at)\b""")
"""A line that begins with a short callsign, the own one mistyped or another's, and goes on as a call."""
_ONLY_CALLS = compiled(rf"""
    ^(?:call|contact|radio|raise|hail|talk (?:to|with)|speak (?:to|with)|get (?:back to|hold of|in touch with|on to)|
    reply to|respond to|answer)(?: up| back)? (?:the |our )?(?:(?:[a-z]+ )?{_STATION}|them|him|her)(?: (?:back|now|
    again|please|for (?:me|us)|then|at once|immediately|,))*$""")


def only_calls(plain: str) -> bool:
    """Whether an order's text says who is to be called, and nothing to say: "contact approach"."""
    return _ONLY_CALLS.match(plain) is not None


def is_call(line: Sequence[Token], context: Context) -> bool:
    """Whether a whole line is itself a radio call: it names the facility or the callsign first, or is a bare
    reply."""
    text = joined(line)
    if _BARE_REPLY.match(text) and not _NO_REPLY.match(text):
        return True
    if _SAYS_AGAIN.match(text) or (_OF_ANOTHER.match(text) and (
            line[0].text in DIGITS or not starts(line))):
        return True
    if _asks_and_tells(line):
        return True
    who = addressed(line, context)
    marked = joined(who.line)
    opening = _CALL_OPENS.sub("", marked)
    if _RELAYS.match(opening):
        return False   # "approach told us to descend"
    if opening.startswith((OWN, FACILITY)) or marked.startswith((OWN, FACILITY)):
        return not re.match(rf"^{FACILITY} (?:the |checklist|plate|speed|lights|brief)", opening)
    own_name = context.callsign.split(" ")[0].lower()
    if marked.startswith(OTHER) and own_name and text.startswith(own_name):
        return True   # the own callsign, mistyped
    return who.callsign == "given" and not _sends_within(line)


_TELLS = compiled(r"""
    ^(?:(?:and|but|so) )?(?:we|i|it)\b(?! (?:will|would|want|should|must|need to|am going|are going|think|guess|
    suspect|believe|reckon|bet))""")


def _asks_and_tells(line: Sequence[Token]) -> bool:
    """Whether a line tells how it goes and asks of ATC: "it is getting worse, we cannot hold it, request lower"."""
    parts = [joined(part) for part in split_at(line, BREAKS)]
    asks = [_WHOLE.match(part) is not None for part in parts]
    told = all(ask or _TELLS.match(part) for part, ask in zip(parts, asks, strict=True))
    return len(parts) > 1 and any(asks) and told


def _sends_within(line: Sequence[Token]) -> bool:
    """Whether some order in the line begins with a word for the radio, so that not all of the line is said."""
    return any(opens_radio(joined(line[at:])) for at in range(len(line))
               if at == 0 or line[at - 1].is_break or line[at - 1].text in ("and", "then"))


def opening_of(plain: str) -> int:
    """Return where in an order's text what is said begins: 0 where every word is, its length where none is."""
    if _WHOLE.match(plain + " ") and not _TELL.match(plain + " "):
        return 0
    match = _TELL.match(plain + " ") or _SAY.match(plain + " ") or _CALL.match(plain + " ")
    return min(match.end(), len(plain)) if match else 0


def transmit(line: Sequence[Token], typed: str, context: Context, *, whole: bool) -> Transmit:
    """Return the transmission that `line` is; `whole` when every word of it is said."""
    text = joined(line)
    plain = without_opening(text)
    skipped = len(text) - len(plain)
    start = skipped
    addressee = ""
    if whole:
        start = 0
    elif match := _TELL.match(plain):
        start, addressee = skipped + match.end(), match.group()
        while (again := _TELL.match(text[start:])) is not None:   # "tell them tell them"
            start += again.end()
    elif _WHOLE.match(plain):
        start = skipped
    elif match := _SAY.match(plain) or _CALL.match(plain):
        start = skipped + match.end()
        if match.group().startswith("call "):
            addressee = match.group()
    words = _words_from(line, start, typed)
    if not words:
        words, addressee = _words_from(line, skipped, typed), ""
    asked = None if whole else _ASK.match(plain)
    meaning = replace(read_call(_asked_words(asked, plain) if asked else words, context), words=words)
    if asked:
        addressee = asked["whom"]
    if addressee and not meaning.facility and _is_own(addressee, context):
        meaning = replace(meaning, facility=True)
    return Transmit(words, meaning)


def _asked_words(asked: re.Match[str], plain: str) -> str:
    """Return what is said when somebody is asked: "ask approach for vectors" is said as "request vectors"."""
    said = plain[asked.end():]
    return f"what {said}" if asked["way"] == "what" else f"request {said}"


def _is_own(addressee: str, context: Context) -> bool:
    words = set(addressee.lower().split())
    return bool(words & (set(context.facility.lower().split()) | {"atc", "them", "him", "her", "controller"}))


def _words_from(line: Sequence[Token], start: int, typed: str) -> str:
    at = 0
    for token in line:
        if at >= start and not token.is_break:
            return unquoted(typed[token.start:])
        at += len(token.text) + 1
    return ""


def unquoted(words: str) -> str:
    """Return `words` without quotation marks around them."""
    words = words.strip()
    if words[:1] in "\"'“‘" and words[-1:] in "\"'”’":
        return words[1:-1].strip()
    if words[-1:] in "\"”" and words.count('"') + words.count("”") == 1:
        words = words[:-1]
    return words.strip("\"“” ")


FOR_ATC = "If that is for ATC, "


def for_atc(context: Context) -> Unclear:
    """Return the question about what sounds as if it were said to ATC."""
    unit = clean_line(context.facility).split()[-1:] or ["ATC"]
    return Unclear(f'{FOR_ATC}say it to them: "tell {unit[0].lower()} ...".')
