"""Orders that wait for something: "if the suction is low cover the AI", "once level turn left 240".

Nobody can know when such a condition is met but the pilot, so the order is not done; it is asked back. Words of
courtesy ("when able", "if you can") make nothing conditional, nor does a turn or a climb "until" its figure, or "until
told".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.language.hearsay import only_quotes
from drill.language.meaning import Unclear
from drill.language.orders import without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.words import Token, joined, word_set

ASK_IN_TIME = "Say it when the time comes: "
_COURTESY = (laid_out(r"""
    (?:possible|able|ready|practical|practicable|convenient|
    (?:you|they|he|she) (?:can|could|like|want|please|would|will|
    (?:are|is)(?! (?:in|at|on|over|below|above|level|established|clear|through|past|near|out)\b)|
    get (?:an? |the |some |your )?(?:chance|moment|minute|second|sec|time|opportunity|<\w+>)|
    have(?! (?:no|lost|the|any)\b| <ice>| ic(?:e|ing)\b))|
    (?:you|they|nobody) (?:do not )?minds?|
    (?:that|it) is (?:ok|okay|fine|alright|all right|possible|no trouble)|(?:i|we) (?:recall|remember|may)|
    (?:i am|we are) not mistaken)\b"""))
_TOLD = (laid_out(r"""
    (?:heading |about )?\d|(?:north|south|east|west)\w*\b|(?:i am |we are |being |further )*(?:told|called|cleared|
    advised|instructed|notice|instructions|atc|approach|center|the controller|they|he|she|i say|i tell|stopped)\b|
    (?:it|they|that|both|(?:the )?<\w+>) (?:reads?|match\w*|agrees?|says|shows)\b|both wings\b|
    (?:we|i) (?:can )?(?:figure|sort|work|think|get)(?: (?:it|this|that|things|everything|them|ourselves))+\b"""))
_WHOSE = laid_out(r"""
    (?:the|my|our|it|we|i|they|you|he|she|this|that|atc|approach|everything|all|<\w+>)""")
_HAPPENS = laid_out(r"""
    (?:is|are|has|have|fails?|dies?|quits?|goes|go|tells?|says?|calls?|clears?|stops?|levels?|reach\w*|pass\w*|gets?|
    settles?|comes?|works?|breaks?|lets?|drops?|tumbles?|spins?|starts?|shows?|reads?|crosse?s?|arrives?|fly|flies)""")
_PHASE = laid_out(r"""
    (?:land(?:ing|ed)?(?! (?:lights?|checks?|checklist|gear))|touch(?:ing|ed)? ?down|take ?off|taking off|lift ?off|
    rotation|rotating|departure|approach(?! (?:says|said|tells|told|answers?|calls?|is|has))|final|base(?: turn)?|
    downwind|crosswind|roll ?out|rolling out|the flare|level ?off|levell?ing off|shut ?down|shutting down|parking|
    parked|taxi(?:ing|ed)?|go(?:ing)? around|missed approach|top of (?:the )?(?:climb|descent)|
    the (?:marker|fix|faf|hold|procedure turn)|minimums)""")
"""Parts of a flight that are still to come when something is ordered for before or after them."""
_ASKS_WHEN = r"(?:can|could|will|may|should|shall|do|does) (?:we|i|you|they|it)\b"
_NO_LIST = laid_out(r"""
    (?! (?:check ?lists?|checks|check(?! (?:the|my|our|for|that|if|whether|<\w+>))|items|drills?|list|card|flow)\b)""")
CONDITION = re.compile(
    rf"(?:if|when(?! {_ASKS_WHEN})|whenever|as soon as)(?! {_COURTESY}) <?\w|"
    rf"(?<!\bat )(?<!\ba )(?<!\bjust )once(?! (?:more|again|over|around|round|a|per|every|each|and|or)\b)"
    rf"(?! {_COURTESY}) <?\w|"
    rf"unless(?! told| {_COURTESY}) <?\w|(?:until|till?)(?! (?:{_TOLD})) <?\w|"
    rf"(?:provided|providing|assuming|supposing|presuming|granted)(?: that)? {_WHOSE}\b|"
    rf"(?:(?:as|so) )?long as(?! {_COURTESY}) <?\w|(?<!just )in case(?! {_COURTESY}) <?\w|"
    r"(?:in|under) (?:the|that|such an?) (?:event|case)\b|on (?:the )?condition\b|"
    r"(?:depending|dependent|contingent|conditional) (?:up)?on\b|"
    rf"(?:the|(?:the )?next|every|each|any) (?:moment|minute|instant|second|time|<clock>) (?:that )?{_WHOSE}\b|"
    rf"(?:let us say|suppose|imagine)(?: that)? {_WHOSE}\b|(?:by the time|immediately|directly) {_WHOSE} |"
    r"(?:on|upon|after|when) (?:reaching|passing|crossing|leaving|arriving|breaking out|entering|intercepting|"
    r"level+ing|approaching|climbing|descending|exiting|clearing|becoming|getting|receiving|hearing)\b|"
    rf"(?:after|following|during)(?: (?:the|this|that|our|my|a))? (?:next )?(?:turn|climb|descent|{_PHASE})\b"
    rf"{_NO_LIST}|"
    rf"(?:before|prior to|ahead of)(?: (?:the|our|my|we|i))*(?: (?:am|are))? (?:short )?(?:{_PHASE})\b{_NO_LIST}|"
    r"(?<=\S )(?:on|at|in) (?:(?:the|short|long|right|left) )*(?:final|base|downwind|crosswind|touch ?down|flare)"
    r"(?: leg)?(?:$| ,)|"
    r"not (?:before|until|till) <?\w|(?:only|but not) (?:after|at|above|past|once) <?\w|"
    rf"after (?:(?:the|my|our) )?(?:it|we|i|they|atc|<\w+>|\w+) {_HAPPENS}\b|"
    r"after (?:we|i) (?:turn|climb|descend|land|level|stop|pass|reach|cross|break|roll)\b")
_TURNED_ROUND = compiled(r"""
    should (?!i\b|we\b|be\b)(?:(?:the|my|our) )?(?:<\w+>|\w+) <?\w|had (?:it|they|(?:the |my |our )?<\w+>|(?:the|my|
    our) \w+) \w|were (?:it|they|(?:the |my |our )?<\w+>|(?:the|my|our) \w+) to\b""")
"""A condition without "if": "should the AI fail", "had it failed"."""
_AWAY = laid_out(r"""
    (?:(?:at|in|within|inside|by|after) (?:about |another )?\d{1,3}(?:\.\d+)? (?:more )?
    (?:miles?|nm|nautical miles?|<navigation>)(?: (?:out|final|to (?:go|run)))?
    (?: (?:of|from|short of|before|past) (?:the )?(?:<\w+>|\w+))?|
    \d{1,3}(?:\.\d+)? (?:miles?|nm) (?:of|from|short of|before|past) (?:the )?(?:<\w+>|\w+))""")
"""How far off a thing is to be done: "at 10 miles", "in another 5 miles"."""
_POINT = laid_out(rf"""
    {_AWAY}|(?:(?:at|passing|through|reaching|approaching|leaving|above|below|over|abeam|past|by|crossing) (?:about |
    exactly )?(?:\d{{3,5}}
    (?! (?:knots|kts?|rpm|fpm|(?:feet|ft) (?:per|a)|for|on the))|<place>|<fix>)(?: (?:feet|ft))?|
    (?:on|in|at|over|inside|passing|crossing) (?:the )?(?:(?:short |long |right |left )*(?:final|base|downwind|
    crosswind)(?! approach)|flare|touch ?down|landing|rollout|minimums|outer marker|marker|faf|threshold))""")
_AT_A_POINT = re.compile(f"(?:{_POINT})" + laid_out(r"""
    (?: ,)? (?:and |then |we (?:will )?|i (?:will )?)?(?:turn|left|right|climb|descend|cover|uncover|switch|level|
    squawk|divert|tune|set|slow|fly|start|stop|add|reduce|pull|push|put|tell|call|declare|request|open|close|go|
    flaps?|power|throttle|lower|raise|idle|come|bank|roll|hold|maintain|wait|ident|check|look|compare|cancel|
    land|return|report|extend|continue|partial|<\w+> (?:on|off))\b"""))
"""An order for a point not reached yet: "at 5000 turn left"."""
_GOES_ON = laid_out(r"""
    (?:falls?|drops?|gets?|goes|comes?|builds?|rises?|climbs?|descends?|sinks?|decreases?|increases?|slows?|warms?|
    cools?|melts?|clears?|fades?|dies|fails|quits|pass(?:es)?|reach(?:es)?|cross(?:es)?|approach(?:es)?|nears?|
    enters?|leaves?|breaks? (?:out|up)|turns?(?! out)|rolls?|banks?|swings|returns?|recovers?|thins?|thickens?|
    worsens?|improves?|starts?|begins?|becomes?|drains?|runs (?:out|down|low)|burns?|accumulates?|levels?|settles?|
    stops?|lifts?|intercepts?|touch(?:es)?)""")
_AS = re.compile(
    rf"as (?!it (?:goes|comes|gets)(?:$| ,)|(?:we|i) (?:go|come)\b)(?:(?:the|my|our|this|that|your) )?"
    rf"(?:it|we|i|they|she|things|<\w+>|\w+)(?: (?!(?:is|are|am|was|were|has|have|had|will)\b)\w+)? {_GOES_ON}\b")
"""What comes little by little, or at a point: "as the suction falls", "as we pass 3000". "As it is getting colder" is a
reason."""
_BESIDE = compiled(r"""
    (?:check|look|watch|see|read|monitor|scan|compare|cross|verify|note|hold|maintain|keep|fly|use|trust|continue|
    tell|say|call|ask|request|declare|report)\b""")
"""Orders that are for now, though something is said to go on meanwhile: "watch the AI as we turn"."""
_COMPARES = re.compile(r"\b(?:as|so|same|just|such|exactly|even|only)(?: \w+)? $")
_AWAY_AT_END = re.compile(rf"(?<!are )(?<!am )\b{_AWAY}(?: please)?$")
_INSIDE = re.compile(rf"(?:^|(?<= ))(?:{CONDITION.pattern})")
_LEFT_OVER = r"(?:if|when|once|unless)(?: so| not)?(?=$| ,)|(?:if so|if not|otherwise|or else|else)\b"
_OPENS = re.compile(rf"(?:(?:but|and|then|only|just|ok|okay|now) )*(?:(?:wait|hold on|hang on|stand ?by) )?"
                    rf"(?:{CONDITION.pattern}|{_TURNED_ROUND.pattern}|{_AT_A_POINT.pattern}|{_AS.pattern}|{_LEFT_OVER})")
_OPENS_OTHERWISE = re.compile(
    rf"(?:(?:but|and|then|only|just|ok|okay|now) )*(?:{_TURNED_ROUND.pattern}|{_AT_A_POINT.pattern}|{_AS.pattern}|"
    rf"{_LEFT_OVER})")
_NO_CONDITION_BEFORE = compiled(r"""
    \b(?:check|see|verify|know|knows|tell|look|find out|wonder|wondering|ask|what|what happens|sure|confirm|
    decide|determine|test|as|even|say|figure out|learn|watch|monitor)(?: (?:me|us|out|to see|and see|<\w+>))? $""")
_CHECKS = compiled(r"""
    ^(?:check|see|verify|look|find out|determine|confirm|make sure|test|ask)\b(?: \w+){0,3}? (?:if|whether|that) """)
_ORDERED = compiled(r"""
    \b(?:cover|uncover|hide|mask|turn|climb|descend|check|look|compare|fly|go|set|squawk|maintain|hold|slow|
    tell|say|call|declare|request|cancel|divert|land|open|close|switch|use|start|stop|reduce|add|partial|full|
    put|pull|push|raise|lower|flaps?|power|tune|ask|report|roll|align|reset|ident|continue|recover|trust) \S""")


_LET_US_SAY = re.compile(r"(?:(?:and|so|but|ok|okay|now) )*let us say\b")


def opens(text: str) -> bool:
    """Whether `text` begins with a condition ("if it is zero ...")."""
    return _LET_US_SAY.match(text) is not None or _OPENS.match(without_opening(text)) is not None


def is_conditional(text: str) -> bool:
    """Whether an order's words hold a condition. The compass is right only in straight and level flight: "align it
    once level" says no more than how it is done."""
    return _LET_US_SAY.match(text) is not None or begins_at(without_opening(text)) >= 0


