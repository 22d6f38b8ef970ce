"""The room's flight: paced by the host, stopped by its polls, flown on by the room's lines or by the grade sheet.

A RoomFlight is one airplane with its record. When the room forks, there are two of them in the same air.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from drill.clean import clean_line
from drill.flight import flying
from drill.flight.events import Asked, Event, Seated, Trace, Typed
from drill.flight.flight import Flight
from drill.flight.pilots import Pilot
from drill.flight.readings import shown_of
from drill.flight.record import Recorder, read_record, resume
from drill.flight.recorder import CannotFlyOn
from drill.flight.rewind import branched_off
from drill.flight.state import FlightState, state_from
from drill.grading.beside import Beside, Way, beside
from drill.grading.exemplar import KNOWS_S, SheetPilot
from drill.grading.grade import grade
from drill.language import read
from drill.language.meaning import Action, Unclear
from drill.room.events import Entered
from drill.room.polls import RoomPoll
from drill.scenario.model import Scenario
from drill.scenario.moment import Observation
from drill.seat.teller import Line, Teller

MOST_LINES = 200
BY = "room"
BY_SHEET = "exemplar"


class RoomFlight:
    """One airplane that a room flies, its record, and what is told of it.

    `events` are all so far, `lines` the last that were told. While `by_sheet` is so, the grade sheet flies.
    """

    def __init__(self, flight: Flight, recorder: Recorder | None, events: Sequence[Event], path: Path) -> None:
        self.flight = flight
        self.path = path
        self.events = list(events)
        self.lines: list[Line] = []
        self._recorder = recorder                # None: the flight has ended, and its record is whole
        self._pilot: Pilot | None = None
        self._looked = len(self.events)          # so many events the pilot has seen
        self._teller = Teller(shown_of(flight.panel), tells_calls=True)
        self._tell(self.events)

    @classmethod
    def begin(cls, scenario: Scenario, seed: int, path: Path) -> RoomFlight:
        """Begin the flight, with its record at `path`. RecordError if that cannot be written."""
        flight, events = Flight.start(scenario, seed, by=BY)
        begun = cls(flight, _recorder(path, flight, events), events, path)
        begun._took([Seated(flight.t_s, "panel")])
        return begun

    @classmethod
    def resume(cls, path: Path) -> RoomFlight:
        """Take up a flight from its record; one that has ended is only looked at. RecordError if it cannot be."""
        try:
            flight, recorder, events = resume(path)
        except CannotFlyOn as error:
            if not error.outcome:
                raise
            recorded = read_record(path)
            state = state_from(recorded.states[-1].data, recorded.scenario)
            flight = Flight(flying.setting_of(recorded.scenario, recorded.seed), state, recorded.by)
            return cls(flight, None, recorded.events, path)
        flight.hand_to(BY)
        return cls(flight, recorder, events, path)

    @property
    def t_s(self) -> float:
        """Flight time in seconds."""
        return self.flight.t_s

    @property
    def shown(self) -> dict[str, float]:
        """What the panel shows."""
        return shown_of(self.flight.panel)

    @property
    def over(self) -> bool:
        """Whether the flight has an ending."""
        return self.flight.ended is not None

    @property
    def by_sheet(self) -> bool:
        """Whether the grade sheet flies."""
        return self._pilot is not None

    @property
    def typed(self) -> tuple[Typed, ...]:
        """What the room has given it, in order: lines, and acts of answers one by one."""
        return tuple(event for event in self.events if isinstance(event, Typed) and event.by == BY)

    def enter(self, given: Sequence[Entered]) -> str:
        """Give the flight what it has not got of `given`, all lines of the evening; return what is asked back."""
        steps = [step for each in given for step in self._steps(each)]
        asked: list[str] = []
        for step in steps[len(self.typed):]:
            if self.over:
                break
            self.flight.hand_to(BY)
            events = self._took(self.flight.enter(step) if isinstance(step, str) else self.flight.act(step))
            asked += [event.words for event in events if isinstance(event, Asked)]
        return " ".join(asked)

    def _steps(self, given: Entered) -> list[str | Action]:
        line = clean_line(given.line)
        if not given.as_read:
            return [line]
        return [each for each in read(line, self.flight.scenario.context) if not isinstance(each, Unclear)]

    def let_sheet_fly(self, known: Mapping[str, float]) -> None:
        """Let the grade sheet fly from here on, by a pilot who knows of failures what `known_by` says."""
        self._pilot = SheetPilot(self.flight, self.events, known)
        self._looked = len(self.events)

    def let_room_fly(self) -> None:
        """Let only the room's lines fly it again."""
        self._pilot = None

    def advance(self, seconds: float, stops: Callable[[], bool] = lambda: False) -> bool:
        """Let so much flight time pass, to the end of the flight at most, and stop at the first second when `stops`.

        `stops` is asked after each whole second of flight; returns whether it stopped.
        """
        left = seconds
        while left > 1e-9 and not self.over:
            step = min(left, _to_next_second(self.t_s))
            left -= step
            self._fly_by_pilot()
            events = self._took(self.flight.advance(step))
            if any(isinstance(each, Trace) for each in events) and not self.over and stops():
                return True
        return False

    def due(self, polls: Sequence[RoomPoll]) -> RoomPoll | None:
        """Return the first of `polls` whose moment has come by the last second of the flight."""
        last = next((event for event in reversed(self.events) if isinstance(event, Trace)), None)
        if last is None:
            return None
        seen = Observation(last.t, last.values, frozenset(last.facts))
        return next((each for each in polls if each.due(self.flight.state.story, seen)), None)

    def fork(self, path: Path, known: Mapping[str, float]) -> RoomFlight:
        """Return another flight from here on, in the same air, flown by the grade sheet; its record goes to `path`.

        RecordError if that cannot be written.
        """
        flight = self.flight.fork()
        flight.hand_to(BY_SHEET)
        branched = branched_off(self.path.name, self.events, self.t_s, BY_SHEET)
        events = [*self.events, branched]
        other = RoomFlight(flight, _recorder(path, flight, events, [(len(events), flight.state)]), events, path)
        other.let_sheet_fly(known)
        return other

    def close(self) -> None:
        """Close the record; the flight can be taken up again."""
        if self._recorder is not None:
            self._recorder.close()

    def _fly_by_pilot(self) -> None:
        if self._pilot is None:
            return
        heard = self.events[self._looked:]
        self._looked = len(self.events)
        self.flight.hand_to(BY_SHEET)
        for each in self._pilot.next(self.flight.panel, heard, self.t_s):
            self._took(self.flight.enter(each) if isinstance(each, str) else self.flight.act(each))

    def _took(self, events: list[Event]) -> list[Event]:
        if self._recorder is not None:
            self._recorder.write(events, self.flight)
        self.events += events
        self._tell(events)
        return events

    def _tell(self, events: Sequence[Event]) -> None:
        self.lines += self._teller.events(events)
        del self.lines[:-MOST_LINES]


