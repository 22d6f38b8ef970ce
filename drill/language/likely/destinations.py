"""Decisions, and the place that a line names for them."""

from __future__ import annotations

import re

from drill.language.decisions import OWNED
from drill.language.likely.classifiers import knows
from drill.language.likely.corrections import after_correction
from drill.language.likely.judging import CLEAR, Judged
from drill.language.meaning import PLANS, Action, Decide
from drill.language.ordinary import ORDINARY
from drill.language.patterns import compiled
from drill.language.places import FIX, PLACE
from drill.language.spelling import every_day
from drill.language.words import Token, joined

_WHERE = compiled(r"""
    \b(?:to|for|into|at|over|overhead|toward|make|try|divert|diverting|land|landing|plan is|direct) (?:the )?
    (?P<where>(?!NOT_A_PLACE)[a-z]{4,})(?= |$)""".replace("NOT_A_PLACE", r"""
    (?:the|that|this|there|here|hold\w*|divert\w*|land\w*|somewhere|someplace|some|nearest|closest|alternate|airport|
    field|airfield|strip|runway|destination|departure|home|base|have|make|keep|continue|plan|flight|cloud|clear|left|
    right|heading|something|everything|whatever|best|good|better|worse|safe|safety|sort|think|figure|with|instead|now|
    please|them|what|where|going|until|till|while|visual|approach|just|back|down|final|minimums|minima|hangar|hanger|
    turn|carry|press|stay|wait|check|ramp|parking|apron|stand|taxi\w*|over|some|ground|anything|around|planned|filed|
    ahead|straight)\b"""))
"""A place that nobody knows, in small letters: "divert to bexby"."""
_CAPITAL = re.compile(r"(?:(?<=[^\W\d_][ ,:;] )|(?<=[a-z] ))((?!I\b|Also\b|And\b|But\b|Yes\b|No\b|Ok\b|We\b)"
                      r"[A-ZÀ-Þ][a-zà-ÿ']+(?:[ -][A-ZÀ-Þ][a-zà-ÿ']+)*)")
"""A name inside a sentence: "the new destination is Pont-Heraut"."""
_CAPITAL_FIRST = re.compile(r"([A-ZÀ-Þ][a-zà-ÿ]+(?: [A-ZÀ-Þ][a-zà-ÿ]+)*)(?:['’]s| is| has| looks| then\b)")
"""A name at the beginning: "Glenmoor is closest, divert there"."""
_HEADS_TO = re.compile(r"\b(?:to|for|toward|into|with|w)\b")
_HEADED = re.compile(r"\b(?:divert\w*|go|going|head\w*|land\w*|continue|continuing|hold\w*|press|route|proceed\w*|make)"
                     r"(?: \w+)? (?:to|for|at|into|over|toward) (?P<where><(?:place|fix)>)")
_MARKS = (PLACE, FIX)
_PART_OF_NAME = re.compile(r"[ -](?:[A-ZÀ-Þ][a-zà-ÿ']+|beacon|vor|VOR|ndb|NDB|intersection)\b")


def decide(line: Judged) -> Action | None:
    """Take the likely decision, for the place that is named; none where two places are."""
    plan, share = line.likely("plan")[0]
    if share < CLEAR or plan not in PLANS:
        return None
    if plan not in ("divert", "continue", "land", "hold"):
        return Decide(plan)
    places = _places(line, plan)
    return Decide(plan, places[0] if places else None) if len(places) < 2 else None


def _places(line: Judged, plan: str) -> list[str]:
    """Return the places that a line names: those that are marked; else a name with a capital letter, a strange word, or
    what stands where a place does. Of more than one that counts which follows a correction, or is headed for."""
    marked = _marked(line)
    if marked:
        return marked
    if len(capital := {OWNED.sub("", name) for name in _CAPITAL.findall(line.typed)}) == 1:
        return [*capital]
    if (leads := _CAPITAL_FIRST.match(line.typed)) and _is_name(leads[1].split()[0].lower(), line):
        return [leads[1]]
    if plan == "continue" and not _HEADS_TO.search(joined(line.line)):
        return []
    strange = [token for token in line.line if token.text.isalpha() and len(token.text) > 3 and not knows(token.text)]
    if len(strange) == 1:
        return [_whole_name(line.typed, strange[0])]
    if plan == "continue" or line.typed != line.typed.lower():
        return []
    text = joined(line.line)
    found = [line.line[text[:match.start("where")].count(" ")] for match in _WHERE.finditer(text)]
    return [_whole_name(line.typed, found[-1])] if found else []


def _is_name(word: str, line: Judged) -> bool:
    return line.line[0].text == word and word not in ORDINARY and word not in every_day(line.book)


def _marked(line: Judged) -> list[str]:
    text = joined(line.line)
    named = [_whole_name(line.typed, token) for token in after_correction(line.line, _MARKS.__contains__)
             if token.text in _MARKS]
    headed = [line.line[text[:match.start("where")].count(" ")] for match in _HEADED.finditer(text)]
    if len(set(named)) > 1 and len(headed) == 1:
        return [_whole_name(line.typed, headed[0])]
    return list(dict.fromkeys(named))


def _whole_name(typed: str, token: Token) -> str:
    """Return the place at `token` with the words that belong to its name: "Marsh Green", "Bexby VOR"."""
    end = token.end
    if typed[token.start:end].istitle():
        while more := _PART_OF_NAME.match(typed, end):
            end = more.end()
    return OWNED.sub("", typed[token.start:end])
