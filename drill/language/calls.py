"""A radio call read whole."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from drill.clean import clean_line
from drill.language import aboard, figures, stating
from drill.language.asking import asked_of_atc
from drill.language.blamed import UNDECIDED
from drill.language.by_quantity import horizon_by_letters, named_by_quantity, single_gyro
from drill.language.callsigns import Addressed, addressed
from drill.language.cancelling import cancels_ifr
from drill.language.clauses import polite_removed
from drill.language.corrections import corrected
from drill.language.durations import clock_spoken
from drill.language.equipment import FOR_OTHERS, equipment_said, is_pretended
from drill.language.letters import characters
from drill.language.lexicon import with_names
from drill.language.likely.listening import differs, likely_in, weighed
from drill.language.meaning import Call, Context
from drill.language.numbers import join_numbers
from drill.language.places import with_places
from drill.language.replies import replies
from drill.language.spelling import spelled
from drill.language.words import Token, joined, tokens, word_set

_WITHOUT_APOSTROPHE = {"were": ("we", "are"), "id": ("i", "would"), "wed": ("we", "would")}
_MAY_BE_OTHERWISE = frozenset({*_WITHOUT_APOSTROPHE, "may", "will", "n"})
_HEADINGS = frozenset({"heading_indicator", "magnetic_compass"})
"""Where nobody knows which of them is wrong, the heading that either shows is none."""
_WISHES = frozenset({"like", "love", "prefer", "rather", "appreciate"})
_STATE_FOLLOWS = word_set(
    """in at on over going now still level solid partial between above below coming heading descending climbing
    declaring unable not vmc imc vfr ifr""")


def _with_mayday(line: Sequence[Token]) -> Sequence[Token]:
    if "may" not in [text for text, _, _ in line]:
        return line
    joined_up: list[Token] = []
    for token in line:
        if token.text == "day" and joined_up and joined_up[-1].text == "may":
            token = Token("mayday", joined_up.pop().start, token.end)
        joined_up.append(token)
    return joined_up


_IS = word_set("""is am are was were feel feels feeling felt fell fallen falls got getting taken become becoming looks
               seems very really seriously suddenly badly quite so gravely terribly too somewhat""")
_WHO = word_set("""pilot passenger passengers copilot captain wife husband student instructor friend man woman child
                somebody""")
_OF_WHOM = word_set("on with from and at in again passenger passengers person people man woman child pilot crew")


def _with_ill(line: Sequence[Token]) -> Sequence[Token]:
    """Return `line` with "ill" as it is typed where it means sick, and not "I will"."""
    if "will" not in [text for text, _, _ in line]:
        return line
    found: list[Token] = []
    for at, token in enumerate(line):
        before = line[at - 1] if at else None
        if token.text == "will" and before is not None and before.text == "i" and before[1:] == token[1:] and (
                token.end - token.start == len("ill")):
            who = line[at - 2].text if at > 1 else ""
            after = line[at + 1] if at + 1 < len(line) else None
            if who in _IS or who in _WHO or after is None or after.is_break or after.text in _OF_WHOM:
                found[-1] = Token("ill", token.start, token.end)
                continue
        found.append(token)
    return found


_NORTH_OF = word_set("miles mile nm to the heading hdg course just due bound and or of north")
"""Words after which "n" is north."""


def _with_and(line: Sequence[Token]) -> Sequence[Token]:
    """Return `line` with "n" as "and" where it joins words: "hour n a half", "dead n buried"."""
    if "n" not in [text for text, _, _ in line]:
        return line
    found: list[Token] = []
    for at, token in enumerate(line):
        before, after = line[at - 1].text if at else ".", line[at + 1].text if at + 1 < len(line) else "."
        joins = token.text == "n" and before.isalpha() and after not in (",", ".", "?", "of") and (
            characters(before) is None and characters(after) is None and before not in _NORTH_OF)
        found.append(Token("and", token.start, token.end) if joins else token)
    return found


def _spelled_out(line: Sequence[Token]) -> tuple[Token, ...]:
    """Return `line` with "may day" as one word, and "were", "id", "wed" as what they stand for."""
    if _MAY_BE_OTHERWISE.isdisjoint([text for text, _, _ in line]):
        return tuple(line)
    line = _with_and(_with_ill(_with_mayday(line)))
    if _WITHOUT_APOSTROPHE.keys().isdisjoint([text for text, _, _ in line]):
        return tuple(line)
    found: list[Token] = []
    for at, token in enumerate(line):
        following = line[at + 1].text if at + 1 < len(line) else ""
        begins = at == 0 or line[at - 1].is_break or line[at - 1].text in ("and", "so", "but", "because", "think")
        meant = _WITHOUT_APOSTROPHE.get(token.text)
        if meant and following in (_WISHES if token.text != "were" else _STATE_FOLLOWS if begins else ()):
            found += [Token(text, token.start, token.end) for text in meant]
        else:
            found.append(token)
    return tuple(found)


_SUPPOSED = re.compile(r"\b(?:if|in case|should|unless|suppose|supposing|when|once) [^,.?]*")
"""Clauses in which what is named may fail, and has not yet."""


def call_tokens(said: str, context: Context) -> tuple[Token, ...]:
    """Return the words of a call with callsigns, facilities, places, names and numbers each as one token."""
    line, _ = with_places(addressed(_spelled_out(tokens(said)), context).line, said, context)
    return with_names(join_numbers(spelled(line, context.lexicon)), context.lexicon.on_air)


def _places(line: Sequence[Token], spellings: Mapping[int, str]) -> tuple[str, ...]:
    """Return the places that are named, each once, without those that were taken back."""
    return tuple(dict.fromkeys(spellings[token.start] for token in line if token.start in spellings))


def read_call(words: str, context: Context) -> Call:
    """Return what the words of one transmission say: as the grammar has it, weighed against what they make likely.
    Never raises; what is not understood is not in the call."""
    return _read(words, context, weigh=True)


def by_grammar(words: str, context: Context) -> Call:
    """Return what the grammar alone reads in `words`, which need not be a call: nothing is likely in other lines."""
    return _read(words, context, weigh=False)


def named_tokens(words: str, context: Context) -> tuple[Token, ...]:
    """Return the words of a call as they are listened to: named, and without what was corrected away."""
    return tuple(corrected(_named(clean_line(words), context)[1]))


def _named(said: str, context: Context) -> tuple[Addressed, tuple[Token, ...], Mapping[int, str]]:
    """Return who speaks to whom, the line with its places, numbers and names marked, and how its places are spelled."""
    who = addressed(_spelled_out(tokens(said)), context)
    line, spellings = with_places(who.line, said, context)
    numbered = clock_spoken(join_numbers(spelled(line, context.lexicon)), said)
    return who, with_names(numbered, context.lexicon.on_air), spellings


def _read(words: str, context: Context, *, weigh: bool) -> Call:
    book = context.lexicon
    said = clean_line(words)
    who, as_said, spellings = _named(said, context)
    line = corrected(as_said)
    parts = equipment_said(single_gyro(horizon_by_letters(named_by_quantity(line), said), said), book)
    failed = parts.failed
    text = polite_removed(joined(line), book)
    asked = asked_of_atc(text, book)
    call = Call(
        words=said,
        facility=who.facility,
        callsign=who.callsign,
        urgency=stating.urgency(text, book),
        equipment=failed,
        impairment=stating.states_impairment(text, book),
        assistance=asked.assistance,
        conditions=stating.conditions(text, book),
        altitude_ft=figures.altitude_ft(text, altimeter_suspect="altimeter" in failed),
        heading_deg=None if _HEADINGS.issubset(failed) and UNDECIDED.search(text) else figures.heading_deg(text),
        position=figures.has_position(text),
        souls=aboard.souls(text),
        fuel_min=aboard.fuel_min(text),
        intentions=stating.states_intentions(text, book),
        replies=replies(text),
        altitude_wanted_ft=asked.altitude_ft,
        heading_wanted_deg=asked.heading_deg,
        rejoined=parts.works,
        cancels_ifr=cancels_ifr(text),
        declines_emergency=stating.declines_emergency(text, book),
        trouble=not failed and stating.states_trouble(text, book),
        shortened=who.shortened,
    )
    if weigh and differs(call, likely := likely_in(line)):
        supposed = [each for clause in _SUPPOSED.findall(text) for name in re.findall(r"<(\w+)>", clause)
                    for each in book.equipment(name)]
        known = {*(f"equipment {each}" for each in (*parts.works, *parts.supposed, *supposed)),
                 *(f"assistance {each}" for each in book.any_ask.kinds(text))}
        pretended = is_pretended(text, book) or FOR_OTHERS.search(text) is not None
        call = weighed(call, likely, known=known, pretended=pretended)
    return replace(call, places=_places(line, spellings)) if call.intentions or call.assistance else call
