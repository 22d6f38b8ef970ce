"""What a room learned of an evening, as data: polls, shifts of opinion, knowing, decisions, calls, certainty, points.

Each field is described where it stands. Nobody's name or phone is in it: people are counted, tables are named.
"""

from __future__ import annotations

from dataclasses import dataclass

from drill.cautions import CAUTIONS
from drill.grading.debrief import CallHeard, Verdict
from drill.room.events import Kind
from drill.room.rightness import Standing
from drill.scenario.model import NEEDS, Need


@dataclass(frozen=True, slots=True)
class AnswerCount:
    """One answer of a poll with what it got."""

    key: str
    """Its key in the poll."""
    says: str
    """What it says."""
    votes: int
    """How many gave it, phones and hands together."""
    share: float | None
    """Their share (0 to 1) of all who answered; None if nobody did."""
    standing: Standing | None
    """Of a poll on what is wrong: how it stood to the truth of that moment; None in other polls."""
    serves: tuple[str, ...] = ()
    """The items of the grade sheet that it does."""
    breaks: tuple[str, ...] = ()
    """The items of the grade sheet that forbid it."""
    hands: int = 0
    """How many of `votes` are raised hands."""


@dataclass(frozen=True, slots=True)
class PollResult:
    """One poll with its answers."""

    number: int
    """Its place in the evening, from 1, own questions among them."""
    name: str
    """What it is called wherever it is told of: p3 for the scenario's third, o1 for the first own question."""
    kind: Kind
    """What sort of question it was."""
    question: str
    """What was asked."""
    t_s: float
    """When it was asked, seconds of flight."""
    answers: tuple[AnswerCount, ...]
    """The answers in their order; none where words were typed."""
    answered: int
    """How many answered, phones and hands together."""
    by_hands: bool
    """Whether hands were counted, at least in part."""
    right_share: float | None
    """Of a poll on what is wrong: the share (0 to 1) that named what had failed, or rightly said that nothing had.

    None: nobody answered, or it was another kind of poll."""
    could_be_known: bool
    """Whether a careful cross-check in flight could have told it by then: False from when a failure begins to then."""
    way: str
    """How the room went on: majority, sheet, fork, own; empty if it did not."""
    lines: tuple[str, ...]
    """What was then entered."""

    @property
    def hands(self) -> int:
        """How many raised hands were counted."""
        return sum(each.hands for each in self.answers)


@dataclass(frozen=True, slots=True)
class Shift:
    """What the same people said in two polls on what is wrong, one after the other. Hands are not in it."""

    before: str
    """The name of the first of the two polls."""
    after: str
    """The name of the second."""
    people: int
    """How many answered in both."""
    stayed_right: int
    """How many were right in both."""
    came_to_it: int
    """How many were not right before and right after."""
    left_it: int
    """How many were right before and not after."""
    changed: int
    """How many gave another answer than before, whatever it was worth."""


@dataclass(frozen=True, slots=True)
class Knowing:
    """One failure: when a careful cross-check could have known, and when the room did."""

    part: str
    """The part of the airplane that failed."""
    began_s: float
    """When it began, seconds of flight."""
    evidence_s: float | None
    """From when a careful cross-check in flight could have told it; None: never in this flight."""
    evidence: str
    """What showed it."""
    named_s: float | None
    """From when the part itself could have been named; None: never, or nobody can say."""
    shares: tuple[tuple[float, float], ...]
    """(s of flight, share that named it) of each poll on what is wrong after it began."""
    room_s: float | None
    """When the first poll was taken in which more than half named it, seconds of flight; None: there was none."""
    room_poll: str | None
    """The name of that poll."""

    @property
    def later_s(self) -> float | None:
        """How much later (s) than the evidence the room knew; None if one of the two is not known."""
        return None if self.room_s is None or self.evidence_s is None else self.room_s - self.evidence_s


@dataclass(frozen=True, slots=True)
class Decision:
    """One item of the grade sheet: what the flight made of it, and what share of the room would have done it."""

    item: str
    """What is graded, in the sheet's words."""
    part: str
    """Of which part of flying it is."""
    weight: str
    """How much it counts: critical, major or minor."""
    verdict: Verdict
    """How it went in the flight."""
    at_s: float | None
    """When it happened, seconds of flight; None: it never did."""
    cost: float
    """Points of 100 that it took away."""
    share: float | None
    """The share (0 to 1) that chose it in the last poll that offered it, or of the tables whose call did it.

    None: it was put to no vote."""
    polls: tuple[int, ...]
    """The numbers of the polls that it was put to the vote in."""
    wanted: str
    """Words that do it, where the sheet has an example."""
    why: str
    """Why it matters, in the sheet's words."""
    source: str
    """Where that is written."""
    lost: float
    """How much the room lost on it: its weight (3, 2 or 1) times what was not done in flight, and again times the share
    that did not choose it."""


@dataclass(frozen=True, slots=True)
class TableCall:
    """What one table would have said to ATC, marked up."""

    poll: int
    """The number of the poll."""
    table: str
    """The table's name; empty for one who sat at none."""
    heard: CallHeard
    """What was heard in the call, and what a report would have had besides."""
    elements: tuple[bool, ...]
    """Whether each content of a report (`scenario.model.NEEDS`, 14 CFR 91.187(b)) was in it, in their order."""

    def has(self, need: Need) -> bool:
        """Say whether this content of a report was in the call."""
        return self.elements[NEEDS.index(need)]


@dataclass(frozen=True, slots=True)
class ElementCount:
    """One element of a report, with how many tables had it in their call."""

    element: str
    """Which element, in words."""
    said: int
    """How many calls had it."""
    of: int
    """Of how many."""


