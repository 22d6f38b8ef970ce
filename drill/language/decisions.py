"""Orders of the mind: decide, diagnose, wait, the timer, breaking off."""

from __future__ import annotations

import re

from drill.language.cancelling import cancels_ifr
from drill.language.clauses import polite_removed
from drill.language.durations import durations
from drill.language.equipment import equipment_said
from drill.language.meaning import (
    EQUIPMENT,
    Action,
    BreakOff,
    Decide,
    Diagnose,
    Power,
    Taxi,
    Timer,
    Unclear,
    Wait,
)
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.spelling import spelled
from drill.language.withdrawn import drops_plainly
from drill.language.words import joined, tokens, word_set

_WAIT = compiled(r"""
    ^(?:delay|hold off|hands off|leave (?:it|that|things)|sit (?:there|still|here)|wait|waiting|
    give (?:it|that|this|me|us|them|(?:the |my |our )?<\w+>)|sit tight|hang on|hold on|pause|let|stand ?by|
    hold (?:for|it)|watch|fly (?:on|straight)|keep (?:going(?! (?:to|for|toward) <?(?!\d))|flying|this up)|
    continue for|for|count|carry on for|another|do nothing|stay put|monitor for|bide|in|after)(?!\w)""")
_FOR_CALL = compiled(r"""
    ^(?:wait|waiting|sit tight|hang on|hold on|stand ?by|pause)(?: (?:\d+ \w+|a minute|up to))* (?:for|
    to hear from|to hear|until|till)(?: (?:a|an|the|their|his|her|any|me|us|my|next|to|be))* (?:call\w*|reply|
    answer|response|atc|approach|center|centre|tower|ground|departure|controller|<radio>|instructions?|
    clearance|them|him|her|they|i am called|we are called|<place>|some(?:body|one) to call)(?!\w)""")
DEFAULT_WAIT_S = 10.0
WAIT_FOR_CALL_S = 60.0


_PAUSED = re.compile(r"\bwaiting\b|^(?:(?:do )?nothing )?(?:for )?\S+ \S+(?: and a half)?(?: ,)?(?: just)? "
                     r"(?:pause|wait)$")


_JUST_WAIT = compiled(r"""
    ^(?:wait|waiting|sit tight|hang on|do nothing|hold on|stay put)(?: (?:a (?:bit|little|while|sec)|here|
    for a (?:bit|while|moment)|and (?:see|watch)|then|a second|please|it out))*$""")


def wait(order: Order) -> list[Action] | None:
    """Let time pass: as long as is said, else ten seconds."""
    text = without_opening(order.text)
    said = durations(text)
    if text.startswith("for ") and re.search(r"\bturn\w* |\b(?:left|right)\b", text):
        return None   # "for one minute turn left"
    if not _WAIT.match(text) and not (said and _PAUSED.search(text)):
        return None
    if _FOR_CALL.match(text):
        return [Wait(said[0].seconds if said else WAIT_FOR_CALL_S, until_called=True)]
    if said and said[-1].seconds <= DEFAULT_WAIT_S and order.names and text.startswith("watch"):
        return None   # "watch the turn needle for a moment" is a look
    if said:
        return [Wait(said[-1].seconds)]
    if _JUST_WAIT.match(text):
        return [Wait(DEFAULT_WAIT_S)]
    if match := re.match(r"^(?:wait (?:for )?|count to )(\d{1,3})(?: before .*)?$", text):
        return [Wait(float(match.group(1)))]
    return None