def begins_at(plain: str) -> int:
    """Return where in an order's words a condition begins, -1 where there is none."""
    if _OPENS_OTHERWISE.match(plain):
        return 0
    if _LOOKS_HOW.match(plain):
        return -1
    for match in _INSIDE.finditer(plain):
        before = plain[:match.start()]
        waited_for = match.group()[0] in "ut" and _WAITS.match(before) and not any(
            _is_order(without_opening(part)) for part in plain[match.end():].split(" , ")[1:])
        if waited_for or _NO_CONDITION_BEFORE.search(before):
            continue
        if re.match(r"^(?:align|sync|set|reset|match)\w*\b.*\b<?(?:magnetic_compass)\b", before) and re.fullmatch(
                r"(?:when|once|if) (?:(?:we|i|are|am|is|it|in|the|straight|and|wings) )*level(?: flight)?",
                plain[match.start():]):
            continue
        return match.start()
    if not _is_order(plain) or _BESIDE.match(plain):
        return -1
    later = next((match for match in _AS.finditer(plain) if not _COMPARES.search(plain[:match.start()])
                  and plain[match.start() - 1] == " "), None) or _AWAY_AT_END.search(plain)
    return later.start() if later else -1


_LOOKS_HOW = re.compile(r"(?:check|see|verify|look|find out|watch|note|tell me) (?:if|whether|what|how|which) ")
"""What is looked at may be how it is when something happens: "see if the ASI moves when I pull"."""
_WAITS = re.compile(r"(?:wait|hold|holding|stand ?by)\b")
_UNTIL = re.compile(rf"\b(?:until|till?)(?! {_TOLD}) <?\w|"
                    r"^(?:wait|wait for|hold on for|hang on for|stand ?by for|pause for|let(?! us)) "
                    r"(?:(?:the|my|our|this|that) )?(?:<\w+>|wings|airplane|aircraft|nose|turn|climb|descent|needle|"
                    r"ball|bank|speed|altitude|heading|course|rate|engine|oil|compass|it|us)(?: to)? "
                    r"(?:be|get|come|go|settle|stop|cent\w+|level|reach|rise|fall|drop|spin|warm|finish|stabili[sz]e|"
                    r"end|complete|roll|steady|swing|calm|slow|cool)\b")


