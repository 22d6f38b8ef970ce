"""Looking, reading and deciding: acts that take time and bring knowledge, but move nothing on the panel."""

from __future__ import annotations

from dataclasses import replace

from rapidfuzz import fuzz, process, utils

from drill.flight import on_the_ground
from drill.flight.cockpit import Cockpit, Effect, Seen, done, refused
from drill.flight.readings import absent, can_be_read, clock_words, instrument_name, reading_words, three_digits
from drill.flight.weather import bearing_deg, distance_nm, field_position
from drill.language.meaning import Checklist, ChecklistItem, Compare, Decide, Diagnose, Look, WriteUp
from drill.scenario.model import Field, Scenario

_BEGINNING = 3         # letters that may stand for a name
_SLIP = 80.0           # of 100: a name mistyped, and not another name
_NEAR_ENOUGH = 70.0   # of 100: how like a typed name must be to a known one
_IN_THE_AIR_ONLY = {
    "divert": "you are on the ground: there is nothing to divert from",
    "land": "you are on the ground already",
    "hold": "you are on the ground; to stay where you are, say: stop",
}
_ON_THE_GROUND_ONLY = {
    "depart_vfr": "you are in the air already",
    "return_to_ramp": "you are in the air: there is no ramp to return to",
    "abort_takeoff": "you are in the air: the takeoff is behind you",
    "stop_taxi": "you are in the air",
    "shut_down": "the engine is what keeps you up: it runs on",
}


def look(cockpit: Cockpit, action: Look, seen: Seen) -> Effect:
    """Look at one thing."""
    return done(cockpit, _seen_at(action.at, cockpit, seen))


def compare(cockpit: Cockpit, action: Compare, seen: Seen) -> Effect:
    """Set instruments against each other."""
    if not action.what:
        return refused(cockpit, "compare which instruments?")
    return done(cockpit, "; ".join(_seen_at(each, cockpit, seen) for each in action.what))


def _seen_at(what: str, cockpit: Cockpit, seen: Seen) -> str:
    shown = seen.shown
    match what:
        case "outside":
            return f"outside: {seen.outside}"
        case "ice":
            return ("ice: rime is growing on the strut and on the leading edge" if seen.icing
                    else "ice: none on the wing that you can see")
        case "fuel":
            hours, minutes = divmod(round(seen.fuel_min), 60)
            return f"fuel: about {f'{hours} hours ' if hours else ''}{minutes} minutes at this power"
        case "breakers":
            out = cockpit.controls.turn_breaker < 0.5
            return "breakers: the turn coordinator's is out" if out else "breakers: all in"
        case "transponder":
            code = cockpit.code or seen.scenario.clearance.code or "on"
            return f"transponder: {code if shown['transponder_on'] > 0.5 else 'dark'}"
        case "radio":
            if shown["radio_on"] < 0.5:
                return "radio: dark"
            cleared = seen.scenario.clearance
            return f"radio: {cockpit.frequency or cleared.frequency or cleared.facility}"
        case _ if what in absent(seen.scenario.airplane.airframe):
            return f"this airplane has no {instrument_name(what)}"
        case "clock" if cockpit.timer_from_s is not None:
            return f"clock: timer at {clock_words(seen.t_s - cockpit.timer_from_s)}"
        case _ if can_be_read(what):
            return reading_words(what, shown, cockpit.covered, closely=True,
                                 without=absent(seen.scenario.airplane.airframe))
        case _:
            return f"{instrument_name(what)}: nothing to read there"


def checklist_named(scenario: Scenario, name: str) -> tuple[str, tuple[str, ...]] | None:
    """Return the airplane's checklist that `name` means, (name, steps), or None if none is near."""
    known = dict(scenario.airplane.checklists)
    best = process.extractOne(name, list(known), scorer=fuzz.token_set_ratio, processor=utils.default_process,
                              score_cutoff=_NEAR_ENOUGH)
    return None if best is None else (best[0], known[best[0]])


