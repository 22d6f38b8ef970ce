"""Learns what is listened for in calls from labelled calls: `python -m drill.language learn calls FILE ...`.

Each label is learned by itself; one that fewer than `FEWEST` calls have is left to the grammar.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from drill.language.calls import named_tokens
from drill.language.likely.features import PLACES, call_features
from drill.language.likely.learning import TooFewError, kept_as_bytes, replaced, table
from drill.language.score import context_of

STRENGTH = 1.0
"""How little the weights are held back (the library's `C`), chosen on calls that were not learned from."""
FEWEST = 20
_SPOKEN_OF = (
    "the {0} says we are level", "the {0} and the {1} say we are level", "{0} reads four thousand", "{0} shows a climb",
    "{0} shows a descent", "the {0} shows a left turn", "by the {0} we are level", "flying on the {0} now",
    "using the {0} and the {1}", "we have the {0} and the {1}", "checking the {0}", "{0} is steady", "{0} steady",
    "{0} and {1} agree", "according to the {0} we are climbing", "we are watching the {0}", "{0} is holding", "{0} set",
    "going by the {0}", "we still have the {0}", "looking at the {0}", "the {0} is what we fly by", "{0} alive",
    "stand by, checking {0} against {1}", "{0} shows what it should", "I have the {0} in sight", "on the {0} for now",
    "request a moment to look at the {0}", "the {0} moves as it should", "cross-checking the {0} with the {1}",
    "what does our {0} show on your side", "we will keep an eye on the {0}", "{0} reads zero six zero",
    "turned the {0} on", "in cloud, {0} shows level flight", "level at five thousand, {0} steady",
    "{0} level, ball centered", "{0} in the green", "{0} centered", "{0} upright", "{0} and {1} look right",
    "tell us what you see of the {0}", "set the {0} to what you gave us", "we switched the {0} off ourselves",
    "we fly it by hand, {0} off", "if you need the {0} reading say so", "one more look at the {0} and we are ready",
    "{0} against the {1}, same answer",
)
_BESIDE = (
    "the {0} and {1} say we are level, the {2} has failed", "{2} dead, flying on the {0} and the {1}",
    "lost the {2}, {0} shows level", "the {2} is out, {0} and {1} agree", "the {2} has failed, by the {0} we are level",
    "the {0} shows a climb and the {1} does not, so the {2} is the bad one", "{2} inop, cross-checking {0} with {1}",
    "{0} reads four thousand, {1} steady, {2} unreliable", "we have the {0} and the {1}, but no {2}",
    "the {2} quit, using {0} and {1} from here", "in cloud, {2} failed, {0} is what we fly by",
    "suspect the {2}, looking at the {0} and the {1}", "the {2} is leaning over, {0} steady", "the {2} is leaning over",
    "our {2} has quit, the {0} has not",
)
"""What has failed, and parts beside it that have not."""
_PARTS = {
    "altimeter": "altimeter", "attitude indicator": "attitude_indicator", "heading indicator": "heading_indicator",
    "turn coordinator": "turn_coordinator", "airspeed indicator": "airspeed_indicator", "engine": "engine",
    "vertical speed indicator": "vertical_speed_indicator", "magnetic compass": "magnetic_compass",
    "autopilot": "autopilot", "transponder": "transponder", "alternator": "alternator", "battery": "battery",
    "horizon": "attitude_indicator", "VOR": "navigation", "DG": "heading_indicator", "localizer": "navigation",
    "radio": "radio", "compass": "magnetic_compass", "VSI": "vertical_speed_indicator",
    "standby horizon": "standby_instrument",
}
_CONTEXT = {"callsign": "Larkspur 04W", "facility": "Orrinfell Approach"}
_OPENINGS = ("approach, 04W, ", "", "Orrinfell, Larkspur 04W, ")


def labels_of(expect: Mapping[str, Any]) -> set[str]:
    """Return what a labelled call teaches, as labels of `Detectors`."""
    found = {f"{key} {each}" for key in ("equipment", "assistance") for each in expect.get(key, ())}
    found |= {key for key in ("impairment", "intentions") if expect.get(key)}
    if expect.get("conditions", "unstated") != "unstated":
        found.add(f"conditions {expect['conditions']}")
    return found


def spoken_of() -> list[dict[str, Any]]:
    """Return calls in which parts are only spoken of, also beside one that has failed: in nearly every call that people
    write, what is named has failed, and so it would be heard wherever it is named."""
    names = (*_PARTS, *_PARTS)
    return [{"context": _CONTEXT, "call": _OPENINGS[(at + n) % 3] + said.format(*names[at:at + 3]),
             "expect": {"equipment": [_PARTS[names[at + 2]]] if "{2}" in said else [],
                        "conditions": "imc" if said.startswith("in cloud") else "unstated"}}
            for at in range(len(_PARTS)) for n, said in enumerate((*_SPOKEN_OF, *_BESIDE))]


def learned(rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the arrays of the file that `classifiers.loaded_for_calls` reads, learned from labelled calls and from
    those in which parts are only spoken of."""
    from sklearn.linear_model import LogisticRegression  # here: reading does not need it, and it is an extra

    counted = Counter(label for row in rows for label in labels_of(row["expect"]))
    labels = sorted(label for label, times in counted.items() if FEWEST <= times < len(rows))
    if not labels:
        raise TooFewError(f"no label stands in {FEWEST} calls or more, and so many are needed to learn one")
    every = [*rows, *spoken_of()]
    seen = table([call_features(named_tokens(row["call"], context_of(row))) for row in every])
    taught = [labels_of(row["expect"]) for row in every]
    weights, bias = np.zeros((PLACES, len(labels))), np.zeros(len(labels))
    for at, label in enumerate(labels):
        model = LogisticRegression(C=STRENGTH, max_iter=300, solver="liblinear", random_state=0)
        model.fit(seen, [label in each for each in taught])
        weights[:, at], bias[at] = model.coef_[0], model.intercept_[0]
    steps = np.abs(weights).max(axis=0) / 127
    used, whole = kept_as_bytes(weights / steps)
    return {"labels": np.array(labels), "places": used, "weights": whole, "steps": steps, "bias": bias}


def write(rows: Sequence[Mapping[str, Any]], path: Path) -> None:
    """Write what `rows` teach to `path`, as `learning.write` does and with its errors."""
    replaced(path, lambda: learned(rows))
