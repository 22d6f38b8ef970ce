"""Orders to the hands: what to trust, where to turn, how high, how fast."""

from __future__ import annotations

from dataclasses import replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_GPS_TRACK,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_PRESSURE,
    BY_STANDBY,
    BY_STANDBY_HORIZON,
    BY_TURN,
    HOLD_AIRSPEED,
    HOLD_ALTITUDE,
    HOLD_HEADING,
    HOLD_PITCH,
    HOLD_RPM,
    HOLD_THROTTLE,
    KEEP_TURNING,
    RECOVER,
    TURN_TO_HEADING,
    WINGS_LEVEL,
    Controls,
)
from drill.airplane.dials import STANDARD_RATE_DPS
from drill.flight.cockpit import Cockpit, Effect, Seen, done, heading_kept, reference, refused
from drill.flight.on_the_ground import TAXI_TURN_DEG
from drill.flight.readings import absent, instrument_name, three_digits
from drill.flight.tracking import course_heading
from drill.language.meaning import (
    Airspeed,
    Altitude,
    Cover,
    Flaps,
    FlyBy,
    GoAround,
    LevelWings,
    Pitch,
    Power,
    StopTurn,
    Track,
    Turn,
    TurnRate,
    Uncover,
)
from drill.scenario.names import COVERABLE

MOST_TURN_DEG = 720      # two full circles in one order
UPSET_TURN_DPS = 3.8     # "more than standard rate": level the wings as from an upset (the author's choice)
CEILING_FT = 14_000      # an unpressurised four-seater without oxygen (14 CFR 91.211)
_HELD_WITHIN_FT = 100.0  # so near to an ordered altitude, an amount up or down counts from that
_SAME_HEADING_DEG = 10.0  # so near, two headings are taken for one (the ACS tolerance)
_THROTTLE_STEP = 0.10
_PITCH_STEP_DEG = 3.0
_NEEDED = {"airspeed_indicator": "speed", "altimeter": "height", "vertical_speed_indicator": "height"}
_BANK_BY = {"attitude_indicator": (BY_ATTITUDE, BY_HORIZON), "turn_coordinator": (BY_TURN, BY_PRESSURE),
            "standby_instrument": (BY_STANDBY, BY_STANDBY_HORIZON)}   # with the pitch reference that goes with each
_BANK_WORDS = {"attitude_indicator": "wings and pitch by the attitude indicator",
               "turn_coordinator": "wings by the turn coordinator, pitch by altimeter and airspeed",
               "standby_instrument": "wings and pitch by the standby attitude indicator"}


def _heading_by(controls: Controls, source: float, seen: Seen) -> Controls:
    """Change the heading reference. A heading that is being held stays ordered, to be read on the new one from now on.

    Where the two are far apart, what is held is the present heading as read on the new one: no turn comes of it.
    """
    changed = replace(controls, heading_by=source)
    if changed.heading_by != controls.heading_by and controls.lateral == HOLD_HEADING:
        now = heading_kept(changed, seen)
        if abs(wrap_deg(FLOATS, now - controls.heading_deg)) > _SAME_HEADING_DEG:
            changed = replace(changed, heading_deg=now, direction=0.0)
    return changed


def _other_heading(without: set[str], seen: Seen) -> float | None:
    if "magnetic_compass" not in without:
        return BY_COMPASS
    if "heading_indicator" not in without:
        return BY_HEADING_INDICATOR
    return BY_GPS_TRACK if seen.shown["gps_on"] > 0.5 and "navigation" not in without else None


