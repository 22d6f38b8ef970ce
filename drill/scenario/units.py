"""Numbers with their units, as an author writes them: `5000 ft`, `3 h 10 min`, `270 at 20 kt`, `29.92 inHg`.

A bare number is refused wherever it could be meant in two units. What is returned is in the one unit that the model
uses, named at each `Unit`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

HPA_PER_INHG = 33.8639  # 1 inHg at 0 degrees C; NIST Special Publication 811, appendix B.8: 3386.389 Pa

_NUMBER = r"[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?|[+-]?\.\d+"
_ONE = re.compile(rf"({_NUMBER})\s*(\D.*)?", re.DOTALL)
_TIME_PART = re.compile(r"(\d+(?:\.\d+)?)\s*([A-Za-z]+)\s*")
_CLOCK = re.compile(r"\d{1,2}:\d{2}(?::\d{2})?")
_WIND = re.compile(r"(.+?)\s+at\s+(.+)", re.IGNORECASE | re.DOTALL)
_SHARE = re.compile(r"(\d{1,6})\s+in\s+(\d{1,6})", re.IGNORECASE)
_PART_OF_NUMBER = re.compile(r",(\d+)|(\d)/(\d+)")
_LEVEL = re.compile(r"FL\s*(\d{2,3})", re.IGNORECASE)
_LONGEST = 12  # digits; more is a slip and not a quantity


class UnitError(ValueError):
    """A quantity cannot be read; what it carries are the words of a Problem."""

    def __init__(self, rule: str, wrong: str, allowed: str, remedy: str) -> None:
        super().__init__(wrong)
        self.rule, self.wrong, self.allowed, self.remedy = rule, wrong, allowed, remedy


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its name, how to write it, and what each accepted spelling is worth in it."""

    name: str
    sample: str
    spelled: Mapping[str, float]
    bare: bool = False  # a number alone is clear enough

    @property
    def wanted(self) -> str:
        """The name with its verb: `feet are wanted`."""
        one = self.name in ("a number", "time", "pressure", "g", "per radian")
        return f"{self.name} {'is' if one else 'are'} wanted"

    def spellings(self) -> str:
        """Return the accepted spellings in words."""
        return " or ".join(dict.fromkeys(self.spelled))


FEET = Unit("feet", "ft", {"ft": 1.0, "feet": 1.0, "foot": 1.0})
KNOTS = Unit("knots", "kt", {"kt": 1.0, "kts": 1.0, "knots": 1.0, "knot": 1.0})
DEGREES = Unit("degrees", "deg", {"deg": 1.0, "degrees": 1.0, "degree": 1.0, "°": 1.0})
HEADING = Unit("degrees", "deg", DEGREES.spelled, bare=True)
MILES = Unit("nautical miles", "nm", {"nm": 1.0, "nmi": 1.0})
VISIBILITY = Unit("statute miles", "sm", {"sm": 1.0})
SECONDS = Unit(
    "time",
    "s",
    {
        "s": 1.0,
        "sec": 1.0,
        "second": 1.0,
        "seconds": 1.0,
        "min": 60.0,
        "minute": 60.0,
        "minutes": 60.0,
        "h": 3600.0,
        "hr": 3600.0,
        "hour": 3600.0,
        "hours": 3600.0,
    },
)
MINUTES = Unit("time", "min", {name: worth / 60.0 for name, worth in SECONDS.spelled.items()})
PRESSURE = Unit("pressure", "hPa", {"hpa": 1.0, "mb": 1.0, "mbar": 1.0, "inhg": HPA_PER_INHG})
SUCTION = Unit("inches of mercury", "inHg", {"inhg": 1.0, "in": 1.0, "inches": 1.0})
CELSIUS = Unit("degrees Celsius", "C", {"c": 1.0, "°c": 1.0, "degc": 1.0})
CLIMB = Unit("feet per minute", "fpm", {"fpm": 1.0, "ft/min": 1.0})
TURN = Unit("degrees per second", "deg/s", {"deg/s": 1.0, "dps": 1.0})
VOLTS = Unit("volts", "V", {"v": 1.0, "volts": 1.0, "volt": 1.0})
AMPS = Unit("amperes", "A", {"a": 1.0, "amps": 1.0, "amp": 1.0})
RPM = Unit("revolutions per minute", "rpm", {"rpm": 1.0})
LOAD = Unit("g", "g", {"g": 1.0})
PLAIN = Unit("a number", "", {"%": 0.01}, bare=True)
KILOGRAMS = Unit("kilograms", "kg", {"kg": 1.0, "lb": 0.45359237})
SQUARE_METRES = Unit("square metres", "m2", {"m2": 1.0, "m²": 1.0})
AMPERE_HOURS = Unit("ampere-hours", "Ah", {"ah": 1.0})
PER_RADIAN = Unit("per radian", "per rad", {"per rad": 1.0, "/rad": 1.0})
KILOWATTS = Unit("kilowatts", "kW", {"kw": 1.0, "hp": 0.745699872})
METRES_A_SECOND = Unit("metres per second", "m/s", {"m/s": 1.0})
GALLONS_AN_HOUR = Unit("gallons per hour", "gph", {"gph": 1.0, "gal/h": 1.0})