_DECISIONS: tuple[tuple[str, re.Pattern[str]], ...] = tuple((plan, re.compile(pattern)) for plan, pattern in (
    ("continue", laid_out(r"""
        ^(?:proceed|go|fly|continue|carry(?:ing)? on|press(?:ing)? on)\b.*\bas (?:planned|filed|briefed)$|
        ^(?:proceed|go|fly|press on|carry on)(?: on)? (?:to|toward) (?:the |our |my )?(?:planned |
        filed )?destination$""")),
    ("cancel_ifr", laid_out(r"""
        ^(?:scrap|scrub|ditch|drop|bin|bail out of|cancel(?:ling|ing)?) (?:the |our |my )?(?:ifr|instrument)\b|
        ^(?:go|going|proceed) vfr and cancel\b|\bcancel (?:my |our |the )?(?:ifr|instrument)\b|
        ^close (?:my|our|the) ifr\b""")),
    ("abort_takeoff", laid_out(r"""
        ^(?:(?:abort|reject|stop)(?: ,)? ){2,}(?:the |this )?take ?off\b|
        ^(?:abort\w*|cancel|scrub|scrap|bin|reject\w*|abandon\w*|rto\b|discontinue|stop) ?(?:(?:the|this|our|
        my) )?(?:take ?off|
        take off|takeoff roll|departure|takeoff run)\b|^(?:abort|reject|aborting|rejecting|
        rto)(?: abort| reject| now| it)*$|^do not take ?off\b|^no take ?off\b|^not (?:taking off|going(?! to\b))\b|
        ^pull the power(?: and)? (?:abort|stop)|^chop the power and stop""")),
    ("stop_taxi", laid_out(r"""
        ^(?:stop|hold|halt|quit)(?: the| our| my)? (?:taxi\w*|rolling|right here|airplane here|
        here on the (?:taxiway|ramp|apron)|position on the taxiway|on the taxiway)\b|
        ^stop (?:here|taxiing|the airplane|on the taxiway)\b|^(?:hold|stop)(?: \w+)* (?:on|short of) the (?:taxiway|
        runway|ramp)\b|^hold short\b|^set the (?:parking )?brakes?\b|^halt$|^brakes(?: on)?$|^stop and hold\b|
        ^hold (?:our |my )?position$""")),
    ("return_to_ramp", laid_out(r"""
        \b(?:taxi|go|head|return|back|turn back|taxiing|get|heading|going|come)(?: \w+){0,3}? (?:the |our |
        my )?(?:ramp|parking|hangar|gate|apron|tie ?down|fbo|stand|maintenance|shop)\b|
        ^taxi (?:us |it |her )?back\b|^park(?: it| up| here| us| her| the airplane| again)*$|
        ^back to (?:the )?(?:ramp|parking|hangar|gate)\b|^return to (?:the )?ramp\b|^scrub the flight\b""")),
    ("shut_down", laid_out(r"""
        ^<engine> shut ?(?:down|off)$|^(?:(?:shut ?down|shutting down)(?! (?:the |my |our |all )*<(?!engine))|
        shut (?:it all|it|her|everything|the whole (?:thing|lot|airplane)|the engine|the airplane|<panel>|
        <engine>) (?:down|off)|kill the <engine>|
        secure (?:the )?(?:airplane|aircraft|<engine>)|stop the <engine>|
        shut (?:down )?(?:the )?<engine>(?: down| off)?|cut the <engine>|mixture (?:idle )?cut ?off|pull the mixture|
        shut the <engine>)\b|^(?:shut|shutdown|secure|cut|kill|stop)(?: down| off)?(?: the| my)? <engine>""")),
    ("divert", laid_out(r"""
        ^(?:divert\w*|diversion|change (?:of )?destination)\b|^alternate(?: airport)?$|
        ^(?:go|head|proceed|fly|going|heading|take us|make|bail(?: out)?|hightail(?: it)?|scoot|nip|pop|buzz|
        route)(?: direct| over| straight| now| us| for| me)?(?: direct)? (?:to|for|toward)
        [ ](?!it\b|that\b|land\b|heading \d|
        the left|the right|on top|\d|partial|full|<(?!place|fix))|^(?:head|heading) (?:for|to|toward) |
        ^(?:go|proceed|direct|fly) direct\b|^direct (?:to\b|<place>)|
        ^(?:we are|were|i am) (?:going|heading|headed|diverting) (?:to|for|into) <place>|
        ^use (?:the |our )?alternate(?: airport| field)?$|^go to (?:the |our )?alternate\b""")),
    ("hold", laid_out(r"""
        ^(?:hold|enter (?:the |a )?hold|holding|fly (?:the|a) hold)
        (?: at| over| in the hold| pattern| as published| in a pattern|ing pattern)(?: |$)|
        ^enter (?:the |a )?hold(?:ing)?(?: pattern)?\b|^hold (?:right )?here (?:until|till?|while)\b|
        ^stay in (?:the |a )?hold\b|
        ^(?:go|fly) (?:round|around) the hold\b|^hold$|^(?:start|set up|make|do) (?:a |the )?hold(?:ing)?\b|
        ^take (?:up )?(?:a |the )?hold""")),
    ("land", laid_out(r"""
        ^(?:land|landing|go to land|put down (?:at|on|in)|(?:put|plonk|plop|plant|stick) (?:it|her|us|this) (?:down|
        on(?! (?:it|that|this|heading|hdg|course|speed|a heading|the (?:heading|gauge|gauges|needle|<)|<|\d|
        autopilot|partial|instruments)))(?! to (?:the |my |our |a )?<)|set (?:it|her|us) down|
        make (?:a |an )?(?:\w+ )?landing|touch ?down|
        get on the ground|
        get (?:it|her|us|this thing) (?:down(?! to \d)|on the ground)|
        fly the (?:ils|approach|localizer|visual|\w+ approach)|shoot the|
        ditch(?! (?:the|that|this|my) (?!airplane|plane))|forced landing|off field landing|
        bring (?:it|her|us) in)\b""")),
    ("depart_vfr", laid_out(r"""
        ^(?:depart|departing|take ?off|go|going|leave|launch|fly(?: it| today)?|continue|proceed|
        make the flight)(?: the flight| on)?(?: (?:under|as|in))?(?: a)?(?: day)? (?:vfr|visual flight rules)\b""")),
    ("continue", laid_out(r"""
        ^(?:(?:we are|i am) )?(?:continue|press on|carry(?:ing)? on|keep going|proceed|
        stay(?:ing)? (?:on course|the course)|keep to the plan|stick (?:with|to)(?! it)|go on|stay with the plan|
        press ahead|as planned|continuing|
        fly on(?! (?:the|my|our|an?|by|those|these|them|that|<))|resume|take ?off|go ahead with|depart|
        launch|continue as|stay as filed)\b|\bas (?:planned|filed)$|
        ^(?:(?:we are|i am) )?going on to (?:<(?:place|fix)>|(?!the\b|my\b|our\b|an?\b)[a-z]+$)""")),
    ("divert", laid_out(r"""
        ^(?:return|turn back|go back|head back|come back|returning|back) (?:to|for|
        into) (?!(?:the |my |our )?(?:left\b|right\b|normal\b|standard\b|full\b|partial\b|basics\b|idle\b|neutral\b|
        manual\b|heading\b|hdg\b|course\b|altitude\b|level\b|\d|north|south|east|west)\w*\b)|
        ^(?:turn back|return)$|^land as soon as\b""")),
))


