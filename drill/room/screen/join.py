"""How people get in, on the facilitator's screen: address, number, and the code to point a phone at."""

from __future__ import annotations

from textual.content import Content

from drill.room.net import qr

LEAST_BESIDE = 24
"""Columns of words beside a code; fewer are none."""
_BLOCKS = {(False, False): " ", (False, True): "▄", (True, False): "▀", (True, True): "█"}
"""By whether the upper and the lower square are dark; drawn dark on light whatever the theme."""


def code(address: str, *, plain: bool = False) -> Content:
    """Return the code of `address`, black on white; `plain`: two characters a square, for terminals without blocks."""
    rows = qr.matrix(address)
    if plain:
        lines = ["".join("##" if square else "  " for square in row) for row in rows]
    else:
        rows = (*rows, *([tuple(False for _ in rows[0])] if len(rows) % 2 else []))
        lines = ["".join(_BLOCKS[upper, lower] for upper, lower in zip(rows[at], rows[at + 1], strict=True))
                 for at in range(0, len(rows), 2)]
    return Content("\n").join(Content.styled(line, "#000000 on #ffffff") for line in lines)


def way_in(number: str, phones_url: str, wall_url: str, *, room: tuple[int, int], plain: bool = False) -> Content:
    """Return what there is to say of getting in, with the code below or beside it where it fits into `room`.

    `room` is (columns, rows). Without phones there is no code.
    """
    told: list[Content | str | tuple[str, str]] = [("THE WAY IN\n", "bold"), "Evening ", (number, "bold"), "\n"]
    if not phones_url:
        told.append("No phones: hands are raised and counted (h).\n")
    else:
        told += ["Phones open ", (phones_url, "bold"), "\n"]
    if wall_url:
        told += [("The projector's page, whose key is not for the room:\n", "$text-muted"), wall_url]
    words = Content.assemble(*told).rstrip()
    return words if not phones_url else _with_code(words, code(phones_url, plain=plain), *room)


def _with_code(words: Content, drawn: Content, columns: int, rows: int) -> Content:
    code_rows = drawn.split("\n")
    wide, high = code_rows[0].cell_length, len(code_rows)
    if wide <= columns and high + len(words.wrap(columns)) + 1 <= rows:
        return Content("\n").join([words, Content(""), *code_rows])
    beside = columns - wide - 2
    lines = words.wrap(beside) if beside >= LEAST_BESIDE else []
    if not lines or max(high, len(lines)) > rows:
        return words
    lines += [Content("")] * (high - len(lines))
    code_rows += [Content("")] * (len(lines) - high)
    return Content("\n").join(Content.assemble(said, " " * (beside + 2 - said.cell_length), row)
                              for said, row in zip(lines, code_rows, strict=True))
