"""Orders of the mind: decide, diagnose, wait, checklists, the maintenance record, the timer, breaking off."""

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
    Checklist,
    ChecklistItem,
    Decide,
    Diagnose,
    Power,
    Taxi,
    Timer,
    Wait,
    WriteUp,
)
from drill.language.orders import Order, without_opening
from drill.language.spelling import spelled
from drill.language.words import joined, tokens

_WAIT = re.compile(r"^(?:delay|hold off|hands off|leave (?:it|that|things)|sit (?:there|still|here)|wait|waiting|give (?:it|that|this|me|us)|sit tight|hang on|hold on|pause|let|"
                   r"stand ?by|"
                   r"hold (?:for|it)|watch|fly (?:on|straight)|keep (?:going(?! (?:to|for|toward) <?(?!\d))|flying|this up)|continue for|"
                   r"for|count|carry on for|another|do nothing|stay put|monitor for|bide|in|after)\b")
_FOR_CALL = re.compile(
    r"^(?:wait|waiting|sit tight|hang on|hold on|stand ?by|pause)(?: (?:\d+ \w+|a minute|up to))*"
    r" (?:for|to hear from|to hear|until|till)(?: (?:a|an|the|their|his|her|any|me|us|my|next|to|be))*"
    r" (?:call\w*|reply|answer|response|atc|approach|center|centre|tower|ground|departure|controller|<radio>|"
    r"instructions?|clearance|them|him|her|they|i am called|we are called|<place>|some(?:body|one) to call)(?!\w)")
DEFAULT_WAIT_S = 10.0
WAIT_FOR_CALL_S = 60.0


_PAUSED = re.compile(r"\bwaiting\b|^\S+ \S+(?: and a half)?(?: ,)?(?: just)? (?:pause|wait)$")


def wait(order: Order) -> list[Action] | None:
    """Let time pass: as long as is said, else ten seconds."""
    text = without_opening(order.text)
    said = durations(text)
    if not _WAIT.match(text) and not (said and _PAUSED.search(text)):
        return None
    if _FOR_CALL.match(text):
        return [Wait(said[0].seconds if said else WAIT_FOR_CALL_S, until_called=True)]
    if said and said[-1].unit == "moment" and order.names and text.startswith("watch"):
        return None   # "watch the turn needle for a moment"
    if said:
        return [Wait(said[-1].seconds)]
    if re.match(r"^(?:wait|waiting|sit tight|hang on|do nothing|hold on|stay put)(?: (?:a (?:bit|little|"
                r"while|sec)|here|for a (?:bit|while|moment)|and (?:see|watch)|then|a second|please|"
                r"it out))*$", text):
        return [Wait(DEFAULT_WAIT_S)]
    if match := re.match(r"^(?:wait (?:for )?|count to )(\d{1,3})(?: before .*)?$", text):
        return [Wait(float(match.group(1)))]
    return None


_NAMED = re.compile(r"^(?:(?:run(?! up)|do|read|get|open|pull|go|start|use|work|consult|follow|complete|bring|"
                    r"call|grab|begin|perform|execute|reference|accomplish|finish|take|review|find|look|"
                    r"what|which|where is|is|does|list|find|show|are|me|any|other|up|out|through|to|for|at|the|a|an|my|our|that|"
                    r"airplane|aircraft|appropriate|relevant|right|correct|proper|can|could|may|i|we|have|let|us|"
                    r"need|want|give|see) )+")


def checklist(order: Order) -> list[Action] | None:
    """Read a checklist of the airplane; unnamed, ask which there are."""
    text = without_opening(order.text)
    if (match := re.search(r"\bcheck ?lists?\b(?: items?)?|\bmemory items\b|\bitems(?= for )|(?<=landing )checks$|"
                           r"(?<=takeoff )checks$|(?<=flight )checks$|(?<=failure )(?:list|procedure|drills?|"
                           r"card)\b|(?<=emergency )(?:list|procedure|drills?)\b|(?<=fire )(?:procedure|drills?)\b|"
                           r"\bqrh\b|\bpoh\b|\bhandbook\b",
                           text)) is None:
        return None
    if re.search(r"\b(?:card|page|over|in front of|across)\b.*<", text[match.end():]):
        return None   # something to cover with
    offset = len(order.text) - len(text)
    after = re.match(r"(?: procedures?)? (?:called|named|for|on|about|:)(?: (?:a|an|the|my|our))* (.+)$", text[match.end():])
    if after:
        start = match.end() + after.start(1)
        return [Checklist(_name(order, offset + start, offset + len(text)))]
    before = text[:match.start()]
    lead = _NAMED.match(before)
    start = lead.end() if lead else 0
    return [Checklist(_name(order, offset + start, offset + match.start()))]


