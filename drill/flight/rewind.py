"""Taking the controls again: a flight as it was at a moment of its record, to be flown on another way in the same air.

The state is restored from the last one that the record holds before the moment, and flown on to it through what was
entered; draws are addressed by seed, stream and step, so the air that follows is the same. A record of another edition
of the model is flown from its beginning by this one. Nothing is written to the record that is rewound.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from drill.flight import flying
from drill.flight.events import OF_FACES, Branched, Ended, Event, Typed
from drill.flight.flight import Flight
from drill.flight.readings import clock_words, panel_words, shown_of
from drill.flight.record import refly, same_edition
from drill.flight.recorded import Recorded, fitting, read_record
from drill.flight.recorder import Recorder, RecordError, event_data, model
from drill.flight.state import STEPS_A_SECOND, FlightState, state_from

_TRIED_S = 30.0    # as for a flight that is taken up again: what no flight can have shows itself by then
_SLIGHT = 1e-6


@dataclass(frozen=True, slots=True)
class Rewound:
    """A flight at the moment at which another pilot, or another plan, takes over.

    `events` are those of the flight until then, `states` the full ones, each with how many events stand before it;
    `branched` says where it comes from.
    """

    flight: Flight
    events: tuple[Event, ...]
    states: tuple[tuple[int, FlightState], ...]
    branched: Branched
    original: Recorded

    def record(self, path: Path) -> Recorder:
        """Begin a record of its own at `path`, which must be new: what came before, and where it branched.

        RecordError if none can be written there.
        """
        return Recorder.create(path, self.flight, (*self.events, self.branched), self.states)


def rewind(path: Path, at_s: float, by: str = "typed") -> Rewound:
    """Return the flight of the record at `path` as it was at flight time `at_s` (s, to a tenth), for `by` to fly on.

    What the pilot entered at that very moment has not been entered. RecordError in words for a moment outside the
    flight and for a record that cannot be used; OSError if it cannot be opened.
    """
    return rewound(read_record(path), at_s, by)


def rewound(recorded: Recorded, at_s: float, by: str = "typed") -> Rewound:
    """Do the same with a record that has been read."""
    steps = _moment(recorded, at_s)
    t = steps / STEPS_A_SECOND
    events = [event for event in recorded.events if not isinstance(event, OF_FACES)]
    before = events[: _cut(events, t)]
    states = _states_before(recorded, len(before), steps)
    with fitting(recorded.path, "rewound"):
        flight, flown, start = _restored(recorded, states)
        flown += refly(flight, before[start:], t)
        same = [event_data(each) for each in flown] == [event_data(each) for each in before[start:]]
        if flight.ended is not None:
            raise RecordError(
                f"{recorded.path}: flown again by this edition of the model ({model()}) the flight ends at "
                f"{clock_words(flight.ended.t)}, before {clock_words(t)}; name a moment before that")
        panel_words(shown_of(flight.panel), flight.covered)
        flight.fork().advance(_TRIED_S)
    flight.hand_to(by)
    branched = Branched(t, recorded.path.name, fingerprint(before), by, _of_the_air(recorded, same=same))
    return Rewound(flight, (*before[:start], *flown), tuple(states) if start else (), branched, recorded)


def branched_off(record: str, events: Sequence[Event], at_s: float, by: str) -> Branched:
    """Return that a flight leaves that of the file `record`, `events` so far, at `at_s` (s), for `by` to fly it on."""
    own = [event for event in events if not isinstance(event, OF_FACES)]
    return Branched(at_s, record, fingerprint(own[: _cut(own, at_s)]), by)


def branch_of(recorded: Recorded) -> Branched | None:
    """Return where the flight of a record took another way for the last time; None if it did nowhere."""
    return next((event for event in reversed(recorded.events) if isinstance(event, Branched)), None)


def is_original(recorded: Recorded, branched: Branched) -> bool:
    """Say whether `recorded` is the flight that `branched` comes from."""
    events = [event for event in recorded.events if not isinstance(event, OF_FACES)]
    return fingerprint(events[: _cut(events, branched.t)]) == branched.before


def fingerprint(events: Iterable[Event]) -> str:
    """Return what tells these events from all others: a hash of their JSON."""
    digest = hashlib.sha256()
    for event in events:
        digest.update(json.dumps(event_data(event), sort_keys=True).encode() + b"\n")
    return digest.hexdigest()


def _moment(recorded: Recorded, at_s: float) -> int:
    """Return the moment in steps. RecordError if the flight has nothing to fly then."""
    ended = next((event.t for event in recorded.events if isinstance(event, Ended)), None)
    last = max((event.t for event in recorded.events if not isinstance(event, OF_FACES)), default=0.0)
    if not 0.0 <= at_s <= (last if ended is None else ended):
        reached = "it was over" if ended is not None else "its record stops"
        raise RecordError(f"{recorded.path}: there is no {_said(at_s)} in this flight, {reached} at "
                          f"{clock_words(last)}; name a moment from 0:00 to {clock_words(last)}")
    steps = int(at_s * STEPS_A_SECOND + 0.5)
    if ended is not None and steps / STEPS_A_SECOND >= ended:
        raise RecordError(f"{recorded.path}: the flight was over at {clock_words(ended)}, nothing is left to fly "
                          "then; name a moment before that")
    return steps


def _said(at_s: float) -> str:
    return clock_words(at_s) if 0.0 <= at_s < 1e6 else f"{at_s:g} s"


def _cut(events: Sequence[Event], t: float) -> int:
    """Return how many of `events` had happened at `t` (s), before anything was entered then."""
    return next((place for place, event in enumerate(events)
                 if event.t > t + _SLIGHT or (isinstance(event, Typed) and event.t >= t - _SLIGHT)), len(events))


def _states_before(recorded: Recorded, events: int, steps: int) -> list[tuple[int, FlightState]]:
    """Return the sound states of the first `steps`, each with how many of the flight's own `events` stand before it.

    There is none of another edition's.
    """
    if not same_edition(recorded):
        return []
    own = [0]
    for event in recorded.events:
        own.append(own[-1] + (not isinstance(event, OF_FACES)))
    found = []
    for kept in recorded.states:
        if own[kept.events] <= events:
            with suppress(ValueError):    # of an edition between, or damaged: an earlier one does
                found.append((own[kept.events], state_from(kept.data, recorded.scenario)))
    return [(before, state) for before, state in found if state.steps <= steps]


def _restored(
    recorded: Recorded, states: Sequence[tuple[int, FlightState]],
) -> tuple[Flight, list[Event], int]:
    """Return the flight at the last of `states`, the events of its start if there is none, and the events before it."""
    if not states:
        flight, begun = Flight.start(recorded.scenario, recorded.seed, recorded.by)
        return flight, begun, 0
    before, state = states[-1]
    return Flight(flying.setting_of(recorded.scenario, recorded.seed), state, recorded.by), [], before


def _of_the_air(recorded: Recorded, *, same: bool) -> str:
    if not same_edition(recorded):
        return (f"The record was flown with edition {recorded.model} of the model, this is {model()}: it was flown "
                "again from its beginning, and the air, the instruments and what ATC says may differ.")
    if not same:
        why = "another machine or another version of a library does arithmetic differently in the last bit"
        if recorded.model != model():
            why = f"it was flown with edition {recorded.model} of the model, this is {model()}"
        return f"Up to here the flight did not come out as it was recorded ({why}): the air may differ from here on."
    return ""