_TAXI = compiled(r"""
    ^(?:(?:start|begin|continue|resume|keep|go on) )?(?:taxi(?:ing)?|
    rolling(?! (?:her|it|us|me|out|level|wings|flat|into|left|right)\b))\b|
    ^(?:release|let go of|off) the (?:parking )?brakes?\b|^(?:parking )?brakes? (?:off|released?)$|
    ^(?:(?:roll|move) (?:forward|ahead)|move out)\b""")
_RUN_UP = compiled(r"""
    ^(?:(?:do|perform|start|begin|make|complete) )?(?:(?:the|a|an|our|my|
    <engine>) )*run ?up(?: (?:the )?<engine>| checks?)?(?: (?:at|to) (?P<rpm>[12]\d{3})(?: <tachometer>)?)?$|
    ^run (?:the )?<engine> up$""")
RUN_UP_RPM = 1800
"""A run-up of which no speed is said (common practice, no source; the airplane's handbook has its own)."""
_TO_THE_RAMP = re.compile(r"\b(?:ramp|parking|hangar|gate|apron|tie ?down|fbo|stand|maintenance|shop|back|return)\b")


def run_up(order: Order) -> list[Action] | None:
    """Run the engine up to its usual speed."""
    match = _RUN_UP.match(without_opening(order.text))
    return [Power(to_rpm=int(match["rpm"] or RUN_UP_RPM))] if match else None