def cover(cockpit: Cockpit, action: Cover, seen: Seen) -> Effect:
    """Cover an instrument; hands that went by it go by what is left. An autopilot is not blinded by it."""
    what, name = action.what, instrument_name(action.what)
    missing = absent(seen.scenario.airplane.airframe)
    if what in missing:
        return refused(cockpit, f"this airplane has no {name}")
    if what in cockpit.covered:
        return refused(cockpit, f"the {name} is covered already")
    if what in _NEEDED:
        return refused(cockpit, f"your hands hold {_NEEDED[what]} by the {name}: it stays uncovered")
    if what not in COVERABLE:
        return refused(cockpit, f"there is nothing to put over: {name}")
    without = {*cockpit.covered, what}
    left = [each for each in ("turn_coordinator", "attitude_indicator", "standby_instrument")
            if each not in without | missing]
    if what in _BANK_BY and not left:
        return refused(cockpit, "that would leave nothing to keep the wings level by")
    controls = cockpit.controls
    said = f"{name} covered"
    if what == "turn_coordinator":
        controls = replace(controls, turn_coordinator_in_sight=0.0)
    if what in _BANK_BY:
        (lost_bank, lost_pitch), (bank_by, pitch_by) = _BANK_BY[what], _BANK_BY[left[0]]
        if controls.bank_by == lost_bank or (what == "attitude_indicator" and controls.bank_by == bank_by):
            controls = replace(controls, bank_by=bank_by, pitch_by=pitch_by)
            said += f"; {_BANK_WORDS[left[0]]}"
        elif controls.pitch_by == lost_pitch and what != "turn_coordinator":
            controls = replace(controls, pitch_by=BY_PRESSURE)
            said += "; pitch by altimeter and airspeed"
    lost = {BY_HEADING_INDICATOR: "heading_indicator", BY_COMPASS: "magnetic_compass", BY_GPS_TRACK: "navigation"}
    if lost[float(controls.heading_by)] == what:
        other = _other_heading(without, seen)
        if other is None:
            return refused(cockpit, "that would leave nothing to keep a heading by")
        controls = _heading_by(controls, other, seen)
        said += f"; heading by the {instrument_name(lost[other])}"
    if flying_by_autopilot(seen) and what in ("attitude_indicator", "heading_indicator", "turn_coordinator"):
        said += "; the autopilot flies on by its own sources"
    return Effect(replace(cockpit, controls=controls, covered=tuple(sorted(without))), said)


def flying_by_autopilot(seen: Seen) -> bool:
    """Say whether the autopilot flies at the moment."""
    return seen.shown["autopilot_on"] > 0.5


def uncover(cockpit: Cockpit, action: Uncover, seen: Seen) -> Effect:  # noqa: ARG001 - every order has the same shape
    """Take a cover off. What the hands go by stays as it is."""
    name = instrument_name(action.what)
    if action.what not in cockpit.covered:
        return refused(cockpit, f"the {name} is not covered")
    left = tuple(each for each in cockpit.covered if each != action.what)
    controls = cockpit.controls
    if action.what == "turn_coordinator":
        controls = replace(controls, turn_coordinator_in_sight=1.0)
    return Effect(replace(cockpit, controls=controls, covered=left), f"{name} uncovered")


