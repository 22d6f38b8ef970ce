"""The words of an act: `cover attitude indicator` to an ActPattern, with other spellings of some verbs."""

from __future__ import annotations

import re
from typing import Any

from drill.scenario.acts import VERBS, ActPattern, Verb, setting_of
from drill.scenario.names import IN_SIGHT, all_words, code_of, words_of
from drill.scenario.nearest import hint
from drill.scenario.places import Text
from drill.scenario.radio_shapes import frequency_fault
from drill.scenario.reading import Reading
from drill.scenario.units import HPA_PER_INHG, UnitError

_SPELLED = {  # other spellings, to a verb and, where they say it, what it is done to
    "look at": "look",
    "scan": "look panel",
    "read checklist": "checklist",
    "run checklist": "checklist",
    "cancel ifr": "cancel IFR",
    "level wings by turn coordinator": "level wings",
    "divert to": "divert",
    "land at": "land",
    "continue to": "continue",
    "hold at": "hold",
    "follow": "track",
    "slow": "fly airspeed",
    "airspeed": "fly airspeed",
    "set power": "power",
    "reduce power": "power less",
    "add power": "power more",
    "pitch nose": "pitch",
    "turn on": "switch on",
    "turn off": "switch off",
    "turn at half standard rate": "turn at half",
    "turn at standard rate": "turn at standard",
    "fly standard rate": "turn at standard",
    "fly half standard rate": "turn at half",
    "request": "ask for",
    "write up the defect": "write up",
    "transmit": "call",
    "answer ATC": "answer",
    "breaker": "pull breaker",
    "missed approach": "go around",
}
_ALSO = {
    "people_on_board": "souls",
    "people": "souls",
    "fuel_remaining": "fuel",
    "read_back": "readback",
    "pan_pan": "pan-pan",
    "half_standard_rate": "half",
    "standard_rate": "standard",
    "nose_up": "up",
    "nose_down": "down",
}
_SET_TO = re.compile(r"\s+(?:to\s+)?(?=\d)")
_FIELD_PREFIXES = ("to ", "at ")


def read_act(text: Text, said: str, offset: int, to: Reading) -> ActPattern | Any:
    """Return the pattern in `said`, which begins at `offset` of `text`, or BAD with the problem noted."""
    start = len(said) - len(said.lstrip())
    said, offset = " ".join(said.split()), offset + start
    verb, rest = _verb(said)
    if verb is None:
        if not said:
            return to.wrong(
                text.at(offset), "empty-value", "here an act is wanted", "", "write one like `cover attitude indicator`"
            )
        denied = said.startswith("not ")
        joined = next((how for how in ("any", "all") if said.startswith((f"{how} ", f"{how}["))), "")
        return to.wrong(
            text.at(offset),
            "unknown-act",
            f"`{said[:60]}` is no act that can be recognized",
            "" if denied or joined else _near_verb(said),
            f"write several acts like `{{{joined}: [cover attitude indicator, fly by partial panel]}}`" if joined else
            f"for what has not been done write `not did {said[len('not '):][:60]}`" if denied else
            "write a known verb and what it is done to",
        )
    at = text.at(offset + len(said) - len(rest)) if rest and said.endswith(rest) else text.at(offset)
    return _with_object(verb, rest, at, to)


_MEANT = {
    "look": ("watch", "check", "see", "read", "monitor", "observe", "inspect", "view", "scan", "examine"),
    "report": ("inform", "notify", "tell ATC", "advise"),
    "call": ("radio", "contact", "speak", "say"),
    "cover": ("hide", "mask"),
    "uncover": ("reveal", "unmask"),
}
"""Words that are no verbs here, though like one in meaning."""


def _near_verb(said: str) -> str:
    words = said.split()
    for verb, others in _MEANT.items():
        if any(f"{said} ".lower().startswith(f"{other} ".lower()) for other in others):
            return f"the nearest known word is `{verb}`"
    return hint(" ".join(words[:2]) if " ".join(words[:2]).lower() in {v.lower() for v in VERBS} else words[0], VERBS)


