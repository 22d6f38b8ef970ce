"""An act told in the past tense, as a debrief says what was done: "covered the attitude indicator"."""

from __future__ import annotations

from drill.clean import clean_line
from drill.flight.readings import instrument_name, setting_words, three_digits
from drill.grading.affected import listed, spoken
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Breaker,
    Checklist,
    Compare,
    Cover,
    Decide,
    Diagnose,
    Flaps,
    FlyBy,
    GoAround,
    Ident,
    LevelWings,
    Look,
    Pitch,
    Power,
    Squawk,
    StopTurn,
    Switch,
    Taxi,
    Timer,
    Track,
    Transmit,
    Tune,
    Turn,
    TurnRate,
    Uncover,
    WriteUp,
)

MOST_WORDS = 60          # characters of a call that are told
_LOOKS = {"panel": "looked over the whole panel", "outside": "looked outside"}
_DIRECTIONS = {"climb": "climbed", "descend": "descended", "hold": "held the altitude"}


def deed_words(action: Action) -> str:
    """Return what was done, in the past tense; "" for what changes nothing (waiting, ticking off)."""
    match action:
        case Look(at=at):
            return _LOOKS.get(at, f"looked at the {instrument_name(at)}")
        case Compare(what=what):
            return f"compared the {_and([instrument_name(each) for each in what])}"
        case Cover(what=what):
            return f"covered the {instrument_name(what)}"
        case Uncover(what=what):
            return f"uncovered the {instrument_name(what)}"
        case FlyBy(what=what):
            return f"flew by {instrument_name(what)}"
        case Switch(what=what, to=to):
            return f"switched the {spoken(what)} {to}"
        case Breaker(what=what, to=to):
            return f"{'pulled' if to == 'pull' else 'reset'} the {spoken(what)}'s circuit breaker"
        case Diagnose(failed=failed):
            return f"named it: {listed(failed)}" if failed else "said that all was well"
        case Decide(plan=plan, where=where):
            return f"decided to {spoken(plan)}" + (f": {clean_line(where)}" if where else "")
        case Transmit(call=call):
            words = clean_line(call)
            short = words if len(words) <= MOST_WORDS else f"{words[:MOST_WORDS].rsplit(' ', 1)[0]} …"
            return f"called: “{short}”"
        case Checklist(name=str(name)):
            return f"read the checklist {clean_line(name)}"
        case Checklist():
            return "asked for the checklists"
        case WriteUp(what=what):
            return f"wrote up the {clean_line(what)}" if what else "wrote it up"
    return _flown(action)


def _flown(action: Action) -> str:
    """Return an order to the hands, or what is set, in the past tense."""
    match action:
        case Turn(direction=direction, heading_deg=heading, by_deg=by):
            way = "" if direction == "shortest" else f" {direction}"
            by_how_much = f" by {by} degrees" if by is not None else ""
            return f"turned{way}" + (f" to {three_digits(heading)}" if heading is not None else by_how_much)
        case LevelWings():
            return "leveled the wings"
        case StopTurn():
            return "stopped the turn"
        case TurnRate(rate=rate):
            return f"turned at {rate} rate" if rate == "standard" else "turned at half the standard rate"
        case Track():
            return "followed the course needle"
        case Altitude(to_ft=to, by_ft=by, direction=direction):
            to_where = f" to {to:,} feet" if to is not None else ""
            return _DIRECTIONS[direction] + (f" by {by:,} feet" if by is not None else to_where)
        case Airspeed(to_kt=knots):
            return f"flew {knots} knots"
        case Power(to_rpm=rpm, change=change):
            return f"set {rpm} RPM" if rpm is not None else f"set {change or 'other'} power"
        case Pitch(to=to):
            return f"put the nose {to}" if to != "level" else "leveled the nose"
        case Flaps(to_deg=degrees):
            return f"set flaps to {degrees} degrees"
        case Align(what="altimeter", inhg=inhg, hpa=hpa):
            by_pascals = "another setting" if hpa is None else setting_words(hpa)
            return f"set the altimeter to {by_pascals if inhg is None else f'{inhg:.2f}'}"
        case Align():
            return "set the heading indicator to the compass"
        case Squawk(code=code):
            return f"squawked {clean_line(code)}"
        case Ident():
            return "identified by transponder"
        case Tune(frequency=frequency):
            return f"tuned {clean_line(frequency)}"
        case Timer(to=to):
            return f"{'started' if to == 'start' else 'stopped'} the timer"
        case Taxi():
            return "taxied"
        case GoAround():
            return "went around"
    return ""


def _and(names: list[str]) -> str:
    return " and the ".join(names) if len(names) <= 2 else f"{', the '.join(names[:-1])} and the {names[-1]}"