def fly_by(cockpit: Cockpit, action: FlyBy, seen: Seen) -> Effect:
    """Tell the hands what to trust. Hands that are to fly take the airplane from the autopilot."""
    what, covered, controls = action.what, cockpit.covered, cockpit.controls
    name = instrument_name(what)
    airframe = seen.scenario.airplane.airframe
    missing = absent(airframe)
    if what in missing or (what == "partial_panel" and {"turn_coordinator", "standby_instrument"} <= missing):
        return refused(cockpit, f"this airplane has no {'turn coordinator' if what == 'partial_panel' else name}")
    if what in covered:
        return refused(cockpit, f"the {name} is covered: uncover it first")
    if what == "autopilot":
        return engage(cockpit, seen)
    match what:
        case "full_panel":
            hidden = [each for each in ("attitude_indicator", "heading_indicator") if each in covered]
            if "attitude_indicator" in hidden:
                return refused(cockpit, "the attitude indicator is covered: uncover it first")
            controls = replace(controls, bank_by=BY_ATTITUDE, pitch_by=BY_HORIZON)
            if hidden:
                said = "attitude indicator and horizon; the heading indicator is covered and stays out of it"
                return Effect(replace(cockpit, controls=by_hand(controls)), said)
            controls = _heading_by(controls, BY_HEADING_INDICATOR, seen)
        case "partial_panel":
            bank = "standby_instrument" if "turn_coordinator" in missing else "turn_coordinator"
            if bank in covered:
                return refused(cockpit, f"the {instrument_name(bank)} is covered: uncover it first")
            other = _other_heading({*covered, "heading_indicator"}, seen)
            if other is None:
                return refused(cockpit, "the magnetic compass is covered: uncover it first")
            bank_by, pitch_by = _BANK_BY[bank]
            controls = _heading_by(replace(controls, bank_by=bank_by, pitch_by=pitch_by), other, seen)
        case "standby_instrument":
            if seen.shown["standby_flag"] > 0.5:
                return refused(cockpit, f"the {name} is crossed out: there is nothing on it to fly by")
            controls = replace(controls, bank_by=BY_STANDBY, pitch_by=BY_STANDBY_HORIZON)
        case "attitude_indicator" | "turn_coordinator":
            bank_by, pitch_by = _BANK_BY[what]
            controls = replace(controls, bank_by=bank_by, pitch_by=pitch_by)
        case "airspeed_indicator" | "altimeter" | "vertical_speed_indicator":
            controls = replace(controls, pitch_by=BY_PRESSURE)
        case "heading_indicator":
            controls = _heading_by(controls, BY_HEADING_INDICATOR, seen)
        case "magnetic_compass" | "clock":
            controls = _heading_by(controls, BY_COMPASS, seen)
        case "navigation":
            if seen.shown["gps_on"] < 0.5:
                return refused(cockpit, "the GPS screen is dark")
            controls = _heading_by(controls, BY_GPS_TRACK, seen)
        case _:
            return refused(cockpit, f"nothing can be flown by the {name}")
    by_words = _by_words(controls)
    if what in _ALSO_THE_AUTOPILOTS and airframe.autopilot == "turn coordinator":
        return Effect(replace(cockpit, controls=controls), f"flying by {by_words}")
    off = "autopilot off; " if controls.autopilot > 0.5 else ""
    return Effect(replace(cockpit, controls=by_hand(controls)), f"{off}flying by {by_words}")


_ALSO_THE_AUTOPILOTS = frozenset({"heading_indicator", "magnetic_compass", "clock", "navigation", "airspeed_indicator",
                                  "altimeter", "vertical_speed_indicator"})
"""What the hands can be told while an autopilot flies that keeps no more than the wings: its heading, their pitch."""


def by_hand(controls: Controls) -> Controls:
    """Return the controls with the autopilot switched off."""
    return replace(controls, autopilot=0.0)


def _by_words(controls: Controls) -> str:
    return ", ".join(instrument_name(each) for each in reference(controls).split("+"))


def engage(cockpit: Cockpit, seen: Seen) -> Effect:
    """Switch the autopilot on. It keeps the heading and the altitude that are ordered, by its own sources."""
    if cockpit.controls.autopilot > 0.5:
        return done(cockpit, "autopilot is on already") if flying_by_autopilot(seen) else refused(
            cockpit, "the autopilot has let go and its light is out: switch it off first")
    return done(cockpit, "autopilot on", autopilot=1.0)


def disengage(cockpit: Cockpit) -> Effect:
    """Switch the autopilot off. The hands fly by what they were told to go by."""
    if cockpit.controls.autopilot < 0.5:
        return done(cockpit, "autopilot is off already")
    return done(cockpit, f"autopilot off; your hands fly by {_by_words(cockpit.controls)}", autopilot=0.0)


def turn(cockpit: Cockpit, action: Turn, seen: Seen) -> Effect:
    """Turn to a heading, by an amount, or until told to stop; on the ground onto the taxiway that crosses."""
    if seen.parked and action.direction != "shortest" and action.heading_deg is None and action.by_deg is None:
        action = replace(action, by_deg=TAXI_TURN_DEG)
    direction = {"left": -1.0, "right": 1.0, "shortest": 0.0}[action.direction]
    controls = cockpit.controls
    if action.heading_deg is not None:
        to = float(action.heading_deg % 360)
        said = f"turning {action.direction + ' ' if direction else ''}to {three_digits(to)}"
        return done(cockpit, said, lateral=TURN_TO_HEADING, heading_deg=to, direction=direction, turn_by_deg=0.0)
    if action.by_deg is not None:
        if not 0 < action.by_deg <= MOST_TURN_DEG:
            return refused(cockpit, f"by 1 to {MOST_TURN_DEG} degrees, please")
        side = direction or 1.0
        to = (heading_kept(controls, seen) + side * action.by_deg) % 360.0
        said = f"turning {'left' if side < 0 else 'right'} {action.by_deg} degrees, to {three_digits(to)}"
        return done(cockpit, said, lateral=TURN_TO_HEADING, heading_deg=to, direction=side,
                    turn_by_deg=float(action.by_deg))
    if not direction:
        return refused(cockpit, "left or right, or to which heading?")
    return done(cockpit, f"turning {action.direction} until told to stop", lateral=KEEP_TURNING, direction=direction)


