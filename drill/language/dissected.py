"""Regular expressions taken apart: what a match begins with, and what it cannot be without.

Only what expressions for pilots' words are made of is understood; of anything else nothing is promised.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TypeAlias

Beginnings: TypeAlias = frozenset[tuple[str, bool]]

MOST_STRINGS = 48
"""So many strings at most stand for what a match holds."""
LONG_ENOUGH = 5
"""Letters that are seldom together by chance."""
ANYHOW: Beginnings = frozenset({("", False)})

_LOOKS = re.compile(r"\(\?<?[=!]")
_ANCHOR = re.compile(r"\\b|\^")
_GROUP = re.compile(r"\((?:\?:|\?P<\w+>|(?!\?))")
_SKIPPED = re.compile(r"\\.|\[[^]]*\]")
_SINGLE = re.compile(r"([a-z0-9<> ])|(\\d)|\[([a-z0-9]+)\]")
_TIMES = re.compile(r"[?*+]|\{[^}]*\}")


def parts(pattern: str) -> list[str]:
    """Return the alternatives of `pattern` that stand outside its groups."""
    found, depth, start, at = [], 0, 0, 0
    while at < len(pattern):
        if skipped := _SKIPPED.match(pattern, at):
            at = skipped.end()
            continue
        depth += (pattern[at] == "(") - (pattern[at] == ")")
        if pattern[at] == "|" and depth == 0:
            found.append(pattern[start:at])
            start = at + 1
        at += 1
    return [*found, pattern[start:]]


def _group_end(pattern: str) -> int:
    """Return where the group ends with which `pattern` begins."""
    depth = at = 0
    while at < len(pattern):
        if skipped := _SKIPPED.match(pattern, at):
            at = skipped.end()
            continue
        depth += (pattern[at] == "(") - (pattern[at] == ")")
        at += 1
        if depth == 0:
            break
    return at


def beginnings(pattern: str, letters: int) -> Beginnings:
    """Return the first `letters` characters, at most, of all that `pattern` can match.

    Each comes with whether nothing follows it: ("on", True) of "on", ("on", False) of "on.*".
    """
    return frozenset().union(*(_of_one(part, letters) for part in parts(pattern)))


@lru_cache(maxsize=4096)
def _of_one(part: str, letters: int) -> Beginnings:
    if not part:
        return frozenset({("", True)})
    if letters == 0:
        return ANYHOW
    if anchor := _ANCHOR.match(part):
        return _of_one(part[anchor.end():], letters)
    if _LOOKS.match(part):
        return _of_one(part[_group_end(part):], letters)
    if group := _GROUP.match(part):
        end = _group_end(part)
        heads = beginnings(part[group.end():end - 1], letters)
    elif single := _SINGLE.match(part):
        end = single.end()
        heads = frozenset((each, True) for each in single[1] or ("0123456789" if single[2] else single[3]))
    else:
        return ANYHOW
    times = _TIMES.match(part, end)
    if times:
        end = times.end()
        if times[0] != "?":
            heads = frozenset((head, False) for head, _ in heads)
        if times[0][0] == "{" and times[0].lstrip("{").startswith(("0", ",")):
            return ANYHOW
    found = {pair for head, whole in heads for pair in (
        _follow(head, part[end:], letters) if whole and len(head) < letters else {(head, False)})}
    if times and times[0] in ("?", "*"):
        found |= _of_one(part[end:], letters)
    return frozenset(found)


def _follow(head: str, rest: str, letters: int) -> set[tuple[str, bool]]:
    return {(head + tail, whole) for tail, whole in _of_one(rest, letters - len(head))}


def certain(pattern: str) -> frozenset[str] | None:
    """Return strings of which every match of `pattern` holds at least one; None if no few are sure to be there."""
    found: set[str] = set()
    for part in parts(pattern):
        sure = _certain_of_one(part)
        if sure is None:
            return None
        found |= sure
    least = frozenset(each for each in found if not any(other in each for other in found if other != each))
    return least if len(least) <= MOST_STRINGS else None


def _certain_of_one(part: str) -> frozenset[str] | None:
    candidates: list[frozenset[str]] = []
    run = frozenset({""})    # what stands side by side up to here
    while part:
        item, within, times, part = _item(part)
        if item == "nothing":
            continue
        exactly = _exactly(item, within)
        once = times == ""
        if exactly is not None and once and len(run) * len(exactly) <= MOST_STRINGS:
            if len(exactly) > 1:
                candidates += [run, exactly]    # each alone may be enough, and is fewer
            run = frozenset(before + here for before in run for here in exactly)
            continue
        candidates.append(run)
        run = exactly if exactly is not None and once else frozenset({""})
        if exactly is not None and times == "+":
            candidates.append(exactly)
        elif exactly is None and times in ("", "+") and item == "group" and (inner := certain(within)):
            candidates.append(inner)
    candidates.append(run)
    best = max(candidates, key=_worth)
    return best if _worth(best)[0] else None


def _worth(strings: frozenset[str]) -> tuple[int, int]:
    """Return how much a text is told apart by holding one of them: by their letters, then by how few they are."""
    return min((LONG_ENOUGH, *(len(each) for each in strings))) if strings else 0, -len(strings)


def _item(part: str) -> tuple[str, str, str, str]:
    """Return the first item: its kind (nothing, letter, group, other), what is in it, its repetition, and the rest."""
    if anchor := _ANCHOR.match(part):
        return "nothing", "", "", part[anchor.end():]
    if _LOOKS.match(part):
        return "nothing", "", "", part[_group_end(part):]
    if group := _GROUP.match(part):
        end = _group_end(part)
        kind, within = "group", part[group.end():end - 1]
    elif (single := _SINGLE.match(part)) and single[1]:
        end, kind, within = single.end(), "letter", single[1]
    else:
        skipped = _SKIPPED.match(part)
        end, kind, within = skipped.end() if skipped else 1, "other", ""
    times = _TIMES.match(part, end)
    return kind, within, times[0] if times else "", part[times.end() if times else end:]


def _exactly(item: str, within: str) -> frozenset[str] | None:
    """Return all that an item can match, if these are few strings."""
    if item == "letter":
        return frozenset({within})
    if item != "group":
        return None
    found: set[str] = set()
    for part in parts(within):
        run = frozenset({""})
        while part:
            kind, inner, times, part = _item(part)
            if kind == "nothing":
                continue
            here = _exactly(kind, inner)
            if here is None or times not in ("", "?") or len(run) * (len(here) + 1) > MOST_STRINGS:
                return None
            run = frozenset(before + after for before in run for after in ((*here, "") if times else here))
        found |= run
    return frozenset(found) if len(found) <= MOST_STRINGS else None

