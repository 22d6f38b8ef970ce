"""Orders about instruments: look, compare, cover, uncover, fly by, leave out."""

from __future__ import annotations

import re

from drill.language.lexicon import standard
from drill.language.meaning import (
    EQUIPMENT,
    IN_SIGHT,
    Action,
    Compare,
    Cover,
    Diagnose,
    FlyBy,
    Look,
    Unclear,
    Uncover,
)
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought, sought

INSTRUMENTS = frozenset({
    "attitude_indicator", "heading_indicator", "turn_coordinator", "airspeed_indicator", "altimeter",
    "vertical_speed_indicator", "magnetic_compass", "suction_gauge", "ammeter", "voltmeter", "tachometer", "clock",
    "navigation", "standby_instrument"})
_SEEN_WORDS = (
    (re.compile(r"\bhow long (?:has it been|have (?:we|i) been|so far)\b|\bwhat time\b"), "clock"),
    (re.compile(r"^(?:have a |take a )?look out\b|"
                r"\bsee (?:the )?(?:ground|surface|terrain|lights|anything|out|outside)\b"), "outside"),
    (compiled(r"""
        \b(?:where (?:am i|are we|is <place>)|how far|how long to|distance|bearing|position|dme|radial)(?!\w)"""),
     "navigation"),
    (re.compile(r"\b(?:altitude|how high(?! (?:are|is) the (?:tops?|clouds?|bases?|ceiling)))\b"), "altimeter"),
    (re.compile(r"\b(?:(?<!what )heading|heading(?! (?:to|for|takes) <place>)|course|which way)\b"),
     "heading_indicator"),
    (re.compile(r"\b(?:speed|how fast|how many (?:knots|kts?))\b"), "airspeed_indicator"),
    (re.compile(r"\b(?:bank angle|pitch|banked|banking)\b"), "attitude_indicator"),
    (re.compile(r"\b(?:needle|ball|rate of turn|turn rate|turning)\b"), "turn_coordinator"),
    (re.compile(r"\bleading edges?\b|\bon the (?:wings?|struts?)\b|\bthe (?:struts?|"
                r"wings?(?! level))\b"), "ice"),
    (re.compile(r"\b(?:sinking|climb rate|descent rate|sink rate|rate of (?:climb|descent))\b"),
     "vertical_speed_indicator"),
    (re.compile(r"\b(?:popped|tripped)\b"), "breakers"),
    (re.compile(r"\b(?:charging|charge|amps)\b"), "ammeter"),
    (re.compile(r"\b(?:slip\w*|skid\w*|coordinated)\b"), "turn_coordinator"),
    (compiled(r"""
        \b(?:around|all of (?:it|them)|what (?:have i got|do i (?:have|see)|is (?:shown|showing)))\b"""), "panel"),
)


def seen(name: str) -> tuple[str, ...]:
    """Return what to look at for a name; "gyros" is two instruments."""
    book = standard()
    if name == "gyros":
        return ("attitude_indicator", "heading_indicator")
    if name in IN_SIGHT and name not in book.seen_as:
        return (name,)
    return (book.seen_as[name],) if name in book.seen_as else ()


def told_of(text: str) -> str | None:
    """Return what is looked at by words that name no instrument: "how fast", "sink rate"; None for none."""
    return next((at for pattern, at in _SEEN_WORDS if pattern.search(text)), None)


def _sights(order: Order) -> list[str]:
    found = [each for name in order.names for each in seen(name)]
    return list(dict.fromkeys(found))


