"""The briefing: all that a pilot is told before a flight, and nothing that gives it away."""

from __future__ import annotations

from dataclasses import dataclass

from drill.flight.readings import setting_words, three_digits
from drill.grading.debrief import CAUTIONS
from drill.scenario.model import Field, Scenario, Start, Weather
from drill.seat.wording import sentence

HANDS = (
    "Your hands hold what you order, by the instruments you tell them to trust. "
    "At the start they trust the attitude indicator and the heading indicator."
)
HANDS_ON_THE_GROUND = (
    "Your hands steer by what is outside: taxi, turn, stop. The engine runs at the speed you order, and the brakes are "
    "set when it is run up."
)
HANDS_BESIDE_AN_AUTOPILOT = (
    "The autopilot flies, by its own sources; headings and altitudes that you order go to it. Take the airplane from "
    "it, and your hands hold what you order, by the instruments you tell them to trust: at first the attitude "
    "indicator and the heading indicator."
)


@dataclass(frozen=True, slots=True)
class Briefing:
    """What is told, piece by piece; a piece of which a scenario says nothing is empty."""

    situation: str                        # the author's own words
    airplane: str
    load: str                             # on board, and fuel
    now: str                              # where the flight stands as it begins
    course: str                           # what the course needle is set to
    weather: str                          # as a person would say it
    coded: tuple[str, ...]                # the same by the author, in the codes of weather reports
    minimum: str                          # the minimum altitude
    radar: str                            # whether the facility can give a radar approach
    fields: tuple[tuple[str, str], ...]   # name, and what is told of it


def briefing(scenario: Scenario) -> Briefing:
    """Return the briefing of `scenario`.

    Of the scenario's names only the board title may stand beside it; title, aim, failures, phases and grade sheet are
    for later.
    """
    start, course = scenario.start, scenario.course
    return Briefing(
        situation="\n".join(each for each in (_taken_up(scenario), scenario.briefing) if each),
        airplane=f"Airplane: {scenario.airplane.title}, callsign {scenario.callsign}.",
        load=f"On board: {start.on_board}. Fuel: {duration(start.fuel_min)}.",
        now=f"Now: {start.clock}, {_where(start)}, altimeter set to {setting_words(start.altimeter_hpa)}, "
            f"heading {three_digits(start.heading_deg)}{_how_fast(start)}.",
        course="" if course is None
               else f"Course needle: set to {course[0]}, inbound course {three_digits(course[1])}.",
        weather=_weather(scenario.weather),
        coded=tuple(scenario.weather.coded),
        minimum=f"Minimum altitude: {feet(scenario.minimum_altitude_ft)}.",
        radar=f"{scenario.clearance.facility} can give a radar approach." if scenario.clearance.radar_approach else "",
        fields=tuple((field.name, _known(field)) for field in scenario.fields),
    )


def briefing_lines(scenario: Scenario) -> list[str]:
    """Return the briefing as lines: cautions first, then situation, airplane, weather, clearance, fields."""
    told = briefing(scenario)
    return [
        *cautions(scenario), "", scenario.board_title, "",
        *([told.situation, ""] if told.situation else []),
        f"{told.airplane} {told.load}",
        told.now,
        f"Weather: {told.weather}", *(f"  {coded}" for coded in told.coded),
        told.minimum,
        _clearance(scenario), *([told.radar] if told.radar else []),
        "Fields:", *(f"  {name}: {known}" for name, known in told.fields),
        *([told.course] if told.course else []),
        "", hands(scenario),
    ]


def cautions(scenario: Scenario | None = None) -> list[str]:
    """Return drill's cautions, then the scenario's own."""
    return [*CAUTIONS, *(scenario.cautions if scenario is not None else ())]


def hands(scenario: Scenario) -> str:
    """Say what the hands do, and what they go by at the start."""
    if scenario.start.on_ground:
        return HANDS_ON_THE_GROUND
    if scenario.start.autopilot:
        return HANDS_BESIDE_AN_AUTOPILOT
    return HANDS


def _taken_up(scenario: Scenario) -> str:
    """Say where an author has taken the story up, and what has failed on the way there; nothing in other flights."""
    up = scenario.taken_up
    if up is None:
        return ""
    plans = {plan.name: plan for plan in scenario.failures}
    begun = [f"{name} ({plans[name].part}: {plans[name].how})" for name in up.failed]
    return f"Taken up in phase \"{up.phase}\". " + (f"Begun by then: {', '.join(begun)}." if begun else
                                                   "Nothing has failed by then.")


def _where(start: Start) -> str:
    if not start.on_ground:
        return feet(start.altitude_ft)
    return "on the ramp, brakes set, engine running" + ("" if start.gyros_running else ", just started")


def _how_fast(start: Start) -> str:
    return "" if start.on_ground else f", {start.airspeed_kt:.0f} knots"


def feet(altitude_ft: float) -> str:
    """Return an altitude in words, e.g. `5,000 feet`."""
    return f"{altitude_ft:,.0f} feet"


def duration(minutes: float) -> str:
    """Return a time in words, e.g. `3 hours 10 minutes`."""
    hours, left = divmod(round(minutes), 60)
    said = []
    if hours:
        said.append(f"{hours} hour{'s' if hours != 1 else ''}")
    if left or not hours:
        said.append(f"{left} minute{'s' if left != 1 else ''}")
    return " ".join(said)


def _weather(weather: Weather) -> str:
    cloud = weather.cloud
    layer = "No cloud." if cloud is None else f"Cloud from {feet(cloud.base_ft)} to {feet(cloud.tops_ft)}."
    air = weather.air
    known = ["wind calm" if air.wind_kt < 1 else f"wind {three_digits(air.wind_from_deg)} at {air.wind_kt:.0f} knots"]
    if weather.freezing_level_ft is not None:
        known.append(f"freezing level {feet(weather.freezing_level_ft)}")
    return f"{weather.words or layer} {sentence(', '.join(known))}."


def _clearance(scenario: Scenario) -> str:
    clearance = scenario.clearance
    said = [f"{clearance.facility}"]
    if clearance.frequency:
        said.append(f"frequency {clearance.frequency}")
    said += [
        *([f"cleared to {clearance.limit}"] if clearance.limit else []),
        feet(clearance.altitude_ft),
        f"heading {three_digits(clearance.heading_deg)}",
        *([f"squawk {clearance.code}"] if clearance.code else []),
    ]
    return f"Clearance: {', '.join(said)}."


def _known(field: Field) -> str:
    ceiling = "clear" if field.ceiling_ft is None else f"ceiling {feet(field.ceiling_ft)}"
    approaches = f"approaches: {', '.join(field.approaches)}" if field.approaches else "no approaches"
    said = [
        f"bearing {three_digits(field.bearing_deg)}", f"{field.distance_nm:.0f} miles", ceiling,
        f"visibility {field.visibility_sm:g} miles", approaches,
    ]
    if field.minimums_ft is not None:
        said.append(f"minimums {feet(field.minimums_ft)}")
    if field.radar_approach:
        said.append("radar approach")
    return f"{', '.join(said)}." + (f" {field.weather}" if field.weather else "")
