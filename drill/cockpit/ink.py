"""The colours that instruments are drawn in. Every face takes them from one `Ink`: a theme changes all alike."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Ink:
    """Colours as `#rrggbb`. Where `texture` is set, sky and earth differ by a pattern as well as by lightness."""

    panel: str = "#1b1f24"        # the instrument panel around the faces
    dial: str = "#0c0e11"         # the ground of a dial
    rim: str = "#5d6670"          # the ring around a dial
    mark: str = "#e6e8ea"         # marks and figures
    faint: str = "#8c949c"        # lesser marks, titles
    needle: str = "#ffffff"
    sky: str = "#2f6f9f"
    earth: str = "#6b4a2b"
    airplane: str = "#f0b429"     # the airplane symbol and other fixed references
    green: str = "#4caf6a"
    yellow: str = "#e0c341"
    red: str = "#ef6a5a"
    flag: str = "#d9482b"         # ground of a flag; its word is printed in `flag_word`
    flag_word: str = "#ffffff"
    paper: str = "#c9c3b4"        # what a covered instrument is covered with
    paper_word: str = "#26231d"
    texture: bool = False
    plain: bool = False           # no braille and no blocks: letters, digits and - | / \\ : . only
