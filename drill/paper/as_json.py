"""A debrief as JSON, and the JSON Schema that says what each key of it means.

    python -m drill.paper.as_json > drill/paper/debrief.schema.json      # after a change of what is told
"""

from __future__ import annotations

import json
import sys
from importlib import resources
from typing import Any

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

from drill.paper.document import Document

DEBRIEF = "debrief"
"""The part of a document whose keys stand beside its other parts."""

SCHEMA_FILE = "debrief.schema.json"
_DOCUMENT = TypeAdapter(Document)


def as_json(document: Document) -> str:
    """Return `document` as JSON that its schema describes: the keys of the debrief, then those of the other parts."""
    data = _DOCUMENT.dump_python(document, mode="json")
    return json.dumps({**data.pop(DEBRIEF), **data}, indent=1, ensure_ascii=False, allow_nan=False)


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a debrief, from the code that tells it."""
    made = _without_titles(_DOCUMENT.json_schema(mode="serialization"))
    told = made["$defs"].pop("Debrief")
    made["properties"].pop(DEBRIEF)
    return {
        **made, "$schema": GenerateJsonSchema.schema_dialect, "title": "A debrief of drill",
        "properties": {**told["properties"], **made["properties"]},
        "required": [*told["required"], *(name for name in made["required"] if name != DEBRIEF)],
    }


def schema_text() -> str:
    """Return the JSON Schema that ships with the program, as text."""
    return resources.files("drill.paper").joinpath(SCHEMA_FILE).read_text(encoding="utf-8")


def written() -> str:
    """Return `schema()` as the text that ships."""
    return json.dumps(schema(), indent=1, ensure_ascii=True) + "\n"


def _without_titles(made: dict[str, Any]) -> dict[str, Any]:
    """Return a schema without the titles that only repeat the names of its keys."""
    return {key: ({name: _without_titles(each) for name, each in value.items()} if key in ("properties", "$defs")
                  else _without_titles(value) if isinstance(value, dict)
                  else [_without_titles(each) if isinstance(each, dict) else each for each in value]
                  if isinstance(value, list) else value)
            for key, value in made.items() if not (key == "title" and isinstance(value, str))}


if __name__ == "__main__":
    sys.stdout.write(written())
