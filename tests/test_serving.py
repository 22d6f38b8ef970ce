"""What every server has in common: which addresses are its own, and how connections stand in its door."""

from __future__ import annotations

import asyncio
import socket as sockets

import pytest

from drill.serving import address
from drill.serving.address import network_number, network_numbers
from drill.serving.door import Door


def test_on_a_network_without_a_way_onward_the_interfaces_tell_the_address(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(address, "_towards_others", lambda: "")
    monkeypatch.setattr(sockets, "if_nameindex", lambda: [(1, "lo"), (2, "none0"), (3, "wlan0")])
    told = {"lo": "127.0.0.1", "none0": "", "wlan0": "192.168.4.2"}
    monkeypatch.setattr(address, "_of_interface", told.__getitem__)
    assert network_numbers() == ["192.168.4.2"]
    assert network_number() == "192.168.4.2"


def test_the_way_to_other_networks_comes_first_and_each_address_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(address, "_towards_others", lambda: "10.0.0.7")
    monkeypatch.setattr(sockets, "if_nameindex", lambda: [(1, "a"), (2, "b")])
    monkeypatch.setattr(address, "_of_interface", {"a": "192.168.4.2", "b": "10.0.0.7"}.__getitem__)
    assert network_numbers() == ["10.0.0.7", "192.168.4.2"]


def test_the_loopback_interface_has_the_loopbacks_address_and_one_that_is_not_there_has_none() -> None:
    names = [name for _, name in sockets.if_nameindex()]
    assert "127.0.0.1" in map(address._of_interface, names)
    assert address._of_interface("nowhere0") == ""


class Silent(asyncio.Protocol):
    """A server that says nothing."""


async def standing(door: Door, connections: int) -> list[bool]:
    """Return which of so many connections that say nothing are still open."""
    server = await asyncio.get_running_loop().create_server(door, "127.0.0.1", 0)
    port = server.sockets[0].getsockname()[1]
    pairs = [await asyncio.open_connection("127.0.0.1", port) for _ in range(connections)]
    await asyncio.sleep(0.05)
    stay = [not reader.at_eof() and reader.exception() is None for reader, _ in pairs]
    for _, writer in pairs:
        writer.close()
    server.close()
    return stay


class Chatty(asyncio.Protocol):
    """A server that says more than anybody takes, and waits until it is taken."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.WriteTransport)
        transport.write(b"x" * 20_000_000)
        transport.close()


@pytest.mark.parametrize(("patience_s", "ends"), [(0.2, True), (None, False)])
async def test_a_connection_that_takes_nothing_of_what_is_sent_ends(patience_s: float | None, ends: bool) -> None:
    made: list[asyncio.BaseTransport] = []

    class Noted(Chatty):
        def connection_made(self, transport: asyncio.BaseTransport) -> None:
            made.append(transport)
            super().connection_made(transport)

        def connection_lost(self, exc: Exception | None) -> None:
            made.clear()

    server = await asyncio.get_running_loop().create_server(Door(Noted, patience_s=patience_s), "127.0.0.1", 0)
    _, writer = await asyncio.open_connection("127.0.0.1", server.sockets[0].getsockname()[1], limit=1_024)
    await asyncio.sleep(0.6)
    assert (not made) is ends
    for transport in made:
        assert isinstance(transport, asyncio.WriteTransport)
        transport.abort()
    writer.transport.abort()
    server.close()
    await asyncio.sleep(0)


async def test_a_door_that_is_full_lets_in_nobody() -> None:
    assert await standing(Door(Silent, most=3, each=3), 5) == [True] * 3 + [False] * 2


async def test_a_door_that_makes_room_closes_who_has_said_nothing_for_longest() -> None:
    assert await standing(Door(Silent, most=3, each=3, makes_room=True), 5) == [False] * 2 + [True] * 3
