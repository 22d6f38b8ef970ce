"""What the caller says of the flight: intentions, impairment, weather, urgency. Texts are as in `clauses`."""

from __future__ import annotations

import re
from typing import Literal

from drill.language.alternatives import Phrases, by_words
from drill.language.clauses import sentences
from drill.language.equipment import is_pretended
from drill.language.figures import reads_back
from drill.language.hearsay import is_asked, is_denied, is_of_others, is_of_the_past, tells_of_others
from drill.language.lexicon import Lexicon
from drill.language.meaning import Urgency
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought
from drill.language.withdrawn import drops_plainly

_NOT_INTENDED = compiled(r"""
    (?:\b|(?=<))(?:not|no|no intention (?:to|of)|<\w+> (?:is|are|both|all|are both|keeps?)|
    (?:picture|card|world|room|ball|needle|everything) (?:is|keeps?)|ferry|boat|rather than|instead of|
    unable to|can not|no longer|not able to|if we|
    if i|can|may|may have to|might|might have to|might need to|may need to|do not know how to|cleared to|
    request vectors to|vectors to|unable|
    thinking (?:of|about)|considering|priority|request priority|relay|request(?:ing)?(?: [\w<>]+){0,5} to a|i was|
    we were|was|were|capable of|able to|ability to|what|where|when to|
    (?:what|which)(?: is)?(?: the| my| our)?) $""")
_TO_A_LEVEL = re.compile(r"(?:descending|climbing) to \d")
_AS_TOLD = re.compile(r"\bas (?:cleared|instructed|assigned|requested|told|directed|ordered|given|"
                      r"you (?:said|say|told|asked|want\w*|wish))\b")
_ROUND_TO = re.compile(r"(?:descending|climbing|coming|turning|going|heading)\b[^,]*? to (?:heading )?\d")
"""A turn, climb or descent with its figure, which "as you said" makes a read-back."""
_OF_NOBODY = re.compile(r"(?:>|\b(?:it|that|which|they|needles?|pointer|light|horizon)) $")
"""Whose "will" is nobody's intention: "it will come back"."""
_PASSED_ON = re.compile(r"\b(?:pass|relay)\b.*\bthat\b")
_WONDERED = compiled(r"""
    ^(?:why|did (?:we|i|you)|would you (?:recommend|suggest)|who|is \w+ (?:landing|diverting|going)|somebody|
    anybody)\b""")
_OUT_OF_TOUCH = compiled(r"""
    ^(?:but |and )?if (?:you (?:lose|do not hear)|(?:we|i) (?:go quiet|drop off|lose (?:you|contact|comms?))|
    (?:this |my |our |the )?<radio(?=>))\b""")
"""A condition after which the intention holds all the same: what is meant to be done out of touch with ATC."""


def states_intentions(text: str, book: Lexicon) -> bool:
    """Whether the caller says what they mean to do."""
    told_to = reads_back(text)
    for sentence in sentences(text):
        for clause in sentence:
            for match in book.intends.finditer(clause):
                before = clause[:match.start()]
                if _PASSED_ON.search(before):
                    continue   # "pass a message that we will be parking on the east side"
                if (told_to or _AS_TOLD.search(clause)) and _TO_A_LEVEL.match(match.group()):
                    continue   # "left heading 350, descending to 2000" reads back
                if _AS_TOLD.search(clause) and _ROUND_TO.match(clause[match.start():]):
                    continue   # "coming round to 040 as you said"
                if match.group().startswith("will ") and _OF_NOBODY.search(before):
                    continue   # "neither the VOR nor the GPS will come back"
                if before.endswith("you ") and not match.group().startswith(("we ", "i ")):
                    continue   # "so you will have to use your eyes"
                holds = "expect" in match.group() or _OUT_OF_TOUCH.match(clause)
                if not (_NOT_INTENDED.search(before) or is_of_others(before) or _WONDERED.match(clause)) and (
                        holds or not (book.unlikely.search(before) or clause.startswith("if "))):
                    return True
    return False