def _is_order(plain: str) -> bool:
    return _ORDERED.match(plain) is not None or _ORDERS.match(plain) is not None


def checks(text: str) -> bool:
    """Whether `text` looks whether something is so ("check if the suction is low")."""
    return _CHECKS.match(without_opening(text)) is not None


def only_condition(text: str) -> bool:
    """Whether `text` is a condition with no order in it ("if suction is zero")."""
    return opens(text) and _ORDERED.search(text) is None


def governs_order(text: str) -> bool:
    """Whether `text` is a condition with an order after its comma ("if the AI fails, cover it")."""
    after = text.split(" , ")[1:]
    return opens(text) and (
        _OF_IT.search(text) is not None or any(_is_order(without_opening(part)) for part in after))


def follows_order(text: str) -> bool:
    """Whether a condition in `text` comes after an order ("turn left after the descent")."""
    plain = without_opening(text)
    return begins_at(plain) > 0 and _ORDERED.match(plain) is not None


_OF_IT = re.compile(r" (?:cover|uncover|hide|mask|ignore|reset|open|close|kill) (?:it|them)\b")


def asked_in_time(piece: Sequence[Token], typed: str) -> Unclear:
    """Return the question about the conditional order `piece`."""
    words = typed[piece[0].start:piece[-1].end].strip(" ,.;:")
    return Unclear(f'{ASK_IN_TIME}"{words}".')