def taxi(order: Order) -> list[Action] | None:
    """Roll on the ground. Where to is said and not steered by; back to the ramp is a decision."""
    text = without_opening(order.text)
    return [Taxi()] if _TAXI.match(text) and not _TO_THE_RAMP.search(text) else None


_OF_FLYING = compiled(r"""
    \b(?:heading|altitude|descent|climb\w*|descend\w*|turn\w*|level|knots|scan\w*|left|
    right(?! here| now))\b|\d""")


_WEAKLY = compiled(r"""
    ^(?:go|head|heading|going|back|come back|turn back|return|get back|make|nip|pop|scoot|buzz|bail)\b""")
"""Verbs that lead to many things besides a field: "back to the left", "go to the handheld"."""
_A_FIELD = compiled(r"""
    \b(?:field|airport|airfield|aerodrome|strip|base|home|runway|alternate|destination|departure|coast|airstrip|
    nearest|closest|town|city|club|school|municipal|regional|county|ramp|\w+ (?:vor|beacon))\b""")


_RIDERS = word_set(
    """at to instead the it this out now flight alternate over straight here ahead planned away us regardless right
    filed there into is about in on my our please then anyway again directly immediately visually vfr ifr visual safely
    quickly soon asap as possible back down airport airfield field strip runway approach pattern think i a an any of
    nearest closest home all after direct via toward for off from same way just guess reckon suppose""")
"""What may stand after a decision in its own clause, beside the place."""
_TALKS_ON = re.compile(r" (?:until|till|while|because|since|so|if|when|before|after|with|and|we|where|which|that|"
                       r"unless|though|but|whatever|no|not|to (?!<)[a-z]+ (?:it|this|things|out|off)\b)\b| [,.?] ?")


def _explained(rest: str, where: str | None) -> bool:
    """Whether all that follows a decision in its clause is the place or says no more: "landing lt off" is none."""
    said = _TALKS_ON.split(f" {rest.strip()} ", maxsplit=1)[0]
    place = re.findall(r"\w+", (where or "").lower())
    return all(word in _RIDERS or word in place or word[0] in "<0123456789" for word in said.split())


def decide(order: Order) -> list[Action] | None:
    """Take a decision, and say for where when a place is named."""
    text = without_opening(order.text)
    offset = len(order.text) - len(text)
    for plan, pattern in _DECISIONS:
        match = pattern.search(text)
        if match is None or (plan == "cancel_ifr" and not _cancels_now(order)):
            continue
        if plan in ("continue", "hold") and _OF_FLYING.search(text.split(" , ")[0]) and "hold at" not in text:
            return None
        if plan == "hold" and re.match(r"^hold(?:ing)? at \d", text):
            return None   # an altitude
        where = None
        if plan in ("divert", "continue", "land", "hold"):
            where = _where(order, text, offset)
            if not _explained(text[match.end():], where):
                continue
        if plan == "divert" and where and "<place>" not in text and "<fix>" not in text and _WEAKLY.match(text) and (
                not _A_FIELD.search(where.lower())):
            return [Unclear(f'{ASK_FIELD}{where} is a field, say "divert to {where}".')]
        return [Decide(plan, where)]
    return None


