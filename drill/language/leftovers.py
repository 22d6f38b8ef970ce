"""What an order's words leave unread: parts of it that the rule which took it made no use of.

A part between commas that could be taken away without changing what is read is an order of its own, only talk, said
twice, or not understood. Only the last is asked about; nothing that may be an order is dropped in silence.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeAlias

from drill.language.durations import durations
from drill.language.equipment import equipment_said
from drill.language.in_other_words import in_other_words
from drill.language.instruments import INSTRUMENTS
from drill.language.lexicon import name_of
from drill.language.meaning import Action, Decide, Diagnose, FlyBy, Look, Turn, Unclear
from drill.language.orders import Order, order, without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.places import PLACE
from drill.language.withdrawn import takes_back
from drill.language.words import Token, word_set

Reader: TypeAlias = Callable[[Order], list[Action] | None]

MOST_TAIL = 4
"""Words after an "and" that may be an order of their own; more are a tale."""
_ARTICLE = re.compile(r"^(?:(?:the|a|an|my|our|that|this) )+")
_OTHERS = re.compile(r"(?:rest|others?|lot|same|like|so on)\b")
_TOLD = re.compile(r"\b(?:is|are|was|were|has|have|had|will|did|does)\b")
NOT_UNDERSTOOD = "Not understood: "
MOST_PARTS = 6
_TALK = compiled(r"""
    ^(?:the|my|our|your|a|an|it|that|this|these|those|they|he|she|we|i|you|there|here|so|because|since|as|if|when|
    while|once|until|till|unless|before|after|not|no|yes|nope|looks?|seems?|feels?|sounds?|nice|easy|good|great|oh|
    hm+|ah+|whoa|wow|god|man|shit|hell|crap|dear|sorry|any|which|where|why|maybe|perhaps|probably|with|without|
    like|just|still|is|are|was|nothing|everything|something|both|all|none|ok|okay|right|alright|sir|please|thanks|
    thank|quick|quickly|careful|carefully|now|immediately|asap|instead|too|also|again|in|on|at|of|to|by|from|only|
    even|must|should|would|could|i e|e g|hey|hello|hi|well|fine|real|really|very|steady|smooth|gently|slowly|
    come on|lets|let us|time to|better|done|go|going|uh+|um+|er+|phew|see|think|guess|being|having|due|using|than|
    or|but|what|how|who|whose|buddy|mate|man|folks|<moment>|left to right|right to left|top to bottom|one by one|
    1 by 1|(?:it |that |this )?(?:might|could|may) be|captain|calm|relax|breathe|focus|think|remember|never|
    get (?:us |me )?(?:back |up |down )?(?:above|below|out of|clear of|on top of|away from) (?:this|the|that|it|here)|
    be done with (?:it|this|that)|all|every|mine|hers|his|more|less|
    much|then|next|first|second|third|last|finally|actually|wait|hold on|hang on|
    (?:stay|keep|remain|be) (?:calm|cool|steady|alert|focused|patient|careful|your|my|on it|at it|going|ahead)|
    fly the (?:airplane|plane|aircraft)|aviate|navigate|communicate|exactly|about|roughly|approximately|oops|whoops|
    smoke|flames|panic|plan [a-d]\b|head (?:up|down)|\w+ next$|give my \w+ a rest|
    forget the (?:trip|flight|plan|schedule)|one more time|once more|over|out|copy|roger|wilco|hurry|pronto|stat|
    emergency|(?!fly\b[^,]*\d|(?:apply|reply)\b)\w+ly|pal|dude|guys|boy|argh|ugh|\w+ wise|north|south|east|west|
    one of (?:them|the|these|those)|<ice> (?:about|around|ahead|here|everywhere|outside|building|forming)|difference|
    trim|\w+ mode|get up out of|were|we are|top to|enough|can i|do i|
    do (?:these|both|the 2|the two)|
    are (?:they|these|both)|get out|alternate it is|shortest|short way|quickest|<panel> (?:is|are)|main|primary|
    ball|needle|neither|mark|get (?:us |me )?out of|under|below|above|past|through|along|beside|behind|via|mode \w+|
    one (?:never|always|should|must|does)|\d+ (?:min|minutes) (?:gone|up|past|later)|laddie|lad|lass|eh|innit|
    ignore (?:the|my) (?:seat|feelings?|body|ears?|inner)|yikes|do they|does it|are they|best (?:glide|rate|angle)|
    vy|vx|student|chief|boss|stop (?:messing|fooling|worrying|panicking|staring|fiddling|faffing)|
    (?:field|runway|airport) in sight|runways?|weather|closer|nearer|longer|shorter|safer|student|ready|yikes|jeez|
    dang|shoot|same|ditto|ta|cheers|whatever|standard|normal)\b""")
"""How words begin that give no order: they tell of one, give a reason, or are said to oneself."""
_REFERS = compiled(r"""
    sort (?:it|this|that|things) out|pull over|check (?:the )?(?:two|2|both)(?: of them)? against (?:each other|
    one another)|let it (?:ride|be|settle|run|cool(?: down)?|rest)|engage|cancel|reset|
    timed(?: on the <clock>)?|
    (?:hold|keep|stay) (?:it |that )?there|take (?:that|the|my) (?:\w+ ){1,3}(?:off|away)|accelerate|speed up|
    slow it down|do (?:one|1) thing|(?:fold|grab|get|take|tear off|find|pick up) (?:the|my|a) (?:\w+ ){0,3}(?:plate|
    chart|card|paper|note|napkin|sticker)(?: in half)?|put it (?:in|on)(?: the <\w+>)?|wind it (?:on|up|in)|
    keep (?:it|them|her|us|that) (?:up|covered|uncovered|on|off|open|closed|that way|there|so|level|straight|steady)|
    give it a (?:look|glance|peek|try|go)|
    get us (?:somewhere|out|away)(?: else| safe| now)*|slow (?:right )?(?:down|up)|
    \d{3,4} (?:feet per minute|feet a minute|fpm)(?: down| up| please| or so)*|(?:and )?tell me(?: so)?|
    (?:and )?leave (?:it|them|that) (?:on|off|so|there|alone|covered|uncovered|like that|as it is|open|closed)|
    (?:wind|dial|put|punch|crank|roll) it (?:in|up)(?: (?:on|to) the <\w+>)?|
    (?:(?:have|take) a look|look|verify|compare(?: the (?:2|3|two|three|instruments)(?: of (?:them|these|those))?)?|
    check(?: it)?|(?:check|look at|read) (?:the )?(?:gauge|needle|dial|instruments?))(?: now| please)?|
    (?:set|do|make|get|check|read|watch|keep|see|use|hit|try|go for|give|take|
    note)(?: (?:it|that|so|this))?(?: (?:up|done|now|please|closely|again|happens|working|going|a try|a go|
    a moment))*|(?!cover|uncover|hide|kill|close|open|pull|push|reset|switch|tell|stop)\w+ (?:it|that|this|
    so)(?: now| please)?|(?:go|fly|turn|head|come|get|start|stay|keep) (?:now|there|here|ready|set|going|steady|
    home|safe|easy|slow)""")
"""An order that only says again that the one beside it is to be done."""
_PARTICIPLE = re.compile(r"\w{3,}(?:ing|ed)")
_COLOURS = word_set(
    """hot full cold softly gentle soft slow shallow nice and very a bit little tad fast faster sharp smooth
    steady level straight standard half rate turn max maximum minimum best partial panel together today tonight
    here there though anyway anyhow either somehow already soon later forever always often twice thrice ahead
    around away back backup cheers cautious careful calm tight wide precise exact approximate sir madam please
    pretty easy does hard dead frozen stuck broken gone odd weird strange useless blank dark dim wrong bad
    suspect faulty unreliable toast kaput wobbly zero nil empty bogus fishy funny bumpy cloudy rough foggy inop
    inoperative bingo bummer rats blimey yay yeah yup nah okey affirm thx ty pls plz lol welp alas indeed
    sure certainly perfect cool lovely super excellent fantastic righto mate friend ahem gosh heck bugger wow""")
"""Words that say how, when or why an order is done, or are said to oneself; no order by themselves."""


_STATEMENT = compiled(r"""
    ^(?!tell |say |do |set |turn |make |put |look |see )(?:(?:the|my|our|this|that|these|those|an?|some|no|it|
    he|she|they) )?[\w<>]+(?: \w+)? (?:is|are|was|were|says?|said|looks?|reads?|shows?|seems?|feels?|will|would|
    has|have|had|needs?|can|could|does|did|means?)\b""")
"""How a part begins that tells something and orders nothing: "compass says 240", "runway is longer"."""


STAYING = laid_out(r"""
    (?:the |my |our )?<\w+> (?:stays?|staying|remains?|remaining|(?:is|has) to stay)(?: (?:on|off|open|closed|shut|out|
    in|up|down|running|where (?:it is|they are)|as (?:it is|they are)))?""")
"""What is said to stay as it is, and so is not touched."""
_STAYS = re.compile(rf"(?:(?:and|but|while) )?{STAYING}")
_HOW_WE_ARE = re.compile(r"^(?:and |so |now )*(?:we|i) (?:are|am) (?:in|out|on|off|clear|above|below|through|past|back|"
                        r"level|fine|good|ok|okay|safe)\b(?! (?:\w+ )?<)(?!.*\band\b)|^(?:we|i) (?:are|am) clear of\b")
"""How a part begins that only tells how things are with us: "we're clear of the ice"."""
_ORDERED = compiled(r"""
    (?:then |and )?(?:\w+ )?(?:turn|climb|descend|hold|maintain|fly|set|squawk|tell|call|request|cover|check|look|
    switch|slow|level|heading|left|right|open|close|tune|run|declare|frob|cycle|recycle|put|get|do|twist|pull|
    push)\b""")
_IMPERATIVE = compiled(r"""
    ^(?:(?:and|then|now|also|please) )*(?!(?!bring\b|swing\b|sling\b|wing\b)\w{2,}ing\b)\w+ (?:the|an?|my|our|it|that|
    this|them|those|these|some|all|both|
    every\w*|up|down|on|off|out|him|her|me|us)\b""")
"""The shape of an order: a verb and what it is done to. What has it not, tells or explains."""


def has_shape_of_order(text: str) -> bool:
    """Whether a clause begins like an order: with a verb and what it is done to, or with a verb of the cockpit."""
    return _IMPERATIVE.match(text) is not None or _ORDERED.match(text) is not None


def may_be_order(piece: Order) -> bool:
    """Whether a part that is not understood is asked about: a single word, the shape of an order, a figure or a
    name."""
    return bool(piece.names) or len(piece.line) == 1 or any(
        token.text[0].isdigit() for token in piece.line) or has_shape_of_order(piece.text)


def not_understood(piece: Order) -> Unclear:
    """Return the question about `piece`, which could not be read beside others that could."""
    words = piece.typed[piece.line[0].start:piece.line[-1].end].strip(" ,.;:")
    return Unclear(f'{NOT_UNDERSTOOD}"{words}".')


def not_understood_words(action: Action) -> str | None:
    """Return the words that a question of `not_understood` is about, None for any other action."""
    asks = isinstance(action, Unclear) and action.ask.startswith(NOT_UNDERSTOOD)
    return action.ask.removeprefix(NOT_UNDERSTOOD)[1:-2] if isinstance(action, Unclear) and asks else None


def says_nothing(piece: Order) -> bool:
    """Whether `piece` orders nothing: talk, a broken-off start ("lights.. landing light on"), or "set it" after all."""
    if not piece.line or takes_back(piece.text):
        return True
    if _STAYS.fullmatch(piece.text):
        return True
    plain = without_opening(piece.text + " ").strip(" ,.?")
    if _HOW_WE_ARE.match(piece.text):
        return True
    hesitates = piece.typed[piece.line[-1].end:].lstrip().startswith(("..", "…"))
    if _STATEMENT.match(plain) or re.fullmatch(r"(?:the |my )?<\w+> (?:fine|ok|okay|good|normal|works|alright)", plain):
        return True
    return len(plain) < 2 or hesitates or _TALK.match(plain) is not None or _REFERS.fullmatch(plain) is not None


_COVERS = frozenset({"cover", "hide", "uncover", "mask"})


_FIGURE = re.compile(r"(?:heading )?(\d{2,5})(?: feet| ft| degrees)?")
_TO_IT = ("to", "onto", "for", "at")


def with_figure(piece: Order, before: Order) -> Order | None:
    """Return `piece` with the figure that alone stands before it in the place of "it" ("240, turn to it")."""
    figure = _FIGURE.fullmatch(before.text)
    at = next((n for n, token in enumerate(piece.line) if n and token.text in ("it", "that")
               and piece.line[n - 1].text in _TO_IT), None)
    if figure is None or at is None:
        return None
    meant = Token(figure.group(1), piece.line[at].start, piece.line[at].end)
    return order((*piece.line[:at], meant, *piece.line[at + 1:]), piece.typed, piece.book)


def _refers(line: Sequence[Token], at: int) -> bool:
    return line[at].text in ("it", "them",
                             "him") or (line[at].text == "that" and at > 0 and line[at - 1].text in _COVERS)


_COVER_OFF = compiled(r"""
    (?:(?:get|take|pull|peel|have|whip) )?(?:(?:the|that|this|my|our) )?(?:<covering>|cover|card|paper|note|sticky|
    sticker|tape|disc|disk|patch|post it)s?(?: (?:can|
    may|to|
    comes?|goes?|come|go))* (?:off|away)(?: again| now| please)*""")


def _there(line: Sequence[Token]) -> int:
    """Return where a "there" stands for a place ("nearest is Wendle, go there"), 0 where none does."""
    return next((at for at in range(1, len(line)) if line[at].text == "there" and line[at - 1].text in _BOUND), 0)


_BOUND = frozenset({"go", "going", "divert", "diverting", "land", "landing", "head", "heading", "proceed", "fly", "us",
                    "direct", "over", "return"})


def with_referent(piece: Order, earlier: Sequence[Order]) -> Order | None:
    """Return `piece` with the last thing named before it in the place of "it", or None ("the AI died, cover it")."""
    named = [token.text for each in earlier for token in each.line if name_of(token.text)]
    if (there := _there(piece.line)) and (places := [token for each in earlier for token in each.line
                                                     if token.text == PLACE]):
        to = Token("to", piece.line[there].start, piece.line[there].start)
        return order((*piece.line[:there], to, places[-1], *piece.line[there + 1:]), piece.typed, piece.book)
    if named and _COVER_OFF.fullmatch(piece.text):   # "let me see the DG again, cover off"
        first = piece.line[0]
        return order((Token("uncover", first.start, first.end), Token(named[-1], first.end, first.end)), piece.typed,
                     piece.book)
    at = next((n for n, token in enumerate(piece.line) if _refers(piece.line, n)), None)
    if at is None or not named or (piece.names and (at > 1 or piece.names[:1] == (name_of(named[-1]),))):
        return None
    last = _failed_one(piece, earlier, named) or named[-1]
    meant = Token(last, piece.line[at].start, piece.line[at].end)
    return order((*piece.line[:at], meant, *piece.line[at + 1:]), piece.typed, piece.book)


def _failed_one(piece: Order, earlier: Sequence[Order], named: Sequence[str]) -> str | None:
    """Return the one thing of those named that is said to have failed, where one is to be covered: "AI is tumbling but
    the TC is good, cover it"."""
    named = [name for name in named if name_of(name) in INSTRUMENTS]
    if _COVERS.isdisjoint(token.text for token in piece.line) or len(set(named)) < 2:
        return None
    failed = {part for each in earlier for part in equipment_said(each.line, each.book).failed}
    lost = {name for name in named if failed & set(piece.book.equipment(str(name_of(name))))}
    return lost.pop() if len(lost) == 1 else None


