"""How often an act was done, and since when: the keys by which a story keeps what has been done.

A story counts by keys: the second climb since the pump failed puts `climb 2 times since failure pump` beside `climb
since failure pump`. So what has been done is a set that only grows, and a condition asks whether a key is in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

MOST_TIMES = 20
"""So often an act can be asked for."""

_KEY = re.compile(r"(.*?)(?: ([0-9]+) times)?(?: since failure (.*))?", re.DOTALL)


def deed_key(act: str, times: int = 1, since: str = "") -> str:
    """Return the key of an act (a pattern's key) done so many times, `since` a failure began ("": at any time)."""
    often = f" {times} times" if times > 1 else ""
    return f"{act}{often}{f' since failure {since}' if since else ''}"


def parts_of(key: str) -> tuple[str, int, str]:
    """Return the act, how many times, and since which failure ("": at any time), of a key."""
    match = _KEY.fullmatch(key)
    act, times, since = match.groups() if match is not None else (key, None, None)
    return act, int(times or 1), since or ""


def within(key: str) -> Iterator[str]:
    """Yield the other keys of the same act that are there wherever this one is: fewer times, and at any time."""
    act, times, since = parts_of(key)
    for window in dict.fromkeys((since, "")):
        for fewer in range(times, 0, -1):
            if (fewer, window) != (times, since):
                yield deed_key(act, fewer, window)


def once_more(done: frozenset[str], act: str, since: str, most: int) -> frozenset[str]:
    """Return what has been done after the act was done once more; more than `most` times are not told apart."""
    keys: Iterable[str] = (deed_key(act, times, since) for times in range(1, most + 1))
    new = next((key for key in keys if key not in done), None)
    return done if new is None else done | {new}
