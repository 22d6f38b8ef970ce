"""Texts that cannot be shown well in words only, that are not finished, or that say nothing."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import replace

from drill.check.rules import warning
from drill.check.spans import columns, lines_of
from drill.check.standing import Way, key_at, texts, value_at, word_at
from drill.clean import clean
from drill.scenario.model import Scenario
from drill.scenario.places import Node, Text
from drill.scenario.problems import Place, Problem

COLUMNS = 78
"""Columns of the words-only face."""
MOVED_IN = 2
"""Columns by which a line of the coded weather is moved in."""
LEAST_WORDS = 4
_UNFINISHED = re.compile(r"(?<!\w)(TODO|TBD|TBC|FIXME|XXX+|lorem ipsum|fill (?:this )?in|\?\?+|<[a-z][a-z ]*>)(?!\w)")
_COMMENT = re.compile(r"[ \t]+(#[^\s#]\S*)")
_MARKUP = re.compile(
    r"</?[A-Za-z][A-Za-z0-9]*\s*/?>(?=\S|.*</)|</[A-Za-z]+>|<br ?/?>"
    r"|\[/?(?:bold|italic|b|i|u|red|green|blue|yellow|dim|reverse|underline|strike)\]"
    r"|\*\*\S[^*]*\*\*|&(?:[a-z]{2,6}|#\d+);|\{%|\{\{|\\(?:n|t|e|x1b|033)\b")
_IN_QUOTES = re.compile(r'"|\\(?:x([0-9A-Fa-f]{2})|u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|.)')
"""The end of a text in double quotes, or a character in it by its letter or number; YAML 1.1, 5.6 (from memory)."""
_LETTERS = {"\\0": "\0", "\\a": "\a", "\\b": "\b", "\\v": "\v", "\\f": "\f", "\\e": "\x1b"}
_SHOWN = set("°–—‘’“”…×±≤≥·•→½") | {"\n", "\u00a0"}
"""Characters beyond letters, digits and ASCII that have plainer ones, as `plain.out` puts them."""
_NAMES_A_PLACE = re.compile(r"\d|\b(handbook|manual|checklist|supplement|practice|memory|author|instructor|school|club|"
                            r"operator|sop)s?\b", re.IGNORECASE)


def check_texts(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each text that will not read well, says nothing, or is not finished."""
    return [*_shown(scenario, tree), *_coded(scenario, tree), *_reasons(scenario, tree), *_cautions(scenario, tree)]


