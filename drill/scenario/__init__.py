"""The scenario document: loaded, checked, frozen; its conditions, acts and story."""

from drill.scenario.load import (
    ScenarioNotFound,
    find,
    load,
    load_airplane,
    load_text,
    load_with_warnings,
    problems_in,
    shipped,
)
from drill.scenario.model import Scenario
from drill.scenario.problems import DocumentError, Problem

__all__ = [
    "DocumentError",
    "Problem",
    "Scenario",
    "ScenarioNotFound",
    "find",
    "load",
    "load_airplane",
    "load_text",
    "load_with_warnings",
    "problems_in",
    "shipped",
]
