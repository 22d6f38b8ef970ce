"""The sections of a debrief, each with its key, and what the keys of the screen do."""

from __future__ import annotations

SECTIONS = (("overview", "F2", "Overview"), ("timeline", "F3", "Timeline"), ("plots", "F9", "Plots"),
            ("findings", "F4", "Findings"), ("answers", "F5", "Answers"), ("sides", "F7", "Side by side"))
KEYS = (("F2-F5", "overview, timeline, findings and calls, answers"), ("Up, Down", "one moment to the next; scroll"),
        ("F9", "plots of what was shown against what was true; Left and Right from moment to moment"),
        ("Tab", "between moments and details"), ("F6", "fly again from the moment chosen, or from another"),
        ("F7", "two flights side by side; after F6, let the sheet fly"),
        ("F8", "save as a page (HTML), Markdown, JSON or words; in side by side, the flights there"),
        ("F1", "help"), ("F10", "leave"), ("Ctrl+P", "all commands"))
