"""What each failure of the catalogue does to the readings, and so which failures can be told apart at all.

It is derived before anything is flown: from what each condition of a part falsifies, what the residuals compare, and
the direct rules. Two failures with the same signature are told apart by no cross-check of these readings; a
failure without one is latent, and there is no evidence of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drill.airplane.airframe import Airframe
from drill.airplane.constants import ALTIMETER_STICK_FT
from drill.airplane.failure import HEALTHY, Effect, Failure
from drill.airplane.failures import CATALOGUE
from drill.evidence.hypotheses import Way, alike, hypotheses, moved
from drill.evidence.residuals import NAMES, USES, WITHOUT_NEEDLE
from drill.evidence.rules import RULES

_VACUUM = ("vacuum_system",)
_HIGHER = "higher"         # a condition that is worse the other way


@dataclass(frozen=True, slots=True)
class Signature:
    """What a failure does: the hypotheses that it can be told by and the rules that speak, by their names.

    `unheard`: nothing is to be seen, but calls go unanswered.
    """

    hypotheses: frozenset[str] = frozenset()
    rules: frozenset[str] = frozenset()
    unheard: bool = False

    @property
    def latent(self) -> bool:
        """Whether nothing shows it, until something else fails or is switched on."""
        return not (self.hypotheses or self.rules or self.unheard)

    def names(self) -> frozenset[str]:
        """Return the names that a cross-check can come to, in its time, all of them right."""
        of_rules = frozenset(rule.of for rule in RULES if rule.name in self.rules)
        return self.hypotheses | of_rules


def _of(*names: str, rules: tuple[str, ...] = (), unheard: bool = False) -> Signature:
    return Signature(frozenset(names), frozenset(rules), unheard)


_SUCTION = ("suction low", "vacuum light")
_GYROS = ("attitude_indicator", "vacuum_system")      # the horizon lies first, the card later
_CHARGING = ("discharge", "voltage light")
_BY_FIELD: Mapping[str, Signature] = {
    "pump": _of(*_GYROS, rules=(*_SUCTION, "tumbled")), "clog": _of(*_GYROS, rules=_SUCTION),
    "leak": _of(*_GYROS, rules=_SUCTION), "regulator_inhg": _of(*_GYROS, rules=_SUCTION),
    "regulator_inhg " + _HIGHER: _of(rules=("suction high",)),
    "standby_vacuum": _of(), "suction_gauge": _of(), "low_vacuum_light": _of(),
    "attitude_drift_dpm": _of("attitude_indicator"), "attitude_friction": _of("attitude_indicator"),
    "attitude_stopped": _of("attitude_indicator", rules=("tumbled",)),
    "attitude_tumbles": _of("attitude_indicator", rules=("tumbled",)),
    "attitude_pitch_stuck": _of("attitude_indicator"),
    "heading_drift_dph": _of("heading_indicator"), "heading_seized": _of("heading_indicator"),
    "heading_stopped": _of("heading_indicator"),
    "turn_power": _of("turn_coordinator", rules=("turn flag",)), "turn_rotor": _of("turn_coordinator"),
    "turn_bias_dps": _of("turn_coordinator"),
    "standby_drift_dpm": _of("standby_instrument"), "standby_attitude": _of(rules=("standby flag",)),
    "compass_stuck": _of("magnetic_compass"), "compass_deviation_deg": _of("magnetic_compass"),
    "pitot_ram": _of("pitot", rules=("no airspeed",)), "pitot_drain": _of("pitot"),
    "pitot_heat": _of("pitot", rules=("no airspeed",)),
    "static_block": _of("static_system"), "static_lag_s": _of("pitot", "static_system"),
    "static_leak": _of("pitot", "static_system"),
    "airspeed_stuck": _of("pitot"), "altimeter_stick_ft": _of("altimeter"),
    "vertical_speed_off_fpm": _of("vertical_speed_indicator"),
    "alternator": _of(rules=_CHARGING), "regulator_volts": _of(rules=("volts high", *_CHARGING)),
    "battery_capacity": _of(), "low_voltage_light": _of(),
    "bus": _of(rules=("bus dead", "radios dark", "turn flag")), "avionics_power": _of(rules=("radios dark",)),
    "gps_signal": _of(rules=("gps dark",)), "transmitter": _of(unheard=True),
    "transponder": _of(rules=("transponder dark",)),
    "autopilot_runs": _of(rules=("autopilot banks",)), "autopilot_holds": _of(rules=("autopilot off",)),
    "engine": _of("engine"),
}
"""By field of `Faults`."""

_NO_FARTHER: Mapping[str, Way] = {"altimeter_stick_ft": (("altitude_ft", ALTIMETER_STICK_FT, 0.0),)}
"""By field of `Faults`: the step by which a reading is wrong at the most. A rate that is wrong for a moment is over
before it tells of anything; what a step still moves after that is all that the failure can be told by."""


def signature(failure: Failure, frame: Airframe) -> Signature:
    """Return what a failure does to what an airplane with these instruments shows."""
    fitted = {each.name for each in hypotheses(frame)}
    found = [_BY_FIELD[_key(effect)] for effect in failure.effects]
    names = frozenset().union(*(each.hypotheses for each in found)) & fitted
    rules = frozenset().union(*(each.rules for each in found))
    if any(effect.field == "pitot_drain" for effect in failure.effects):
        rules -= {"no airspeed"}   # what is trapped stays there
    return Signature(names, rules & _speaking(frame), any(each.unheard for each in found))


def _key(effect: Effect) -> str:
    higher = f"{effect.field} {_HIGHER}"
    return higher if higher in _BY_FIELD and effect.worst > HEALTHY[effect.field] else effect.field


def _speaking(frame: Airframe) -> frozenset[str]:
    """Return the rules that can speak in an airplane with these instruments."""
    silent = set()
    if not frame.low_vacuum_light_fitted:
        silent.add("vacuum light")
    if not frame.turn_coordinator_fitted:
        silent.add("turn flag")
    if not frame.standby_attitude_fitted:
        silent.add("standby flag")
    if not frame.gps_fitted:
        silent.add("gps dark")
    if frame.autopilot == "none":
        silent |= {"autopilot banks", "autopilot off"}
    return frozenset(rule.name for rule in RULES) - silent


def fitted(failure: Failure, frame: Airframe) -> bool:
    """Say whether the airplane has the part at all."""
    has = {
        "standby attitude": frame.standby_attitude_fitted, "standby vacuum": frame.standby_vacuum_fitted,
        "low vacuum light": frame.low_vacuum_light_fitted, "turn coordinator": frame.turn_coordinator_fitted,
        "autopilot": frame.autopilot != "none", "gps": frame.gps_fitted,
    }
    return has.get(failure.part, True)


def seen_residuals(frame: Airframe) -> frozenset[str]:
    """Return the residuals that an airplane with these instruments has."""
    without = set(() if frame.turn_coordinator_fitted else ("turn_rate_dps",))
    if not frame.standby_attitude_fitted:
        without |= {"standby_bank_deg", "standby_pitch_deg"}
    if not frame.gps_fitted:
        without |= {"track_deg", "groundspeed_kt"}
    left = frozenset(name for name in NAMES if not without & set(USES[name]))
    return left - frozenset(WITHOUT_NEEDLE) if frame.turn_coordinator_fitted else left


def right_names(failure: Failure, frame: Airframe) -> frozenset[str]:
    """Return all names that are right for a failure, as far as this airplane's readings can tell it."""
    steps = [_NO_FARTHER[each.field] for each in failure.effects if each.field in _NO_FARTHER]
    shows = seen_residuals(frame)
    if len(steps) == len(failure.effects):
        shows &= frozenset().union(*(moved(frame, way) for way in steps))
    same = alike(frame, shows)
    mine = signature(failure, frame)
    return mine.names().union(*(same[name] for name in mine.hypotheses))


