"""When a controller has nothing to say to a flight, and what would have him look up: his clock, or what radar shows.

A step of `flight.controller.step` that changed nothing but what radar shows will change nothing in the next second
either, unless one of the times that he counts has come or radar shows what he watches for. While neither is so the
step is left out, and only radar goes on (`RadarWatch`). Whoever is being led, talked to, or asked for is never left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from operator import attrgetter
from typing import Any

import numpy as np

from drill.airplane.arith import ARRAYS, wrap_deg
from drill.check.pilots.columns import cut
from drill.check.pilots.radar import COUNTED, RadarWatch
from drill.flight import astray, repeating, silence, stages, steering, vectoring, watching
from drill.flight.controller_state import ControllerState, in_trouble
from drill.flight.descent import FARTHEST_NM
from drill.flight.phraseology import field_of
from drill.flight.served import by_eye, is_radar
from drill.flight.sighting import ASKED_NM
from drill.flight.watching import HEADING_OFF_S
from drill.flight.weather import field_position
from drill.scenario.model import Field, Scenario

_CLEAR_NM = FARTHEST_NM + 2.0      # farther from where help leads to, nothing is begun for an arrival
_ROUND_DEG = 100.0                 # a turn so far round, by an airplane in trouble, is looked at
_THERE_DEG = 10.0                  # as `flight.silence` has it
_CODES = frozenset({"7700", silence.RADIO_CODE})
_TOLD = attrgetter(*(each.name for each in fields(ControllerState) if each.name not in {"now_s", "seen", *COUNTED}))


def unchanged(was: ControllerState, now: ControllerState) -> bool:
    """Say whether a step changed nothing but what radar shows."""
    return bool(_TOLD(was) == _TOLD(now))


def may_rest(scenario: Scenario, state: ControllerState, code: str) -> bool:
    """Say whether nothing is under way between this controller and the flight, that he would have to go on with."""
    field = field_of(scenario, state.place)
    eye = field is not None and by_eye(state, field)
    waits = (state.lines or state.received or state.turns is not None or state.leg or state.strayed
             or (state.vectored and not eye) or state.tried == "turn" or state.wordless
             or state.outbound_deg is not None or (state.slip is not None and state.slip.what == "side")
             or (state.more_at_s is not None and watching.turns_in_trouble(state)))   # he waits for it to end
    searched = state.unanswered_since_s is not None or state.nudges or state.asked_heard != len(state.asked)
    flies_it = state.turned_from_deg is not None or state.now_s - state.assigned_s <= silence._LATELY_S
    if waits or (searched and flies_it) or code in _CODES:   # by what is flown he sees who hears him
        return False
    if state.approach is not None:
        return not (is_radar(state.approach) or state.in_sight or state.miles_called or state.landing) and (
            _cleared_at(scenario, state) is not None)
    return field is None or not (state.sight_asked or (state.heading_deg is not None and not eye))


def _cleared_at(scenario: Scenario, state: ControllerState) -> Field | None:
    """Return the only field that has the approach for which an airplane is cleared; None if it is not the only one."""
    approach = (state.approach or "").casefold()
    having = [field for field in scenario.fields
              if field.name.casefold() in approach or any(each.casefold() == approach for each in field.approaches)]
    return having[0] if len(having) == 1 else None


def wakes_s(state: ControllerState, t_s: float) -> float:
    """Return the next time (s) that this controller counts on, after `t_s`."""
    return min((each for each in _times(state) if each > t_s), default=np.inf)


def _times(state: ControllerState) -> Iterator[float]:
    talked = max(state.addressed_s, state.heard_s)
    for wait in (watching.LEISURE_S, watching.LEFT_S, watching.SILENCE_S, watching.MISSED_SILENCE_S,
                 watching.SUSPENDED_S, 3 * watching.SUSPENDED_S, astray._QUIET_S):
        yield talked + wait
    asked = max(talked, state.question_s)
    for wait in (repeating._SILENT_S, repeating._PRESSING_S, repeating._OTHERS_S):
        yield asked + wait
    yield state.question_s + stages.LEFT_OPEN_S
    yield state.question_s + astray.OPEN_S
    yield state.addressed_s + silence._BUSY_S
    yield state.missed_s + repeating._MISSED_S
    yield state.missed_s + watching.MISSED_S
    yield state.quiet_until_s
    yield state.frequency_free_s
    yield state.assigned_s + watching.GRACE_S
    yield state.assigned_s + silence._LATELY_S
    yield state.assigned_s + steering._TAKEN_UP_S
    yield state.noticed_s + watching.NOTICE_EVERY_S
    yield state.heading_noticed_s + watching.NOTICE_EVERY_S
    if state.more_at_s is not None:
        yield state.more_at_s
    next_try_s = silence.next_try_s(state)
    if next_try_s is not None:
        yield next_try_s
    if state.direct_off_since_s is not None:
        yield state.direct_off_since_s + astray._AFTER_S
        yield state.direct_off_since_s + astray._EVERY_S
    if state.seen.wild_at_s is not None:
        yield state.seen.wild_at_s + stages.STILL_WILD_S


class Resting:
    """Which of N controllers rest, until when, and what of the radar would end it; arrays of shape (N,)."""

    def __init__(self, scenario: Scenario, count: int) -> None:
        self._scenario = scenario
        self._until_s = np.zeros(count)                      # rests before this time; 0: does not
        self._trouble = np.zeros(count, dtype=bool)
        self._altitude_due_s = np.full(count, np.inf)        # from when an altitude that is not kept is asked about
        self._heading_due_s = np.full(count, np.inf)
        self._turns_from = np.zeros(count, dtype=bool)       # has been given a heading, and is not on it yet
        self._place_nm = np.full((2, count), np.nan)         # north and east of where help leads to
        self._near_nm = np.zeros(count)                      # so near to it something is begun for an arrival
        self._direct = np.zeros(count, dtype=bool)           # is cleared straight there,
        self._astray = np.zeros(count, dtype=bool)           # and flies another way
        self._led_s = np.full((2, count), np.inf)            # from when a heading that leads there is changed, or given
                                                             # again where it is not flown
    def keep(self, where: Any) -> None:
        """Go on with the flights at the places `where` alone."""
        cut(self, where, len(self._until_s))

    def wake(self, which: int) -> None:
        """Let the controller of flight `which` look in the next second."""
        self._until_s[which] = 0.0

    def rest(self, which: int, state: ControllerState, t_s: float, watch: RadarWatch) -> None:
        """Let the controller of flight `which` rest from `t_s` on."""
        self._until_s[which] = wakes_s(state, t_s)
        self._trouble[which] = in_trouble(state)
        silent_s = max(state.assigned_s + watching.GRACE_S, state.quiet_until_s)
        over = state.notices >= watching.MOST_NOTICES or state.seen.wild_at_s is not None
        self._altitude_due_s[which] = np.inf if over else max(silent_s, state.noticed_s + watching.NOTICE_EVERY_S)
        self._heading_due_s[which] = np.inf if over else max(
            silent_s, state.heading_noticed_s + watching.NOTICE_EVERY_S)
        self._turns_from[which] = state.turned_from_deg is not None
        field = field_of(self._scenario, state.place)
        if state.approach is not None:
            field = _cleared_at(self._scenario, state)
        cleared = field is not None and state.approach is not None
        watch.approach_nm[:, which] = field_position(field) if field is not None and cleared else (np.nan, np.nan)
        self._place_nm[:, which] = (np.nan, np.nan) if field is None else field_position(field)
        near = state.approach is not None or (field is not None and by_eye(state, field))
        self._near_nm[which] = ASKED_NM[0] + 0.5 if near else _CLEAR_NM
        led_s = max(state.vector_s, state.assigned_s)
        self._led_s[:, which] = (led_s + vectoring._LANDS_S, max(led_s, state.heard_s) + vectoring._NOT_FLOWN_S) if (
            state.vectored) else (np.inf, np.inf)
        free = state.holding or state.aside or state.in_sight or state.ifr_cancelled
        led = state.vectored or state.heading_deg is not None or state.approach is not None
        self._direct[which] = field is not None and not (free or led)
        self._astray[which] = state.direct_off_since_s is not None

    def looks(self, t_s: float, watch: RadarWatch) -> Any:
        """Return which controllers look up at `t_s`: those that do not rest, and those whose rest is over."""
        now = watch.now
        leaves = (t_s - now["altitude_off_since_s"] >= watching.ALTITUDE_OFF_S) & (t_s >= self._altitude_due_s)
        strays = (t_s - now["heading_off_since_s"] >= HEADING_OFF_S) & (t_s >= self._heading_due_s)
        wild = ~np.isnan(now["wild_since_s"]) & np.isnan(now["wild_at_s"])
        new_wild = now["wild_at_s"] == t_s
        down = self._trouble & (~np.isnan(now["rapid_since_s"]) | (abs(now["turned_deg"]) >= _ROUND_DEG))
        there = self._turns_from & (abs(wrap_deg(ARRAYS, watch.heading_deg - now["track_deg"])) <= _THERE_DEG)
        aloft = ~np.isnan(now["low_since_s"]) | leaves | strays | down | self._arrives(t_s, watch)
        return (self._until_s <= t_s) | wild | new_wild | there | (aloft & ~watch.on_ground)

    def _arrives(self, t_s: float, watch: RadarWatch) -> Any:
        """Say who comes near to where help leads to, or flies another way."""
        now = watch.now
        north, east = self._place_nm - np.stack([now["north_nm"], now["east_nm"]])
        near = np.hypot(north, east) < self._near_nm
        off = abs(wrap_deg(ARRAYS, np.degrees(np.arctan2(east, north)) - now["track_deg"]))
        steady = abs(now["turning_dps"]) <= steering.STEADY_DPS
        beside = abs(watch.beside_deg) > steering.HEADING_OFF_DEG
        straight_s, flown_s = self._led_s
        led = steady & (((t_s >= straight_s) & (off >= vectoring._STRAIGHT_DEG)) | ((t_s >= flown_s) & beside))
        another = (off > astray._OFF_DEG) & steady
        return near | (self._direct & (another != self._astray)) | led
