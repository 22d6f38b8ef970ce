"""Scenarios and flights drawn at random, to hold the exploration against: every shape of story that the format has."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from check.explore_stories import story
from drill.language.meaning import (
    Action,
    Altitude,
    Call,
    Cover,
    Decide,
    FlyBy,
    Ident,
    Reply,
    Transmit,
)
from drill.scenario import Scenario
from drill.scenario.moment import Observation
from drill.scenario.problems import DocumentError

QUANTITIES = {"true bank": ("deg", (10, 40, 70)), "true altitude": ("ft", (3000, 5000, 7000)),
              "distance to Wendle": ("nm", (3, 12, 30)), "shown airspeed": ("kt", (80, 120))}
FACTS = ("in cloud", "stalled", "covered attitude indicator", "flying by partial panel", "broken", "on the ground",
         "pitot heat on", "pitot heat off")
ACTS = ("cover attitude indicator", "climb", "ident", "divert", "divert to Wendle", "report vacuum system",
        "ask for vmc", "declare emergency", "hold")
SAID_ONCE = ("report vacuum system", "ask for vmc", "declare emergency")     # not counted
SAID = ("reported vacuum system", "reported attitude indicator", "declared anything", "declared mayday",
        "asked for vmc", "told fuel", "planned divert", "planned divert Wendle", "planned hold", "planned land Wendle")
FLAGS = ("one", "two", "three")
FAILURES = ("pump", "horizon")
DEEDS: tuple[Action, ...] = (
    Cover("attitude_indicator"), Altitude(8000, "climb"), Ident(), Decide("divert", "Wendle"), Decide("divert"),
    Decide("hold"), Decide("land", "wendel"), FlyBy("partial_panel"), Decide("continue"),
    Transmit("a", Call(equipment=("vacuum_system",))), Transmit("b", Call(equipment=("attitude_indicator",))),
    Transmit("c", Call(rejoined=("vacuum_system", "attitude_indicator"))), Transmit("d", Call(urgency="mayday")),
    Transmit("e", Call(urgency="pan-pan")), Transmit("f", Call(replies=(Reply("cancels_emergency"),))),
    Transmit("g", Call(assistance=("vmc",))), Transmit("h", Call(fuel_min=90)),
    Transmit("i", Call(intentions=True, places=("Wendle",))),
)


def scenario_of(seed: int) -> Scenario:
    """A scenario of that seed; of what is drawn and cannot be loaded the next is taken."""
    draw = Random(seed)  # noqa: S311 - no secret
    while True:
        try:
            return _Author(draw).scenario()
        except DocumentError:
            continue


class _Author:
    def __init__(self, draw: Random) -> None:
        self.draw = draw
        self.phases = [f"p{number}" for number in range(draw.randint(2, 5))]
        self.flags = FLAGS[:draw.randint(1, 3)]
        self.marks = 0

    def scenario(self) -> Scenario:
        draw = self.draw
        failures = "pump: {part: vacuum pump, how: shaft shears, " + self._clock(draw.random() < 0.4) + "}\n"
        failures += "horizon: {part: attitude indicator, how: rotor stops" + (
            ", " + self._clock(again=False) if draw.random() < 0.5 else "") + "}"
        top = "time limit: 60 s\n"
        if draw.random() < 0.3:
            top += "variations:\n  first: {fails: [pump]}\n  second: {fails: [horizon]}\n"
        if draw.random() < 0.3:
            top += "nothing fails: 1 in 3\n"
        text = "".join(self._phase(name) for name in self.phases)
        text = text.replace("p0:", "cruise:").replace("go: p0", "go: cruise")
        events = "".join(f"e{number}: {{{self._cue(spread=True)}}}\n" for number in range(draw.randint(0, 2)))
        return story(text, failures=failures, events=events, top=top,
                     endings="there: {outcome: safe, tell: A.}\nupset: {outcome: loss of control, tell: B.}",
                     sheet="- {item: A, part: manage, do: ident, why: So it is., source: AIM 4-2-3}")

    def _clock(self, again: bool) -> str:
        draw = self.draw
        said = f"at: {draw.choice((0, 5, 20, 40))} s"
        said += f", spread: {draw.choice((5, 20))} s" if draw.random() < 0.5 else ""
        if draw.random() < 0.4:
            lasts = draw.choice((2, 6))
            said += f", lasts: {lasts} s" + (f", every: {lasts + draw.choice((2, 9))} s" if again else "")
        return said

    def _phase(self, name: str) -> str:
        draw = self.draw
        lines = [f"{name}:"]
        if draw.random() < 0.4:
            lines.append(f"  do: {{{self._happens()}}}")
        cues = [f"    - {{{self._cue()}}}" for _ in range(draw.choice((0, 0, 1, 2)))]
        lines += ["  cues:", *cues] if cues else []
        lines.append("  branches:")
        for _ in range(draw.randint(1, 4)):
            hold = f"for: {draw.choice((1, 2, 5))} s, " if draw.random() < 0.4 else ""
            happens = self._happens() + ", " if draw.random() < 0.3 else f"{self._mark()}, "
            goes = draw.random() < 0.7
            way = f"go: {draw.choice(self.phases)}" if goes else f"end: {draw.choice(('there', 'upset'))}"
            lines.append(f"    - {{when: {self._condition()}, {hold}{happens}{way}}}")
        return "\n".join(lines) + "\n"

    def _mark(self) -> str:
        self.marks += 1
        return f"tell: mark {self.marks}"

    def _happens(self) -> str:
        draw = self.draw
        return f"{self._mark()}, " + draw.choice((
            f"note: {draw.choice(self.flags)}", f"note: {draw.choice(self.flags)}",
            f"fail: {draw.choice(FAILURES)}", f"heal: {draw.choice(FAILURES)}"))

    def _cue(self, *, spread: bool = False) -> str:
        draw = self.draw
        said = f"after: {draw.choice((1, 5, 12, 30))} s, "
        said += f"spread: {draw.choice((4, 15))} s, " if spread and draw.random() < 0.5 else ""
        said += f"when: {self._condition()}, " if draw.random() < 0.4 else ""
        said += f"unless: {self._condition()}, " if draw.random() < 0.3 else ""
        return said + self._happens()

    def _condition(self, depth: int = 0) -> str:
        draw = self.draw
        if depth < 2 and draw.random() < 0.3:
            parts = [self._condition(depth + 1) for _ in range(draw.randint(2, 3))]
            return f"{{{draw.choice(('all', 'any'))}: [{', '.join(parts)}]}}"
        return ("not " if draw.random() < 0.2 else "") + self._atom()

    def _atom(self) -> str:
        draw = self.draw
        match draw.choice(("quantity", "quantity", "time", "fact", "act", "act", "said", "flag", "flag", "failure")):
            case "quantity":
                name = draw.choice(tuple(QUANTITIES))
                unit, values = QUANTITIES[name]
                return f"{name} {draw.choice(('<', '<=', '>', '>='))} {draw.choice(values)} {unit}"
            case "time":
                name, values = draw.choice((("time", (8, 20, 45)), ("time in phase", (2, 6, 15))))
                return f"{name} {draw.choice(('<', '>', '>='))} {draw.choice(values)} s"
            case "fact":
                return draw.choice(FACTS)
            case "act":
                act = draw.choice(ACTS)
                often = "" if act in SAID_ONCE else draw.choice(("", "", " 2 times", " 3 times"))
                return f"did {act}{often}{draw.choice(('', ' here', f' since failure {draw.choice(FAILURES)}'))}"
            case "said":
                return draw.choice(SAID)
            case "flag":
                return f"noted {draw.choice(self.flags)}"
            case _:
                return f"failed {draw.choice(FAILURES)}"


def flight_of(seed: int, seconds: int = 70) -> Iterator[Observation]:
    """What a flight of that seed shows, a second at a time: values and facts that last a while, acts now and then."""
    draw = Random(seed)  # noqa: S311 - no secret
    values = dict.fromkeys(QUANTITIES, 0.0)
    facts: set[str] = set()
    restless = draw.choice((0.05, 0.3, 0.9))
    deeds = draw.sample(DEEDS, draw.randint(0, len(DEEDS)))
    for second in range(1, seconds):
        for name, (_, near) in QUANTITIES.items():
            if draw.random() < restless:
                values[name] = float(draw.choice((*near, near[0] - 1, *(each + 1 for each in near))))
        for fact in ("is in cloud", "is stalled", "covered attitude_indicator", "flying by partial_panel",
                     "on pitot_heat"):
            if draw.random() < restless:
                facts ^= {fact}
        acts = tuple(draw.choices(deeds, k=draw.choice((0, 0, 0, 1, 2)))) if deeds else ()
        limit = draw.random() < 0.004
        broken = limit and draw.random() < 0.5
        met = {"is broken"} if broken else {"is on the ground"} if limit else set()
        yield Observation(float(second), dict(values), frozenset(facts | met), acts, broken=broken,
                          on_ground=limit and not broken)
