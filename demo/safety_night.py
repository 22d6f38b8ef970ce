"""An evening that runs by itself: simulated phones join over the network, look at the wall, vote, change their minds.

    python demo/safety_night.py FOLDER [--scenario NAME] [--seed N] [--people N] [--polls N] [--watch]

leaves the evening's record, the handout and the totals in FOLDER. With --watch it runs at a pace that can be followed
on the wall's page, whose address it prints. Everybody in it is invented; the same seed gives the same people.
"""

from __future__ import annotations

import argparse
import asyncio
import random
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, DummyCookieJar

from drill.flight.recorder import RecordError
from drill.room import commands as c
from drill.room.host import Host
from drill.room.keeping import KeepingError
from drill.room.net.app import serve
from drill.room.net.keys import KeyMissing, key_beside
from drill.room.papers import results_of, write_papers
from drill.scenario import DocumentError, find, load

NAMES = ("Ada", "Bram", "Cleo", "Doro", "Emil", "Fina", "Gus", "Hella", "Ivo", "Jette", "Kuno", "Lia", "Momo", "Nils",
         "Ottilie", "Pia", "Quirin", "Rosa", "Sven", "Thea", "Ulf", "Vera", "Wim", "Xenia", "Yann", "Zita")
TABLES = ("North", "East", "South", "West")
COOKIE = "drill_room"
LAST_LOOK_S = 240.0          # of flight after the last poll
LONGEST_S = 3_600.0
FOLLOWS = 0.25               # of those who saw nothing go with what most of the room said
FALSE_ALARM = 0.12
SIGNS: tuple[tuple[Callable[[Mapping[str, float]], bool], str], ...] = (
    (lambda panel: panel["suction_inhg"] < 4.0, "vacuum"), (lambda panel: panel["volts"] < 25.0, "alternator"),
    (lambda panel: panel["amps"] < -2.0, "alternator"), (lambda panel: panel["airspeed_kt"] < 40.0, "pitot"),
)
"""What a panel shows, and the word for it among the answers."""


class Refused(Exception):  # noqa: N818 - it is an answer
    """The room does not do what the evening needs; the message says what."""


@dataclass
class Person:
    """Somebody in the room: how sharp an eye, what is believed (a word among the answers), and the phone's cookie."""

    name: str
    table: str
    sharp: float
    luck: random.Random
    believes: str = "nothing"
    saw: bool = False
    cookie: str = ""
    form: str = ""

    def look(self, panel: Mapping[str, float], most: str) -> None:
        """Look at the wall once more; `most` is what most of the room said last."""
        shown = next((word for shows, word in SIGNS if shows(panel)), "")
        if shown and self.luck.random() < self.sharp:
            self.believes, self.saw = shown, True
        elif not self.saw and most and self.luck.random() < FOLLOWS:
            self.believes = most
        elif not self.saw and not shown and self.luck.random() < FALSE_ALARM:
            self.believes = self.luck.choice(("attitude", "turn", "pitot", "alternator"))

    def vote(self, poll: Mapping[str, Any], callsign: str) -> dict[str, str]:
        """Return what the phone sends in a poll."""
        said = {"poll": str(poll["id"]), "answer": "", "words": "", "sure": ""}
        if poll["kind"] == "what do you say":
            return {**said, "words": self.call(callsign)}
        answers = poll["answers"]
        wanted = {"what is wrong": self.believes, "what next": "partial" if self.saw else ""}.get(poll["kind"], "")
        fitting = [each for each in answers if wanted and wanted in each["says"].lower()]
        chosen = fitting[0] if fitting else self.luck.choice(answers)
        sure = min(4, 1 + self.saw * 2 + (self.luck.random() < 0.5))
        return {**said, "answer": str(chosen["key"]), "sure": str(sure) if poll["sure"] else ""}

    def call(self, callsign: str) -> str:
        """Return what is said to ATC: the sharper, the more of it."""
        parts = [callsign, f"{self.believes} failure" if self.believes != "nothing" else "we have a problem"]
        if self.luck.random() < self.sharp:
            parts.append("partial panel in cloud")
        if self.luck.random() < self.sharp:
            parts.append("request vectors to visual conditions")
        return ", ".join(parts)


