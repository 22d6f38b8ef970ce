"""A whole club with phones: everybody counted once, and back by themselves when the network drops them."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

import pytest
from aiohttp import ClientWebSocketResponse
from bench.bench_room import measured
from bench.room_load import many_files, phone
from room.net_room import Phone, Room, acknowledged, news, served, vote

from drill.room import commands as c
from drill.room.evening import counts
from drill.room.net.keys import key_beside
from drill.room.net.tokens import Tokens

PHONES = 200


async def crowd(room: Room, folder: Path) -> list[Phone]:
    """Return so many phones that have joined, their tokens made as the room makes them."""
    tokens = Tokens(key_beside(folder / "evening.jsonl"), room.number)
    ids = [phone(each) for each in range(PHONES)]
    await asyncio.gather(*(room.host.join(each, f"Pilot {place}", str(place % 9)) for place, each in enumerate(ids)))
    return [Phone(room, tokens.of_phone(each), tokens.of_form(each), "") for each in ids]


async def all_voted(sockets: list[ClientWebSocketResponse], n: int, answers: str) -> None:
    """Let every phone vote, and wait until each is acknowledged."""
    await asyncio.gather(*(each.send_str(vote(n, answer=answers[place % len(answers)]))
                           for place, each in enumerate(sockets)))
    said = await asyncio.gather(*(acknowledged(each) for each in sockets))
    assert all(each["ok"] and each["ack"] == n for each in said)


async def test_two_hundred_phones_dropped_in_mid_poll_come_back_to_their_vote_and_count_once(tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        phones = await crowd(room, tmp_path)
        await room.poll_open()
        sockets = await asyncio.gather(*(each.socket() for each in phones))
        await all_voted(sockets[:PHONES // 2], 1, "ab")
        for each in sockets:    # the access point loses its power: nobody says goodbye
            connection = each._response.connection
            assert connection is not None
            assert connection.transport is not None
            connection.transport.abort()
        sockets = await asyncio.gather(*(each.socket() for each in phones))
        told = await asyncio.gather(*(news(each) for each in sockets))
        assert all('type="radio"' in each["html"] for each in told)
        assert sum(" checked>" in each["html"] for each in told) == PHONES // 2
        await all_voted(sockets, 2, "b")
        held = room.host.evening.polls[0]
        assert counts(room.host.evening, held) == {each.key: PHONES if each.key == "b" else 0 for each in held.answers}
        assert room.said == []


async def test_when_a_poll_opens_every_phone_is_told_within_a_second_or_so(tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        phones = await crowd(room, tmp_path)
        await room.host.command(c.Brief())
        sockets = await asyncio.gather(*(each.socket() for each in phones))
        await asyncio.gather(*(news(each) for each in sockets))
        await room.host.command(c.OpenPoll())
        async with asyncio.timeout(5):
            told = await asyncio.gather(*(news(each) for each in sockets))
        assert {json.dumps(each["say"]) for each in told} == {'"Look at the wall, then answer."'}


@pytest.mark.overnight
async def test_a_thousand_phones_that_vote_within_a_second_are_answered_nearly_as_fast_as_a_bare_server_would() -> None:
    many_files()
    assert await measured(1_000, rounds=3)