def _recorder(
    path: Path, flight: Flight, events: Sequence[Event], states: Sequence[tuple[int, FlightState]] = (),
) -> Recorder:
    """Begin a record for its owner alone: what a room is told to fly is typed by somebody, and may name anybody."""
    recorder = Recorder.create(path, flight, events, states)
    with suppress(OSError):      # a file system that knows no owners
        path.chmod(0o600)
    return recorder


def _to_next_second(t_s: float) -> float:
    """Return the time (s) from `t_s` to the next whole second, in tenths."""
    return (10 - round(t_s * 10) % 10) / 10


def known_by(scenario: Scenario, seed: int, events: Sequence[Event]) -> dict[str, float]:
    """Return when (s) a careful cross-check of the flight with these `events` knows of each failure so far, by name."""
    return {story.name: story.began_s + KNOWS_S if story.evidence_s is None else story.evidence_s
            for story in reversed(grade(scenario, events, seed).failures)}


def side_by_side(
    scenario: Scenario, seed: int, room: tuple[Event, ...], sheet: tuple[Event, ...], at_s: float,
) -> Beside:
    """Return what came of two flights, by their events, that parted at `at_s` (s). It takes up to some seconds."""
    return beside(scenario, seed, (Way("The room", room), Way("The grade sheet", sheet)), at_s)