def together(pieces: Sequence[tuple[Token, ...]], typed: str) -> list[tuple[Token, ...]]:
    """Return `pieces` with each condition and what it governs as one.

    A condition that opens governs all that follows to the end of its sentence; one that comes after a comma, with no
    order behind it, governs the order before it. What follows "then" after a look whether something is so hangs on it
    ("check if the suction is low, then cover the AI"), and so does, to the end of its sentence, what follows an order
    that lasts "until" something ("hold heading until established, then descend").
    """
    joined_up: list[tuple[Token, ...]] = []
    governs = until = False
    for at, piece in enumerate(pieces):
        if governs and joined_up and "." not in typed[joined_up[-1][-1].end:piece[0].start]:
            joined_up[-1] = _with_commas((*joined_up[-1], _comma(piece), *piece))
            continue
        start = piece[0].start
        until = (until or (at > 0 and _UNTIL.search(joined(pieces[at - 1])) is not None)) and (
            "." not in typed[pieces[at - 1][-1].end:start])
        looked = bool(joined_up) and checks(joined(joined_up[-1]))
        if until or (looked and "then" in typed[joined_up[-1][-1].end:start].lower()):
            piece = (Token("if", start, start), Token("so", start, start), *piece)
        piece = _with_commas(_another_time(piece, typed))
        text = joined(piece)
        governs = opens(text) or only_quotes(text.rstrip(" ,.")) or (
            at + 1 < len(pieces) and re.fullmatch(_POINT, text) is not None)
        joined_up.append(piece)
    if len(joined_up) > 1 and only_condition(joined(joined_up[-1])) and "." not in typed[
            joined_up[-2][-1].end:joined_up[-1][0].start]:
        joined_up[-2:] = [(*joined_up[-2], _comma(joined_up[-1]), *joined_up[-1])]
    return joined_up