def _name(order: Order, start: int, end: int) -> str | None:
    typed = order.typed_words(start, end).strip(" ,.!?;:'\"")
    typed = re.sub(r"^(?:the|a|an|our|my)\s+", "", typed, flags=re.IGNORECASE)
    typed = re.sub(r"\s*(?:,|\bplease\b|\bnow\b).*$", "", typed, flags=re.IGNORECASE).strip()
    typed = re.sub(r"\s+(?:drill|procedures?)$", "", typed, flags=re.IGNORECASE)
    return typed if typed and typed.lower() not in ("checklist", "out", "up") else None


def checklist_item(order: Order) -> list[Action] | None:
    """Tick the present item."""
    text = without_opening(order.text)
    done = re.match(r"^(?:done|checked|check|checklist (?:done|complete|item done)|next item|next|"
                    r"item done|complete|completed|item complete|"
                    r"tick|tick it(?: off)?|that is done|got it done|check it off|mark (?:it )?(?:done|"
                    r"complete))(?: (?:done|that|item|please))*$", text)
    return [ChecklistItem()] if done else None


_DECISIONS: tuple[tuple[str, re.Pattern[str]], ...] = tuple((plan, re.compile(pattern)) for plan, pattern in (
    ("continue", r"^(?:proceed|go|fly|continue|carry on|press on)\b.*\bas (?:planned|filed)$|^(?:proceed|go|fly|press on|carry on)(?: on)? (?:to|toward) (?:the |our |my )?(?:planned |filed "
                 r")?destination$"),
    ("cancel_ifr", r"^(?:scrap|drop|bin|bail out of|cancel(?:ling|ing)?) (?:the |our |my )?(?:ifr|instrument)\b|"
                   r"^(?:go|going|"
                   r"proceed) vfr and cancel\b|\bcancel (?:my |our |the )?(?:ifr|instrument)\b|"
                   r"^close (?:my|our|the) ifr\b"),
    ("abort_takeoff", r"^(?:abort\w*|cancel|reject\w*|abandon\w*|rto\b|discontinue|stop) ?(?:(?:the|this|our|"
                      r"my) )?(?:take ?off|take off|takeoff roll|departure|takeoff run)\b|^(?:abort|"
                      r"reject|aborting|rejecting|rto)(?: abort| reject| now| it)*$|^do not take ?off\b|"
                      r"^no take ?off\b|^not (?:taking off|going)\b"
                      r"|^pull the power(?: and)? (?:abort|stop)|^chop the power and stop"),
    ("stop_taxi", r"^(?:stop|hold|halt|quit)(?: the| our| my)? (?:taxi\w*|rolling|right here|airplane here|"
                  r"here on the (?:taxiway|ramp|apron)|position on the taxiway|on the taxiway)\b|"
                  r"^stop (?:here|taxiing|the airplane|on the taxiway)\b|^(?:hold|stop)(?: \w+)* (?:on|"
                  r"short of) the (?:taxiway|runway|ramp)\b|^hold short\b|^set the (?:parking )?brakes?\b|"
                  r"^halt$|^brakes(?: on)?$|^stop and hold\b|^hold (?:our |my )?position$"),
    ("return_to_ramp", r"\b(?:taxi|go|head|return|back|turn back|taxiing|get|heading|going|"
                       r"come)(?: \w+){0,3}? (?:the |our |my )?(?:ramp|parking|hangar|gate|apron|tie ?down|"
                       r"fbo|stand|maintenance|shop)\b|^taxi (?:us |it |her )?back\b|^park(?: it| up| here| us| her| the airplane| again)*$|^back to (?:the )?(?:ramp|parking|"
                       r"hangar|gate)\b|^return to (?:the )?ramp\b|^scrub the flight\b"),
    ("shut_down", r"^(?:(?:shut ?down|shutting down)(?! (?:the |my |our |all )*<(?!engine))|shut (?:it all|it|her|"
                  r"everything|the engine|the airplane|"
                  r"<panel>|<engine>) (?:down|off)|kill the <engine>|secure (?:the )?(?:airplane|aircraft|"
                  r"<engine>)|stop the <engine>|shut (?:down )?(?:the )?<engine>(?: down| off)?|"
                  r"cut the <engine>|mixture (?:idle )?cut ?off|shut the <engine>)\b|^(?:shut|shutdown|"
                  r"secure|cut|kill|stop)(?: down| off)?(?: the| my)? <engine>"),
    ("divert", r"^(?:divert\w*|diversion|change (?:of )?destination)\b|^alternate(?: airport)?$|^(?:go|"
               r"head|proceed|fly|going|heading|take us|make|bail(?: out)?|hightail(?: it)?|scoot|nip|pop|buzz|route)(?: direct| over|"
               r" straight| now| us| for| me)?(?: direct)? (?:to|for|toward) (?!land\b|heading \d|the left|the right|on top|"
               r"\d|partial|full|<(?!place|fix))|^(?:head|heading) (?:for|to|toward) |^(?:go|proceed|"
               r"direct|fly) direct\b|"
               r"^direct (?:to\b|<place>)|^(?:we are|were|i am) (?:going|heading|headed|diverting) (?:to|for|into) "
               r"<place>|"
               r"^use (?:the |our )?alternate(?: airport| field)?$|^go to (?:the |"
               r"our )?alternate\b"),
    ("hold", r"^(?:hold|enter (?:the |a )?hold|holding|fly (?:the|a) hold)(?: at| over| in the hold|"
             r" pattern| as published| in a pattern|ing pattern)(?: |$)|^enter (?:the |"
             r"a )?hold(?:ing)?(?: pattern)?\b|^stay in (?:the |a )?hold\b|^(?:go|fly) (?:round|around) the hold\b|"
             r"^hold$|^(?:start|set up|make|do) (?:a |the )?hold(?:ing)?\b|"
             r"^take up (?:a |the )?hold"),
    ("land", r"^(?:land|landing|go to land|put down (?:at|on|in)|(?:put|plonk|plop|plant|stick) (?:it|her|us|this) (?:down|on)|set (?:it|her|us) down|make (?:a |"
             r"an )?(?:\w+ )?landing|touch ?down|get on the ground|get (?:it|her|us|this thing) (?:down(?! to \d)|on the ground)|"
             r"fly the (?:ils|approach|localizer|visual|\w+ approach)|shoot the|ditch(?! (?:the|that|this|my) (?!airplane|plane))|forced landing|"
             r"off field landing|bring (?:it|her|us) in)\b"),
    ("depart_vfr", r"^(?:depart|departing|take ?off|go|going|leave|launch|fly(?: it| today)?|continue|proceed|make the "
                   r"flight)(?: the flight| on)?(?: (?:under|as|in))?(?: a)?(?: day)? (?:vfr|visual flight rules)\b"),
    ("continue", r"^(?:(?:we are|i am) )?(?:continue|press on|carry on|keep going|proceed|stay(?:ing)? (?:on course|"
                 r"the course)|"
                 r"keep to the plan|stick (?:with|to)(?! it)|go on|stay with the plan|press ahead|as planned|"
                 r"continuing|fly on|resume|take ?off|go ahead with|depart|launch|continue as|"
                 r"stay as filed)\b|\bas (?:planned|filed)$"),
    ("divert", r"^(?:return|turn back|go back|head back|come back|returning|back) (?:to|for) |"
               r"^(?:turn back|return)$|^land as soon as\b"),
))


