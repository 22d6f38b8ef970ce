"""The JSON Schema says what the loader reads: what loads is valid, and what has not the shape of a scenario is not."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from drill.scenario import problems_in, shipped
from drill.scenario.airplane_document import AIRPLANE
from drill.scenario.document import SCENARIO
from drill.scenario.loading import read_scenario
from drill.scenario.logic import Acts, Cond
from drill.scenario.mappings import Keys
from drill.scenario.places import Text
from drill.scenario.problems import DocumentError, Place
from drill.scenario.reading import BAD, SHAPE_RULES, Reading
from drill.scenario.schema import DIALECT, airplane_schema, scenario_schema, schema_of
from drill.scenario.shapes import Amount, Choice, Flag, FlagOr, Pattern
from drill.scenario.shelf import procedures
from scenario.documents import TEXT

GOLDEN = Path(__file__).parent.parent / "golden" / "problems"


class _Core(yaml.SafeLoader):
    """YAML as editors read it: of plain words only numbers, true, false and null are no text (YAML 1.2, 10.3)."""

    yaml_implicit_resolvers = {}  # noqa: RUF012


for _tag, _form, _first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("null", r"~|null|Null|NULL|", "~nN\0"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    _Core.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_form})$"), [*list(_first), ""])
_Core.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(node.value))


def as_editors_read(text: str) -> Any:
    return yaml.load(text, Loader=_Core)  # noqa: S506 - a SafeLoader


@cache
def validator() -> Draft202012Validator:
    return Draft202012Validator(scenario_schema())


def test_the_schemas_are_schemas_of_their_dialect() -> None:
    for schema in (scenario_schema(), airplane_schema()):
        assert schema["$schema"] == DIALECT
        Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize(
    "path", [*shipped().values(), Path(__file__).with_name("whole.yaml")], ids=lambda path: path.stem
)
def test_every_sound_scenario_is_valid(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not list(validator().iter_errors(as_editors_read(text)))
    assert not list(validator().iter_errors(yaml.safe_load(text))), "as older readers of YAML take it"


@pytest.mark.parametrize("path", sorted((procedures() / "airplanes").glob("*.yaml")), ids=lambda path: path.stem)
def test_every_airplane_is_valid(path: Path) -> None:
    assert Draft202012Validator(airplane_schema()).is_valid(as_editors_read(path.read_text(encoding="utf-8")))


def test_a_document_refused_for_its_shape_is_not_valid() -> None:
    looked_at = set()
    for path in GOLDEN.glob("*.yaml"):
        rules = {each.rule for each in problems_in(path)} & (
            SHAPE_RULES | {"unknown-choice", "unit-missing", "wrong-unit"}
        )
        if rules:
            looked_at |= rules
            assert not validator().is_valid(as_editors_read(path.read_text(encoding="utf-8"))), path.stem
    assert looked_at >= SHAPE_RULES


def test_a_document_that_loads_with_warnings_is_valid() -> None:
    for path in GOLDEN.glob("*.yaml"):
        if all(each.level == "warning" for each in problems_in(path)):
            assert validator().is_valid(as_editors_read(path.read_text(encoding="utf-8"))), path.stem


def test_every_key_is_described() -> None:
    def undescribed(schema: Any, way: str = "") -> Iterator[str]:
        if isinstance(schema, dict):
            for name, value in (
                schema.get("properties", {}).items() if isinstance(schema.get("properties"), dict) else ()
            ):
                if not value.get("description") and "required" not in schema:
                    yield f"{way}/{name}"
            for key, value in schema.items():
                yield from undescribed(value, f"{way}/{key}")
        elif isinstance(schema, list):
            for number, value in enumerate(schema):
                yield from undescribed(value, f"{way}/{number}")

    described = [each for each in undescribed(scenario_schema()) if "/allOf/" not in each and "local words" not in each]
    assert described == []
    top = scenario_schema()["properties"]
    assert {key.name: key.says for key in SCENARIO.keys} == {name: each["description"] for name, each in top.items()}


def test_closed_lists_are_offered_for_completion() -> None:
    facts = scenario_schema()["$defs"]["condition"]["anyOf"][0]["enum"]
    acts = scenario_schema()["$defs"]["acts"]["anyOf"][0]["enum"]
    assert {"in cloud", "reported vacuum system", "declared mayday", "did cover attitude indicator",
            "pitot heat on", "alternator off", "autopilot off"} <= set(facts)
    assert len(facts) == len(set(facts))
    assert {"cover attitude indicator", "report vacuum system", "switch pitot heat on", "answer"} <= set(acts)
    part = scenario_schema()["properties"]["failures"]["additionalProperties"]["properties"]["part"]
    assert "vacuum pump" in part["anyOf"][0]["enum"]
    read = Reading()
    for shape, words in ((Cond(), facts), (Acts(), acts)):
        for word in words:
            assert shape.read(Text(word, Place()), "when", read) is not BAD, word
    assert read.problems == []


# --- wrong documents -------------------------------------------------------------------------------


def _ways(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield way
    if isinstance(value, dict):
        for key, below in value.items():
            yield from _ways(below, (*way, key))
    elif isinstance(value, list):
        for number, below in enumerate(value):
            yield from _ways(below, (*way, number))


_SOUND = as_editors_read(TEXT)
_WAYS = [way for way in _ways(_SOUND) if way]
_OTHER = st.one_of(
    st.none(),
    st.just([]),
    st.just({}),
    st.just(["x"]),
    st.just({"x": "y"}),
    st.just("words"),
    st.just(["a", {"b": "c"}]),
    st.integers(-5, 5),
    st.booleans(),
    st.just([None]),
    st.just({"all": []}),
)


@pytest.mark.long
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(st.sampled_from(_WAYS), st.sampled_from(["drop", "replace", "add", "rename"]), _OTHER)
def test_what_the_loader_refuses_for_its_shape_the_schema_refuses(
    way: tuple[Any, ...], change: str, other: Any
) -> None:
    document = copy.deepcopy(_SOUND)
    at = document
    for step in way[:-1]:
        at = at[step]
    if change == "replace":
        at[way[-1]] = other
    elif change == "drop":
        del at[way[-1]]
    elif change == "add":
        assume(isinstance(at[way[-1]], dict))
        at[way[-1]]["nonsense"] = other
    else:
        assume(isinstance(at, dict))
        at["zzz"] = at.pop(way[-1])
    text = yaml.safe_dump(document, sort_keys=False, allow_unicode=True)
    read = as_editors_read(text)
    refused = _rules(text) & SHAPE_RULES
    valid = validator().is_valid(read)
    assert not (refused and valid), (refused, text)
    assert valid or _rules(text), text


def _rules(text: str) -> set[str]:
    try:
        _, problems = read_scenario(text, "some.yaml", _larkspur)
    except DocumentError as error:
        return {each.rule for each in error.problems}
    return {each.rule for each in problems if each.level == "error"}


def _larkspur(name: str) -> str | None:
    path = procedures() / "airplanes" / f"{name}.yaml"
    return path.read_text(encoding="utf-8") if re.fullmatch(r"[\w-]+", name) and path.is_file() else None


def _leaves(shape: Any) -> Iterator[Any]:
    if isinstance(shape, Keys):
        for key in shape.keys:
            yield from _leaves(key.shape)
    elif isinstance(shape, Amount | Choice | Flag | FlagOr | Pattern):
        yield shape
    elif hasattr(shape, "shape"):
        yield from _leaves(shape.shape)


_LEAVES = list({repr(shape): shape for shape in (*_leaves(SCENARIO), *_leaves(AIRPLANE))}.values())
_WRITTEN = st.one_of(
    st.from_regex(r"[+-]?[0-9]{1,5}(\.[0-9])? ?[a-zA-Z°/%]{0,7}", fullmatch=True),
    st.from_regex(r"([0-9]{1,3} ?(h|min|s|sec|hours) ?){1,3}", fullmatch=True),
    st.sampled_from(
        [
            "FL085",
            "Clear",
            " clear",
            "YES",
            "no",
            "True",
            "ft",
            "1,200 ft",
            "12 feet",
            "Moderate",
            "stayed  on the ground",
            "14:05",
            "24:00",
            "4271",
            "emergency",
            ".5",
            "29.92 inHg",
            "1013 HPA",
            "240°",
            "- 5 C",
            "-5 C",
            "1e3",
        ]
    ),
)


@settings(max_examples=600, deadline=None)
@given(st.sampled_from(_LEAVES), _WRITTEN)
def test_what_the_loader_reads_of_one_value_the_schema_lets_pass(shape: Any, written: str) -> None:
    to = Reading()
    read = shape.read(Text(written, Place()), "key", to)
    schema = Draft202012Validator(schema_of(shape))
    as_values = (
        [written, as_editors_read(written)] if not isinstance(as_editors_read(written), dict | list) else [written]
    )
    if read is not BAD:
        assert all(schema.is_valid(value) for value in as_values), (shape, written)
    elif {each.rule for each in to.problems} & {
        "unit-missing",
        "wrong-unit",
        "not-a-quantity",
        "unknown-choice",
        "wrong-form",
    }:
        assert not schema.is_valid(written), (shape, written)
