"""What counts as a request, and whom the door lets in."""

from ipaddress import ip_address

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from alongside.errors import WrongInput
from alongside.runtime.page_door import Door, Place, plain_address
from alongside.runtime.page_place import opened, place_of, reached_at
from alongside.runtime.page_request import NoRequest, Request, request_of

HERE = Place(ip_address("127.0.0.1"), 8080)
NETWORK = Place(ip_address("192.0.2.7"), 8080)


def ask(path: str = "/", query: str = "", **headers: str) -> Request:
    return Request("GET", path, query, {name.replace("_", "-"): text for name, text in headers.items()})


def test_a_request_is_read() -> None:
    head = b"GET /pictures?a=b HTTP/1.1\r\nHost: h:1\r\nCookie: a=1\r\ncookie: b=2\r\nX-Y:  z \r\n\r\n"
    assert request_of(head) == Request(
        "GET", "/pictures", "a=b", {"host": "h:1", "cookie": "a=1; b=2", "x-y": "z"}
    )


@pytest.mark.parametrize(
    "head",
    [
        b"",
        b"GET /\r\n\r\n",
        b"GET / HTTP/2\r\n\r\n",
        b"GET  / HTTP/1.1\r\n\r\n",
        b"GET /a b HTTP/1.1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
        b"GET / HTTP/1.1\r\nOrigin: a\r\nORIGIN: b\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost : a\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\n folded\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\x00\r\n\r\n",
        b"GET / HTTP/1.1\nHost: a\n\r\n\r\n",
        b"GET / HTTP/1.1\r\n" + b"".join(b"X%d: y\r\n" % at for at in range(65)) + b"\r\n",
    ],
)
def test_what_is_no_request_is_refused(head: bytes) -> None:
    with pytest.raises(NoRequest):
        request_of(head)


@given(st.binary(max_size=200))
@example(b"GET / HTTP/1.1\r\nHost: \xff\r\n\r\n")
def test_nothing_but_a_refusal_comes_of_any_bytes(head: bytes) -> None:
    try:
        request = request_of(head)
    except NoRequest:
        return
    door = Door(NETWORK)
    assert not door.lets_in(request)
    assert not door.has_token(request)
    assert not door.is_asked_for(request, "192.0.2.7") or request.headers["host"] == "192.0.2.7:8080"


@pytest.mark.parametrize(
    ("host", "right"),
    [
        ("127.0.0.1:8080", True),
        ("localhost:8080", True),
        ("LOCALHOST:8080", True),
        ("127.0.0.1", False),
        ("127.0.0.1:8081", False),
        ("localhost.example:8080", False),
        ("evil.example:8080", False),
        ("192.0.2.7:8080", False),
        ("", False),
    ],
)
def test_only_the_address_that_was_reached_may_be_named(host: str, right: bool) -> None:
    """A name of somebody else that leads to this machine (DNS rebinding) is none."""
    assert Door(HERE).is_asked_for(ask(host=host), "127.0.0.1") is right
    assert not Door(HERE).is_asked_for(ask(), "127.0.0.1")


def test_on_the_network_localhost_is_no_name_but_on_this_machine() -> None:
    everywhere = Door(Place(ip_address("0.0.0.0"), 8080))
    assert everywhere.is_asked_for(ask(host="192.0.2.7:8080"), "192.0.2.7")
    assert everywhere.is_asked_for(ask(host="192.0.2.7:8080"), "::ffff:192.0.2.7")
    assert not everywhere.is_asked_for(ask(host="localhost:8080"), "192.0.2.7")
    six = Door(Place(ip_address("::1"), 8080))
    assert six.is_asked_for(ask(host="[::1]:8080"), "::1")
    assert str(plain_address("fe80::1%eth0")) == "fe80::1"


