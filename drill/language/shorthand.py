"""What pilots write short in the cockpit, spelled out: "ck", "lvl", "L 080", "30 s", "ALT", "T/C", "AH", "HI".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.words import Token, word_set

_WORDS = {"ck": "check", "chk": "check", "cks": "check", "lvl": "level", "hdg": "heading", "thru": "through",
          "dn": "down", "wat": "what", "wots": "what",
          "stdby": "standby", "stby": "standby", "clb": "climb", "trn": "turn",
          "lt": "light", "lts": "lights", "chklist": "checklist",
          "cvr": "cover", "covr": "cover", "chklst": "checklist", "cklst": "checklist", "cklist": "checklist"}
_SIDES = {"l": "left", "r": "right", "lft": "left", "rt": "right"}
_KEPT = word_set("hold maintain keep this that lose gain my present current what your new")
_TIMED = frozenset({"wait", "delay", "pause", "for", "another", "turn", "left", "right", "timed", ","})
_INTERJECTED = {"hi": "hsi", "ah": "ai"}
_BESIDE = frozenset({"and", "with", "against", "versus", "vs", "to", "by"})
_BEFORE_INSTRUMENT = _BESIDE | {
    "the", "my", "our", "cover", "uncover", "check", "compare", "scan", "look", "at", "use", "using", "ignore", "on",
    "trust", "of", "off", "align", "set", "reset", "fly"}


def spelled_out(line: Sequence[Token], typed: str) -> tuple[Token, ...]:
    """Return `line`, whose numbers are joined, with written shorthand as full words; `typed` is the whole line."""
    texts = [token.text for token in line]
    return tuple(Token(_meant(texts, at, typed[token.start:token.end].isupper()), token.start, token.end)
                 for at, token in enumerate(line) if not (token.text == "un" and texts[at + 1:at + 2] in _PARTED))


_SWITCHED = frozenset({"turn", "switch", "shut", "turning", "switching"})
_PARTED = (["cover"], ["mask"], ["hide"], ["block"])
"""Verbs that are typed apart from their beginning: "un-cover"."""


def _meant(texts: Sequence[str], at: int, capitals: bool) -> str:
    word = texts[at]
    before = texts[at - 1] if at else ""
    if before == "un" and [word] in _PARTED:
        return f"un{word}"
    after = texts[at + 1] if at + 1 < len(texts) else ""
    if word in _WORDS:
        return _WORDS[word]
    if word == "of" and not after and not _SWITCHED.isdisjoint(texts):
        return "off"
    if word == "x" and after in ("check", "checks", "checking"):
        return "cross"
    if word in ("port", "starboard") and "static" not in texts:
        return "right" if word == "starboard" else "left"
    onto = at == 0 and after in ("to", "onto") and "".join(texts[2:3]).isdecimal()
    if word in _SIDES and not before.isdecimal() and (
            "turn" in (before, after) or after in ("hdg", "heading") or onto
            or (after.isdecimal() and len(after) in (2, 3))):
        return _SIDES[word]
    if word in ("s", "m") and before.isdecimal() and at > 1 and texts[at - 2] in _TIMED | {"left", "right"}:
        return "seconds" if word == "s" else "minutes"
    if word in _INTERJECTED and (capitals or before in _BEFORE_INSTRUMENT
                                 or (word == "hi" and (after in _BESIDE or before == ","))):
        return _INTERJECTED[word]
    if word == "alt" and after not in ("static", "source", "half", "side", "switch", "field"):
        return "altitude" if before in _KEPT or after.isdecimal() or after == "hold" else "altimeter"
    return word
