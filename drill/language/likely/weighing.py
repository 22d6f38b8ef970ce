"""What the grammar reads of a line, weighed against what the line's words make likely.

The grammar knows why it reads a line as it does; the classifiers have seen more lines than it has rules. Where both
come to the same, it is done. Where the grammar does not understand, the likely action is done if all that it needs is
said. Where they contradict each other, the likelier is done or, if that is not clear, it is asked for.

The limits were chosen on lines that neither was made with.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from drill.language.conditional import ASK_IN_TIME
from drill.language.decisions import ASK_FIELD
from drill.language.forbidding import ASK_NOT_DONE, negates
from drill.language.hearsay import orders_nothing
from drill.language.labels import without_manner
from drill.language.leftovers import NOT_UNDERSTOOD, has_shape_of_order, not_understood_words
from drill.language.likely.by_clause import NEARLY_CERTAIN, concluded, ordered_after, ordered_last, orders_in
from drill.language.likely.corrections import corrects
from drill.language.likely.filling import filled
from drill.language.likely.judging import CLEAR, LIKELY, Judged
from drill.language.meaning import (
    Action,
    Airspeed,
    Altitude,
    Compare,
    Decide,
    Diagnose,
    Flaps,
    LevelWings,
    Look,
    Pitch,
    Power,
    Transmit,
    Turn,
    Unclear,
    Wait,
)
from drill.language.ordering import ASK_WHAT, BY_FIGURES
from drill.language.radio import FOR_ATC
from drill.language.rules import ASK_MEANT, ASK_WHICH
from drill.language.told import light_shows, tells
from drill.language.words import joined

CERTAIN = 0.95
SURE, UNHEARD_OF = 0.98, 0.002
HALF = 0.5
SOME = 0.3
FEW = 0.2
SHORT = 4
RARELY, LIKELIER, WELL_LIKELY = 0.1, 0.4, 0.7
HARDLY = 0.05
NEVER = 0.01
ORDERS_NOTHING, ORDERS_NOTHING_SURELY = 0.1, 0.7
"""From this likelihood on that a line orders nothing, nothing is done that the grammar does not read; from the second,
where one action is nearly certain if it is any."""
ASK_DOUBT = "I am not sure what you want; say it in other words."
_HARMLESS = (Look, Compare, Diagnose)
_PLAINLY_ORDERED = (Power, Pitch, Flaps, Turn)
"""Orders whose words are seldom anything else."""


_TURNED_FROM = re.compile(
    r"\b(?:was|were) (?:going|about|planning|supposed) to\b.* but\b|"
    r"(?<= [,.] )(?:no(?= ,)|actually|on second thoughts?|(?:belay|cancel|scratch|forget|strike) that|disregard|"
    r"never ?mind)\b(?= \S)(?!.* or )")
"""Where an order is taken back, or only was thought of, and another follows: "divert. belay that, continue"."""


@dataclass(frozen=True, slots=True)
class _Weights:
    """What the classifiers say of a line, each from 0 to 1."""

    line: Judged
    kinds: dict[str, float]
    kind: str
    share: float
    nothing: float
    several: float

    def action(self, nothing: float = ORDERS_NOTHING) -> Action | None:
        """Return the likeliest action, if the line may order one and says all that it needs."""
        return filled(self.kind, self.line) if self.nothing < nothing else None


def weighed(actions: Sequence[Action], line: Judged, *, sends: bool) -> list[Action]:
    """Return what is done of `actions`, the grammar's reading of `line`; `sends`: the line begins like a call, or has
    a word that sends one."""
    found = _weighed(actions, line, sends=sends)
    if all(isinstance(action, Unclear) and action.ask in (ASK_WHAT, ASK_DOUBT) for action in found):
        last = ordered_last(line)
        return [last] if last else found
    return found


def _weighed(actions: Sequence[Action], line: Judged, *, sends: bool) -> list[Action]:
    kinds = line.likely("kind")
    weights = _Weights(line, dict(kinds), *kinds[0], dict(line.likely("ordered"))["no"],
                       dict(line.likely("several"))["yes"])
    done = [action for action in actions if not isinstance(action, Unclear)]
    if not done:
        return _instead_of_asking(actions, weights)
    stands = len(done) == 1 and (isinstance(done[0], Decide) or done[0] == Altitude(None, "hold"))
    if stands and weights.kind == "decide" and _TURNED_FROM.search(joined(line.line)):
        return list(actions)   # the words still name what was taken back, and the grammar knows what stands
    meant = without_manner(done)
    if any(action.kind not in weights.kinds for action in meant):
        return list(actions)   # nothing was learned of such an action
    if len(meant) > 1 and any(isinstance(action, Transmit | Wait) for action in meant):
        return list(actions)
    if len(meant) > 1:
        return _instead_of_several(actions, meant, weights)
    if sends and isinstance(meant[0], Transmit):
        if weights.kind == "transmit":
            return _without_talk(actions, meant[0], weights)
        other = weights.share >= CERTAIN and weights.kinds["transmit"] <= NEVER and weights.kind != "unclear"
        return [Unclear(ASK_DOUBT)] if other else list(actions)
    return _instead_of_one(actions, meant[0], weights)


def _instead_of_asking(actions: Sequence[Action], weights: _Weights) -> list[Action]:
    """Return the likely action in the place of a question, where the grammar asks because it does not understand.

    What it asks for another reason stays asked: a figure that is missing, a line that forbids or excludes itself, but
    for what a clause after that orders by itself. What waits for something is not done, but for what only lasts until
    then. What is told or asked is at most looked at.
    """
    asks = {action.ask for action in actions if isinstance(action, Unclear)}
    text = joined(weights.line.line)
    if asks <= {ASK_NOT_DONE, ASK_WHICH}:
        apart = weights.share >= CERTAIN and weights.nothing <= HARDLY and ordered_after(weights.line, weights.kind)
        return [(apart and weights.action()) or action for action in actions]
    certain = ASK_MEANT in asks
    waits = any(ask.startswith(ASK_IN_TIME) for ask in asks)
    for_atc = any(ask.startswith(FOR_ATC) for ask in asks)
    plain = all(ask in (ASK_WHAT, ASK_MEANT) or ask.startswith((NOT_UNDERSTOOD, ASK_IN_TIME, FOR_ATC)) or (
        weights.kind != "decide" and ask.startswith(ASK_FIELD)) for ask in asks)
    nothing = ORDERS_NOTHING_SURELY if weights.share >= NEARLY_CERTAIN else ORDERS_NOTHING
    instead = weights.action(nothing) if plain and weights.share >= (CERTAIN if certain else CLEAR) else None
    if instead is None or (for_atc and isinstance(instead, Diagnose)) or (waits and not _is_for_now(instead, weights)):
        return list(actions)
    only_told = _PARTED.search(text) is None and (
        tells(text) or orders_nothing(text) or light_shows(text) or _QUESTION.match(text) is not None)
    return list(actions) if only_told and not isinstance(instead, _HARMLESS) else [instead]


_PARTED = re.compile(r" (?:[,.?]|and|so|then|but) .")
"""Where what is told may have an order beside it: "safety altitude is 4700, get up to it"."""
_QUESTION = re.compile(r"(?:is|are|was|were|do|does|did|has|have|am|should|shall|what|why|who|when|which|where|how)\b")


_UNTIL = re.compile(r"\b(?:until|till?)\b")
_OTHERWISE_WAITS = re.compile(
    r"\b(?:if|when|whenever|once|unless|after|as soon as|should|then|wait\w*|hold off|hold on|stand ?by)\b")


def _lasts(text: str) -> bool:
    """Whether an order is for now, and only lasts until something: "avionics off until the smell is gone"."""
    return _UNTIL.search(text) is not None and not _OTHERWISE_WAITS.search(text) and not negates(text)


def _is_for_now(action: Action, weights: _Weights) -> bool:
    """Whether an action of a line with a condition in it is for now all the same."""
    text = joined(weights.line.line)
    return (_goes_on(action) and _UNTIL.search(text) is not None) or _lasts(text) or (
        weights.share >= CERTAIN and concluded(weights.line, weights.kind))


def _goes_on(action: Action) -> bool:
    """Whether an action goes on by itself, so that "until" only says how long: "hold over Domer until I know more"."""
    return action in (Decide("continue"), Altitude(None, "hold")) or isinstance(action, Wait) or (
        isinstance(action, Decide) and action.plan == "hold") or (
        isinstance(action, Turn) and action.heading_deg is None and action.by_deg is None)


def _instead_of_several(actions: Sequence[Action], meant: Sequence[Action], weights: _Weights) -> list[Action]:
    """Return the one action of which several were made: the reason for it, or the same thing said twice."""
    if all(isinstance(each, Look) for each in meant) and weights.kinds["compare"] >= SOME:
        both = filled("compare", weights.line)
        return [both] if both is not None else list(actions)
    nothing = weights.kind == "unclear" and min(weights.share, weights.nothing) >= CLEAR
    apart = len({each.kind for each in meant}) == len(meant) == orders_in(weights.line)
    if nothing and not apart and not all(isinstance(each, _HARMLESS) for each in meant):
        return [Unclear(ASK_DOUBT)]
    certain = weights.several <= FEW and weights.share >= LIKELY
    plain = weights.share >= CLEAR and weights.several <= FEW and all(
        isinstance(each, _HARMLESS) if each.kind != weights.kind else isinstance(each, BY_FIGURES) for each in meant)
    if weights.kind == "look" and all(isinstance(each, Look) for each in meant):
        return list(actions)   # one look more does no harm
    looked = weights.share >= CERTAIN and weights.several <= HALF and all(isinstance(each, _HARMLESS) for each in meant)
    others = [weights.kinds[each.kind] for each in meant if each.kind != weights.kind]
    besides = weights.several <= HALF and weights.share >= SURE and max(others, default=1.0) <= UNHEARD_OF
    if (not certain and not plain and not looked and not besides) or orders_in(weights.line) > 1:
        return list(actions)
    instead = weights.action()
    return [instead] if instead is not None else list(actions)


def _instead_of_one(actions: Sequence[Action], read: Action, weights: _Weights) -> list[Action]:
    share = weights.kinds[read.kind]
    if any(isinstance(action, Unclear) and not_understood_words(action) is None for action in actions):
        return list(actions)   # what is asked besides was understood
    if read.kind == weights.kind or (isinstance(read, LevelWings) and weights.kind == "stop_turn"):
        return _of_one_kind(actions, read, weights)
    instead = weights.action() if weights.share >= LIKELY else None
    if isinstance(read, _PLAINLY_ORDERED) and (instead is None or isinstance(instead, (*_HARMLESS, LevelWings))):
        return list(actions)   # what is told beside an order is the reason for it
    if len(weights.line.line) < SHORT or any(
            action.kind == weights.kind for action in actions if not isinstance(action, Unclear)):
        return list(actions)   # a few words show little, and the grammar knows them; or it is done already
    if share <= (HARDLY if weights.share >= CLEAR else NEVER):
        return [instead or Unclear(ASK_DOUBT)]
    if weights.kind == "unclear" and isinstance(read, Look | Compare):
        return list(actions)
    told = isinstance(read, Diagnose) and share <= SOME and weights.share >= LIKELY   # a reason for something else
    doubtful = share <= RARELY and weights.share >= (CLEAR if weights.kind == "unclear" else LIKELIER)
    if instead and isinstance(read, Diagnose) and doubtful and weights.share >= WELL_LIKELY:
        return [instead]   # what has failed is why it is ordered
    return [Unclear(ASK_DOUBT)] if told or doubtful else list(actions)


def _of_one_kind(actions: Sequence[Action], read: Action, weights: _Weights) -> list[Action]:
    """Return what is done of an action whose kind is the likeliest, too: what the words make of it where they say
    more, and without a question about words that are no order of their own."""
    if weights.share < (LIKELY if isinstance(read, Decide) and read.where is None else CLEAR):
        return list(actions)
    kept = _without_talk(actions, read, weights)
    other = filled(read.kind, weights.line)
    if other is None or _other_side(other, read):
        return kept
    if len(kept) == len(actions) and not _says_more(other, read, corrected=corrects(weights.line.line)):
        return kept
    return [other if action is read else action for action in kept]


def _without_talk(actions: Sequence[Action], read: Action, weights: _Weights) -> list[Action]:
    """Return `actions` without questions about words that order nothing besides `read`."""
    questions = [words for action in actions if (words := not_understood_words(action)) is not None]
    if weights.share < CLEAR or not all(_is_idle(words, read, weights) for words in questions):
        return list(actions)
    return [action for action in actions if not_understood_words(action) is None]


def _is_idle(words: str, read: Action, weights: _Weights) -> bool:
    """Whether words that were not understood beside `read` order nothing else."""
    if weights.share >= CERTAIN and weights.several <= HARDLY:
        idle = not _is_strange(words, weights)
    else:
        idle = weights.several <= FEW and not _may_order(words, read, weights)
    return idle or _is_talk(words, read, weights)


_TALK = ("unclear", "diagnose", "look", "compare")


def _is_talk(words: str, read: Action, weights: _Weights) -> bool:
    """Whether words that were not understood beside an action are likely the reason for it, or only talk."""
    line = weights.line.of(words)
    if line is None or line.strange() or has_shape_of_order(joined(line.line)):
        return False
    return sum(share for kind, share in line.likely("kind") if kind in _TALK or kind == read.kind) >= CERTAIN


def _is_strange(words: str, weights: _Weights) -> bool:
    line = weights.line.of(words)
    return line is None or line.strange()


def _may_order(words: str, read: Action, weights: _Weights) -> bool:
    """Whether words that were not understood beside an action may order another: there is one among them that is
    strange, or they have the shape of an order, and not of the same."""
    line = weights.line.of(words)
    if line is None or line.strange():
        return True
    if not has_shape_of_order(" ".join(words.lower().split())):
        return False
    kind, share = line.likely("kind")[0]
    return share < LIKELY or kind not in (read.kind, "unclear")


def _says_more(other: Action, read: Action, *, corrected: bool) -> bool:
    """Whether what the words make of a line is to be preferred to what the grammar does: where they find other figures
    the line was corrected, or one of them is a reason; a place or a failed part that one of them overlooks is meant."""
    if isinstance(other, Decide) and isinstance(read, Decide):
        return other.plan != read.plan or (other.where is not None and not (read.where or "").startswith(other.where))
    if isinstance(other, Diagnose) and isinstance(read, Diagnose):
        return set(other.failed) > set(read.failed)
    if isinstance(other, Altitude) and isinstance(read, Altitude):
        return read.by_ft is None and (other.to_ft != read.to_ft or not corrected)
    if isinstance(other, Turn) and isinstance(read, Turn):
        return (other.by_deg, other.heading_deg) != (None, None) or (read.by_deg, read.heading_deg) == (None, None)
    return isinstance(read, Airspeed)


def _other_side(other: Action, read: Action) -> bool:
    """Whether two turns go to different sides; of a side that was corrected the grammar knows more."""
    return isinstance(other, Turn) and isinstance(read, Turn) and read.direction not in ("shortest", other.direction)
