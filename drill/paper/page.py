"""A debrief as one HTML page: it needs no script, loads nothing, prints, and reads aloud in a sensible order.

Every text goes through the template engine, which escapes it; before that `clean` takes out whatever is no letter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from jinja2 import Template
from markupsafe import Markup

from drill.airplane.airframe import Airframe
from drill.airplane.panel import Panel
from drill.flight.readings import clock_words as clock
from drill.flight.readings import three_digits
from drill.grading import telling
from drill.grading.debrief import CallHeard, Debrief, Finding, UnsafeAct
from drill.grading.moments import cost_words
from drill.grading.published_words import NOTE
from drill.grading.reconstruction import PanelThen, Reconstruction
from drill.grading.segments import Segment, segments, without_words
from drill.grading.series_words import series_words
from drill.paper.along import guides_of
from drill.paper.document import Paper
from drill.paper.faces.panel import faces_css, grounds, panel
from drill.paper.lanes import lanes_drawn, legend
from drill.paper.plots import plot
from drill.paper.templates import template_of

MOST_PANELS = 60
"""Panels that are drawn; no flight has so many findings, but a stranger's record may: the others are told in words."""

_PANEL = frozenset(Panel.__slots__)


@dataclass(frozen=True, slots=True)
class PanelDrawn:
    """A panel on the page: drawn here, or said where it is drawn already. `truth` is what was so, in words."""

    name: str
    at: str
    drawing: Markup | None
    truth: str


@dataclass(frozen=True, slots=True)
class Found:
    """One finding as the page shows it."""

    at: str                      # M:SS, empty for what never happened
    title: str
    verdict: str
    cost: str
    reason: str
    readings: str
    better: str
    source: str
    panel: PanelDrawn | None


@dataclass(frozen=True, slots=True)
class CallMarked:
    """A call with its words in stretches."""

    at: str
    segments: tuple[Segment, ...]
    heard: tuple[str, ...]
    not_heard: tuple[str, ...]
    unread: tuple[str, ...]
    unseen: tuple[str, ...]      # heard, but by no words that can be shown


def as_html(paper: Paper) -> str:
    """Return the page about `paper`."""
    return _template().render(_told(paper))


@cache
def _template() -> Template:
    return template_of("page.html.j2", "page.css", more=faces_css())


def _told(paper: Paper) -> dict[str, Any]:
    document, debrief, then = paper.document, paper.document.debrief, paper.document.reconstruction
    guides = guides_of(then.moments)
    panels = _Panels(then, paper.airframe)
    unsafe, work, well = list(_unsafe(debrief, panels)), list(_work(debrief, panels)), list(_well(debrief, panels))
    return {
        "document": document, "debrief": debrief, "then": then, "telling": telling,
        "cautions": (*debrief.cautions, document.nothing_logged),
        "parts": [(telling.PART_WORDS[part], score) for part, score in telling.parts(debrief)],
        "failures": [(story, telling.failure_words(story)) for story in debrief.failures],
        "unsafe": unsafe, "work": work, "well": well, "not_needed": list(telling.not_needed(debrief)),
        "published_note": NOTE, "strayed": telling.strayed(debrief), "calls": [_call(each) for each in debrief.calls],
        "grounds": grounds(paper.airframe) if panels.any else Markup(""),
        "lanes": lanes_drawn(then.lanes, then.length_s, guides), "legend": legend(),
        "plots": [(each, plot(each, then.length_s, guides, times=each is then.series[-1]), series_words(each))
                  for each in then.series],
    }


# --- findings --------------------------------------------------------------------------------------


class _Panels:
    """The panels of a page, each drawn at its first finding."""

    def __init__(self, then: Reconstruction, airframe: Airframe) -> None:
        self._then = then
        self._airframe = airframe
        self._drawn: set[tuple[float, tuple[str, ...]]] = set()

    @property
    def any(self) -> bool:
        """Whether one has been drawn."""
        return bool(self._drawn)

    def at(self, t: float | None, about: tuple[str, ...]) -> PanelDrawn | None:
        """Return the panel at `t` (s) with the instruments `about` in frames; None where there is none."""
        kept = self._then.panel_at(t)
        if t is None or kept is None or not kept.shown.keys() >= _PANEL:
            return None
        about = tuple(sorted(set(about)))
        name = "panel-" + "-".join([f"{kept.t:.0f}", *about])
        drawing = None
        if (kept.t, about) not in self._drawn:
            if len(self._drawn) >= MOST_PANELS:
                return None
            self._drawn.add((kept.t, about))
            drawing = panel(name, f"The panel at {clock(t)}", kept.shown, kept.covered, about, self._airframe)
        return PanelDrawn(name, clock(t), drawing, truth_words(kept))


def truth_words(then: PanelThen) -> str:
    """Return what was so when the panel stood as it did; empty if it is not known."""
    true = then.true
    if not true.keys() >= {"bank_deg", "heading_deg", "altitude_ft", "airspeed_kt"}:
        return ""
    bank = true["bank_deg"]
    wings = "wings level" if abs(bank) < 1.5 else f"bank {abs(bank):.0f}° {'right' if bank > 0 else 'left'}"
    return (f"In truth: {wings}, heading {three_digits(true['heading_deg'])}, "
            f"{true['altitude_ft']:,.0f} ft, {true['airspeed_kt']:.0f} kt")


def _unsafe(debrief: Debrief, panels: _Panels) -> Iterator[Found]:
    for act in debrief.unsafe_acts:
        same = telling.same_as(debrief, act)
        cost = "It holds the grade down." + (f" {cost_words(same)}" if same is not None else "")
        yield _found(act, act.act, "unsafe", cost, "" if same is None else same.better, panels)


def _work(debrief: Debrief, panels: _Panels) -> Iterator[Found]:
    for each in debrief.findings:
        if each.verdict not in (*telling.GOOD, telling.NOT_NEEDED) and not telling.told_already(debrief, each):
            yield _found(each, each.item, each.verdict, cost_words(each), each.better, panels)


def _well(debrief: Debrief, panels: _Panels) -> Iterator[Found]:
    for each in debrief.findings:
        if each.verdict in telling.GOOD:
            cost = cost_words(each) if each.cost else ""
            yield _found(each, each.item, each.verdict, cost, "", panels)


def _found(one: Finding | UnsafeAct, title: str, verdict: str, cost: str, better: str, panels: _Panels) -> Found:
    return Found("" if one.at_s is None else clock(one.at_s), title, verdict, cost, one.reason, one.readings, better,
                 one.source, panels.at(one.at_s, one.about))


def _call(call: CallHeard) -> CallMarked:
    return CallMarked(clock(call.at_s), segments(call), tuple(dict.fromkeys(each.element for each in call.heard)),
                      call.not_heard, call.unread, without_words(call))