@dataclass(frozen=True, slots=True)
class Sureness:
    """How often those were right who were so sure."""

    level: int
    """1 (a guess) to 4 (certain)."""
    words: str
    """The level in words."""
    answers: int
    """How many answers on what is wrong were given so surely, in all polls in which it could be known."""
    right: int
    """How many of them were right."""


@dataclass(frozen=True, slots=True)
class Point:
    """A point to take home."""

    title: str
    """What it is about."""
    room: str
    """What the room made of it, in a sentence or two."""
    why: str
    """Why it matters."""
    better: str
    """Words or an act that would do it; empty if there is nothing to give."""
    source: str
    """Where that is written."""
    well: bool
    """Whether it went well, and is here to be kept."""


@dataclass(frozen=True, slots=True)
class DoneThen:
    """Something that was done after the ways had parted."""

    at_s: float
    """When, seconds of flight."""
    words: str
    """What, in the past tense."""


@dataclass(frozen=True, slots=True)
class WayFlown:
    """One of two ways that were flown at once."""

    name: str
    """Whose way it was: the room's, or the grade sheet's."""
    ending: str
    """How it ended, and when; or that it had not ended yet."""
    ended: bool
    """Whether it came to an ending."""
    score: float | None
    """Its score so far, 0 to 100; None: nothing to grade."""
    cost: float
    """Points of 100 that its decisions took away so far."""
    done: tuple[DoneThen, ...]
    """What was done in it, in the order of time."""


@dataclass(frozen=True, slots=True)
class ItemBothWays:
    """One item of the grade sheet, as each of two ways came out. The tuples are in the order of the ways."""

    item: str
    """What is graded, in the words of the sheet or of the grader."""
    weight: str
    """How much it counts: critical, major or minor."""
    verdicts: tuple[Verdict | None, ...]
    """How it went; None: it did not come up in that way."""
    times: tuple[float | None, ...]
    """When it happened, seconds of flight, the first time that it did; None: it had not."""
    costs: tuple[float, ...]
    """Points of 100 that it took away."""
    again: tuple[float | None, ...] = (None, None)
    """When it was done again, seconds of flight: an act that knew, after a guess; None: it was not."""

    @property
    def differs(self) -> bool:
        """Whether it came out differently. How much it cost, a share of all that came up, is none by itself."""
        come_to = zip(self.verdicts, self.times, self.again, (round(cost) > 0 for cost in self.costs), strict=True)
        return len(set(come_to)) > 1


@dataclass(frozen=True, slots=True)
class Measured:
    """Something about how the airplane flew in each of two ways: most bank, lowest altitude."""

    what: str
    """What is compared."""
    values: tuple[str, ...]
    """What it was in each way, in words."""


@dataclass(frozen=True, slots=True)
class Parting:
    """Two ways flown at once, in the same air, from where they parted to where the second one was left."""

    poll: str | None
    """The poll after which they parted, by its name; None: not known."""
    at_s: float
    """When they parted, seconds of flight."""
    until_s: float
    """Up to when both are told of, seconds of flight."""
    ways: tuple[WayFlown, ...]
    """The room's way, then the grade sheet's."""
    items: tuple[ItemBothWays, ...]
    """What was graded in one of them: the sheet's items in its order, then the grader's own."""
    measures: tuple[Measured, ...]
    """How each flew, and when it dealt with what had failed."""

    def satisfied(self, way: int) -> int:
        """Return how many items were satisfied in this way (its place)."""
        return sum(each.verdicts[way] in SATISFIED for each in self.items)

    def failed(self, way: int) -> int:
        """Return how many items came up in this way and were not satisfied."""
        return sum(each.verdicts[way] is not None and each.verdicts[way] not in SATISFIED for each in self.items)


SATISFIED: frozenset[Verdict | None] = frozenset({"done", "kept"})


@dataclass(frozen=True, slots=True)
class Results:
    """An evening's results. Times are seconds of flight, shares 0 to 1; every text is plain words."""

    title: str
    """What the flight was about."""
    board_title: str
    """What was known of it before."""
    aim: str
    """What it was to practice."""
    evening: str
    """The evening's number."""
    day: str
    """The date on which it was opened, YYYY-MM-DD, universal time; empty if not known."""
    people: int
    """How many phones answered at least once."""
    tables: tuple[str, ...]
    """The tables that had somebody, sorted."""
    airplane: str
    """The type of airplane."""
    seed: int
    """The number that drew the air and the failures."""
    flown_s: float
    """How long the flight lasted."""
    ending: str
    """How it ended, in words."""
    score: float | None
    """The flight's score, 0 to 100; None: nothing to grade."""
    unsafe: tuple[str, ...]
    """The unsafe acts of the flight."""
    failed: tuple[str, ...]
    """What failed, a sentence each; empty if nothing did."""
    polls: tuple[PollResult, ...]
    """The polls in their order."""
    shifts: tuple[Shift, ...]
    """How opinion moved from poll to poll."""
    knowing: tuple[Knowing, ...]
    """Evidence against when the room knew, a failure each."""
    decisions: tuple[Decision, ...]
    """Each item of the grade sheet that came up."""
    calls: tuple[TableCall, ...]
    """The tables' calls, marked up."""
    elements: tuple[ElementCount, ...]
    """The elements of a report, with how many calls had them; none without calls."""
    sureness: tuple[Sureness, ...]
    """Confidence against being right, from a guess to certain; none where nobody said how sure."""
    take_home: tuple[Point, ...]
    """Three points, fewer only if there is nothing that they could be about."""
    discuss: str
    """What there is to talk about, in the author's words."""
    partings: tuple[Parting, ...] = ()
    """Where the room went both ways, and what came of each; none if it never did."""
    cautions: tuple[str, ...] = CAUTIONS
    """What this is not; to be shown with it wherever it is shown."""
