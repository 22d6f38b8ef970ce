"""Orders about switches, breakers, the transponder, and who flies, hands or autopilot."""

from __future__ import annotations

import re

from drill.language.leftovers import STAYING
from drill.language.meaning import (
    SWITCHES,
    Action,
    Breaker,
    Ident,
    Squawk,
    Switch,
    Tune,
    Unclear,
)
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought

_SWITCH_NAMES = {**{name: name for name in SWITCHES}, "master": "battery", "navigation": "gps", "pitot": "pitot_heat"}
_ALSO_USED = frozenset({"navigation", "transponder", "pitot"})   # "use the GPS" is no switch
_NO_SWITCH = frozenset({"radio"})
ASK_RADIO = "The first radio has no switch of its own; avionics off darkens all of them. What is to go off?"
ASK_NAVIGATION = "Only the GPS has a switch of its own; avionics off darkens the navigation sets. What is to go off?"
ASK_LOAD = "What is to go off? For example: strobes, landing light, autopilot and pitot heat off."
_SHEDS = sought(r"""
    ^(?:shed|reduce|cut|dump|drop|lighten|minimi[sz]e|get rid of)(?: (?:the|all|some|our|my|any|as much|non ?essential|
    unnecessary|excess|of))* (?:<electrical_system> )?(?:<electrical_system>|load|loads)\b|
    ^(?:turn|switch|shut) off (?:(?:all|the|everything|every) )*(?:that is )?(?:non ?essentials?|not needed|
    unnecessary)\b|
    ^load shed(?:ding)?\b""")
_PLAINLY = sought(r"""
    ^(?:please )?(?:turn|switch|power|shut|shed|kill)\b.*\b(?:off|on|down)\b|
    ^(?:shed|kill|cut)\b(?! (?:across|through|in\b|out\b|back|over))|
    ^(?:the )?<\w+> (?:off|on)$|\b(?:off|on)$|^heat (?:up )?(?:the |my |our )?<pitot>|
    ^(?:get|put|turn|have|give)(?: me| us)?(?: some| the)? heat (?:on|onto|to|into)(?: the| that| my| our)* <pitot>""")
_OFF = compiled(r"""
    \b(?:off|kill|cut|power down|disengage|disconnect|close|closed|deactivate|isolate|offline|off line|douse|snuff|cold|
    away|shut|secure|stow|de activate|disable|cancel|out|stop|normal|extinguish|shed|click off|drop|punch off|
    de ?energi[sz]e|cease|deselect|dark|rest(?= (?:the |my |our )?<)|lose(?= (?:the |my |our )?<autopilot)|
    get rid of)\b""")
_ON = compiled(r"""
    \b(?:on|engage|activate|open|opened|hot|enable|apply|start|arm|use|using|pull|select|deploy|
    (?<!de )energi[sz]e|bring(?= .*\b(?:in|online|to life)\b)|hit|
    flip|flick|throw|restore|online|crack|turn|in|want\b.* (?:going|running)|go to|switch to|switch over to|
    change over to|transfer to|heat|power up|need|cycle on|full|to alternate|connect|back on|give (?:me|it|her)|get|
    pop(?= (?:open )?(?:the |my |our )?<(?:alternate_static|pitot_heat|carburettor_heat))|fire up|
    spin up|spool up|start up|bring up|kick in|reset(?= (?:the |my |our )?<alternator))\b""")
_TOLD = compiled(r"""
    ^(?:the |my |our |that )?<\w+>(?: (?!on|off)\w+)? (?:has|have|had|was|were|keeps?|kept|does|did|will not|is not|
    are not|wants|turned|turns|rolls|(?:is|are)(?! (?:to|going|coming|wanted|needed)\b))\b""")
"""How a clause begins that tells how a part of the airplane is: "the autopilot has packed in"."""
_HOW_IT_IS = compiled(r"""
    ^(?:the |my |our )?<(?:alternator|battery|autopilot|avionics|standby_vacuum|pitot_heat|alternate_static|master|
    gps|navigation|transponder)>(?: (?!and\b|then\b)\w+){0,3}? (?:out|offline|off line|cold|down|stuck)\b|
    ^(?:(?:now|we are|i am|running|living|flying|going|just|only|still) )*on (?:the |my |our )?<battery>""")
