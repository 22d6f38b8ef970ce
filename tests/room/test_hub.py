"""The channels by which pages are kept up to date: bounded, each at its own pace."""

from __future__ import annotations

import asyncio

from drill.room.net.hub import Channel, Hub


class Changes:
    """A version that grows, and whoever waits for it."""

    def __init__(self) -> None:
        self.version = 0
        self._event = asyncio.Event()

    def grow(self) -> None:
        self.version += 1
        self._event.set()
        self._event = asyncio.Event()

    async def changed(self, since: int) -> int:
        while self.version <= since:
            await self._event.wait()
        return self.version


class Aborted:
    """A connection that notes when it is ended."""

    def __init__(self, noted: list[str], name: str) -> None:
        self._noted = noted
        self._name = name

    def abort(self) -> None:
        self._noted.append(self._name)


async def test_a_page_that_is_busy_is_sent_how_things_stand_then_and_nothing_between() -> None:
    changes, sent, gate = Changes(), list[int](), asyncio.Semaphore(0)

    async def send() -> None:
        sent.append(changes.version)
        await gate.acquire()

    hub = Hub(changes.changed)
    hub.begin(0)
    with hub.joined(Channel(send, None, 10)):
        await asyncio.sleep(0.02)
        for _ in range(500):
            changes.grow()
            await asyncio.sleep(0)
        await asyncio.sleep(0.15)
        gate.release()
        await asyncio.sleep(0.15)
        assert sent == [0, 500]
    await hub.end()


async def test_a_page_that_takes_nothing_is_closed_and_the_others_are_told_meanwhile() -> None:
    changes, told, aborted = Changes(), list[int](), list[str]()

    async def never() -> None:
        await asyncio.Event().wait()

    async def send() -> None:
        told.append(changes.version)

    hub = Hub(changes.changed)
    hub.begin(0)
    with hub.joined(Channel(never, Aborted(aborted, "slow"), 0.2)), hub.joined(Channel(send, None, 0.2)):
        await asyncio.sleep(0.02)
        changes.grow()
        await asyncio.sleep(0.1)
        assert told == [0, 1]
        assert not aborted
        await asyncio.sleep(0.2)
        assert aborted == ["slow"]
    assert hub.pages == 0
    await hub.end()


async def test_a_page_whose_connection_broke_while_it_was_sent_to_is_told_nothing_more() -> None:
    changes, aborted, tried = Changes(), list[str](), list[int]()

    async def broken() -> None:
        tried.append(1)
        raise ConnectionResetError

    hub = Hub(changes.changed)
    hub.begin(0)
    with hub.joined(Channel(broken, Aborted(aborted, "gone"), 1)):
        for _ in range(3):
            await asyncio.sleep(0.06)
            changes.grow()
    assert (tried, aborted) == ([1], ["gone"])
    await hub.end()


async def test_what_changes_with_the_clock_alone_is_looked_at_every_so_often() -> None:
    sent = list[int]()

    async def send() -> None:
        sent.append(1)

    hub = Hub(Changes().changed, every_s=0.05)
    hub.begin(0)
    with hub.joined(Channel(send, None, 1)):
        await asyncio.sleep(0.4)
    await hub.end()
    assert len(sent) >= 3


async def test_many_changes_in_a_moment_are_told_at_once_and_then_together() -> None:
    changes, sent = Changes(), list[int]()

    async def send() -> None:
        sent.append(changes.version)

    hub = Hub(changes.changed)
    hub.begin(0)
    with hub.joined(Channel(send, None, 1)):
        await asyncio.sleep(0.02)
        for _ in range(20):
            changes.grow()
            await asyncio.sleep(0.001)
        await asyncio.sleep(0.15)
    assert sent[0] == 0
    assert sent[-1] == 20
    assert len(sent) <= 4
    await hub.end()
