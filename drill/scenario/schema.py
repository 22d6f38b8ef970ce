"""The shapes of a document as a JSON Schema (2020-12), so that editors complete and explain what an author writes.

It is made from the very shapes that read a document, and says no more than they: what they read, it lets pass, in
whatever letters and with whatever blanks they read it. What needs more than one value to be judged (names, units that
do not fit one another, a story that leads nowhere) is left to `drill check`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from drill.airplane.failures import CATALOGUE
from drill.scenario import units as u
from drill.scenario.acts import VERBS
from drill.scenario.airplane_document import AIRPLANE
from drill.scenario.document import SCENARIO, Spoken, Window, WordOr
from drill.scenario.local_words import Phrase, Phrases, PhrasesFor
from drill.scenario.logic import Acts, Cond
from drill.scenario.mappings import Key, Keys, ListOf, Named
from drill.scenario.names import ASSISTANCE, COVERABLE, EQUIPMENT, REFERENCES, SWITCHES, TOLD, URGENCIES, all_words
from drill.scenario.quantities import QUANTITIES, STATES
from drill.scenario.radio_shapes import BAND, Assigned, Frequency
from drill.scenario.shapes import Amount, Choice, Flag, FlagOr, Name, Pattern, Shape, Special, Words
from drill.scenario.units import BY_CODE, Unit
from drill.scenario.words import PLANS

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_SOME = {"type": ["string", "number", "boolean"], "pattern": r"\S"}
"""Any text: an editor takes `0808` for a number and `No` for a truth value, the loader takes both for text."""
_NUMBER = r"[+-]?(?:[0-9][0-9,]*(?:\.[0-9]+)?|\.[0-9]+)"
_TRUTHS = {"on", "off", "yes", "no"}
"""Words that older readers of YAML, some editors' among them, take for truth values."""
_EDGE, _BLANKS = r"\s*", r"\s+"


def scenario_schema() -> Schema:
    """Return the schema of a scenario."""
    return _document("a scenario", SCENARIO)


def airplane_schema() -> Schema:
    """Return the schema of an airplane document."""
    return _document("an airplane", AIRPLANE)


def _document(what: str, keys: Keys) -> Schema:
    return {
        "$schema": DIALECT, "title": f"drill: {what}",
        "description": f"The document of {what}. Numbers carry their units; `drill check` finds what a schema cannot.",
        **schema_of(keys),
        "$defs": {"condition": _condition(), "acts": _acts()},
    }


def schema_of(shape: Shape) -> Schema:
    """Return the schema of one shape; TypeError for a shape that it does not know."""
    match shape:
        case Keys():
            return _keys(shape)
        case Named(inner, what):
            return {"type": "object", "minProperties": 1, "additionalProperties": schema_of(inner),
                    "description": f"names of your own, each a {what}"}
        case ListOf(inner, or_one, may_be_empty):
            many: Schema = {"type": "array", "items": schema_of(inner), **({} if may_be_empty else {"minItems": 1})}
            return {"anyOf": [schema_of(inner), many]} if or_one else many
        case Cond():
            return {"$ref": "#/$defs/condition"}
        case Acts():
            return {"$ref": "#/$defs/acts"}
        case WordOr(words, inner):
            return {"anyOf": [_choice(words), schema_of(inner)]}
        case PhrasesFor(codes):
            return _phrases_for(codes)
        case Phrases():
            return schema_of(ListOf(Phrase(), or_one=True))
        case _:
            return _scalar(shape)