class Phones:
    """The phones of the room, each with a cookie of its own, at the address of the server."""

    def __init__(self, session: ClientSession, at: str, number: str) -> None:
        self._session = session
        self._at = at
        self._number = number

    async def join(self, person: Person) -> None:
        """Open the page, type a name, and keep what the page gives."""
        form = _form(await self._page("", f"/{self._number}"))
        data = {"form": form, "number": self._number, "name": person.name, "table": person.table}
        async with self._session.post(f"{self._at}/join", data=data, headers={"Origin": self._at},
                                      allow_redirects=False) as answer:
            if COOKIE not in answer.cookies:
                raise Refused(f"{person.name} could not join: {answer.status}")
            person.cookie = answer.cookies[COOKIE].value
        person.form = _form(await self._page(person.cookie, "/"))

    async def send(self, person: Person, vote: Mapping[str, str]) -> bool:
        """Send a vote; return whether it was counted."""
        headers = {"Origin": self._at, "Cookie": f"{COOKIE}={person.cookie}", "Accept": "application/json"}
        data = {"form": person.form, **vote}
        async with self._session.post(f"{self._at}/vote", data=data, headers=headers) as answer:
            return bool((await answer.json())["ok"])

    async def _page(self, cookie: str, path: str) -> str:
        headers = {"Cookie": f"{COOKIE}={cookie}"} if cookie else {}
        async with self._session.get(f"{self._at}{path}", headers=headers) as answer:
            return await answer.text()


def _form(page: str) -> str:
    found = re.search(r'name="form" value="([^"]+)"', page)
    return found[1] if found else ""


