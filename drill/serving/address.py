"""Where a server listens, and which Host headers are its own. Light: nothing of a server is loaded for it.

A page elsewhere may give its own name our number (DNS rebinding): its Host is then a name that is not ours. A page
elsewhere may open a socket to us, or send us a form: its Origin is then not our address.
"""

from __future__ import annotations

import argparse
import fcntl
import ipaddress
import socket as sockets
import struct
import sys
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

HTTP_PORT = 80
LARGEST_PORT = 65_535

_ASKS_ADDRESS = 0xC0206921 if sys.platform == "darwin" else 0x8915
"""SIOCGIFADDR; the name of an interface goes in, its address comes out."""

_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


@dataclass(frozen=True, slots=True)
class Address:
    """Where the server listens: names and numbers that a Host header may have, and the port."""

    names: frozenset[str]
    port: int
    any_number: bool = False    # listening everywhere: any numeric address is one of ours, for rebinding needs a name

    def is_ours(self, host: str) -> bool:
        """Return whether a Host header is one of ours."""
        try:
            parts = urlsplit(f"//{host}")
            name, port = parts.hostname, parts.port
        except ValueError:
            return False
        if name is None or parts.netloc != host or "@" in host or (port or HTTP_PORT) != self.port:
            return False
        return name in self.names or (self.any_number and is_number(name))


def is_number(host: str) -> bool:
    """Return whether `host` is an IP address and no name."""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def is_loopback(host: str) -> bool:
    """Return whether only this machine reaches `host`."""
    return host.lower() == "localhost" or (is_number(host) and ipaddress.ip_address(host).is_loopback)


def is_everywhere(host: str) -> bool:
    """Return whether listening on `host` means on every address of this machine."""
    return is_number(host) and ipaddress.ip_address(host).is_unspecified


def address_of(host: str, port: int, bound: frozenset[str], machine: str) -> Address:
    """Return the address of a server that was told to listen on `host` and then `bound` these numbers.

    `machine` is this machine's own name, by which the network may know it.
    """
    names = {host.lower()} | bound
    if is_everywhere(host):
        names |= {machine.lower(), f"{machine.lower()}.local"}
    if is_everywhere(host) or is_loopback(host):
        names |= _LOOPBACK_NAMES
    return Address(frozenset(names), port, is_everywhere(host))


def bound_address(host: str, listening: list[tuple[str, int]]) -> Address:
    """Return the address of a server told to listen on `host` whose sockets have these numbers and ports."""
    return address_of(host, listening[0][1], frozenset(number for number, _ in listening), sockets.gethostname())


def bracketed(host: str) -> str:
    """Return `host` as it stands in an address of a page."""
    return f"[{host}]" if ":" in host else host


def network_number() -> str:
    """Return the address by which the network most likely sees this machine; its name where that cannot be told."""
    return next(iter(network_numbers()), sockets.gethostname())


def network_numbers() -> list[str]:
    """Return the addresses by which networks see this machine, the one towards other networks first.

    A club's access point may have no way onward: then it is told by the interfaces alone.
    """
    found = [_towards_others(), *(_of_interface(name) for _, name in sockets.if_nameindex())]
    return [each for each in dict.fromkeys(found) if each and not is_loopback(each)]


def _towards_others() -> str:
    """Return our address on the way to other networks; "" if there is no way. Nothing is sent, it is only looked up."""
    with sockets.socket(sockets.AF_INET, sockets.SOCK_DGRAM) as looking:
        try:
            looking.connect(("192.0.2.1", 9))    # an address kept for examples
            return str(looking.getsockname()[0])
        except OSError:
            return ""


def _of_interface(name: str) -> str:
    """Return the IPv4 address of a network interface; "" if it has none, or the system does not tell."""
    with sockets.socket(sockets.AF_INET, sockets.SOCK_DGRAM) as asking:
        try:
            told = fcntl.ioctl(asking, _ASKS_ADDRESS, struct.pack("256s", name.encode()[:15]))
        except OSError:
            return ""
    return sockets.inet_ntoa(told[20:24])


def host_argument(text: str) -> str:
    """Return an address given on the command line. Raises argparse's own error."""
    if not text or text != text.strip():
        raise argparse.ArgumentTypeError("an address is wanted, or the name of this machine")
    return text


def number_argument(least: int, most: int) -> Callable[[str], int]:
    """Return what reads a whole number between `least` and `most` given on the command line."""
    def number(text: str) -> int:
        if text.isascii() and text.isdigit() and len(text) < 9 and least <= int(text) <= most:
            return int(text)
        raise argparse.ArgumentTypeError(f"a whole number from {least} to {most} is wanted")

    return number