def _cancels_now(order: Order) -> bool:
    """Whether the whole line as typed, with what it makes a condition, cancels IFR; talking of it does nothing."""
    line = polite_removed(joined(spelled(tokens(order.typed), order.book)), order.book)
    return cancels_ifr(line, as_order=True)


_TOWARD = compiled(r"""
    \b(?:to|at|for|into|over(?! to\b)|toward|direct(?! to\b)|with)(?: the| our| my)?(?: destination)
    ? (?P<where>(?!land\b|the\b|our\b|my\b|destination \w)[^,.?]+)|
    ^(?:divert|diverting|land|proceed|hold|direct)(?: direct)? (?P<bare><place>)|
    \b(?:land|landing|down) in (?P<in>(?!the\b|an?\b|any\b|some|this\b|that\b|it\b|1\b|there\b|imc\b|vmc\b|cloud|fog|
    rain)[\w<>]+)$""")
_NOWHERE = compiled(r"""
    ^(?:departure.*|home\b.*|be\b.*|plan|flight|trip|journey|route|routing|schedule|(?:un)?changed|essential|wheels|
    nearest\b.*|closest\b.*|alternate|destination|there|it|now|
    destination as planned|final|(?:a|any|some)\b.*|field|runway.*|airport|planned.*|original.*|approach|
    land(?:ing)?|visual.*|hold(?:ing)?.*|<(?!place>|fix>|beacon>|navigation>$).*|straight ahead.*|\d.*|if.*|this.*|us|
    me|
    ground.*|that.*|as .*|good|go|vfr.*|vmc.*|safety|suitable.*)$""")
_TAIL = compiled(r"""
    (?: (?:i (?:guess|think|suppose|reckon)|instead|now|then|please|as planned|vfr|visually|
    immediately|right away|because.*|since.*|for .*|while.*|
    and .*|with .*|under .*|on .*|asap|to .*|where .*|it is .*|is .*|airport|field|airfield|aerodrome|anyway|
    after all|if .*|so .*|as .*|before .*|until .*|till .*|via .*|at .*|direct|straight.*|in .*|today|itself|municipal|
    regional|which .*|that .*|by .*|unless .*|regardless|again.*))+$""")


def _where(order: Order, text: str, offset: int) -> str | None:
    for match in _TOWARD.finditer(text):
        group = match.lastgroup or "where"
        said = _TAIL.sub("", match[group].rstrip())
        if not said or _NOWHERE.match(said):
            continue
        start = offset + match.start(group)
        return OWNED.sub("", order.typed_words(start, start + len(said)).strip(" ,.!?;:'\"")) or None
    if named := re.search(r"<place>(?= it is\b)|(?<=, )<place>(?:$|(?= is (?:closest|nearest|closer|nearer|better|"
                          r"best|it)\b))", text):   # "divert, Millrace it is"
        return OWNED.sub("", order.typed_words(offset + named.start(), offset + named.end()))
    return None


ASK_FIELD = "If "
OWNED = re.compile(r"['’]s$")
"""After a place of which something is told: "Merringa's nearer"."""
_CULPRIT = compiled(r"""
    ^(?:so|ok|okay|there goes|there go|so much for|sounds like|i reckon|i think|i guess|i bet|i believe|my guess is|
    guess|maybe|probably|looks like|
    clearly|must be|has to be|the|problem is|culprit is|that is|this is|it is|it has to be|it must be|got to be|
    suspect|i suspect|diagnosis|my diagnosis|(?:it )?(?:could|might|may) be|,|a|an|my|our|just|bad|
    be)(?: (?:not (?:the |my |our )?<\w+>|so|ok|i think|i guess|probably|it is|it|is|that|this|must be|has|to|be|
    looks|like|the|problem|culprit|a|an|my|our|just|,|got|clearly))* <\w+>(?: (?:system|problem|not the <\w+>|
    i think))*$""")
