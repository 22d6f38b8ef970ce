"""The exemplar pilot: what the grade sheet would have done from a moment of a flight on, flown and not only told.

An item is done by its example words once it applies and has not been done; one that answers a failure not before a
careful cross-check could have known of it in the flight that is rewound, or, where nothing had shown it there, a minute
after it began (the author's choice). Beside the sheet it does what is a matter of course: it flies what ATC assigns,
one thing after the other, reads it back, and answers what ATC asks. All of it in words that can be typed, so that what
it does is a script as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from drill.airplane.arith import FLOATS, wrap_deg
from drill.airplane.controls import TURN_TO_HEADING
from drill.airplane.panel import Panel
from drill.flight.events import Acted, Assigned, Event, Failed, Heard, Trace
from drill.flight.flight import Flight
from drill.flight.pilots import fly
from drill.flight.readings import three_digits
from drill.flight.rewind import Rewound
from drill.grading.acts import action_of
from drill.grading.grade import grade
from drill.grading.held import first_held, held_at
from drill.grading.sheet import done_at, in_order
from drill.grading.subjects import patterns
from drill.grading.timeline import Timeline, timeline
from drill.language.meaning import Altitude, Decide, Transmit, Turn
from drill.scenario.acts import ANSWERS
from drill.scenario.model import Item

KNOWS_S = 60.0           # after a failure that nothing showed in the flight that is rewound
LOOKS_EVERY_S = 2.0      # how often it is asked what applies
HEARS_S = 3.0            # to hear a line of ATC out
ANSWERED_S = 8.0         # after a call ATC has so long to answer
FAR_DEG = 6.0            # a turn is not done yet, and the next thing waits for it,
LONGEST_TURN_S = 150.0   # for so long at most
FIRST = ("aviate",)      # parts that ATC waits for


class SheetPilot:
    """Flies `flight` on from where it stands after the events `before`, as its grade sheet would have.

    `known` says from when (s) a failure, by its name, is acted on.
    """

    def __init__(self, flight: Flight, before: Sequence[Event], known: Mapping[str, float]) -> None:
        self._flight = flight
        self._events = list(before)
        self._known = known
        line = self._line(flight.t_s)
        self._left = _not_done(in_order(flight.scenario.grade_sheet), line)
        self._heard: Heard | None = None       # a line of ATC that wants an answer
        self._assigned: Assigned | None = None
        self._to_do: list[Turn | Altitude] = []
        self._turning_to = (math.nan, 0.0)     # heading (deg), since (s)
        self._free_s = flight.t_s
        self._looked_s = flight.t_s - LOOKS_EVERY_S

    @classmethod
    def of(cls, again: Rewound) -> SheetPilot:
        """Return the exemplar pilot of a flight that is rewound."""
        whole = grade(again.original.scenario, again.original.events, again.original.seed)
        known = {story.name: story.began_s + KNOWS_S if story.evidence_s is None else story.evidence_s
                 for story in reversed(whole.failures)}
        return cls(again.flight, again.events, known)

    def next(self, shown: Panel, heard: Sequence[Event], t: float) -> list[str]:
        """Return the words for what is said or done now; nothing while something else is being done."""
        self._events += heard
        for event in heard:
            self._take(event)
        if not self._flight.idle or t < self._free_s or t - self._looked_s < LOOKS_EVERY_S:
            return []
        self._looked_s = t
        wanted = next(self._wanted(shown, t), None)
        return [wanted] if wanted else []

    def _take(self, event: Event) -> None:
        if isinstance(event, Heard) and event.to_us:
            self._heard = event
        elif isinstance(event, Assigned):
            self._assigned = event
            self._to_do = list(_orders(event))
        elif isinstance(event, Acted) and event.act.get("action") == Transmit.kind:
            self._heard = None
            self._free_s = event.t + ANSWERED_S

    def _wanted(self, shown: Panel, t: float) -> Iterator[str]:
        """Yield what is to be done, the first thing first; whoever takes it does it."""
        items = self._applying(t)
        for item in items:
            if item.part in FIRST:
                yield self._done(item)
        if self._heard is not None and t - self._heard.t >= HEARS_S:
            answer = next((item for item in items if _answers(item)), None)
            heard, self._heard = self._heard, None
            yield self._done(answer) if answer is not None else self._answer(heard)
        for item in items:
            if not _answers(item):
                yield self._done(item)
        if self._to_do and not self._still_turning(shown, t):
            order = self._to_do.pop(0)
            yield _words(order, float(shown.altitude_ft))

    def _done(self, item: Item) -> str:
        self._left.remove(item)
        return str(item.example)

    def _still_turning(self, shown: Panel, t: float) -> bool:
        """Say whether a turn that was ordered is not done yet; one that takes too long is waited for no more."""
        controls = self._flight.state.cockpit.controls
        if controls.lateral != TURN_TO_HEADING:
            return False
        if controls.heading_deg != self._turning_to[0]:
            self._turning_to = (controls.heading_deg, t)
        now = float(shown.track_deg if shown.gps_on > 0.5 else shown.compass_deg)
        return (t - self._turning_to[1] < LONGEST_TURN_S
                and abs(float(wrap_deg(FLOATS, now - controls.heading_deg))) > FAR_DEG)

    def _line(self, t: float) -> Timeline:
        """Return the flight so far, without failures that nobody can know of yet."""
        return timeline([event for event in self._events if not isinstance(event, Failed)
                         or self._known.get(event.failure, event.t + KNOWS_S) <= t],
                        tuple(each.name for each in self._flight.scenario.fields))

    def _applying(self, t: float) -> list[Item]:
        if not self._left:
            return []
        line = self._line(t)
        return [item for item in self._left
                if (held_at(item.when, line, t) if item.when is not None
                    else bool(line.onsets) or not _of_failure(item))]

    def _answer(self, heard: Heard) -> str:
        """Return the answer to a line of ATC; nothing to one that neither asks nor assigns anything."""
        scenario, question = self._flight.scenario, self._flight.atc.question
        assigned = self._assigned
        new = assigned is not None and abs(assigned.t - heard.t) <= 1.0
        read_back = [] if assigned is None or not new else [
            *([f"heading {three_digits(assigned.heading_deg)}"] if assigned.heading_deg is not None else []),
            *([f"{assigned.altitude_ft:.0f} feet"] if assigned.altitude_ft is not None else [])]
        answers = {
            "intentions": self._plan(), "emergency": "affirmative", "conditions": self._conditions(),
            "fuel": f"{scenario.start.fuel_min - self._flight.t_s / 60.0:.0f} minutes of fuel",
            "people": f"{scenario.start.on_board} on board", "control": "affirmative, on partial panel",
            "no_gyro": "negative, timed turns by the clock",
        }
        answer = answers.get(question, "roger" if question else "")
        said = ", ".join([*read_back, *([answer] if answer else [])])
        return f"say {said}, {scenario.callsign}" if said else ""

    def _plan(self) -> str:
        where = [action.where for event in self._events if isinstance(event, Acted) and not event.refused
                 and isinstance(action := action_of(event.act), Decide) and action.where]
        return f"diverting to {where[-1]}" if where else "standby"

    def _conditions(self) -> str:
        last = next((event for event in reversed(self._events) if isinstance(event, Trace)), None)
        return "IMC" if last is not None and "is in cloud" in last.facts else "VMC"


def _not_done(items: Sequence[Item], line: Timeline) -> list[Item]:
    """Return those of `items` that can be done by their example and were not, or before what they are to follow."""
    done: dict[str, float | None] = {
        item.name: done_at(item.do, line, _since(item, line)) for item in items if item.do is not None}
    left: list[Item] = []
    for item in items:
        at = done.get(item.name)
        first = done.get(item.after) if item.after is not None else None
        early = item.after in done and (first is None or (at is not None and first > at))
        if item.do is not None and item.example and (at is None or early):
            left.append(item)
    return left


def _since(item: Item, line: Timeline) -> float:
    """Return from when (s) what is done counts for the item: what came before its occasion was for something else."""
    if item.when is None:
        return 0.0
    applies = first_held(item.when, line)
    since = math.inf if applies is None else applies
    return min([since, *(onset.t for onset in line.onsets)]) if item.within is not None else since


def _orders(assigned: Assigned) -> Iterator[Turn | Altitude]:
    if assigned.heading_deg is not None:
        yield Turn("shortest", heading_deg=round(assigned.heading_deg))
    if assigned.altitude_ft is not None:
        yield Altitude(to_ft=round(assigned.altitude_ft))


def _words(order: Turn | Altitude, altitude_ft: float) -> str:
    if isinstance(order, Turn):
        return f"turn to heading {three_digits(order.heading_deg or 0)}"
    return f"{'climb' if (order.to_ft or 0) > altitude_ft else 'descend'} to {order.to_ft} feet"


def _answers(item: Item) -> bool:
    return any(pattern.verb == "answer" for pattern in patterns(item.do))


def _of_failure(item: Item) -> bool:
    return any(pattern.verb in ANSWERS for pattern in patterns(item.do))


def sheets_way(again: Rewound) -> tuple[Event, ...]:
    """Fly a flight that is rewound on to its ending as its sheet would have; return its events from its beginning."""
    flown = fly(again.flight, SheetPilot.of(again))
    return (*again.events, again.branched, *flown.events)
