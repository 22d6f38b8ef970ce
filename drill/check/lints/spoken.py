"""Lines of ATC whose words say something else than the figures beside them, which are what counts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from itertools import pairwise

from drill.check.lints.heights import said_lines
from drill.check.rules import warning
from drill.check.standing import Way, value_at, word_at
from drill.language.numbers import join_numbers
from drill.language.words import tokens
from drill.scenario.acts import setting_of
from drill.scenario.model import Say, Scenario
from drill.scenario.nearest import hint
from drill.scenario.places import Node
from drill.scenario.problems import Place, Problem
from drill.scenario.radio_shapes import BAND, frequency_fault
from drill.scenario.story import tree_patterns
from drill.scenario.units import HPA_PER_INHG, UnitError

_TURNS = frozenset({"fly", "left", "right", "turn"})
_MOVES = frozenset({"climb", "descend", "maintain"})
_LEAST_ALTITUDE_FT = 500
_WORDS_BETWEEN = 4
_ROUNDING_HPA = 1e-3
_SETTING = re.compile(r"\d{3,4}|\d{2}\.\d{1,2}")
_FREQUENCY = re.compile(r"\d{2,3}\.\d{1,3}")
_SPOKEN_RADIO = (100.0, 180.0)
"""Numbers with a point that are meant as frequencies, in MHz; others are pressures and distances."""


def check_spoken(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each line of ATC that assigns in words what its keys do not, or the other way round."""
    return [*(problem for say, way in said_lines(scenario) for problem in (
        *_figures(say, way, scenario, tree), *_approach(say, way, scenario, tree))), *_settings(scenario, tree)]


def _settings(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    """Yield items that ask for an altimeter setting which is neither given on the radio nor the right one."""
    air_hpa = scenario.weather.air.pressure_hpa
    given = [(air_hpa, 0.0), *(each for say, _ in said_lines(scenario) for each in _settings_in(say.words))]
    for number, item in enumerate(scenario.grade_sheet):
        for pattern in tree_patterns(item.do):
            setting = pattern.object.removeprefix("altimeter ")
            if pattern.verb != "set" or setting == pattern.object:
                continue
            hpa, near_hpa = setting_of(setting)
            if not any(abs(each - hpa) <= max(near, near_hpa) + _ROUNDING_HPA for each, near in given):
                yield warning(value_at(tree, "grade sheet", number, "do"), "says-otherwise",
                              f"`{item.name}` asks for {setting}, which nobody gives",
                              f"the pressure is {air_hpa / HPA_PER_INHG:.2f} inHg, and no line of ATC has this setting",
                              "correct the setting, or let ATC give it")


def _settings_in(words: str) -> Iterator[tuple[float, float]]:
    """Yield the altimeter settings that a line can be heard to give, each with how near to it is on it, in hPa.

    Inches are said digit by digit and without their point (FAA JO 7110.65 2-4-17, from memory), and written with it.
    """
    for said in {each.text for each in join_numbers(tokens(words)) if _SETTING.fullmatch(each.text)}:
        for written in (said, f"{said[:2]}.{said[2:]}"):
            with suppress(UnitError):
                yield setting_of(written)


def _figures(say: Say, way: Way, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    place = value_at(tree, *way, "says")
    said = [each.text for each in join_numbers(tokens(say.words))]
    yield from _frequencies(said, place, scenario)
    if say.voice is not None or "{callsign}" not in say.words:
        return      # it is said to somebody else
    kinds = (
        ("heading", _headings(said), say.heading_deg, "deg", "heading"),
        ("altitude", _altitudes(said), say.altitude_ft, "ft", "maintain"),
    )
    for key, found, given, unit, word in kinds:
        at = word_at(scenario.text, place, word)
        if found and given is None:
            yield warning(at, "says-otherwise",
                          f"the words assign {_an(key)} of {found[0]:,d} {unit}, and nothing else does",
                          "what is assigned is what the keys of the line say",
                          f"add `{key}: {found[0]} {unit}` beside it")
        elif found and given is not None and round(given) not in found:
            line = value_at(tree, *way, key).line
            yield warning(at, "says-otherwise", f"the words assign {_an(key)} of {found[0]:,d} {unit}",
                          f"`{key}` in line {line} is {given:,.0f} {unit}", "correct the one or the other")


def _an(key: str) -> str:
    return f"an {key}" if key[0] in "aeiou" else f"a {key}"


def _headings(said: list[str]) -> list[int]:
    """Return the headings that the words of a line assign, in degrees."""
    return [int(after) for number, (word, after) in enumerate(pairwise(said))
            if word == "heading" and after.isdecimal() and 0 < int(after) <= 360
            and _TURNS & set(said[max(0, number - _WORDS_BETWEEN):number])]


def _altitudes(said: list[str]) -> list[int]:
    """Return the altitudes that the words of a line assign, in feet."""
    found = []
    for number, word in enumerate(said):
        before = said[max(0, number - _WORDS_BETWEEN):number]
        if word.isdecimal() and int(word) >= _LEAST_ALTITUDE_FT and int(word) % 100 == 0 and before and (
                before[-1] == "maintain" or (before[-1] in ("to", "through") and _MOVES & set(before))):
            found.append(int(word))
    return found


def _frequencies(said: list[str], place: Place, scenario: Scenario) -> Iterator[Problem]:
    for word in said:
        if _FREQUENCY.fullmatch(word) and _SPOKEN_RADIO[0] <= float(word) <= _SPOKEN_RADIO[1] and frequency_fault(word):
            yield warning(word_at(scenario.text, place, "point"), "says-otherwise",
                          f"the words name {word}, which is outside the band of the radio" if not _in_band(word) else
                          f"the words name {word}, which is no channel", BAND, "correct the frequency in the words")
            return


def _in_band(word: str) -> bool:
    fault = frequency_fault(word)
    return fault is None or "channel" in fault[1]


def _approach(say: Say, way: Way, scenario: Scenario, tree: Node) -> Iterator[Problem]:
    cleared = say.cleared_approach
    if cleared is None:
        return
    named = cleared.casefold()
    known = [str(each) for field in scenario.fields for each in field.approaches]
    if named in map(str.casefold, known) or any(field.name.casefold() in named for field in scenario.fields):
        return
    yield warning(value_at(tree, *way, "cleared"), "approach-unknown", f"no field has an approach `{cleared}`",
                  hint(cleared, known), "write it as it stands at the field, or add it there")
