"""A typed line read whole: the orders in it, in their order, and what goes out on the radio."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeAlias

from drill.clean import clean_line
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
    sending,
    switches,
    told,
)
from drill.language.by_quantity import looked_at_by_quantity, single_gyro
from drill.language.calls import read_call
from drill.language.forbidding import ASK_NOT_DONE, FORBIDDEN, read_unless_forbidden, takes_out, without_holds
from drill.language.in_other_words import in_other_words
from drill.language.leftovers import (
    NOT_UNDERSTOOD,
    left_over,
    may_be_order,
    not_understood,
    part_by_part,
    says_nothing,
    with_figure,
    with_referent,
)
from drill.language.lexicon import with_names
from drill.language.meaning import (
    Action,
    Altitude,
    Call,
    Checklist,
    Compare,
    Context,
    Decide,
    Diagnose,
    FlyBy,
    Look,
    Switch,
    Transmit,
    Unclear,
    Wait,
)
from drill.language.mending import WITHDRAWN, correction_at
from drill.language.numbers import join_numbers
from drill.language.orders import Order, order, without_opening
from drill.language.patterns import compiled
from drill.language.pieces import pieces_of, trimmed
from drill.language.places import with_places
from drill.language.run_on import run_on
from drill.language.shorthand import spelled_out
from drill.language.sought import Sought
from drill.language.spelling import spelled
from drill.language.starting import JOINTS, LONGEST_ORDER, starts
from drill.language.together import exclude_each_other, parted, run_out, settled
from drill.language.withdrawn import dropped_at
from drill.language.words import Token, joined, tokens

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

ASK_WHAT = "I could not tell what to do; say one thing to do, for example look at an instrument, turn, or call ATC."
ASK_WHICH = "That can be taken in two ways; which one do you want?"
ASK_REST = "That is more than can be taken in one line; say the rest again."
MOST_ORDERS = 20
LONGEST_ANSWER = 80
ASK_ABOARD = "Those on board are left out of the exercise; say what to do, or call ATC."

_CONTRARY = (
    compiled(r"""
        ^do something\b|(?<!not )\bclimb(?:ing)?\b(?: or| and)+ descend|\bdescend\b(?: or| and)+ climb|
        \bleft (?:and|or) right\b|\bright (?:and|or) left\b|\bon (?:, )?(?:and|or) off\b|<\w+> on off$|
        <(\w+)> on <\1> off\b|
        \boff (?:,)?(?:and|or) on\b|\b(?:you choose|your choice|whichever you)\b|\bopen (?:and|or) closed?\b|
        \bup (?:and|or) down\b|\bfaster and slower\b|\bspeed up and slow\b|\bcover and uncover\b|
        , (?:i|we) (?:do not know|can not decide)(?: which(?: one| 1)?)?$|
        (?:^|, )(?:climb , descend|descend , climb|left , right|right , left)(?: ,|$)|
        \b(?:oh|god|help|hell|christ),? (?:i|we) do not know$|\b\d{2,5} or \d{2,5}\b|
        \b(?:on|open) but .*\b(?:off|closed)$|\b(?:climb|descend)\b.*\band (?:stay|remain|keep|hold) (?:down|
        up) at\b"""),
    compiled(r"""
        \b(?:either|possibly|maybe(?! (?:just )?(?:wait|look|check|peek|glance|sit)| ,)|
        perhaps(?! (?:just )?(?:wait|look|check))|not sure (?:if|whether)|should i|shall i|will i|
        (?<!see )(?<!check )(?<!verify )(?<!look )(?<!tell )(?<!determine )whether)\b|
        \?(?!(?: ,)? (?:is|are|does|do) (?:it|they|that) \w+ or \w+$).*\bor\b|\bone of them$|
        \bor (?:back|maybe|should|else|land|continue|divert|return|press|turn|climb|descend|go|hold|carry|head|
        press|keep|stay|wait|abort|left|right|<\w+> off|to <place>|<place>)\b"""),
)


def read(line: str, context: Context) -> list[Action]:
    """Return what a typed line orders, in order; never empty and never raises.

    A semicolon parts orders, also from what is said on the radio before it. What cannot be read, excludes itself, or
    is only forbidden ("don't touch the pitot heat") is one `Unclear`; so is, in its place, each part of a line that
    is not understood beside others that are.
    """
    lines = _lines(clean_line(line))
    parts: list[tuple[str, list[Action]]] = []
    for each in lines[:MOST_ORDERS]:
        actions = _read_line(each, context)
        if actions == [Unclear(ASK_NOT_DONE)] and (kinds := takes_out(joined(tokens(each)))):
            parts = [(line, [action for action in earlier if action.kind not in kinds]) for line, earlier in parts]
        parts.append((each, actions))
    ordered = [(each, actions) for each, actions in parts if actions != [Unclear(ASK_NOT_DONE)]] or parts
    found = [[not_understood(order(tokens(each), each, context.lexicon))]
             if actions == [Unclear(ASK_WHAT)] and len(ordered) > 1 else actions for each, actions in ordered]
    if len(lines) > MOST_ORDERS:
        found.append([Unclear(ASK_REST)])
    return [action for actions in found for action in actions] or [Unclear(ASK_WHAT)]


def _lines(typed: str) -> list[str]:
    """Return the parts of a line between semicolons outside quotation marks, a correction with what it corrects."""
    if ";" not in typed:
        return [typed] if any(not token.is_break for token in tokens(typed)) else []
    parts: list[str] = []
    for piece in re.findall(r'(?:[^;"]|"[^"]*"|")+', typed):
        words = [token for token in tokens(piece) if not token.is_break]
        if not words:
            continue
        gone = dropped_at(words, 0, after_break=True) == len(words)
        if parts and (gone or correction_at(words, 0, tokens(parts[-1]))):
            parts[-1] += "," + piece
        else:
            parts.append(piece)
    return parts


def _read_line(typed: str, context: Context) -> list[Action]:
    raw = tokens(typed)
    fixed = spelled(raw, context.lexicon)
    if len(fixed) <= LONGEST_ORDER and hearsay.asks_itself(joined(fixed)):
        return [Unclear(ASK_NOT_DONE)]
    whole = radio.is_call(fixed, context)
    spoken_from = 0 if whole else sending.begins(fixed)
    if spoken_from > 0 and sending.waits(fixed[:spoken_from], typed):
        spoken_from = sending.DOUBTFUL
    if spoken_from < 0:
        if radio.only_calls(without_opening(joined(fixed)).strip(" ,.")):
            return [Unclear(sending.ASK_WORDS)]
        actions = _orders(fixed, typed, context)
        if spoken_from != sending.DOUBTFUL:
            return actions
        if any(isinstance(action, Transmit) for action in actions):
            return [Unclear(sending.ASK_SENT)]
        return [Unclear(sending.ASK_SENT) if isinstance(action, Diagnose) else action for action in actions]
    said = fixed[spoken_from:]
    if (cut := sending.ends(said, typed, context)) is not None:
        first = _read_line(typed[:cut[0]], context)
        return [*(first if first != [Unclear(ASK_NOT_DONE)] else ()), *_read_line(typed[cut[1]:], context)]
    if not whole and (again := sending.anew(said)):
        before = typed[:said[0].start].rstrip(" ,;.")
        return [*(_read_line(before, context) if before else ()), *_read_line(typed[said[again].start:], context)]
    question = sending.held_back(said, typed, context, whole=whole)
    call = question or radio.transmit(raw if whole else said, typed, context, whole=whole)
    if spoken_from == 0:
        return [call]
    actions = _orders(fixed[:spoken_from], typed[:said[0].start], context)
    if _goes_with(actions, said, context):
        return [question or radio.transmit(raw, typed, context, whole=True)]
    if actions == [Unclear(ASK_WHAT)]:
        before_it = order(trimmed(fixed[:spoken_from]), typed, context.lexicon)
        actions = [] if says_nothing(before_it) else [not_understood(before_it)]
    return [*actions, call] if call != Unclear(ASK_NOT_DONE) or not actions else actions


def _goes_with(actions: Sequence[Action], said: Sequence[Token], context: Context) -> bool:
    """Whether what stands before a call without an addressee is part of it: "icing is bad, need lower now"."""
    led = radio.opening_of(without_opening(joined(said))) > 0
    wants = not led and bool(read_call(joined(said), context).assistance)
    return not led and len(actions) == 1 and (
        isinstance(actions[0], Transmit) or actions[0] == _for_atc(context)
        or (wants and isinstance(actions[0], Diagnose) and actions[0].failed != ()))


def _for_atc(context: Context) -> Unclear:
    """Return the question about what sounds as if it were said to ATC."""
    unit = clean_line(context.facility).split()[-1:] or ["ATC"]
    return Unclear(f'If that is for ATC, say it to them: "tell {unit[0].lower()} ...".')


def _orders(line: Sequence[Token], typed: str, context: Context) -> list[Action]:
    book = context.lexicon
    named, _ = with_places(with_names(spelled_out(join_numbers(line), typed), book.cockpit), typed, context)
    named = _without_right(looked_at_by_quantity(single_gyro(named, typed)))
    pieces = pieces_of(named)
    contrary = without_holds(joined(named))
    if pieces is None or any(pattern.search(contrary) for pattern in _CONTRARY):
        return [Unclear(ASK_WHICH)]
    pieces = [part for piece in conditional.together(pieces, typed)[:MOST_ORDERS + 1]
              for part in run_on(piece, typed, book, _first_fit)]
    orders = [order(piece, typed, book) for piece in pieces[:MOST_ORDERS]]
    readings = [_read_piece(each, named) for each in orders]
    forbidden = any(reading is FORBIDDEN for reading in readings)
    untouched = sum(map(len, pieces)) >= sum(token.text not in JOINTS for token in named)
    if not any(readings) and not forbidden and untouched and (whole := _guarded(order(named, typed, book))):
        return whole
    idle: list[Action] = []   # questions about what has not the shape of an order
    asked: list[tuple[Order, Unclear]] = []
    groups: list[list[Action]] = [[]]   # what is done after a "then" excludes nothing before it
    for at, (each, reading) in enumerate(zip(orders, readings, strict=True)):
        found = reading
        if found is FORBIDDEN and (kinds := takes_out(each.text)):
            groups = [[action for action in group if action.kind not in kinds] for group in groups]
        if at and _comes_after(each, named):
            groups.append([])
        if instruments.distrust(each) is not None and any(isinstance(action, FlyBy) for action in groups[-1]):
            continue   # "fly by the altimeter and ignore the VSI"
        if at + 1 < len(orders) and readings[at + 1] is None and switches.only_named(each) and (
                both := _guarded(order((*each.line, *orders[at + 1].line), typed, book))) is not None:
            readings[at + 1] = both   # "static source, select alternate"
            continue
        if at + 1 < len(orders) and switches.leads_up_to(each, orders[at + 1], readings[at + 1]):
            continue
        if at == 1 and (meant := with_figure(each, orders[0])) is not None and (reading := _guarded(meant)):
            found = reading
            groups = [[]]
        nowhere = found in ([Decide("divert")], [Decide("land")]) and "there" in each.text
        told_of_it = found is None or nowhere or re.match(r"^(?:check|compare|verify|reset|cross check) it\b",
                                                   without_opening(each.text))
        trusts = found is FORBIDDEN and instruments.TRUSTS_IT.match(without_opening(each.text)) is not None
        if trusts and (meant := with_referent(each, orders[:at])) is not None:
            found = instruments.distrust(meant) or found   # "the compass has no fluid left, can't trust it"
        if told_of_it and (meant := with_referent(each, orders[:at])) is not None:
            found = _guarded(meant) or found
            if found is not None and at == 1 and orders[0].names and len(orders[0].line) <= 3:
                groups = [[]]   # "heat for the pitot tube, switch it off": the name leads up to the order
        if found is None:
            found = part_by_part(each, _guarded)
            idle += [action for action in found if isinstance(action, Unclear) and not may_be_order(each)]
            asked += [(each, action) for action in found if isinstance(action, Unclear)]
        for n, action in enumerate(found):
            if n and exclude_each_other(found[n - 1:n + 1]):
                groups.append([])   # "off and then on"
            groups[-1] += [action] if action not in groups[-1][-1:] else []
    if len(pieces) > MOST_ORDERS:
        groups[-1].append(Unclear(ASK_REST))
    actions = [action for group in groups for action in group]
    limited = any(found is FORBIDDEN and _LIMITS.search(each.text)
                  for each, found in zip(orders, readings, strict=True))
    if limited and not {Altitude(None, "climb"), Altitude(None, "descend")}.isdisjoint(actions):
        return [Unclear(ASK_WHICH)]   # "descend but do not go below 3000"
    if any(exclude_each_other(group) for group in parted(groups)):
        return [Unclear(ASK_WHICH)]
    if any(isinstance(action, Switch) and action.to == "off" for action in actions):
        actions = [action for action in actions if action != Unclear(switches.ASK_LOAD)]   # "shed load: strobes off"
        groups = [[action for action in group if action != Unclear(switches.ASK_LOAD)] for group in groups]
    idle += [question for each, question in asked if question not in idle and in_other_words(each, actions)]
    if any(not isinstance(action, Unclear) or not action.ask.startswith(NOT_UNDERSTOOD) for action in actions):
        left_out = idle if len(idle) < len(actions) else []
        kept = [action for group in parted(groups)
                for action in settled([each for each in group if each not in left_out])]
        said = {token.text for token in named}
        return kept if "." in said else run_out(kept, then="then" in said)
    if len(line) <= LONGEST_ANSWER:
        call = read_call(typed, context)
        if not forbidden and not told.tells(joined(line)) and _answers_atc(call):
            return [radio.transmit(line, typed, context, whole=True)]
        if call.declines_emergency or (not forbidden and _reports(call)):
            return [_for_atc(context)]
    return [Unclear(ASK_NOT_DONE if forbidden else ASK_WHAT)]


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


def _read_piece(piece: Order, line: Sequence[Token]) -> list[Action] | None:
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
    found = read_unless_forbidden(piece, _first_fit)
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
    return [*found, *left_over(piece, found, _guarded)] if found else None


_POLITE = re.compile(r"^(?:(?:and|ok|okay|now|so|please) )*(?:(?:can|could|would|will|may|might) (?:you\b|"
                     r"(?:we|i|1)\b(?=.* (?:please|now|instead)\b))|let us\b|how about\b)")
"""A question that orders; "can we ...?" is one only where it is pressed."""
_EITHER = Sought(r"> or (?:else )?(?:the |my |our )?<")


def _is_told(piece: Order) -> bool:
    """Whether `piece` tells of what failed, or only talks: "it died when we turned" is no condition."""
    if conditional.governs_order(piece.text):
        return False
    found = _first_fit(piece)
    if found is None:
        return not (conditional.opens(piece.text) or conditional.follows_order(piece.text)) or (
            decisions.wait(piece) is not None)
    return all(isinstance(action, Diagnose) for action in found)


def _guarded(piece: Order) -> list[Action] | None:
    """Return what a part of an order says, as far as it is not forbidden, conditional, or only told."""
    if conditional.is_conditional(piece.text) and not _is_told(piece):
        return [conditional.asked_in_time(piece.line, piece.typed)]
    return read_unless_forbidden(piece, _first_fit)


def _first_fit(piece: Order) -> list[Action] | None:
    if len(piece.line) > LONGEST_ORDER:
        return None
    if told.light_shows(piece.text):
        return next((found for rule in LOOKING[:-1] if (found := rule(piece)) is not None), None)
    for rule in LOOKING if hearsay.orders_nothing(piece.text) or told.tells(piece.text) else RULES:
        if (found := rule(piece)) is not None:
            return found
    return None
