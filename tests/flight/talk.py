"""A conversation with the controller, without an airplane."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from drill.flight import controller
from drill.flight.controller_state import Radar
from drill.language import read_call
from drill.language.meaning import Context
from drill.scenario.model import WHEN_ABLE, Mistake, Say, WhenAble
from flight.flights import short

CONTEXT = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle"))
HERE = Radar(0.0, 0.0, 5000.0, 240.0)


class Talk:
    """A conversation with the controller, without an airplane: `say` gives what is answered within 15 seconds."""

    def __init__(self, mood: Literal["helpful", "busy"] = "helpful", *, mistakes: tuple[Mistake, ...] = (),
                 when_able: tuple[WhenAble, ...] = WHEN_ABLE) -> None:
        clearance = replace(short().clearance, mood=mood, mistakes=mistakes, when_able=when_able)
        self.scenario = replace(short(), clearance=clearance)
        self.state = controller.begin(self.scenario)
        self.t = 0.0
        self.radar = HERE
        self.mistaken: list[str] = []
        self.wanted: list[tuple[str, str]] = []

    def say(self, words: str) -> list[str]:
        self.hear(words)
        return self.wait(15.0)

    def hear(self, words: str) -> None:
        """The controller hears a call, and has had no time to answer yet."""
        call = controller.understood(self.state, read_call(words, CONTEXT), CONTEXT)
        self.state = controller.hear(self.state, call)

    def line(self, line: Say) -> None:
        """The scenario has ATC say something."""
        self.state = controller.say(self.state, line, self.t)

    def wait(self, seconds: float) -> list[str]:
        said: list[str] = []
        for _ in range(round(seconds)):
            self.t += 1.0
            self.state, spoken = controller.step(
                self.scenario, self.state, self.radar, self.t, pilot_talks=False, seed=1)
            said += [each.words for each in spoken]
            self.mistaken += [each.mistake for each in spoken if each.mistake]
            self.wanted += [(each.words, each.wants) for each in spoken]
        return said

    def fly(self, seconds: float, *, climb_fpm: float = 0.0, turning_dps: float = 0.0) -> list[str]:
        """Radar sees the airplane climb and turn; what is said meanwhile."""
        said: list[str] = []
        for _ in range(round(seconds)):
            self.radar = replace(self.radar, altitude_ft=self.radar.altitude_ft + climb_fpm / 60.0,
                                 track_deg=(self.radar.track_deg + turning_dps) % 360.0)
            said += self.wait(1.0)
        return said
