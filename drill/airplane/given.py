"""The words of a situation and the inputs that go with it, as a table of published values has them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from drill.airplane.constants import FOOT, FPM, KNOT, MILE, RAD, G

_POUND_KG = 0.45359237        # exact
_INHG_PA = 3386.389           # conventional inch of mercury
_FREEZING_K = 273.15
_TROPOPAUSE_FT = 11_000.0 / FOOT

UNITS: Mapping[str, Mapping[str, float]] = {
    "angle": {"deg": 1.0, "degrees": 1.0, "degree": 1.0, "°": 1.0, "rad": RAD},
    "speed": {"kt": 1.0, "kts": 1.0, "knots": 1.0, "kcas": 1.0, "ktas": 1.0, "kias": 1.0, "mps": 1.0 / KNOT,
              "m/s": 1.0 / KNOT, "kmh": 1.0 / KNOT / 3.6, "km/h": 1.0 / KNOT / 3.6, "mph": 0.44704 / KNOT},
    "length": {"ft": 1.0, "feet": 1.0, "m": 1.0 / FOOT, "km": 1000.0 / FOOT, "nm": MILE / FOOT, "nmi": MILE / FOOT},
    "vertical speed": {"ft/min": 1.0, "fpm": 1.0, "m/s": 1.0 / FPM},
    "pressure": {"pa": 1.0, "hpa": 100.0, "mb": 100.0, "mbar": 100.0, "kpa": 1000.0, "inhg": _INHG_PA},
    "turn rate": {"deg/s": 1.0, "dps": 1.0, "degps": 1.0, "°/s": 1.0, "rad/s": RAD, "radps": RAD,
                  "deg/min": 1.0 / 60.0},
    "drift": {"deg/h": 1.0, "deg/hr": 1.0, "dph": 1.0, "°/h": 1.0, "deg/min": 60.0},
    "acceleration": {"mps2": 1.0, "m/s2": 1.0, "g": G, "ktps": KNOT, "kt/s": KNOT},
    "time": {"s": 1.0, "sec": 1.0, "seconds": 1.0, "min": 60.0, "minutes": 60.0, "h": 3600.0, "hr": 3600.0,
             "hours": 3600.0},
    "mass": {"kg": 1.0, "lb": _POUND_KG, "lbs": _POUND_KG},
    "current": {"a": 1.0, "amp": 1.0, "amps": 1.0},
    "charge": {"ah": 1.0},
    "temperature": {"k": 1.0, "c": 1.0, "°c": 1.0, "degc": 1.0},      # differences
    "air temperature": {"k": 1.0},
    "load": {"g": 1.0},
    "density": {"kg/m3": 1.0, "kg/m^3": 1.0, "slug/ft3": 515.378818},
    "number": {"": 1.0, "1": 1.0, "k": 1.0},   # k is what Peukert's exponent is called
}
"""By dimension, each unit in terms of the first, which is the one that values are kept in."""

_SAME = (
    (r"man(?:o)?eu?vr?(?:er)?ing", "maneuvering"), (r"air\s*speed indicator", "asi"), (r"air\s*speed", "asi"),
    (r"vertical[ -]speed(?: indicator)?", "vsi"), (r"heading indicator|directional gyro|heading gyro",
                                                    "heading-indicator"),
    (r"plugged|obstructed|clogged|trapped|closed|frozen over", "blocked"), (r"roll(?:ing)?[ -]?out", "roll-out"),
    (r"true asi", "tas"), (r"calibrated asi", "cas"),
    (r"tas (?:from|at a given|of) (?:k?cas)", "tas-from-cas"),
    (r"cas (?:from|at a given|of) (?:k?tas)", "cas-from-tas"),
    (r"stalling", "stall"), (r"magnetic compass", "compass"),
)
_PAIR = re.compile(r"\s*([A-Za-z][\w ()/+-]*?)\s*[=:]\s*(.+?)\s*")
_NUMBER = re.compile(r"([+-]?\d[\d,]*(?:\.\d*)?(?:[eE][+-]?\d+)?|[+-]?\.\d+)\s*([A-Za-z°/^%0-9]*)")
_RATE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:deg(?:rees?)?|°)\s*(?:/|per)\s*s")


class CannotComputeError(ValueError):
    """Why the model has no number for a row."""


class Computed(NamedTuple):
    """A number of the model, and the dimension it has: its unit is that dimension's first in `UNITS`."""

    value: float
    dimension: str


