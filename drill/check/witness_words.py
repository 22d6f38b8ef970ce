"""The words and maneuvers with which a scripted pilot makes a condition hold, each tried on the reader beforehand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from drill.check.abstract_atoms import Atom
from drill.language import read
from drill.language.meaning import Told, Transmit, Unclear
from drill.scenario.acts import VERBS, ActPattern, has_told, is_declared
from drill.scenario.conditions import facts_in
from drill.scenario.deeds import parts_of
from drill.scenario.model import Scenario
from drill.scenario.names import rightly_named, words_of
from drill.scenario.story import every_condition, patterns_of

CLIMB_FPM = 450.0        # what a light airplane makes at altitude, with a little to spare
SETTLE_S = 45.0          # to begin a maneuver and to level off
OVER_FT, UNDER_FT = 500.0, 300.0
TURN_DPS = 2.0           # a turn on what is left of the panel, half standard rate and pauses
MOST_HEADING = 360

_SAYS: Mapping[str, tuple[str, ...]] = {
    "cover": ("cover the {o}",), "uncover": ("uncover the {o}",), "fly by": ("fly by {o}", "go {o}", "fly by the {o}"),
    "look": ("look at the {o}", "scan the panel"), "diagnose": ("I think the {o} has failed",),
    "compare": ("compare the attitude indicator and the turn coordinator",),
    "climb": ("climb 1000 feet",), "descend": ("descend 1000 feet",), "turn": ("turn {o} 30 degrees",),
    "hold altitude": ("hold this altitude",), "fly airspeed": ("fly 100 knots",), "divert": ("divert to {o}",),
    "land": ("land at {o}",), "go around": ("go around",), "checklist": ("run the {o} checklist",),
    "write up": ("placard the attitude indicator", "write up the {o}", "write up the vacuum system",
                 "defer the attitude indicator"),
    "switch": ("{o}", "turn {o}"), "return to ramp": ("return to the ramp",), "shut down": ("shut down the engine",),
    "depart VFR": ("depart VFR",), "continue": ("continue as planned", "continue", "depart as filed"),
    "taxi": ("taxi",), "run up": ("power 1800",), "power": ("power {o}", "reduce power"), "squawk": ("squawk {o}",),
    "set": ("set the heading indicator to the compass", "set the {o}"), "pull breaker": ("pull the {o} breaker",),
    "report": ("tell {f} {c}, {o} failure", "tell {f} {c}, our {o} has failed", "tell {f} {c}, vacuum failure"),
    "ask for": ("tell {f} {c}, request {o}", "tell {f} {c}, request a climb to {o}",
                "tell {f} {c}, request climb to visual conditions on top"),
    "declare": ("tell {f} {c}, {o}", "tell {f} {o}, {o}, {o}, {c}", "tell {f} mayday, mayday, mayday, {c}",
                "tell {f} {c}, declaring an emergency"),
    "tell": ("tell {f} {c}, 2 on board, 2 hours of fuel, 5000 feet, heading 240, in IMC, partial panel, 10 miles "
             "south, our intention is to land",),
    "reply": ("tell {f} {o}, {c}",), "answer": ("tell {f} roger, {c}",), "call": ("tell {f} {c}, radio check",),
    "cancel IFR": ("tell {f} {c}, cancel IFR",),
}


@dataclass(frozen=True, slots=True)
class Maneuver:
    """Words to say, and how long (s) what they order may take."""

    words: tuple[str, ...]
    seconds: float


def is_switch(atom: Atom) -> bool:
    """Say whether the atom is that a switch is on."""
    return atom[0] == "fact" and atom[1].startswith("on ")


class Speaker:
    """Finds words for atoms in one scenario."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        switched = [ActPattern("switch", f"{fact.of} {to}") for condition in every_condition(scenario)
                    for fact in facts_in(condition) if fact.kind == "on" for to in ("on", "off")]
        self._patterns = {pattern.key: pattern for pattern in (*patterns_of(scenario), *switched)}
        self._known: dict[Atom, str | None] = {}

    def words(self, atom: Atom, *, off: bool = False) -> str | None:
        """Return words after which the atom holds, an act once; None where none are known. `off`: a switch put off."""
        if is_switch(atom):
            atom = ("did", ActPattern("switch", f"{atom[1].removeprefix('on ')} {'off' if off else 'on'}").key)
        elif atom[0] in ("did", "here"):
            atom = (atom[0], parts_of(atom[1])[0])
        if atom not in self._known:
            self._known[atom] = next((words for words in self._candidates(atom) if self._does(words, atom)), None)
        return self._known[atom]

    def _candidates(self, atom: Atom) -> Iterator[str]:
        verb, of = self._verb(atom)
        said = {"o": words_of(of), "f": self.scenario.clearance.facility, "c": self.scenario.callsign}
        for template in (*_SAYS.get(verb, ()), "{v} {o}"):
            yield template.format(v=verb, **said).strip()
        for item in self.scenario.grade_sheet:
            if item.example:
                yield str(item.example)

    def _verb(self, atom: Atom) -> tuple[str, str]:
        if atom[0] in ("did", "here"):
            pattern = self._patterns.get(atom[1])
            if pattern is None:   # what ATC has been told stands as the act of telling it
                return next((verb, atom[1].removeprefix(f"{verb} ")) for verb in ("tell", "ask for")
                            if atom[1].startswith(f"{verb} "))
            return pattern.verb, pattern.object
        kind, _, of = atom[1].partition(" ")
        if kind == "planned":
            verb = next((each for each in sorted(VERBS, key=len, reverse=True)
                         if words_of(of).lower().startswith(each.lower())), "")
            return verb, words_of(of)[len(verb):].strip()
        return {"reported": "report", "declared": "declare", "covered": "cover"}.get(kind, "fly by"), (
            of.removeprefix("by "))

    def _does(self, words: str, atom: Atom) -> bool:
        actions = read(words, self.scenario.context)
        if any(isinstance(action, Unclear) for action in actions):
            return False
        told = Told()
        verb, of = self._verb(atom)
        pattern = self._patterns.get(atom[1]) if atom[0] in ("did", "here") else ActPattern(verb, of.replace(" ", "_"))
        if atom[1].startswith("planned "):
            pattern = ActPattern(verb, of)
        done = False
        for action in actions:
            if isinstance(action, Transmit):
                told = told.with_call(action.meaning)
            done = done or (pattern is not None and pattern.matches(action, told))
        if atom[1].startswith("reported "):
            return rightly_named(of, told.equipment)
        if atom[1].startswith("declared "):
            return is_declared(told, of)
        if pattern is None:
            return of.replace(" ", "_") in told.assistance if verb == "ask for" else has_told(told, of)
        return done