_ELSEWHERE: Mapping[str, Mapping[str, float]] = {
    "nm": {"km": 1.0 / 1.852, "sm": 1.609344 / 1.852}, "sm": {"km": 1.0 / 1.609344, "nm": 1.852 / 1.609344},
    "kt": {"km/h": 1.0 / 1.852, "kmh": 1.0 / 1.852, "mph": 0.868976},
}
"""What is not read, because it would be taken for the usual unit, and what one of it is worth (ISO 80000-3; the
international mile). An altitude in metres is taken for a slip of the unit alone."""

BY_CODE: Mapping[str, Unit] = {
    "ft": FEET,
    "kt": KNOTS,
    "deg": DEGREES,
    "nm": MILES,
    "s": SECONDS,
    "min": MINUTES,
    "inHg": SUCTION,
    "V": VOLTS,
    "A": AMPS,
    "rpm": RPM,
    "dps": TURN,
    "fpm": CLIMB,
    "g": LOAD,
    "share": PLAIN,
}
"""By the unit codes of `quantities`."""


def read_amount(text: str, unit: Unit) -> float:
    """Return the quantity written in `text`, in `unit`; raises UnitError."""
    said = " ".join(text.split())
    if unit in (SECONDS, MINUTES):
        return _read_time(said, unit)
    level = _LEVEL.fullmatch(said)
    if level is not None and unit is FEET:
        return float(level.group(1)) * 100.0
    match = _ONE.fullmatch(said)
    if match is None or len(match.group(1)) > _LONGEST:
        raise UnitError(
            "not-a-quantity",
            f"`{_short(said)}` is not a number with a unit",
            unit.wanted,
            f"write it like {_sample(unit)}",
        )
    number, spelled = match.group(1), (match.group(2) or "").strip()
    return float(number.replace(",", "")) * _worth(number, spelled, unit)


def _worth(number: str, spelled: str, unit: Unit) -> float:
    if not spelled:
        if unit.bare:
            return 1.0
        raise UnitError(
            "unit-missing", f"`{number}` has no unit", unit.wanted, f"write {number} {unit.sample}"
        )
    worth = unit.spelled.get(spelled.lower())
    part = _PART_OF_NUMBER.match(spelled)
    if part is not None:
        meant = float(f"{number}.{part[1]}") if part[1] else float(number) + int(part[2]) / max(int(part[3]), 1)
        written = f"{number}{part[0]}" if part[1] else f"{number} {part[0]}"
        raise UnitError("not-a-quantity", f"`{_short(written)}` is no number here", "a number with a point in it",
                        f"write {meant:g} {spelled[part.end():].strip() or unit.sample}".strip())
    if worth is None:
        raise UnitError(
            "wrong-unit",
            f"`{_short(f'{number} {spelled}')}`: {unit.wanted}",
            "",
            f"write {f'{_meant(number, spelled, unit)} {unit.sample}'.strip()}",
        )
    return worth


