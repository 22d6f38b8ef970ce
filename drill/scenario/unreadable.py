"""Why a text is no YAML: the parser says where it gave up, this looks for the line that a person has to mend."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeAlias

import yaml

from drill.scenario.problems import Place, Problem

BRACES = "put a text with braces in quotes, such as \"{callsign}, roger\""
BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")  # what the parser counts as the end of a line

_BRACED_TEXT = re.compile(r"(?:^|[:\-\[]\s+)\{\w+\}\s*,?\s*\w")
_QUOTE_BEGINS = re.compile(r"""(?:^\s*(?:-\s+)*|:\s+|[\[{,]\s*)(["'])""")
_HAS_A_VALUE = re.compile(r"^\s*(?:-\s+)*[^\s#:][^:]*:\s+[^\s#|>]")
_OPENS_A_BLOCK = re.compile(r":\s*(?:#.*)?$")
_OPENS_A_TEXT = re.compile(r":\s+[>|][+-]?\d?\s*(?:#.*)?$")
_NO_COMMA = re.compile(r":\s+[^,{}\[\]\"':]*\s([A-Za-z]\w*):?$")
_BEFORE_WORDS = re.compile(r"[\s-]*")
_PARENTHESES = re.compile(r":\s+\(\w[\w ]*:\s")
_GLUED_DASH = re.compile(r"\s*-[A-Za-z][\w ]*:(?:\s|$)")
_GLUED_COLON = re.compile(r"\s*(?:-\s+)*([A-Za-z][\w ]*:)(\S.*)$")
LEAST_WORDS = 3
"""A line with more words and no colon is no key."""
_CANNOT = "this cannot be read as YAML"

Found: TypeAlias = tuple[int, int, str, str, str]
"""Line and column from 0, what is wrong, what is right, what to do."""


def why_unreadable(text: str, file: str, error: yaml.MarkedYAMLError) -> Problem:
    """Return the problem at the line that is to be mended, as far as that can be told."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark is not None else (0, 0)
    lines = BREAK.split(text)
    while line > 0 and (line >= len(lines) or not lines[line].strip()):  # the parser often notices one line late
        line, column = line - 1, 0
    written = lines[line] if line < len(lines) else ""
    indent = _BEFORE_WORDS.match(written)
    if indent is not None and "\t" in indent[0]:
        return Problem(Place(file, line + 1, indent[0].index("\t") + 1), "tab", "this line is indented with a tab", "",
                       "indent with spaces")
    for look in _LOOKS:
        found = look(lines, line, error)
        if found is not None:
            at, begins, wrong, right, do = found
            return Problem(Place(file, at + 1, begins + 1), "unreadable-yaml", wrong, right, do)
    remedy = "check the indentation, colons, brackets and quotes of this line and of the one before"
    if written.count(": ") > 1 and "{" not in written:
        remedy = "put a text that holds a colon and a space in quotes"
    if _BRACED_TEXT.search(written):
        remedy = BRACES
    if _PARENTHESES.search(written):
        remedy = "write keys with their values in braces, `{...}`, and not in parentheses"
    return Problem(Place(file, line + 1, column + 1), "unreadable-yaml", _CANNOT, _block(error, line), remedy)


def _block(error: yaml.MarkedYAMLError, line: int) -> str:
    """Return where the block or bracket began in which the parser found something else than it wants."""
    began = error.context_mark
    if began is None or began.line >= line:
        return ""
    what = "bracket" if "flow" in (error.context or "") else "block"
    what = "quoted text" if "quoted" in (error.context or "") else what
    return f"the {what} that it stands in began in line {began.line + 1}, column {began.column + 1}"


def _open_quote(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """A quote that is closed by the next text's first one, or never."""
    began, mark = error.context_mark, error.problem_mark
    if mark is not None and "escape" in (error.problem or ""):
        written = lines[mark.line]
        at = max(written.rfind("\\", 0, mark.column + 1), 0)
        return (mark.line, at, f"`{written[at:at + 2]}` means nothing in a text in double quotes", "",
                "delete the backslash, or write two")
    if began is not None and "quoted" in (error.context or ""):
        return began.line, began.column, "this quote is never closed", "", "close it at the end of the text"
    for above in range(line - 1, -1, -1):
        begins = _unclosed(lines[above])
        if begins is None:
            continue
        quote = lines[above][begins]
        between = any(quote in each for each in lines[above + 1 : line])
        if between or quote not in lines[line]:
            return None
        return (above, begins, "this quote is not closed in its line",
                f"the text that it begins goes on to the quote in line {line + 1}", "close it at the end of the text")
    return None


def _unclosed(line: str) -> int | None:
    """Return where a quoted text begins that is not closed in its line."""
    at = 0
    while (match := _QUOTE_BEGINS.search(line, at)) is not None:
        closing = line.find(match[1], match.end())
        if closing < 0:
            return match.start(1)
        at = closing + 1
    return None


def _open_bracket(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """A bracket whose line is whole but for its end, before lines that are no part of it."""
    began = error.context_mark
    if began is None or "flow" not in (error.context or "") or began.line >= line:
        return None
    written = lines[began.line].split(" #")[0].rstrip()
    if _BRACED_TEXT.search(written) or written.endswith((",", "[", "{", ":")):
        return None
    return (began.line, began.column, "this bracket is not closed", f"line {line + 1} does not fit in it",
            "close it at the end of what belongs in it; a text with a bracket in it stands in quotes")


def _moved_in(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """A line below one that has a value already, moved in further than it: one of the two stands wrong."""
    above = _above(lines, line)
    if "mapping values" not in (error.problem or "") or above is None or lines[line].count(": ") > 1:
        return None
    mine, theirs = indent_of(lines[line]), indent_of(lines[above])
    if mine <= theirs or not _HAS_A_VALUE.search(lines[above]):
        return None
    before = _above(lines, above)
    if before is not None and indent_of(lines[before]) == mine and theirs < mine:
        return (above, theirs, f"this line is moved in by {_columns(theirs)}, and those before and behind it by {mine}",
                "", f"move it in by {_columns(mine)}, or what follows out")
    if before is not None and _OPENS_A_BLOCK.search(lines[before]) and theirs <= indent_of(lines[before]):
        return (above, theirs, f"this line is moved in by {theirs} columns, and those below it by {mine}",
                f"line {before + 1} has nothing below it", f"move it in by {mine} columns")
    return (line, mine, f"this line is moved in further than line {above + 1}, which has a value already", "",
            f"move it in by {theirs} columns, as that one is")


def _between_levels(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:  # noqa: ARG001
    """A line that is moved in neither like those above it nor like what they stand in."""
    mine, levels, least = indent_of(lines[line]) if line < len(lines) else 0, set[int](), 1 << 30
    for each in reversed(lines[:line]):
        if not each.strip() or each.lstrip().startswith("#") or indent_of(each) >= least:
            continue
        least = indent_of(each)
        levels |= {least, least + 2} if each.lstrip().startswith("- ") else {least}
    if mine in levels or not levels or mine >= max(levels):
        return None
    out = _moved_out(lines, line, mine)
    if out is not None:
        theirs = indent_of(lines[out])
        return (out, theirs, f"this line is moved in by {_columns(theirs)}, and line {line + 1}, which is beside it, "
                f"by {mine}", "", f"move it in by {_columns(mine - theirs)}")
    near = sorted(levels, key=lambda each: abs(each - mine))[:2]
    return (line, mine, f"this line is moved in by {_columns(mine)}, and nothing that it can belong to is",
            f"what stands above it is moved in by {' or '.join(map(str, sorted(near)))}",
            "move it in like the lines that it belongs to")


def _moved_out(lines: Sequence[str], line: int, mine: int) -> int | None:
    """Return the line above that opens a block and stands further out than those of its kind before and after it."""
    out = next((each for each in range(line - 1, -1, -1)
                if lines[each].strip() and indent_of(lines[each]) < mine), None)
    if out is None or not _OPENS_A_BLOCK.search(lines[out]):
        return None
    before = next((each for each in range(out - 1, -1, -1)
                   if lines[each].strip() and indent_of(lines[each]) <= mine), None)
    odd = indent_of(lines[out]) % 2 > mine % 2        # the first of its kind: by the usual two columns a level
    return out if odd or (before is not None and indent_of(lines[before]) == mine) else None


def _columns(number: int) -> str:
    return f"{number} column{'' if number == 1 else 's'}"


def _above(lines: Sequence[str], line: int) -> int | None:
    """Return the number of the line before, blank ones and comments aside."""
    return next((each for each in range(line - 1, -1, -1)
                 if lines[each].strip() and not lines[each].lstrip().startswith("#")), None)


def indent_of(line: str) -> int:
    """Return by how many columns a line is moved in."""
    return len(line) - len(line.lstrip())


def _odd_blank(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:  # noqa: ARG001
    """A line that is moved in by what looks like spaces and is none, as comes of copying from a page."""
    for each in range(min(line, len(lines) - 1), max(line - 3, -1), -1):
        indent = lines[each][: indent_of(lines[each])]
        odd = next((place for place, blank in enumerate(indent) if blank not in " \t"), None)
        if odd is not None:
            return (each, odd, f"this line is moved in by a blank that is no space (U+{ord(indent[odd]):04X})", "",
                    "write spaces before it")
    return None


def _dash(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:  # noqa: ARG001
    """The next of a list whose dash stands against its first word."""
    written = lines[line] if line < len(lines) else ""
    if not _GLUED_DASH.match(written):
        return None
    return (line, indent_of(written), "a space is missing after this dash", "",
            f"write `- {written.strip()[1:].split(':')[0]}: ...`")


def _no_key(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:  # noqa: ARG001
    """A line that is read as a key and has no colon, or none with a space behind it."""
    began = error.context_mark
    if began is None or "expected ':'" not in (error.problem or "") or began.line >= len(lines):
        return None
    at, written = began.line, lines[began.line]
    above = _above(lines, at)
    if above is not None and _OPENS_A_TEXT.search(lines[above]):
        return (at, began.column, f"this line belongs to the text that line {above + 1} begins, and is not moved in",
                "",
                f"move the lines of the text in by {_columns(indent_of(lines[above]) + 2)}")
    if above is not None and _parted(lines, above, written):
        return (above, indent_of(lines[above]), "this is read as a key with its value, and the text goes on below it",
                "a colon with a space behind it makes a key of what stands before it",
                f"begin the text with `>-` in line {above}, or leave out the colon")
    glued = _GLUED_COLON.match(written)
    if glued is not None:
        return (at, glued.end(1), "a space is missing after this colon", "",
                f"write `{glued[1]} {glued[2][:40].rstrip()}`")
    first = " ".join(written.split()[:1])
    return (at, began.column, f"in this line a key is wanted, and no colon stands behind `{first}`", "",
            "write a key, a colon, a space and the value; a text that goes on over lines begins with `>-`")


def _fence(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:  # noqa: ARG001
    """The line by which a page marks a piece of YAML."""
    if line < len(lines) and lines[line].lstrip().startswith("```"):
        return line, 0, "this line marks a piece of a page, and is no part of the document", "", "delete it"
    return None


def _no_comma(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """A colon in a bracket where the value before it has not ended."""
    mark = error.problem_mark
    if mark is None or mark.line != line or "flow" not in (error.context or "") or line >= len(lines):
        return None
    parted = _NO_COMMA.search(lines[line][: mark.column + 1])
    if parted is None:
        return None
    return (line, parted.start(1), f"a comma is missing before `{parted[1]}:`", "",
            "put a comma between a value and the next key; a text with a colon in it stands in quotes")


def _parted(lines: Sequence[str], above: int, written: str) -> bool:
    """Say whether a line goes on with a text whose first line, alone below its key, has a colon in it."""
    opens = _above(lines, above)
    return (opens == above - 1 and bool(_OPENS_A_BLOCK.search(lines[opens])) and len(written.split()) > LEAST_WORDS
            and indent_of(lines[opens]) < indent_of(lines[above]) == indent_of(written)
            and bool(_HAS_A_VALUE.match(lines[above])))


def _after_the_end(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """Something behind the mark with which a document ends."""
    if "document start" not in (error.problem or ""):
        return None
    end = next((each for each in range(line - 1, -1, -1) if lines[each].startswith("...")), None)
    if end is None:
        return None
    return (line, 0, f"the document ends in line {end + 1}, at `...`, and here is more", "",
            "delete the line with `...`, or what stands behind it")


def _too_far_in(lines: Sequence[str], line: int, error: yaml.MarkedYAMLError) -> Found | None:
    """A key that is moved in further than its block, where nothing above it wants anything below."""
    began = error.context_mark
    if began is None or "block mapping" not in (error.context or "") or line >= len(lines):
        return None
    mine = indent_of(lines[line])
    if mine <= began.column or not _HAS_A_VALUE.match(lines[line]):
        return None
    return (line, mine, f"this line is moved in by {_columns(mine)}, and no line above it wants anything below", "",
            f"move it out by {_columns(mine - began.column)}")


_LOOKS: tuple[Callable[[Sequence[str], int, yaml.MarkedYAMLError], Found | None], ...] = (
    _odd_blank, _fence, _open_quote, _no_comma, _dash, _no_key, _open_bracket, _moved_in, _between_levels,
    _after_the_end, _too_far_in,
)