_NO_LONGER = re.compile(r"\b(?:no longer|not|off)(?: on)?(?: the)? (?:partial|limited|half) panel\b")
_PAST = re.compile(r"\b(?:had|was) an? (?:\w+ ){0,2}(?:<gyros> )?(?:situation|problem|issue|failure|scare|moment)\b")


_TO_GET_IN = Sought(r"\bif\b(?! (?:you|able))|\bto get (?:in|down)\b")
_INTENTIONS = re.compile(r"^(?:my |our )?intentions?\b")


def states_impairment(text: str, book: Lexicon) -> bool:
    """Whether the caller says how far the ability to fly IFR is reduced, or that it is not; practice reduces
    nothing."""
    if is_pretended(text, book):
        return False
    text = text.replace("needle , ball", "needle ball")
    return any(book.impaired.search(_NO_LONGER.sub("", clause) if " panel" in clause else clause)
               and not _PAST.search(clause)
               for sentence in sentences(text) for clause in sentence
               if not _TO_GET_IN.search(clause))


_NOT_ICING = compiled(r"""
    \b(?:clear of|avoid\w*|no|no longer in|without|(?:was|were|had been|been)|free of|out of any|stay out of|forecast|
    against|in case of|prevent\w*|remain clear of|to avoid|report(?:s|ed|ing)?(?: of| any)?|any|
    expecting|pireps?(?: for| of| about)?)(?: \w+)? ?$|
    \bnot $""")
_NOT_THERE = compiled(r"""
    ^ (?:(?:has|have|is|are|was|all|just|now) )*(?:forecast\w*|expected|reported|likely|possible|predicted|until|
    up to now|so far|yet|been and gone|gone|cleared|melted|off|
    (?:on )?the (?:runway|taxiway|ramp|apron))\b""")
_SOUGHT = compiled(r"""
    \b(?:to|into|with|find\w*|some|where|anywhere|until|request\w*|for|get|reach\w*|toward|towards|remain|looking|
    need|want|any|stay|out of|vectors?|nearest|closest|like|(?<!keep )(?<!hold )(?<!fly )a heading|(?<!can )not|no|
    keep (?:us|me)|climb\w*|descend\w*|
    before|if|lose|expect\w*|report\w*|cancel|were|was|lower|going)(?: \w+){0,4} $""")
_PRESENTLY = compiled(r"""
    \b(?:pax|passengers|on board|aboard|pob|(?:we|i) remain|(?<!anywhere )(?<!somewhere )(?<!someplace )(?<!place )
    (?<!airport )(?<!field )in|we are|i am|
    (?:we|i) have(?: just| now)?|currently|now|
    still|presently|are|am|we r|
    solid)(?: (?:in|solid|a|the|good|mostly|just))* $""")


_WANTS_OUT = sought(r"""
    \b(?:(?:get|take|vector|help|bring|steer|turn|climb\w*|descend\w*|request\w*|want|need)(?: (?!not\b)\w+){0,4}|
    heading|vectors?|way|go) out of (?:the |this |these |all this |all the )?(?:clouds?|soup|clag|imc|
    murk)\b(?! now)""")
"""Who wants out of the cloud is in it."""
_ONLY_SPOKEN_OF = re.compile(r"\b(?:pireps?|reports?|forecasts?|any)\b")


def _is_in(pattern: Phrases, clause: str) -> bool:
    for match in pattern.finditer(clause):
        before = clause[:match.start()]
        if tells_of_others(before):
            continue
        if before.endswith(("not ", "not in ", "is it ", "is it still ")) or _ONLY_SPOKEN_OF.search(match.group()):
            continue
        if not _SOUGHT.search(before) or _PRESENTLY.search(before):
            return True
    return False