def left_over(piece: Order, found: Sequence[Action], first_fit: Reader) -> list[Action]:
    """Return what the parts of `piece` that `found` makes no use of say: further actions, or questions."""
    parts = _parts(piece.line)
    if not 1 < len(parts) <= MOST_PARTS:
        return _tail(piece, found, first_fit)
    said: list[Action] = []
    for at, part in enumerate(parts):
        here = order(part, piece.typed, piece.book)
        decided = all(isinstance(action,
                                 Decide) for action in found) and not _ORDERED.match(here.text) and not here.names
        told = all(isinstance(action, Diagnose) for action in found) and not _ORDERED.match(here.text)
        if says_nothing(here) or _repeats(here,
                                          found) or _only_colours(here) or decided or told or (
                in_other_words(here, found) or not may_be_order(here)):
            continue
        rest = [token for n, each in enumerate(parts) if n != at for token in (_comma_before(each), *each)]
        if first_fit(order(rest[1:], piece.typed, piece.book)) == list(found):
            meant = with_referent(here, [order(rest[1:], piece.typed, piece.book)]) if first_fit(here) is None else None
            said += [action for action in _alone(meant or here, first_fit, statements=False) if action not in found]
    return said


def _tail(piece: Order, found: Sequence[Action], first_fit: Reader) -> list[Action]:
    """Return the question about what follows the last "and" of `piece` and is not understood ("and the thingummy")."""
    at = max((n for n, token in enumerate(piece.line) if token.text == "and"), default=0)
    tail = order(piece.line[at + 1:], piece.typed, piece.book)
    bare = _ARTICLE.sub("", tail.text)
    if at == 0 or not 1 <= len(tail.line) <= MOST_TAIL or not re.fullmatch(r"[a-z0-9 ]+", bare) or _TOLD.search(bare):
        return []
    named = order([token for token in tail.line if token.text in bare.split()], piece.typed, piece.book)
    if says_nothing(named) or _only_colours(tail) or _OTHERS.match(bare) or in_other_words(tail, found):
        return []
    alone = first_fit(order(piece.line[:at], piece.typed, piece.book))
    if alone != list(found):
        return []
    return [not_understood(tail)] if (said := first_fit(tail)) is None else [
        action for action in said if action not in found and not isinstance(action, Diagnose | Unclear)]


