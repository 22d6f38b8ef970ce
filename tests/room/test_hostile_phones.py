"""Hostile guests of a room: whatever they send, nothing is counted that should not be, and the others go on."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket as sockets
import time
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from aiohttp import WSServerHandshakeError
from room.net_room import POLL, Phone, Room, acknowledged, closed_with, news, served, vote

from drill.room import commands as c
from drill.room.evening import votes
from drill.room.net.limits import LARGEST_FORM, LARGEST_MESSAGE, LONGEST_NAME, Limits, Rate
from drill.room.net.phone_routes import COOKIE
from drill.room.net.tokens import Tokens, new_phone

ESCAPES = "\x1b[2J\x1b]0;owned\x07\x9b31m"
MARKUP = "<img src=x onerror=alert(1)>"


@pytest.fixture
async def room(tmp_path: Path) -> AsyncIterator[Room]:
    async with served(tmp_path) as made:
        yield made


async def raw(room: Room, request: bytes, *, read: int = 200) -> bytes:
    """Send bytes as they are, and return the beginning of what comes back."""
    reader, writer = await asyncio.open_connection("127.0.0.1", room.running.port)
    writer.write(request)
    try:
        return await asyncio.wait_for(reader.read(read), 5)
    finally:
        writer.close()


async def refused(room: Room, phone: Phone, **headers: str) -> int:
    """Return the status with which a socket with these headers is refused; 101 if it is opened."""
    try:
        socket = await phone.socket(**headers)
    except WSServerHandshakeError as error:
        return error.status
    await socket.close()
    return 101


# --- whence it comes ---------------------------------------------------------------------------------


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "", "127.0.0.1:80@evil.example", "[::1",
                                  "evil.example:{port}"])
async def test_a_host_that_is_not_ours_is_told_nothing(room: Room, host: str) -> None:
    written = host.format(port=room.running.port)
    answer = await raw(room, f"GET /{room.number} HTTP/1.1\r\nHost: {written}\r\n\r\n".encode())
    assert answer.startswith((b"HTTP/1.1 421", b"HTTP/1.1 400"))


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1", ""])
async def test_nothing_is_taken_from_another_origin(room: Room, origin: str) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    assert await refused(room, phone, Origin=origin) == 403
    for path, fields in (("/vote", {"poll": POLL, "answer": "a"}), ("/join", {"name": "Sam", "number": room.number})):
        async with room.session.post(room.at(path), headers={**phone.headers, "Origin": origin},
                                     data={"form": phone.form, **fields}) as answer:
            assert answer.status == 403
    assert not room.host.evening.polls[0].votes
    assert [each.name for each in room.host.evening.present] == ["Robin"]


async def test_a_socket_without_an_origin_is_no_browsers_and_is_not_opened(room: Room) -> None:
    phone = await room.phone("Robin")
    with pytest.raises(WSServerHandshakeError, match="403"):
        await room.session.ws_connect(room.at("/socket"), headers={"Cookie": f"{COOKIE}={phone.cookie}"})


async def test_an_old_browser_that_tells_no_origin_needs_what_its_form_carried(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    for form, status in ((phone.form, 303), ("", 403), (await room.form(), 403)):
        async with room.session.post(room.at("/vote"), headers={"Cookie": f"{COOKIE}={phone.cookie}"},
                                     data={"form": form, "poll": POLL, "answer": "a"}, allow_redirects=False) as answer:
            assert answer.status == status


async def test_no_answer_lets_a_page_elsewhere_read_it_or_frame_it(room: Room) -> None:
    phone = await room.phone("Robin")
    for path in ("/", "/phone.js", "/news", "/wall", "/nowhere", "/vote"):
        async with room.session.get(room.at(path), headers={**phone.headers}) as answer:
            assert not [name for name in answer.headers if name.lower().startswith("access-control")]
            policy = answer.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "frame-ancestors 'none'" in policy
            assert "unsafe" not in policy
            assert answer.headers["X-Content-Type-Options"] == "nosniff"
            assert "Server" not in answer.headers


# --- who it says it is -------------------------------------------------------------------------------


def forged(room: Room, phone: Phone) -> list[str]:
    """Return tokens that were not given to anybody here."""
    mine = phone.cookie
    other = mine[:-2] + ("A" if mine[-2] != "A" else "B") + mine[-1]   # the last letter has bits that sign nothing
    return ["", "x", other, mine.split(".")[0], mine + ".x", "." + mine,
            Tokens("another key", room.number).of_phone(new_phone()),
            Tokens("another key", room.number).of_phone(room.host.evening.present[0].phone),
            phone.form, "A" * 5_000]


async def test_a_forged_token_is_nobodys(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    for token in forged(room, phone):
        fake = Phone(room, token, phone.form, "")
        assert await refused(room, fake) in (403, 400)
        status, _ = await fake.post("/vote", poll=POLL, answer="a")
        assert status in (403, 400)
    assert not room.host.evening.polls[0].votes


async def test_a_token_of_another_evening_is_nobodys_and_its_owner_joins_anew(tmp_path: Path) -> None:
    (tmp_path / "first").mkdir()
    (tmp_path / "second").mkdir()
    async with served(tmp_path / "first") as room:
        phone = await room.phone("Robin")
    async with served(tmp_path / "second") as room:
        old = Phone(room, phone.cookie, phone.form, "Robin")
        assert await refused(room, old) == 403
        assert "Join the room" in await old.page()


async def test_a_signed_token_for_a_phone_that_never_joined_is_nobodys(room: Room, tmp_path: Path) -> None:
    key = (tmp_path / "evening.key").read_text(encoding="ascii").strip()
    await room.poll_open()
    fake = Phone(room, Tokens(key, room.number).of_phone(new_phone()), "", "")
    assert await refused(room, fake) == 403


async def test_who_was_sent_out_votes_no_more_and_is_told_so(room: Room) -> None:
    phone = await room.phone("Robin")
    socket = await phone.socket()
    await room.poll_open()
    await socket.send_str(vote())
    assert (await acknowledged(socket))["ok"]
    await room.host.command(c.Remove(room.host.evening.present[0].phone))
    await socket.send_str(vote(2, answer="b"))
    assert not (await acknowledged(socket))["ok"]
    assert (await phone.post("/vote", poll=POLL, answer="b"))[0] == 409
    assert (await phone.post("/join", name="Someone else"))[0] == 409
    assert not votes(room.host.evening, room.host.evening.polls[0])
    assert "taken off the list" in await phone.page()


async def test_numbers_of_the_evening_cannot_be_tried_one_after_the_other(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), guessed=Rate(0.001, 5))) as room:
        wrong = "1" if room.number != "1" else "2"
        said = [(await room.join("Robin", number=wrong))[1] for _ in range(7)]
        assert "not this evening" in said[4]
        assert "Too many wrong numbers" in said[6]
        status, page, *_ = await room.join("Robin")    # nor is it told then which number is right
        assert status == 409
        assert "Too many wrong numbers" in page
        async with room.session.get(room.at(f"/{room.number}")) as answer:
            assert "Too many wrong numbers" in await answer.text()


async def test_numbers_of_the_evening_cannot_be_tried_as_addresses_either(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), guessed=Rate(0.001, 5))) as room:
        told = []
        for number in (*(each for each in map(str, range(1000, 1007)) if each != room.number), room.number):
            async with room.session.get(room.at(f"/{number}")) as answer:
                told.append(await answer.text())
        assert "not this evening" in told[0]
        assert "Too many wrong numbers" in told[-1]


# --- what only the facilitator may -------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/desk", "/command", "/admin", "/facilitator", "/host", "/poll", "/close", "/end",
                                  "/evening.jsonl", "/evening.key"])
async def test_there_is_no_address_for_what_only_the_facilitator_may(room: Room, path: str) -> None:
    phone = await room.phone("Robin")
    async with room.session.get(room.at(path), headers=phone.headers) as answer:
        assert answer.status == 404
    status, _ = await phone.post(path, what="close")
    assert status == 405
    socket = await phone.socket()
    for said in ({"command": "close"}, {"what": "poll closed", "poll": POLL}, {"n": 1, "what": "end"}):
        await socket.send_str(json.dumps(said))
    await socket.send_str(vote())
    assert not (await acknowledged(socket))["ok"]    # no poll is open yet
    assert room.host.evening.stage == "lobby"


@pytest.mark.parametrize("path", ["/wall", "/wall/socket"])
async def test_a_phone_without_the_walls_key_is_no_wall(room: Room, path: str) -> None:
    phone = await room.phone("Robin")
    for query in ("", "?key=", "?key=x", f"?key={phone.cookie[:190]}"):
        async with room.session.get(room.at(path + query), headers=phone.headers, allow_redirects=False) as answer:
            assert answer.status == 403


async def test_neither_wall_nor_phone_is_ever_shown_the_key_of_the_other(room: Room) -> None:
    phone = await room.phone("Robin")
    key = room.running.wall_url.split("key=")[1]
    async with room.session.get(room.at("/wall"), headers={"Cookie": f"drill_wall={key}"}) as answer:
        wall = await answer.text()
    assert key not in wall + await phone.page()
    assert phone.cookie not in wall


@pytest.mark.parametrize("path", [
    "/../evening.key", "/%2e%2e/evening.key", "/phone.css/../../keys.py", "/..%2fevening.key", "//evil.example/",
    "/phone.css%00.js", "/wall/../../../etc/passwd", "/" + "9" * 40, "/\u0661\u0662\u0663\u0664", "/." * 400,
    "/?" + "a=b&" * 300, "/%ff%fe", "/{number}/socket",
])
async def test_tricks_with_paths_lead_nowhere(room: Room, path: str) -> None:
    for method in ("GET", "POST", "OPTIONS", "PUT", "CONNECT"):
        answer = await raw(room, f"{method} {path.format(number=room.number)} HTTP/1.1\r\nHost: {room.netloc}\r\n"
                                 "Connection: close\r\n\r\n".encode(), read=20_000)
        assert answer[9:12] in (b"404", b"405", b"414", b"400"), answer
        for secret in (b"itsdangerous", b"root:", b"Traceback"):
            assert secret not in answer


# --- how much -----------------------------------------------------------------------------------------


async def test_a_huge_frame_ends_its_socket_and_counts_for_nothing(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    socket = await phone.socket()
    await socket.send_str(vote(words="x" * LARGEST_MESSAGE))
    assert await closed_with(socket) == 1009
    assert not room.host.evening.polls[0].votes


@pytest.mark.parametrize("sent", [
    "", "no json", "[]", "null", "3", '"a"', "{}", '{"n": 1}', '{"n": true, "poll": "p1", "answer": "a"}',
    '{"n": -1, "poll": "p1", "answer": "a"}', '{"n": 1, "poll": ["p1"], "answer": "a"}', "[" * 2_000,
    '{"n": 1, "poll": "p1", "answer": "a", "sure": "4"}', '{"n": 1, "poll": "p1", "answer": "a", "words": {}}',
    '{"n": 1e400, "poll": "p1", "answer": "a"}', '{"n": NaN, "poll": "p1", "answer": "a"}',
])
async def test_what_is_no_vote_is_passed_over(room: Room, sent: str) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    socket = await phone.socket()
    await socket.send_str(sent)
    await socket.send_bytes(vote(5).encode())
    await socket.send_str(vote(6, answer="b"))
    assert (await acknowledged(socket))["ack"] == 6
    (only,) = room.host.evening.polls[0].votes.values()
    assert only.answer == "b"


@pytest.mark.parametrize(("poll", "answer", "more"), [
    ("p2", "a", {}), ("p0", "a", {}), ("", "a", {}), (POLL, "z", {}), (POLL, "", {}), (POLL, "aa", {}),
    (POLL, "a", {"sure": 0}), (POLL, "a", {"sure": 5}), (POLL, "a", {"sure": -1}), (POLL, "a", {"words": "and more"}),
    (POLL, "\ud800", {}), ("p1\u0000", "a", {}),
])
async def test_a_vote_for_what_is_not_asked_is_refused_in_words(room: Room, poll: str, answer: str,
                                                                more: dict[str, Any]) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    socket = await phone.socket()
    await socket.send_str(vote(poll=poll, answer=answer, **more))
    said = await acknowledged(socket)
    assert not said["ok"]
    assert said["says"].endswith(".")
    assert not room.host.evening.polls[0].votes


async def test_votes_of_one_phone_by_every_way_at_once_count_once(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.poll_open()
    pages = [await phone.socket() for _ in range(2)]
    for n in range(1, 9):
        for socket in pages:
            await socket.send_str(vote(n, answer="ab"[n % 2]))
    await asyncio.gather(*(phone.post("/vote", poll=POLL, answer="c") for _ in range(4)))
    for socket in pages:
        for _ in range(8):
            assert (await acknowledged(socket))["ok"]
    assert len(room.host.evening.polls[0].votes) == 1
    assert len(votes(room.host.evening, room.host.evening.polls[0])) == 1


async def test_a_flood_of_messages_ends_its_socket_and_nobody_elses(room: Room) -> None:
    loud, quiet = await room.phone("Loud"), await room.phone("Quiet")
    await room.poll_open()
    flooding, voting = await loud.socket(), await quiet.socket()
    for n in range(1, 200):
        await flooding.send_str(vote(n))
    await voting.send_str(vote(answer="b"))
    assert (await acknowledged(voting))["ok"]
    assert await closed_with(flooding) == 4100
    assert not voting.closed


async def test_what_one_phone_may_send_is_not_more_by_other_ways_or_by_coming_anew(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), messages=Rate(0.01, 5))) as room:
        phone, other = await room.phone("Robin"), await room.phone("Sam")
        await room.poll_open()
        socket = await phone.socket()
        for n in range(1, 6):
            await socket.send_str(vote(n, answer="ab"[n % 2]))
            assert (await acknowledged(socket))["ok"]
        await socket.close()
        again = await phone.socket()
        await again.send_str(vote(9))
        assert await closed_with(again) == 4100
        assert (await phone.post("/vote", poll=POLL, answer="c"))[0] == 429
        assert (await phone.post("/join", name="Another"))[0] == 429
        assert (await other.post("/vote", poll=POLL, answer="c"))[0] == 303
        assert [each.answer for each in room.host.evening.polls[0].votes.values()] == ["b", "c"]


async def test_a_flood_of_pages_from_one_address_is_cut_short(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), asked=Rate(0.01, 20))) as room:
        statuses = []
        for _ in range(25):
            async with room.session.get(room.at("/")) as answer:
                statuses.append(answer.status)
        assert statuses[:20] == [200] * 20
        assert statuses[-1] == 429


async def test_a_program_cannot_fill_the_room_with_people(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), joined=Rate(0.01, 4))) as room:
        said = [await room.join(f"Robot {each}") for each in range(6)]
        assert [status for status, _, _ in said] == [303] * 4 + [409] * 2
        assert "Many are joining" in said[-1][1]
    async with served(tmp_path, replace(Limits(), phones_an_address=2)) as room:
        said = [await room.join(f"Robot {each}") for each in range(3)]
        assert [status for status, _, _ in said] == [303, 303, 409]
        assert "full" in said[-1][1]


async def test_a_form_that_is_too_large_or_none_at_all_is_refused(room: Room) -> None:
    phone = await room.phone("Robin")
    assert (await phone.post("/vote", words="x" * LARGEST_FORM))[0] == 403
    assert (await phone.post("/join", name="x" * LARGEST_FORM))[0] == 413
    for kind, body in (("multipart/form-data; boundary=x", b"--x\r\n"), ("application/json", b"{}"),
                       ("text/plain", b"a=b")):
        async with room.session.post(room.at("/join"), headers={**phone.headers, "Content-Type": kind},
                                     data=body) as answer:
            assert answer.status == 413
    endless = (f"POST /join HTTP/1.1\r\nHost: {room.netloc}\r\nTransfer-Encoding: chunked\r\n"
               "Content-Type: application/x-www-form-urlencoded\r\n\r\n" + "2000\r\n" + "x" * 0x2000 + "\r\n2000\r\n"
               + "x" * 0x2000 + "\r\n0\r\n\r\n")
    assert b" 413 " in await raw(room, endless.encode())


async def test_an_older_page_of_the_same_phone_gives_way_and_says_why(room: Room) -> None:
    phone = await room.phone("Robin")
    first, *others = [await phone.socket() for _ in range(3)]
    assert await closed_with(first) == 4001
    for each in others:
        await news(each)


async def test_where_sockets_run_out_a_phone_goes_on_without_one(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), sockets=1)) as room:
        first, other = await room.phone("Robin"), await room.phone("Sam")
        socket = await first.socket()
        await room.poll_open()
        assert await refused(room, other) == 503
        async with room.session.get(room.at("/news"), headers=other.headers) as answer:
            assert (await answer.json())["html"]
        assert (await other.post("/vote", poll=POLL, answer="b"))[0] == 303
        await socket.close()
        for _ in range(100):
            if await refused(room, other) == 101:
                break
            await asyncio.sleep(0.02)
        else:
            raise AssertionError("the place of a closed socket was not given to another")


async def test_questions_that_wait_for_news_are_few_for_each_phone(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), news_s=0.5, waits_a_phone=2)) as room:
        phone = await room.phone("Robin")
        async with room.session.get(room.at("/news"), headers=phone.headers) as answer:
            v = (await answer.json())["v"]

        async def wait() -> int:
            async with room.session.get(room.at(f"/news?v={v}"), headers=phone.headers) as answer:
                return answer.status

        assert sorted(await asyncio.gather(*(wait() for _ in range(5)))) == [200, 200, 429, 429, 429]


# --- slowly ---------------------------------------------------------------------------------------------


async def test_half_open_connections_keep_nobody_out(tmp_path: Path) -> None:
    async with served(tmp_path, replace(Limits(), door=12, door_an_address=10)) as room:
        half = [await asyncio.open_connection("127.0.0.1", room.running.port) for _ in range(40)]
        for each, (_, writer) in enumerate(half):
            if each % 2:
                writer.write(b"GET / HTTP/1.1\r\nHo")
        phone = await room.phone("Robin")
        await room.poll_open()
        assert (await phone.post("/vote", poll=POLL, answer="a"))[0] == 303
        for _, writer in half:
            writer.close()


async def test_a_slow_reader_holds_up_nobody_and_is_closed(tmp_path: Path) -> None:
    """It votes as fast as it can and takes none of the answers, until no more of them can be sent."""
    limits = replace(Limits(), silent_s=1.0, sends_s=1.0, messages=Rate(1e6, 1e6))
    async with served(tmp_path, limits) as room:
        slow, quick = await room.phone("Slow"), await room.phone("Quick")
        await room.poll_open()
        connection = sockets.socket()
        connection.setsockopt(sockets.SOL_SOCKET, sockets.SO_RCVBUF, 4_096)
        connection.setblocking(False)
        await asyncio.get_running_loop().sock_connect(connection, ("127.0.0.1", room.running.port))
        reader, writer = await asyncio.open_connection(sock=connection, limit=1_024)
        writer.write((f"GET /socket HTTP/1.1\r\nHost: {room.netloc}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                      f"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: MDEyMzQ1Njc4OWFiY2RlZg==\r\n"
                      f"Origin: {room.origin}\r\nCookie: {COOKIE}={slow.cookie}\r\n\r\n").encode())
        assert b"101" in await reader.readline()
        said = vote().encode()
        frame = bytes((0x81, 0x80 | len(said), 0, 0, 0, 0)) + said    # masked with zeros
        voting = await quick.socket()
        for n in range(1, 21):
            with contextlib.suppress(ConnectionError):
                writer.write(frame * 200)
            begun = time.monotonic()
            await voting.send_str(vote(n, answer="ab"[n % 2]))
            assert (await acknowledged(voting))["ok"]
            assert time.monotonic() - begun < 3
        async with asyncio.timeout(10):
            while not writer.transport.is_closing():    # reset by the room: it reads nothing that would tell it more
                await asyncio.sleep(0.05)
                with contextlib.suppress(ConnectionError):
                    writer.write(frame)
        writer.transport.abort()
        assert len(room.host.evening.polls[0].votes) == 2


# --- what is shown ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [MARKUP, ESCAPES + "Robin", "\u202eniboR", "Ro\nbin\r\n", "=cmd|' /C calc'!A0",
                                  "{{ 7.5 * 178.2 }}", "R" * 500, "R" + "\u0301" * 500, "'\"><script>x</script>"])
async def test_a_name_is_shown_as_letters_wherever_it_is_shown(room: Room, name: str) -> None:
    await room.phone("Sam")
    phone = await room.phone(name, name)
    person = room.host.evening.present[1]
    assert person.name.isprintable()
    assert not any(left in person.name + person.table for left in ("[2J", "owned", "31m"))
    assert len(person.name) <= LONGEST_NAME
    await room.poll_open()
    for said in (await phone.page(), await wall(room), (await (await phone.socket()).receive()).data):
        assert "\x1b" not in said
        assert "\x9b" not in said
        assert "\u202e" not in said
        assert "<img" not in said
        assert "<script>x" not in said
        assert "1336.5" not in said


async def test_words_that_a_phone_sends_are_shown_as_letters_on_the_wall(room: Room) -> None:
    phone = await room.phone("Robin")
    await room.host.command(c.Brief())
    await room.host.command(c.OpenPoll(question="What do you say?", kind="what do you say"))
    held = room.host.evening.open_poll
    assert held is not None
    socket = await phone.socket()
    await socket.send_str(vote(poll=held.id, answer="", words=f"Mayday {MARKUP}{ESCAPES}"))
    assert (await acknowledged(socket))["ok"]
    await room.host.command(c.Close())
    shown = await wall(room)
    assert "Mayday" in shown
    assert "<img" not in shown
    assert "\x1b" not in shown


async def wall(room: Room) -> str:
    """Return the wall's page."""
    key = room.running.wall_url.split("key=")[1]
    async with room.session.get(room.at("/wall"), headers={"Cookie": f"drill_wall={key}"}) as answer:
        assert answer.status == 200
        return await answer.text()


async def test_nothing_of_all_this_is_a_fault_of_the_server(room: Room) -> None:
    phone = await room.phone("Robin")
    for path in ("/news", "/socket", "/vote", "/join", "/wall/socket"):
        await raw(room, f"GET {path} HTTP/1.1\r\nHost: {room.netloc}\r\nCookie: {COOKIE}={phone.cookie}\r\n"
                        f"Upgrade: websocket\r\nOrigin: {room.origin}\r\nConnection: close\r\n\r\n".encode())
    assert room.said == []