@pytest.mark.parametrize(
    ("path", "headers", "own"),
    [
        ("/pictures", {"origin": "http://127.0.0.1:8080"}, True),
        ("/pictures", {"origin": "http://evil.example"}, False),
        ("/pictures", {"origin": "https://127.0.0.1:8080"}, False),
        ("/pictures", {"origin": "null"}, False),
        ("/pictures", {"sec-fetch-site": "same-origin"}, True),
        ("/pictures", {"sec-fetch-site": "cross-site", "sec-fetch-dest": "image"}, False),
        ("/pictures", {"sec-fetch-site": "same-site", "sec-fetch-dest": "empty"}, False),
        ("/page.js", {"sec-fetch-site": "cross-site", "sec-fetch-dest": "script"}, False),
        ("/", {"sec-fetch-site": "cross-site", "sec-fetch-dest": "document"}, True),
        ("/", {"sec-fetch-site": "cross-site", "sec-fetch-dest": "iframe"}, False),
        ("/", {"sec-fetch-site": "cross-site", "sec-fetch-dest": "script"}, False),
        ("/", {}, True),
    ],
)
def test_no_other_page_may_read_this_one(path: str, headers: dict[str, str], own: bool) -> None:
    request = Request("GET", path, "", {"host": "127.0.0.1:8080", **headers})
    assert Door(HERE).is_own(request, page=path == "/") is own


def test_beyond_this_machine_only_the_cookie_lets_in() -> None:
    door, other = Door(NETWORK), Door(NETWORK)
    name, right = door.cookie_name, f"{door.cookie_name}={door.cookie}"
    assert not door.lets_in(ask())
    assert door.lets_in(ask(cookie=right))
    assert door.lets_in(ask(cookie=f"a=b; {right}; c"))
    for wrong in (
        f"{name}={door.token}",
        f"{name}=",
        f"{name}={door.cookie}x",
        f"{name}={other.cookie}",
        "é",
    ):
        assert not door.lets_in(ask(cookie=wrong))
    assert door.has_token(ask(query=f"token={door.token}"))
    for wrong in (
        "token=",
        "token",
        f"token={door.cookie}",
        f"other={door.token}",
        f"token={door.token}&a=b",
    ):
        assert not door.has_token(ask(query=wrong))
    assert Door(HERE).lets_in(ask())


def test_secrets_are_long_their_own_and_not_shown() -> None:
    door = Door(NETWORK)
    assert min(len(door.token), len(door.cookie)) >= 43, "256 bits"
    assert len({door.token, door.cookie, Door(NETWORK).token}) == 3
    assert door.token not in repr(door)
    assert door.cookie not in repr(door)
    flags = {part.strip() for part in door.set_cookie.split(";")[1:]}
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= flags


@pytest.mark.parametrize(
    ("text", "address", "port"),
    [
        ("8080", "127.0.0.1", 8080),
        (":8080", "127.0.0.1", 8080),
        ("localhost:80", "127.0.0.1", 80),
        ("192.0.2.7:8080", "192.0.2.7", 8080),
        ("0.0.0.0:0", "0.0.0.0", 0),
        ("[::1]:8080", "::1", 8080),
    ],
)
def test_a_place_is_read(text: str, address: str, port: int) -> None:
    assert place_of(text) == Place(ip_address(address), port)


@pytest.mark.parametrize(
    "text",
    ["", "web", "80 80", "-1", "65536", "ship:8080", "::1:8080", "1.2.3:80", "٣:8080", "8080:", "127.0.0.1"],
)
def test_what_is_no_place_is_refused_with_what_is_expected(text: str) -> None:
    with pytest.raises(WrongInput, match="expected PORT or ADDRESS:PORT"):
        place_of(text)


def test_a_port_that_is_taken_is_said() -> None:
    listening, place = opened(place_of("0"))
    with listening:
        assert place.port > 0
        with pytest.raises(WrongInput, match=rf"127\.0\.0\.1:{place.port} is in use by another program"):
            opened(place)
    with pytest.raises(WrongInput, match=r"192\.0\.2\.7:8080 is no address of this machine"):
        opened(NETWORK)


def test_all_addresses_are_shown_as_one_that_can_be_opened() -> None:
    shown = reached_at(place_of("0.0.0.0:8080"))
    assert not shown.address.is_unspecified
    assert reached_at(NETWORK) is NETWORK
