"""What simulated pilots made of a scenario, in words for people and as an object for programs.

Every face says with it how it was computed and that these are no people (`caution`).
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from drill.check.pilots.measures import ItemMeasured, Share, items_measured, quartiles, share
from drill.check.pilots.results import Result, edge_shares, ending_shares, phase_shares
from drill.check.pilots.skills import BY_THE_BOOK, GOOD_PILOTS, PUBLISHED_MIN, SKILLS
from drill.check.report import WIDTH, Line, Run
from drill.scenario.model import Scenario

MADE_BY_MOST = 0.8             # a window is short that fewer of the good pilots make
_NOBODY, _EVERYBODY = 0.01, 0.99
_APART = 0.15                  # an item that tells less says little about a flight
_COLUMN = 13
_DEAD_PUMP = ("vacuum pump", "shaft shears")   # what the published times are about


def caution(result: Result) -> str:
    """Return how it was computed, and what it is not."""
    skills = "; ".join(f"{each.name}: {each.words}" for each in SKILLS if each.name in result.setup.skills)
    return (f"Computed from {len(result.flights):,} flights of simulated pilots, "
            f"{len(result.flights) // len(result.setup.skills):,} of each skill under the same seeds from "
            f"{result.setup.first_seed}. Simulated pilots are not people: but for two means of a study "
            "(DOT/FAA/AM-02/19) their numbers are chosen, common practice without a source. "
            f"Compare scenarios and items with them, and nobody. {skills}. Shares with 95 % score intervals (Wilson); "
            "times are median and quartiles; how an item tells flights apart is its corrected item-total correlation.")


def told(scenario: Scenario, result: Result) -> Iterator[Line]:
    """Yield what the pilots made of the scenario, in 78 columns."""
    skills = result.setup.skills
    yield [Run(f"{scenario.name}: how hard it is for {len(result.flights):,} simulated pilots", "place")]
    yield [Run("shares with their 95 % intervals; times: the median, and the quartiles", "label")]
    yield []
    yield from _heads("endings", skills)
    came = Counter(flight.ending for flight in result.flights)
    for name, _ in came.most_common():
        counts = [share(sum(flight.ending == name for flight in result.of(skill)), len(result.of(skill)))
                  for skill in skills]
        yield from _row(_ending_words(scenario, name), [_share_words(each) for each in counts])
    if never := [name for name in result.setup.endings if name not in came]:
        for row in textwrap.wrap(f"nobody came to: {', '.join(never)}", WIDTH - 2, break_on_hyphens=False):
            yield [Run(f"  {row}")]
    knew = {skill: quartiles(flight.knew_s / 60.0 for flight in result.of(skill) if flight.knew_s is not None)
            for skill in skills}
    yield from _row("knew of the failure after, min", [
        "-" if (found := knew[skill]) is None else f"{found[1]:.1f}, {found[0]:.0f}-{found[2]:.0f}"
        for skill in skills])
    yield []
    yield from _heads("items of the grade sheet", skills)
    measured = items_measured(scenario, result)
    for item in measured:
        yield from _item(item, skills)
    yield []
    for words in findings(scenario, result, measured):
        yield from _wrapped("note", words)
    yield from _wrapped("how", caution(result))
    speed = result.flown_s / result.took_s if result.took_s else 0.0
    yield from _wrapped("took", f"{result.took_s:,.0f} s on {result.processes} "
                        f"{'core' if result.processes == 1 else 'cores'}, {speed:,.0f} seconds of flight a second"
                        + ("" if result.compiled else "; without the package llvmlite, several times as long as with"))


def findings(scenario: Scenario, result: Result, measured: Sequence[ItemMeasured]) -> Iterator[str]:
    """Yield what an author should look at: items that everybody or nobody gets, windows that good pilots miss."""
    for item, made in zip(scenario.grade_sheet, measured, strict=True):
        if not made.asked:
            yield f"“{made.name}” never came up in any flight."
            continue
        shares = [each.met.value for each in made.skills.values() if each.met.of]
        if max(shares) <= _NOBODY:
            yield f"Nobody gets “{made.name}”, not even {BY_THE_BOOK.name}: can it be done as the sheet asks for it?"
        elif min(shares) >= _EVERYBODY:
            yield f"Everybody gets “{made.name}”: it tells no flight from another."
        elif made.apart is not None and made.apart < _APART:
            yield (f"“{made.name}” tells little about the rest of a flight ({made.apart:.2f}): is it another skill, or "
                   "chance?")
        if item.within is not None and item.do is not None:
            did, made_it = 0, 0
            place = scenario.grade_sheet.index(item)
            for flight in result.flights:
                outcome = flight.items[place]
                if flight.skill in GOOD_PILOTS and outcome.at_s is not None and outcome.score is not None:
                    did += 1
                    made_it += outcome.verdict != "late"
            if did and made_it / did < MADE_BY_MOST:
                yield (f"The window of “{made.name}” is short: {100.0 * made_it / did:.0f} % of the good pilots who "
                       "did it were in time.")
    if scenario.start.on_ground or {(plan.part, plan.how) for plan in scenario.failures} != {_DEAD_PUMP}:
        return
    for skill, minutes in PUBLISHED_MIN.items():
        known = [flight.knew_s / 60.0 for flight in result.of(skill) if flight.knew_s is not None]
        if known:
            mean = sum(known) / len(known)
            yield (f"{skill}: {mean:.1f} min on average until the failure was known; published for a dead pump, "
                   f"unannounced, {minutes:g} min.")


def as_object(scenario: Scenario, result: Result) -> dict[str, Any]:
    """Return everything for programs; shares are 0 to 1, times are seconds."""
    measured = items_measured(scenario, result)
    return {
        "scenario": scenario.name, "pilots": len(result.flights), "first_seed": result.setup.first_seed,
        "skills": list(result.setup.skills), "how": caution(result),
        "endings": ending_shares(result), "phases": phase_shares(result),
        "intervals": {name: {skill: _interval(share(sum(f.ending == name for f in result.of(skill)),
                                                    len(result.of(skill)))) for skill in result.setup.skills}
                      for name in ending_shares(result)},
        "branches": [{"phase": phase, "branch": number, "shares": shares}
                     for (phase, number), shares in edge_shares(result).items()],
        "items": [_item_object(item) for item in measured],
        "notes": list(findings(scenario, result, measured)),
        "took_s": round(result.took_s, 1), "flown_s": round(result.flown_s), "processes": result.processes,
    }


def _item_object(item: ItemMeasured) -> dict[str, Any]:
    return {"item": item.name, "asked": item.asked, "apart": item.apart, "since": item.since, "skills": {
        skill: {"asked": each.met.of, "met": each.met.value, "interval": _interval(each.met),
                "partly": each.partly.value, "quartiles_s": each.times_s} for skill, each in item.skills.items()}}


def _interval(of: Share) -> list[float]:
    return [round(of.low, 4), round(of.high, 4)]


def _ending_words(scenario: Scenario, name: str) -> str:
    outcome = next((each.outcome for each in scenario.endings if each.name == name), "")
    return f"{name or 'none'} ({outcome})" if outcome and outcome != name else name or "none"


def _share_words(of: Share) -> str:
    if not of.of:
        return "-"
    return f"{100.0 * of.value:.0f} % {100.0 * of.low:.0f}-{100.0 * of.high:.0f}"


def _heads(title: str, skills: Sequence[str]) -> Iterator[Line]:
    room = WIDTH - _COLUMN * len(skills)
    heads = [textwrap.wrap(each, _COLUMN - 1) for each in skills]
    for number in range(max(map(len, heads))):
        cells = "".join(f"{head[number] if number < len(head) else '':>{_COLUMN}}" for head in heads)
        yield [Run(f"{title if number == 0 else '':<{room}}"[:room] + cells, "label")]


def _row(name: str, cells: Sequence[str]) -> Iterator[Line]:
    room = WIDTH - _COLUMN * len(cells)
    rows = textwrap.wrap(name, room - 3, break_on_hyphens=False) or [""]
    for row in rows[:-1]:
        yield [Run(f"  {row}")]
    yield [Run(f"  {rows[-1]:<{room - 2}}" + "".join(f"{cell:>{_COLUMN}}" for cell in cells))]


def _item(item: ItemMeasured, skills: Sequence[str]) -> Iterator[Line]:
    apart = "" if item.apart is None else f", tells flights apart: {item.apart:.2f}"
    for row in textwrap.wrap(f"{item.name} (asked in {item.asked:,}{apart})", WIDTH - 2):
        yield [Run(f"  {row}")]
    yield from _row("  met", [_share_words(item.skills[skill].met) for skill in skills])
    if any(item.skills[skill].partly.count > item.skills[skill].met.count for skill in skills):
        yield from _row("  in part too", [_share_words(item.skills[skill].partly) for skill in skills])
    if any(item.skills[skill].times_s for skill in skills):
        yield from _row(f"  s since {item.since}", [_times_words(item.skills[skill].times_s) for skill in skills])


def _times_words(times: tuple[float, float, float] | None) -> str:
    return "-" if times is None else f"{times[1]:.0f}, {times[0]:.0f}-{times[2]:.0f}"


def _wrapped(label: str, words: str) -> Iterator[Line]:
    for number, row in enumerate(textwrap.wrap(words, WIDTH - 8, break_on_hyphens=False)):
        yield [Run(f"{label if number == 0 else '':>6}  ", "label"), Run(row)]


