"""The cockpit's four themes, and the ink that instruments are drawn with under each. All colours are our own.

A test computes the contrast of every text on every ground: at least 4.5 to 1, in the theme "contrast" 7 to 1 (the two
thresholds of WCAG 2.1, success criteria 1.4.3 and 1.4.6).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields, replace

from textual.theme import Theme

from drill.cockpit.ink import Ink

INKS: dict[str, Ink] = {
    "night": Ink(
        panel="#161b22", dial="#0a0d11", rim="#66717d", mark="#e9ecef", faint="#9aa5b0", needle="#ffffff",
        sky="#2a6a9c", earth="#54361c", airplane="#ffc24d", green="#55b873", yellow="#e4c64a", red="#f0705f",
        flag="#b3321c", flag_word="#ffffff", paper="#cbc4b3", paper_word="#26221b",
    ),
    "day": Ink(
        panel="#e4ded1", dial="#fbf8f1", rim="#6d675b", mark="#15191d", faint="#514c43", needle="#000000",
        sky="#a9d0ee", earth="#d3a97c", airplane="#7a1f00", green="#1e7a3f", yellow="#8a6400", red="#b3261a",
        flag="#a8230f", flag_word="#ffffff", paper="#b9b09a", paper_word="#1d1a14",
    ),
    "contrast": Ink(
        panel="#000000", dial="#000000", rim="#c8c8c8", mark="#ffffff", faint="#d0d0d0", needle="#ffffff",
        sky="#00417a", earth="#4d2a00", airplane="#ffea00", green="#38e07a", yellow="#ffe14d", red="#ff8f85",
        flag="#ffffff", flag_word="#7a0000", paper="#ffffff", paper_word="#000000", texture=True,
    ),
    "mono": Ink(
        panel="#101010", dial="#000000", rim="#8a8a8a", mark="#f4f4f4", faint="#b0b0b0", needle="#ffffff",
        sky="#585858", earth="#1c1c1c", airplane="#ffffff", green="#9c9c9c", yellow="#cfcfcf", red="#ffffff",
        flag="#f4f4f4", flag_word="#000000", paper="#c4c4c4", paper_word="#000000", texture=True,
    ),
}
"""By the name of the theme."""

_PREFIX = "ink-"


def _variables(name: str, **more: str) -> dict[str, str]:
    ink = {f"{_PREFIX}{field.replace('_', '-')}": value if isinstance(value, str) else "on" if value else "off"
           for field, value in asdict(INKS[name]).items()}
    return ink | {key.replace("_", "-"): value for key, value in more.items()}


THEMES: tuple[Theme, ...] = (
    Theme(
        name="night", dark=True, background="#0f141a", surface="#151b23", panel="#1e2731", foreground="#e0e5ea",
        primary="#8cbbe0", secondary="#a9b9c9", accent="#f2bd62", warning="#f2c95a", error="#ff9182", success="#83d39b",
        variables=_variables(
            "night", text="#e0e5ea", text_muted="#a7b2bd", text_disabled="#93a0ac", foreground_muted="#a7b2bd",
            footer_background="#1e2731", block_cursor_background="#8cbbe0", block_cursor_foreground="#0f141a",
            input_selection_background="#2f4a63", input_selection_foreground="#ffffff",
            screen_selection_background="#2f4a63",
            scrollbar="#4a5a6a", scrollbar_background="#151b23", link_background_hover="#2f4a63",
        ),
    ),
    Theme(
        name="day", dark=False, background="#f6f2ea", surface="#eee9de", panel="#e0dacc", foreground="#1b2025",
        primary="#1d4c76", secondary="#3f4c58", accent="#6f3f00", warning="#634300", error="#92180d", success="#17532c",
        variables=_variables(
            "day", text="#1b2025", text_muted="#474e56", text_disabled="#565c63", foreground_muted="#474e56",
            footer_background="#e0dacc", block_cursor_background="#1d4c76", block_cursor_foreground="#ffffff",
            input_selection_background="#b9d2e8", input_selection_foreground="#000000",
            screen_selection_background="#b9d2e8",
            scrollbar="#9a9384", scrollbar_background="#e6e0d3", link_background_hover="#c9dced",
        ),
    ),
    Theme(
        name="contrast", dark=True, background="#000000", surface="#000000", panel="#141414", foreground="#ffffff",
        primary="#8fd6ff", secondary="#d6e4ef", accent="#ffdc52", warning="#ffdc52", error="#ffa69e", success="#7df0a5",
        variables=_variables(
            "contrast", text="#ffffff", text_muted="#e2e2e2", text_disabled="#cfcfcf", foreground_muted="#e2e2e2",
            footer_background="#141414", block_cursor_background="#ffffff", block_cursor_foreground="#000000",
            input_selection_background="#ffffff", input_selection_foreground="#000000",
            screen_selection_background="#00508c",
            scrollbar="#ffffff", scrollbar_background="#303030", link_background_hover="#00417a",
        ),
    ),
    Theme(
        name="mono", dark=True, background="#101010", surface="#181818", panel="#242424", foreground="#ececec",
        primary="#ffffff", secondary="#c8c8c8", accent="#ffffff", warning="#ffffff", error="#ffffff", success="#dddddd",
        variables=_variables(
            "mono", text="#ececec", text_muted="#b8b8b8", text_disabled="#a8a8a8", foreground_muted="#b8b8b8",
            footer_background="#242424", block_cursor_background="#ececec", block_cursor_foreground="#000000",
            input_selection_background="#606060", input_selection_foreground="#ffffff",
            screen_selection_background="#505050",
            scrollbar="#8a8a8a", scrollbar_background="#181818", link_background_hover="#484848",
        ),
    ),
)
"""The default first."""

TEXTS = ("foreground", "text", "text-muted", "text-disabled", "primary", "secondary", "accent", "warning", "error",
         "success")
GROUNDS = ("background", "surface", "panel")
"""The variables that words are written in, and those that they are written on; every pair may occur."""


def ink_of(theme_variables: Mapping[str, str], *, plain: bool = False) -> Ink:
    """Return the ink of a theme from its variables (`App.theme_variables`); a variable that is missing has a default.

    `plain`: for a terminal that may have neither braille nor block elements.
    """
    found: dict[str, str | bool] = {}
    for each in fields(Ink):
        value = theme_variables.get(f"{_PREFIX}{each.name.replace('_', '-')}")
        if value is not None:
            found[each.name] = value == "on" if isinstance(each.default, bool) else value
    ink = replace(Ink(), **found)  # type: ignore[arg-type]  # each value is of its field's own kind
    return replace(ink, plain=True) if plain else ink


def next_theme(name: str) -> str:
    """Return the name of the theme after `name`."""
    names = [theme.name for theme in THEMES]
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]
