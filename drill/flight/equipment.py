"""Switches, knobs, breakers, radio and transponder: what a hand on the panel changes."""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight import orders
from drill.flight.cockpit import Cockpit, Effect, Seen, done, refused
from drill.flight.readings import absent, clock_words, instrument_name, setting_words, three_digits
from drill.language.meaning import Align, Breaker, Ident, Squawk, Switch, Timer, Tune
from drill.scenario.units import HPA_PER_INHG

_SWITCHED = ("pitot_heat", "alternate_static", "standby_vacuum", "alternator", "battery", "avionics", "landing_light",
             "nav_lights", "strobes", "beacon", "gps", "transponder", "second_radio", "carburettor_heat",
             "standby_instrument")
_WITH_A_BREAKER = frozenset({"pitot_heat", "landing_light", "nav_lights", "strobes", "beacon", "gps", "transponder",
                             "second_radio", "avionics", "alternator"})
_HAS_ITS_OWN_SWITCH = frozenset({"pitot_heat", "landing_light"})   # off as often as on: the breaker alone says nothing
GUARD = "121.5"          # emergency frequency: ICAO Annex 10 vol. II; AIM 6-3-1


def _fitted(what: str, seen: Seen) -> bool:
    if what in ("autopilot", "standby_instrument"):
        return what not in absent(seen.scenario.airplane.airframe)
    return what != "standby_vacuum" or seen.scenario.airplane.airframe.standby_vacuum_fitted


def switch(cockpit: Cockpit, action: Switch, seen: Seen) -> Effect:
    """Put a switch on or off."""
    name = instrument_name(action.what)
    if not _fitted(action.what, seen):
        return refused(cockpit, f"this airplane has no {name}")
    if action.what == "autopilot":
        return orders.engage(cockpit, seen) if action.to == "on" else orders.disengage(cockpit)
    if action.what not in _SWITCHED:
        return refused(cockpit, f"there is no switch for: {name}")
    to = 1.0 if action.to == "on" else 0.0
    if getattr(cockpit.controls, action.what) == to:
        return done(cockpit, f"{name} is {action.to} already")
    return done(cockpit, f"{name} {action.to}", **{action.what: to})


def breaker(cockpit: Cockpit, action: Breaker, seen: Seen) -> Effect:  # noqa: ARG001 - every act has the same shape
    """Pull or reset a circuit breaker."""
    name = instrument_name(action.what)
    if action.what == "turn_coordinator":
        to = 0.0 if action.to == "pull" else 1.0
        if cockpit.controls.turn_breaker == to:
            return done(cockpit, f"the turn coordinator's breaker is {'in' if to else 'out'} already")
        return done(cockpit, f"turn coordinator breaker {'reset' if to else 'pulled'}", turn_breaker=to)
    if action.what in _WITH_A_BREAKER:
        to = 0.0 if action.to == "pull" else 1.0
        if to and (getattr(cockpit.controls, action.what) > 0.5 or action.what in _HAS_ITS_OWN_SWITCH):
            return done(cockpit, f"the {name} breaker is in")
        if to:
            return done(cockpit, f"{name} breaker reset", **{action.what: 1.0})
        return done(cockpit, f"{name} breaker pulled", **{action.what: to})
    if action.to == "reset":
        return done(cockpit, f"the {name} breaker is in")
    return refused(cockpit, f"there is no breaker marked {name}")


def squawk(cockpit: Cockpit, action: Squawk, seen: Seen) -> Effect:  # noqa: ARG001
    """Set a transponder code."""
    if not re.fullmatch(r"[0-7]{4}", action.code):
        return refused(cockpit, "a transponder code has four digits from 0 to 7")
    return Effect(replace(cockpit, code=action.code), f"squawking {action.code}")


def ident(cockpit: Cockpit, action: Ident, seen: Seen) -> Effect:  # noqa: ARG001
    """Press ident."""
    return done(cockpit, "ident")


def same_frequency(one: str, other: str) -> bool:
    """Say whether two frequencies are the same: "118.3" and "118.30" are."""
    return one.strip().rstrip("0").rstrip(".") == other.strip().rstrip("0").rstrip(".")


def tune(cockpit: Cockpit, action: Tune, seen: Seen) -> Effect:
    """Tune the radio."""
    if not re.fullmatch(r"1[123]\d(\.\d{1,3})?", action.frequency):
        return refused(cockpit, "which frequency? From 118.0 to 136.975")
    cleared = seen.scenario.clearance
    place = f", {cleared.facility}" if same_frequency(action.frequency, cleared.frequency) else ""
    return Effect(replace(cockpit, frequency=action.frequency), f"radio on {action.frequency}{place}")


def on_frequency(cockpit: Cockpit, cleared: str) -> bool:
    """Say whether the facility on frequency `cleared` hears and is heard: that, or the emergency one, is tuned."""
    tuned = cockpit.frequency
    return not tuned or not cleared or same_frequency(tuned, cleared) or same_frequency(tuned, GUARD)


def align(cockpit: Cockpit, action: Align, seen: Seen) -> Effect:
    """Set the heading indicator to the compass, or the altimeter to a pressure."""
    if action.what == "heading_indicator":
        if "magnetic_compass" in cockpit.covered:
            return refused(cockpit, "the magnetic compass is covered: uncover it first")
        compass = seen.shown["compass_deg"]
        said = f"heading indicator set to {three_digits(compass)}, as the compass reads"
        return Effect(cockpit, said, set_heading_indicator_to=compass)
    if action.hpa is not None:
        setting = float(action.hpa)
    elif action.inhg is not None:
        setting = action.inhg * HPA_PER_INHG
    else:
        return refused(cockpit, "set the altimeter to which pressure?")
    if not 900.0 <= setting <= 1080.0:
        return refused(cockpit, "no air pressure is like that: about 29.92 inches, or 1013 hectopascals")
    return done(cockpit, f"altimeter set to {setting_words(setting)}", altimeter_setting_hpa=setting)


def timer(cockpit: Cockpit, action: Timer, seen: Seen) -> Effect:
    """Start or stop the timer."""
    if action.to == "start":
        return Effect(replace(cockpit, timer_from_s=seen.t_s), "timer started")
    if cockpit.timer_from_s is None:
        return refused(cockpit, "the timer is not running")
    ran = clock_words(seen.t_s - cockpit.timer_from_s)
    return Effect(replace(cockpit, timer_from_s=None), f"timer stopped at {ran}")
