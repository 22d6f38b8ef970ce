"""The help of the facilitator's screen: its keys, the commands that can be typed, and how an evening goes."""

from __future__ import annotations

from textual.content import Content

from drill.room.screen.keys import KEYS, written
from drill.room.spoken import HELP

HOW = (
    "Brief; let it fly to a poll; let people look and vote; close; ask why; choose how to go on; and so on.",
    "The wall shows no count before a poll is closed, and nothing true before the debrief. This screen shows counts.",
    "Without phones: read the answers out, have hands raised, and count them with h.",
    "What cannot be undone is asked first. Everything is kept as it happens: drill room --resume takes it up.",
)


def help_content() -> Content:
    """Return the help as literal text."""
    keys = [f"{written(each.key):<6} {each.help}\n" for each in KEYS]
    return Content.assemble(
        ("HOW AN EVENING GOES\n", "bold"), *(f"{line}\n" for line in HOW),
        ("KEYS\n", "bold"), *keys, "F9     another theme\n",
        ("IN THE LIST OF PEOPLE (u)\n", "bold"), "h      hide from the wall, or show again\n",
        "n      rename\n", "x      send out\n", ("WHAT WAS TYPED (w)\n", "bold"), "x      strike from the wall\n",
        ("COMMANDS (t)\n", "bold"), *(f"{line}\n" for line in HELP)).rstrip()
