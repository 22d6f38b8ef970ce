"""Orders to set the heading indicator to the compass, and the altimeter to a pressure."""

from __future__ import annotations

import re

from drill.language.meaning import Action, Align, Unclear
from drill.language.orders import Order, without_opening
from drill.language.patterns import compiled
from drill.language.sought import sought

_SET_TO = compiled(r"""
    ^(?:set|dial in|dial|put in) (2[6-9]\.\d{2}|3[01]\.\d{2}|2[89]\d\d|3[01]\d\d|10[0-5]\d|
    9\d\d)(?: (?:set|in|now|please|inches))*$""")
_SETTING = sought(r"""
    (?:\b(?:qnh|regional|subscale|baro|kollsman(?: window)?|altimeter setting|pressure|setting)\b|
    <altimeter>)\D*(\d{2}\.\d{2}|\d{4}|\d{3})\b|\b(\d{2}\.\d{2}|29\d\d|30\d\d|9\d\d|
    10[0-5]\d)\b.*(?:\b(?:qnh|subscale|baro|kollsman|inches|hpa|millibars|hectopascals)\b|<altimeter>)""")
_READS = re.compile(r"<altimeter> (?:now |still )?(?:shows?|showing|reads?|reading|says?|indicat\w+|is at|stuck)\b")
HPA = range(900, 1081)


_ALIGNS = sought(r"""
    \b(?:reset|set|sync\w*|align\w*|re ?align|slave|match|match up|update|adjust|correct|fix|slew|rotate|twist|tweak|
    nudge|
    synchroni[sz]e|zero|resync|line|put|cage|change|re set|dial|twist|make)\b""")
_TO_MAGNETIC = compiled(r"""
    ^(?:set|reset|slave|align|re ?align|sync|resync|synchroni[sz]e) (?:the |
    my )?<heading_indicator>(?:(?: back)? (?:to|with|from|by) (?:the )?(?:magnetic|mag)(?: 1| one)?)?$""")
_HEADING_TO_COMPASS = compiled(r"""
    ^(?:sync\w*|reset|set|align|match|correct)\w* (?:the |my )?(?:heading|<gyros>|gyro) (?:to|with|by|
    from) (?:the |my )?(?:<magnetic_compass>(?: heading)?|magnetic)""")


_ONTO_COMPASS = re.compile(r"<heading_indicator> (?:back (?:to|onto|on|in line with|with)|to|onto) (?:the |my )?"
                           r"<magnetic_compass>")


_ASKED = compiled(r"""
    ^(?:does|do|is|are|did|check|verify|what|has|see (?:if|whether|that|how))\b|
    .*\b(?:side by side|(?<!to )agree|next to|do they)\b""")


_IT_TO_COMPASS = compiled(r"""
    ^(?:re ?set|set|re ?align|align|sync\w*|match|slave) it (?:up |back )?(?:to|with|by) (?:the |my )?
    <magnetic_compass>$""")
"""What is set to the compass can only be one."""


def align(order: Order) -> list[Action] | None:
    """Set the heading indicator to the compass, or the altimeter to a pressure in hPa or inches of mercury."""
    text = order.text
    verb = _ALIGNS.search(text)
    asked = _ASKED.match(without_opening(text))
    by = "against" not in text or re.match(r"^(?:re ?set|re ?align|re ?sync|set|align|sync\w*) ", without_opening(text))
    if verb and not asked and "<heading_indicator>" in text and "<magnetic_compass>" in text and by:
        return [Align("heading_indicator", to="magnetic_compass")]
    if _ONTO_COMPASS.search(text) and not asked:
        return [Align("heading_indicator", to="magnetic_compass")]
    if verb and "<gyros>" in text and "<magnetic_compass>" in text and not asked and "against" not in text:
        return [Align("heading_indicator", to="magnetic_compass")]
    if verb and "<magnetic_compass>" in text and re.search(r"\bset (?:the |my )?heading\b|\bheading bug\b", text):
        return [Align("heading_indicator", to="magnetic_compass")]
    if _IT_TO_COMPASS.match(without_opening(text)):
        return [Align("heading_indicator", to="magnetic_compass")]
    if verb and _TO_MAGNETIC.match(without_opening(text)):
        return [Align("heading_indicator", to="magnetic_compass")]
    if _HEADING_TO_COMPASS.match(without_opening(text)):
        return [Align("heading_indicator", to="magnetic_compass")]
    if match := _SET_TO.match(without_opening(text)):
        said = match.group(1)
        if re.fullmatch(r"[0-7]{4}", said):
            return [Unclear(f"{said}: the altimeter, or the transponder?")]
        if int(float(said)) in HPA:
            return [Align("altimeter", hpa=int(said))]
        return [Align("altimeter", inhg=float(said) if "." in said else round(int(said) / 100, 2))]
    if _READS.search(text):
        return None
    if match := _SETTING.search(text):
        said = match.group(1) or match.group(2)
        value = float(said)
        if "." in said and 26 <= value <= 32:
            return [Align("altimeter", inhg=value)]
        if 2600 <= value <= 3200:
            return [Align("altimeter", inhg=round(value / 100, 2))]
        if value in HPA:
            return [Align("altimeter", hpa=int(value))]
    return None
