"""Who may look at the page: by the address that was asked for, by where the request comes from, and, beyond
this machine, by a token that is handed over once for a cookie."""

import hmac
import secrets
from dataclasses import dataclass, field
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import Final

from alongside.runtime.page_request import Request

TOKEN: Final = "token"
KEPT_S: Final = 7 * 86400
"""A stay lasts for days; a page that is started anew knows none of the cookies of before."""
SAME: Final = ("same-origin", "none")
"""What a browser says of requests that come from the page itself, or from nobody but the user."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the page is served: an address of this machine and a port, 0 for any free one."""

    address: IPv4Address | IPv6Address
    port: int

    @property
    def is_open(self) -> bool:
        """Return whether only this machine can reach it, so that no token is asked for."""
        return self.address.is_loopback

    def shown(self) -> str:
        """Return it as it stands in an address to open: `192.0.2.1:8080`, `[::1]:8080`."""
        return host_of(self.address, self.port)


def host_of(address: IPv4Address | IPv6Address, port: int) -> str:
    """Return address and port as a browser names them."""
    name = f"[{address}]" if isinstance(address, IPv6Address) else str(address)
    return name if port == 80 else f"{name}:{port}"


def plain_address(text: str) -> IPv4Address | IPv6Address:
    """Return the address of a socket's end: without its zone, one of version 4 as such."""
    address = ip_address(text.partition("%")[0])
    mapped = address.ipv4_mapped if isinstance(address, IPv6Address) else None
    return mapped or address


@dataclass(frozen=True, slots=True)
class Door:
    """Compares in constant time. The cookie is another secret than the token: who has read an address over a
    shoulder and who has a cookie are not the same. Neither is shown where a door is."""

    place: Place
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)

    @property
    def cookie_name(self) -> str:
        """Return a name of its own for each port: cookies do not know ports."""
        return f"alongside_look_{self.place.port}"

    @property
    def set_cookie(self) -> str:
        """Return the header that hands the cookie over."""
        return f"{self.cookie_name}={self.cookie}; Path=/; Max-Age={KEPT_S}; HttpOnly; SameSite=Strict"

    def is_asked_for(self, request: Request, at: str) -> bool:
        """Return whether the request names the very address `at` that it came to. A name that was turned
        round to this machine by somebody else is none of ours."""
        address = plain_address(at)
        hosts = {host_of(address, self.place.port)}
        if address.is_loopback:
            hosts.add("localhost" if self.place.port == 80 else f"localhost:{self.place.port}")
        return request.headers.get("host", "").lower() in hosts

    def is_own(self, request: Request, *, page: bool) -> bool:
        """Return whether a request comes from the page itself, or is the `page` being opened: no other page
        may read, frame or draw on this one."""
        headers = request.headers
        if "origin" in headers and headers["origin"].lower() != f"http://{headers.get('host', '').lower()}":
            return False
        opened = page and headers.get("sec-fetch-dest", "document") == "document"
        return opened or headers.get("sec-fetch-site", "none") in SAME

    def has_token(self, request: Request) -> bool:
        """Return whether a request hands the token over."""
        name, _, token = request.query.partition("=")
        return name == TOKEN and _same(token, self.token)

    def lets_in(self, request: Request) -> bool:
        """Return whether a request may look."""
        if self.place.is_open:
            return True
        cookies = (each.strip().partition("=") for each in request.headers.get("cookie", "").split(";"))
        return any(name == self.cookie_name and _same(value, self.cookie) for name, _, value in cookies)


def _same(given: str, right: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "surrogateescape"), right.encode())
