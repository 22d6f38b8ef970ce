"""What a tireless cross-check of a record knew: three clocks for each failure, from what was shown alone."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import FLOATS
from drill.airplane.controls import Controls
from drill.airplane.draws import Draws
from drill.airplane.failures import CATALOGUE, Active, faults_at
from drill.airplane.faults import Faults
from drill.airplane.fleet import fly
from drill.airplane.model import Start, begin, read, truths
from drill.airplane.world import World
from drill.evidence import keeping
from drill.evidence import statistics as making
from drill.flight.events import Event, Failed, Heard, Trace
from drill.grading import grade
from drill.grading.cross_check import CrossCheck, cross_check
from drill.grading.evidence import NO_STATISTICS, Clocks, clocks
from drill.grading.telling import failure_words
from drill.grading.timeline import Timeline, timeline
from drill.language.meaning import Action, Align, Transmit

from .builders import FULL_CALL, flown, scenario

ONSET = 200.0


@lru_cache(maxsize=8)
def traces(part: str, how: str, seconds: int = 700, turbulence: str = "light") -> tuple[Trace, ...]:
    """The traces of a flight, second by second: level, from 60 s after the failure in a turn to the right and back."""
    world, draws = World(Airframe(), Air(turbulence=turbulence), FLOATS), Draws(11)
    state = begin(world, Start(), draws)
    found = []
    for second in range(seconds):
        t = second - ONSET
        controls = Controls(heading_deg=90.0 if 60.0 <= t < 180.0 else 0.0)
        faults = faults_at([Active(CATALOGUE[part, how], t)]) if t >= 0.0 and part else Faults()
        state = fly(world, state, controls, faults, draws, 10)
        panel, true = read(world, state, controls, faults, draws), truths(world, state, controls)
        found.append(Trace(
            t=second + 1.0, shown={each.name: float(getattr(panel, each.name)) for each in fields(panel)},
            true={each.name: float(getattr(true, each.name)) for each in fields(true)}, values={}, facts=(),
            controls={each.name: float(getattr(controls, each.name)) for each in fields(controls)}, covered=(),
            reference="full_panel", busy="", phase="cruise"))
    return tuple(found)


def record(part: str, how: str, *others: Event, change: Callable[[Trace], Trace] | None = None,
           **flight: Any) -> Timeline:
    seen = traces(part, how, **flight)
    return timeline([*([Failed(ONSET, "it", part, how)] if part else []), *others,
                     *(seen if change is None else map(change, seen))])


def known(line: Timeline) -> Clocks:
    return clocks(line, line.onsets[0], cross_check(line, Airframe(), 1))


def test_each_clock_tells_by_what_and_none_comes_before_the_failure() -> None:
    found = known(record("vacuum pump", "shaft shears"))
    assert found.found is not None
    assert found.instrument is not None
    assert found.system is not None
    assert ONSET < found.found.t <= found.instrument.t <= found.system.t < ONSET + 60.0
    assert "suction gauge" in found.system.words


def test_without_its_gauge_a_dead_pump_is_a_bad_horizon_first() -> None:
    def hidden(trace: Trace) -> Trace:
        return replace(trace, covered=("suction_gauge",))
    found = known(record("vacuum pump", "shaft shears", change=hidden, seconds=900))
    assert found.alarm is not None
    assert found.instrument is not None
    assert found.alarm.t > ONSET + 60.0
    assert "attitude indicator" in found.instrument.words
    assert found.system is None or found.system.t >= found.instrument.t


@pytest.mark.parametrize(("part", "how", "words"), [
    ("attitude indicator", "leans", "attitude indicator"), ("heading indicator", "seizes", "heading indicator"),
    ("magnetic compass", "is off", "compass"), ("engine", "loses power", "tachometer"),
    ("turn coordinator", "shows a turn that is not there", "turn coordinator"),
])
def test_an_instrument_that_lies_is_named_by_the_comparison_that_shows_it(part: str, how: str, words: str) -> None:
    found = known(record(part, how))
    assert found.system is not None
    assert words in found.system.words
    assert "did not agree" in found.system.words


def test_an_altimeter_that_sticks_is_noticed_and_the_debrief_says_that_nothing_could_name_it() -> None:
    # its one comparison is the vertical speed indicator's too
    stuck = Failed(ONSET, "it", "altimeter", "sticks and jumps")
    (story,) = grade(scenario(()), [stuck, *traces("altimeter", "sticks and jumps")], 1).failures
    assert story.alarm_s is not None
    assert ONSET < story.alarm_s < ONSET + 60.0
    assert (story.instrument_s, story.system_s) == (None, None)
    assert ("the vertical speed indicator and the altimeter did not agree. Which instrument was wrong no comparison of "
            "this panel could tell while it lasted.") in failure_words(story)
    assert "no comparison" not in failure_words(replace(story, alarm_s=None))
    assert "no comparison" not in failure_words(replace(story, system_s=300.0, system="its hands stood still"))


def test_a_healthy_flight_has_no_alarm() -> None:
    check = cross_check(record("", ""), Airframe(), 1)
    assert check is not None
    assert not check.over.any()
    assert not check.direct.any()


def test_a_latent_failure_has_no_clock() -> None:
    assert known(record("suction gauge", "sticks")) == Clocks(None)


def test_an_alarm_that_stood_before_the_failure_is_not_the_failures() -> None:
    line = record("vertical speed indicator", "is off zero")   # it moves one comparison, and so no second alarm rises
    check = cross_check(line, Airframe(), 1)
    assert check is not None
    first = check.alarm(line.onsets[0])
    assert first is not None
    later = check.alarm(replace(line.onsets[0], t=first.t + 5.0))
    assert later is None or later.t > first.t + 60.0


@pytest.mark.parametrize("later_s", range(0, 160, 4))
def test_what_failed_is_never_named_before_it_could_be_known(later_s: int) -> None:
    # the tube closes from ONSET on; its failure is said to have begun later, at any moment of what it shows already
    line = record("pitot tube", "closes little by little")
    found = clocks(line, replace(line.onsets[0], t=ONSET + later_s), cross_check(line, Airframe(), 1))
    for named in (found.instrument, found.system):
        assert named is None or (found.found is not None and found.found.t <= named.t)


def test_a_heading_indicator_that_is_set_with_its_knob_has_not_failed() -> None:
    def knob(trace: Trace) -> Trace:
        turned = (trace.shown["heading_deg"] + (25.0 if trace.t < 300.0 else 0.0)) % 360.0
        return replace(trace, shown=trace.shown | {"heading_deg": turned})
    acts: list[tuple[float, Action]] = [(300.0, Align("heading_indicator", "magnetic_compass"))]
    deeds = [each for each in flown(*acts, fails_at=None, seconds=1, ending=None) if not isinstance(each, Trace)]
    line = record("", "", *deeds, change=knob)
    assert line.deeds
    check = cross_check(line, Airframe(), 1)
    assert check is not None
    assert not check.over[310:].any()


def test_atc_asking_to_verify_the_heading_is_evidence_of_a_bad_one() -> None:
    asked = Heard(260.0, "Orrinfell Approach", "Larkspur 5304W, verify heading, you are assigned zero zero zero.")
    line = record("heading indicator", "drifts", asked, seconds=300)
    found = known(line)
    assert found.found is not None
    assert found.found.t == 260.0
    assert "ATC asked" in found.found.words
    other = record("engine", "loses power", replace(asked, t=200.5), seconds=300)
    elsewhere = known(other).found
    assert elsewhere is not None
    assert "ATC" not in elsewhere.words


def test_a_call_that_nobody_answers_is_evidence_of_a_dead_transmitter() -> None:
    call = next(each for each in flown((250.0, Transmit("hello", FULL_CALL)), fails_at=None, seconds=1, ending=None)
                if not isinstance(each, Trace) and each.kind == "acted")
    silent = record("transmitter", "goes dead", replace(call, heard=False), seconds=300)
    answered = record("transmitter", "goes dead", call, seconds=300)
    found = known(silent).found
    assert found is not None
    assert 250.0 < found.t <= 270.0
    assert known(answered).found is None


def test_a_debrief_without_statistics_says_so_and_goes_by_the_direct_signs(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a debrief flies nothing")
    monkeypatch.setattr(making, "build", never)
    monkeypatch.setattr(making, "panels", never)
    own = scenario(())
    other = replace(own, airplane=replace(own.airplane, airframe=Airframe(mass_kg=1234.5)))
    assert keeping.known(other.airplane.airframe) is None
    given = grade(other, flown(fails_at=120.0), 1)
    assert NO_STATISTICS in given.cautions
    story = given.failures[0]
    assert story.evidence_s is not None
    assert "suction gauge" in story.evidence
    assert story.system_s is None
    assert NO_STATISTICS not in grade(own, flown(fails_at=120.0), 1).cautions
    assert NO_STATISTICS not in grade(other, flown(fails_at=None), 1).cautions


@pytest.mark.parametrize("broken", [float("nan"), float("inf"), 1e300, -1e300])
def test_whatever_a_strangers_record_shows_the_clock_gives_an_answer(broken: float) -> None:
    def spoilt(trace: Trace) -> Trace:
        return replace(trace, shown=dict.fromkeys(trace.shown, broken)) if 100.0 < trace.t < 400.0 else trace
    for part, how in (("attitude indicator", "leans"), ("vacuum pump", "shaft shears")):
        line = record(part, how, change=spoilt)
        assert isinstance(known(line), Clocks)


def test_a_record_with_holes_or_cut_short_gives_an_answer() -> None:
    whole = traces("attitude indicator", "leans")
    failed = Failed(ONSET, "it", "attitude indicator", "leans")
    for part in (whole[:1], whole[:40], whole[::7], whole[:230] + whole[400:], ()):
        line = timeline([failed, *part])
        check = cross_check(line, Airframe(), 1)
        assert check is None or isinstance(check, CrossCheck)
        assert isinstance(clocks(line, line.onsets[0], check), Clocks)


@pytest.mark.long
def test_half_an_hour_is_cross_checked_in_a_fraction_of_a_second() -> None:
    line = record("attitude indicator", "leans", seconds=1800)
    cross_check(line, Airframe(), 1)
    began = time.process_time()
    check = cross_check(line, Airframe(), 1)
    assert time.process_time() - began < 0.7
    assert check is not None
    assert np.shape(check.over)[0] == 1800