def part_by_part(piece: Order, first_fit: Reader) -> list[Action]:
    """Return what the parts of `piece`, which is not understood as a whole, say each for itself."""
    if says_nothing(piece):
        return []
    parts = _parts(piece.line)
    if not 1 < len(parts) <= MOST_PARTS:
        return [not_understood(piece)]
    said = [action for part in parts if not says_nothing(here := order(part, piece.typed, piece.book))
            for action in _alone(here, first_fit, statements=True)]
    if all(isinstance(action, Look | Unclear) for action in said):
        return [not_understood(piece)]   # "the HUD, twist it": a name in what is not understood is no order to look
    return said


def _alone(part: Order, first_fit: Reader, *, statements: bool) -> list[Action]:
    found = first_fit(part)
    if found is None:
        return [not_understood(part)]
    return found if statements or not any(isinstance(action, Diagnose) for action in found) else []


def _parts(line: Sequence[Token]) -> list[tuple[Token, ...]]:
    parts: list[list[Token]] = [[]]
    for token in line:
        if token.is_break:
            parts.append([])
        else:
            parts[-1].append(token)
    return [tuple(part) for part in parts if part]


def _only_colours(part: Order) -> bool:
    """Whether `part` is words that only say how an order is done ("turn left, nice and gentle")."""
    return all(token.text in _COLOURS or _PARTICIPLE.fullmatch(token.text) for token in part.line)