"""How a clause tells the state of a part in which it was not put: "alternator offline", "on the battery"."""
_SOURCE = compiled(r"""
    \b(?P<back>back to|select|use|return to|go back to) (?:the )?normal <static_system>(?: source| air)?|
    <static_system>(?: source)?(?: ,)?(?: select| to| on| over| back| set)* (?:alternate|(?P<normal>normal))$""")
_KNOB = re.compile(r"\b(?:pull|yank|tug)\b.*\bout\b|(?P<push>\b(?:push|shove)\b.*\bin\b|\bback in\b)")
"""A knob is pulled for heat or other air and pushed for cold (common practice in light airplanes, no source)."""
_WHY = Sought(r" , (?:we|i|it|they|that|this) |(?: ,)? (?:to (?:save|spare|preserve|shed|reduce)|because|since|"
                  r"as (?:we|i|it)|so) ")


_BOTH_WAYS = compiled(r"""
    \b(?P<first>on|off)\b(?: again)?(?: ,)?(?: and)? then(?: ,)?(?: (?:right|straight|turn|switch|put|it|them|
    back))* (?:on|off)\b|\boff and (?:right |straight |turn (?:it )?)?back on(?: again)?$|^(?:re ?)?cycl(?:e|
    ing) (?:the |my |our )?<\w+>(?: switch)?$""")
"""Off and then on again, or the other way round; a switch that is cycled goes off and on."""
_ITSELF_OFF = compiled(r"""
    ^(?:fly|flying|trust|steer)\b|.*> gone (?:off|out|offline|dead|bad)\b|^(?:the |my |our )?<\w+> (?:has |just |
    have )*(?:dropped|kicked|tripped|
    clicked|popped|went|shut|switched|turned|cut)(?: itself)? (?:off|out)\b""")


_LIGHTS = compiled(r"""
    (?:(?:turn|switch|put) (?P<first>on|off) )?(?:(?:all|the|every|my|our|of|exterior|outside|external) )*
    (?:lights|lighting)(?: (?P<last>on|off))?""")
LIGHTS = ("landing_light", "nav_lights", "strobes")


def lights(order: Order) -> list[Action] | None:
    """Put all the lights outside on or off."""
    match = _LIGHTS.fullmatch(without_opening(order.text).strip(" ,"))
    if match is None or not (match["first"] or match["last"]):
        return None
    return [Switch(each, "on" if "on" in (match["first"], match["last"]) else "off") for each in LIGHTS]


def shed(order: Order) -> list[Action] | None:
    """Ask which switches are meant by "shed the load"."""
    return [Unclear(ASK_LOAD)] if _SHEDS.search(without_opening(order.text)) else None


_STAYS = re.compile(rf"(?: ,)? (?:and|but|while|,) {STAYING}(?= ,|$)")
"""What is said to stay as it is beside what is switched: "alternator off, battery stays on"."""
_REASON_FIRST = compiled(r"""
    ^(?:because|since|as|with|now that) (?:the |my |our )?<\w+> (?:(?:has|is|have|just|all) )*(?:failed|failing|dead|
    died|out|gone|quit|inop|bad|broken|down) (?:, )?(?=\w)""")


