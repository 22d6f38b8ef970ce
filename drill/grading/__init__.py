"""Grading: what a record says about a flight, as findings with their moment, reason and source."""

from drill.grading.debrief import CAUTIONS, Debrief, Finding
from drill.grading.grade import grade
from drill.grading.text import debrief_lines

__all__ = ["CAUTIONS", "Debrief", "Finding", "debrief_lines", "grade"]
