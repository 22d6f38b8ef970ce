"""The wall: what the room sees, drawn from what is shown; the way in; counts only once they are shown."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from aiohttp import ClientWebSocketResponse
from room.net_room import POLL, Room, closed_with, served

from drill.cautions import CAUTIONS
from drill.room import commands as c
from drill.room.commands import Done
from drill.room.net import qr
from drill.room.net.limits import Limits
from drill.room.net.wall_pages import TURN_S
from drill.room.net.wall_pages import Wall as WallPage


@pytest.fixture
async def room(tmp_path: Path) -> AsyncIterator[Room]:
    async with served(tmp_path) as made:
        yield made


class Wall:
    """A wall's page as a browser holds it: its parts, replaced as news come."""

    def __init__(self, socket: ClientWebSocketResponse) -> None:
        self._socket = socket
        self.parts: dict[str, str] = {}

    async def until(self, part: str, words: str) -> str:
        """Return a part as soon as `words` are in it."""
        while words not in self.parts.get(part, ""):
            self.parts.update(json.loads((await self._socket.receive(timeout=20)).data))
        return self.parts[part]


async def walled(room: Room) -> ClientWebSocketResponse:
    """Return the socket of a wall that has come in by its key."""
    key = room.running.wall_url.split("key=")[1]
    return await room.session.ws_connect(room.at("/wall/socket"),
                                         headers={"Cookie": f"drill_wall={key}", "Origin": room.origin})


async def test_the_walls_page_has_panel_address_number_and_cautions_and_loads_only_its_own_files(room: Room) -> None:
    async with room.session.get(room.running.wall_url, allow_redirects=False) as answer:
        assert (answer.status, answer.headers["Location"]) == (303, "/wall")
        cookie = answer.cookies["drill_wall"]
        assert cookie["httponly"]
    async with room.session.get(room.at("/wall"), headers={"Cookie": f"drill_wall={cookie.value}"}) as answer:
        page = await answer.text()
    for words in (room.netloc, room.number, "QR code of", *(each.replace("'", "&#39;") for each in CAUTIONS)):
        assert words in page
    assert cookie.value not in page
    for name in ("/wall.css", "/faces.css", "/wall.js"):
        assert f'"{name}"' in page
        async with room.session.get(room.at(name)) as answer:
            assert answer.status == 200


async def test_the_wall_follows_the_evening_from_the_lobby_to_the_debrief(room: Room) -> None:
    wall = Wall(await walled(room))
    await wall.until("picture", "0 people are in.")
    await room.phone("Robin")
    assert "Robin" in await wall.until("picture", "1 person is in.")
    await room.host.command(c.Brief())
    assert "Larkspur" in await wall.until("picture", "Clearance")
    await room.host.command(c.OpenPoll())
    assert "0 of 1" in await wall.until("side", "Nothing is wrong")
    assert 'class="panel"' in await wall.until("picture", "<svg")
    await room.host.command(c.Close())
    assert "Talk about" in await wall.until("side", 'class="bar-of"')
    await room.host.command(c.Fly(4))
    await wall.until("top", "at 4x")
    await room.host.command(c.Stop())
    await wall.until("top", "stopped")
    assert "To take home" not in "".join(wall.parts.values())
    await room.host.command(c.Debrief())
    await wall.until("top", "Debrief")
    await wall.until("picture", "To take home")
    assert "Decisions against the grade sheet" in wall.parts["side"]
    await room.host.command(c.ShowFace("altimeter"))
    await wall.until("picture", 'class="only"')


async def test_counts_are_on_the_wall_once_they_are_shown_and_not_before(room: Room) -> None:
    wall, phone = Wall(await walled(room)), await room.phone("Robin")
    await room.poll_open()
    await wall.until("side", "0 of 1")
    await phone.post("/vote", poll=POLL, answer="b")
    assert "bar" not in await wall.until("side", "1 of 1")
    await room.host.command(c.Close(show=False))
    assert "bar" not in await wall.until("side", "The poll is closed")
    await room.host.command(c.Reveal())
    assert 'width="100"' in (await wall.until("side", "bar-of")).split("bar-of")[2]


