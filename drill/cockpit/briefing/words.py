"""What the briefing screen says, in sections. Of the scenario's names only the board title; nothing of its story."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.content import Content

from drill.clean import clean_line
from drill.seat import seeds, wording

if TYPE_CHECKING:
    from collections.abc import Sequence

    from drill.scenario.model import Scenario
    from drill.scenario.problems import Problem

NO_GRADE = "Pace, changes no grade"


def situation(scenario: Scenario) -> Content:
    """Return where the flight stands when it begins."""
    from drill.seat.briefing import briefing

    told = briefing(scenario)
    lines = (told.situation, told.airplane, f"{told.load} {told.minimum}", told.now, told.course)
    return Content("\n".join(line for line in lines if line))


def weather_in_words(scenario: Scenario) -> Content:
    """Return the weather as a person would say it."""
    from drill.seat.briefing import briefing

    return Content(briefing(scenario).weather)


def weather_in_code(scenario: Scenario) -> Content:
    """Return the weather as coded lines, and whose code it is."""
    from drill.cockpit.briefing.coded_weather import coded_lines

    lines, whose = coded_lines(scenario)
    return Content.assemble("\n".join(lines), ("\n\n" + whose, "italic"))


def fields(scenario: Scenario) -> Content:
    """Return the fields, nearest first, each with its weather and approaches."""
    from drill.seat.briefing import briefing

    near = sorted(scenario.fields, key=lambda field: field.distance_nm)
    told = briefing(replace(scenario, fields=tuple(near))).fields
    return Content("\n").join([Content.assemble((name, "bold"), f": {known}") for name, known in told])


def clearance(scenario: Scenario) -> Content:
    """Return the clearance in the order in which it is copied: limit, route, altitude, frequency, transponder."""
    from drill.flight.readings import three_digits
    from drill.seat.briefing import briefing, feet

    given = scenario.clearance
    of = f", {given.frequency}" if given.frequency else ""
    said = [
        ("Clearance limit", given.limit or "not given"),
        ("Route", f"fly heading {three_digits(given.heading_deg)}"),
        ("Altitude", feet(given.altitude_ft)),
        ("Frequency", f"{given.facility}{of}"),
        ("Transponder", given.code or "no code given"),
    ]
    lines = [Content.assemble((f"{name + ':':17}", "bold"), words) for name, words in said]
    if radar := briefing(scenario).radar:
        lines.append(Content(radar))
    return Content("\n").join(lines)


def problem_lines(problems: Sequence[Problem]) -> Content:
    """Return why a scenario cannot be flown: every fault with its file, line and column."""
    count = "there is a fault" if len(problems) == 1 else f"there are {len(problems)} faults"
    lines = [
        f"This scenario cannot be flown: {count} in it.",
        "Mend the file and open it again; Escape goes back to the board.", "",
        *map(clean_line, wording.problem_lines(problems)),
    ]
    return Content("\n".join(lines))


def seed_of(text: str) -> int | None:
    """Return the seed typed, None for none; ValueError in words if it is no seed."""
    text = clean_line(text)
    if not text:
        return None
    try:
        return seeds.seed_of(text)
    except ValueError as error:
        raise ValueError(f"This is no seed: {error}; leave it empty for a random one.") from error
