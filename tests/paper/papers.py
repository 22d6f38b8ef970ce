"""Papers about small flights, and the same with a text of one's choice wherever people or records give one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any, TypeVar, cast

from grading.builders import flown, scenario

from drill.flight.events import Event, Heard, Reflected
from drill.flight.flight import Flight
from drill.flight.record import Recorded
from drill.grading.beside import Parted, Way
from drill.language import read_call
from drill.language.meaning import Cover, Look, Transmit, Uncover
from drill.paper.document import Paper, paper_of
from drill.scenario import Scenario, find, load

T = TypeVar("T")

CALL = "Larkspur 5304W, vacuum failure, the thingummy hums"

OURS = frozenset({"verdict", "kind", "part", "weight", "instrument", "about", "covered", "parts"})
"""Fields whose words are the program's own codes, or numbers by name."""


def recorded(events: Sequence[Event], of: Scenario | None = None, seed: int = 1) -> Recorded:
    """A record of a flight with these events."""
    return Recorded(Path("flight.jsonl"), "2-abc", seed, "typed", "drill 0.1.0, python 3.11, numpy 2", of or scenario(),
                    tuple(events), (), cut=False, good_bytes=0)


def late() -> list[Event]:
    """Ten minutes with a pump that dies at 2:00, a look at 5:00, a cover, a call that lacks much, a steep bank."""
    events = flown((300.0, Look("suction_gauge")), (310.0, Cover("attitude_indicator")),
                   (420.0, Transmit(CALL, read_call(CALL, scenario().context))), (500.0, Uncover("attitude_indicator")),
                   seconds=600, bank=lambda t, _: 50.0 if t > 520.0 else 0.0)
    return [*events, Heard(425.0, "Orrinfell Approach", "Larkspur 04W, roger."),
            Reflected(600.0, "What failed?", "the pump")]


def paper(events: Sequence[Event] | None = None) -> Paper:
    """The paper about these events, or about `late`."""
    return paper_of(recorded(late() if events is None else events))


def parted(*more: Way, at_s: float = 305.0, air: str = "") -> Parted:
    """A flight in which nobody acts until it is lost, and one flown again from 5:05 with a cover and a call."""
    lost = flown(seconds=600, ending="loss of control", bank=lambda t, _: max(0.0, min(80.0, t - 500.0)))
    again = flown((310.0, Cover("attitude_indicator")),
                  (420.0, Transmit(CALL, read_call(CALL, scenario().context))), seconds=720)
    return Parted(scenario(), 7, (Way("The flight", tuple(lost)), Way("Flown again", tuple(again)), *more), at_s, air,
                  "2-abc")


def flown_for(name: str, seconds: float) -> Paper:
    """The paper about so much of a shipped scenario, flown for real; nobody acts but for a look and a call."""
    loaded = load(find(name))
    flight, events = Flight.start(loaded, 1)
    for line in ("check the suction gauge", f"tell approach {loaded.callsign}, vacuum failure"):
        events = [*events, *flight.advance(5.0), *flight.enter(line)]
    while flight.ended is None and flight.t_s < seconds:
        events = [*events, *flight.advance(20.0)]
    return paper_of(recorded(events, loaded))


def spoiled(value: T, text: str) -> T:
    """Return `value` with `text` in the place of every text in it that is no code of the program's own."""
    return cast(T, _spoiled(value, text, ""))


def _spoiled(value: Any, text: str, name: str) -> Any:
    if name in OURS:
        return value
    if is_dataclass(value) and not isinstance(value, type):
        kept = {"name", "unit"} if type(value).__name__ in ("Line", "Series", "Lane", "Course") else set()
        return replace(value, **{each.name: _spoiled(getattr(value, each.name), text, each.name)
                                 for each in fields(value) if each.name not in kept})
    if isinstance(value, tuple):
        return tuple(_spoiled(each, text, name) for each in value)
    return text if isinstance(value, str) else value