def track(cockpit: Cockpit, action: Track, seen: Seen) -> Effect:  # noqa: ARG001
    """Follow the course needle until another turn or heading is ordered."""
    if "navigation" in cockpit.covered:
        return refused(cockpit, "the course needle is covered: uncover it first")
    heading = course_heading(cockpit.controls, seen)
    if heading is None:
        return refused(cockpit, "the course needle shows its flag: there is no course to follow")
    begun = done(cockpit, f"following the course needle, course {three_digits(cockpit.controls.course_deg)}",
                 lateral=HOLD_HEADING, heading_deg=heading, direction=0.0)
    return replace(begun, cockpit=replace(begun.cockpit, tracking=True))


def level_wings(cockpit: Cockpit, action: LevelWings, seen: Seen) -> Effect:  # noqa: ARG001
    """Stop banking; from a steep turn, recover as from an upset."""
    tight = abs(seen.shown["turn_rate_dps"]) > UPSET_TURN_DPS
    fast = seen.shown["airspeed_kt"] > seen.scenario.airplane.airframe.cruise_most_kt
    if tight or fast:   # nobody leaves an upset to an autopilot
        off = "autopilot off; " if cockpit.controls.autopilot > 0.5 else ""
        return done(cockpit, f"{off}power, wings level, then pitch", lateral=RECOVER, autopilot=0.0)
    return done(cockpit, "wings level, by the autopilot" if flying_by_autopilot(seen) else "wings level",
                lateral=WINGS_LEVEL)


def stop_turn(cockpit: Cockpit, action: StopTurn, seen: Seen) -> Effect:  # noqa: ARG001
    """Roll out and stay on the heading of this moment.

    Hands that trust neither horizon nor compass only keep the wings level: a heading indicator that has lost its
    suction would lead them on round the turn.
    """
    controls = cockpit.controls
    if controls.bank_by != BY_ATTITUDE and controls.heading_by == BY_HEADING_INDICATOR:
        return done(cockpit, "turn stopped, wings level", lateral=WINGS_LEVEL)
    return done(cockpit, "turn stopped", lateral=HOLD_HEADING, direction=0.0,
                heading_deg=heading_kept(controls, seen))


def turn_rate(cockpit: Cockpit, action: TurnRate, seen: Seen) -> Effect:  # noqa: ARG001
    """Turn at standard or half standard rate from now on."""
    rate = STANDARD_RATE_DPS if action.rate == "standard" else STANDARD_RATE_DPS / 2.0
    return done(cockpit, f"{'' if action.rate == 'standard' else 'half '}standard rate turns", turn_rate_dps=rate)


def altitude(cockpit: Cockpit, action: Altitude, seen: Seen) -> Effect:
    """Go to an altitude on the altimeter, by an amount up or down from the one held, or stay at the present one."""
    now = seen.shown["altitude_ft"]
    if action.by_ft is not None:
        controls = cockpit.controls
        held = controls.vertical == HOLD_ALTITUDE and abs(controls.altitude_ft - now) < _HELD_WITHIN_FT
        from_ft = controls.altitude_ft if held else round(now / 20.0) * 20
        to = float(from_ft + (action.by_ft if action.direction == "climb" else -action.by_ft))
        if not 0 <= to <= CEILING_FT:
            return refused(cockpit, f"this airplane does not go to {to:,.0f} feet")
    elif action.to_ft is None:
        if action.direction != "hold":
            return refused(cockpit, f"{action.direction} to what altitude?")
        to = float(round(now / 20.0) * 20)
    else:
        to = float(action.to_ft)
        if to > CEILING_FT or to < 0:
            return refused(cockpit, f"this airplane does not go to {to:,.0f} feet")
        if (action.direction == "climb" and to < now - 100) or (action.direction == "descend" and to > now + 100):
            side = "below" if to < now else "above"
            return refused(cockpit, f"{to:,.0f} feet is {side} you")
    return done(cockpit, f"to {to:,.0f} feet", vertical=HOLD_ALTITUDE, altitude_ft=to)