def _comma_before(part: Sequence[Token]) -> Token:
    return Token(",", part[0].start, part[0].start)


_PARTIAL_PANEL = {"airspeed_indicator", "turn_coordinator", "altimeter", "magnetic_compass", "vertical_speed_indicator"}


_BARE_CHANGE = re.compile(r"(climb|descend|left|right)(?: now| please)?")
"""What only says again which way: "up to eight thousand, climb"."""


def _repeats(part: Order, found: Sequence[Action]) -> bool:
    """Whether every figure and name in `part` is in `found` already ("left to north, 360")."""
    labels = [action.as_labels() for action in found]
    values = [value for each in labels for value in each.values()]
    known = {value for value in values if isinstance(value, str)} | {
        each for value in values if isinstance(value, list) for each in value}
    figures = {float(value) for value in values if isinstance(value, int | float)} | {
        float(value) for value in values if isinstance(value, str) and value.isdecimal()}
    said = [float(token.text) for token in part.line if re.fullmatch(r"\d{1,6}(?:\.\d{1,3})?", token.text)]
    named = [name for token in part.line if (name := name_of(token.text))]
    if (bare := _BARE_CHANGE.fullmatch(part.text)) is not None:
        return any(each.get("direction") == bare.group(1) for each in labels)
    if not said and not named:
        return False
    if any(action == FlyBy("partial_panel") for action in found) and set(named) <= _PARTIAL_PANEL:
        return True
    if durations(part.text) and any(isinstance(action, Turn) and action.by_deg for action in found):
        return True
    return all(each in figures for each in said) and all(each in known for each in named)
