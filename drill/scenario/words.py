"""The words of a condition and of an act: text to syntax tree, every fault pointed at where it stands.

A condition is one of: `did <act>` with how often and since when (`did_words`); `reported <equipment>`; `declared
anything`; `asked for <assistance>`; `told <element>`; `noted <flag>`; `failed <failure>`; `covered <instrument>`;
`flying by <reference>`; `planned <plan> [place]`; a state such as `in cloud`; a switch's position such as `pitot heat
on`; or a comparison such as `true bank > 30 deg`. `not` may stand before any of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Literal, cast

from drill.scenario.conditions import Compare, Condition, Fact, FactKind, Not
from drill.scenario.did_words import read_did
from drill.scenario.names import (
    ASSISTANCE,
    COVERABLE,
    EQUIPMENT,
    REFERENCES,
    SWITCHES,
    TOLD,
    URGENCIES,
    all_words,
    code_of,
    words_of,
)
from drill.scenario.nearest import hint, listed, nearest
from drill.scenario.places import Text
from drill.scenario.quantities import BY_NAME, QUANTITIES, STATES
from drill.scenario.reading import BAD, Reading
from drill.scenario.units import BY_CODE, FEET, UnitError, read_amount

_COMPARE = re.compile(r"(.*?)\s*(<=|>=|=<|=>|==|!=|<|>|=|≤|≥)\s*(.*)", re.DOTALL)
_NAMED_VALUES = ("minimum altitude", "freezing level")
_TO_A_FIELD = ("distance to", "bearing to")
_POSITION = re.compile(r"(?:the\s+)?(\S.*?)\s+(?:(?:is|are)\s+)?(on|off)", re.IGNORECASE | re.DOTALL)
_JOINED = re.compile(r"\s(and|or)\s", re.IGNORECASE)
_ALSO_ELEMENTS = {"people_on_board": "souls", "people": "souls", "fuel_remaining": "fuel", "weather": "conditions"}

PLANS = (
    "divert",
    "continue",
    "return to ramp",
    "abort takeoff",
    "land",
    "hold",
    "shut down",
    "cancel IFR",
    "stop taxi",
    "depart VFR",
)


def read_condition(text: Text, to: Reading) -> Condition | Any:
    """Return the condition in `text`, or BAD with the problem noted."""
    problems, references = len(to.problems), len(to.references)
    condition = _condition(text, text.value, 0, to)
    joined = _JOINED.search(text.value)
    if joined is not None:    # a name may hold such a word, so it is told only where something is wrong
        to.remedied(problems, references, _join_remedy(text.value, joined.group(1).lower()))
    return condition


def _join_remedy(said: str, word: str) -> str:
    """Return how to write conditions that were joined with `and` or `or`; the first one's head is the others' too."""
    parts = [part.strip() for part in _JOINED.split(said)[::2]]
    head = next((head for head in sorted(_HEADS, key=len, reverse=True)
                 if parts[0].lower().startswith(head + " ")), "")
    whole = [part if not head or part.lower().startswith((head + " ", "not ")) else f"{head} {part}" for part in parts]
    how = "any" if word == "or" else "all"
    return f"join conditions with `{how}: [...]`, not with words, here `{how}: [{', '.join(whole)[:120]}]`"


def _condition(text: Text, said: str, offset: int, to: Reading) -> Condition | Any:
    said, offset = _trimmed(said, offset)
    if said.lower().startswith("not "):
        rest, at = _trimmed(said[4:], offset + 4)
        if rest.lower().startswith("not "):
            return to.wrong(
                text.at(at), "unknown-condition", "a second `not` undoes the first", "", "write none or one"
            )
        part = _condition(text, rest, at, to)
        return BAD if part is BAD else Not(part)
    for head, read in _HEADS.items():
        if said.lower() == head or said.lower().startswith(head + " "):
            rest, at = _trimmed(said[len(head) :], offset + len(head))
            return read(text, rest, at, to)
    state = said.lower().removeprefix("is ")
    if state in STATES:
        return Fact("is", state)
    position = _POSITION.fullmatch(said)
    if position is not None and _COMPARE.fullmatch(said) is None:
        return _switch(text, position, offset, to)
    match = _COMPARE.fullmatch(said)
    if match is not None:
        return _comparison(text, match, offset, to)
    remedy = "write a fact, or a comparison such as `true bank > 30 deg`"
    place = text.at(offset)
    if not said:
        return to.wrong(place, "empty-value", "here a condition is wanted", "", remedy)
    return to.wrong(place, "unknown-condition", f"`{_short(said)}` is no condition", _near_condition(said), remedy)


def _near_condition(said: str) -> str:
    quantities = [quantity.name for quantity in QUANTITIES]
    positions = [f"{name} on" for name in all_words(SWITCHES)]
    near = nearest(said, [*STATES, *quantities, *positions]) or nearest(said.split()[0], _HEADS)
    return (
        f"the nearest known word is `{near}`"
        if near
        else f"a condition begins with {listed(_HEADS)}, a state, a switch or a quantity"
    )


def _switch(text: Text, match: re.Match[str], offset: int, to: Reading) -> Condition:
    """Return where a switch stands; whether the autopilot is on says the panel, not a switch."""
    code = code_of(match[1])
    if code == "autopilot":
        held = Fact("is", "autopilot on")
    else:
        to.refer("switch", words_of(code), text.at(offset + match.start(1)))
        held = Fact("on", code)
    return held if match[2].lower() == "on" else Not(held)


def _comparison(text: Text, match: re.Match[str], offset: int, to: Reading) -> Condition | Any:
    left, op, right = match.group(1), match.group(2), match.group(3).strip()
    if op not in ("<", "<=", ">", ">="):
        return to.wrong(
            text.at(offset + match.start(2)),
            "comparison-sign",
            f"`{op}` is no comparison here",
            "`<`, `<=`, `>` and `>=` are",
            "compare with a limit: readings are never exactly equal",
        )
    name, place = " ".join(left.lower().split()), None
    for head in _TO_A_FIELD:
        if name.startswith(head + " "):
            name, place = head, " ".join(left.split())[len(head) + 1 :]
            to.refer("field", place, text.at(offset + left.lower().find(place.lower())))
    quantity = BY_NAME.get(name)
    if quantity is None or (place is None) != (name not in _TO_A_FIELD):
        known = [each.name if each.name not in _TO_A_FIELD else f"{each.name} <field>" for each in QUANTITIES]
        return to.wrong(
            text.at(offset),
            "unknown-quantity",
            f"`{_short(left)}` is no quantity",
            hint(left, known),
            "compare one of the known quantities",
        )
    at = text.at(offset + match.start(3))
    unit = BY_CODE[quantity.unit]
    wanted = right.lower()
    if wanted in _NAMED_VALUES:
        value = to.named.get(wanted)
        if unit is not FEET:
            return to.wrong(
                at, "wrong-unit", f"`{wanted}` is in feet, `{name}` is not", "", f"write a number in {unit.name}"
            )
        if wanted not in to.named:
            return to.wrong(
                at, "unknown-value", f"the scenario gives no {wanted}", "", "give it, or write a number of feet"
            )
        if value is None:  # given, but unreadable: told where it stands
            return BAD
    else:
        try:
            value = read_amount(right, unit)
        except UnitError as error:
            return to.unit(at, name, error)
    return Compare(name, cast(Literal["<", "<=", ">", ">="], op), value, place)


def _named(kind: FactKind, codes: tuple[str, ...], what: str, rule: str, default: str = "") -> Callable[..., Any]:
    """Return the reader of a fact about one of `codes`."""

    def read(text: Text, rest: str, at: int, to: Reading) -> Condition | Any:
        code = code_of(rest) if rest else default
        code = _ALSO_ELEMENTS.get(code, code) if kind == "told" else code
        code = "pan-pan" if code == "pan_pan" else code
        if code in codes:
            return Fact(kind, code)
        wrong = f"`{_short(rest)}` is no {what}" if rest else f"`{kind}` wants the name of {what}"
        return to.wrong(text.at(at), rule, wrong, hint(rest, all_words(codes)), "write one of the known names")

    return read


def _of_story(kind: Literal["noted", "failed"], refers: Literal["flag", "failure"]) -> Callable[..., Any]:
    def read(text: Text, rest: str, at: int, to: Reading) -> Condition | Any:
        if not rest:
            return to.wrong(
                text.at(at),
                "unknown-condition",
                f"`{kind}` wants the name of a {refers}",
                "",
                f"name a {refers} of this scenario",
            )
        name = " ".join(rest.split())
        to.refer(refers, name, text.at(at))
        return Fact(kind, name)

    return read


def _planned(text: Text, rest: str, at: int, to: Reading) -> Condition | Any:
    for plan in PLANS:
        if rest.lower() == plan.lower() or rest.lower().startswith(plan.lower() + " "):
            code = code_of(plan)
            where, start = _trimmed(rest[len(plan) :], at + len(plan))
            for word in ("to ", "at "):
                if where.startswith(word):
                    where, start = _trimmed(where[len(word) :], start + len(word))
            if where:
                to.refer("field", where, text.at(start))
            return Fact("planned", f"{code} {where}".strip())
    return to.wrong(
        text.at(at), "unknown-plan", f"`{_short(rest)}` is no plan", hint(rest, PLANS), "write one of the known plans"
    )


_HEADS: dict[str, Callable[..., Any]] = {
    "did": read_did,
    "reported": _named("reported", EQUIPMENT, "equipment", "unknown-equipment"),
    "declared": _named("declared", URGENCIES, "urgency", "unknown-urgency", default="anything"),
    "asked for": _named("asked for", ASSISTANCE, "assistance", "unknown-assistance"),
    "told": _named("told", TOLD, "element of a call", "unknown-element"),
    "noted": _of_story("noted", "flag"),
    "failed": _of_story("failed", "failure"),
    "covered": _named("covered", COVERABLE, "instrument", "unknown-instrument"),
    "flying by": _named("flying by", REFERENCES, "reference", "unknown-instrument"),
    "planned": _planned,
}


def _trimmed(said: str, offset: int) -> tuple[str, int]:
    start = len(said) - len(said.lstrip())
    return said.strip(), offset + start


def _short(text: str, most: int = 60) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
