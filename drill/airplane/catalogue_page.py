"""The page of failures: the catalogue in Markdown, with what is seen of each, computed by the model."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from drill.airplane.failure import Failure
from drill.airplane.failure_flights import LIT, OFF, READ, SEEDS, Seen, Sight, fly, median
from drill.airplane.failures import CATALOGUE
from drill.cautions import CAUTIONS

POWER = {"V": "vacuum", "E": "electric", "M": "earth's magnetism", "P": "pitot pressure", "S": "static pressure",
         "N": "none", "": "none"}
"""What a failed part runs on, by `Failure.power_group`."""

POWERED_BY = {
    "attitude_indicator": "vacuum", "heading_indicator": "vacuum", "suction_gauge": "vacuum",
    "vacuum_system": "vacuum",
    "turn_coordinator": "electric", "ammeter": "electric", "voltmeter": "electric", "navigation": "electric",
    "breakers": "electric", "fuel": "electric", "alternator": "electric", "transponder": "electric",
    "radio": "electric", "autopilot": "electric",
    "airspeed_indicator": "pitot and static pressure", "altimeter": "static pressure",
    "vertical_speed_indicator": "static pressure",
    "standby_instrument": "a battery of its own", "standby_attitude": "a battery of its own",
    "magnetic_compass": "no power", "clock": "no power", "tachometer": "engine", "engine": "engine",
    "outside": "eyes", "ice": "eyes", "panel": "eyes",
}
"""What an instrument runs on, by its name in `Failure.revealed_by`."""

_WHEN = ("30 s", "1 min", "2 min, turning", "5 min, climbing", "10 min, descending")
_INTRO = f"""\
Made by `python -m drill.airplane catalogue procedures/failures.md` from the catalogue and the model of the airplane;
not to be edited by hand.

A failure is asked for in a scenario by its part and how it fails: `failures: {{lean: {{part: attitude indicator, how:
leans, at: 4 min}}}}`. Sizes below are those of severity 1.

The tables are computed: {SEEDS} flights in light turbulence for each failure, at severity 1 and, where it has a side,
to the right, with hands that fly by what the failure leaves good. A figure is the median. Where there is a truth it
is **shown minus true**: right, nose up and climb are positive, and `±` stands before a size whose side differs from
one airplane to the next. What has no truth beside it (suction, volts, amperes, engine speed) is what is **read**. A
dash stands where there is nothing to be read. Only what differs from the same flights without the failure has a row.
Times count from the onset: straight and level until 100 s, then a right turn of 90 degrees at standard rate, a climb
of 1,000 ft from 4 min 30 s, a descent at low power from 9 min 20 s. The airplane has everything fitted that can be
(standby vacuum, switched off; standby attitude display; low-vacuum light; autopilot, off unless it is what fails, and
off 3 s after it has run away). The numbers are this model's, and no instrument's maker's.
"""
_TOGETHER = """\
## Several at once, and failures that come and go

Any of them can happen together. Each acts on conditions of parts. Where several act on the same one, those that have
a side add up, so that two drifts may cancel; of the others the worst counts, for a worn pump does not mend a sheared
shaft. The order in which they begin does not matter. One failure can hide another: a stuck suction gauge hides a dead
pump, a dead bulb the low vacuum, a dead standby pump shows only when it is needed.

A failure with `lasts` heals after that time, and with `every` it comes back. What has healed is as good as new from
then on, but what it did meanwhile stays until the airplane's own physics undo it: a rotor runs up again over minutes,
a horizon that leans erects itself by some degrees a minute, a card that has drifted stays wrong until it is set, a
battery that was drawn upon has to be charged.
"""


def _words(names: Sequence[str]) -> str:
    return ", ".join(name.replace("_", " ") for name in names)


def _called(sets: tuple[frozenset[str], ...]) -> str:
    return "; or ".join(" and ".join(sorted(name.replace("_", " ") for name in each)) for each in sets)


def _revealed(failure: Failure) -> str:
    groups: dict[str, list[str]] = {}
    for name in failure.revealed_by:
        groups.setdefault(POWERED_BY.get(name, "what it runs on is not named"), []).append(name)
    return "; ".join(f"{_words(names)} ({power})" for power, names in groups.items())


def _figure(value: float, sight: Sight) -> str:
    places = 1 if sight.rounded_to < 1.0 else 0
    rounded = round(value / sight.rounded_to) * sight.rounded_to
    return f"{abs(rounded) if rounded == 0.0 else rounded:.{places}f}"


def _cell(values: Any, sight: Sight, *, signed: bool) -> str:
    """One cell from the seeds' values (seeds,), NaN for those that have none."""
    there = values[~np.isnan(values)]
    if 2 * len(there) < len(values):
        return "–"
    middle = float(np.median(there))
    if not signed:
        return _figure(middle, sight)
    size = float(np.median(np.abs(there)))
    if size < sight.rounded_to / 2.0:
        return "0"
    one_sided = max(float(np.mean(there > 0.0)), float(np.mean(there < 0.0))) >= 0.8
    if not one_sided:
        return "±" + _figure(size, sight)
    text = _figure(middle, sight)
    return text if text.startswith("-") or text in ("0", "0.0") else "+" + text


