"""The debrief as JSON: every key described, every debrief valid, the shipped schema the one that the code has."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from paper.papers import flown_for, late, paper, spoiled

from drill.paper.as_json import as_json, schema, schema_text, written
from drill.scenario import shipped

VALID = Draft202012Validator(json.loads(schema_text()))


def objects(node: Any) -> Iterator[dict[str, Any]]:
    """Every part of a schema."""
    if isinstance(node, dict):
        yield node
        for each in node.values():
            yield from objects(each)
    elif isinstance(node, list):
        for each in node:
            yield from objects(each)


def test_the_schema_that_ships_is_that_of_the_code() -> None:
    assert schema_text() == written(), "renew it: python -m drill.paper.as_json > drill/paper/debrief.schema.json"
    Draft202012Validator.check_schema(schema())


def test_every_key_is_described_and_no_other_is_allowed() -> None:
    found = [each for each in objects(schema()) if isinstance(each.get("properties"), dict)]
    assert len(found) > 12
    for each in found:
        assert each["additionalProperties"] is False
        assert set(each["required"]) == set(each["properties"])
        assert [name for name, about in each["properties"].items() if not about.get("description", "").strip()] == []


@pytest.mark.parametrize("name", shipped())
def test_the_debrief_of_every_shipped_scenario_is_valid(name: str) -> None:
    told = json.loads(as_json(flown_for(name, 60.0).document))
    VALID.validate(told)
    assert told["scenario"] == name
    assert not told["complete"]


@pytest.mark.long
@pytest.mark.parametrize("name", shipped())
def test_the_debrief_of_every_shipped_scenario_flown_to_its_end_is_valid(name: str) -> None:
    told = json.loads(as_json(flown_for(name, 3600.0).document))
    VALID.validate(told)
    assert told["complete"]


@pytest.mark.parametrize("events", [None, [], late()[:1], late()[:250]])
def test_a_whole_an_empty_and_a_cut_off_flight_are_valid(events: Any) -> None:
    VALID.validate(json.loads(as_json(paper(events).document)))


def test_a_key_that_is_missing_or_that_nobody_knows_is_not_valid() -> None:
    less, more = (json.loads(as_json(paper().document)) for _ in range(2))
    del less["score"]
    more["findings"][0]["extra"] = 1
    assert not VALID.is_valid(less)
    assert not VALID.is_valid(more)


@pytest.mark.long
@settings(max_examples=20, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_hostile_words_stay_the_same_words(text: str) -> None:
    read = json.loads(as_json(spoiled(paper().document, text)))
    VALID.validate(read)
    assert read["title"] == text