def maneuver(
    scenario: Scenario, wanted: Sequence[tuple[Atom, bool]], values: Mapping[str, float], t_s: float,
) -> Maneuver:
    """Return what makes quantities and the cloud be as `wanted`, from the `values` of the moment."""
    said: dict[str, str] = {}
    seconds = 0.0
    for atom, holds in wanted:
        if atom[0] == "cut":
            key, value = atom[1], float(atom[2])
            now = values.get(key, 0.0)
            if key in ("true altitude", "shown altitude") and (now >= value) != holds:
                to_ft = round((value + OVER_FT if holds else value - UNDER_FT) / 100.0) * 100
                said["altitude"] = f"{'climb' if holds else 'descend'} to {to_ft} feet"
                seconds = max(seconds, abs(to_ft - now) / CLIMB_FPM * 60.0 + SETTLE_S)
            elif key.startswith("distance to ") and (now >= value) != holds and not holds:
                bearing = round(values.get(f"bearing to {key.removeprefix('distance to ')}", 0.0)) % MOST_HEADING
                said["heading"] = f"turn to heading {bearing or MOST_HEADING:03d}"
                seconds = max(seconds, (now - value) / max(values.get("groundspeed", 0.0), 60.0) * 3600.0
                              + 180.0 / TURN_DPS)
            elif key in ("true bank", "true vertical speed") and not holds and now >= value:
                said["recovery"] = "recover"
                seconds = max(seconds, SETTLE_S)
            elif key in ("true airspeed", "shown airspeed") and (now >= value) != holds:
                said["airspeed"] = f"fly {round(value + (5 if holds else -5))} knots"
                seconds = max(seconds, SETTLE_S)
            elif key == "time" and holds:
                seconds = max(seconds, value - t_s)
            elif key == "time in phase" and holds:
                seconds = max(seconds, value - values.get(key, 0.0))
        elif atom == ("fact", "is in cloud") and holds and scenario.weather.cloud is not None:
            now, tops_ft = values.get("true altitude", 0.0), scenario.weather.cloud.tops_ft
            if now > tops_ft - UNDER_FT and "altitude" not in said:
                said["altitude"] = f"descend to {round((tops_ft - OVER_FT) / 100.0) * 100} feet"
                seconds = max(seconds, (now - tops_ft + OVER_FT) / CLIMB_FPM * 60.0 + SETTLE_S)
        elif atom == ("fact", "is in cloud") and not holds and scenario.weather.cloud is not None:
            to_ft = round((scenario.weather.cloud.tops_ft + OVER_FT) / 100.0) * 100
            now = values.get("true altitude", 0.0)
            if "heading" not in said and "altitude" not in said and now < scenario.weather.cloud.tops_ft:
                said["altitude"] = f"climb to {to_ft} feet"
                seconds = max(seconds, (to_ft - now) / CLIMB_FPM * 60.0 + SETTLE_S)
    return Maneuver(tuple(said.values()), seconds)
