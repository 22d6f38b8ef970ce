"""Passes over a built scenario: values that cannot both be meant, and what is written but can never happen."""

from __future__ import annotations

from collections.abc import Iterator

from drill.scenario.model import LIMIT_ENDINGS, End, Fail, Scenario
from drill.scenario.problems import Place, Problem, Subject
from drill.scenario.reading import Entry
from drill.scenario.story import effects_of
from drill.scenario.units import time_words

CEILING_FT = 20_000.0
"""Generously above the service ceiling of a light airplane without a turbocharger, some 14,000 ft."""
MOST_WIND_KT = 100.0
SHORTEST_S = 60.0


def check_sense(scenario: Scenario, root: Entry) -> list[Problem]:
    """Return a problem for each value that another one, or the airplane, does not allow."""
    return [Problem(place.at(key), "at-odds", wrong, allowed, "correct one of the numbers")
            for place, key, wrong, allowed in _at_odds(scenario, root)]


def _at_odds(scenario: Scenario, root: Entry) -> Iterator[tuple[Entry, str, str, str]]:
    start, weather = _below(root, "start"), _below(root, "weather")
    cloud, airframe = scenario.weather.cloud, scenario.airplane.airframe
    ground_ft = scenario.weather.air.ground_ft
    ground = f"the ground is at {ground_ft:,.0f} ft"
    altitude_ft, airspeed_kt = scenario.start.altitude_ft, scenario.start.airspeed_kt
    if cloud is not None and cloud.base_ft >= cloud.tops_ft:
        yield (_below(weather, "cloud"), "base", f"`base`: {cloud.base_ft:,.0f} ft is not below the tops",
               f"`tops` are at {cloud.tops_ft:,.0f} ft")
    yield from _icing_at_odds(scenario, weather)
    parked = scenario.start.on_ground
    if altitude_ft <= ground_ft and not parked:
        yield start, "altitude", f"`altitude`: {altitude_ft:,.0f} ft is not above the ground", ground
    for key in ("altitude", "airspeed"):
        if parked and key in start.values:
            yield (start, key, f"`{key}`: the flight begins on the ground",
                   "there it follows from `ground`, and is not given")
    if scenario.minimum_altitude_ft <= ground_ft:
        yield (root, "minimum altitude",
               f"`minimum altitude`: {scenario.minimum_altitude_ft:,.0f} ft is not above the ground", ground)
    if not parked and not airframe.stall_kt < airspeed_kt < airframe.never_exceed_kt:
        yield (start, "airspeed", f"`airspeed`: the {scenario.airplane.title} cannot fly at {airspeed_kt:.0f} kt",
               f"above {airframe.stall_kt:.0f} kt (stall) and below {airframe.never_exceed_kt:.0f} kt (never exceed)")
    if scenario.start.autopilot and airframe.autopilot == "none":
        yield (start, "autopilot", f"`autopilot`: the {scenario.airplane.title} has none to be on",
               "one that has `autopilot: horizon` or `autopilot: turn coordinator` in its document")
    for plan in scenario.failures:
        if plan.every_s is not None and plan.lasts_s is not None and plan.every_s <= plan.lasts_s:
            yield (root.get("failures")[plan.name], "every",
                   f"`every`: the failure comes back after {time_words(plan.every_s)}, before it has gone",
                   f"longer than it `lasts`, {time_words(plan.lasts_s)}")
    for entry, feet in ((start, altitude_ft), (_below(root, "clearance"), scenario.clearance.altitude_ft)):
        if feet > CEILING_FT and (entry is start or "altitude" in entry.values):
            yield (entry, "altitude", f"`altitude`: no airplane of this kind reaches {feet:,.0f} ft",
                   f"at most {CEILING_FT:,.0f} ft")
    if scenario.weather.air.wind_kt > MOST_WIND_KT:
        yield (weather, "wind", f"`wind`: {scenario.weather.air.wind_kt:.0f} kt cannot be meant",
               f"at most {MOST_WIND_KT:.0f} kt")
    for field in scenario.fields:
        if field.minimums_ft is not None and field.minimums_ft <= field.elevation_ft:
            yield (root.get("fields")[field.name], "minimums",
                   f"`minimums`: {field.minimums_ft:,.0f} ft is not above {field.name}",
                   f"the field lies at {field.elevation_ft:,.0f} ft, and minimums are above mean sea level")
    if scenario.time_limit_s < SHORTEST_S:
        yield (root, "time limit", f"`time limit`: a flight of {scenario.time_limit_s:g} s is over before it begins",
               "at least 1 min")