def _scalar(shape: Shape) -> Schema:
    match shape:
        case Choice(words):
            return _choice(words)
        case Flag():
            return _flag()
        case FlagOr(words):
            return {"anyOf": [_flag(), _choice(words)]}
        case Amount():
            return _amount(shape)
        case Pattern(form, sample, what):
            return {"type": ["string", "number"], "pattern": f"^{_EDGE}{form}{_EDGE}$", "examples": [sample],
                    "description": what}
        case Special("wind"):
            return {**_SOME, "examples": ["270 at 20 kt", "calm"], "description": "direction and speed, or calm"}
        case Special("share"):
            return {**_SOME, "examples": ["1 in 5", "20 %"], "description": "a share"}
        case Frequency():
            return {**_SOME, "examples": ["124.35"], "description": f"in MHz, {BAND}"}
        case Assigned():
            return {"anyOf": [{"type": "string", "pattern": f"^{_EDGE}[0-7]{{4}}{_EDGE}$"},
                              {"type": "integer", "minimum": 1000, "maximum": 7776}], "examples": ["4271"]}
        case Name("part"):
            return {"anyOf": [{"enum": sorted({part for part, _ in CATALOGUE})}, _SOME]}
        case Name(of):
            return {**_SOME, "description": f"the name of a {of}"}
        case Window():
            return {**_SOME, "examples": ["3 min of failure pump", "90 s of evidence", "2 min of item Tell ATC",
                                          "10 min of start"], "description": "a time window"}
        case Words() | Spoken() | Phrase():
            return _SOME
        case _:
            raise TypeError(f"no schema is known for a {type(shape).__name__}")


def _keys(shape: Keys) -> Schema:
    made: Schema = {
        "type": "object",
        "properties": {key.name: {**schema_of(key.shape), "description": key.says} for key in shape.keys},
        "additionalProperties": False,
    }
    required = [key.name for key in shape.keys if key.required and not key.unless]
    if required:
        made["required"] = required
    further = [*_one_of(shape.one_of), *([{"anyOf": _each_required(shape.some_of)}] if shape.some_of else []),
               *(_unless(key) for key in shape.keys if key.required and key.unless)]
    needs = {key.name: [key.needs] for key in shape.keys if key.needs}
    if needs:
        made["dependentRequired"] = needs
    if getattr(shape, "own_moment", False):
        made["dependentSchemas"] = {"instead of": {"anyOf": _each_required(("when", "after"))}}
    if further:
        made["allOf"] = further
    if shape.short:
        return {"anyOf": [_SOME, made]}
    return made


def _each_required(names: Iterable[str]) -> list[Schema]:
    return [{"required": [name]} for name in names]


def _one_of(names: tuple[str, ...]) -> list[Schema]:
    return [{"oneOf": _each_required(names)}] if names else []


def _unless(key: Key) -> Schema:
    made_up_for = {"required": [key.unless], "properties": {key.unless: _yes()}}
    return {"anyOf": [{"required": [key.name]}, made_up_for]}


def _yes() -> Schema:
    return {"anyOf": [{"const": True}, {"type": "string", "pattern": _spelled(("yes", "true"))}]}


def _flag() -> Schema:
    return {"anyOf": [{"enum": ["yes", "no"]}, {"type": "boolean"},
                      {"type": "string", "pattern": _spelled(("yes", "no", "true", "false"))}]}


def _choice(words: Iterable[str]) -> Schema:
    """Return the schema of one of a few words: as they are to be offered, and in any letters."""
    ways: list[Schema] = [{"enum": list(words)}, {"type": "string", "pattern": _spelled(words)}]
    return {"anyOf": [*ways, *([{"type": "boolean"}] if _TRUTHS & {*words} else [])]}


def _spelled(words: Iterable[str]) -> str:
    """Return a pattern for `words` in any letters, with blanks around and between; JSON Schema has no flags."""
    ways = "|".join(_BLANKS.join(map(_letters, word.split())) for word in words)
    return f"^{_EDGE}(?:{ways}){_EDGE}$"


def _letters(word: str) -> str:
    return "".join(f"[{each.lower()}{each.upper()}]" if each.isalpha() and each.isascii() else re.escape(each)
                   for each in word)


def _amount(shape: Amount) -> Schema:
    ways: list[Schema] = [{"type": "string", "pattern": _quantity(shape.unit)}]
    if shape.unit.bare:
        limits = {"minimum": shape.low, **({"maximum": shape.high} if shape.high != float("inf") else {})}
        ways.append({"type": "integer" if shape.whole else "number", **limits})
    if shape.other:
        ways.insert(0, _choice(shape.other))
    sample = f"12 {shape.unit.sample}".strip() if shape.unit is not u.PRESSURE else "29.92 inHg"
    return {"anyOf": ways, "examples": [sample]}


