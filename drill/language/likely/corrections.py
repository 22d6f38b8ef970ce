"""What of a line still counts where it corrects itself: "right 020... sorry, 030"."""

from __future__ import annotations

import re

_CORRECTS = re.compile(r"\b(?:no|nope|nup|naw|nah|eh+|er|uh|oops|sorry|sry|correction|i mean|scratch|"
                       r"make (?:it|that)|pardon|rather|belay|actually|wait|mistake|disregard|negative|strike that|"
                       r"second thought)\b")


def corrects(text: str) -> bool:
    """Whether something is corrected in `text`."""
    return _CORRECTS.search(text) is not None


def after_correction(text: str, sign: str) -> str:
    """Return what follows the first correction that has what `sign` (a pattern) finds on either side of it; all of
    `text` where there is none."""
    wanted = re.compile(sign)
    for match in _CORRECTS.finditer(text):
        if wanted.search(text[:match.start()]) and wanted.search(text[match.end():]):
            return text[match.end():]
    return text