_LOOK = compiled(r"""
    ^(?:can (?:i|we|you) see|do (?:i|we|you) see|look|anything|sweep|peer|squint|stare|peep|check|scan|read|peek|
    glance|glimpse|examine|see|view|watch|monitor|verify|inspect|observe|eyeball|eyes on|study|confirm|show|gander|
    have (?:a |another |one more )?(?:quick |good |close )?(?:look|peek|glance|gander|squint)|
    take (?:a |another )?(?:look|peek|glance|reading|gander|squint)|what|how|where|is|are|does|do|did|any|which|
    get a reading|(?:a )?bit of a (?:look|squi[zs])|have a shufti|(?:take|have) (?:a )?(?:quick )?squi[zs]|squi[zs]|
    shufti|suss(?: out)?|consult|shine|torch|quick|(?:run|cast|throw) (?:an|my|your) eyes?|keep an eye|lemme see|
    sanity|hows|eyes|give (?:(?:the|my|our|that|all|whole) )*<\w+> an? (?:\w+ )?(?:look|scan|glance|check|sweep|
    once over|peek|read|tap|flick|knock)|(?:tap|knock on|rap)(?: on)? (?:(?:the|my|that) )?<|ice\b|let me see|see|
    double check|recheck|look over|find out|note|give me|tell me|
    report to me|who|when|has|have|was|scanning|looking|checking|reading|watching|bearing|distance)\b|
    ^(?:go|run|sweep|cast)(?: (?:my|an) eyes?)? (?:over|through|across) (?:(?:the|my|all|our|whole|entire) )*<|
    ^(?:the |my )?(?:leading edges?|wings?)\b.*<ice>|^time check\b|
    ^(?:\w+ )?(?:my )?nose (?:against|up to|to|on) (?:the )?(?:\w+ )?<outside>|^rate of (?:climb|descent)\b(?!.*\d)|
    ^(?:my |our |present |current )?(?:altitude|heading|airspeed|speed|position|turn rate|rate of turn|
    pitch)(?: now)? \?$""")
_NAME_ALONE = compiled(r"""
    <clock> on (?:the |my )?<clock>|(?:the |my )?<\w+>(?: (?:please|reading|now|status))*(?: \?)?|<\w+> check(?: \?)?|
    (?:the |my )?<\w+> (?:is )?(?:says|reads|shows|saying|reading|showing) what(?: \?)?|
    (?:the )?needle on (?:the |my )?<\w+>.*|<\w+>(?: , <\w+>)+(?: please| now)*""")
_NAME_THEN_QUESTION = compiled(r"""
    ^(?:the |my )?<\w+>(?: \w+)? , (?:(?:is|are|does|do) (?:it|they|that)|where is|what is|see (?:if|whether)|give it|
    any\w*|what|which|how|has|have|did)\b""")
_ON_ANOTHER = compiled(r"""
    (?:<\w+>(?: output| reading| value)?|(?:the )?(?:charge|discharge|climb|descent|charging|sink) rate|
    (?:the )?(?:current |present )?(?:reading|value)) (?:on|at|by) (?:the |my |our )?<\w+>(?: please| now)?(?: \?)?$""")
_GIVEN = compiled(r"""
    ^give me (?:the |some |a bit of )?<(?:pitot_heat|carburettor_heat|alternate_static|standby_vacuum|\w+_lights?|
    strobes)>""")
"""What is given is switched on: "give me pitot heat"."""
_SCAN = compiled(r"""
    (?:scan|scanning|(?:do |make |run )?(?:an? |the |my )?(?:instrument|full|quick|panel) scan)(?: (?:now|again|
    please|quickly|around|it|all))*""")


def look(order: Order) -> list[Action] | None:
    """Look at what is named, one look each; asked about without a name, at what the words tell of."""
    text = without_opening(order.text)
    alone = _NAME_ALONE.fullmatch(text)
    asked = _NAME_THEN_QUESTION.match(text)
    listed = re.match(r"^<panel> , ", text) and len(order.names) == 1
    wondered = re.match(r"^(?:the |my |our )?<\w+>.*\?$",
                            text) and len(order.names) == 1 and order.names[0] in INSTRUMENTS
    named = asked or listed or wondered or _ON_ANOTHER.fullmatch(text) or (
        alone and order.names[0] in INSTRUMENTS | {"outside", "panel", "breakers"})
    if (not _LOOK.match(text) and not named) or _GIVEN.match(text):
        return None
    sights = _sights(order)
    if len(sights) > 1 and (later := re.search(r" before | after ", order.text)):
        first = order.text[:later.start()]
        sights = [at for name in order.names if f"<{name}>" in first for at in seen(name)] or sights
    if len(sights) > 1 and _ON_ANOTHER.search(text):
        sights = sights[-1:]   # "the alternator on the ammeter"
    if "not" in text and len(sights) > 1:
        sights = sights[:1]
    if "panel" in sights and re.search(r"<panel> (?:but|except|other than|apart from)\b", text):
        sights = ["panel"]
    if "ice" in sights:
        sights = ["ice"]   # "the windshield for icing"
    if "outside" in sights and re.search(r"\b(?:is there|any|see|for)\b", text):
        sights = ["outside"]   # "out front, is there a horizon"
    if not sights and (at := told_of(text)):
        sights = [at]
    if not sights and _SCAN.fullmatch(text):
        sights = ["panel"]
    return [Look(at) for at in sights] or None