def checklist(cockpit: Cockpit, action: Checklist, seen: Seen) -> Effect:
    """Read a checklist through, or say which there are."""
    names = [name for name, _ in seen.scenario.airplane.checklists]
    if not names:
        return refused(cockpit, "there are no checklists on board")
    listed = "checklists on board: " + ", ".join(names)
    if action.name is None:
        return done(cockpit, listed)
    found = checklist_named(seen.scenario, action.name)
    if found is None:
        return refused(cockpit, f"no checklist is called {action.name}; {listed}")
    name, steps = found
    lines = [f"{name} checklist:"] + [f"{number}. {step}" for number, step in enumerate(steps, 1)]
    opened = replace(cockpit, checklist=name, checklist_at=0)
    return Effect(opened, "\n".join(lines), action=Checklist(name))


def checklist_item(cockpit: Cockpit, action: ChecklistItem, seen: Seen) -> Effect:  # noqa: ARG001
    """Tick the present step and read the next one."""
    steps = dict(seen.scenario.airplane.checklists).get(cockpit.checklist, ())  # type: ignore[call-overload]
    at = cockpit.checklist_at
    if not cockpit.checklist or at >= len(steps):
        return refused(cockpit, "no checklist is open" if not cockpit.checklist else "the checklist is complete")
    after = replace(cockpit, checklist_at=at + 1)
    if at + 1 == len(steps):
        return Effect(after, f"{cockpit.checklist} checklist complete")
    return Effect(after, f"next: {steps[at + 1]}")


def diagnose(cockpit: Cockpit, action: Diagnose, seen: Seen) -> Effect:  # noqa: ARG001
    """Say to oneself what has failed. Nobody answers."""
    if not action.failed:
        return done(cockpit, "your judgment: nothing has failed")
    return done(cockpit, "your judgment: " + ", ".join(instrument_name(each) for each in action.failed))


def write_up(cockpit: Cockpit, action: WriteUp, seen: Seen) -> Effect:  # noqa: ARG001
    """Note a defect."""
    what = instrument_name(action.what) if action.what else "the defect"
    how = {"enter": "noted for the maintenance record", "placard": "placarded", "defer": "noted as deferred"}
    return done(cockpit, f"{what} {how[action.how]}")


def field_named(scenario: Scenario, name: str) -> Field | None:
    """Return the field that a typed name means: its name, its beginning, or a slip of the fingers; None if none is."""
    known = {field.name.lower(): field for field in scenario.fields}
    typed = name.lower().strip()
    begun = [each for each in known if len(typed) >= _BEGINNING and each.startswith(typed)]
    if len(begun) == 1:
        return known[begun[0]]
    best = process.extractOne(typed, list(known), scorer=fuzz.ratio, score_cutoff=_SLIP)
    return None if best is None else known[best[0]]


def decide(cockpit: Cockpit, action: Decide, seen: Seen) -> Effect:
    """Take a decision; with a place, set the GPS and the course needle to it."""
    plan = action.plan.replace("_", " ")
    wrong_place = _IN_THE_AIR_ONLY if seen.parked else _ON_THE_GROUND_ONLY
    if action.plan in wrong_place:
        return refused(cockpit, wrong_place[action.plan])
    if seen.parked:
        return on_the_ground.decide(cockpit, action.plan)
    if action.where is None:
        return Effect(replace(cockpit, plan=plan), f"decided: {plan}")
    field = field_named(seen.scenario, action.where)
    if field is None:
        known = ", ".join(each.name for each in seen.scenario.fields) or "none"
        return refused(cockpit, f"{action.where} is not within reach; fields on the chart: {known}")
    decided = Decide(action.plan, field.name)
    planned = replace(cockpit, plan=f"{plan} {field.name}")
    if seen.shown["gps_on"] < 0.5:
        return Effect(planned, f"decided: {plan} {field.name}; the GPS screen is dark and gives no course",
                      action=decided)
    distance = distance_nm(field, seen.north_nm, seen.east_nm)
    course = bearing_deg(field, seen.north_nm, seen.east_nm)
    north, east = field_position(field)
    controls = replace(planned.controls, course_north_nm=north, course_east_nm=east, course_deg=course,
                       course_width_deg=0.0)
    minutes = 60.0 * distance / max(seen.shown["groundspeed_kt"], 30.0)
    said = (f"decided: {plan} {field.name}; GPS set: {three_digits(course)} degrees, {distance:.0f} miles, "
            f"{minutes:.0f} minutes at this groundspeed")
    return Effect(replace(planned, controls=controls, destination=field.name), said, action=decided)