_TAXI = re.compile(r"^(?:(?:start|begin|continue|resume|keep|go on) )?(?:taxi(?:ing)?|rolling)\b|"
                   r"^(?:release|let go of|off) the (?:parking )?brakes?\b|^(?:parking )?brakes? (?:off|released?)$|"
                   r"^(?:(?:roll|move) (?:forward|ahead)|move out)\b")
_RUN_UP = re.compile(r"^(?:(?:do|perform|start|begin|make|complete) )?(?:(?:the|a|an|our|my|<engine>) )*"
                     r"run ?up(?: (?:the )?<engine>| checks?)?$|^run (?:the )?<engine> up$")
RUN_UP_RPM = 1800
"""A run-up of which no speed is said (common practice, no source; the airplane's handbook has its own)."""
_TO_THE_RAMP = re.compile(r"\b(?:ramp|parking|hangar|gate|apron|tie ?down|fbo|stand|maintenance|shop|back|return)\b")


def run_up(order: Order) -> list[Action] | None:
    """Run the engine up to its usual speed."""
    return [Power(to_rpm=RUN_UP_RPM)] if _RUN_UP.match(without_opening(order.text)) else None


def taxi(order: Order) -> list[Action] | None:
    """Roll on the ground. Where to is said and not steered by; back to the ramp is a decision."""
    text = without_opening(order.text)
    return [Taxi()] if _TAXI.match(text) and not _TO_THE_RAMP.search(text) else None