@dataclass(frozen=True, slots=True)
class Number:
    """One input: its name, the words of it in order without the unit, the unit ("" for none written), the value."""

    name: str
    words: tuple[str, ...]
    unit: str
    value: float


@dataclass(slots=True)
class Given:
    """What a row says and gives. It remembers which inputs have been asked for."""

    words: frozenset[str]                      # of the situation, without notes
    text: str                                  # everything, lower case
    numbers: list[Number] = field(default_factory=list)
    others: dict[str, str] = field(default_factory=dict)
    asked: set[str] = field(default_factory=set)

    def says(self, *phrases: str) -> bool:
        """Return whether one of the phrases stands anywhere in the row."""
        return any(re.search(rf"\b{re.escape(phrase)}", self.text) for phrase in phrases)

    def rate_in_words(self) -> float | None:
        """Return the rate of turn (deg/s) that the situation states in passing."""
        found = _RATE.search(self.text)
        return float(found[1]) if found else None

    def deviation_in_words(self) -> float | None:
        """Return how much warmer than standard (K) the situation says that the air is, as ISA+10."""
        found = re.search(r"isa ?([+-] ?\d+(?:\.\d+)?)", self.text)
        return float(found[1].replace(" ", "")) if found else None

    def kelvin(self, words: set[str]) -> float | None:
        """Return an air temperature (K) that is given in K or in degrees Celsius."""
        for number in self.numbers:
            if words & set(number.words) and number.unit in ("c", "°c", "degc", "k"):
                self.asked.add(number.name)
                return number.value + (0.0 if number.unit == "k" else _FREEZING_K)
        return None

    def add(self, name: str, text: str) -> None:
        """Add an input from its name and value as written. Raises CannotComputeError for one that makes no sense."""
        plain = name.lower().replace("ground speed", "groundspeed").replace("_per_", "_")
        tokens = re.findall(r"[^\s_()]+", plain)
        found = _NUMBER.fullmatch(text.strip())
        if found is None or not math.isfinite(float(found[1].replace(",", ""))):
            self.others[name.lower()] = text.strip().lower()
            return
        value, unit = float(found[1].replace(",", "")), found[2].lower()
        if unit in ("n", "s", "e", "w") and {"lat", "latitude"} & set(tokens):
            value, unit = (-abs(value) if unit == "s" else value), "deg"
        words = list(tokens)
        if tokens[-1] in ("kcas", "kias", "ktas"):
            words[-1:] = [tokens[-1][1:]]
            unit = unit or "kt"
        elif tokens[0] in ("kcas", "kias", "ktas"):
            words[0] = tokens[0][1:]
            unit = unit or "kt"
        elif not unit and len(tokens) > 2 and _is_unit("/".join(tokens[-2:])):   # rate_deg_per_s
            unit = "/".join(tokens[-2:])
            del words[-2:]
        elif not unit and len(tokens) > 1 and _is_unit(tokens[-1]):
            unit = words.pop()
        if unit and not _is_unit(unit):
            raise CannotComputeError(f"the unit {unit!r} of {name} is not known")
        self.numbers.append(Number(name, tuple(words), unit, value))

    def named(self, dimension: str, words: set[str], without: set[str] | None = None) -> Number | None:
        """Return the input of a dimension whose name has one of `words` and none of `without`, in the first unit."""
        units = UNITS[dimension]
        first = next(iter(units))
        for fits in (units.keys(), {""}):   # an input that has its unit is taken before one that leaves it open
            for number in self.numbers:
                named = words & set(number.words) and not (without or set()) & set(number.words)
                if named and number.unit in fits:
                    self.asked.add(number.name)
                    return replace(number, unit=first, value=number.value * units.get(number.unit, 1.0))
        return None

    def maybe(self, dimension: str, words: set[str], without: set[str] | None = None) -> float | None:
        """Return the value of such an input, in the dimension's first unit, or None."""
        found = self.named(dimension, words, without)
        return None if found is None else found.value

    def number(self, what: str, dimension: str, words: set[str], without: set[str] | None = None, *,
               example: str) -> float:
        """Return the value of such an input. Raises CannotComputeError when there is none."""
        found = self.maybe(dimension, words, without)
        if found is None:
            raise CannotComputeError(f"needs the {what} (as {example})")
        return found

    def point(self, what: str, words: set[str], points: Mapping[str, float], *, example: str) -> float:
        """Return a direction (deg) given as a number or as a point of the compass. Raises CannotComputeError."""
        value = self.maybe("angle", words)
        if value is not None:
            return value
        for name, text in self.others.items():
            if words & set(name.split("_")) and text.replace("-", "").replace(" ", "") in points:
                self.asked.add(name)
                return points[text.replace("-", "").replace(" ", "")]
        raise CannotComputeError(f"needs the {what} (as {example})")

    def unused(self) -> tuple[str, ...]:
        """Return the names of numbers that nobody asked for."""
        return tuple(number.name for number in self.numbers if number.name not in self.asked)


