"""The record of an evening: what is acknowledged is on disk, what is torn is cut off, what is damaged is told."""

from __future__ import annotations

import asyncio
import os
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from room.evenings import ANSWERS, AT, OPENED, any_evening
from room.hosts import Opener

from drill.room import keeping
from drill.room.commands import Receipt, Refusal
from drill.room.evening import Evening, apply, fold
from drill.room.events import Event, Joined, PollOpened, Stage, Voted
from drill.room.keeping import Journal, KeepingError, line_of, read_evening

EVENTS: tuple[Event, ...] = (
    OPENED, Joined("one", "Ada", "1", at=AT), Stage("brief", 0.0, at=AT),
    PollOpened("p1", "what is wrong", "What is wrong?", ANSWERS, 0.0, 0.0, at=AT), Voted("p1", "one", "a", at=AT),
)


def written(path: Path, events: tuple[Event, ...] | list[Event] = EVENTS) -> list[bytes]:
    lines = [line_of(event, n) for n, event in enumerate(events, 1)]
    path.write_bytes(b"".join(lines))
    return lines


@settings(max_examples=40, deadline=None)
@given(any_evening(30), st.data())
def test_a_record_cut_off_at_any_byte_holds_every_whole_line_and_no_other(
    events: list[Event], data: st.DataObject,
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "evening.jsonl"
        lines = written(path, events)
        whole = path.read_bytes()
        cut = data.draw(st.integers(len(lines[0]), len(whole)))
        path.write_bytes(whole[:cut])
        ends = [sum(map(len, lines[: n + 1])) for n in range(len(lines))]
        kept = sum(end <= cut for end in ends)
        read = read_evening(path)
        assert read.evening == fold(events[:kept])
        assert read.good_bytes == ends[kept - 1]


async def test_a_vote_is_on_disk_before_it_is_acknowledged_wherever_the_file_is_cut_then(hosts: Opener) -> None:
    host = await hosts.with_poll(people=6)
    ends: list[int] = []

    async def voted(phone: str, answer: str) -> None:
        assert isinstance(await host.vote(phone, "p1", answer), Receipt)
        ends.append(host.path.stat().st_size)
        assert any(f'"phone":"{phone}","answer":"{answer}"'.encode() in line
                   for line in host.path.read_bytes().splitlines())

    for answer in "abc":
        await asyncio.gather(*(voted(f"phone {n}", answer) for n in range(6)))
    data = host.path.read_bytes()
    await host.close()
    for end in sorted(set(ends)):        # killed right after any of the acknowledgements
        for torn in (0, 1, 7):
            host.path.write_bytes(data[: end + torn])
            acknowledged = sum(each <= end for each in ends)
            cast = [event for event in read_evening(host.path).events if isinstance(event, Voted)]
            assert len(cast) >= acknowledged


async def test_many_votes_at_once_cost_few_syncs(hosts: Opener, monkeypatch: pytest.MonkeyPatch) -> None:
    host = await hosts.with_poll(people=100)
    syncs = 0
    really = keeping._sync

    def counted(descriptor: int) -> None:
        nonlocal syncs
        syncs += 1
        really(descriptor)

    monkeypatch.setattr(keeping, "_sync", counted)
    receipts = await asyncio.gather(*(host.vote(f"phone {n}", "p1", "a") for n in range(100)))
    assert all(isinstance(each, Receipt) for each in receipts)
    assert 1 <= syncs <= 10


async def test_the_same_vote_again_waits_for_the_disk_as_the_first_did(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    host = await hosts.with_poll(people=1)
    really, released = keeping._sync, asyncio.Event()
    loop = asyncio.get_running_loop()

    def slow(descriptor: int) -> None:
        asyncio.run_coroutine_threadsafe(released.wait(), loop).result()
        really(descriptor)

    monkeypatch.setattr(keeping, "_sync", slow)
    first = asyncio.create_task(host.vote("phone 0", "p1", "a"))
    for _ in range(5):
        await asyncio.sleep(0)
    again = asyncio.create_task(host.vote("phone 0", "p1", "a"))
    await asyncio.sleep(0.05)
    assert not first.done()
    assert not again.done()
    released.set()
    assert await again == await first


async def test_a_full_disk_refuses_the_votes_and_the_evening_stays_as_it_is_on_disk(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    host = await hosts.with_poll(people=2)
    assert isinstance(await host.vote("phone 0", "p1", "a"), Receipt)
    before, size = host.evening, host.path.stat().st_size
    really = keeping._write_all

    def full(descriptor: int, data: bytes) -> None:
        os.write(descriptor, data[:9])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(keeping, "_write_all", full)
    refused = await asyncio.gather(host.vote("phone 0", "p1", "b"), host.vote("phone 1", "p1", "b"))
    assert all(isinstance(each, Refusal) and each.because == "unwritten" and "Make room" in each.words
               for each in refused)
    assert host.evening == before
    assert host.path.stat().st_size == size
    assert "No space left" in host.desk_view()["trouble"]
    monkeypatch.setattr(keeping, "_write_all", really)
    assert isinstance(await host.vote("phone 1", "p1", "b"), Receipt)
    assert host.desk_view()["trouble"] == ""
    assert read_evening(host.path).evening == host.evening


async def test_after_a_sync_that_failed_nothing_more_is_promised(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    host = await hosts.with_poll(people=1)

    def broken(descriptor: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(keeping, "_sync", broken)
    assert isinstance(await host.vote("phone 0", "p1", "a"), Refusal)
    monkeypatch.undo()
    again = await host.vote("phone 0", "p1", "a")
    assert isinstance(again, Refusal)
    assert "--resume" in again.words


async def test_who_waits_no_longer_does_not_stop_the_others(hosts: Opener) -> None:
    host = await hosts.with_poll(people=3)
    gone = asyncio.create_task(host.vote("phone 0", "p1", "a"))
    stays = asyncio.create_task(host.vote("phone 1", "p1", "a"))
    await asyncio.sleep(0)
    gone.cancel()
    assert isinstance(await stays, Receipt)
    assert isinstance(await host.vote("phone 2", "p1", "b"), Receipt)
    assert len(read_evening(host.path).evening.polls[-1].votes) == 3   # it had been sent


async def test_who_is_cut_off_while_the_disk_is_busy_does_not_keep_the_evening_from_closing(hosts: Opener) -> None:
    host = await hosts.with_poll(people=1)
    gone = asyncio.create_task(host.vote("phone 0", "p1", "b"))
    await asyncio.sleep(0)
    await asyncio.sleep(0)
    gone.cancel()
    await host.close()
    assert read_evening(host.path).evening.polls[-1].votes["phone 0"].answer == "b"


def test_only_its_owner_may_read_the_record(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        made = Journal.create(tmp_path / "evening.jsonl", line_of(OPENED, 1), apply(Evening(), OPENED))
    finally:
        os.umask(old)
    made.close_at_once()
    assert stat.S_IMODE((tmp_path / "evening.jsonl").stat().st_mode) == 0o600


async def test_the_record_of_its_flight_is_not_taken_for_the_evenings(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    with pytest.raises(KeepingError, match="record of a flight"):
        read_evening(host.path.with_name("evening.flight.jsonl"))


async def test_a_second_program_is_refused_while_one_runs_the_evening(hosts: Opener) -> None:
    host = await hosts.with_poll(people=0)
    with pytest.raises(KeepingError, match="another program runs this evening"):
        Journal.reopen(host.path)


def _damaged() -> Iterator[tuple[str, bytes, str]]:
    lines = [line_of(event, n) for n, event in enumerate(EVENTS, 1)]
    yield "a line that is no JSON", b"".join([lines[0], b"{nonsense\n", *lines[2:]]), ":2: the line is not JSON"
    yield "a line that is missing", b"".join([lines[0], *lines[2:]]), ":2: line 2 calls itself 3"
    yield "a line twice", b"".join([*lines[:2], lines[1]]), ":3: line 3 calls itself 2"
    yield "a line that is no object", b"".join([lines[0], b"[1, 2]\n"]), ":2: the line is no event"
    yield "no kind that is known", b"".join([lines[0], b'{"n": 2, "at": "", "what": "flew"}\n']), ":2: "
    yield "a value of another kind", b"".join([*lines[:4], lines[4].replace(b'"a"', b"[]")]), ":5: "
    yield "what cannot be then", b"".join([*lines[:2], line_of(EVENTS[4], 3)]), ":3: no poll takes votes now"
    yield "bytes that are no text", b"".join([lines[0], b"\xff\xfe\n"]), ":2: the line is not UTF-8"
    yield "nested beyond all bounds", b"".join([lines[0], b"[" * 100_000 + b"\n"]), ":2: "
    yield "another edition", lines[0].replace(b'"edition":1', b'"edition":9'), ":1: the record is of edition 9"
    yield "no line at all", b"", "no evening has begun"
    yield "one torn line", lines[0][:-1], "no evening has begun"


@pytest.mark.parametrize(("data", "words"), [each[1:] for each in _damaged()], ids=[each[0] for each in _damaged()])
def test_a_damaged_record_is_told_with_file_and_line(data: bytes, words: str, tmp_path: Path) -> None:
    path = tmp_path / "evening.jsonl"
    path.write_bytes(data)
    with pytest.raises(KeepingError) as told:
        read_evening(path)
    assert words in str(told.value)
    assert str(told.value).startswith(str(path))


def test_a_record_that_is_not_there_or_there_already_is_told(tmp_path: Path) -> None:
    with pytest.raises(KeepingError, match="No such file"):
        read_evening(tmp_path / "none.jsonl")
    (tmp_path / "old.jsonl").write_text("")
    with pytest.raises(KeepingError, match="exists already"):
        Journal.create(tmp_path / "old.jsonl", line_of(OPENED, 1), apply(Evening(), OPENED))
    with pytest.raises(KeepingError, match="can be written"):
        Journal.create(tmp_path / "no folder" / "new.jsonl", line_of(OPENED, 1), apply(Evening(), OPENED))