def _shown(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    lines = lines_of(scenario.text)
    for way, text in texts(tree):
        yield from _cut(way, text, lines)
        yield from _marked_up(way, text, scenario.text)
        yield from _escaped(way, text, lines)
        unfinished = _UNFINISHED.search(text.value)
        if unfinished:
            yield warning(word_at(scenario.text, text.place, unfinished.group()), "unfinished-text",
                          f"`{_called(way)}` is not finished: `{unfinished.group()}`", "", "finish it, or delete it")
        odd = next((place for place, each in enumerate(text.value) if not _can_be_shown(each)), None)
        if odd is not None:
            name = unicodedata.name(text.value[odd], "a character without a name").lower()
            yield warning(word_at(scenario.text, text.place, text.value[odd]), "not-in-words",
                          f"`{_called(way)}` has `{text.value[odd]}` ({name})",
                          "a terminal without it shows `?`, and a screen reader may read nothing",
                          "say it in words")
        yield from _too_long(way, text, scenario.text)


def _cut(way: Way, text: Text, lines: Sequence[str]) -> Iterator[Problem]:
    """Yield a text that ends at a `#` which was meant as a part of it: a comment has a space behind its sign."""
    if text.points is None or text.empty:
        return
    begins = text.points.column - 1
    line = lines[text.points.line - 1] if text.points.line <= len(lines) else ""
    cut = _COMMENT.match(line, begins + len(text.value)) if line.startswith(text.value, begins) else None
    if cut is not None:
        yield warning(replace(text.points, column=cut.start(1) + 1), "comment-cuts-text",
                      f"`{_called(way)}` ends before `{cut[1][:20]}`: what follows a space and `#` is a comment",
                      "", "put the text in quotes, or write `# ` if it is a comment")


def _marked_up(way: Way, text: Text, document: str) -> Iterator[Problem]:
    """Yield a text with the signs of another program in it, which are shown as they stand."""
    found = _MARKUP.search(text.value)
    if found is not None:
        yield warning(word_at(document, text.place, found.group()), "markup-in-text",
                      f"`{_called(way)}` has `{found.group()[:30]}` in it, which is shown as it stands",
                      "texts are shown as they are written, in one kind of letters",
                      "delete the marks, and keep the words")


def _escaped(way: Way, text: Text, lines: Sequence[str]) -> Iterator[Problem]:
    """Yield a text in double quotes with an escape in it that makes a character which is never shown."""
    for number, column, escape in _escapes(text.place, lines):
        if not clean(_character(escape)):
            yield warning(replace(text.place, line=number, column=column), "control-character",
                          f"`{_called(way)}` has `{escape[0]}` in it, a control character or one that nobody sees",
                          "it is left out wherever the text is shown",
                          "delete it, and what belongs to it")
            return


def _escapes(place: Place, lines: Sequence[str]) -> Iterator[tuple[int, int, re.Match[str]]]:
    """Yield line, column and escape of each character that is not written as itself in the text at `place`."""
    first = lines[place.line - 1] if place.line <= len(lines) else ""
    if not first.startswith('"', place.column - 1):
        return
    at = place.column
    for number, line in enumerate(lines[place.line - 1:], place.line):
        for found in _IN_QUOTES.finditer(line, at):
            if found[0] == '"':
                return
            yield number, found.start() + 1, found
        at = 0


def _character(escape: re.Match[str]) -> str:
    number = next((each for each in escape.groups() if each is not None), None)
    return chr(int(number, 16)) if number is not None else _LETTERS.get(escape[0], escape[0])


def _can_be_shown(character: str) -> bool:
    return character.isascii() or character in _SHOWN or unicodedata.category(character)[0] in "LMNPZ"


def _too_long(way: Way, text: Text, document: str) -> Iterator[Problem]:
    if way[:2] == ("weather", "coded"):
        return
    lines = text.value.split("\n")
    for number, line in enumerate(lines):
        word = max(line.split(), key=columns, default="")
        if columns(word) > COLUMNS:
            yield warning(word_at(document, text.place, word), "line-too-long",
                          f"`{_called(way)}` has a word of {columns(word)} columns", f"at most {COLUMNS}",
                          "break it into words")
            return
        beside = (*lines[max(0, number - 1) : number], *lines[number + 1 : number + 2])
        if columns(line) > COLUMNS and any(each.strip() for each in beside):
            yield warning(word_at(document, text.place, line.strip()), "line-too-long",
                          f"`{_called(way)}` has a line of {columns(line)} columns between others",
                          f"lines that you break yourself have at most {COLUMNS} columns, or each is wrapped again",
                          "begin the text with `>-` instead of `|`, and it is wrapped as a whole")
            return


def _coded(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    for number, line in enumerate(scenario.weather.coded):
        if columns(line) > COLUMNS - MOVED_IN:
            yield warning(value_at(tree, "weather", "coded", number), "line-too-long",
                          f"a line of `coded` has {columns(line)} columns", f"at most {COLUMNS - MOVED_IN}",
                          "leave out groups that nobody needs, or make two lines of it")


def _reasons(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    for number, item in enumerate(scenario.grade_sheet):
        if len(item.why.split()) < LEAST_WORDS or item.why.rstrip(".").lower() == item.name.lower():
            yield warning(value_at(tree, "grade sheet", number, "why"), "reason-says-nothing",
                          f"`why` of `{item.name}` gives no reason",
                          "what happens to those who do otherwise, or what the act makes possible",
                          "write the reason in a sentence: it is what a pilot takes away")
        if not _NAMES_A_PLACE.search(item.source):
            yield warning(value_at(tree, "grade sheet", number, "source"), "source-names-nothing",
                          f"`source` of `{item.name}` names no document and no place in one",
                          "like `14 CFR 91.187(b)`, `FAA-H-8083-15B ch. 11` or `the airplane's handbook`",
                          "write where it is written; where it is not, say `common practice` or `the author's view`")


def _cautions(scenario: Scenario, tree: Node) -> Iterator[Problem]:
    if scenario.lexicon is not None and not scenario.cautions and key_at(tree, "usage") != tree.place:
        yield warning(key_at(tree, "usage"), "caution-missing",
                      "words of another country are understood, and nothing says whose rules are graded",
                      "the sources of a grade sheet hold in one country, and pilots fly in theirs",
                      "add `cautions:` with a sentence on that")


def _called(way: Way) -> str:
    return next((str(step) for step in reversed(way) if isinstance(step, str)), "this document")