def _is_unit(unit: str) -> bool:
    return any(unit in units for units in UNITS.values())


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of situation: the words that its description has, one of each set, and what computes it."""

    says: tuple[frozenset[str], ...]
    compute: Callable[[Given], Computed]


def kind(compute: Callable[[Given], Computed], *words: str) -> Kind:
    """Return a kind from its words: each of `words` is one set, its alternatives between bars."""
    return Kind(tuple(frozenset(each.split("|")) for each in words), compute)


def given(situation: str, inputs: str) -> Given:
    """Return the words of a situation and its inputs. Raises CannotComputeError for an input that makes no sense."""
    plain = re.sub(r"\([^)]*\)", " ", situation.lower()).split(";")[0]
    for pattern, same in _SAME:
        plain = re.sub(rf"\b(?:{pattern})\b", same, plain)
    words = frozenset(re.findall(r"[a-z][a-z-]*[a-z]|[a-z]", plain))
    words |= {part for word in words for part in word.split("-") if word != "heading-indicator"}
    row = Given(words, f"{situation} {inputs}".lower().replace("_", " "))
    for part in re.split(r"[;\n]|,\s*(?=[A-Za-z])", inputs):
        pair = _PAIR.fullmatch(part)
        if pair:
            row.add(pair[1], pair[2])
    return row


def height_m(ft: float) -> float:
    """Return an altitude (ft) in m. Raises CannotComputeError outside the model's air."""
    if not -2_000.0 <= ft <= _TROPOPAUSE_FT:
        raise CannotComputeError(f"{ft:g} ft is outside the model's air, which goes from -2,000 to 36,089 ft")
    return ft * FOOT


def bank_deg(g: Given) -> float:
    """Return the bank (deg, right positive) that a row gives. Raises CannotComputeError without one."""
    return g.number("bank", "angle", {"bank", "roll"}, example="bank_deg=30")


def cas_kt(g: Given) -> float:
    """Return the calibrated airspeed (kt) that a row gives. Raises CannotComputeError without one."""
    return g.number("calibrated airspeed", "speed", {"cas", "calibrated", "airspeed", "speed"}, {"tas", "blocked"},
                    example="kcas=110")


def in_unit(value: float, dimension: str, unit: str) -> float:
    """Return a value of a dimension in a unit, as tables write it. Raises CannotComputeError for a unit it has not."""
    wanted = unit.strip().lower()
    if dimension == "air temperature" and wanted in ("c", "°c", "degc", "deg c"):
        return value - _FREEZING_K
    units = UNITS[dimension]
    if wanted not in units:
        raise CannotComputeError(f"{unit!r} is no unit of this quantity: write one of {', '.join(units)}")
    return value / units[wanted]