def airspeed(cockpit: Cockpit, action: Airspeed, seen: Seen) -> Effect:
    """Hold an airspeed with power."""
    airframe = seen.scenario.airplane.airframe
    if not airframe.stall_landing_kt < action.to_kt < airframe.never_exceed_kt:
        return refused(cockpit, f"this airplane is not to be flown at {action.to_kt} knots")
    return done(cockpit, f"{action.to_kt} knots", power=HOLD_AIRSPEED, airspeed_kt=float(action.to_kt))


def power(cockpit: Cockpit, action: Power, seen: Seen) -> Effect:
    """Set the throttle by engine speed or by a step."""
    now = seen.throttle
    match action.change:
        case "full":
            to, said = 1.0, "full power"
        case "idle":
            to, said = 0.0, "power idle"
        case "more":
            to, said = min(1.0, now + _THROTTLE_STEP), "more power"
        case "less":
            to, said = max(0.0, now - _THROTTLE_STEP), "less power"
        case _:
            if action.to_rpm is None:
                return refused(cockpit, "how much power?")
            return _power_to_rpm(cockpit, action.to_rpm, seen)
    return done(cockpit, said, power=HOLD_THROTTLE, throttle=to)


def _power_to_rpm(cockpit: Cockpit, rpm: int, seen: Seen) -> Effect:
    idle = seen.scenario.airplane.airframe.rpm_idle
    top = seen.scenario.airplane.airframe.rpm_redline
    if not idle <= rpm <= top:
        return refused(cockpit, f"the engine runs between {idle:.0f} and {top:.0f} RPM")
    return done(cockpit, f"power to {rpm} RPM", power=HOLD_RPM, rpm=float(rpm))


def pitch(cockpit: Cockpit, action: Pitch, seen: Seen) -> Effect:  # noqa: ARG001
    """Set the nose against the horizon, or the climb or descent that it stands for."""
    if action.to == "level":
        return done(cockpit, "nose on the horizon", vertical=HOLD_PITCH, pitch_deg=0.0)
    size = float(action.by_deg) if action.by_deg is not None else _PITCH_STEP_DEG
    if not 0 <= size <= 15:
        return refused(cockpit, "within 15 degrees of level, please")
    to = size if action.to == "up" else -size
    return done(cockpit, f"nose {size:.0f} degrees {action.to}", vertical=HOLD_PITCH, pitch_deg=to)


def flaps(cockpit: Cockpit, action: Flaps, seen: Seen) -> Effect:
    """Set the flaps; not above the most that the airplane flies with them out (its Vfe)."""
    if not 0 <= action.to_deg <= 40:
        return refused(cockpit, "the flaps go from 0 to 40 degrees")
    most_kt = seen.scenario.airplane.airframe.flaps_most_kt
    if action.to_deg and seen.shown["airspeed_kt"] > most_kt:
        return refused(cockpit, f"too fast for flaps: not above {most_kt:.0f} knots")
    return done(cockpit, f"flaps {action.to_deg}", flaps_deg=float(action.to_deg))


def go_around(cockpit: Cockpit, action: GoAround, seen: Seen) -> Effect:  # noqa: ARG001
    """Full power, wings level, climb to a safe altitude."""
    to = max(seen.scenario.minimum_altitude_ft, round((seen.shown["altitude_ft"] + 1000.0) / 100.0) * 100.0)
    return done(cockpit, f"full power, climbing to {to:,.0f} feet", lateral=HOLD_HEADING, direction=0.0,
                heading_deg=heading_kept(cockpit.controls, seen), vertical=HOLD_ALTITUDE, altitude_ft=to, autopilot=0.0,
                climb_fpm=700.0, power=HOLD_THROTTLE, throttle=1.0, carburettor_heat=0.0, flaps_deg=0.0)
