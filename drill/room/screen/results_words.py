"""The results of the evening on the facilitator's screen: what to take home first, then what it rests on. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from drill.flight.readings import clock_words as clock
from drill.room.both_ways import lines
from drill.room.handout import knowing_words, shift_words
from drill.room.outcome import Results
from drill.room.shares import percent

HEAD, MUTED = "bold", "$text-muted"
Piece = Content | str | tuple[str, str]


def results_words(found: Results) -> Content:
    """Return the results in words, to be read with the room."""
    told: list[Piece] = [(f"{found.title}\n", HEAD), f"{found.ending}\n"]
    if found.score is not None:
        told.append(f"The flight: {found.score:.0f} of 100.\n")
    told += [("TO TAKE HOME\n", HEAD), *_points(found)]
    told += [("WHEN IT COULD BE KNOWN\n", HEAD), *(f"{knowing_words(each)}\n" for each in found.knowing)]
    if not found.knowing:
        told.append("Nothing failed in this flight.\n")
    for poll in found.polls:
        if poll.right_share is not None:
            told.append(f"Poll {poll.name} at {clock(poll.t_s)}: {percent(poll.right_share)} were right.\n")
    told += [(f"{shift_words(each)}\n", MUTED) for each in found.shifts]
    told += [("DECISIONS AGAINST THE GRADE SHEET\n", HEAD), *_decisions(found)]
    for parting in found.partings:
        told += [("BOTH WAYS\n", HEAD), *(f"{line}\n" for line in lines(parting))]
    if found.elements:
        told += [("CALLS\n", HEAD), *(f"{each.element}: {each.said} of {each.of}\n" for each in found.elements)]
    if found.sureness:
        told += [("HOW SURE, AND HOW RIGHT\n", HEAD),
                 *(f"{each.words}: {each.right} of {each.answers} right\n" for each in found.sureness)]
    if found.discuss:
        told += [("TO TALK ABOUT\n", HEAD), f"{found.discuss}\n"]
    return Content.assemble(*told, *((f"{each}\n", MUTED) for each in found.cautions)).rstrip()


def _points(found: Results) -> Iterator[Piece]:
    for place, each in enumerate(found.take_home, 1):
        yield f"{place}. {each.title}{' (went well)' if each.well else ''}", HEAD
        yield f"\n{each.room} {each.why}\n"
        if each.better:
            yield f"{each.better}\n"
        yield f"{each.source}\n", MUTED


def _decisions(found: Results) -> Iterator[Piece]:
    for each in found.decisions:
        at = "" if each.at_s is None else f" at {clock(each.at_s)}"
        share = "" if each.share is None else f", {percent(each.share)} of the room"
        yield f"{each.item}: {each.verdict}{at}{share}\n", "" if each.cost <= 0.0 else "$warning"