async def test_the_panel_is_drawn_from_what_is_shown_and_one_face_fills_the_wall_on_request(room: Room) -> None:
    wall = Wall(await walled(room))
    await room.host.command(c.Brief())
    await room.host.command(c.Fly())
    await room.host.command(c.Stop())
    panel = await wall.until("picture", "The panel at")
    assert panel.count("#face-") > 8
    assert isinstance(await room.host.command(c.ShowFace("altimeter")), Done)
    assert (await wall.until("picture", 'class="only"')).count("#face-") == 1
    await room.host.command(c.ShowFace(None))
    await wall.until("picture", "The panel at")


async def test_without_phones_the_wall_shows_no_address(tmp_path: Path) -> None:
    async with served(tmp_path, phones=False) as room:
        picture = await Wall(await walled(room)).until("picture", "raising your hand")
        assert "qr" not in picture


async def test_walls_are_few_and_one_more_is_told_why_it_is_none(tmp_path: Path) -> None:
    async with served(tmp_path, Limits(walls=2)) as room:
        walls = [await walled(room) for _ in range(3)]
        assert await closed_with(walls[2]) == 4001
        await Wall(walls[1]).until("picture", room.number)


def test_a_qr_code_has_its_three_corners_and_a_quiet_margin_in_the_terminal_as_on_the_page() -> None:
    rows = qr.matrix("http://192.168.1.20:8490/4711")
    size = len(rows)
    assert all(len(each) == size for each in rows)
    assert not any(map(any, (*rows[:2], *rows[-2:])))
    assert not any(any((*each[:2], *each[-2:])) for each in rows)
    for top, left in ((2, 2), (2, size - 9), (size - 9, 2)):
        assert all(rows[top][left:left + 7])
        assert all(rows[top + 6][left:left + 7])
        assert not any(rows[top + 1][left + 1:left + 6])
    lines = qr.lines("http://192.168.1.20:8490/4711")
    assert {len(each) for each in lines} == {size}
    assert len(lines) == (size + 1) // 2
    assert set("".join(lines)) <= set("█▀▄ ")
    assert [line[x] in " ▄" for x, line in [(x, lines[1]) for x in range(size)]] == list(rows[2])
    assert qr.svg("http://192.168.1.20:8490/4711").count("h1v1h-1z") == sum(map(sum, rows))


async def test_calls_are_marked_up_and_more_than_can_be_read_come_in_turns(tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        await room.host.command(c.Brief())
        await room.host.command(c.OpenPoll(question="What do you say?", kind="what do you say"))
        held = room.host.evening.open_poll
        assert held is not None
        for each in range(8):
            phone = await room.phone(f"Pilot {each}", f"{each}")
            assert (await phone.post("/vote", poll=held.id, words="mayday, Larkspur 5304W, vacuum failure"))[0] == 303
        await room.host.command(c.Close())
        now = [0.0]
        wall = WallPage(room.host, "", lambda: None, lambda: now[0])
        first = wall.changed()
        assert "1 to 6 of 8" in first["picture"]
        assert first["picture"].count('class="call"') == 6
        assert "what failed: vacuum system" in first["picture"]
        assert "Not said:" in first["picture"]
        assert first["side"] == ""
        assert wall.changed() == {}
        now[0] = TURN_S
        then = wall.changed()
        assert "7 to 8 of 8" in then["picture"]
        assert list(then) == ["picture"]


async def test_the_wall_says_which_way_was_chosen_and_whose_log_stands_beside_two_panels(room: Room) -> None:
    for command in (c.Brief(), c.Fly(), c.Stop(), c.Advance(600.0), c.CountHands({"a": 3}), c.Close()):
        assert isinstance(await room.host.command(command), Done)
    page = WallPage(room.host, "", lambda: None)
    assert "Both ways are flown" not in page.page()
    assert "Talk about" in page.page()
    assert isinstance(await room.host.command(c.Choose("fork")), Done)
    assert "Both ways are flown, side by side." in page.page()
    assert "Talk about" not in page.page()
    assert isinstance(await room.host.command(c.Fly()), Done)
    assert "The room: radio" in page.page()
    assert "The room: in the cockpit" in page.page()
