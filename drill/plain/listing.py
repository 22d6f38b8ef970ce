"""The scenarios that there are to fly: name, board title, airplane, minutes; no more than a pilot may know before."""

from __future__ import annotations

import argparse

from drill.plain.desk import Desk
from drill.plain.out import Out
from drill.scenario import DocumentError, Scenario, load, shipped

HOW_TO_FLY = "Fly one with: drill fly NAME"


def list_scenarios(_chosen: argparse.Namespace, desk: Desk) -> None:
    """List the shipped scenarios."""
    list_offered(offered(desk), desk.out)
    desk.out.line(HOW_TO_FLY)


def offered(desk: Desk) -> list[Scenario]:
    """Return the shipped scenarios that load; what is wrong with another is said."""
    sound = []
    for path in shipped().values():
        try:
            sound.append(load(path))
        except DocumentError as error:
            desk.err.whole(str(error.problems[0]))
    return sound


def list_offered(offered: list[Scenario], out: Out) -> None:
    """Write the scenarios `offered`, numbered from 1."""
    for number, scenario in enumerate(offered, 1):
        out.line(
            f"{number}. {scenario.board_title}. {scenario.airplane.title}, about {scenario.minutes:.0f} minutes. "
            f"Name: {scenario.name}", hang=3,
        )
    if not offered:
        out.line("There is no scenario here.")