def decide(order: Order) -> list[Action] | None:
    """Take a decision, and say for where when a place is named."""
    text = without_opening(order.text)
    offset = len(order.text) - len(text)
    for plan, pattern in _DECISIONS:
        match = pattern.search(text)
        if match is None or (plan == "cancel_ifr" and not _cancels_now(order)):
            continue
        if plan in ("continue", "hold") and re.search(r"\b(?:heading|altitude|descent|climb\w*|descend\w*|"
                                                      r"turn\w*|level|knots|scan\w*|left|right(?! here| now))\b|\d",
                                                      text.split(" , ")[0]) and "hold at" not in text:
            return None
        where = None
        if plan in ("divert", "continue", "land", "hold"):
            where = _where(order, text, offset)
        return [Decide(plan, where)]
    return None


def _cancels_now(order: Order) -> bool:
    """Whether the whole line as typed, with what it makes a condition, cancels IFR; talking of it does nothing."""
    line = polite_removed(joined(spelled(tokens(order.typed), order.book)), order.book)
    return cancels_ifr(line, as_order=True)


_TOWARD = re.compile(r"\b(?:to|at|for|into|over|toward|direct(?! to\b)|with)(?: the| our|"
                     r" my)?(?: destination)? (?P<where>(?!land\b|the\b|our\b|my\b|destination \w)[^,.?]+)|"
                     r"^(?:divert|diverting|land|proceed|hold|direct)(?: direct)? (?P<bare><place>)")
_NOWHERE = re.compile(r"^(?:departure.*|home\b.*|plan|flight|nearest\b.*|closest\b.*|alternate|destination|there|it|"
                      r"now|"
                      r"destination as planned|final|(?:a|any|some)\b.*|field|runway.*|airport|planned.*|"
                      r"original.*|approach|land(?:ing)?|visual.*|hold(?:ing)?.*|<(?!place>|fix>|beacon>).*|"
                      r"straight ahead.*|\d.*|"
                      r"if.*|this.*|us|me|ground.*|that.*|as .*|good|go|vfr.*|vmc.*|safety|suitable.*)$")
_TAIL = re.compile(r"(?: (?:instead|now|then|please|as planned|vfr|visually|immediately|right away|"
                   r"because.*|since.*|for .*|while.*|and .*|with .*|under .*|on .*|asap|to .*|where .*|"
                   r"it is .*|is .*|airport|field|airfield|aerodrome|anyway|after all|if .*|so .*|as .*|"
                   r"before .*|until .*|till .*|via .*|at .*|direct|straight.*|in .*|today|municipal|regional|which .*|"
                   r"that .*|by .*|unless .*|regardless|again.*))+$")


def _where(order: Order, text: str, offset: int) -> str | None:
    for match in _TOWARD.finditer(text):
        group = "where" if match["where"] else "bare"
        said = _TAIL.sub("", match[group].rstrip())
        if not said or _NOWHERE.match(said):
            continue
        start = offset + match.start(group)
        return order.typed_words(start, start + len(said)).strip(" ,.!?;:'\"") or None
    if named := re.search(r"<place>(?= it is\b)|(?<=, )<place>$", text):   # "divert, Millrace it is"
        return order.typed_words(offset + named.start(), offset + named.end())
    return None


_CULPRIT = re.compile(r"^(?:so|ok|okay|sounds like|i reckon|i think|i guess|i bet|i believe|my guess is|"
                      r"guess|maybe|probably|"
                      r"looks like|clearly|must be|has to be|the|problem is|culprit is|"
                      r"that is|this is|it is|it has to be|it must be|got to be|suspect|i suspect|"
                      r"diagnosis|my diagnosis|(?:it )?(?:could|might|may) be|,|a|an|my|our|just|bad|be)(?: (?:not "
                      r"(?:the |"
                      r"my |our )?<\w+>|so|ok|i think|i guess|probably|"
                      r"it is|it|is|that|this|must be|has|to|be|looks|like|the|problem|culprit|a|an|my|our|"
                      r"just|,|got|clearly))* <\w+>(?: (?:system|problem|not the <\w+>|i think))*$")