def _quantity(unit: Unit) -> str:
    """Return a pattern for what `units.read_amount` reads in this unit."""
    names = sorted(unit.spelled, key=len, reverse=True)
    spelled = "|".join(_BLANKS.join(map(_letters, name.split())) for name in names)
    if unit in (u.SECONDS, u.MINUTES):
        return rf"^{_EDGE}(?:[0-9]+(?:\.[0-9]+)?\s*(?:{spelled})\s*)+$"
    level = r"|[fF][lL]\s*[0-9]{2,3}" if unit is u.FEET else ""
    return rf"^{_EDGE}(?:{_NUMBER}\s*(?:{spelled}){'?' if unit.bare else ''}{level}){_EDGE}$"


def _phrases_for(codes: Iterable[str]) -> Schema:
    words = all_words(codes)
    phrases = schema_of(ListOf(Phrase(), or_one=True))
    return {"type": "object", "properties": dict.fromkeys(words, phrases), "additionalProperties": phrases}


def _condition() -> Schema:
    condition: Schema = {"$ref": "#/$defs/condition"}
    several: Schema = {"type": "array", "items": condition, "minItems": 1}
    joined = {"all": {**several, "description": "all of these hold"},
              "any": {**several, "description": "at least one of these holds"},
              "not": {**condition, "description": "this does not hold"}}
    return {
        "description": "what holds or does not: a fact, a comparison with a limit and its unit, or several joined; "
                       "`did` and an act may have a number of times, then `here` (since the phase began) or `since "
                       "failure` and a name; a switch of the airplane is `on` or `off`",
        "anyOf": [
            {"enum": list(_facts())},
            {**_SOME, "examples": [*(f"{quantity.name} > 30 {BY_CODE[quantity.unit].sample}".strip()
                                     for quantity in QUANTITIES),
                                   "did climb here", "did look suction gauge 3 times", "did climb since failure pump",
                                   "did call 2 times since failure pump"]},
            several,
            {"type": "object", "properties": joined, "additionalProperties": False, "minProperties": 1,
             "maxProperties": 1},
        ],
    }


@cache
def _facts() -> tuple[str, ...]:
    """Return every fact that is a closed list, as it is written."""
    named: Mapping[str, tuple[str, ...]] = {
        "reported": EQUIPMENT, "declared": URGENCIES, "asked for": ASSISTANCE, "told": TOLD, "covered": COVERABLE,
        "flying by": REFERENCES,
    }
    return (*STATES, *(f"{head} {word}" for head, codes in named.items() for word in all_words(codes)),
            *(f"{switch} {to}" for switch in all_words(SWITCHES) for to in ("on", "off") if switch != "autopilot"),
            "autopilot off", *(f"planned {plan}" for plan in PLANS), *(f"did {act}" for act in _closed_acts()))


@cache
def _closed_acts() -> tuple[str, ...]:
    """Return every act that is a closed list, as it is written."""
    return tuple(act for name, verb in VERBS.items()
                 for act in (*(() if verb.needs_object else (name,)),
                             *(f"{name} {word}" for word in all_words(verb.objects))))


def _acts() -> Schema:
    several: Schema = {"type": "array", "items": {"$ref": "#/$defs/acts"}, "minItems": 1}
    joined = {"all": {**several, "description": "all of these are done"},
              "any": {**several, "description": "at least one of these is done"}}
    return {
        "description": "; ".join(f"`{name}` {verb.says}" for name, verb in VERBS.items()),
        "anyOf": [
            {"enum": list(_closed_acts())},
            {**_SOME, "examples": ["divert to Wendle", "checklist vacuum failure", "squawk 7700",
                                   "set altimeter to 29.86", "compare attitude indicator with turn coordinator"]},
            several,
            {"type": "object", "properties": joined, "additionalProperties": False, "minProperties": 1,
             "maxProperties": 1},
        ],
    }