_CONCLUDES = compiled(r"""
    \bagree\b(?: ,)? (?:(?:so|and|but|the|my) )*<\w+> (?:is|has|must be) (?:bad|wrong|lying|off|out|dead|failed|the bad|
    no good|the liar)\b""")
"""A comparison that is made, and what follows from it: "TC and compass agree, AI is bad"."""
_COMPARE = re.compile(r"\b(?:compare|comparing|cross ?check\w*|cross refer\w*|correlate|tally|triangulate|reconcile|"
                      r"versus|vs|against|agree\w*|"
                      r"match(?:es)?|line up|lines up|disagree\w*|consistent|"
                      r"which (?:1|one)|odd (?:1|one) out|tally|square with|backs? up (?:the|my|what)|side by side|"
                      r"back(?:s|ing)? (?:each other|one another) up|(?:one|1|the same) story|"
                      r"difference between|make sense|add(?:s|ing)? up|hang together|weigh(?: up)?|"
                      r"sanity check|agreement|next to (?:the |my )?<|"
                      r"the same)\b|\btells? (?:me )?the same\b|\bsame (?:story|thing|picture)\b|\b(?:confirm|check|"
                      r"verify|see) .*> (?:with|against|using|by) |^(?:verify|check) .*> (?:with|to|by) ")


def compare(order: Order) -> list[Action] | None:
    """Set two or more instruments against each other."""
    pair = re.fullmatch(r"(?:the |my )?<\w+> and (?:the |my )?<\w+>(?: \?)?", without_opening(order.text))
    if (not _COMPARE.search(order.text) and not pair) or _CONCLUDES.search(order.text):
        return None
    sights = [at for at in _sights(order) if at != "panel" or len(_sights(order)) == 1]
    if re.search(r"\b(?:cross ?check\w*|compare|verify|check)\b",
                 order.text) and len(sights) == 1 and sights[0] in INSTRUMENTS:
        extra = [at for pattern, at in _SEEN_WORDS[:5] if pattern.search(order.text) and at != sights[0]]
        sights += extra[:1]
    if pair and not set(order.names) <= INSTRUMENTS:
        return None
    if len(sights) >= 2:
        return [Compare(tuple(sorted(sights)))]
    scanned = re.match(r"^(?:cross ?check|scan)", without_opening(order.text)) and sights in ([], ["panel"])
    return [Look("panel")] if scanned else None


_UNCOVER = sought(r"""
    \b(?:get|whip|whisk|yank|rid|pop|prise|pry|flick|pluck|strip|slide|have|uncover|unhide|unmask|unblock|expose|reveal|peel|tear|remove|
    pull|rip|take|lift)\b""")
_COVERING = (
    laid_out(r"""
        (?:cover|note|sticker|post it|postit|paper|tape|card|patch|disc|disk|suction cup|sticky|covering|something|
        label|tag|strip|plaster|band aid|decal|sticky note|coaster|napkin|sock|map|sectional|pad|folder|envelope|
        wallet|phone|sleeve|cloth|rag|towel|jacket|bag|checklist|book|clipboard|foreflap|bit of paper|
        piece of paper|scrap of paper|soap dish|shade|approach plate|plate|chart|hat|cap|glove|placard|kneeboard|
        cup|bandage|hankie|handkerchief|tissue|sticky|flannel|leaflet|newspaper|scarf|it|that)""")
)
_COVER = compiled(r"""
    ^(?:cover|hide|mask|blank|obscure|conceal|black out|block (?:off|out)|tape (?:over|up)|paper over|cap|stow)\b|
    ^(?:a |the )?(?:\w+ ){0,2}(?:post it|postit|sticky(?: note)?|sticker|note|card|paper|tape|cover|disc|disk|patch|
    hat|cap|glove|map|
    chart|coaster|soap dish|napkin|checklist card|<covering>) (?:on|over|across|in front of)\b|
    \b(?:put|stuff|chuck|toss|shove|jam|wedge|tuck|stick|slap|place|tape|lay|drape|slip|throw|set|hang|pop|clip|bung|
    plaster|plonk|whack|drop|fix|paste|use|get|slide)\b.*\bCOVERING\b.*\b(?:over|on|across|onto|in front of|
    to (?:cover|hide))\b|
    ^(?:attach|affix|apply|fasten|clip|tape|stick)\b.*\bCOVERING\b (?:to|over|on|onto) (?:the |my |our )?(?:\w+ )?<|
    \b(?:cover|hide|mask)(?: up)? (?:the |my |that |this |up )*(?:\w+ )?<|\bout of (?:my )?(?:sight|view|scan)\b|
    ^block (?:my |the )?(?:view|sight) of\b|^block .* from (?:view|sight)\b|
    ^(?:put|fold|spread|prop|rest|balance|wrap|sling|stick|slap|place|lay|drape|throw|tape|hang|pop|chuck|toss|stuff|
    shove|jam|wedge|bung|plaster|plonk|whack) (?:\w+ ){1,6}(?:over|across|in front of|on) (?:\w+ ){0,3}<
    """.replace("COVERING", _COVERING))


