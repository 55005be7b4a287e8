"""Opens the place where the look-only page is served."""

import errno
import socket
from contextlib import suppress
from dataclasses import replace
from ipaddress import IPv6Address, ip_address
from typing import Final

from alongside.errors import WrongInput
from alongside.runtime.page_door import Place
from alongside.runtime.page_server import SEND_BUFFER

HERE: Final = "127.0.0.1"
GONE_MS: Final = 15_000
"""A reader whose system answers nothing for so long has gone."""
WHY: Final = {
    errno.EADDRINUSE: "is in use by another program, expected a free port",
    errno.EADDRNOTAVAIL: "is no address of this machine, expected one of its own",
    errno.EACCES: "may not be opened by this user, expected a port from 1024 on",
}
ELSEWHERE: Final = {4: "192.0.2.1", 6: "2001:db8::1"}
"""Addresses for documentation, RFC 5737 and 3849: asking the way there sends nothing."""


def place_of(text: str) -> Place:
    """Return the place that `[ADDRESS:]PORT` says; this machine alone where it says no address. Raise
    WrongInput."""
    host, _, port = text.rpartition(":")
    name = host.removeprefix("[").removesuffix("]") or HERE
    try:
        address = ip_address(HERE if name == "localhost" else name)
        if isinstance(address, IPv6Address) and not host.startswith("["):
            raise ValueError
        if not (port.isascii() and port.isdigit() and int(port) <= 65535):
            raise ValueError
    except ValueError:
        expected = "expected PORT or ADDRESS:PORT, such as 8080, 192.168.1.20:8080 or [::1]:8080"
        raise WrongInput(f"--web: {text!r} is no place to serve a page, {expected}") from None
    return Place(address, int(port))


def opened(place: Place) -> tuple[socket.socket, Place]:
    """Return a socket that listens, and the place with the port that it got. Raise WrongInput with the reason
    where it cannot."""
    family = socket.AF_INET6 if place.address.version == 6 else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)
        if hasattr(socket, "TCP_USER_TIMEOUT"):
            listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, GONE_MS)
        listening.bind((str(place.address), place.port))
        listening.listen()
    except OSError as error:
        listening.close()
        why = WHY.get(error.errno or 0, f"cannot be opened: {error.strerror}")
        raise WrongInput(f"--web: {place.shown()} {why}") from error
    return listening, replace(place, port=listening.getsockname()[1])


def reached_at(place: Place) -> Place:
    """Return the place as others reach it: for all addresses of this machine, the one it speaks from."""
    if not place.address.is_unspecified:
        return place
    family = socket.AF_INET6 if place.address.version == 6 else socket.AF_INET
    with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as asking:
        asking.connect((ELSEWHERE[place.address.version], 9))
        return replace(place, address=ip_address(asking.getsockname()[0]))
    return replace(place, address=ip_address(HERE if family is socket.AF_INET else "::1"))
