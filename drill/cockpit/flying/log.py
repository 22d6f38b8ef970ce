"""How a line of a flight is set in the logs beside the panel. Kinds differ by a mark, not by color alone."""

from __future__ import annotations

from textual.content import Content

from drill.flight.readings import clock_words
from drill.seat.teller import Line

RADIO = ("radio", "others", "you")
"""What goes to the radio's log; everything else is of the cockpit."""

_MARKS = {"typed": "", "asked": "? ", "own": "- ", "result": "", "story": "", "panel": "", "ended": "= "}


def set_line(line: Line) -> tuple[Content, int]:
    """Return a line as it is shown, and how far the rows after its first are indented."""
    stamp = f"{clock_words(line.t)} " if line.stamped else ""
    parts: list[str | tuple[str, str]] = [(stamp, "$text-muted")]
    match line.kind:
        case "radio" | "you":
            who, colon, words = line.words.partition(": ")
            style = "bold $accent" if line.kind == "you" else "bold $primary"
            parts += [(who + colon, style), words] if colon else [line.words]
        case "others":
            parts.append((line.words, "$text-muted"))
        case "typed":
            parts.append((line.words, "bold"))
        case "asked":
            parts += [(_MARKS["asked"], "bold $warning"), line.words]
        case "own":
            parts += [(_MARKS["own"], "$text-muted"), (line.words, "$secondary")]
        case "ended":
            parts += [(_MARKS["ended"], "bold $warning"), (line.words, "bold")]
        case "story":
            parts.append((line.words, "italic"))
        case _:
            parts.append(line.words)
    return Content.assemble(*(part for part in parts if part and part[0])), len(stamp)
