"""Calls and actions as the labels in which the corpora are written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from drill.language.meaning import Action, Call, Diagnose, FlyBy, LevelWings, Turn, TurnRate, Unclear

CALL_FIELDS = (
    "facility", "callsign", "urgency", "equipment", "impairment", "assistance", "conditions", "altitude_ft",
    "heading_deg",
    "position", "souls", "fuel_min", "intentions",
)
"""The keys of a labelled call, in the order of the corpus."""


def call_labels(call: Call) -> dict[str, Any]:
    """Return the labels of `call`; lists sorted. There is no label for a standby horizon: it is an attitude
    indicator."""
    equipment = {"attitude_indicator" if each == "standby_instrument" else each for each in call.equipment}
    labels = {key: sorted(value) if isinstance(value := getattr(call, key), tuple) else value for key in CALL_FIELDS}
    return labels | {"equipment": sorted(equipment)}


def action_labels(actions: Sequence[Action]) -> dict[str, Any]:
    """Return the labels of the only action of a line, without keys whose value is None and without the question
    asked.

    What only tells how or why the other is done (at half rate, by the turn coordinator, the AI being dead) has no
    label beside it. A line read as several actions has the labels `{"action": [kind, ...]}`, which equal no labelled
    line.
    """
    labelled = without_manner(actions)
    if len(labelled) != 1:
        return {"action": [action.kind for action in labelled]}
    return plain_labels(labelled[0].as_labels())


def without_manner(actions: Sequence[Action]) -> list[Action]:
    """Return `actions` without the turn rate that a turn is flown at, the instrument that wings are levelled by, and
    what failed as the reason for an order ("the AI died, cover it")."""
    kinds = {type(action) for action in actions}
    manner: set[type[Action]] = {TurnRate} if Turn in kinds else {FlyBy} if LevelWings in kinds else set()
    if kinds - {Diagnose, Unclear}:
        manner.add(Diagnose)
    return [action for action in actions if type(action) not in manner]


def plain_labels(labels: dict[str, Any]) -> dict[str, Any]:
    """Return `labels` in the form in which they are compared: no None, no question, lists sorted."""
    return {key: sorted(value) if isinstance(value, list) else value
            for key, value in labels.items() if value is not None and key not in ("ask", "id")}
