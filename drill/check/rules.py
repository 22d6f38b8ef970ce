"""The kinds of what is found in a scenario that loads, each with what it is; all of them are warnings."""

from __future__ import annotations

from collections.abc import Mapping

from drill.check.explore_rules import EXPLORED
from drill.scenario.problems import RULES, Place, Problem, Subject

CHECKED: Mapping[str, str] = {
    "always-holds": "a condition that holds at every moment",
    "approach-unknown": "an approach of no known kind, to no runway, or to another one than that in use",
    "asks-what-is-known": "ATC asks for what it has been told on every way there, so the line is never said",
    "branch-never-wins": "a branch that an earlier one of the same phase always forestalls",
    "caution-missing": "another country's words are used, and nothing says whose rules are meant",
    "comment-cuts-text": "a text that ends at a `#`, which begins a comment",
    "example-leaves-out": "the example of an item has not what its `needs` ask for",
    "example-missing": "an item to be done without the words that do it",
    "fuel-runs-out": "fuel on board for less than the longest flight of the story",
    "gives-it-away": "what the pilot reads before anything has failed says what will",
    "graded-twice": "two items of the grade sheet that ask for the same",
    "ice-without-heat": "a flight that begins or is cleared in ice, and nothing about pitot heat, which starts off",
    "item-nobody-fails": "an item of the grade sheet that every flight meets",
    "item-nobody-satisfies": "an item of the grade sheet that no flight can meet",
    "items-contradict": "two items of the grade sheet that no flight can meet together",
    "left-at-once": "a first phase that every flight leaves in its first second",
    "line-too-long": "a line that does not fit into 78 columns and cannot be wrapped well",
    "markup-in-text": "a text with the signs of another program in it",
    "names-another-part": "an item that asks for a name which is not that of what has failed",
    "named-of-another-variation": "an item that names another one, and no flight asks for both",
    "nearly-named": "a word that is nearly the name of a field, or the callsign",
    "needs-without-a-call": "`needs` of an item that asks for no call",
    "never-holds": "a condition that can never hold",
    "no-poll-before-failure": "polls of which none asks what is wrong before anything can have failed",
    "no-way-down": "a field that nobody can land at in its weather",
    "not-in-words": "a character that the words-only face cannot show, or a reader cannot speak",
    "part-not-fitted": "a failure, an act or a quantity of a part that the airplane does not have",
    "poll-gives-away": "a poll that says, by its moment, its words or its answers, what has failed",
    "reason-says-nothing": "a `why` that gives no reason",
    "runway-downwind": "a runway in use with the wind from behind",
    "says-otherwise": "words of ATC that assign something else than the keys beside them",
    "source-names-nothing": "a `source` that names no document and no place in one",
    "too-low": "an altitude too near the ground for an airplane in cloud",
    "unfinished-text": "a text with a mark that it is not finished",
    "unsafe-act-pays": "an act that the sheet calls unsafe and that another item, or a good ending, rewards",
    "unsafe-without-effect": "`unsafe` at an item that is to be done",
    "window-before-evidence": "a time window that closes before the failure can have shown anything",
    "window-past-the-end": "a time window that may still be open when the flight is over",
    "window-too-early": "a time window that closes before there is anything to act on",
    "window-too-short": "a time window shorter than the act itself takes",
}
"""Every kind found by looking at the document beyond what the loader does, and what it is."""

BEYOND: Mapping[str, str] = {**EXPLORED, **CHECKED}
"""The same, and what exploration proves of the story."""

ALL: Mapping[str, str] = dict(sorted({**RULES, **BEYOND}.items()))


def warning(place: Place, rule: str, wrong: str, allowed: str, remedy: str, *about: Subject) -> Problem:
    """Return a warning of one of the kinds of `CHECKED`."""
    return Problem(place, rule, wrong, allowed, remedy, "warning", frozenset(about))
