"""Calls and actions as the labels in which the corpora are written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from drill.language.meaning import Action, Call

CALL_FIELDS = (
    "facility", "callsign", "urgency", "equipment", "impairment", "assistance", "conditions", "altitude_ft",
    "heading_deg",
    "position", "souls", "fuel_min", "intentions",
)
"""The keys of a labelled call, in the order of the corpus."""


def call_labels(call: Call) -> dict[str, Any]:
    """Return the labels of `call`; lists sorted."""
    return {key: sorted(value) if isinstance(value := getattr(call, key), tuple) else value for key in CALL_FIELDS}


def action_labels(actions: Sequence[Action]) -> dict[str, Any]:
    """Return the labels of the only action of a line, without keys whose value is None and without the question
    asked.

    A line read as several actions has the labels `{"action": [kind, ...]}`, which equal no labelled line.
    """
    if len(actions) != 1:
        return {"action": [action.kind for action in actions]}
    return plain_labels(actions[0].as_labels())


def plain_labels(labels: dict[str, Any]) -> dict[str, Any]:
    """Return `labels` in the form in which they are compared: no None, no question, lists sorted."""
    return {key: sorted(value) if isinstance(value, list) else value
            for key, value in labels.items() if value is not None and key not in ("ask", "id")}