def _rows(seen: Seen) -> list[tuple[str, list[str]]]:
    rows = []
    differing = seen.differing()
    for sight in (*OFF, *READ):
        if sight in differing:
            name = f"{_words([sight.instrument])}: {sight.says} ({sight.unit}{', read' if sight in READ else ''})"
            rows.append((name, [_cell(values, sight, signed=sight in OFF) for values in seen.failing[sight]]))
    for instrument, says, name in LIT:
        if name in differing:
            mine = median(seen.failing[name])
            cells = ["–" if np.isnan(value) else "yes" if value > 0.5 else "no" for value in mine]
            rows.append((f"{_words([instrument])}: {says}", cells))
    return rows


def _table(rows: list[tuple[str, list[str]]]) -> list[str]:
    lines = ["| instrument | " + " | ".join(_WHEN) + " |", "|---|" + "---:|" * len(_WHEN)]
    return lines + [f"| {name} | " + " | ".join(cells) + " |" for name, cells in rows]


def _healthy(seen: Seen) -> list[str]:
    rows = [(f"{_words([sight.instrument])}: {sight.says} ({sight.unit})",
             [_cell(values, sight, signed=True) for values in seen.twins[sight]]) for sight in OFF]
    rows += [(f"{_words([sight.instrument])}: {sight.says} ({sight.unit}, read)",
              [_cell(values, sight, signed=False) for values in seen.twins[sight]]) for sight in READ]
    about = "The same flights with everything in order: gyros lean a little, the compass swings in turns, needles lag."
    return ["## Nothing failed", "", about, "", *_table(rows), ""]


def _entry(failure: Failure, seen: Seen) -> list[str]:
    lines = [f"### {failure.part}: {failure.how}", "", failure.says, ""]
    if failure.parameters:
        sizes = ", ".join(f"{each.name} {each.default:g}" + (f" {each.unit}" if each.unit != "1" else "")
                          for each in failure.parameters)
        lines.append(f"- Sizes: {sizes}.")
    if failure.named_right_as:
        lines.append(f"- Rightly called: {_called(failure.named_right_as)}.")
    else:
        lines.append("- Rightly called: nothing that has to be reported by itself.")
    if failure.also_right:
        lines.append(f"- A good report too: {_called(failure.also_right)}.")
    lines.append(f"- Runs on: {POWER.get(failure.power_group, failure.power_group)}.")
    lines.append(f"- Revealed by: {_revealed(failure)}.")
    lines += [f"- Seen: {failure.seen}", ""]
    rows = _rows(seen)
    if not rows:
        none = "No reading differs at these times: it shows when the part is needed, or as long as it is left on."
        return [*lines, none, ""]
    lines += _table(rows)
    if seen.ended[-1] > 0.0:
        lost = round(float(seen.ended[-1]) * SEEDS)
        lines += ["", f"By the tenth minute {lost} of {SEEDS} flights had ended, on the ground or broken up."]
    return [*lines, ""]


def page(failures: Sequence[Failure] | None = None) -> str:
    """Return the page, for the whole catalogue or for some of it; flies every failure for ten minutes."""
    every = tuple(CATALOGUE.values()) if failures is None else tuple(failures)
    flown = fly(every)
    lines = ["# Failures", "", *(f"> {caution}  " for caution in CAUTIONS), "", *_INTRO.splitlines(), "",
             *_TOGETHER.splitlines(), "", "## All of them", "", "| part | how it fails | runs on |", "|---|---|---|"]
    lines += [f"| {each.part} | {each.how} | {POWER.get(each.power_group, each.power_group)} |" for each in every]
    lines += ["", *_healthy(flown[0]), "## One by one", ""]
    for failure, seen in zip(every, flown, strict=True):
        lines += _entry(failure, seen)
    return "\n".join(lines)
