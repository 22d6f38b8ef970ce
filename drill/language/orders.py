"""The form in which an order reaches the rules that read it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from drill.language.lexicon import Lexicon, name_of
from drill.language.patterns import compiled
from drill.language.words import Token, joined


@dataclass(frozen=True, slots=True)
class Order:
    """One order of a typed line: its tokens (names marked), their text, and the line as typed."""

    line: tuple[Token, ...]
    text: str
    typed: str
    book: Lexicon

    @property
    def names(self) -> tuple[str, ...]:
        """What is named, in order, each once."""
        return tuple(dict.fromkeys(name for token in self.line if (name := name_of(token.text)) is not None))

    def typed_words(self, start: int, end: int) -> str:
        """Return, as typed, the words that stand at `text[start:end]`."""
        at = 0
        inside: list[Token] = []
        for token in self.line:
            if start <= at and at + len(token.text) <= end:
                inside.append(token)
            at += len(token.text) + 1
        return self.typed[inside[0].start:inside[-1].end] if inside else ""


def order(line: Sequence[Token], typed: str, book: Lexicon) -> Order:
    """Return the order that `line` is, to be read by the words of `book`."""
    return Order(tuple(line), joined(line), typed, book)


_OPENING = compiled(r"""
    ^(?:(?:,|\.|sir|madam|a+h+|argh+|ok|okay|now|then|and|so|please to|please|right now|uh|um|uhh|er|well|alright|
    first|next|also|just|quickly|immediately|i will|i am going to(?! <place>)|i would like to|
    (?:i|we) (?:would|had) better|(?:i|we) have(?: got)? to|i am(?! going to <place>)|i want to|i need to|let us|
    let me|we will|we need to|we should|i should|going to(?! <place>)|diagnosis|verdict|my diagnosis is|
    go ahead and|go(?= (?:hold|divert|look|check|cover)\b)|start(?= (?:coming|turning|climbing|descending|
    slowing)\b)|can you|could you|will you|time to|try to|want to|need to|try|(?:the |my |our )?plan is to|plan to|
    planning to|back(?! (?:to|on|in|at)\b)|finally|meanwhile|start to|begin to|step \d+|change of plan|new plan|
    fault call|something is (?:off|wrong|odd|not right)(?: here)?|do the needful|might 1|whoa(?: there)?|lol|haha|
    hmm|hm|mate|dude|bitte|kindly|sure|i reckon|reckon|no dramas|right oh|would you(?: ever| mind| please)?|
    may i(?! (?:climb|descend))|might i|might one|but|instead|yes|yeah|hey|quick|at once|right then|<clock> to|
    all right|we are (?:fine|ok|okay|good)|were (?:fine|ok|good)|everything is (?:fine|ok|okay)|righto|okay then|
    well then|gently|slowly|smoothly|carefully|(?:(?:the|our|my) )?(?:plan|intention|idea) is to|
    (?:when|if|once|as soon as|whenever) (?:possible|able|ready|practical|practicable|convenient|you can|we can|
    i can)|remember to|make sure to|we are(?! (?:going (?:to|into) <place>|going|fast|slow|fine|ok))|
    we(?= (?:bail|press|return|carry|nip|hold|go|land|divert|turn|climb|descend|continue|fly|cover|check)\b)|better|
    must|got to|gently does it|before (?:anything|everything|all|doing anything)(?: else)?|
    first (?:of all|things? first)|above all|to begin with|for starters|
    before (?:it|this|that|things?) gets? (?:any |even |much )?(?:worse|out of (?:hand|control)))(?: |$))+""")


@lru_cache(maxsize=64)
def without_opening(text: str) -> str:
    """Return `text` without the words that only lead up to an order ("ok, now I'm going to ...")."""
    return _OPENING.sub("", text)
