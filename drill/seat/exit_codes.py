"""Exit codes of the program, whichever face is shown. Light."""

from __future__ import annotations

FAULTS = 1
"""What was looked at is not as it should be: a document with faults, a record that comes out differently."""
MISTAKE = 2
SIGNALS_FROM = 128
"""A program that a signal ends returns this and the signal's number, as shells say it."""
