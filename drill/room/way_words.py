"""How a room went on after its polls: in words, and whose an act in flight then was. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from drill.room.outcome import PollResult

_WAYS = {"majority": "with the majority", "sheet": "as the grade sheet has it", "fork": "both ways, side by side",
         "own": "in words of its own"}

WAY_NAMES = {"majority": "majority", "sheet": "grade sheet", "fork": "both ways", "own": "own words"}
"""The same in two words."""


def went_on_words(poll: PollResult) -> str:
    """Return how the room went on after a poll, in words; empty if it did not."""
    way = _WAYS.get(poll.way, "")
    return f"{way}: {'; '.join(poll.lines)}" if poll.lines else way


def flown_by_sheet(polls: Sequence[PollResult], at_s: float) -> bool:
    """Say whether the grade sheet flew the room's airplane at `at_s` (s): from a poll after which it was chosen to the
    next one. Of polls of one moment the last counts, for only after it did time flow."""
    before = [each for each in polls if each.t_s < at_s]
    return bool(before) and before[-1].way == "sheet"