_REASON = re.compile(r" (?:because|since|as|so|with|that i|before|after|while|when|until|till|"
                     r",(?!(?: (?:and|the|my|our))* <\w+>(?: (?:and|,|now|please|too|as well|also)|$))) ")
"""What leads from an order to why it is given; a comma does not where another instrument follows alone."""


_UNCOVERED = sought(r"""
    ^(?:the |my |our )?<\w+> (?:uncovered|unmasked)(?: please| now| again)*$|\brestore .* to (?:view|sight)\b|
    \bback (?:in|into) (?:view|sight)\b|
    \b(?:uncover|unhide|unmask|expose|reveal|unblock)\b""")


_OFF_IT = re.compile(rf"^(?:(?:the|that|this|my) )?{_COVERING}s? (?:off|away from|come off|comes off) "
                     r"(?:the |my |our )?<")


_ITS_COVER_OFF = re.compile(rf"(?:the |my |our )?<\w+> {_COVERING}s? (?:off|away|removed)(?: now| please| again)*")


_LOST = re.compile(r"^(?:lose|ditch|bin|drop) .*\b(?:cover|note|sticker|paper|tape|card)"
                   r"(?: (?:on|over|from)(?: the| my| our)? <\w+>)?$")


def uncover(order: Order) -> list[Action] | None:
    """Take the cover off again."""
    text = order.text
    plain = _UNCOVERED.search(text) or _OFF_IT.match(without_opening(text)) or _ITS_COVER_OFF.fullmatch(
        without_opening(text))
    if _LOST.match(without_opening(text)):
        return [Uncover(at) for name in order.names for at in _faces(name)] or None
    lifted = _UNCOVER.search(text) and re.search(rf"\b{_COVERING}\b", text) and re.search(
        r"\b(?:off|from|away|back)\b|^(?:get )?rid\b|\bget rid\b", text)
    if not (plain or lifted):
        return None
    return [Uncover(at) for name in order.names for at in _faces(name)] or None


def _faces(name: str) -> list[str]:
    """Return what can be covered of a name; a system that only shows on a gauge cannot."""
    return [at for at in seen(name) if at in INSTRUMENTS and name != "vacuum_system"]


_BACK_ON = Sought(r"\b(?:it|that|them) back (?:on|onto|to|in|with)\b|<heading_indicator> back (?:on|onto|to)\b")
_WANTED_HIDDEN = compiled(r"""
    ^(?:the |my |that )?(?:i )?(?:would )?(?:want|like|need) (?:the |that |my )*<\w+> (?:hidden|covered|out of)|
    ^(?:the |that |my )*<\w+> (?:hidden|covered)(?: up)?(?: please| now)*$""")


def cover(order: Order) -> list[Action] | None:
    """Put something over an instrument."""
    if _BACK_ON.search(order.text):
        return None   # "put it back on the compass" covers nothing
    wanted = _WANTED_HIDDEN.match(without_opening(order.text))
    now = re.split(r" (?:before|after|while|until|till) ", without_opening(order.text))[0]
    if not wanted and not _COVER.search(now):
        return None   # "check the suction before you cover the AI"
    reason = _REASON.search(order.text)
    within = order.text if reason is None or "<" not in order.text[:reason.start()] else order.text[:reason.start()]
    if re.match(r"^ and ", order.text[reason.start():] if reason else ""):
        within = order.text
    after = re.split(r"\b(?:cover|hide|mask)\b", within, maxsplit=1)[-1]
    within = after if "<" in after else within   # "flying by the TC, I cover the AI"
    names = [name for name in order.names if f"<{name}>" in within.removeprefix("<clock> to ")]
    return [Cover(at) for name in names for at in _faces(name)] or None