def _verb(said: str) -> tuple[str | None, str]:
    lower = said.lower()
    for spelled in sorted((*VERBS, *_SPELLED), key=len, reverse=True):
        if lower == spelled.lower() or lower.startswith(spelled.lower() + " "):
            rest = said[len(spelled) :].strip()
            meant = _SPELLED.get(spelled, spelled)
            if meant.startswith("switch "):
                return "switch", f"{rest} {meant.removeprefix('switch ')}"
            if meant in VERBS:
                return meant, rest
            verb = next(name for name in VERBS if meant.startswith(name + " "))
            return verb, f"{meant[len(verb) :].strip()} {rest}".strip()
    return None, ""


def _with_object(verb: str, rest: str, at: Any, to: Reading) -> ActPattern | Any:
    known: Verb = VERBS[verb]
    if not rest:
        if known.needs_object:
            return to.wrong(
                at,
                "act-incomplete",
                f"`{verb}` does not say what",
                hint("", all_words(known.objects)),
                f"write one like `{verb} {words_of(known.objects[0])}`",
            )
        return ActPattern(verb)
    match known.of:
        case "place":
            for prefix in _FIELD_PREFIXES:
                rest = rest.removeprefix(prefix)
            to.refer("field", rest, at)
            return ActPattern(verb, rest)
        case "checklist":
            to.refer("checklist", rest.lower(), at)
            return ActPattern(verb, rest.lower())
        case "instruments":
            return _instruments(verb, rest, at, to)
        case "code":
            if len(rest) == 4 and set(rest) <= set("01234567"):
                return ActPattern(verb, rest)
            return to.wrong(
                at,
                "unknown-code",
                f"`{rest[:20]}` is no transponder code",
                "four digits from 0 to 7",
                "write one like 7700",
            )
        case "frequency":
            fault = frequency_fault(rest)
            return ActPattern(verb, rest) if fault is None else to.wrong(at, *fault)
        case "setting":
            what, *setting = _SET_TO.split(rest, maxsplit=1)
            if code_of(what) == "altimeter" and setting:
                return _altimeter(verb, setting[0], at, to)
    code = _ALSO.get(code_of(rest), code_of(rest))
    if verb == "switch":
        code = " ".join(code.rsplit("_", 1)) if code.endswith(("_on", "_off")) else code
    if code in known.objects:
        return ActPattern(verb, code)
    if not known.objects:
        return to.wrong(
            at, "unknown-act", f"nothing can follow `{verb}`, here stands `{rest[:40]}`", "", f"write `{verb}` alone"
        )
    return to.wrong(
        at,
        "unknown-object",
        f"`{rest[:60]}` is nothing that `{verb}` can be done to",
        hint(rest, all_words(known.objects)),
        "write one of the known names",
    )


def _altimeter(verb: str, setting: str, at: Any, to: Reading) -> ActPattern | Any:
    try:
        hpa, _ = setting_of(setting)
    except UnitError as error:
        return to.unit(at, f"{verb} altimeter", error)
    inches = setting.lower().endswith("inhg") or hpa != float(setting.split()[0])
    return ActPattern(verb, f"altimeter {hpa / HPA_PER_INHG:g} inHg" if inches else f"altimeter {hpa:g} hPa")


def _instruments(verb: str, rest: str, at: Any, to: Reading) -> ActPattern | Any:
    codes = [
        code_of(each) for each in rest.replace(" and ", " with ").replace(",", " with ").split(" with ") if each.strip()
    ]
    for code in codes:
        if code not in IN_SIGHT:
            return to.wrong(
                at,
                "unknown-object",
                f"`{words_of(code)[:60]}` is nothing that can be compared",
                hint(words_of(code), all_words(IN_SIGHT)),
                "write one of the known names",
            )
    return ActPattern(verb, " with ".join(sorted(codes)))