def conditions(text: str, book: Lexicon) -> Literal["imc", "vmc", "icing", "unstated"]:
    """Return the weather that the caller says they are in; icing wins, then cloud."""
    found: set[str] = set()
    for sentence in sentences(text):
        meant = False   # what follows "intentions" in its sentence is still to come
        for clause in sentence:
            meant = meant or _INTENTIONS.match(clause) is not None
            if clause.startswith("were "):
                clause = f"we are {clause[5:]}"   # "were picking up a bit of ice"
            if _WANTS_OUT.search(clause) and not book.unlikely.search(clause):
                found.add("imc")
            if not book.any_weather.search(clause) or is_of_the_past(clause):
                continue
            if any(not _NOT_ICING.search(clause[:m.start()]) and "clear of" not in m.group()
                   and "no ic" not in m.group() and not _NOT_THERE.match(clause[m.end():])
                   and not _ONLY_SPOKEN_OF.search(m.group()) and not tells_of_others(clause[:m.start()])
                   for m in book.icing.finditer(clause)):
                found.add("icing")
            if meant or book.unlikely.search(clause):
                continue
            if _is_in(book.imc, clause):
                found.add("imc")
            if _is_in(book.vmc, clause):
                found.add("vmc")
    return "icing" if "icing" in found else "imc" if "imc" in found else "vmc" if "vmc" in found else "unstated"


_DENIES = compiled(r"""
    \b(?:should (?:we|i)|(?:do|did) (?:we|i|you|they|somebody|someone|anyone|any \w+)|are you|
    is it (?:too \w+|time)|was that|heard|hear|copy|copied|understand|frying|non|practi[cs]e|exercise|training|test|
    drill|simulat\w+|<other callsign>|not|no|never|negative|without|unless|might|may|could|if|cancel\w*|before|
    thinking|considering|considered|do not|no longer|terminat\w*|ready to|about to|rather not|haven|
    stand(?:ing)? down|neither|nor|strike|was|instead of|nearly|would you like (?:us|me) to|do you want (?:us|me) to|
    who|declin\w+|downgrad\w*|maybe|perhaps)\b[^,]*$|\bwould $""")
_CANCELS = by_words(r"""
    \b(?:cancel\w*|withdraw\w*|terminat\w*|disregard|ignore|forget|no longer)(?: \w+){0,4} (?:mayday|emergency|pan|
    distress|
    urgency)|\b(?:emergency|mayday|pan) (?:(?:is|call|talk|now|all) )*(?:over(?! (?:here|there|by|at|the|<place>))|off|
    called off|stood down|cancelled|canceled|terminated|withdrawn|
    was (?:an? )?(?:accident|mistake|error|false alarm|test))|\bno longer (?:an? |have an? |
    declaring (?:an? )?)?emergency""")


def cancels_emergency(text: str) -> bool:
    """Whether the caller takes a mayday, emergency or pan-pan back, and declares nothing in its stead."""
    match = _CANCELS.search(text)
    return match is not None and _in_its_stead(text[match.end():], match.group()) == "none"


_DECLINES = by_words(r"""
    \b(?:not|never) (?:(?:yet|at|this|time|be|going|to|currently|presently) )*declar(?:e|ing)\b|
    \b(?:not|never) (?:(?:yet|really) )*(?:need|want|wish|have|intend|require|plan|going)(?: to)?
    [ ](?:be )?declar(?:e|ing)\b|
    \b(?:do|does|will) not (?:yet )?(?:need|want|have|require|call it|consider (?:it|this)|make (?:it|this))(?: to
    (?:declare|call it|make it))? (?:an? |the |any )?emergency\b(?! (?:services|vehicles|crews?|equipment|power|
    frequency|checklist|trucks|response))|
    \bno (?:need|reason|cause|intention|wish) (?:for|of|to)(?: (?:declar\w+|call(?:ing)?|it|an?|any|the))* emergency\b|
    \bnegative (?:on )?(?:the |an |any )?(?:emergency|declar\w+)\b|
    \bno (?:need to declare|emergency)\b(?! (?:power|checklist|equipment|frequency|services))|
    \bnot (?:an|in an|having an) emergency\b""")


def declines_emergency(text: str, book: Lexicon) -> bool:
    """Whether the caller says that no emergency is declared; not when one is declared in the same call."""
    return _DECLINES.search(text) is not None and urgency(text, book) not in ("mayday", "emergency")