def _meant(number: str, spelled: str, unit: Unit) -> str:
    """Return the number to be written in the unit: converted from one of another country, else as it is."""
    factor = _ELSEWHERE.get(unit.sample, {}).get(spelled.lower())
    if factor is None:
        return number
    exact = float(number.replace(",", "")) * factor
    return f"{float(f'{exact:.3g}'):.7g}"


def spelling_in(written: str, unit: Unit) -> tuple[str, float]:
    """Return the unit in which a pressure is `written`, and its worth in `unit`; of others the usual one and 1."""
    spelled = written.strip().lstrip("+-0123456789., ")
    if unit is PRESSURE and spelled.lower() in unit.spelled:
        return spelled, unit.spelled[spelled.lower()]
    return unit.sample, 1.0


def _read_time(said: str, unit: Unit) -> float:
    if _CLOCK.fullmatch(said):
        first, second, *_ = (str(int(part)) for part in said.split(":"))
        raise UnitError(
            "time-with-colon",
            f"`{said}` could be minutes and seconds or hours and minutes",
            "",
            f"write {first} min {second} s or {first} h {second} min",
        )
    total, rest = 0.0, said
    while rest:
        part = _TIME_PART.match(rest)
        if part is None or len(part.group(1)) > _LONGEST:
            break
        worth = unit.spelled.get(part.group(2).lower())
        if worth is None:
            raise UnitError(
                "wrong-unit", f"`{_short(said)}`: a time is wanted", "s, min or h", f"write {part.group(1)} min"
            )
        total += float(part.group(1)) * worth
        rest = rest[part.end() :]
    if not rest and said:
        return total
    bare = re.fullmatch(r"\d+(?:\.\d+)?", said)
    if bare is not None and len(said) <= _LONGEST:
        raise UnitError(
            "unit-missing", f"`{said}` has no unit", "a time in s, min or h is wanted", f"write {said} min or {said} s"
        )
    raise UnitError(
        "not-a-quantity",
        f"`{_short(said)}` is not a time",
        "a time in s, min or h is wanted",
        "write it like 3 h 10 min or 90 s",
    )


def read_wind(text: str) -> tuple[float, float]:
    """Return (direction from, degrees; speed, knots) of `270 at 20 kt` or `calm`; raises UnitError."""
    said = " ".join(text.split())
    if said.lower() == "calm":
        return 0.0, 0.0
    match = _WIND.fullmatch(said)
    if match is None:
        raise UnitError(
            "not-a-quantity",
            f"`{_short(said)}` is not a wind",
            "a direction and a speed, or calm",
            "write it like 270 at 20 kt",
        )
    direction_deg, speed_kt = read_amount(match.group(1), HEADING), read_amount(match.group(2), KNOTS)
    if not 0.0 <= direction_deg <= 360.0:
        raise UnitError("out-of-range", f"`{_short(said)}`: no wind is from {direction_deg:g} degrees", "from 0 to 360",
                        "correct the direction")
    return direction_deg, speed_kt


def read_share(text: str) -> float:
    """Return the share in `1 in 5`, `20 %` or `0`; raises UnitError."""
    said = " ".join(text.split())
    match = _SHARE.fullmatch(said)
    if match is not None and 0 < int(match.group(2)) >= int(match.group(1)):
        return int(match.group(1)) / int(match.group(2))
    try:
        share = read_amount(said, PLAIN)
    except UnitError:
        share = -1.0
    if 0.0 <= share <= 1.0 and match is None:
        return share
    raise UnitError("not-a-quantity", f"`{_short(said)}` is not a share", "from 0 to 1", "write it like 1 in 5 or 20 %")


def _sample(unit: Unit) -> str:
    number = {"ft": "5000", "kt": "110", "deg": "30", "nm": "14", "sm": "10", "hPa": "1013", "inHg": "5.0"}.get(
        unit.sample, "12"
    )
    return f"{number} {unit.sample}".strip()


def _short(text: str, most: int = 40) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def time_words(seconds: float) -> str:
    """Return a length of time as an author writes it: `2 min 30 s`."""
    minutes, rest = divmod(round(seconds, 1), 60.0)
    return " ".join([*([f"{minutes:.0f} min"] if minutes else []), *([f"{rest:g} s"] if rest or not minutes else [])])
