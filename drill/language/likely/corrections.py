"""What of a line still counts where it corrects itself: "right 020... sorry, 030"."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from drill.language.corrections import marker_at
from drill.language.withdrawn import MENDS_ORDERS
from drill.language.words import Token


def corrects(line: Sequence[Token]) -> bool:
    """Whether something is corrected in `line`."""
    return any(marker_at(line, at, MENDS_ORDERS) > at for at in range(len(line)))


def after_correction(line: Sequence[Token], counts: Callable[[str], bool]) -> Sequence[Token]:
    """Return what follows the first correction with a word that `counts` on either side of it; all of `line` where
    there is none."""
    for at in range(1, len(line)):
        end = marker_at(line, at, MENDS_ORDERS)
        if end > at and any(counts(each.text) for each in line[:at]) and any(counts(each.text) for each in line[end:]):
            return line[end:]
    return line
