"""The skills of simulated pilots, as data: when they notice, what they make of it, what they do and leave out.

Anchors are the two means of DOT/FAA/AM-02/19 (2002, abstract): instrument-rated pilots recognized a dead vacuum pump
after 7.6 min on average, those who had practiced partial panel for half an hour before after 4.9 min. Everything else
is common practice, no source, chosen so that the skills stand in the order that their names say. No study gives these
numbers; they are a model to compare scenarios with, and no statement about people.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Skill:
    """One sort of pilot. Times are medians in seconds, each drawn with `spread`; chances go from 0 to 1."""

    name: str
    words: str                    # who that is, in one sentence
    rounds: float                 # chance that the gauges are in this pilot's scan at all,
    round_s: float                # and then the mean time from one deliberate look at the whole panel to the next
    sees: float                   # chance that a look at what reveals the failure is understood
    doubts_s: float               # from the evidence until the failed instrument is flown by no longer
    knows_s: float                # from the evidence until it is understood that something has failed
    spread: float                 # sigma of the logarithm of these times, and of the pace
    names: float                  # chance to name the part itself, and not only the instrument that lies
    returns: float                # chance to go back to the failed instrument for a while before it is understood
    does: Mapping[str, float]     # chance to do an item of the grade sheet, by its weight
    pace_s: float                 # from one item to the next
    talks_first: float            # chance to call before the airplane is in hand
    calls: float                  # chance to tell ATC at all
    leaves_out: Mapping[str, float]   # chance to leave an element out of the call, by its name
    answers: float                # chance to answer a line of ATC that wants it,
    answers_s: float              # and how soon
    slips: float                  # chance to do what an item forbids
    recovers_s: float             # from an upset that is seen on the dials to the recovery


LATELY = Skill(
    "practiced lately", "has flown partial panel with an instructor in the last weeks",
    rounds=0.4, round_s=240.0, sees=0.85, doubts_s=60.0, knows_s=330.0, spread=0.5, names=0.8, returns=0.1,
    does={"critical": 0.95, "major": 0.85, "minor": 0.75}, pace_s=18.0, talks_first=0.1, calls=0.95,
    leaves_out={"callsign": 0.02, "equipment": 0.03, "impairment": 0.2, "assistance": 0.1},
    answers=0.97, answers_s=4.0, slips=0.01, recovers_s=5.0,
)
CURRENT = Skill(
    "current", "flies on instruments every month, and full panel",
    rounds=0.15, round_s=300.0, sees=0.7, doubts_s=120.0, knows_s=545.0, spread=0.5, names=0.6, returns=0.25,
    does={"critical": 0.85, "major": 0.7, "minor": 0.55}, pace_s=28.0, talks_first=0.25, calls=0.85,
    leaves_out={"callsign": 0.04, "equipment": 0.08, "impairment": 0.4, "assistance": 0.25},
    answers=0.93, answers_s=6.0, slips=0.03, recovers_s=8.0,
)
RUSTY = Skill(
    "rusty", "is rated, and has hardly been in cloud this year",
    rounds=0.1, round_s=480.0, sees=0.5, doubts_s=210.0, knows_s=720.0, spread=0.6, names=0.35, returns=0.45,
    does={"critical": 0.65, "major": 0.45, "minor": 0.35}, pace_s=45.0, talks_first=0.4, calls=0.7,
    leaves_out={"callsign": 0.08, "equipment": 0.15, "impairment": 0.6, "assistance": 0.4},
    answers=0.85, answers_s=9.0, slips=0.08, recovers_s=14.0,
)
BY_THE_BOOK = Skill(
    "by the book", "sees at once what can be seen and does the whole sheet in its order; no person",
    rounds=1.0, round_s=60.0, sees=1.0, doubts_s=5.0, knows_s=10.0, spread=0.1, names=1.0, returns=0.0,
    does={"critical": 1.0, "major": 1.0, "minor": 1.0}, pace_s=12.0, talks_first=0.0, calls=1.0,
    leaves_out={}, answers=1.0, answers_s=3.0, slips=0.0, recovers_s=3.0,
)

SKILLS = (BY_THE_BOOK, LATELY, CURRENT, RUSTY)
"""From the best to the worst. The first is no person: what even it does not get, nobody will."""

GOOD_PILOTS = (BY_THE_BOOK.name, LATELY.name)
"""Those who should make a window of the sheet."""

PUBLISHED_MIN = {CURRENT.name: 7.6, LATELY.name: 4.9}
"""Mean time to recognize a dead pump, minutes (DOT/FAA/AM-02/19, abstract; groups A and C, and B)."""
