"""The cancellation of IFR: only in visual conditions, and at an altitude that radar shows.

Radar does not see cloud: unless visual conditions have been reported, they are asked for, once. It sees the altitude:
one that is not as said, or below the tops for an airplane on top, is asked about first.
"""

from __future__ import annotations

from dataclasses import replace

from drill.flight.altitudes import ON_TOP
from drill.flight.anew import wants_ifr
from drill.flight.answering import Answering
from drill.flight.controller_state import Radar, no_plan
from drill.flight.phraseology import altitude_words
from drill.flight.replying import ALTITUDE_SHOWN, VISUAL, Question
from drill.language.meaning import Call
from drill.language.patterns import compiled
from drill.scenario.model import Scenario

_LATER = compiled(r"""
    \bcancel\w* (?:our |my |the )?(?:ifr|instrument)\b.*\b(?:when|once|as soon as|after|later|if)\b|
    \b(?:when|once|as soon as|after|if)\b.*\bcancel\w* (?:our |my |the )?(?:ifr|instrument)\b""")
"""Will cancel, and does not yet."""
SAME_ALTITUDE_FT = 300.0                  # FAA JO 7110.65 5-2-17: what radar may show beside what is said


def ifr_cancelled(a: Answering) -> Answering:
    """Answer a cancellation of IFR, or what was asked about it."""
    state, call, asked = a.state, a.call, a.state.asked
    if not call.cancels_ifr and _LATER.search(call.words.lower()) and not (state.ifr_cancelled or a.radar.on_ground):
        return a.saying("roger, IFR clearance remains in effect, advise when ready to cancel")
    if not call.cancels_ifr and state.question not in (VISUAL, ALTITUDE_SHOWN):
        bare_wish = wants_ifr(call) and not (call.places or call.assistance) and not (
            state.ifr_cancelled or a.said)
        return _remains(a) if bare_wish and not a.radar.on_ground else a
    if not call.cancels_ifr and (call.conditions in ("imc", "icing") or wants_ifr(call)):
        return _remains(a)
    if _not_as_shown(a.scenario, call, a.radar) and ALTITUDE_SHOWN not in asked:
        return a.saying("", question=Question(f"verify altitude, radar shows {altitude_words(a.radar.altitude_ft)}",
                                              ALTITUDE_SHOWN))
    shown = state.question == ALTITUDE_SHOWN and not call.cancels_ifr
    if shown and VISUAL not in asked and "negative" not in a.kinds and ("affirmative" in a.kinds or call.altitude_ft):
        return a.saying("", question=Question("verify you are in visual conditions", VISUAL))
    if "negative" in a.kinds or call.conditions in ("imc", "icing"):
        return _remains(a)
    if call.conditions == "vmc" or "affirmative" in a.kinds or (call.cancels_ifr and VISUAL in asked):
        done = replace(no_plan(state), place=state.place, planned=True, ifr_cancelled=True, heading_deg=None,
                       altitude_ft=None, own_heading=True, own_altitude=True, question="")
        return a.saying("IFR cancellation received, squawk VFR", done)
    if call.cancels_ifr:
        return a.saying("", question=Question("verify you are in visual conditions", VISUAL))
    return a


def _remains(a: Answering) -> Answering:
    """Say that nothing is cancelled, with the altitude that holds."""
    state, to = a.state, a.state.altitude_ft
    stays = ""
    if to is not None and not state.own_altitude:
        off_ft = to - a.radar.altitude_ft
        verb = "climb and " if off_ft > SAME_ALTITUDE_FT else "descend and " if off_ft < -SAME_ALTITUDE_FT else ""
        stays = f", {verb}maintain {altitude_words(to)}"
    return a.saying(f"roger, IFR clearance remains in effect{stays}", replace(state, question=""),
                    call=replace(a.call, assistance=(), cancels_ifr=False))


def _not_as_shown(scenario: Scenario, call: Call, radar: Radar) -> bool:
    """Say whether a cancellation names an altitude that radar does not show, or is on top of tops that are higher."""
    if not call.cancels_ifr:
        return False
    cloud = scenario.weather.cloud
    under = cloud is not None and ON_TOP.search(call.words) is not None and radar.altitude_ft < cloud.tops_ft - 200.0
    return under or (call.altitude_ft is not None and abs(call.altitude_ft - radar.altitude_ft) > SAME_ALTITUDE_FT)