_TROUBLE = compiled(r"""
    \b(?:(?:need|want|require|request\w*|send) (?:some |your |immediate )?(?:help|assistance)|help (?:me|us)?$|
    (?:have|got|having|with|is|in)(?: \w+){0,3} (?:problems?|trouble|troubles|difficult(?:y|ies)|issue|situation)\b|
    (?:something|things?) (?:is|are|has|gone|went) (?:\w+ )?(?:wrong|not right|amiss|odd|funny)|in trouble|
    (?:smell|smells?|whiff)(?: of| like)? (?:\w+ )?(?:burning|smoke|fire|fuel|electrical)|smoke|
    (?:a|on|cabin|cockpit|electrical) fire\b|minimum fuel|bingo fuel|
    (?:low on|out of|short of|running out of) (?:fuel|gas)|fuel (?:emergency|critical|is (?:low|critical))|
    \b(?:[1-9]|[12]\d) minutes (?:of )?(?:fuel|gas)|lost (?:control|it|power)|(?:losing|loss of) power|power loss|
    disorient\w+|vertigo|^help\b|(?:am|are|is|completely|totally) lost$|^lost$|
    do not know (?:where|which way|what to do)|can not (?:tell|see|read) (?:which way|anything|
    the (?:instruments?|panel|gauges))|which way is up|(?:everything|the room|the world|panel) is spinning|
    incapacitated|unconscious|passed out|heart attack|medical|carbon monoxide|^fire(?: ,? ?fire)*$|
    fire (?:in|on|under|aboard)|(?:passenger|pilot|somebody|someone|wife|husband|student|copilot|captain|i am|i feel|
    feeling|he is|she is)(?:(?: is| feels| has)?(?: \w+)?| has (?:fallen|gone|got|taken)) (?:sick|faint|
    dizzy|ill|hurt|injured|fainted|bleeding)|
    (?:ill|sick|injured|unconscious|bleeding|fainted) (?:pilot|passengers?|persons?|people|man|woman|child|copilot)|
    (?:ice|icing) (?:all over|everywhere|building (?:up )?fast)|(?:severe|heavy|bad) (?:ice|icing)|
    (?:instruments?|gauges|dials|panel) (?:(?:do|does|have|has|are|is) )?(?:\w+ )?(?:disagree\w*|not agree|crazy|
    nuts|wrong|mad|haywire|gone)|(?:doors?|window|hatch) (?:has |is |just )*(?:open|popped|come open)|
    we are in trouble)\b""")
_NO_TROUBLE = compiled(r"""
    \b(?:no|not|without|any|never|negative|sorted|solved|resolved|fixed|was|were|had)(?: \w+){0,3} $""")


def states_trouble(text: str, book: Lexicon) -> bool:
    """Whether the caller says that something is wrong: "we need help", "we have got a problem here", "minimum fuel"."""
    if is_pretended(text, book):
        return False
    return any((match := _TROUBLE.search(clause)) is not None and not _NO_TROUBLE.search(clause[:match.start()])
               and not is_asked(clause) and not is_denied(clause)
               for sentence in sentences(text) for clause in sentence if not book.unlikely.search(clause))


_DOWNGRADED = Sought(r"\bmayday (?:is|was) (?:too (?:strong|much)|not (?:needed|necessary|warranted))\b[^.?]*\bpan\b|"
                     r"\bdowngrad\w* (?:\w+ ){0,4}to (?:an? )?pan\b|"
                     r"\b(?:strike|scratch|not) (?:that |the )?mayday(?: ,)?"
                     r"(?: (?:make (?:it|that)|i mean|it is)(?: an?)?)? pan\b")
_INSTEAD = sought(r"""
    \b(?:(?:make (?:it|that|this)|it is|we are|i am|this is|call (?:it|this)|treat (?:it|this) as|remain\w*|
    continu\w*(?: as)?|leave it (?:as|at))(?: (?:now|just|only|still|an?|the))* (?P<made>mayday|pan|emergency)|
    (?:(?:back|down|up|over) to|now|only|(?<!was )just)(?: an?)? (?P<now>mayday|pan)|
    (?:upgrad\w*|declar\w*|chang\w*) (?:\w+ ){0,5}?(?P<up>mayday|emergency|pan))\b(?! (?:is|call )?(?:over|off|
    cancel\w*|terminat\w*|withdrawn))|^(?: [,.])* (?P<said>mayday(?= mayday)|pan(?= pan))\b""")