_ORDERS = compiled(r"""
    (?:heading|hdg) \d|level (?:(?:the|my|our|those) )?wings\b|wings level|level (?:off|out|at)\b|
    (?:turn|come|bank|roll|steer) (?:left|right|to|on|off|the|my|our|back|around|<)|
    (?:climb|descend)(?:$| (?:and|to|now|back|\d))|(?:squawk|ident|idle|land|divert|continue|maintain|hold|wait|flaps|
    abort|reject|return|press on|carry on)(?:$| (?!,))|(?:partial|full|limited) <panel>|partial$|
    (?:go|fly|revert to|switch to) (?:heading|\d|partial|full|to|by|the|on|back|direct|around)|
    (?:cover|uncover|hide|mask|check|compare|look at|cross ?check|reset|align|open|close|tap|pull|push|raise|lower|
    trust|use|set|kill|reduce|add|tune|run the|call|tell|declare|request|cancel|shut|stop|start) (?!,)|
    (?:switch|put) (?:on|off|the|my|our|<)|<\w+> (?:on|off|open|closed)\b|slow (?:to|down|\d)|
    power (?:off|idle|back|up)|full power""")
_NO_ORDER_AFTER = word_set(
    """i we you they to and or the a an my our your this that not do did can could will would may might must should of
    in on at by for with cannot if when once unless until till as soon so is are am was were be been being new
    <engine>""")


def _another_time(piece: tuple[Token, ...], typed: str) -> tuple[Token, ...]:
    """Return `piece` with "next time", which is a name like "this time", as the condition that it is."""
    found: list[Token] = []
    for token in piece:
        said = typed[token.start:token.end].lower()
        later = token.text == "<moment>" and said.startswith("next")
        found += (Token("if", token.start, token.end), Token("so", token.end, token.end)) if later else (token,)
    return tuple(found)


def _with_commas(piece: tuple[Token, ...]) -> tuple[Token, ...]:
    """Return a condition with a comma before each order that follows it without any: it governs them all."""
    if not opens(joined(piece)):
        return piece
    parted: list[Token] = list(piece[:2])
    for at in range(2, len(piece)):
        before = piece[at - 1]
        begun = before.is_break or (parted[-2].is_break and piece[at].text[0] != "<")
        if not begun and before.text not in _NO_ORDER_AFTER and _ORDERS.match(joined(piece[at:at + 4])):
            parted.append(_comma(piece[at:]))
        parted.append(piece[at])
    return tuple(parted)


def _comma(before: Sequence[Token]) -> Token:
    return Token(",", before[0].start, before[0].start)
