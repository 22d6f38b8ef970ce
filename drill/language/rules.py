"""The rules by which one order is read, and what keeps it from being done: it forbids, waits for something, or asks."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeAlias

from drill.language import (
    abreast,
    aligning,
    altitudes,
    conditional,
    decisions,
    handling,
    hearsay,
    instruments,
    maneuvers,
    paperwork,
    radio,
    switches,
    told,
)
from drill.language.forbidding import FORBIDDEN, read_unless_forbidden
from drill.language.leftovers import left_over
from drill.language.meaning import Action, Checklist, Compare, Diagnose, Look, Unclear, Wait
from drill.language.mending import WITHDRAWN
from drill.language.orders import Order, order, without_opening
from drill.language.sought import Sought
from drill.language.starting import LONGEST_ORDER
from drill.language.words import Token

Rule: TypeAlias = Callable[[Order], list[Action] | None]

RULES: tuple[Rule, ...] = (
    decisions.break_off, paperwork.checklist_item, paperwork.checklist, paperwork.write_up, decisions.timer,
    decisions.wait, instruments.uncover, aligning.align, instruments.cover, switches.transponder,
    switches.breaker, instruments.compare, handling.go_around, abreast.holds_both, abreast.holds_at, abreast.back_to,
    maneuvers.level_wings, maneuvers.stop_turn, maneuvers.timed_turn, maneuvers.track, maneuvers.bug, abreast.rated,
    abreast.abreast, switches.by_whom,
    switches.shed, switches.lights, handling.turn_by, handling.by_the_card, instruments.fly_by, instruments.look,
    switches.switch,
    switches.tune, handling.flaps, handling.pace, handling.gently, handling.power, handling.pitch, decisions.run_up,
    decisions.taxi, decisions.decide, maneuvers.turn_rate, maneuvers.airspeed, altitudes.altitude, maneuvers.turn,
    decisions.diagnose, switches.named_only,
)
"""Every way to read an order; the first that fits is taken."""

LOOKING: tuple[Rule, ...] = (paperwork.checklist, instruments.compare, instruments.look, decisions.diagnose)
"""The rules for what is asked or told: a question may be answered by a look, and does nothing else."""

ASK_WHICH = "That can be taken in two ways; which one do you want?"
ASK_MEANT = "Is that an order, or only a thought? Say plainly what to do."
ASK_ABOARD = "Those on board are left out of the exercise; say what to do, or call ATC."


def read_piece(piece: Order, line: Sequence[Token]) -> list[Action] | None:
    """Return what one order says: `FORBIDDEN` where it only forbids, None where it is not understood."""
    if piece.line[0].text == WITHDRAWN:
        return FORBIDDEN
    text = without_opening(piece.text)
    if radio.tells_aboard(text):
        return [Unclear(ASK_ABOARD)]
    if conditional.is_conditional(piece.text) and not _is_told(piece):
        return [conditional.asked_in_time(piece.line, piece.typed)]
    if (instead := instruments.distrust(piece)) is not None:
        return instead
    found = read_unless_forbidden(piece, first_fit)
    if found is FORBIDDEN or (found is None and hearsay.quotes_book(piece.text)):
        return FORBIDDEN
    asked = piece.typed[piece.line[-1].end:].lstrip().startswith("?") and not _POLITE.match(piece.text)
    if found and asked and not any(
            isinstance(action, Look | Compare | Diagnose | Unclear | Checklist | Wait) for action in found):
        return FORBIDDEN   # a question orders nothing
    if found and _EITHER.search(piece.text) and len(found) > 1 and not any(
            isinstance(action, Look | Compare | Diagnose) for action in found):
        return [Unclear(ASK_WHICH)]   # "cover the AI or the DG"
    if found is None and re.match(r"^(?:compare|cross)\b", text):
        found = instruments.compare(order(line, piece.typed, piece.book))
    return [*found, *left_over(piece, found, guarded)] if found else None


_POLITE = re.compile(r"^(?:(?:and|ok|okay|now|so|please) )*(?:(?:can|could|would|will|may|might) (?:you\b|"
                     r"(?:we|i|1)\b(?=.* (?:please|now|instead)\b))|let us\b|how about\b)")
"""A question that orders; "can we ...?" is one only where it is pressed."""
_EITHER = Sought(r"> or (?:else )?(?:the |my |our )?<")


def _is_told(piece: Order) -> bool:
    """Whether `piece` tells of what failed, or only talks: "it died when we turned" is no condition."""
    if conditional.governs_order(piece.text):
        return False
    found = first_fit(piece)
    if found is None:
        return not (conditional.opens(piece.text) or conditional.follows_order(piece.text)) or (
            decisions.wait(piece) is not None)
    return all(isinstance(action, Diagnose) for action in found)


def guarded(piece: Order) -> list[Action] | None:
    """Return what a part of an order says, as far as it is not forbidden, conditional, or only told."""
    if conditional.is_conditional(piece.text) and not _is_told(piece):
        return [conditional.asked_in_time(piece.line, piece.typed)]
    return read_unless_forbidden(piece, first_fit)


def first_fit(piece: Order) -> list[Action] | None:
    """Return what the first rule that fits makes of an order; what is told or asked is only looked at or judged."""
    if len(piece.line) > LONGEST_ORDER:
        return None
    if told.light_shows(piece.text):
        return next((found for rule in LOOKING[:-1] if (found := rule(piece)) is not None), None)
    for rule in LOOKING if hearsay.orders_nothing(piece.text) or told.tells(piece.text) else RULES:
        if (found := rule(piece)) is not None:
            return found
    return None
