"""What a plot of shown against true says, in words: for who cannot see it, and for whoever wants the worst at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from drill.flight.readings import clock_words as clock
from drill.flight.readings import three_digits
from drill.grading.series import Line, Series, difference
from drill.grading.timeline import lasting

FAR = {"bank": 10.0, "heading": 10.0, "altitude": 100.0, "airspeed": 10.0}
"""From this difference on the two are told to be apart: the tolerances of IR.IV.A.S1, for bank twice that of a turn."""


@dataclass(frozen=True, slots=True)
class Widest:
    """The moment (s) at which shown and true were farthest apart, and both then."""

    t: float
    shown: float
    true: float
    apart: float


def widest(series: Series) -> Widest | None:
    """Return where shown and true were farthest apart; None where they cannot be compared."""
    if series.shown.unit != series.true.unit:
        return None
    found: Widest | None = None
    for t, shown, true in zip(series.t, series.shown.values, series.true.values, strict=True):
        apart = difference(shown, true, circular=series.circular)
        if apart is not None and shown is not None and true is not None and (
                found is None or abs(apart) > abs(found.apart)):
            found = Widest(t, shown, true, apart)
    return found


def reading(series: Series, line: Line, value: float | None) -> str:
    """Return one value of one of the lines of `series`, with its unit or side."""
    if value is None:
        return "no reading"
    if series.name == "bank":
        return "level" if round(value) == 0 else f"{abs(value):.0f}° {'right' if value > 0 else 'left'}"
    if series.circular:
        return f"{three_digits(value)}°"
    if line.unit == "inHg":
        return f"{abs(value):.1f} inHg"
    return f"{value:,.0f} {line.unit}"


def series_words(series: Series) -> str:
    """Return in a sentence or two what the plot of `series` shows."""
    if series.shown.unit != series.true.unit:
        return _beside(series)
    most = widest(series)
    if most is None:
        return "There is nothing to compare."
    if abs(most.apart) < FAR.get(series.name, 0.0):
        return f"Shown and true stay together; the most apart is {_size(series, most.apart)}, at {clock(most.t)}."
    return (f"Farthest apart at {clock(most.t)}: shown {reading(series, series.shown, most.shown)}, true "
            f"{reading(series, series.true, most.true)}. {_apart_for(series)}")


def _size(series: Series, apart: float) -> str:
    return f"{abs(apart):.0f}°" if series.shown.unit == "deg" else f"{abs(apart):,.0f} {series.shown.unit}"


def _apart_for(series: Series) -> str:
    far = FAR[series.name]
    spans = _spans(series.t, [difference(shown, true, circular=series.circular)
                              for shown, true in zip(series.shown.values, series.true.values, strict=True)],
                   lambda apart: abs(apart) >= far)
    whole = sum(end - begin for begin, end in spans)
    return f"At least {_size(series, far)} apart for about {lasting(whole)}, first from {clock(spans[0][0])} on."


def _beside(series: Series) -> str:
    known = [value for value in series.shown.values if value is not None]
    if not known or series.band is None:
        return "There is nothing to read."
    low = series.band[0]
    spans = _spans(series.t, series.shown.values, lambda value: abs(value) < low)
    words = f"The gauge: least {reading(series, series.shown, min(known, key=abs))}"
    words += f", below the green from {clock(spans[0][0])} on" if spans else ", never below the green"
    turned = [(value, t) for value, t in zip(series.true.values, series.t, strict=True) if value is not None]
    if turned:
        slowest, t = min(turned)
        words += f". {series.true.name[:1].upper()}{series.true.name[1:]}: least {slowest:.0f} {series.true.unit}"
        words += f", at {clock(t)}"
    return f"{words}."


def _spans(
    t: Sequence[float], values: Sequence[float | None], holds: Callable[[float], bool],
) -> list[tuple[float, float]]:
    """Return the stretches (from, to; s) in which `holds` of a value; each ends where the next point begins."""
    found: list[tuple[float, float]] = []
    begin: float | None = None
    for at, value in zip(t, values, strict=True):
        now = value is not None and holds(value)
        if now and begin is None:
            begin = at
        elif not now and begin is not None:
            found.append((begin, at))
            begin = None
    if begin is not None:
        found.append((begin, t[-1]))
    return found
