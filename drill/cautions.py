"""The cautions that every face, page and printed debrief shows; light enough for a first screen."""

from __future__ import annotations

CAUTIONS = (
    "Training aid only. Not for use in flight, not approved by any authority; nothing here can be logged.",
    "The airplane's own handbook, local rules and an authorized instructor prevail over anything said here.",
)
"""Shown by every face, on every page and in every printed debrief."""
