"""What the grammar hears in a call, weighed against what the call's words make likely.

The grammar knows why it hears a thing, and why not: what is said to work, what is only practised. The detectors have
heard more ways to say a thing than it has rules. What they are sure of and it has no word against is heard. Figures,
names and places are always the grammar's, and the failures and requests that it hears stand.

The limits were chosen on calls that neither was made with.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from drill.language.likely.classifiers import detectors
from drill.language.likely.features import call_features
from drill.language.meaning import Call, Weather
from drill.language.words import Token

FAILED = 0.85
ASKED = 0.85
STATED = 0.8
"""Likelihoods from which on something is heard that the grammar does not read."""
NOT_STATED = 0.02
"""The likelihood up to which what is stated by the grammar is not heard; failures and requests are, in plain words."""
_WEATHERS: tuple[Weather, ...] = ("icing", "imc", "vmc")
"""Icing wins over cloud."""


def likely_in(line: Sequence[Token]) -> dict[str, float]:
    """Return how likely each label is in a call, its callsigns, places, names and numbers marked."""
    return detectors().likely(call_features(line))


def differs(call: Call, likely: Mapping[str, float]) -> bool:
    """Whether anything is `likely` enough that is not in `call`, or so unlikely that it should not be."""
    equipment, asked = set(call.equipment), set(call.assistance)
    return any(share >= STATED and label.partition(" ")[2] not in equipment and label.partition(" ")[2] not in asked
               for label, share in likely.items()) or (
        call.impairment and likely.get("impairment", 1.0) <= NOT_STATED) or (
        call.intentions and likely.get("intentions", 1.0) <= NOT_STATED)


def weighed(call: Call, likely: Mapping[str, float], *, known: Collection[str], pretended: bool) -> Call:
    """Return `call`, as the grammar has it, with what is `likely` in it.

    `known` are the labels that the grammar saw words of and knows not to be meant: a part that works or whose failure
    is supposed, a request that is withdrawn, put off, or another's. `pretended`: what fails does so in play, or in
    another airplane.
    """
    equipment = {*call.equipment}
    if not pretended:
        equipment |= _over(likely, "equipment", FAILED, known)
    asked = _over(likely, "assistance", ASKED, known)
    if not call.assistance:
        asked.discard("named_airport")   # a field that is only spoken of
    return replace(
        call,
        equipment=tuple(sorted(equipment)),
        assistance=tuple(sorted({*call.assistance, *asked})),
        impairment=_stated(call.impairment, likely, "impairment"),
        intentions=_stated(call.intentions, likely, "intentions"),
        conditions=call.conditions if call.conditions != "unstated" else next(
            (each for each in _WEATHERS if likely.get(f"conditions {each}", 0.0) >= STATED), "unstated"),
        trouble=call.trouble and not equipment)


def _over(likely: Mapping[str, float], key: str, limit: float, known: Collection[str]) -> set[str]:
    return {label.partition(" ")[2] for label, share in likely.items()
            if share >= limit and label.startswith(key) and label not in known}


def _stated(read: bool, likely: Mapping[str, float], label: str) -> bool:
    share = likely.get(label)
    if share is None:
        return read
    return share >= STATED or (read and share > NOT_STATED)
