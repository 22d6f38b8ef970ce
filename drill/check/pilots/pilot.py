"""One simulated pilot: what is noticed, what is made of it, and what is done about it, act by act.

A pilot sees no truth. When a failure happens it is drawn how long after the evidence (`evident`) this pilot stops
flying by the instrument, and how long until it is understood that something has failed; a look at what reveals it can
bring both forward. From then on the items of the grade sheet are done, or left out, in their order and at a pace. Every
number comes from the seed, the skill and what it is for, so that a pilot does not depend on who else flies.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from statistics import NormalDist
from typing import TypeAlias

import numpy as np

from drill.airplane.airframe import Airframe
from drill.airplane.arith import Quantity, Truth
from drill.check.pilots.items import answers, forbids, of_failure, reports
from drill.check.pilots.phrases import Phrases, reveals, takes_horizon
from drill.check.pilots.skills import Skill
from drill.flight.events import Acted, Assigned, Ended, Event, Failed, Healed, Heard
from drill.flight.readings import three_digits
from drill.grading.acts import action_of
from drill.grading.affected import looked_at
from drill.grading.sheet import in_order
from drill.grading.subjects import failures_named, patterns
from drill.language.meaning import Action, Altitude, Cover, Decide, FlyBy, LevelWings, Look, Track, Turn
from drill.scenario.conditions import Compare
from drill.scenario.model import Item, Scenario

GAUGES = frozenset({"suction_gauge", "vacuum_system", "ammeter", "voltmeter"})
"""What shows a failure at once, before anything leans or drifts."""
ALARM_DPS = 4.5                # a turn needle near its stop,
ALARM_LASTS_S = 6.0            # or the airspeed beyond the green arc, for so long,
ALARM_EVERY_S = 30.0           # are taken notice of once in so long
HEARS_WORDS_S = 2.8            # words a second that a controller speaks, as `flight.speaking` has it
_FIRST_S = 45.0                # routine is begun so long after the start
_STREAM = 71                   # of these draws, clear of the model's own
_FAILURES = 16                 # draws before those for a failure,
_FIXED = 64                    # before those for an item,
_EACH = 8                      # and of one item
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Sight:
    """What a pilot has before the eyes and in the ear at one second."""

    t: float
    altitude_ft: float
    airspeed_kt: float
    turn_rate_dps: float
    question: str = ""         # the controller's open one
    in_cloud: bool = True


Does: TypeAlias = Callable[[Sight], Sequence[Action]]


def alarming(frame: Airframe, airspeed_kt: Quantity, turn_rate_dps: Quantity) -> Truth:
    """Say whether the dials show an upset: a turn needle near its stop or an airspeed beyond the green arc."""
    return (abs(turn_rate_dps) >= ALARM_DPS) | (airspeed_kt > frame.cruise_most_kt)


class SimulatedPilot:
    """Flies one flight of `scenario` under `seed` with a `skill`.

    `evident_s` has for each failure how long after its onset a tireless cross-check knows of it, None for never.
    """

    def __init__(self, phrases: Phrases, skill: Skill, seed: int, evident_s: Mapping[str, float | None]) -> None:
        self.scenario: Scenario = phrases.scenario
        self.skill = skill
        self.doubted: dict[str, float] = {}      # failures whose instrument is flown by no longer, and since when
        self.known: dict[str, float] = {}        # failures that are understood, and since when
        self._phrases = phrases
        self._evident = evident_s
        self._items = list(self.scenario.grade_sheet)
        self._order = [self._items.index(item) for item in in_order(self.scenario.grade_sheet)]
        self._not_before = [(place, item.when.value) for place, item in enumerate(self._items)
                            if item.never is not None and isinstance(item.when, Compare)
                            and item.when.key == "time" and item.when.op.startswith("<")]
        rng = np.random.default_rng([seed, _STREAM, sum(map(ord, skill.name))])
        self._u = rng.random(_FIXED + _EACH * len(self._items)).tolist()
        self._looks = rng.exponential(skill.round_s, 40).tolist()
        self._answered = rng.random(60).tolist()
        self._queue: list[tuple[float, int, Does]] = []
        self._count = itertools.count()
        self._began: dict[str, float] = {}
        self._planned: dict[int, float] = {}     # items taken up, and when they are to be done; inf: left out
        self._opened: set[int] = set()
        self._free_s = 0.0
        self._covered: set[str] = set()
        self._bound = ""                         # the field that was decided on
        self._heard = 0
        self._ordered: tuple[float | None, float | None, str | None] | None = None
        self._new_orders: list[str] = []
        self._alarm_s = -ALARM_EVERY_S, -ALARM_EVERY_S       # the dials have shown an upset since, and last
        self._recovered_s = -ALARM_EVERY_S
        self._wanted = ""                        # what the last line of ATC wants
        self._begin()

    @property
    def due_s(self) -> float:
        """When there is something to do next (flight time); inf: nothing yet."""
        return self._queue[0][0] if self._queue else np.inf

    @property
    def believes(self) -> frozenset[str]:
        """The failures that this pilot acts on."""
        return frozenset(self.doubted)

    def next(self, sight: Sight, heard: Sequence[Event], opened: Collection[int] = ()) -> list[Action]:
        """Return what is done now; `heard` has happened since last asked, `opened` are items whose `when` holds now.

        `when` is asked by what the pilot believes (`believes`), not by what has failed.
        """
        t = sight.t
        for event in heard:
            self._take(event, t)
        self._opened.update(opened)
        if alarming(self.scenario.airplane.airframe, sight.airspeed_kt, sight.turn_rate_dps):
            self._alarmed(t)
        self._take_up(t)
        done: list[Action] = []
        while self._queue and self._queue[0][0] <= t:
            _, _, does = heapq.heappop(self._queue)
            done += does(sight)
            self._take_up(t)
        return done

    # What happens

    def _take(self, event: Event, t: float) -> None:
        match event:
            case Failed(failure=name, t=at):
                self._began[name] = at
                off = self._evident.get(name)
                if off is not None and name not in self.doubted:
                    place = 3 * self._place(name)
                    doubts = at + off + self._time(self.skill.doubts_s, _FAILURES + place)
                    knows = max(doubts, at + off + self._time(self.skill.knows_s, _FAILURES + place + 1))
                    self._at(doubts, partial(self._doubts, name))
                    self._at(knows, partial(self._knows, name))
            case Healed(failure=name):
                self._began.pop(name, None)
            case Heard(to_us=True) if event.wants not in ("", "given") or self._new_orders:
                self._heard += 1
                self._wanted = event.words
                if self._answered[self._heard % 60] < self.skill.answers:
                    wait = len(event.words.split()) / HEARS_WORDS_S + self._time(self.skill.answers_s, 3)
                    self._at(t + wait, self._answer)
            case Assigned():
                self._assigned(event, t)
            case Acted(refused=False):
                self._did(action_of(event.act, event.meaning), t)
            case Ended():
                self._queue.clear()
            case _:
                pass

    def _assigned(self, event: Assigned, t: float) -> None:
        now = (event.heading_deg, event.altitude_ft, event.approach)
        was, self._ordered = self._ordered, now
        if was is None or t <= 0.0:
            return
        wait = 5.0 + self._time(self.skill.answers_s, 4)
        if now[0] is not None and now[0] != was[0]:
            self._new_orders.append(f"heading {three_digits(now[0])}")
            self._at(t + wait, _just(Turn("shortest", heading_deg=round(now[0]))))
        if now[1] is not None and now[1] != was[1]:
            self._new_orders.append(f"{now[1]:.0f} feet")
            self._at(t + wait + 2.0, partial(_level, round(now[1])))
        if now[2] is not None and now[2] != was[2] and self.scenario.course is not None:
            self._at(t + wait + 4.0, _just(Track()))

    def _did(self, action: Action | None, t: float) -> None:
        match action:
            case Cover(what=what):
                self._covered.add(what)
            case Decide(where=where) if where:
                self._bound = where
            case _:
                pass
        seen = looked_at(action) if action is not None else frozenset()
        if not seen:
            return
        for name, began in self._began.items():
            plan, off = self._phrases.plans[name], self._evident.get(name)
            shows = reveals(plan) & seen
            evident = shows & GAUGES or (off is not None and t >= began + off) or off is None
            place = _FAILURES + 3 * self._place(name) + 2
            if shows and evident and name not in self.known and self._u[place] < self.skill.sees:
                self._at(t + 2.0, partial(self._doubts, name))
                self._at(t + self._time(8.0, 5), partial(self._knows, name))

    # What comes of it

    def _begin(self) -> None:
        if self._u[0] < self.skill.rounds:
            self._round(self._looks[0], 1)
        self._opened.update(place for place, item in enumerate(self._items) if item.when is None)

    def _round(self, t: float, number: int) -> None:
        def looks(sight: Sight) -> Sequence[Action]:
            self._round(sight.t + 10.0 + self._looks[number % 40], number + 1)
            return [Look("panel")]

        self._at(t, looks)

    def _doubts(self, name: str, sight: Sight) -> Sequence[Action]:
        if name in self._began:
            first = name not in self.doubted
            self.doubted.setdefault(name, sight.t)
            if first and self._u[1] < self.skill.returns and takes_horizon(self._phrases.plans[name]):
                self._at(sight.t + self._time(60.0, 6), self._returns)
        return ()

    def _knows(self, name: str, sight: Sight) -> Sequence[Action]:
        if name in self._began:
            self.doubted.setdefault(name, sight.t)
            self.known.setdefault(name, sight.t)
        return ()

    def _returns(self, sight: Sight) -> Sequence[Action]:
        """Go back to the horizon by habit, for a while, where it is still in sight and not yet understood."""
        if self.known or "attitude_indicator" in self._covered:
            return ()
        self._at(sight.t + self._time(45.0, 7), _just(FlyBy("partial_panel")))
        return [FlyBy("full_panel")]

    def _alarmed(self, t: float) -> None:
        """Take notice of an upset that has lasted some seconds: a turn's beginning and a gust are none."""
        first, last = self._alarm_s
        first = first if t - last <= 1.0 else t
        self._alarm_s = first, t
        if t - first >= ALARM_LASTS_S and t - self._recovered_s >= ALARM_EVERY_S:
            self._recovered_s = t
            self._at(t + self._time(self.skill.recovers_s, 11), self._recover)

    def _recover(self, sight: Sight) -> Sequence[Action]:
        horizon = [name for name in self._began if takes_horizon(self._phrases.plans[name])]
        for name in horizon:
            if self._u[2] < self.skill.sees:
                self.doubted.setdefault(name, sight.t)
        by_needle = any(name in self.doubted for name in horizon)
        self._at(sight.t + 25.0, self._resume)
        return [*([FlyBy("partial_panel")] if by_needle else []), LevelWings()]

    def _resume(self, sight: Sight) -> Sequence[Action]:
        """Go back to the heading and altitude that are assigned."""
        heading, feet = (None, None) if self._ordered is None else self._ordered[:2]
        return [*([] if heading is None or self._bound else [Turn("shortest", heading_deg=round(heading))]),
                *([] if feet is None else _level(round(feet), sight))]

    def _take_up(self, t: float) -> None:
        """Take up what can be done by now: each item once, in the order of the sheet."""
        ready = [place for place in self._order if place not in self._planned and self._ready(place)]
        if not ready:
            return
        if self._u[8] < self.skill.talks_first:
            ready.sort(key=lambda place: self._items[place].part != "communicate")
        for place in ready:
            item, own = self._items[place], _FIXED + _EACH * place
            routine = item.when is None and not of_failure(item)
            if item.never is not None:
                self._planned[place] = t
                if self._u[own] < self.skill.slips:
                    self._at(t + 20.0 + self._time(90.0, own + 1), _just(*self._phrases.forbidden(item)))
                continue
            chance = self.skill.calls if reports(item) else self.skill.does[item.weight]
            if self._u[own] >= chance:
                self._planned[place] = np.inf
                continue
            wait = self._time(self.skill.pace_s, own + 1)
            start = max(t, self._free_s)
            if routine:
                within = item.within.seconds if item.within is not None and item.within.of == "start" else 240.0
                start, wait = max(start, _FIRST_S), max(0.0, self._time(0.3 * within, own + 2) - start)
                wait = min(wait, within) + self._time(self.skill.pace_s, own + 1) if wait else wait
            at = start + wait
            if not routine or item.after is not None:
                self._free_s = at
            self._planned[place] = at
            self._at(at, partial(self._do, place))

    def _ready(self, place: int) -> bool:
        item = self._items[place]
        if (item.do is None and item.never is None) or answers(item) or place not in self._opened:
            return False
        if item.never is not None:
            return item.when is None or bool(self.doubted) or not of_failure(item)
        if not of_failure(item):
            return True
        wanted = set(failures_named(item.when)) if item.when is not None else set()
        talks = self._u[8] < self.skill.talks_first and reports(item)
        stage = self.doubted if item.part == "aviate" or talks else self.known
        return bool(set(stage) & wanted) if wanted else bool(stage)

    def _do(self, place: int, sight: Sight) -> Sequence[Action]:
        """Do an item; what the sheet forbids for a time is left until then by those who keep to that."""
        actions = self._acts_of(place)
        until_s = max((until for never, until in self._not_before if self._u[_FIXED + _EACH * never] < self.skill.does[
            self._items[never].weight] and forbids(self._items[never], actions)), default=0.0)
        if until_s > sight.t:
            self._at(until_s + self._time(self.skill.pace_s, 12), _just(*actions))
            return ()
        return actions

    def _acts_of(self, place: int) -> Sequence[Action]:
        item, own = self._items[place], _FIXED + _EACH * place
        failure = self._failure_of(item)
        if failure is None:
            return self._phrases.of_item(item)
        whole = self._u[9] < self.skill.names
        verbs = {pattern.verb for pattern in patterns(item.do)}
        if reports(item):
            left_out = [need for number, need in enumerate(("callsign", "equipment", "impairment", "assistance"))
                        if self._u[own + 3 + number] < self.skill.leaves_out.get(need, 0.0)]
            if whole and not left_out:
                return self._phrases.of_item(item)
            return self._phrases.report(failure, self._phrases.names(failure, whole=whole)[0], left_out)
        if verbs == {"diagnose"} and not whole:
            return self._phrases.diagnosis(self._phrases.names(failure, whole=False))
        return self._phrases.of_item(item)

    def _failure_of(self, item: Item) -> str | None:
        """Return the failure that an item is done about: one that it names and the pilot knows of, else any."""
        wanted = set(failures_named(item.when)) if item.when is not None else set()
        believed = [*self.known, *self.doubted]
        return next((name for name in believed if name in wanted), next(iter(believed), None))

    def _answer(self, sight: Sight) -> Sequence[Action]:
        """Return the answer to the last line of ATC: the sheet's first, else a read-back or what was asked."""
        orders, self._new_orders = self._new_orders, []
        for place in self._order:
            item = self._items[place]
            if answers(item) and place not in self._planned and place in self._opened and not orders:
                self._planned[place] = sight.t
                return self._phrases.of_item(item)
        if sight.question == "intentions" and not orders:
            waits = any(sight.t < at < np.inf for place, at in self._planned.items()
                        if self._items[place].part == "decide")
            return self._phrases.call(f"standby, {self.scenario.callsign}") if waits else (
                self._phrases.intentions(self._bound))
        said = {"emergency": "affirmative" if self.skill.does["critical"] > self._u[10] else "negative",
                "conditions": "IMC" if sight.in_cloud else "VMC",
                "fuel": f"{self.scenario.start.fuel_min - sight.t / 60.0:.0f} minutes of fuel",
                "people": f"{self.scenario.start.on_board} on board", "control": "affirmative, on partial panel",
                "no_gyro": "negative", "nature": "standby"}.get(sight.question, "")
        wanted, self._wanted = self._wanted, ""
        if not said and not orders:
            said = "loud and clear" if "hear me" in wanted else "roger" if wanted or sight.question else ""
            if "verify heading" in wanted or "verify altitude" in wanted:
                self._at(sight.t + 3.0, self._resume)
        words = [*orders, *([said] if said else [])]
        return self._phrases.call(f"{', '.join(words)}, {self.scenario.callsign}") if words else ()

    # Numbers

    def _place(self, failure: str) -> int:
        return list(self._phrases.plans).index(failure) % 16

    def _time(self, median_s: float, place: int) -> float:
        u = min(max(self._u[place % len(self._u)], 1e-6), 1.0 - 1e-6)
        return median_s * float(np.exp(self.skill.spread * _NORMAL.inv_cdf(u)))

    def _at(self, t: float, does: Does) -> None:
        heapq.heappush(self._queue, (t, next(self._count), does))


def _just(*actions: Action) -> Does:
    """Return what does these acts, whatever there is to be seen."""
    def does(_: Sight) -> Sequence[Action]:
        return actions

    return does


def _level(feet: int, sight: Sight) -> Sequence[Action]:
    return [Altitude(to_ft=feet, direction="climb" if feet > sight.altitude_ft else "descend")]
