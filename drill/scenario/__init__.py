"""The scenario document: loaded, checked, frozen; its conditions, acts and story.

What stands here is imported when it is first asked for: a first screen wants the cards and not the checker.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from drill.scenario.loading import load, load_airplane, load_text, load_with_warnings, problems_in
    from drill.scenario.model import Scenario
    from drill.scenario.problems import DocumentError, Problem
    from drill.scenario.shelf import ScenarioNotFound, find, shipped
else:

    def __getattr__(name: str) -> object:
        module = _MODULE_OF.get(name)
        if module is None:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(import_module(f"{__name__}.{module}"), name)


_MODULE_OF = {
    "DocumentError": "problems", "Problem": "problems", "Scenario": "model",
    "ScenarioNotFound": "shelf", "find": "shelf", "shipped": "shelf",
    "load": "loading", "load_airplane": "loading", "load_text": "loading", "load_with_warnings": "loading",
    "problems_in": "loading",
}
"""No module may have the name of what it gives: once imported, it would stand in its place."""

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