def _icing_at_odds(scenario: Scenario, weather: Entry) -> Iterator[tuple[Entry, str, str, str]]:
    cloud, freezing_ft = scenario.weather.cloud, scenario.weather.freezing_level_ft
    if scenario.weather.air.icing == "none":
        return
    if cloud is None:
        yield weather, "icing", "`icing`: ice forms in cloud, and there is none", "give a `cloud` with base and tops"
    elif freezing_ft is None:
        yield weather, "icing", "`icing`: ice forms above a freezing level; none is given", "give a `freezing level`"
    elif freezing_ft >= cloud.tops_ft:
        yield (weather, "freezing level", f"`freezing level`: no cloud is above {freezing_ft:,.0f} ft, so no ice forms",
               f"below the tops at {cloud.tops_ft:,.0f} ft")


def _below(entry: Entry, key: str) -> Entry:
    """Return the entry under `key`; an empty one, at the place of the whole, where there is none."""
    below = entry.get(key)
    return below if isinstance(below, Entry) else Entry(entry.place)


def check_unused(scenario: Scenario, root: Entry) -> list[Problem]:
    """Return a warning for each ending, failure, event and line that no flight of the scenario can come to."""
    used = {effect.ending for effect in effects_of(scenario) if isinstance(effect, End)}
    found = [
        Problem(ending.place, "ending-never-reached", f"ending `{ending.name}` is used by no branch", "",
                "add an `end` with it to a branch, or delete it", "warning", frozenset({("ending", ending.name)}))
        for ending in scenario.endings if ending.name not in used and ending.name not in LIMIT_ENDINGS
    ]
    return [*found, *_failures_unused(scenario, root), *_too_late(scenario, root)]


def _failures_unused(scenario: Scenario, root: Entry) -> Iterator[Problem]:
    begun = {effect.failure for effect in effects_of(scenario) if isinstance(effect, Fail)}
    entries = root.get("failures") or {}
    waiting = [plan.name for plan in scenario.failures if plan.at_s is not None]
    if scenario.nothing_fails >= 1.0 and waiting:
        yield Problem(root.at("nothing fails"), "failure-never-begins",
                      "`nothing fails` in every flight, and there are failures that wait for their time",
                      "less than 1", "write a smaller share, such as 1 in 5", "warning",
                      frozenset(("failure", name) for name in waiting if name not in begun))
    for plan in scenario.failures:
        if plan.at_s is None and plan.name not in begun:
            yield Problem(plan.place, "failure-never-begins", f"failure `{plan.name}` never begins", "",
                          "give it an `at`, or begin it with `fail`", "warning",
                          frozenset({("failure", plan.name)}))
        if plan.at_s is None or plan.name in begun:
            continue
        latest_s = plan.at_s + plan.spread_s
        if plan.at_s > scenario.time_limit_s:
            yield _late(entries[plan.name].at("at"),
                        f"failure `{plan.name}` is due at {time_words(plan.at_s)}", scenario, ("failure", plan.name))
        elif latest_s > scenario.time_limit_s:
            yield _late(entries[plan.name].at("spread"),
                        f"failure `{plan.name}` may be due at {time_words(latest_s)}", scenario)


def _too_late(scenario: Scenario, root: Entry) -> Iterator[Problem]:
    """Yield what waits longer than any flight lasts."""
    limit_s, phases = scenario.time_limit_s, root.get("phases")
    for event in scenario.events:
        if event.after_s > limit_s:
            yield _late(event.place,
                        f"event `{event.key.removeprefix('event/')}` is due at {time_words(event.after_s)}", scenario)
    for phase in scenario.phases:
        entry = phases[phase.name]
        for cue in phase.cues:
            _, kind, number = cue.key.rsplit("/", 2)
            if cue.after_s > limit_s:
                yield _late(entry.get({"cue": "cues"}.get(kind, kind))[int(number)].at("after"),
                            f"a line of phase `{phase.name}` is due {time_words(cue.after_s)} after the phase begins",
                            scenario)
        for branch, written in zip(phase.branches, entry.get("branches", ()), strict=True):
            if branch.for_s > limit_s:
                yield _late(written.at("for"),
                            f"this has to hold for {time_words(branch.for_s)} before it is taken", scenario)


def _late(place: Place, wrong: str, scenario: Scenario, *about: Subject) -> Problem:
    return Problem(place, "after-the-time-limit", wrong,
                   f"the flight ends at {time_words(scenario.time_limit_s)} at the latest",
                   "let it come earlier, or raise the `time limit`", "warning", frozenset(about))
