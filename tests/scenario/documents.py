"""The small sound scenario that these tests begin from, and ways to change it."""

from __future__ import annotations

from pathlib import Path

from drill.scenario import Problem, Scenario, load_text
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import DocumentError

WHOLE = Path(__file__).with_name("whole.yaml")
TEXT = WHOLE.read_text(encoding="utf-8")


def changed(*changes: tuple[str, str]) -> str:
    """The sound scenario with each first text replaced by the second; every first text has to be there."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def loaded(text: str = TEXT) -> Scenario:
    return load_text(text, "whole.yaml", airplanes_beside(WHOLE))


def problems(text: str) -> tuple[Problem, ...]:
    """The problems of a text; empty if it loads."""
    try:
        loaded(text)
    except DocumentError as error:
        return error.problems
    return ()


def with_condition(condition: str) -> str:
    return changed(("when: reported vacuum system", f"when: {condition}"))
