"""What the tables would have said to ATC, marked up by element as the calls of a debrief are. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from drill.grading.marked_calls import ELEMENTS, heard_in, known_by
from drill.language import read_call
from drill.language.meaning import Context, Told, Transmit
from drill.room.asked import Asked
from drill.room.outcome import ElementCount, TableCall
from drill.scenario.model import NEEDS

WHAT_DO_YOU_SAY = "what do you say"


def call_action(words: str, context: Context) -> Transmit:
    """Return the transmission that `words` are."""
    return Transmit(words, read_call(words, context))


def table_calls(asked: Sequence[Asked], context: Context) -> tuple[TableCall, ...]:
    """Return the calls of each poll on what to say, as many as the wall shows."""
    found = []
    for number, each in enumerate(asked, 1):
        if each.kind != WHAT_DO_YOU_SAY:
            continue
        said = sorted((ballot.table, ballot.words) for ballot in each.ballots if ballot.words)
        found += [_call(number, table, words, context) for table, words in said]
    return tuple(found)


def _call(number: int, table: str, words: str, context: Context) -> TableCall:
    told = Told().with_call(read_call(words, context))
    return TableCall(number, table, heard_in(words, context), tuple(known_by(told, need) for need in NEEDS))


def element_counts(calls: Sequence[TableCall]) -> tuple[ElementCount, ...]:
    """Return each content of a report with how many calls of the last such poll had it; nothing without calls."""
    if not calls:
        return ()
    last = max(each.poll for each in calls)
    counted = [each for each in calls if each.poll == last]
    return tuple(ElementCount(ELEMENTS[need], sum(each.has(need) for each in counted), len(counted)) for need in NEEDS)
