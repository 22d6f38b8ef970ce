"""Actions as plain data, for the record and the saved state, and back; what comes back is checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from typing import Annotated, Any, TypeAlias

from pydantic import GetCoreSchemaHandler, TypeAdapter
from pydantic_core import core_schema

from drill.clean import clean_line
from drill.language import meaning
from drill.language.meaning import Action, Call, Told, Transmit

ACTION_KINDS: dict[str, type[Action]] = {
    each.kind: each
    for each in vars(meaning).values()
    if isinstance(each, type) and issubclass(each, Action) and each.kind
}
_GREATEST = 1_000_000
_READERS: dict[str, TypeAdapter[Any]] = {}
_CALL: TypeAdapter[Call] = TypeAdapter(Call)


def call_data(call: Call) -> dict[str, Any]:
    """Return `call` as JSON data: every field, tuples as lists."""
    data: dict[str, Any] = _CALL.dump_python(call, mode="json")
    return data


def told_data(told: Told) -> dict[str, Any]:
    """Return `told` as JSON data; sets as sorted lists."""
    data: dict[str, Any] = {}
    for each in fields(told):
        value = getattr(told, each.name)
        data[each.name] = sorted(value) if isinstance(value, frozenset) else value
    return data


def action_data(action: Action) -> dict[str, Any]:
    """Return `action` as JSON data that `action_from` reads back exactly, a call's meaning included."""
    data = action.as_labels()
    if isinstance(action, Transmit):
        data["meaning"] = call_data(action.meaning)
    return data


def action_from(data: Any) -> Action:
    """Return the action that `data` (of `action_data`, or an action's labels) stands for; ValueError if none.

    A transmission without `meaning` comes back with an empty meaning. All text is cleaned.
    """
    if isinstance(data, Action):
        return data
    if not isinstance(data, dict) or data.get("action") not in ACTION_KINDS:
        raise ValueError("this is no action that drill knows")
    kind = data["action"]
    if kind not in _READERS:
        _READERS[kind] = TypeAdapter(ACTION_KINDS[kind])
    given = {name: value for name, value in data.items() if name != "action"}
    known = {each.name for each in fields(ACTION_KINDS[kind])}
    if unknown := set(given) - known:
        raise ValueError(f"the action {kind} has no {min(unknown)}")
    action: Action = cleaned(_READERS[kind].validate_python(given))
    if not _sane(action):
        raise ValueError(f"the action {kind} has a number that nothing in an airplane has")
    return action


def _sane(value: Any) -> bool:
    if isinstance(value, int | float):
        return -_GREATEST <= value <= _GREATEST   # False for what is not a number
    if isinstance(value, tuple):
        return all(_sane(each) for each in value)
    return not is_dataclass(value) or all(_sane(getattr(value, each.name)) for each in fields(value))


_NO_TEXT = frozenset({float, int, bool, type(None)})


def cleaned(value: Any, clean_text: Callable[[str], str] = clean_line) -> Any:
    """Return `value` (text, numbers, tuples, sets, mappings, dataclasses of them) with every text cleaned."""
    if type(value) in _NO_TEXT:    # most of a record is numbers
        return value
    if isinstance(value, str):
        return clean_text(value)
    if isinstance(value, tuple | list | frozenset):
        return type(value)(cleaned(each, clean_text) for each in value)
    if isinstance(value, dict):
        return {cleaned(key, clean_text): each if type(each) in _NO_TEXT else cleaned(each, clean_text)
                for key, each in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        inside = {each.name: cleaned(getattr(value, each.name), clean_text) for each in fields(value) if each.init}
        return type(value)(**inside)
    return value


class ReadBy:
    """Marks a field that pydantic is to read with `read` and write with `write`, and not to look into by itself."""

    def __init__(self, read: Callable[[Any], Any], write: Callable[[Any], Any]) -> None:
        self._read = read
        self._write = write

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return the schema of two plain functions."""
        return core_schema.no_info_plain_validator_function(
            self._read, serialization=core_schema.plain_serializer_function_ser_schema(self._write))


ActionData: TypeAlias = Annotated[Action, ReadBy(action_from, action_data)]
"""An action as a field of something that pydantic writes and reads."""