_SELF_TALK = re.compile(r"\bchecklist\b|^(?:shut|turn|switch|kill|power) (?:down|off|on)\b")


_ALL_WELL = re.compile(
    r"^(?:i think |i say |my read , |so )?(?:"
    r"nothing(?: at all)?(?: here)?(?: has| is| looks| seems)?"
    r" (?:failed|wrong|broken|failing|amiss|off|out of order|bad)|"
    r"(?:there is )?nothing wrong(?: here)?|no (?:failures?|faults?|problems?)(?: here| at all)?|"
    r"(?:everything|all|(?:all )?(?:the )?<panel>)(?: (?:on|in) the <panel>)?"
    r"(?: (?:is|are|looks?|seems?|appears?|still|all|checks?|well|works?|working|instruments))*"
    r" (?:fine|ok|okay|good|normal|right|alright|well|healthy|working|in order|out|agrees?))"
    r"(?: (?:to me|here|so far|now|at all|again))*$")


def diagnose(order: Order) -> list[Action] | None:
    """Say, to oneself, what has failed; "nothing has failed" is an empty list."""
    if _ALL_WELL.match(without_opening(order.text)):
        return [Diagnose(())]
    if re.search(r"\bis (?:it|that)\b|\?$|\bodd (?:1|one) out\b", order.text):
        return None
    failed, _ = equipment_said(order.line, order.book)
    if not failed and _CULPRIT.match(order.text):
        book = order.book
        denied = set(re.findall(r"\bnot (?:the |my |our )?<(\w+)>", order.text))
        failed = tuple(sorted({each for name in order.names if name not in denied for each in book.equipment(name)
                               if each in EQUIPMENT}))
    if not failed or _SELF_TALK.search(order.text):
        return None
    return [Diagnose(failed)]


def write_up(order: Order) -> list[Action] | None:
    """Defer, placard or enter a defect in the maintenance record."""
    text = without_opening(order.text)
    match = re.match(r"^(?P<how>defer\w*|placard\w*|write up|write (?:it|that|the|this)|enter|log|"
                     r"squawk the|note|put|record|make an? entry|document|logbook|fill in|inop placard)\b", text)
    if match is None:
        return None
    how = match["how"]
    if how.startswith("defer"):
        return [WriteUp("defer", _defect(order))]
    if how.startswith(("placard", "inop")) or re.search(r"\bplacard\b", text):
        return [WriteUp("placard", _defect(order))]
    if how == "write up" or re.search(r"\b(?:up|maintenance|log|logs|logbook|record|records|book|tech log|"
                                      r"defect|discrepancy|squawk sheet)\b", text):
        return [WriteUp("enter", _defect(order))]
    return None


def _defect(order: Order) -> str | None:
    return next((order.book.equipment(name)[0] for name in order.names if name not in ("clock", "panel")), None)


def timer(order: Order) -> list[Action] | None:
    """Start or stop the timer."""
    text = without_opening(order.text)
    match = re.match(r"^(?P<verb>start|begin|hit|punch|run|stop|halt|reset|restart|end|time)(?: the| my|"
                     r" a)? (?:<clock>|timing|it(?= now$| please$|$))|^timer? (?P<state>on|off|start|stop)$|"
                     r"^<clock> (?P<state2>on|off|start|stop|running)$", text) or re.match(
        r"^(?P<verb>start|begin|hit|punch|run|stop|halt|reset|restart|end)(?: the| my| a)? <clock>", text)
    if match is None:
        return None
    groups = match.groupdict()
    said = groups.get("verb") or groups.get("state") or groups.get("state2") or "start"
    return [Timer("stop" if said in ("stop", "halt", "off", "end") else "start")]


def break_off(order: Order) -> list[Action] | None:
    """Drop what is being done and what waits."""
    text = without_opening(order.text)
    if durations(text):
        return None   # "leave it so for three minutes"
    found = re.match(r"^(?:break off|break it off|stop (?:that|everything|what i am doing|"
                     r"what you are doing|it)|cancel (?:that|everything|it)|never ?mind(?! the)|belay that|"
                     r"forget (?:that|it)|drop (?:that|it|everything)|abandon (?:that|it)|leave (?:that|"
                     r"it)|skip (?:that|it)|(?:stop|abort|leave|drop|never ?mind|skip) (?:the |this |that )?checklist)\b(?! the approach)", text)
    return [BreakOff()] if found and "approach" not in text else None
