"""The briefing: all that a pilot is told before a flight, and nothing that gives it away."""

from __future__ import annotations

from drill.flight.readings import setting_words, three_digits
from drill.grading.debrief import CAUTIONS
from drill.plain.out import sentence
from drill.scenario.model import Field, Scenario, Weather

HANDS = (
    "Your hands hold what you order, by the instruments you tell them to trust. "
    "At the start they trust the attitude indicator and the heading indicator."
)


def briefing_lines(scenario: Scenario) -> list[str]:
    """Return the briefing as lines: cautions first, then situation, airplane, weather, fields, clearance.

    Of the scenario's names only the board title appears; title, aim, failures, phases and grade sheet are for later.
    """
    start = scenario.start
    lines = [*cautions(scenario), "", scenario.board_title, ""]
    if scenario.briefing:
        lines += [scenario.briefing, ""]
    lines += [
        f"Airplane: {scenario.airplane.title}, callsign {scenario.callsign}. "
        f"On board: {start.on_board}. Fuel: {duration(start.fuel_min)}.",
        f"Now: {start.clock}, {feet(start.altitude_ft)}, altimeter set to {setting_words(start.altimeter_hpa)}, "
        f"heading {three_digits(start.heading_deg)}, "
        f"{start.airspeed_kt:.0f} knots.",
        *_weather(scenario.weather),
        f"Minimum altitude: {feet(scenario.minimum_altitude_ft)}.",
        *_clearance(scenario),
        "Fields:",
        *(f"  {_field(field)}" for field in scenario.fields),
    ]
    if scenario.course is not None:
        field, inbound = scenario.course
        lines.append(f"Course needle: set to {field}, inbound course {three_digits(inbound)}.")
    lines += ["", HANDS]
    return lines


def cautions(scenario: Scenario | None = None) -> list[str]:
    """Return drill's cautions, then the scenario's own."""
    return [*CAUTIONS, *(scenario.cautions if scenario is not None else ())]


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


def _weather(weather: Weather) -> list[str]:
    cloud = weather.cloud
    layer = "No cloud." if cloud is None else f"Cloud from {feet(cloud.base_ft)} to {feet(cloud.tops_ft)}."
    air = weather.air
    known = ["wind calm" if air.wind_kt < 1 else f"wind {three_digits(air.wind_from_deg)} at {air.wind_kt:.0f} knots"]
    if weather.freezing_level_ft is not None:
        known.append(f"freezing level {feet(weather.freezing_level_ft)}")
    forecast = f"{weather.words or layer} {sentence(', '.join(known))}."
    return [f"Weather: {forecast}", *(f"  {coded}" for coded in weather.coded)]


def _clearance(scenario: Scenario) -> list[str]:
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
    lines = [f"Clearance: {', '.join(said)}."]
    if clearance.radar_approach:
        lines.append(f"{clearance.facility} can give a radar approach.")
    return lines


def _field(field: Field) -> str:
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
    return f"{field.name}: {', '.join(said)}." + (f" {field.weather}" if field.weather else "")
