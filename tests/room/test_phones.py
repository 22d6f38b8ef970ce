"""Phones in a room: they join, are shown what the room sees and no more, and vote; with sockets or without script."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path

import pytest
from aiohttp import WSMsgType
from room.net_room import POLL, Room, acknowledged, news, served, vote

from drill.cautions import CAUTIONS
from drill.room import commands as c
from drill.room.evening import votes
from drill.room.net.limits import Limits

SCRIPT = {"Accept": "application/json"}


@pytest.fixture
async def room(tmp_path: Path) -> AsyncIterator[Room]:
    async with served(tmp_path) as made:
        yield made


async def test_a_phone_joins_by_the_address_on_the_wall_with_a_name_alone(room: Room) -> None:
    async with room.session.get(room.at(f"/{room.number}")) as answer:
        page = await answer.text()
    assert "Evening number" not in page    # it is in the address
    assert not await join_refused(room, "Robin")
    assert [(each.name, each.table) for each in room.host.evening.present] == [("Robin", "")]


async def test_who_types_the_address_is_asked_for_the_evenings_number(room: Room) -> None:
    async with room.session.get(room.at("/")) as answer:
        assert "Evening number, as on the wall" in await answer.text()


@pytest.mark.parametrize(("name", "number", "why"), [
    ("Robin", "0", "not this evening's number"),
    ("", "", "Type a name"),
    ("  \u200b\u202e ", "", "Type a name"),
    ("...", "", "Type a name"),
])
async def test_what_is_wrong_with_joining_is_said_beside_the_form(room: Room, name: str, number: str, why: str) -> None:
    said = await join_refused(room, name, number)
    assert why.replace("'", "&#39;") in said
    assert "<form" in said
    assert not room.host.evening.people


async def test_a_joined_phone_can_change_name_and_table(room: Room) -> None:
    phone = await room.phone("Robin")
    assert (await phone.post("/join", name="Sam", table="3"))[0] == 303
    person, = room.host.evening.present
    assert (person.name, person.table) == ("Sam", "3")


async def test_a_page_is_a_few_kilobytes_and_loads_only_its_own_two_files(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    page = await phone.page()
    size = len(page.encode())
    assert page.count("src=") + page.count("<link rel=\"stylesheet\"") == 2
    for name in ("/phone.css", "/phone.js"):
        assert f'"{name}"' in page
        async with room.session.get(room.at(name)) as answer:
            size += len(await answer.read())
    assert size < 10_000
    assert "http" not in page.replace("http-equiv", "")
    for each in CAUTIONS:
        assert each.replace("'", "&#39;") in page


@pytest.mark.parametrize("name", ["phone.js", "wall.js"])
async def test_scripts_are_of_the_language_that_old_browsers_know(room: Room, name: str) -> None:
    """ECMAScript 5: no arrows, no let and const, no templates, no promises."""
    async with room.session.get(room.at(f"/{name}")) as answer:
        script = await answer.text()
    assert "function" in script
    assert not re.search(r"=>|`|\b(let|const|class|async|await|Promise|fetch|of)\b|\?\.|\?\?|\.\.\.[a-z]", script)


async def test_news_come_by_the_socket_as_soon_as_a_poll_opens_and_closes(room: Room) -> None:
    phone = await room.phone("Robin")
    socket = await phone.socket()
    assert "Robin" in (await news(socket))["html"]
    await room.host.command(c.Brief())
    assert "briefing" in (await news(socket))["say"]
    await room.host.command(c.OpenPoll())
    assert 'type="radio"' in (await news(socket))["html"]
    await room.host.command(c.Close())
    assert 'type="radio"' not in (await news(socket))["html"]


async def test_a_vote_is_acknowledged_in_words_counts_once_and_can_be_changed_until_the_poll_closes(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    socket = await phone.socket()
    for n, answer in enumerate("abba", 1):
        await socket.send_str(vote(n, answer=answer, sure=2))
        said = await acknowledged(socket)
        assert (said["ack"], said["ok"]) == (n, True)
        chosen = room.host.evening.polls[0].answer(answer)
        assert chosen is not None
        assert chosen.says in said["says"]
    (only,) = votes(room.host.evening, room.host.evening.polls[0]).values()
    assert (only.answer, only.sure) == ("a", 2)
    await room.host.command(c.Close())
    await socket.send_str(vote(9, answer="b"))
    said = await acknowledged(socket)
    assert not said["ok"]
    assert "closed" in said["says"]
    assert room.host.evening.polls[0].votes == {room.host.evening.present[0].phone: only}


async def test_without_script_a_vote_is_a_form_and_the_page_then_says_that_it_counts(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    page = await phone.page()
    assert "http-equiv" not in page    # a form that is half filled in is not taken away
    assert (await phone.post("/vote", poll=POLL, answer="b", sure="4"))[0] == 303
    page = await phone.page()
    assert "Counted:" in page
    assert 'value="b" required checked' in page
    assert 'http-equiv="refresh"' in page
    await room.host.command(c.Close())
    status, page = await phone.post("/vote", poll=POLL, answer="a")
    assert status == 409
    assert "This poll is closed" in page


async def test_without_sockets_news_are_waited_for(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), news_s=0.2)) as room:
        phone = await room.phone("Robin")

        async def asked(v: str) -> dict[str, str]:
            async with room.session.get(room.at(f"/news?v={v}"), headers={**phone.headers, **SCRIPT}) as answer:
                assert answer.status == 200
                found: dict[str, str] = json.loads(await answer.text())
                return found

        first = await asked("")
        assert await asked(first["v"]) == {}
        waiting = asyncio.create_task(asked(first["v"]))
        await asyncio.sleep(0.05)
        await room.host.command(c.Brief())
        assert (await waiting)["v"] != first["v"]


async def test_somebody_elses_vote_is_no_news_to_a_phone(room: Room) -> None:
    one, other = await room.phone("Robin"), await room.phone("Sam")
    await room.poll_open()
    watching, voting = await one.socket(), await other.socket()
    await news(watching)
    await voting.send_str(vote(answer="b"))
    assert (await acknowledged(voting))["ok"]
    with pytest.raises(TimeoutError):
        await watching.receive(timeout=0.3)


async def test_a_phone_is_never_sent_a_count_an_answers_line_a_later_poll_or_what_is_true(room: Room) -> None:
    """What a phone is sent in a whole evening, by every way, is looked through for all that it may not know."""
    one, other = await room.phone("Robin", "1"), await room.phone("Samuel", "2")
    socket = await one.socket()
    sent: list[str] = []

    async def hear() -> None:
        while (message := await socket.receive()).type is WSMsgType.TEXT:
            sent.append(str(message.data))

    hearing = asyncio.create_task(hear())
    await room.host.command(c.Brief())
    later = [each.question for each in room.host.polls]
    secrets = {each.does for poll in room.host.polls for each in poll.answers if each.does}
    for place, poll in enumerate(room.host.polls):
        await room.host.command(c.OpenPoll(poll.id))
        words = {"words": "mayday, unmistakable words"} if not poll.answers else {"answer": poll.answers[0].key}
        await other.post("/vote", poll=poll.id, **words)
        sent.append(await one.page())
        everything = " ".join(sent)
        assert "unmistakable" not in everything
        assert not [each for each in later[place + 1:] if each not in later[:place + 1] and each in everything]
        await room.host.command(c.Close(show=False))
        sent.append(await one.page())
        await room.host.command(c.Reveal())
        sent.append(await one.page())
    await room.host.command(c.Debrief())
    sent.append(await one.page())
    await socket.close()
    await hearing
    everything = " ".join(sent)
    assert len(sent) > 12
    assert "Samuel" not in everything
    assert not [each for each in secrets if each in everything]
    for word in ("counts", "shown", "does", "discuss", "vacuum pump", "failed"):
        assert f'"{word}"' not in everything


async def test_pages_are_made_for_screen_readers(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    page = await phone.page()
    assert '<html lang="en">' in page
    assert page.count('role="status"') == 2
    assert "<fieldset><legend>" in page
    for field in page.split("<input type=\"radio\"")[:-1]:
        assert field.rstrip().endswith("<label>")


async def test_phones_come_back_by_themselves_after_the_program_was_started_again(tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        phone = await room.phone("Robin", "4")
        await room.poll_open()
        await phone.post("/vote", poll=POLL, answer="b")
        wall = room.running.wall_url.split("key=")[1]
    async with served(tmp_path) as room:
        phone.room = room
        assert room.running.wall_url.endswith(wall)
        socket = await phone.socket()
        assert "Robin, table 4" in (await news(socket))["html"]
        assert "Counted:" in await phone.page()
        await socket.send_str(vote(answer="c"))
        assert (await acknowledged(socket))["ok"]


async def test_a_phone_is_told_that_a_vote_could_not_be_written_and_not_where(
    room: Room, monkeypatch: pytest.MonkeyPatch,
) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("drill.room.keeping._sync", full)
    socket = await phone.socket()
    await socket.send_str(vote())
    said = await acknowledged(socket)
    assert not said["ok"]
    assert "could not be written" in said["says"]
    assert "jsonl" not in said["says"]
    assert not room.host.evening.polls[0].votes
    status, page = await phone.post("/join", name="Sam")
    assert status == 409
    assert "jsonl" not in page


async def test_without_phones_there_is_the_wall_alone(tmp_path: Path) -> None:
    async with served(tmp_path, phones=False) as room:
        assert room.running.phones_url == ""
        async with room.session.get(room.at("/")) as answer:
            assert answer.status == 404
        async with room.session.get(room.running.wall_url, allow_redirects=False) as answer:
            assert answer.status == 303


async def join_refused(room: Room, name: str, number: str = "") -> str:
    """Return the page that says why a phone may not join; "" if it has."""
    status, text, cookie = await room.join(name, number=number)
    assert (status == 303) is bool(cookie)
    return "" if status == 303 else text