def switch(order: Order) -> list[Action] | None:
    """Put switches on or off."""
    text = order.text
    if re.fullmatch(r"(?:please )?<pitot_heat>(?: please| now)*", text) and re.match(
            r"(?:please )?heat\b", order.typed_words(0, len(text)), re.IGNORECASE):
        return [Switch("pitot_heat", "on")]   # "heat the pitot"
    if re.fullmatch(r"(?:carb|carb?ur\w+) hot|<carburettor_heat>(?: please| now)*", text) and re.search(
            r"\bhot\b", order.typed_words(0, len(text)), re.IGNORECASE):
        return [Switch("carburettor_heat", "on")]   # "hot air to the carb"
    if (why := _WHY.search(text)) and re.search(r"<\w+>|\bit\b", text[:why.start()]) and (
            _ON.search(text[:why.start()]) or _OFF.search(text[:why.start()])):
        text = text[:why.start()]   # "pitot heat off, we are on the battery"
    plainly = _PLAINLY.search(without_opening(text)) is not None
    text = _STAYS.sub("", _REASON_FIRST.sub("", text)) or text
    names = [name for name in order.names if f"<{name}>" in text and name in _SWITCH_NAMES
             and (plainly or name not in _ALSO_USED)]
    if not names and (source := _SOURCE.search(text)):
        return [Switch("alternate_static", "off" if source["normal"] or source["back"] else "on")]
    if not names:
        return None
    if _HOW_IT_IS.match(text) or "<breakers>" in text:
        return None
    if _TOLD.match(text) or _ITSELF_OFF.match(without_opening(text)) or "checklist" in text:
        return None
    if "<autopilot>" in text and re.search(r"\bhand fly|fly (?:it )?by hand\b", text):
        return [Switch("autopilot", "off")]
    for pulled in ("carburettor_heat", "alternate_static"):
        if f"<{pulled}>" in text and (knob := _KNOB.search(text)):
            return [Switch(pulled, "off" if knob["push"] else "on")]
    if both := _BOTH_WAYS.search(without_opening(text)):
        states = ("on", "off") if both["first"] == "on" else ("off", "on")
        return [Switch(_SWITCH_NAMES[name], "on" if state == "on" else "off") for name in names for state in states]
    asked: list[Action] = []
    if "navigation" in names and not re.search(r"\bgps", order.typed, re.IGNORECASE):
        names.remove("navigation")
        asked = [Unclear(ASK_NAVIGATION)] if re.search(r"\b(?:on|off)\b", text) else []
        if not names:
            return asked or None
    off, on = _OFF.search(text), _ON.search(text)
    last_on = max((m.start() for m in re.finditer(r"\bon\b(?! (?:the|my) (?!<))|\bopen\b|\bhot\b", text)), default=-1)
    last_off = max((m.start() for m in re.finditer(r"\boff\b|\bclosed?\b|\bcold\b", text)), default=-1)
    if last_on >= 0 and last_off >= 0 and re.search(r"\bon (?:and|or) off\b|\boff (?:and|or) on\b", text):
        return None
    if off and (last_off > last_on or not on or (last_on < 0 and last_off < 0)):
        state = "off"
    elif on:
        state = "on"
    else:
        return None
    found: list[Action] = [Switch(name, "on" if state == "on" else "off")
                           for name in dict.fromkeys(_SWITCH_NAMES[each] for each in names)]
    return found + asked + [Unclear(ASK_RADIO) for name in order.names if name in _NO_SWITCH and f"<{name}>" in text]


_BY_HAND = compiled(r"""
    ^(?:hand fly(?:ing)?(?: this| it| her)?|fly(?:ing)? (?:it |the airplane |her |this )?(?:by hand|manually|
    myself)|i have the (?:airplane|controls)|take (?:the airplane|the controls|control|
    over)(?: by hand)?)(?: (?:it|the airplane|now|please|from here))*$""")
_BY_AUTOPILOT = compiled(r"""
    ^(?:(?:fly|flying)(?: (?:it|the airplane|by|on|with|using|the|my))* <autopilot>|
    let (?:the |my )?<autopilot> (?:fly|have|take|do)\b.*|
    (?:hand|give|leave|turn) (?:it|her|(?:the |my )?flying|control|the airplane|
    over)(?: over)? to (?:the )?<autopilot>|go (?:on|back on|to)(?: the)? <autopilot>)(?: (?:it|now|
    please|again))*$""")


def by_whom(order: Order) -> list[Action] | None:
    """Take the airplane by hand, or give it to the autopilot."""
    text = without_opening(order.text)
    if _BY_HAND.match(text):
        return [Switch("autopilot", "off")]
    return [Switch("autopilot", "on")] if _BY_AUTOPILOT.match(text) else None


