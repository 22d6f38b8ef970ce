"""A small story for maps, with a branch that can never be taken, and what witnesses might have shown of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from check.explore_stories import story

TWO = story("""
cruise:
  cues: [{after: 30 s, unless: in cloud, fail: second}, {after: 20 s, tell: A bump.}]
  branches:
    - {when: did climb, for: 5 s, note: climbed, go: high}
    - {when: {all: [true altitude > 9000 ft, true altitude < 8000 ft]}, end: upset}
    - {when: time in phase > 3 min, end: there}
high:
  branches: [{when: stalled, end: upset}, {when: noted climbed, end: there}]
lost:
  branches: [{when: in cloud, end: there}]
""", failures="""pump: {part: vacuum pump, how: shaft shears, at: 4 min, spread: 1 min}
second: {part: attitude indicator, how: rotor stops}""")


@dataclass(frozen=True)
class Seen:
    """Witnesses as a table."""

    where: Mapping[str, str]
    words: str = "2 flights"
    flights: tuple[str, ...] = ("seed 3", "seed 4")

    def of(self, what: str) -> str:
        return self.where.get(what, "")
