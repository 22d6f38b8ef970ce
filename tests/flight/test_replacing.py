"""A state with some fields changed, quickly: as the standard library's `replace` would have it."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drill.flight.controller_state import ControllerState, Line, Seen
from drill.flight.replacing import replace

CHANGES = st.dictionaries(st.sampled_from(["heading_deg", "now_s", "question", "asked", "lines"]), st.integers())


@given(CHANGES)
def test_a_replaced_state_is_what_the_standard_library_makes_of_it(changes: dict[str, Any]) -> None:
    state = ControllerState(now_s=4.0, asked=("nature",), seen=Seen(altitude_ft=5000.0))
    new = replace(state, **changes)
    assert new == dataclasses.replace(state, **changes)
    assert state == ControllerState(now_s=4.0, asked=("nature",), seen=Seen(altitude_ft=5000.0))
    assert hash(replace(state)) == hash(state)


def test_a_field_that_there_is_not_is_refused() -> None:
    with pytest.raises(TypeError, match="no field wrods"):
        replace(Line(0.0, "roger"), wrods="wilco")


def test_what_is_replaced_stays_frozen() -> None:
    line = replace(Line(0.0, "roger"), words="wilco")
    with pytest.raises(dataclasses.FrozenInstanceError):
        line.words = "roger"  # type: ignore[misc]


@dataclasses.dataclass(frozen=True)
class Loose:
    one: int = 1
    two: int = 2


def test_a_class_without_slots_is_refused() -> None:
    with pytest.raises(TypeError, match="no plain dataclass with slots"):
        replace(Loose(), one=3)
