"""The cautions that every face, page and printed debrief shows; light enough for a first screen."""

from __future__ import annotations

CAUTIONS = (
    "Training aid only. Not for use in flight, not approved by any authority; nothing here can be logged.",
    "The airplane's own handbook, local rules and an authorized instructor prevail over anything said here.",
)
"""Shown by every face, on every page and in every printed debrief."""

NOTHING_LOGGED = (
    "This counts for nothing in a logbook: no flight time, no instrument time, no training credit, no recency. Only a "
    "device that the authority has qualified can count for that (14 CFR 61.51, 61.57(c)), and this is none."
)
"""What a debrief that can be kept and handed on says besides."""
