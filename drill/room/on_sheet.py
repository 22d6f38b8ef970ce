"""What an answer or a call would do of the grade sheet, and what each item came to in flight and by vote. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from drill.grading.debrief import Debrief, Finding
from drill.grading.scoring import WEIGHTS
from drill.language.meaning import Action, Context, Told, Transmit
from drill.room.outcome import Decision, PollResult, TableCall
from drill.room.rightness import KNOWING
from drill.room.table_calls import call_action
from drill.scenario.checks import tree_done
from drill.scenario.model import ActTree, Item
from drill.scenario.story import tree_patterns

_SPOKEN = frozenset({"report", "declare", "ask for"})
"""Verbs that only a call does. An item of others may be done by one too, but is voted on."""


def does(tree: ActTree, actions: Iterable[Action]) -> bool:
    """Say whether `actions`, as of somebody of whom ATC knows nothing yet, do what `tree` asks for.

    A call counts as an answer to ATC, as in the check of an item's example.
    """
    told, done = Told(), set[str]()
    for action in actions:
        if isinstance(action, Transmit):
            action = replace(action, meaning=replace(action.meaning, answers=True))
            told = told.with_call(action.meaning)
        done |= {pattern.key for pattern in tree_patterns(tree) if pattern.matches(action, told)}
    return tree_done(tree, done)


def served_by(actions: Sequence[Action], sheet: Iterable[Item]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of the items of `sheet` that `actions` do, and of those that forbid one of them."""
    if not actions:
        return (), ()
    items = tuple(sheet)
    return (tuple(each.name for each in items if each.do is not None and does(each.do, actions)),
            tuple(each.name for each in items if each.never is not None and does(each.never, actions)))


def decisions(
    debrief: Debrief, sheet: Sequence[Item], polls: Sequence[PollResult], calls: Sequence[TableCall], context: Context,
) -> tuple[Decision, ...]:
    """Return each item of the sheet that came up, in the sheet's order: how it went in flight, and by vote."""
    findings = {each.item: each for each in debrief.findings}
    return tuple(_decision(item, finding, polls, calls, context) for item in sheet
                 if (finding := findings.get(item.name)) is not None and finding.verdict != "not needed")


def _decision(
    item: Item, finding: Finding, polls: Sequence[PollResult], calls: Sequence[TableCall], context: Context,
) -> Decision:
    votes = [(poll.number, share) for poll in polls if (share := _share(item, poll)) is not None]
    votes += _spoken(item, calls, context)
    votes.sort()
    share = votes[-1][1] if votes else None
    flown = 0.0 if finding.score is None else 1.0 - finding.score
    return Decision(
        item.name, item.part, item.weight, finding.verdict, finding.at_s, finding.cost, share,
        tuple(number for number, _ in votes), item.example or "", item.why, item.source,
        WEIGHTS[item.weight] * (flown + (0.0 if share is None else 1.0 - share)))


def _share(item: Item, poll: PollResult) -> float | None:
    """Return the share that chose an answer that does `item`; of a `never`, that chose none that breaks it."""
    if poll.answered == 0:
        return None
    if any(item.name in each.breaks for each in poll.answers):
        return 1.0 - sum(each.share or 0.0 for each in poll.answers if item.name in each.breaks)
    # to name what has not failed, or not its root, is not what the sheet asks for where the root is among the answers
    serving = [each for each in poll.answers if item.name in each.serves
               and (each.standing is None or each.standing in KNOWING)]
    return sum(each.share or 0.0 for each in serving) if serving else None


def _spoken(item: Item, calls: Sequence[TableCall], context: Context) -> list[tuple[int, float]]:
    """Return (poll, share of the tables whose call does all of `item`), for an item that calls do."""
    if item.do is None or not all(pattern.verb in _SPOKEN for pattern in tree_patterns(item.do)):
        return []
    found = []
    for number in sorted({each.poll for each in calls}):
        said = [each for each in calls if each.poll == number]
        whole = sum(does(item.do, [call_action(each.heard.words, context)])
                    and all(each.has(need) for need in item.needs) for each in said)
        found.append((number, whole / len(said)))
    return found
