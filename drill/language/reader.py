"""A typed line read whole: the orders in it, in their order, and what goes out on the radio."""

from __future__ import annotations

import re
from collections.abc import Sequence

from drill.clean import clean_line
from drill.language import hearsay, radio, sending
from drill.language.calls import by_grammar
from drill.language.contrary import excludes_all_at_once
from drill.language.forbidding import ASK_NOT_DONE, takes_out
from drill.language.leftovers import has_shape_of_order, not_understood, not_understood_words, says_nothing
from drill.language.likely.judging import judged
from drill.language.likely.weighing import SHORT, weighed
from drill.language.meaning import Action, Compare, Context, Diagnose, Look, Transmit, Unclear
from drill.language.mending import correction_at
from drill.language.ordering import ASK_REST, ASK_WHAT, MOST_ORDERS, read_orders
from drill.language.orders import order, without_opening
from drill.language.pieces import trimmed
from drill.language.rules import ASK_WHICH
from drill.language.spelling import spelled
from drill.language.starting import LONGEST_ORDER
from drill.language.withdrawn import dropped_at
from drill.language.words import Token, joined, tokens


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
    """Return what one part of a line orders: as the grammar has it, weighed against what its words make likely."""
    raw = tokens(typed)
    fixed = spelled(raw, context.lexicon)
    if len(fixed) <= LONGEST_ORDER and hearsay.asks_itself(joined(fixed)):
        return [Unclear(ASK_NOT_DONE)]
    whole = radio.is_call(fixed, context)
    spoken_from = 0 if whole else sending.begins(fixed)
    actions = _by_grammar(typed, raw, fixed, context, spoken_from, whole=whole)
    line = judged(fixed, typed, context)
    actions = weighed(actions, line, sends=spoken_from != -1) if line else actions
    done = [action for action in actions if not isinstance(action, Unclear)]
    if line and len(done) == 1 and excludes_all_at_once(joined(line.line), done[0].kind):
        return [Unclear(ASK_WHICH)]
    if len(actions) == 1:
        return actions
    acts = any(not isinstance(action, Look | Compare | Diagnose | Unclear) for action in actions)
    return [each for action in actions for each in _looked_at_alone(action, context, acts=acts)]


def _looked_at_alone(action: Action, context: Context, *, acts: bool) -> list[Action]:
    """Return what a part of a line that was not understood beside the others is likely to order by itself; a look that
    is not asked for is the reason of what is done (`acts`: something is)."""
    words = not_understood_words(action)
    line = judged(spelled(tokens(words), context.lexicon), words, context) if words else None
    if not words or not line or len(line.line) < SHORT:
        return [action]
    alone = weighed([action], line, sends=False)
    told = acts and all(isinstance(each, Look) for each in alone) and "?" not in words
    return [] if told and not has_shape_of_order(joined(line.line)) else alone


def _by_grammar(typed: str, raw: Sequence[Token], fixed: Sequence[Token], context: Context, spoken_from: int, *,
                whole: bool) -> list[Action]:
    """Return what the rules make of a line: orders, and from `spoken_from` on a call (`whole`: all of it is)."""
    if spoken_from > 0 and sending.waits(fixed[:spoken_from], typed):
        spoken_from = sending.DOUBTFUL
    if spoken_from < 0:
        if radio.only_calls(without_opening(joined(fixed)).strip(" ,.")):
            return [Unclear(sending.ASK_WORDS)]
        actions = read_orders(fixed, typed, context)
        if spoken_from != sending.DOUBTFUL:
            return actions
        if any(isinstance(action, Transmit) for action in actions):
            return [Unclear(sending.ASK_SENT)]
        return [Unclear(sending.ASK_SENT) if isinstance(action, Diagnose) else action for action in actions]
    said = fixed[spoken_from:]
    if (cut := sending.ends(said, typed, context)) is not None:
        first = _read_line(typed[:cut[0]], context)
        return [*(first if first != [Unclear(ASK_NOT_DONE)] else ()), *_read_line(typed[cut[1]:], context)]
    if not whole and (again := sending.anew(said)) and not sending.is_quoted(typed, said[again].start):
        before = typed[:said[0].start].rstrip(" ,;.")
        return [*(_read_line(before, context) if before else ()), *_read_line(typed[said[again].start:], context)]
    question = sending.held_back(said, typed, context, whole=whole)
    call = question or radio.transmit(raw if whole else said, typed, context, whole=whole)
    if spoken_from == 0:
        return [call]
    actions = read_orders(fixed[:spoken_from], typed[:said[0].start], context)
    if _goes_with(actions, said, context):
        return [question or radio.transmit(raw, typed, context, whole=True)]
    if actions == [Unclear(ASK_WHAT)]:
        before_it = order(trimmed(fixed[:spoken_from]), typed, context.lexicon)
        actions = [] if says_nothing(before_it) else [not_understood(before_it)]
    return [*actions, call] if call != Unclear(ASK_NOT_DONE) or not actions else actions


def _goes_with(actions: Sequence[Action], said: Sequence[Token], context: Context) -> bool:
    """Whether what stands before a call without an addressee is part of it: "icing is bad, need lower now"."""
    if len(actions) != 1 or radio.opening_of(without_opening(joined(said))) > 0:
        return False
    before = actions[0]
    if isinstance(before, Transmit) or before == radio.for_atc(context):
        return True
    return isinstance(before, Diagnose) and before.failed != () and bool(by_grammar(joined(said), context).assistance)
