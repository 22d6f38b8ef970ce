"""A conversation with the controller, without an airplane."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.language import read_call
from drill.language.meaning import Context
from flight.flights import short

CONTEXT = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle"))
HERE = Radar(0.0, 0.0, 5000.0, 240.0)


class Talk:
    """A conversation with the controller, without an airplane: `say` gives what is answered within 15 seconds."""

    def __init__(self, mood: Literal["helpful", "busy"] = "helpful") -> None:
        self.scenario = replace(short(), clearance=replace(short().clearance, mood=mood))
        self.state = controller.begin(self.scenario)
        self.t = 0.0
        self.radar = HERE

    def say(self, words: str) -> list[str]:
        call = controller.understood(self.state, read_call(words, CONTEXT), CONTEXT)
        self.state = controller.hear(self.state, call)
        return self.wait(15.0)

    def wait(self, seconds: float) -> list[str]:
        said: list[str] = []
        for _ in range(round(seconds)):
            self.t += 1.0
            self.state, spoken = controller.step(
                self.scenario, self.state, self.radar, self.t, pilot_talks=False, seed=1)
            said += [each.words for each in spoken]
        return said