_PARTIAL = sought(r"""
    \b(?:partial|limited|emergency) <?panel\b|\b(?:fly|flying|go|going) partial\b|
    \bneedle(?: ,| and| ,? and)? ball\b|<needle_ball>|\bstandby panel\b|^pp$|\bbasic six\b""")
_FULL = sought(r"""
    \b(?:full|whole|normal|complete|entire) <?panel\b|\ball (?:the |my )?<panel>|\bnormal (?:instrument )?scan\b|
    \bfull scan\b""")
_FLY_BY = compiled(r"""
    \b(?:fly|flying|use|using|steer|trust|trusting|rely on|relying on|refer to|reference|transition to|transfer to|
    switch(?:ing)? to(?! (?:on|off)\b)|go(?:ing)? (?:to|by|on|off)|revert to|
    back (?:to|on)(?=(?: a| the| my| our| full| normal)* <?(?:panel|\w+>))|fall back on|believe(?= (?:(?:in|the|my|
    our|that|only|just) )*<)|follow|navigate|
    stay on|base|bank|pitch|hand fly|go|going|return to|resume|primary|keep wings level|straight with|
    keep (?:her|it|us) straight|get (?:my|our|the) headings? off)\b|
    > (?:only |alone )?for (?:the )?(?:bank|pitch|roll|heading|attitude)\b""")
_FLOWN_OFF = re.compile(r"> (?:off|by|from|with|using) (?:the |my )?<(\w+)>")
_ONLY_LOOKS = compiled(r"""
    ^(?:what|how|check|(?:go|run|sweep|cast)(?: (?:my|an) eyes?)? (?:over|through|across)|(?:have|take|get) (?:a|an|
    another)(?: \w+)? (?:look|peek|glance|gander)|look|see|show|is|are|
    does|do(?! not)|where|scan|read|cross|compare)\b|
    .*\b(?:do not|never) trust\b""")
_BACK_THERE = compiled(r"""
    ^(?:go|head|taxi|turn|come) back to (?:(?:the|our|my) )?(?:ramp|apron|hangar|gate|stand|parking|field)\b""")
_ENDS_PARTIAL = compiled(r"""
    \b(?:off|stop|out of|end|no more|leave) (?:the )?partial <?panel\b""")


def fly_by(order: Order) -> list[Action] | None:
    """Tell the hands what to trust."""
    text = order.text
    plain = without_opening(text)
    if "pitch and power" in text or _ONLY_LOOKS.match(plain) or _BACK_THERE.match(plain):
        return None
    if _PARTIAL.search(text) and not _ENDS_PARTIAL.search(text):
        return [FlyBy("partial_panel")]
    if (_FULL.search(text) or re.search(r"\b(?:stop|end|no more|off|out of|leave) (?:the )?partial <?panel",
                                        text)) and (
            _FLY_BY.search(text) or re.match(r"^(?:full|normal|whole)\b", without_opening(text))
            or "partial" in text):
        return [FlyBy("full_panel")]
    if re.search(r"\bbelieve (?:that )?(?:the |my |our )?<\w+> (?:has|is|was|have|are)\b", text):
        return None
    if not _FLY_BY.search(text) or re.match(r"^(?:switch (?:on|off)|(?:put|set|bring|line) (?:it|that|them) back)\b",
                                            without_opening(text)):
        return None
    if _ON_THE_STANDBY.search(text):
        return [FlyBy("standby_instrument")]
    named = trusted(order)
    if (off := _FLOWN_OFF.search(text)) and off[1] in named:
        return [FlyBy(off[1])]   # "fly attitude off the turn coordinator"
    return [FlyBy(named[0])] if named else None


_ON_THE_STANDBY = re.compile(r"\b(?:on|by|use|trust|with|off) (?:the |my )?(?:standby|backup)$")
_FLOWN_BY = INSTRUMENTS - {"clock", "ammeter", "voltmeter", "suction_gauge"}
_NOT_TO_FLY_BY = (r"covered|dead|out(?! of)|gone|failed|broken|stuck|frozen|toppled|tumbl\w+|bad|unreliable|kaput|"
                  r"lying|sticky|useless|bust|toast")


