"""When it could be known and when the room knew, as a drawing: a bar a poll along the time of the flight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from drill.flight.readings import clock_words as clock
from drill.paper.along import LEFT, RIGHT, WIDTH, Along
from drill.paper.svg import line, picture, rectangle, words
from drill.room.fitted import elided
from drill.room.outcome import Knowing, PollResult, Results
from drill.room.shares import percent

HIGH = 76.0
_TOP = 36.0
_BOTTOM = _TOP + HIGH
_BAR = 15.0
_NUMBER = 16.0               # room for the number of a poll
_LETTER = 5.4                # about how wide one is
_ROWS = (11.0, 25.0)         # of the names of moments: what failed, what could be known
MOST_FAILURES = 4


def chart(results: Results) -> Markup:
    """Return the drawing: the share of the room that was right in each poll on what is wrong, half of it as a line."""
    last = max((results.flown_s, *(each.t_s for each in results.polls)), default=0.0)
    along = Along(last)
    drawn = [along.grid(_TOP, _BOTTOM), *_scale(), *_moments(results.knowing, along)]
    number_at = -_NUMBER
    for poll in results.polls:
        number_at = max(along.x(poll.t_s), number_at + _NUMBER)     # polls of the same minute stand side by side
        drawn.append(words(number_at, _BOTTOM + 14, elided(poll.name, 5), "poll-number"))
        drawn += _bar(poll, along.x(poll.t_s))
    drawn.append(along.labels(_BOTTOM + 28))
    return picture(WIDTH, _BOTTOM + 34, "When it could be known, and when the room knew", _says(results), "knew",
                   *drawn, class_="knew")


def _scale() -> Iterator[Markup]:
    for share, says in ((0.0, "nobody"), (0.5, "half"), (1.0, "everybody")):
        y = _BOTTOM - share * HIGH
        yield line(LEFT, y, RIGHT, y, "half" if share == 0.5 else "zero")
        yield words(LEFT - 8, y + 4, says, "tick", "end")


def _bar(poll: PollResult, x: float) -> Iterator[Markup]:
    if poll.right_share is None:
        return
    high = poll.right_share * HIGH
    yield rectangle(x - _BAR / 2, _BOTTOM - high, _BAR, high, "share" if poll.could_be_known else "share early")
    yield words(x + _BAR / 2 + 4, max(_TOP + 10, _BOTTOM - high + 4), percent(poll.right_share), "share-words", "start")


def _moments(knowing: Sequence[Knowing], along: Along) -> Iterator[Markup]:
    taken = [LEFT] * len(_ROWS)
    for each in knowing[:MOST_FAILURES]:
        known = [(each.began_s, "failed", f"{elided(each.part, 24)} fails")]
        if each.evidence_s is not None:
            known.append((each.evidence_s, "evident", "cross-check knows"))
        for row, (t, kind, says) in enumerate(known):
            x, wide = along.x(t), _LETTER * len(says)
            yield line(x, _ROWS[row] + 3, x, _BOTTOM, f"guide guide-{kind}")
            left = x + 4 if x + 4 + wide <= WIDTH else x - 4 - wide
            if left >= taken[row]:
                yield words(left, _ROWS[row], says, f"moment-name {kind}", "start")
                taken[row] = left + wide + 8


def _says(results: Results) -> str:
    told = [f"{each.part}: failed at {clock(each.began_s)}, " + (
        "no cross-check in flight would have known" if each.evidence_s is None else
        f"a cross-check in flight could have known from {clock(each.evidence_s)}")
        for each in results.knowing]
    told += [f"poll {each.name} at {clock(each.t_s)}: {percent(each.right_share)} right"
             for each in results.polls if each.right_share is not None]
    return ". ".join(told) + "." if told else "No poll asked what was wrong."

