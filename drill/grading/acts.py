"""Acts as a record writes them (plain mappings), read back into what they mean."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import TypeAdapter, ValidationError

from drill.flight.labels import action_from
from drill.language.meaning import Action, Told, Transmit

_TOLD = TypeAdapter(Told)


def action_of(labels: Mapping[str, Any], call: Mapping[str, Any] | None = None) -> Action | None:
    """Return the action that `labels` describes; None where it describes none that this edition knows.

    `call` is the meaning of a transmission, where `labels` does not hold it.
    """
    data = dict(labels)
    if data.get("action") == Transmit.kind and call is not None:
        data.setdefault("meaning", dict(call))
    try:
        return action_from(data)
    except (TypeError, ValueError):
        return None


def told_of(labels: Mapping[str, Any]) -> Told | None:
    """Return what ATC knew, as `labels` describes it; None where it describes nothing of the kind."""
    try:
        return _TOLD.validate_python(dict(labels))
    except ValidationError:
        return None


def told_both(first: Told, second: Told) -> Told:
    """Return what `first` and `second` hold together; urgency and equipment are those of `second`, the later one."""
    return Told(
        calls=max(first.calls, second.calls),
        callsign=first.callsign or second.callsign,
        facility=first.facility or second.facility,
        urgency=second.urgency,
        equipment=second.equipment,
        impairment=first.impairment or second.impairment,
        assistance=first.assistance | second.assistance,
        conditions=second.conditions if second.conditions != "unstated" else first.conditions,
        altitude=first.altitude or second.altitude,
        heading=first.heading or second.heading,
        position=first.position or second.position,
        souls=first.souls or second.souls,
        fuel=first.fuel or second.fuel,
        intentions=first.intentions or second.intentions,
        places=first.places | second.places,
    )
