"""The results of an evening: decisions against the grade sheet, how the room came to know, what it takes home. Pure."""

from __future__ import annotations

from drill.flight.readings import clock_words as clock
from drill.grading.debrief import Debrief
from drill.grading.telling import ending_words
from drill.room.asked import asked_in
from drill.room.evening import Evening
from drill.room.on_sheet import decisions
from drill.room.opinions import knowing, poll_result, shifts, sureness
from drill.room.outcome import Parting, Results
from drill.room.table_calls import element_counts, table_calls
from drill.room.take_home import take_home
from drill.scenario.model import Scenario


def results(
    evening: Evening, scenario: Scenario, debrief: Debrief, partings: tuple[Parting, ...] = (),
) -> Results:
    """Return what came of `evening`, whose flight of `scenario` has this `debrief`, and parted so.

    Only polls that were closed count, each as the room saw it: who was sent out before it was closed is not in it, and
    who was sent out later still is, but for what they typed.
    """
    asked, context, sheet = asked_in(evening), scenario.context, scenario.grade_sheet
    failures = debrief.failures
    polls = tuple(poll_result(number, each, failures, context, sheet) for number, each in enumerate(asked, 1))
    calls = table_calls(asked, context)
    decided = decisions(debrief, sheet, polls, calls, context)
    known, said, sure = knowing(asked, failures, context), element_counts(calls), sureness(asked, failures, context)
    phones = {ballot.phone for each in asked for ballot in each.ballots}
    return Results(
        title=debrief.title, board_title=debrief.board_title, aim=debrief.aim, evening=evening.number,
        day=evening.begun.at[:10], people=len(phones),
        tables=tuple(sorted({each.table for each in evening.present if each.table})),
        airplane=debrief.airplane, seed=debrief.seed, flown_s=debrief.flown_s, ending=_ending(debrief),
        score=debrief.score, unsafe=tuple(each.act for each in debrief.unsafe_acts),
        failed=tuple(each.says for each in failures), polls=polls, shifts=shifts(asked, failures, context),
        knowing=known, decisions=decided, calls=calls, elements=said, sureness=sure,
        take_home=take_home(decided, polls, known, said, sure), discuss=debrief.discuss,
        partings=partings, cautions=debrief.cautions)


def _ending(debrief: Debrief) -> str:
    """Return how the flight ended; a room that has to go home leaves it somewhere."""
    if debrief.ending is None:
        return f"The flight was left at {clock(debrief.flown_s)}, before an ending; it is graded as far as it went."
    return ending_words(debrief)
