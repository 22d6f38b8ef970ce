"""The orders of one line: each is read in the light of those before it, and all of them come to what is done.

What cannot be read beside orders that can is asked about in its place; what excludes itself is asked about as a whole.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from drill.language import conditional, instruments, radio, switches, told
from drill.language.by_quantity import looked_at_by_quantity, single_gyro
from drill.language.calls import by_grammar
from drill.language.contrary import excludes_itself, figures_at_once, undecided
from drill.language.forbidding import ASK_NOT_DONE, FORBIDDEN, takes_out, without_holds
from drill.language.in_other_words import in_other_words
from drill.language.leftovers import (
    NOT_UNDERSTOOD,
    has_shape_of_order,
    may_be_order,
    part_by_part,
    with_figure,
    with_referent,
)
from drill.language.meaning import (
    Action,
    Airspeed,
    Align,
    Altitude,
    Call,
    Context,
    Decide,
    FlyBy,
    Power,
    Squawk,
    Switch,
    Turn,
    TurnRate,
    Unclear,
)
from drill.language.naming import named
from drill.language.orders import Order, order, without_opening
from drill.language.pieces import pieces_of
from drill.language.rules import ASK_MEANT, ASK_WHICH, first_fit, guarded, read_piece
from drill.language.run_on import run_on
from drill.language.starting import JOINTS, starts
from drill.language.together import exclude_each_other, parted, run_out, settled
from drill.language.words import Token, joined

ASK_WHAT = "I could not tell what to do; say one thing to do, for example look at an instrument, turn, or call ATC."
ASK_REST = "That is more than can be taken in one line; say the rest again."
MOST_ORDERS = 20
LONGEST_ANSWER = 80
BY_FIGURES = (Airspeed, Align, Altitude, Squawk, Turn)
"""Actions that a figure tells how far to take."""


def read_orders(line: Sequence[Token], typed: str, context: Context) -> list[Action]:
    """Return what the tokens of a line order, in order; `typed` is the line that they stand in. Never empty."""
    book = context.lexicon
    words = _without_right(looked_at_by_quantity(single_gyro(named(tuple(line), typed, context), typed)))
    pieces = pieces_of(words)
    contrary = without_holds(joined(words))
    if pieces is None or excludes_itself(contrary):
        return [Unclear(ASK_WHICH)]
    if undecided(contrary):
        return [Unclear(ASK_MEANT)]
    pieces = [part for piece in conditional.together(pieces, typed)[:MOST_ORDERS + 1]
              for part in run_on(piece, typed, book, first_fit)]
    orders = [order(piece, typed, book) for piece in pieces[:MOST_ORDERS]]
    said = _Line(words, orders, [read_piece(each, words) for each in orders])
    forbidden = any(reading is FORBIDDEN for reading in said.readings)
    untouched = sum(map(len, pieces)) >= sum(token.text not in JOINTS for token in words)
    if not any(said.readings) and not forbidden and untouched and (whole := guarded(order(words, typed, book))):
        return whole
    for at in range(len(orders)):
        said.take(at)
    if len(pieces) > MOST_ORDERS:
        said.groups[-1].append(Unclear(ASK_REST))
    actions = said.come_to()
    if len(actions) == 1 and isinstance(actions[0], BY_FIGURES) and figures_at_once(contrary):
        return [Unclear(ASK_WHICH)]
    return actions or _not_ordered(line, typed, context, forbidden=forbidden)


@dataclass(slots=True)
class _Line:
    """The orders of a line while they are taken, one after another.

    `readings` are what each says by itself; `groups` what is done so far, by what is ordered in one breath: what is
    done after a "then" excludes nothing before it.
    """

    named: Sequence[Token]
    orders: Sequence[Order]
    readings: list[list[Action] | None]
    groups: list[list[Action]] = field(default_factory=lambda: [[]])
    idle: list[Action] = field(default_factory=list)
    """Questions about what has not the shape of an order."""
    asked: list[tuple[Order, Unclear]] = field(default_factory=list)

    def take(self, at: int) -> None:
        """Take the order at `at`, in the light of those beside it."""
        each, found = self.orders[at], self.readings[at]
        if found is FORBIDDEN and (kinds := takes_out(each.text)):
            self.groups = [[action for action in group if action.kind not in kinds] for group in self.groups]
        if at and _comes_after(each, self.named):
            self.groups.append([])
        if self._is_of_another(at):
            return
        found = self._referring(at)
        if found is None:
            found = part_by_part(each, guarded)
            questions = [action for action in found if isinstance(action, Unclear)]
            self.idle += questions if not may_be_order(each) else ()
            self.asked += [(each, action) for action in questions]
        for n, action in enumerate(found):
            if n and exclude_each_other(found[n - 1:n + 1]):
                self.groups.append([])   # "off and then on"
            self.groups[-1] += [action] if action not in self.groups[-1][-1:] else []

    def _is_of_another(self, at: int) -> bool:
        """Whether the order at `at` only belongs to another: to the reference before it, or to the order after it."""
        each = self.orders[at]
        if instruments.distrust(each) is not None and any(isinstance(action, FlyBy) for action in self.groups[-1]):
            return True   # "fly by the altimeter and ignore the VSI"
        if at + 1 == len(self.orders):
            return False
        after = self.orders[at + 1]
        if self.readings[at + 1] is None and switches.only_named(each) and (
                both := guarded(order((*each.line, *after.line), each.typed, each.book))) is not None:
            self.readings[at + 1] = both   # "static source, select alternate"
            return True
        return switches.leads_up_to(each, after, self.readings[at + 1])

    def _referring(self, at: int) -> list[Action] | None:
        """Return what the order at `at` says, what it calls "it", "that" or "there" being named before it."""
        each, found = self.orders[at], self.readings[at]
        before = self.orders[:at]
        if at == 1 and (meant := with_figure(each, before[0])) is not None and (reading := guarded(meant)):
            found = reading
            self.groups = [[]]
        nowhere = found in ([Decide("divert")], [Decide("land")]) and "there" in each.text
        plain = without_opening(each.text)
        told_of_it = found is None or nowhere or _DOES_IT.match(plain)
        trusts = found is FORBIDDEN and instruments.TRUSTS_IT.match(plain) is not None
        if not told_of_it and not trusts:
            return found
        if (meant := with_referent(each, before)) is None:
            return found
        if trusts:
            return instruments.distrust(meant) or found   # "the compass has no fluid left, can't trust it"
        found = guarded(meant) or found
        leads_up = bool(before[0].names) and len(before[0].line) <= 3 and not has_shape_of_order(before[0].text)
        if found is not None and at == 1 and leads_up:
            self.groups = [[]]   # "heat for the pitot tube, switch it off": the name leads up to the order
        return found

    def come_to(self) -> list[Action]:
        """Return what is done of all that was taken, with what is asked beside it; empty where nothing is."""
        actions = [action for group in self.groups for action in group]
        limited = any(found is FORBIDDEN and _LIMITS.search(each.text)
                      for each, found in zip(self.orders, self.readings, strict=True))
        if limited and not {Altitude(None, "climb"), Altitude(None, "descend")}.isdisjoint(actions):
            return [Unclear(ASK_WHICH)]   # "descend but do not go below 3000"
        if any(exclude_each_other(group) for group in parted(self.groups)):
            return [Unclear(ASK_WHICH)]
        needless: list[Action] = []
        if any(isinstance(action, Airspeed) for action in actions) and any(each.text in _PACES for each in self.orders):
            needless += [action for action in actions if isinstance(action, TurnRate | Power)]   # "slower, 80 knots"
        if any(isinstance(action, Switch) and action.to == "off" for action in actions):
            needless += [Unclear(switches.ASK_LOAD)]   # "shed load: strobes off"
            actions = [action for action in actions if action not in needless]
        if all(isinstance(action, Unclear) and action.ask.startswith(NOT_UNDERSTOOD) for action in actions):
            return []
        idle = [*self.idle, *(question for each, question in self.asked
                              if question not in self.idle and in_other_words(each, actions))]
        needless += idle if len(idle) < len(actions) else []
        kept = [action for group in parted(self.groups)
                for action in settled([each for each in group if each not in needless])]
        words = {token.text for token in self.named}
        return kept if "." in words else run_out(kept, then="then" in words)


def _not_ordered(line: Sequence[Token], typed: str, context: Context, *, forbidden: bool) -> list[Action]:
    """Return what a line in which nothing is ordered comes to: an answer to ATC, or a question."""
    if len(line) <= LONGEST_ANSWER:
        call = by_grammar(typed, context)
        if not forbidden and not told.tells(joined(line)) and _answers_atc(call):
            return [radio.transmit(line, typed, context, whole=True)]
        if call.declines_emergency or (not forbidden and _reports(call)):
            return [radio.for_atc(context)]
    return [Unclear(ASK_NOT_DONE if forbidden else ASK_WHAT)]


_PACES = ("slower", "faster", "a bit slower", "a bit faster")
_DOES_IT = re.compile(r"^(?:check|compare|verify|reset|cross check) it\b|^shut it (?:down|off)\b|"
                      r"^bring it (?:in|online|to life)\b|^get rid of (?:it|them)\b")
_LIMITS = re.compile(r"\b(?:below|above|under|over|past|beyond|through|lower than|higher than|exceed) (?:about )?\d")


def _comes_after(piece: Order, line: Sequence[Token]) -> bool:
    """Whether an order is to be done when the ones before it are: "then" stands before it."""
    before = [token.text for token in line if token.start < piece.line[0].start][-2:]
    return before[-1:] == ["then"] or before == ["then", ","] or piece.line[0].text in ("next", "afterwards")


def _without_right(line: tuple[Token, ...]) -> tuple[Token, ...]:
    """Return `line` without a "right then", a "right," or a ", right?" that turns nowhere."""
    if len(line) > 3 and [token.text for token in line[-3:]] == [",", "right", "?"]:
        line = line[:-3]
    if len(line) < 3 or line[0].text not in ("right", "alright", "okay", "ok"):
        return line
    leads = line[1].text == "then" or (line[1].text == "," and starts(line[2:]) and not re.match(
        r"^(?:heading|hdg|turn|to|\d)", line[2].text))
    return line[2:] if leads else line


def _reports(call: Call) -> bool:
    """Whether what is said would be news for ATC, though it may be said to oneself."""
    return bool(call.rejoined or call.trouble or call.impairment) or call.conditions != "unstated"


def _answers_atc(call: Call) -> bool:
    """Whether a line tells persons on board or fuel, or asks for what nobody but ATC can give."""
    return call.souls is not None or call.fuel_min is not None or bool(call.assistance)
