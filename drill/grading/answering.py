"""Questions of ATC: each is answered, or put off, or refused; one that is left open is told and costs.

What a question is, is in the record (`flight.events.Heard.wants`); headings, altitudes and turns that ATC gives are
none of them (`ordered_turns`, `clearance`), nor is a statement that ATC only wants to know heard: what of it wants a
read-back is graded as one (`read_backs`, `hold_short`). Any call answers, for a pilot may say what matters in place of
what was asked; "stand by" and "unable" do, and an ident. What is asked again counts once: ATC's patience is not the
pilot's fault. A call that nobody received was made all the same.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from drill.flight.phraseology import spoken_callsign
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.grading.timeline import lasting
from drill.language.meaning import Ident, Transmit

ITEM = "Answer what ATC asks"
WITHIN_S = 60.0          # from when the question was heard (the author's choice)
WHEN_ABLE_S = 300.0      # one that can wait for a better moment
CROSSED_S = 2.0          # a call that ended so shortly before crossed the question; ATC takes longer to answer one
LATE = 0.5               # an answer that came later leaves a question half open
LEFT_OPEN = 0.5          # so large a share of the questions left open is as bad as all of them (the author's choice)
NO_QUESTION = frozenset({"", "readback", "turn", "given"})
UNKEYED = frozenset({"reply", "anything"})   # of them nothing says whether two ask the same
MOST_TOLD = 3
_ASKS = re.compile(r"\?|\b(?:say|verify|confirm|report|advise|acknowledge|ident|radio check|if you (?:read|hear)|"
                   r"asks?)\b", re.IGNORECASE)
"""What asks, of what wants any reply: a question, or an order to say or to show something."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something that ATC asked, first at `t` (s), in `words`, so many times; `answered_s` is the first call after it.

    `until_s` is how long an answer was in time. None: nobody ever answered.
    """

    t: float
    words: str
    until_s: float
    answered_s: float | None
    put: int = 1

    @property
    def open(self) -> float:
        """How far it was left open: 1 without an answer, 0.5 with one that came late, else 0."""
        return 1.0 if self.answered_s is None else LATE if self.answered_s > self.until_s else 0.0


def questions(situation: Situation) -> tuple[Question, ...]:
    """Return what ATC asked in the order of time, each thing once; without what the record ended too soon after.

    Of questions that have no name (how do you hear me) those that follow one another in one silence are one. The time
    for an answer runs from when a thing was asked first.
    """
    line = situation.line
    says = [deed for deed in line.deeds if isinstance(deed.action, Transmit | Ident)]
    found: dict[str, Question] = {}
    for heard in line.heard:
        if not heard.to_us or heard.wants in NO_QUESTION or (heard.wants == "reply" and not _ASKS.search(heard.words)):
            continue
        silence = sum(deed.t < heard.t - CROSSED_S for deed in says)
        key = f"silence {silence}" if heard.wants in UNKEYED else heard.wants
        before = found.get(key)
        if before is not None and before.answered_s is not None and before.answered_s < heard.t:
            continue                       # it has been answered, and is asked for once more
        if before is not None:
            found[key] = replace(before, put=before.put + 1)
            continue
        until = heard.t + (WHEN_ABLE_S if "when able" in heard.words.lower() else WITHIN_S)
        answer = next((max(deed.began, heard.t) for deed in says if deed.t >= heard.t - CROSSED_S), None)
        if (answer is not None and answer <= until) or line.flown_s >= until:
            found[key] = Question(heard.t, _asking_sentence(situation, heard.words), until, answer)
    return tuple(found.values())


def grade_answers(situation: Situation) -> list[Finding]:
    """Return the finding on ATC's questions; none where nothing was asked."""
    asked = questions(situation)
    if not asked:
        return []
    slow = [each for each in asked if each.open]
    if not slow:
        return [situation.finding(
            ITEM, "communicate", "done", None,
            f"ATC asked for something {_times(len(asked))}, and was answered each time.", sources.ANSWERING,
            weight="minor", score=1.0)]
    share = sum(each.open for each in asked) / len(asked)
    told = "; ".join(_told(each) for each in slow[:MOST_TOLD])
    more = f"; and {len(slow) - MOST_TOLD} more" if len(slow) > MOST_TOLD else ""
    return [situation.finding(
        ITEM, "communicate", "missed" if share >= LEFT_OPEN else "incomplete", slow[0].t,
        f"{_of(len(asked), len(slow))} had no answer within {lasting(WITHIN_S)}: {told}{more}. "
        "ATC cannot tell a busy pilot from one who has lost the radio, or control, and asks on. “Stand by” is an "
        "answer.", sources.ANSWERING,
        better="stand by, and the callsign; then the answer when the airplane is in hand",
        score=max(0.0, 1.0 - share / LEFT_OPEN))]


def _of(asked: int, slow: int) -> str:
    return "The one thing that ATC asked" if asked == 1 else f"Of {asked} things that ATC asked, {slow}"


def _told(question: Question) -> str:
    again = f", put {_times(question.put)}" if question.put > 1 else ""
    late = "" if question.answered_s is None else f", answered after {lasting(question.answered_s - question.t)}"
    return f"at {clock(question.t)} “{question.words}”{again}{late}"


def _asking_sentence(situation: Situation, words: str) -> str:
    """Return what was asked without the callsign and what was said before it: the last sentence that asks, or else the
    last."""
    for short in (False, True):
        words = words.removeprefix(f"{spoken_callsign(situation.scenario.callsign, short=short)}, ")
    said = words.rstrip(".").split(". ")
    last = next((each for each in reversed(said) if _ASKS.search(each)), said[-1])
    return last[:1].lower() + last[1:]


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
