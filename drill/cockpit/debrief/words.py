"""A debrief, and the flight's moments, lanes and plots, put into pieces for a screen. Pure.

The sentences are those of `drill.grading.telling`, which every face tells. Whoever loads this loads grading as well:
it is meant for the process that grades.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict

from drill.airplane.airframe import Airframe
from drill.cockpit.debrief.pieces import Call, Entry, Plot, Told
from drill.cockpit.debrief.timeline import FILLS, MARKS, Lane, Moment, clock
from drill.flight.events import Event, Trace
from drill.flight.readings import absent, panel_words
from drill.grading import telling
from drill.grading.debrief import CallHeard, Debrief
from drill.grading.lanes import Lane as LaneThen
from drill.grading.moments import Moment as MomentThen
from drill.grading.plotted import plotted
from drill.grading.published_words import NOTE, published_lines
from drill.grading.reconstruction import reconstruct, trace_at, traces_of
from drill.grading.segments import segments, without_words
from drill.grading.series import Series
from drill.grading.series_words import series_words
from drill.seat.wording import in_rows


def told(debrief: Debrief, events: Sequence[Event] = (), airframe: Airframe | None = None) -> Told:
    """Return `debrief` in pieces; with the record's `events` its calls, acts and panels are told too."""
    traces = traces_of(events)
    then = reconstruct(debrief, events)
    scales = published_lines(debrief)
    without = frozenset() if airframe is None else absent(airframe)
    return Told(
        title=debrief.title, board_title=debrief.board_title,
        flight=telling.flight_words(debrief) + _branched(events), aim=debrief.aim,
        outcome="cut off" if debrief.ending is None else debrief.ending.outcome, ending=telling.ending_words(debrief),
        complete=debrief.complete, score=debrief.score, score_words=telling.score_words(debrief),
        parts=tuple((telling.PART_SHORT[part], score) for part, score in telling.parts(debrief)),
        unsafe=_entries(telling.unsafe(debrief)),
        failed=tuple(Entry(f"{clock(story.began_s)} {story.part}", telling.failure_words(story))
                     for story in debrief.failures),
        nothing_failed=telling.nothing_failed(debrief), work=_entries(telling.work(debrief)),
        well=_entries(telling.well(debrief)), not_needed=_entries(telling.not_needed(debrief)),
        strayed=tuple(telling.strayed(debrief)), strayed_note=telling.STRAYED,
        questions=debrief.questions, answers=debrief.answers, discuss=debrief.discuss, cautions=debrief.cautions,
        length_s=debrief.flown_s, moments=tuple(_moment(each, traces, without) for each in then.moments),
        lanes=tuple(_lane(each) for each in then.lanes), plots=tuple(_plot(each) for each in then.series),
        calls=tuple(_call(each) for each in debrief.calls),
        published=(NOTE, *scales) if scales else (),
        airframe={} if airframe is None else asdict(airframe),
    )


def _branched(events: Sequence[Event]) -> str:
    """Return that the flight branched from another, and where."""
    last = next((event for event in reversed(events) if event.kind == "branched"), None)
    return "" if last is None else (
        f" Flown again from {clock(last.t)} of {last.record}; F7 sets the flights side by side. {last.words}").rstrip()


def _entries(told: Iterator[telling.Entry]) -> tuple[Entry, ...]:
    return tuple(Entry(heading, words) for heading, words in told)


def _moment(moment: MomentThen, traces: Sequence[Trace], without: frozenset[str]) -> Moment:
    """Return `moment` for the screen, with the panel as the record's trace has it.

    `without` are the instruments that the airplane does not have.
    """
    trace = None if moment.t is None else trace_at(traces, moment.t)
    if trace is None:
        return Moment(moment.t, MARKS[moment.kind], moment.title, moment.details)
    panel = _panel_words(trace, without)
    details = (*moment.details, ("The whole panel then", in_rows(panel))) if panel else moment.details
    return Moment(moment.t, MARKS[moment.kind], moment.title, details, dict(trace.shown), trace.covered)


def _panel_words(trace: Trace, without: frozenset[str]) -> str:
    try:
        return panel_words(trace.shown, trace.covered, without)
    except KeyError:    # a flight's own trace is whole; only one that was made up for something else is not
        return ""


def _plot(series: Series) -> Plot:
    lies = plotted(series)
    return Plot(series.name, series.shown.unit, series.true.unit, series.t, lies.shown, lies.true, lies.scale,
                lies.true_scale, lies.ticks, lies.jump if math.isfinite(lies.jump) else None, series.covered,
                series.band, series_words(series))


def _call(call: CallHeard) -> Call:
    return Call(clock(call.at_s), tuple((each.words, each.state, "; ".join(each.labels)) for each in segments(call)),
                without_words(call), call.not_heard)


def _lane(lane: LaneThen) -> Lane:
    return Lane(lane.name, tuple((each.t, MARKS[each.kind]) for each in lane.marks),
                tuple((each.begin, each.end, FILLS[each.kind]) for each in lane.stretches))
