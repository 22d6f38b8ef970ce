"""The record of a flight: write it, read it, fly on from it, fly it again."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from drill.flight import flying
from drill.flight.events import OF_FACES, Ended, Event, Paused, Typed
from drill.flight.flight import Flight
from drill.flight.labels import action_from
from drill.flight.readings import clock_words, panel_words, shown_of
from drill.flight.recorded import Recorded, fitting, read_record
from drill.flight.recorder import (
    STATE_EVERY_S,
    BeingFlown,
    CannotFlyOn,
    Recorder,
    RecordError,
    event_data,
    hold,
    model,
)
from drill.flight.state import STEPS_A_SECOND, state_from

__all__ = [
    "BeingFlown", "CannotFlyOn", "RecordError", "Recorded", "Recorder", "ReplayResult", "fitting", "model",
    "read_record", "replay", "resume",
]

_NEXT_LINE = 1 << 20    # bytes: the longest line, a full state, is far shorter

_TRIED_S = 30.0    # a state that no flight can have shows itself in the first steps, or when the act begun is done

@dataclass(frozen=True, slots=True)
class ReplayResult:
    """What came of flying a record again. `flown`: it was; otherwise `identical` is False and `words` say why not."""

    flown: bool
    identical: bool
    first_difference: str            # "" if there is none
    words: str


def _of_flight(events: Iterable[Event]) -> list[Event]:
    return [event for event in events if not isinstance(event, OF_FACES)]


def _fly_to(flight: Flight, t_s: float) -> list[Event]:
    steps = round(t_s * STEPS_A_SECOND) - flight.state.steps
    return flight.advance(steps / STEPS_A_SECOND) if steps > 0 else []


def refly(flight: Flight, recorded: Sequence[Event], until_s: float | None = None) -> list[Event]:
    """Fly `flight` through the inputs among `recorded`, each at its time, by whom it was.

    To the time of the last event, or to `until_s` (s).
    """
    flown: list[Event] = []
    for event in recorded:
        if isinstance(event, Typed):
            flown += _fly_to(flight, event.t)
            flight.hand_to(event.by)
            if event.line:
                flown += flight.enter(event.line)
            else:
                for labels in event.actions:
                    flown += flight.act(action_from(labels))
    return flown + _fly_to(flight, max((event.t for event in recorded), default=0.0) if until_s is None else until_s)


def resume(path: Path) -> tuple[Flight, Recorder, list[Event]]:
    """Return the flight at the last recorded moment, the recorder that goes on with the same file, the events so far.

    CannotFlyOn if the flight has ended or was flown with another edition of the model; BeingFlown if somebody flies
    it; another RecordError if the record is damaged.
    """
    recorded = read_record(path)
    ended = next((event for event in recorded.events if isinstance(event, Ended)), None)
    if ended is not None:
        raise CannotFlyOn(f"{path}: this flight has ended; there is a debrief of it, and it cannot be flown on",
                          ended.outcome)
    if not same_edition(recorded):
        raise _other_model(recorded)
    with fitting(path, "flown on"):
        flight, flown, before = _last_state(recorded)
        tail = _of_flight(recorded.events[before:])
        flown += refly(flight, tail)
        panel_words(shown_of(flight.panel), flight.covered)
        flight.fork().advance(_TRIED_S)
        same = _difference(tail, flown) is None
    if not same and recorded.model != model():
        raise _other_model(recorded)
    recorder = Recorder(path, _open_to_append(path, recorded.good_bytes), flight.t_s + STATE_EVERY_S, flight.t_s)
    missing = flown[len(tail):] if same else []   # else another machine's last bits: only go on from here
    try:
        recorder.write([*missing, Paused(flight.t_s, "resumed")], flight)
    except BaseException:
        recorder.close()
        raise
    return flight, recorder, [*recorded.events, *missing]


def resumable(recorded: Recorded) -> bool:
    """Say whether the flight has no ending and this edition of the model could fly it on."""
    return same_edition(recorded) and not any(isinstance(event, Ended) for event in recorded.events)


def _last_state(recorded: Recorded) -> tuple[Flight, list[Event], int]:
    """Return the flight at its last full state, the events of its start if it has none, and the events before it."""
    if recorded.states:
        kept = recorded.states[-1]
        try:
            state = state_from(kept.data, recorded.scenario)
        except ValueError as error:
            raise CannotFlyOn(f"{recorded.path}: {error}; it can be debriefed but not flown on") from None
        return Flight(flying.setting_of(recorded.scenario, recorded.seed), state, recorded.by), [], kept.events
    flight, events = Flight.start(recorded.scenario, recorded.seed, recorded.by)
    return flight, events, 0


def _open_to_append(path: Path, good_bytes: int) -> int:
    try:
        descriptor = os.open(path, os.O_RDWR | os.O_APPEND)
        try:
            hold(descriptor, path)
            gone_on = b"\n" in os.pread(descriptor, _NEXT_LINE, good_bytes)
            if not gone_on:
                os.ftruncate(descriptor, good_bytes)   # a torn last line would spoil the next one
        except BaseException:
            os.close(descriptor)
            raise
    except OSError as error:
        raise RecordError(f"{path}: {error.strerror or error}; a flight goes on in its own file") from error
    if gone_on:
        os.close(descriptor)
        raise RecordError(f"{path}: the flight has gone on since the record was read; try again")
    return descriptor


def same_edition(recorded: Recorded) -> bool:
    """Say whether the numbered editions agree; the fingerprints after them may differ by no more than a comment."""
    return recorded.model.split("-")[0] == model().split("-")[0]


def _other_model(recorded: Recorded) -> RecordError:
    return CannotFlyOn(f"{recorded.path}: flown with edition {recorded.model} of the model, this is {model()}; "
                       "it can be debriefed, but only the drill that wrote it can fly it on")


def _difference(recorded: Sequence[Event], flown: Sequence[Event]) -> int | None:
    """Return the place of the first recorded event that is not the one flown; None if there is none."""
    for place, event in enumerate(recorded):
        if place >= len(flown) or event_data(event) != event_data(flown[place]):
            return place
    return None


def replay(path: Path) -> ReplayResult:
    """Fly the record again and compare every event. RecordError or OSError if it cannot be read.

    Only the same edition of the model is flown again; on another machine the last bits of its arithmetic may differ.
    """
    recorded = read_record(path)
    if not same_edition(recorded):
        words = (f"Not flown again: the record was flown with edition {recorded.model} of the model, "
                 f"this is {model()}. What is told here is what was recorded.")
        return ReplayResult(flown=False, identical=False, first_difference="", words=words)
    with fitting(path, "flown again"):
        flight, flown = Flight.start(recorded.scenario, recorded.seed, recorded.by)
        then = _of_flight(recorded.events)
        flown += refly(flight, then)
        place = _difference(then, flown)
    if place is None:
        return ReplayResult(flown=True, identical=True, first_difference="",
                            words=f"Flown again: identical, {len(then)} events to {clock_words(flight.t_s)}.")
    there = f"{then[place].kind} at {clock_words(then[place].t)}, event {place + 1} of {len(then)}"
    why = "Another machine or another version of a library does arithmetic differently in the last bit."
    if recorded.model != model():
        why = f"It was flown with edition {recorded.model} of the model, this is {model()}."
    words = f"Flown again: not identical; the first difference is {there}. {why}"
    return ReplayResult(flown=True, identical=False, first_difference=there, words=words)