def people_of(seed: int, count: int) -> list[Person]:
    """Return so many people, the same ones for the same seed."""
    luck = random.Random(seed)  # noqa: S311 - people, not keys
    return [Person(NAMES[at % len(NAMES)] + (str(at // len(NAMES) + 1) if at >= len(NAMES) else ""),
                   TABLES[at % len(TABLES)], luck.uniform(0.15, 0.8), random.Random(seed * 1_000 + at))  # noqa: S311
            for at in range(count)]


async def evening(
    folder: Path, *, scenario: str, seed: int, count: int, polls: int, watch: bool, say: Callable[[str], None],
) -> list[Path]:
    """Hold the evening and return the papers that it leaves in `folder`. KeepingError, RecordError: it cannot begin."""
    path = folder / "evening.jsonl"
    host = Host.begin(load(find(scenario)), seed, path)
    try:
        running = await serve(host, key=key_beside(path), listen="127.0.0.1", port=0)
        try:
            say(f"The wall: {running.wall_url}")
            async with ClientSession(cookie_jar=DummyCookieJar()) as session:
                phones = Phones(session, f"http://127.0.0.1:{running.port}", host.evening.number)
                return await _Night(host, phones, people_of(seed, count), watch=watch, say=say).hold(polls)
        finally:
            await running.close()
    finally:
        await host.close()


class _Night:
    """A facilitator who goes by the book: closes a poll when all have voted, and forks once."""

    def __init__(
        self, host: Host, phones: Phones, people: list[Person], *, watch: bool, say: Callable[[str], None],
    ) -> None:
        self._host, self._phones, self._people, self._watch, self._say = host, phones, people, watch, say

    async def hold(self, polls: int) -> list[Path]:
        """Go from the lobby to the end, and write the papers."""
        for person in self._people:
            await self._phones.join(person)
        self._say(f"{len(self._people)} phones have joined.")
        await self._do(c.Brief())
        await self._pause()
        most = ""
        await self._fly(LONGEST_S)
        while self._host.evening.stage == "poll":
            most = await self._poll(most)
            if len(self._host.evening.polls) >= polls:
                break
            await self._fly(LONGEST_S)
        if self._host.evening.stage == "talk" and not self._host.flights.room.over:
            await self._fly(LAST_LOOK_S)
        if self._host.evening.stage == "poll":
            await self._do(c.Close())
        await self._do(c.Debrief())
        await self._host.flights.settled()
        found = await asyncio.to_thread(results_of, self._host.evening, self._host.scenario,
                                        tuple(self._host.flights.room.events), self._host.path)
        papers = write_papers(found, self._host.path)
        await self._do(c.End())
        for each in found.take_home:
            self._say(f"To take home: {each.title}. {each.room}")
        return papers

    async def _do(self, command: c.Command) -> None:
        outcome = await self._host.command(command)
        if isinstance(outcome, c.Refusal):
            raise Refused(f"{command}: {outcome.words}")

    async def _pause(self, seconds: float = 4.0) -> None:
        if self._watch:
            await asyncio.sleep(seconds)

    async def _fly(self, seconds: float) -> None:
        """Fly to the next poll, or so long."""
        await self._do(c.Fly(4 if self._watch else 1))
        until = self._host.flights.room.t_s + seconds
        if self._watch:
            while self._host.evening.stage == "fly" and self._host.flights.pace and self._host.flights.room.t_s < until:
                await asyncio.sleep(0.2)
            return
        await self._do(c.Advance(seconds))

    async def _poll(self, most: str) -> str:
        """Let all vote, close, choose, and return a word for what most said."""
        host, held = self._host, self._host.evening.poll
        assert held is not None  # noqa: S101 - the stage is a poll
        panel = host.wall_view()["panel"]
        view = host.wall_view()["poll"]
        callsign = f"{host.scenario.clearance.facility}, {host.scenario.callsign}"
        for person in self._people:
            person.look(panel, most)
        counted = await asyncio.gather(*(
            self._phones.send(person, person.vote(view, callsign)) for person in self._people))
        self._say(f"{held.name}: {sum(counted)} votes counted.")
        await self._pause()
        await self._do(c.Close())
        await self._pause()
        await self._go_on(held.id)
        leads = self._leaders()
        return next((word for word in ("vacuum", "alternator", "pitot", "attitude", "turn") if word in leads), most)

    def _leaders(self) -> str:
        held = self._host.desk_view()["held"][-1]
        return " ".join(each["says"].lower() for each in held["answers"] if each["key"] in held["leaders"])

    async def _go_on(self, poll: str) -> None:
        held = self._host.desk_view()["held"][-1]
        if self._host.flights.room.over or held["kind"] not in ("what is wrong", "what next") or not held["leaders"]:
            return
        way = "fork" if held["kind"] == "what next" and not self._host.evening.forks else "majority"
        await self._do(c.Choose(way, answer=held["leaders"][0]))  # type: ignore[arg-type]
        chosen = self._host.evening.held(poll)
        lines = () if chosen is None or chosen.chosen is None else chosen.chosen.lines
        self._say(f"  {way}: {'; '.join(lines) or 'as it is'}")


def main() -> int:
    """Hold an evening as the command line says."""
    asked = argparse.ArgumentParser(description="An evening with simulated phones, which leaves its handout.")
    asked.add_argument("folder", type=Path)
    asked.add_argument("--scenario", default="cruise-to-tallowby")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--people", type=int, default=24)
    asked.add_argument("--polls", type=int, default=5)
    asked.add_argument("--watch", action="store_true", help="at a pace that can be followed on the wall's page")
    chosen = asked.parse_args()
    chosen.folder.mkdir(parents=True, exist_ok=True)
    try:
        papers = asyncio.run(evening(chosen.folder, scenario=chosen.scenario, seed=chosen.seed, count=chosen.people,
                                     polls=chosen.polls, watch=chosen.watch, say=lambda line: print(line, flush=True)))
    except (KeepingError, KeyMissing, RecordError, DocumentError, Refused, OSError) as error:
        print(f"safety_night: {error}", file=sys.stderr)
        return 2
    for path in papers:
        print(path)
    return 0


if __name__ == "__main__":
    sys.exit(main())
