"""Words that join what is said of parts, in plainer ones: "as well as" is "and", "so is" is "too".

Some only look as if they joined or parted: "as good as dead", "all but flat", "held for a while".
"""

from __future__ import annotations

from collections.abc import Sequence

from drill.language.words import Token

_JOINING = (("as", "well", "as"), ("followed", "by"), ("along", "with"), ("together", "with"))
_EVERY = frozenset({"all", "everything", "every", "each"})
_BEGINS_JOINT = frozenset({"so", "as", "a", *_EVERY, *(words[0] for words in _JOINING)})
_SO_OVERLOOK = frozenset({("so", verb, what) for verb in ("ignore", "disregard", "forget") for what in ("that", "it",
                           "them", "those")})
"""What is to be overlooked as it is wrong: "reads a thousand down in level flight, so ignore that"."""
_BETTER = frozenset({"new", "gold", "it", "ever", "before", "any", "the"})
"""What follows "as good as" that is praise."""
_FINISHED = frozenset({"flat", "dead", "gone", "useless", "done", "finished", "stopped", "out", "empty", "frozen"})
"""What follows "all but" that means nearly, and excepts nothing."""
_OF_PARTS = frozenset({"the", "our", "my", "of", "instruments", "instrument", "gauges", "gauge", "systems", "system",
                       "radios", "dials", "needles", "indicators", "flight", "indications", "avionics", "them", "these",
                       "else"})
"""What may stand between "all" and "but" that excepts: "all of the instruments but the airspeed"."""
_DOES_TOO = frozenset({"has", "have", "did", "is", "are", "does", "do"})
"""Before "as well" that says of another part what was said of one: "and the AI has as well"."""
_SO_IS = frozenset({"is", "does", "has", "did", "are", "have", "goes"})


def plainly_joined(line: Sequence[Token]) -> list[Token]:
    """Return `line` with "as well as" and its like as "and", "so is" as "too", and without "so ignore that"."""
    if _BEGINS_JOINT.isdisjoint([text for text, _, _ in line]):
        return list(line)
    plain: list[Token] = []
    at = 0
    while at < len(line):
        if line[at].text not in _BEGINS_JOINT:
            plain.append(line[at])
            at += 1
            continue
        here = tuple(token.text for token in line[at:at + 3])
        joint = next((words for words in _JOINING if here[:len(words)] == words), None)
        if joint:
            plain.append(Token("and", line[at].start, line[at].end))
            at += len(joint)
        elif here in _SO_OVERLOOK:
            at += len(here)
        elif here == ("as", "good", "as") and at + 3 < len(line) and line[at + 3].text not in _BETTER:
            at += len(here)   # "as good as dead"
        elif here[:2] == ("a", "while"):
            plain += (line[at], Token("moment", line[at + 1].start, line[at + 1].end))   # no contrast is begun
            at += 2
        elif here[:2] == ("all", "but") and here[2:] and here[2] in _FINISHED:
            at += 2   # "all but flat"
        elif line[at].text in _EVERY and (but := _excepting(line, at)):
            plain += [*line[at:but], Token("except", line[but].start, line[but].end)]
            at = but + 1
        elif here[:2] == ("as", "well") and plain and plain[-1].text in _DOES_TOO:
            plain[-1] = Token("too", line[at].start, line[at].end)
            at += 2
        elif here[0] == "so" and len(here) > 1 and here[1] in _SO_IS:
            plain.append(Token("too", line[at].start, line[at].end))
            at += 2
        else:
            plain.append(line[at])
            at += 1
    return plain


def _excepting(line: Sequence[Token], at: int) -> int:
    """Return where a "but" stands that excepts a part of all: "all but the AI"; 0 without one."""
    but = at + 1
    while but < len(line) and line[but].text in _OF_PARTS:
        but += 1
    following = [token.text for token in line[but:but + 3] if token.text not in ("for", "the", "my", "our")]
    return but if following[:1] == ["but"] and following[1:] and following[1][0] == "<" else 0
