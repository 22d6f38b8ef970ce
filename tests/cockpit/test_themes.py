"""The themes: what stands on what can be read, and the instruments follow."""

from __future__ import annotations

import itertools

import pytest
from textual.color import Color
from textual.theme import Theme

from drill.cockpit.ink import Ink
from drill.cockpit.settings import THEME_NAMES
from drill.cockpit.themes import GROUNDS, INKS, TEXTS, THEMES, ink_of, next_theme

PRINTED = (("mark", "dial"), ("mark", "panel"), ("mark", "sky"), ("mark", "earth"), ("faint", "dial"),
           ("faint", "panel"), ("needle", "dial"), ("needle", "sky"), ("needle", "earth"), ("flag_word", "flag"),
           ("paper_word", "paper"))
DRAWN = (("airplane", "sky"), ("airplane", "earth"), ("airplane", "dial"), ("green", "dial"), ("yellow", "dial"),
         ("red", "dial"))
DEFAULTS = Ink()


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colors (WCAG 2.1)."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(color: str) -> float:
    red, green, blue = ((part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
                        for part in Color.parse(color).normalized)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def variables(theme: Theme) -> dict[str, str]:
    """Return what the toolkit makes of a theme."""
    return theme.to_color_system().generate() | theme.variables


def test_contrast_is_computed_as_published() -> None:
    # WCAG 2.1: black on white is 21:1; #777 on white just misses 4.5
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_text_can_be_read_on_every_ground(theme: Theme) -> None:
    least = 7.0 if theme.name == "contrast" else 4.5
    found = variables(theme)
    weak = [(text, ground, contrast(found[text], found[ground]))
            for text, ground in itertools.product(TEXTS, GROUNDS) if contrast(found[text], found[ground]) < least]
    assert weak == []


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_instruments_can_be_read(theme: Theme) -> None:
    ink = INKS[theme.name]
    words, shapes = (7.0, 4.5) if theme.name == "contrast" else (4.5, 3.0)    # WCAG 2.1, 1.4.3, 1.4.6 and 1.4.11
    weak = [(one, on) for pairs, least in ((PRINTED, words), (DRAWN, shapes)) for one, on in pairs
            if contrast(getattr(ink, one), getattr(ink, on)) < least]
    assert weak == []


@pytest.mark.parametrize("name", ["contrast", "mono"])
def test_where_color_may_be_missing_sky_and_earth_differ_by_a_texture(name: str) -> None:
    assert INKS[name].texture


def test_the_monochrome_theme_has_no_color() -> None:
    mono = next(theme for theme in THEMES if theme.name == "mono")
    colors = [Color.parse(variables(mono)[name]) for name in (*TEXTS, *GROUNDS)]
    assert all(color.r == color.g == color.b for color in colors)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_the_ink_comes_back_from_the_variables_of_a_theme(theme: Theme) -> None:
    assert ink_of(variables(theme)) == INKS[theme.name]
    assert ink_of(variables(theme), plain=True).plain
    assert ink_of({}) == DEFAULTS


def test_the_themes_go_round() -> None:
    names = [theme.name for theme in THEMES]
    assert tuple(names) == THEME_NAMES
    assert [next_theme(name) for name in names] == [*names[1:], names[0]]
    assert next_theme("none of them") == names[0]
