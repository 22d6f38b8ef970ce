"""The failures that can be asked for, as data: what breaks, what it does to `Faults`, what is seen, what it is called.

A failure is keyed by its part and how it fails, in plain lower-case words. Names of equipment are those that a pilot
can report or diagnose; what can be looked at is named as the panel's parts are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import NamedTuple

from drill.airplane.constants import (
    BEARING_S,
    BEARING_TIMES,
    CLOG_S,
    CLOG_SHARE,
    HEADING_DRIFT_DPH,
    LEAK_S,
    LEAK_SHARE,
    LEAN_DPM,
    NEEDLE_OFF_DPS,
    PUMP_WEAK_SHARE,
)
from drill.airplane.faults import Faults

_HEALTHY = {field.name: float(field.default) for field in fields(Faults)}  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Effect:
    """What a failure does to one field of `Faults`: from the healthy value towards `worst`.

    It gets there in `over_s` seconds (0: at once); `sided` turns the sign round for a failure to the left; `graded`
    goes only the share of the way that the severity says. Where several failures act on one field, those with a side
    add up, for two drifts may cancel, and of the others the one furthest from healthy counts: a worn pump does not
    mend a sheared shaft.
    """

    field: str
    worst: float
    over_s: float = 0.0
    sided: bool = False
    graded: bool = False

    def away(self, seconds: float, side: float, severity: float) -> float:
        """Return how far from its healthy value the field is, at a time since the onset (s).

        `side` is -1 or 1, `severity` 0 to 1; both count only where the effect has them.
        """
        share = min(seconds / self.over_s, 1.0) if self.over_s > 0.0 else 1.0
        share *= severity if self.graded else 1.0
        return (self.worst - _HEALTHY[self.field]) * share * (side if self.sided else 1.0)


@dataclass(frozen=True, slots=True)
class Parameter:
    """A number that the failure comes with: its size at severity 1, or the time it takes to get there."""

    name: str
    default: float
    unit: str


@dataclass(frozen=True, slots=True)
class Failure:
    """One way in which one part fails.

    `named_right_as`: sets of equipment, any of which names it rightly, and wholly. `also_right`: sets that are a
    good report though they do not go to the root. `power_group`: V vacuum, E electric, M magnetic, none shared.
    `revealed_by`: what shows it and does not share its fault. `seen`: what there is to see, in time.
    """

    part: str
    how: str
    says: str
    parameters: tuple[Parameter, ...]
    named_right_as: tuple[frozenset[str], ...]
    also_right: tuple[frozenset[str], ...]
    power_group: str
    revealed_by: tuple[str, ...]
    seen: str
    effect: Effect

    @property
    def key(self) -> tuple[str, str]:
        """(part, how)."""
        return self.part, self.how


class Active(NamedTuple):
    """A failure at one moment of a flight; `seconds` since its onset, None before it or once it is healed."""

    failure: Failure
    seconds: float | None
    side: float = 1.0       # -1 left, 1 right, where the failure has a side
    severity: float = 1.0   # 0 to 1, of the parameters' sizes


_VACUUM = frozenset({"vacuum_system"})
_ATTITUDE = frozenset({"attitude_indicator"})
_HEADING = frozenset({"heading_indicator"})
_TURN = frozenset({"turn_coordinator"})
_COMPASS = frozenset({"magnetic_compass"})


_ALL = (
    Failure(
        "vacuum pump", "shaft shears", "The drive shaft of the vacuum pump shears; there is no suction from then on.",
        (), (_VACUUM, _ATTITUDE | _HEADING), (_ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass", "altimeter", "airspeed_indicator"),
        "The suction gauge falls to nothing within seconds. The horizon leans a few degrees in the first minutes, then "
        "ever faster; the heading indicator goes a little later.",
        Effect("pump", 0.0),
    ),
    Failure(
        "vacuum pump", "weakens", "The vacuum pump is worn and no longer keeps up at low engine speed.",
        (Parameter("suction lost", PUMP_WEAK_SHARE, "1"),), (_VACUUM,), (), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "Suction is in the green at cruise power and falls when power is reduced; then the gyros grow sluggish.",
        Effect("pump", 1.0 - PUMP_WEAK_SHARE, graded=True),
    ),
    Failure(
        "vacuum filter", "clogs", "The filter of the vacuum system clogs little by little.",
        (Parameter("area blocked", CLOG_SHARE, "1"), Parameter("over", CLOG_S, "s")),
        (_VACUUM, _ATTITUDE | _HEADING), (_ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "The suction gauge sinks over many minutes (or does not, where it is tapped before the filter); late, the "
        "horizon and the heading indicator grow slow and wrong.",
        Effect("clog", CLOG_SHARE, over_s=CLOG_S, graded=True),
    ),
    Failure(
        "vacuum line", "leaks", "A hose of the vacuum system comes loose and leaks.",
        (Parameter("suction lost", LEAK_SHARE, "1"), Parameter("over", LEAK_S, "s")),
        (_VACUUM, _ATTITUDE | _HEADING), (_ATTITUDE,), "V",
        ("suction_gauge", "turn_coordinator", "magnetic_compass"),
        "The suction gauge sinks within minutes, further when power is reduced.",
        Effect("leak", LEAK_SHARE, over_s=LEAK_S, graded=True),
    ),
    Failure(
        "attitude indicator", "leans", "The attitude indicator precesses to one side faster than it erects itself.",
        (Parameter("drift", LEAN_DPM, "deg/min"),), (_ATTITUDE,), (), "V",
        ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "A bank creeps in on the horizon while suction, heading indicator and turn coordinator are in order.",
        Effect("attitude_drift_dpm", LEAN_DPM, sided=True, graded=True),
    ),
    Failure(
        "attitude indicator", "bearing wears out", "The rotor bearing of the attitude indicator breaks up.",
        (Parameter("friction", BEARING_TIMES, "times"), Parameter("over", BEARING_S, "s")),
        (_ATTITUDE,), (), "V", ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "The horizon gets slow to come back after turns, then leans, with normal suction.",
        Effect("attitude_friction", BEARING_TIMES, over_s=BEARING_S, graded=True),
    ),
    Failure(
        "attitude indicator", "rotor stops", "The rotor of the attitude indicator gets no air: its port has closed.",
        (), (_ATTITUDE,), (), "V", ("turn_coordinator", "heading_indicator", "magnetic_compass"),
        "As with a dead pump the horizon leans a few degrees in the first minutes, then ever faster, but suction is "
        "normal and the heading indicator stays good.",
        Effect("attitude_stopped", 1.0),
    ),
    Failure(
        "heading indicator", "drifts", "The heading indicator creeps away from the heading.",
        (Parameter("drift", HEADING_DRIFT_DPH, "deg/h"),), (_HEADING,), (), "V",
        ("magnetic_compass", "turn_coordinator", "navigation"),
        "Heading indicator and compass part company by a degree and a half each minute, in straight flight.",
        Effect("heading_drift_dph", HEADING_DRIFT_DPH, sided=True, graded=True),
    ),
    Failure(
        "heading indicator", "seizes", "The card of the heading indicator sticks fast.",
        (), (_HEADING,), (), "V", ("turn_coordinator", "magnetic_compass", "navigation"),
        "The card does not move in a turn.",
        Effect("heading_seized", 1.0),
    ),
    Failure(
        "heading indicator", "rotor stops", "The rotor of the heading indicator gets no air: its port has closed.",
        (), (_HEADING,), (), "V", ("turn_coordinator", "magnetic_compass", "navigation"),
        "Nothing for some minutes; then the card wanders and in turns is dragged along, while suction and horizon are "
        "in order.",
        Effect("heading_stopped", 1.0),
    ),
    Failure(
        "turn coordinator", "loses power", "The turn coordinator loses its electrical supply.",
        (), (_TURN,), (), "E", ("turn_coordinator", "breakers", "attitude_indicator", "heading_indicator"),
        "The flag comes out; the needle grows weak within a minute or two and then stays in the middle.",
        Effect("turn_power", 0.0),
    ),
    Failure(
        "turn coordinator", "rotor stops", "The rotor of the turn coordinator stops while its supply is good.",
        (), (_TURN,), (), "E", ("attitude_indicator", "heading_indicator", "magnetic_compass"),
        "No flag. The needle shows too little in turns, and at last nothing; in straight flight nothing is to be seen.",
        Effect("turn_rotor", 0.0),
    ),
    Failure(
        "turn coordinator", "shows a turn that is not there", "The turn coordinator shows a turn in straight flight.",
        (Parameter("needle off", NEEDLE_OFF_DPS, "deg/s"),), (_TURN,), (), "E",
        ("attitude_indicator", "heading_indicator", "magnetic_compass"),
        "The needle stands to one side while horizon, heading indicator and compass show straight flight.",
        Effect("turn_bias_dps", NEEDLE_OFF_DPS, sided=True, graded=True),
    ),
    Failure(
        "suction gauge", "sticks", "The needle of the suction gauge sticks where it is.",
        (), (), (), "V", ("attitude_indicator", "turn_coordinator", "heading_indicator"),
        "The gauge shows the same at any power, whatever the gyros do.",
        Effect("suction_gauge", 0.0),
    ),
    Failure(
        "low vacuum light", "does not light", "The bulb of the low-vacuum light has burnt out.",
        (), (), (), "E", ("suction_gauge",),
        "Nothing, until the suction is low: then the light stays dark.",
        Effect("low_vacuum_light", 0.0),
    ),
    Failure(
        "standby vacuum", "does not work", "The standby vacuum pump does not run when it is switched on.",
        (), (), (), "E", ("suction_gauge",),
        "Nothing, until it is needed: then the suction does not come back.",
        Effect("standby_vacuum", 0.0),
    ),
    Failure(
        "magnetic compass", "sticks", "The card of the magnetic compass sticks.",
        (), (_COMPASS,), (), "M", ("heading_indicator", "turn_coordinator", "navigation"),
        "The card does not swing in turbulence and does not move in a turn.",
        Effect("compass_stuck", 1.0),
    ),
    Failure(
        "alternator", "quits", "The alternator stops charging; the battery carries everything from then on.",
        (), (frozenset({"alternator"}), frozenset({"electrical_system"})), (), "E", ("ammeter", "voltmeter"),
        "The ammeter shows a discharge at once, the low-voltage light comes within minutes, and in the end radios, "
        "navigation and turn coordinator go.",
        Effect("alternator", 0.0),
    ),
)

CATALOGUE = MappingProxyType({failure.key: failure for failure in _ALL})
"""Every failure by (part, how)."""


def faults_at(active: Iterable[Active | tuple[Failure, float | None, float, float]]) -> Faults:
    """Return the condition of all parts under these failures; those with `seconds` None or negative do nothing yet.

    Raises ValueError for a severity outside 0 to 1 or a side other than -1 and 1.
    """
    added: dict[str, float] = {}
    worst: dict[str, float] = {}
    for failure, seconds, side, severity in active:
        if not 0.0 <= severity <= 1.0:
            raise ValueError(f"severity of {failure.part} {failure.how!r} is {severity:g}: it goes from 0 to 1")
        if side not in (-1.0, 1.0):
            raise ValueError(f"side of {failure.part} {failure.how!r} is {side:g}: write -1 for left, 1 for right")
        if seconds is None or seconds < 0.0:
            continue
        effect = failure.effect
        away = effect.away(seconds, side, severity)
        if effect.sided:
            added[effect.field] = added.get(effect.field, 0.0) + away
        else:
            worst[effect.field] = max(worst.get(effect.field, 0.0), away, key=abs)
    touched = added.keys() | worst.keys()
    return Faults(**{name: _HEALTHY[name] + worst.get(name, 0.0) + added.get(name, 0.0) for name in touched})
