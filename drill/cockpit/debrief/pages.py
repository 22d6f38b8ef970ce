"""The debrief's pages as literal text with some emphasis. Pure: what is told in, what is shown out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from textual.content import Content

from drill.cockpit.debrief.pieces import Entry, Told, bar
from drill.cockpit.debrief.timeline import Moment, clock

IN_VIEW = "Training aid only. Not for use in flight."
BAR_CELLS = 20
Piece: TypeAlias = str | tuple[str, str]


def opening(told: Told) -> Content:
    """Return what stands first: cautions, then how the flight ended."""
    return Content.assemble(
        *_cautions(told), "\n",
        (f"{told.title}\n", "bold"), (f"{told.board_title}. {told.flight}\n", "$text-muted"),
        *([f"Aim: {told.aim}\n"] if told.aim else []), "\n",
        (f"{told.ending}\n", "bold"),
        *([(f"! UNSAFE: {'; '.join(act.heading for act in told.unsafe)}.\n", "$error bold")] if told.unsafe else []),
    )


def score(told: Told, *, plain: bool = False) -> Content:
    """Return the score: the whole, and each part as a number and a bar."""
    rows: list[Piece] = [("SCORE\n", "bold"), (f"Overall {told.score_words}\n\n", "bold")]
    for name, points in told.parts:
        if points is None:
            rows.append((f"{name:<12} nothing to grade\n", "$text-muted"))
        else:
            rows += [f"{name:<12} {points:>3.0f} ", (f"{bar(points, BAR_CELLS, plain=plain)}\n", "$accent")]
    return Content.assemble(*rows).rstrip()


def work(told: Told) -> Content:
    """Return unsafe acts first, then what failed, then what to work on."""
    return Content.assemble(
        *_block("UNSAFE ACTS (they hold the grade down)", told.unsafe, "$error bold", "! "),
        *(_block("WHAT FAILED", told.failed, "bold") or [("WHAT FAILED\n", "bold"), f"{told.nothing_failed}\n\n"]),
        *(_block("WHAT TO WORK ON (costs in points of 100)", told.work, "bold")
          or [("WHAT TO WORK ON\n", "bold"), "Nothing was found.\n"]),
    ).rstrip()


def cautions(told: Told) -> Content:
    """Return the cautions, as they stand at the end."""
    return Content.assemble(*_cautions(told)).rstrip()


def findings(told: Told) -> Content:
    """Return what went well, what to work on, the calls, what was not needed, the published scales, and how far the
    airplane strayed."""
    strayed: list[Piece] = []
    if told.strayed:
        strayed = [("HOW FAR IT STRAYED\n", "bold"),
                   (f"{told.strayed_note}\n", "$text-muted"),
                   *(f"  {each}\n" for each in told.strayed), "\n"]
    published: list[Piece] = []
    if told.published:
        published = [("ON THE PUBLISHED SCALES\n", "bold"), (f"{told.published[0]}\n", "$text-muted"),
                     *(f"  {each}\n" for each in told.published[1:]), "\n"]
    pieces = [
        *_block("WHAT WENT WELL", told.well, "$success bold", "+ "),
        *_block("UNSAFE ACTS", told.unsafe, "$error bold", "! "),
        *_block("WHAT TO WORK ON", told.work, "$warning bold", "- "), *calls(told),
        *_block("NOT GRADED", told.not_needed, "bold"), *published, *strayed,
    ]
    return Content.assemble(*(pieces or ["Nothing was found.\n\n"]), *_cautions(told)).rstrip()


def calls(told: Told) -> list[Piece]:
    """Return the calls marked up: what was heard underlined, in brackets as what, then what was not heard."""
    pieces: list[Piece] = [("THE CALLS, AS ATC HEARD THEM\n", "bold")] if told.calls else []
    for call in told.calls:
        pieces.append((f"{call.at} ", "bold"))
        pieces.append("“")
        for words, state, label in call.segments:
            pieces.append((words, "underline" if state == "heard" else ""))
            said = label if state == "heard" else "not understood" if state == "not understood" else ""
            pieces += [(f" [{said}]", "$accent")] if said else []
        pieces.append(f"”{''.join(f' [{each}]' for each in call.unseen)}\n")
        lacking = f"Not heard by then: {', '.join(call.not_heard)}." if call.not_heard else "Nothing was lacking."
        pieces += [(f"     {lacking}\n", "$warning bold" if call.not_heard else "$text-muted"), "\n"]
    return pieces


def answers(told: Told) -> Content:
    """Return what the pilot said, beside what was so, and what there is to talk about."""
    given = dict(told.answers)
    pieces: list[Piece] = []
    if told.questions or given:
        pieces.append(("WHAT YOU SAID\n", "bold"))
    for question in dict.fromkeys((*told.questions, *given)):
        pieces += [(f"{question}\n", "$text-muted"), f"    {given.get(question, '(no answer)')}\n"]
    pieces += ["\n" if pieces else "", *(_block("WHAT WAS SO", told.failed, "bold")
                                          or [("WHAT WAS SO\n", "bold"), f"{told.nothing_failed}\n\n"])]
    if told.discuss:
        pieces += [("TO TALK ABOUT\n", "bold"), f"{told.discuss}\n\n"]
    return Content.assemble(*pieces, *_cautions(told)).rstrip()


def row(moment: Moment) -> Content:
    """Return the moment's row in the list: time, mark, what it is."""
    when = "never" if moment.t is None else clock(moment.t)
    return Content.assemble(f"{when:>6} ", (moment.mark, "bold"), f" {moment.title}")


def details(moment: Moment, *, dense: bool = False) -> Content:
    """Return all that there is to say about the moment; `dense` where there are few rows for it."""
    when = "Never" if moment.t is None else clock(moment.t)
    pieces: list[Piece] = [(f"{when}  {moment.title}\n", "bold")]
    for label, words in moment.details:
        if words and dense:
            pieces += [(f"{label}: ", "bold"), f"{words}\n"]
        elif words:
            pieces += [(f"\n{label}\n", "$text-muted underline"), f"{words}\n"]
    return Content.assemble(*pieces).rstrip()


def first_to_see(moments: Sequence[Moment]) -> int:
    """Return the place of the moment to begin with: the first unsafe act, else the first failure, else the first."""
    for mark in "!X":
        for place, moment in enumerate(moments):
            if moment.mark == mark:
                return place
    return 0


def _block(heading: str, entries: Sequence[Entry], ink: str, mark: str = "") -> list[Piece]:
    if not entries:
        return []
    pieces: list[Piece] = [(f"{heading}\n", ink)]
    for entry in entries:
        pieces += [(f"{mark}{entry.heading}\n", "bold"), f"{entry.words}\n\n"]
    return pieces


def _cautions(told: Told) -> list[Piece]:
    return [(f"{caution}\n", "$text-muted") for caution in told.cautions]