"""What is declared in the stead of what is taken back: "cancel the mayday, make it a pan-pan"."""
_NOT_OURS = sought(r"""
    \b(?:mayday|pan pan|pan|emergency)(?: (?:call|signal|that|you|was|just|heard|copied|got|there|a moment ago|
    earlier))* (?:was|is) not (?:us|me|ours|mine|from (?:us|me))\b""")
_REPEATS_NOT = Sought(r" , (?:i )?(?:repeat|say again) not(?: ,)?(?= )")
_BY_MISTAKE = Sought(r"\bby (?:mistake|accident|error)\b")
_TAKEN_BACK = re.compile(r"\b(?:cancel|ignore|disregard)\b")
_NO = re.compile(r"^(?:negative|no)(?: <| |$)")
_NONE = Sought(r"\bnot an emergency\b(?! yet)")
_ASKED_AND_DENIED = compiled(r"""
    ^(?:<\w+(?: \w+)?> ?,? ?)*(?:\w+ ){0,3}(?:mayday|pan|emergency|declaring) \? (?:, )?(?:no|nope|not yet|negative|
    never)\b""")
_URGENT = Sought(r"\b(?:mayday|pan|emergenc|declar)")
_MAYDAY = Sought(r"\bmayday\b(?! (?:traffic|aircraft|airplane|call) (?:(?:is|was|has|in sight and) )*"
                 r"(?:copied|noted|heard|received|in sight|roger|acknowledged|understood))")
_DECLARES_PAN = re.compile(r"declar\w+ (?:(?:an?|the|only|just) )*(?:pan|urgency)\b")
_PAN = Sought(r"\bpan(?: pan)?\b")


def urgency(text: str, book: Lexicon) -> Urgency:
    """Return the strongest urgency that is declared; a denied, conditional or cancelled one is none."""
    if not _URGENT.search(text) and not book.declares.search(text):
        return "none"
    if _DOWNGRADED.search(text):
        return "pan-pan"
    by_mistake = _BY_MISTAKE.search(text) is not None
    if _NOT_OURS.search(text) or (by_mistake and _TAKEN_BACK.search(text)):
        return "none"
    if cancelled := _CANCELS.search(text):
        return _in_its_stead(text[cancelled.end():], cancelled.group())
    if again := _REPEATS_NOT.search(text):
        text = text[:again.start()] + text[again.end():]    # "do not, repeat not, treat this as a mayday"
    found: set[str] = set()
    asked_last = False     # "..., tell them to send the trucks, scratch that" takes no more than the request back
    for sentence in sentences(text):
        denied = False
        for clause in sentence:
            if drops_plainly(clause) and not asked_last:
                found.clear()
            asked_last = not book.declares.search(clause) and bool(
                book.asking.search(clause) or book.any_ask.kinds(clause))
            if _NO.match(clause) and not clause.startswith("no <"):
                denied = True
            if is_asked(clause):
                continue
            if (match := _MAYDAY.search(clause)) and not _DENIES.search(clause[:match.start()]) and not (
                    clause[match.end():].startswith(" relay")):
                found.add("mayday")
            if (match := _PAN.search(clause)) and not _DENIES.search(clause[:match.start()]):
                found.add("pan-pan")
            for match in book.declares.finditer(clause):
                before = clause[:match.start()]
                if _DECLARES_PAN.match(clause[match.start():]):
                    continue
                if not (_DENIES.search(before) or is_of_others(before)) and not (
                        denied and clause.startswith("declar")):
                    found.add("emergency")
    if _NONE.search(text):
        found.discard("emergency")
    if _ASKED_AND_DENIED.match(text):
        found.clear()
    order: tuple[Urgency, ...] = ("mayday", "emergency", "pan-pan")
    return next((each for each in order if each in found), "none")


def _in_its_stead(after: str, cancelled: str) -> Urgency:
    """Return the urgency that the words `after` those that cancelled one put in its place."""
    for match in _INSTEAD.finditer(after):
        word = match["made"] or match["now"] or match["up"] or match["said"]
        if (match["said"] and word in cancelled) or _DENIES.search(after[:match.start()]):
            continue
        return "pan-pan" if word == "pan" else "mayday" if word == "mayday" else "emergency"
    return "none"
