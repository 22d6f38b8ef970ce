"""What the room answered, poll by poll, how opinion moved between polls, and how sure was how right. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from drill.grading.debrief import FailureStory
from drill.language.meaning import Context
from drill.room import rightness
from drill.room.asked import Asked, actions_of, names_of
from drill.room.on_sheet import served_by
from drill.room.outcome import AnswerCount, Knowing, PollResult, Shift, Sureness
from drill.room.rightness import KNOWING, Standing, failed_at
from drill.room.usual_polls import SURE_WORDS
from drill.scenario.model import Item

WHAT_IS_WRONG = "what is wrong"


def standings(asked: Asked, failures: Sequence[FailureStory], context: Context) -> dict[str, Standing]:
    """Return how each answer of a poll on what is wrong stood when asked, by its key; nothing for other polls."""
    if asked.kind != WHAT_IS_WRONG:
        return {}
    return rightness.standings(failures, {each.key: names_of(each, context) for each in asked.answers}, asked.t_s)


def poll_result(
    number: int, asked: Asked, failures: Sequence[FailureStory], context: Context, sheet: Sequence[Item],
) -> PollResult:
    """Return one poll with its answers, counted and held against the truth and the grade sheet."""
    counts, stood = asked.counts(), standings(asked, failures, context)
    total = sum(counts.values())
    answers = tuple(_answer(each.key, each.says, counts[each.key], total, stood.get(each.key),
                            served_by(actions_of(each, context), sheet), asked.hands.get(each.key, 0))
                    for each in asked.answers)
    right = sum(each.votes for each in answers if each.standing in KNOWING)
    typed = 0 if asked.answers else len(asked.ballots)
    return PollResult(
        number, asked.id, asked.kind, asked.question, asked.t_s, answers, total or typed, any(asked.hands.values()),
        right / total if stood and total else None,
        not any(each.evidence_s is None or each.evidence_s > asked.t_s for each in failed_at(failures, asked.t_s)),
        asked.way or "", asked.lines)


def _answer(
    key: str, says: str, votes: int, total: int, stood: Standing | None, sheet: tuple[tuple[str, ...], tuple[str, ...]],
    hands: int,
) -> AnswerCount:
    return AnswerCount(key, says, votes, votes / total if total else None, stood, *sheet, hands)


def shifts(asked: Sequence[Asked], failures: Sequence[FailureStory], context: Context) -> tuple[Shift, ...]:
    """Return what the same phones said in each two polls on what is wrong that follow one another."""
    found = []
    on_it = [(each.id, each) for each in asked if each.kind == WHAT_IS_WRONG]
    for (first, one), (second, other) in pairwise(on_it):
        before, after = (_given(each) for each in (one, other))
        stood, stands = (standings(each, failures, context) for each in (one, other))
        said = [{option.key: option.says for option in each.answers} for each in (one, other)]
        both = [(before[phone], after[phone]) for phone in before.keys() & after.keys()]
        if not both:
            continue
        was = [stood.get(key) in KNOWING for key, _ in both]
        now = [stands.get(key) in KNOWING for _, key in both]
        found.append(Shift(
            first, second, len(both), sum(a and b for a, b in zip(was, now, strict=True)),
            sum(not a and b for a, b in zip(was, now, strict=True)),
            sum(a and not b for a, b in zip(was, now, strict=True)),
            sum(said[0].get(a) != said[1].get(b) for a, b in both)))
    return tuple(found)


def _given(asked: Asked) -> dict[str, str]:
    return {ballot.phone: ballot.answer for ballot in asked.ballots if ballot.answer}


def knowing(asked: Sequence[Asked], failures: Sequence[FailureStory], context: Context) -> tuple[Knowing, ...]:
    """Return of each failure when it could have been known, and when more than half of the room named it."""
    found = []
    for story in failures:
        shares: list[tuple[float, float]] = []
        room: tuple[float, str] | None = None
        for each in asked:
            if each.kind != WHAT_IS_WRONG or not failed_at([story], each.t_s):
                continue
            counts, stood = each.counts(), standings(each, [story], context)
            total = sum(counts.values())
            right = sum(counts[key] for key, then in stood.items() if then == "right")
            if total:
                shares.append((each.t_s, right / total))
                room = (each.t_s, each.id) if room is None and 2 * right > total else room
        found.append(Knowing(story.part, story.began_s, story.evidence_s, story.evidence, story.system_s, tuple(shares),
                             None if room is None else room[0], None if room is None else room[1]))
    return tuple(found)


def sureness(asked: Sequence[Asked], failures: Sequence[FailureStory], context: Context) -> tuple[Sureness, ...]:
    """Return how often those were right who were so sure, over all polls in which it could be known what is wrong.

    How sure somebody is counts for the answer that it was given with, or in a poll of its own for the phone's answer in
    the poll on what is wrong before it.
    """
    tally = {level: [0, 0] for level in SURE_WORDS}
    last: Asked | None = None
    for each in asked:
        if each.kind == WHAT_IS_WRONG:
            last = each
        if last is None or each.kind not in (WHAT_IS_WRONG, "how sure"):
            continue
        stood = standings(last, failures, context)
        given = _given(last)
        for ballot in each.ballots:
            level, then = each.level(ballot), stood.get(given.get(ballot.phone, ""))
            if level in tally and then is not None and then != "before a cross-check":
                tally[level][0] += 1
                tally[level][1] += then == "right"
    if not any(answers for answers, _ in tally.values()):
        return ()
    return tuple(Sureness(level, SURE_WORDS[level], *tally[level]) for level in SURE_WORDS)