_SELF_TALK = re.compile(r"\bchecklist\b|^(?:shut|turn|switch|kill|power) (?:down|off|on)\b|"
                        r"^(?:kill|shed|isolate|cut|shut|turn|switch|put) (?:off |down )?(?:everything|all|any)\b")


_ALL_WELL = compiled(r"""
    ^(?:i think |i say |my read , |so )?(?:nothing(?: at all)?(?: here)?(?: has| is| looks| seems)? (?:failed|
    wrong|broken|failing|amiss|off|out of order|bad)|(?:there is )?nothing wrong(?: here)?|
    no (?:failures?|faults?|problems|problem (?:here|at all))(?: here| at all)?|(?:everything|all|
    (?:all )?(?:the )?<panel>)(?: (?:on|in) the <panel>)?(?: (?:is|are|looks?|seems?|appears?|still|all|checks?|
    well|works?|working|instruments))* (?:fine|ok|okay|good|normal|right|alright|well|healthy|working|in order|
    out|agrees?))(?: (?:to me|here|so far|now|at all|again))*$""")


def diagnose(order: Order) -> list[Action] | None:
    """Say, to oneself, what has failed; "nothing has failed" is an empty list."""
    if _ALL_WELL.match(without_opening(order.text)):
        return [Diagnose(())]
    if re.search(r"\bis (?:it|that)\b|\?$|\bodd (?:1|one) out\b", order.text):
        return None
    failed = equipment_said(order.line, order.book).failed
    if not failed and _CULPRIT.match(order.text):
        book = order.book
        denied = set(re.findall(r"\bnot (?:the |my |our )?<(\w+)>", order.text))
        failed = tuple(sorted({each for name in order.names if name not in denied for each in book.equipment(name)
                               if each in EQUIPMENT}))
    if not failed or _SELF_TALK.search(order.text):
        return None
    return [Diagnose(failed)]


_TIMER = compiled(r"""
    ^(?P<verb>start|begin|hit|punch|run|stop|halt|reset|restart|end|time)(?: the| my| a)? (?:<clock>|timing)|
    ^timer? (?P<state>on|off|start|stop)$|^<clock> (?P<state2>on|off|start|stop|running)$""")


def timer(order: Order) -> list[Action] | None:
    """Start or stop the timer."""
    text = without_opening(order.text)
    match = _TIMER.match(text) or re.match(
        r"^(?P<verb>start|begin|hit|punch|run|stop|halt|reset|restart|end)(?: the| my| a)? <clock>", text)
    if match is None:
        return None
    groups = match.groupdict()
    said = groups.get("verb") or groups.get("state") or groups.get("state2") or "start"
    return [Timer("stop" if said in ("stop", "halt", "off", "end") else "start")]


_DROPPED = compiled(r"""
    ^(?:break off|break it off|stop (?:that(?! (?:bank|turn|roll|climb|descent))|everything|what i am doing|
    what you are doing|it)|drop (?:that|it|everything|<panel>)|stop <panel>|abandon (?:that|it)|leave (?:that|
    it)(?: be| alone)?(?= ?$)|skip (?:that|it)|
    (?:stop|abort|leave|drop|never ?mind|skip) (?:the |this |that )?checklist)\b(?! the approach)""")


_OF_THE_AIR = re.compile(r"\b(?:disregard|ignore|withdraw|retract)\b|^(?:cancel|scratch|strike|forget|belay)$")
"""What is said to ATC rather than to oneself, or too short to tell."""
_NEVER_MIND = re.compile(r"(?:never ?mind|nvm)(?: ,)?")


def break_off(order: Order) -> list[Action] | None:
    """Drop what is being done and what waits."""
    text = without_opening(order.text)
    if durations(text):
        return None   # "leave it so for three minutes"
    if _NEVER_MIND.fullmatch(text):
        return [Unclear('Say "stop that" to drop what is being done.')]
    found = _DROPPED.match(text) or (drops_plainly(text.strip(" ,.")) and not _OF_THE_AIR.search(text))
    return [BreakOff()] if found and "approach" not in text else None