def named_only(order: Order) -> list[Action] | None:
    """Ask what is wanted of a part of the airplane that is only named."""
    match = re.fullmatch(r"(?:the |my |our )?<(\w+)>(?: \?)?", without_opening(order.text))
    if match is None or match.group(1) in ("place", "fix"):
        return None
    said = order.typed_words(0, len(order.text)).strip(" ?.!")
    switched = "to switch it on or off, " if match.group(1) in _SWITCH_NAMES else ""
    return [Unclear(f'"{said}": do you want to look at it, {switched}or to say that it has failed?')]


def only_named(order: Order) -> bool:
    """Whether `order` is only the name of a part."""
    return re.fullmatch(r"(?:the |my |our )?<\w+>", order.text) is not None


def leads_up_to(order: Order, following: Order, reading: list[Action] | None) -> bool:
    """Whether `order` only names what the one after it is about ("radio master, avionics off")."""
    if not reading or not only_named(order):
        return False
    return order.names == following.names or any(action.as_labels().get("what") in order.names for action in reading)


def breaker(order: Order) -> list[Action] | None:
    """Pull or reset a breaker."""
    text = order.text
    if "<breakers>" not in text:
        return None
    out = re.search(r"\b(?:pull|pop|trip|yank|out)\b", text)
    back = re.search(r"\b(?:reset|push|press|close|re set|restore|in)\b", text)
    if not (out or back) or re.match(r"^(?:look|check|any|see|are|is|scan|inspect|read)\b", without_opening(text)):
        return None
    whose = [name for name in order.names if name != "breakers"]
    return [Breaker(whose[0] if whose else "turn_coordinator",
                    "pull" if out and not (back and back.group() == "reset") else "reset")] if whose else None


_SPOKEN_CODES = ((r"\bsquawk(?:ing)? vfr\b", "1200"), (r"\bsquawk(?:ing)? emergency\b|\bemergency (?:squawk|code)\b",
                                                                                                   "7700"),
                 (r"\b(?:lost|no|radio)(?: comm\w*| radio| failure)* (?:squawk|code)\b|"
                  r"\bsquawk(?:ing)? (?:lost|no) (?:<radio>|comm\w*|radio)", "7600"))
"""AIM 4-1-20 and 6-2-2: VFR 1200, emergency 7700, two-way communications lost 7600."""


def transponder(order: Order) -> list[Action] | None:
    """Squawk a code, or ident."""
    text = order.text
    ident = re.search(r"\bident(?:ing)?\b(?! the)", text)
    if re.search(r"\bsquawk\w*\b|<transponder>|\bcode\b|\b(?:in|on) the box\b", text):
        codes = re.findall(r"\b([0-7]{4})\b", text)
        if len(set(codes)) > 1:
            return [Unclear("Which of these codes?")]
        if match := re.search(r"\b([0-7]{4})\b", text):
            set_to = Squawk(match.group(1))
            return [set_to, Ident()] if ident else [set_to]
        for words, code in _SPOKEN_CODES:
            if re.search(words, text):
                return [Squawk(code)]
    if match := re.match(r"^(?:dial|set|enter|put in|punch in|select|go to|key in)(?: in)? (7[567]00)$",
                                                                                              without_opening(text)):
        return [Squawk(match.group(1))]
    if ident and (both := re.match(r"^([0-7]{4})(?: ,)?(?: and)? ident(?:ing)?$", without_opening(text))):
        return [Squawk(both.group(1)), Ident()]
    return [Ident()] if ident else None


_TUNES = compiled(r"""
    \b(?:tune|dial|frequency|contact|switch|change|set|go to|monitor|select|over to|put|try|enter|load|
    standby)\b|<radio>|<navigation>""")


_RADIO_SET = re.compile(r"\b(?:tune|dial|freq\w*|megahertz|mhz|monitor|contact)\b|<(?:radio|second_radio|navigation)>")


def tune(order: Order) -> list[Action] | None:
    """Tune a frequency (MHz as said, or kHz of a beacon)."""
    match = re.search(r"\b(1[0-3]\d\.\d{1,3}|1[1-3]\d{3,5})\b", order.text)
    if match is None or not _TUNES.search(order.text):
        return None
    said = match.group(1)
    if said.endswith("00") and "." not in said and not _RADIO_SET.search(order.text):
        return None   # "up we go to 12000"
    return [Tune(said if "." in said else f"{said[:3]}.{said[3:]}")]
