"""What a pilot reports in the stead of what he reported before: "make that the turn coordinator".

Such words name a part and say nothing of how it is; with a failure told before, it is the one that has failed, and
what was told is taken back where only one thing was, or where the words say "only". What names both, "the turn
coordinator, not the vacuum", is read so by the language.
"""

from __future__ import annotations

import re
from dataclasses import replace

from drill.flight.controller_state import ControllerState
from drill.flight.replying import bare
from drill.language import read_call
from drill.language.meaning import Call, Context
from drill.language.patterns import compiled, laid_out

_CORRECTS = laid_out(r"""
    (?:correction|(?:scratch|disregard|forget|strike) (?:that|the (?:<\w+>|\w+)(?: \w+)?)|make (?:that|it)|
    (?:i|we) meant(?: to say)?|(?:i|we) (?:got it|were|was) wrong|wrong (?:part|instrument|diagnosis)|
    (?:it )?turn(?:s|ed) out(?: (?:to be|that))?|(?:i|we) misdiagnosed(?: (?:it|that))?|actually|sorry)""")
_INSTEAD = compiled(rf"""
    ^(?:(?:uh|um|ok|and|no|negative|,) )*{_CORRECTS}(?:[ ,]+(?:{_CORRECTS}|(?:it|that|this) (?:is|was)|just|only|the|
    our|a|an|to be))*[ ,]+(.+)$""")
_ONLY = re.compile(r"\b(?:only|just|nothing but)\b|\bnot the\b")
_BACK = re.compile(r"\b(?:not|no|never)\b|\b(?:back|fine|works?|working|normal|ok|okay|good)\b")


def righted(state: ControllerState, call: Call, context: Context) -> Call:
    """Return a call with the part that it puts in the stead of what was told as failed, and that as well again."""
    before = state.told.equipment
    said = bare(call, context)
    found = _INSTEAD.match(said)
    if not before or found is None or call.words.rstrip().endswith("?"):
        return call
    named = call.equipment
    if not named:
        first = re.split(r", | and ", found.group(1))[0]
        named = () if _BACK.search(first) else read_call(f"we have lost the {first}", context).equipment
    new = [each for each in named if each not in before]
    if not new:
        return call
    old = before - set(named) if len(before) == 1 or _ONLY.search(said) else frozenset[str]()
    return replace(call, equipment=tuple(named), rejoined=tuple(dict.fromkeys((*call.rejoined, *sorted(old)))))
