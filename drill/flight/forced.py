"""An airplane that has to come down, its engine out or on fire: straight to a field, at the altitude that it has.

No pattern is led, no approach is waited for and no altitude assigned: heading and distance are what the pilot needs,
and the way is corrected by the track that radar shows (FAA JO 7110.65 10-1-3 and 10-2-1, by memory).
"""

from __future__ import annotations

from dataclasses import replace

from drill.flight.answering import Answering
from drill.flight.approach import begun_anew
from drill.flight.controller_state import ControllerState, Radar, must_land, powerless
from drill.flight.phraseology import altitude_words, field_of, heading_words, miles_words
from drill.flight.vectoring import vectored_to
from drill.flight.weather import distance_nm
from drill.scenario.model import Field, Scenario


def at_discretion(scenario: Scenario, state: ControllerState) -> str:
    """Return that the altitude is the pilot's, with the minimum of the area for one who may be in cloud."""
    least = f", minimum altitude in your area is {altitude_words(scenario.minimum_altitude_ft)}"
    return f"altitude at your discretion{'' if state.told.conditions == 'vmc' else least}"


def straight_there(state: ControllerState, field: Field, radar: Radar) -> tuple[ControllerState, str]:
    """Return the controller that leads straight to a field, and the words for it; turns that it calls stay."""
    state = replace(begun_anew(replace(state, approach=None)), place=field.name, planned=True, own_heading=True,
                    altitude_ft=None, own_altitude=True, wants_altitude=False)
    far = miles_words(distance_nm(field, radar.north_nm, radar.east_nm))
    if state.turns is not None:
        return replace(state, heading_deg=None), f"no-gyro vectors straight to {field.name}, {far}"
    state = vectored_to(state, field, radar)
    return state, f"fly heading {heading_words(state.heading_deg or 0.0)}, straight to {field.name}, {far}"


def turned_straight(a: Answering) -> Answering:
    """Lead an airplane straight to its field that is on a pattern or an approach and now has to come down."""
    state = a.state
    new = "engine" in a.received.reports or "fire" in a.received.natures
    field = field_of(a.scenario, state.place)
    led = state.vectored or state.turns is not None or (state.approach not in (None, "visual"))
    if not new or not must_land(state) or field is None or not led or state.in_sight or a.radar.on_ground or (
            a.call.assistance or a.call.places):
        return a
    cancelled = ["approach clearance cancelled"] if state.approach is not None and powerless(state) else []
    if state.approach is not None and not cancelled:
        return a                          # it burns, and the approach is the way down
    state, words = straight_there(state, field, a.radar)
    free = [] if any("discretion" in each for each in a.said) else [at_discretion(a.scenario, state)]
    return a.saying([*cancelled, words, *free], state)