def trusted(order: Order) -> list[str]:
    """Return the named instruments that the hands can fly by."""
    return [name for name in order.names if name in _FLOWN_BY
            and not re.search(rf"<{name}> (?:(?:is|are|has|was|been|now) )*(?:{_NOT_TO_FLY_BY})\b", order.text)]


_DISTRUST = compiled(r"""
    ^(?:stop|quit|cease|no longer|no more)(?: (?:from|to))? (?:using|use|following|follow|flying|fly|trusting|
    relying|referring|chasing|steering)\b|^(?:ignore|disregard|distrust)\b|
    ^(?:do not|never|not) (?:use|using|follow|following|fly|flying|rely|refer|chase|steer|go by)\b|
    ^(?:forget|forget about|get off|come off|leave|ditch|bin|dump|abandon) (?:the |my )?<\w+>(?: alone)?$""")
_NO_TRUST = compiled(r"""
    ^(?:(?:i|we|you|please|let us) )*(?=.*\b(?:not|never|nobody|no|hardly|barely|scarcely|refus\w+|
    unable|done|finished|through|stop\w*|quit)\b.* (?:trust|believ|rely|us|follow|fly|go|steer|refer))(?:(?:i|we|
    nobody|no 1|1|can|could|will|would|
    must|should|do|am|are|is|be|going|to|not|never|no|longer|more|hardly|barely|scarcely|refus\w+|unable|able|safe|
    really|even|way|have|has|done|finished|through|stop\w*|quit|with) )+(?:trust\w*|believ\w*|rely\w*|us(?:e|ing)|
    follow\w*|fly\w*|go (?:by|on)|steer\w*|
    refer\w*)\b(?! partial)""")
_NOT_ABLE = re.compile(r"\b(?:can|could|able|unable|hardly|barely|scarcely|safe|trust\w*|believ\w*)\b")
"""Of an instrument that cannot be used or trusted more is said than how to fly: that it has failed."""
TRUSTS_IT = compiled(r"""
    ^(?:(?:i|we|you) )?(?:can not|could not|do not|must not|will not|never|no longer) (?:to )?(?:trust|believe|rely on|
    use|follow|go by) (?:it|that|them)\b""")
"""What is said of a part that was named before: "can't trust it"."""
_ONLY = sought(r"""
    \b(?:(?:not|never) (?:\w+ ){1,4}any\w*(?: else)?|(?:trust|use|fly by|believe|follow|rely on) (?:nothing|no \w+|
    nobody)(?: else)?) (?:but|except|other than|besides)(?: (?:for|the|my|our))* <(\w+)>""")
"""One instrument that alone is trusted: "trust nothing but the TC"."""
_ALL_BUT = sought(r"""
    \b(?:fly|use|trust|rely|follow|go|believe|steer)\b.*(?:\banything|\beverything|\ball|
    \bany(?: other)?(?: instruments?| gauge| <panel>)?|<panel>|
    \bother instruments?) (?:but|except|other than|besides|apart from|bar)\b(?: (?:for|the|my|our))* <""")
_IN_ITS_PLACE = {"attitude_indicator": "turn_coordinator", "heading_indicator": "magnetic_compass"}


def distrust(order: Order) -> list[Action] | None:
    """Leave an instrument out of the scan: the hands take the one that does its work without it."""
    text = without_opening(order.text)
    if (only := _ONLY.search(text)) and only[1] in trusted(order):
        return [FlyBy(only[1])]
    cannot = _NO_TRUST.match(text) is not None
    if cannot and (text.startswith(("1 ", "one ")) or re.search(r"\ban? (?:\w+ )?<gyros>", text)):
        return []   # "one never trusts a gyro"
    if cannot and _NOT_ABLE.search(text) and order.names:
        suspect = {each for name in order.names for each in order.book.equipment(name) if each in EQUIPMENT}
        return [Diagnose(tuple(sorted(suspect)))] if suspect else None
    if not cannot and not _DISTRUST.match(text) and not _ALL_BUT.search(text):
        return None
    gyros = ["attitude_indicator", "heading_indicator"] if "gyros" in order.names else []
    left = list(dict.fromkeys([*gyros, *trusted(order)]))
    if not left:
        return None
    if set(left) >= set(_IN_ITS_PLACE):
        return [FlyBy("partial_panel")]
    if left[0] in _IN_ITS_PLACE:
        return [FlyBy(_IN_ITS_PLACE[left[0]])]
    return [Unclear("What do you want to fly by instead?")]
