"""Opening small evenings, before the flight or at a poll."""

from __future__ import annotations

from pathlib import Path

from room.evenings import Wall, asked

from drill.room.commands import Brief, Done, OpenPoll
from drill.room.events import Joined
from drill.room.host import Host
from drill.scenario import Scenario


class Opener:
    """Opens hosts in one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.wall = Wall()
        self.opened: list[Host] = []

    def begin(self, scenario: Scenario | None = None, seed: int = 3, name: str = "evening") -> Host:
        host = Host.begin(scenario or asked(), seed, self.folder / f"{name}.jsonl", number="4711", clock=self.wall)
        self.opened.append(host)
        return host

    async def again(self, host: Host) -> Host:
        """The evening of `host`, taken up by a new one after the old one has closed."""
        await host.close()
        self.opened.remove(host)
        resumed = Host.resume(host.path, clock=self.wall)
        self.opened.append(resumed)
        await resumed.take_up()
        return resumed

    async def with_people(self, people: int) -> Host:
        host = self.begin()
        for n in range(people):
            assert isinstance(await host.join(f"phone {n}", f"Name {n}", f"{n % 2 + 1}"), Joined)
        return host

    async def with_poll(self, people: int) -> Host:
        """A host with the first poll open, before the flight."""
        host = await self.with_people(people)
        assert await host.command(Brief()) == Done()
        assert await host.command(OpenPoll("p1")) == Done()
        return host


def flown_by(host: Host) -> list[str]:
    """What the room has given its flight: lines as typed, and the acts of answers by their kind."""
    return [each.line or str(each.actions[0]["action"]) for each in host.flights.room.typed]