def told_apart(frame: Airframe) -> tuple[tuple[Failure, ...], ...]:
    """Return the failures of the catalogue that show themselves, those that nothing here tells apart together."""
    sets: dict[Signature, list[Failure]] = {}
    for failure in CATALOGUE.values():
        mine = signature(failure, frame)
        if not mine.latent and fitted(failure, frame):
            sets.setdefault(mine, []).append(failure)
    return tuple(tuple(each) for each in sets.values())


def latent(frame: Airframe) -> tuple[Failure, ...]:
    """Return the failures of which there is no evidence."""
    return tuple(each for each in CATALOGUE.values() if fitted(each, frame) and signature(each, frame).latent)


def page(frame: Airframe) -> str:
    """Return in words which failures this airplane's readings can tell apart, and which are latent."""
    lines = ["Told apart from all others, or only as one of a set:", ""]
    for each in told_apart(frame):
        names = ", ".join(sorted(right_names(each[0], frame))) or "nothing on the panel: calls go unanswered"
        lines.append("- " + "; ".join(f"{one.part} {one.how}" for one in each) + f": known as {names}")
    every = hypotheses(frame)
    lines += ["", "Told apart only by whether a needle stands still, so named together where air moves none:", ""]
    lines += [f"- {other.name} or {one.name}" for one in every for other in every
              if one.must_still and other.leaves_alive == one.stills]
    lines += ["", "Latent, no evidence until something else fails or is switched on:", ""]
    lines += [f"- {each.part} {each.how}" for each in latent(frame)]
    return "\n".join(lines) + "\n"
