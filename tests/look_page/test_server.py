"""The server on real sockets: what it answers, whom it refuses, and that nobody who is slow holds it up."""

import asyncio
import json
import socket
import tracemalloc
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, replace
from typing import Any, Final

import pytest

from alongside.cycle.guard import Guard
from alongside.cycle.picture import Picture
from alongside.reports.look_page.figures import page_parts
from alongside.reports.look_page.files import page_files
from alongside.runtime import page_server
from alongside.runtime.newest_parts import NewestParts
from alongside.runtime.page_door import Door
from alongside.runtime.page_place import opened, place_of
from alongside.runtime.page_server import OF_ONE_MOST, READERS_MOST, PageServer
from tests.screens.invented import NOW, one_warning

SHOWN: Final = one_warning()


def parts_of(picture: Picture) -> dict[str, str]:
    return page_parts(picture, Guard(strict=True))


@dataclass
class Served:
    """A server within this process, and what it is fed with."""

    door: Door
    newest: NewestParts
    at: float = NOW

    @property
    def port(self) -> int:
        return self.door.place.port

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    def post(self, picture: Picture = SHOWN) -> None:
        """A Picture a second later than the one before."""
        self.at += 1.0
        self.newest.post(replace(picture, time=self.at))

    async def asked(
        self, first: str, *rows: str, host: str | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        """Status, headers and content of the answer to one request."""
        rows = (f"Host: {self.host if host is None else host}", *rows)
        return await self.sent("\r\n".join([first, *rows, "", ""]).encode("latin-1"))

    async def sent(self, head: bytes) -> tuple[int, dict[str, str], bytes]:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        writer.write(head)
        try:
            answer = await asyncio.wait_for(reader.read(), 20.0)
        finally:
            writer.close()
        above, _, content = answer.partition(b"\r\n\r\n")
        line, *fields = above.decode("ascii").split("\r\n")
        headers = dict(field.split(": ", 1) for field in fields)
        return int(line.split()[1]), headers, content

    async def stream(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port, limit=1 << 22)
        writer.write(f"GET /pictures HTTP/1.1\r\nHost: {self.host}\r\n\r\n".encode())
        return reader, writer


async def event(reader: asyncio.StreamReader) -> dict[str, Any]:
    """The next event; comments are passed over."""
    while True:
        block = (await asyncio.wait_for(reader.readuntil(b"\n\n"), 10.0)).decode()
        if not block.startswith(":"):
            assert block.startswith("data: {")
            assert block.count("\n") == 2, "an event is one row"
            found: dict[str, Any] = json.loads(block.removeprefix("data: "))
            return found


async def begun(reader: asyncio.StreamReader) -> bytes:
    return await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), 10.0)


@asynccontextmanager
async def served(where: str = "0") -> AsyncIterator[Served]:
    listening, place = opened(place_of(where))
    newest, door, end = NewestParts(parts_of), Door(place), asyncio.Event()
    running = asyncio.create_task(PageServer(page_files(), newest, door).serve(listening, end))
    await asyncio.sleep(0)
    try:
        yield Served(door, newest)
    finally:
        end.set()
        await asyncio.wait_for(running, 1.0)


async def test_the_page_comes_with_all_that_keeps_it_to_itself() -> None:
    async with served() as page:
        status, headers, content = await page.asked("GET / HTTP/1.1")
        assert status == 200
        assert b"LOOKS ONLY" in content
        policy = {
            each.split()[0]: each.split()[1:] for each in headers["Content-Security-Policy"].split("; ")
        }
        assert policy["default-src"] == policy["frame-ancestors"] == policy["form-action"] == ["'none'"]
        assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == ["'self'"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["Cache-Control"] == "no-store"
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
        head_only = await page.asked("HEAD / HTTP/1.1")
        assert head_only[1] == headers
        assert head_only[2] == b""
        for path, kind in (("/page.css", "text/css"), ("/page.js", "text/javascript")):
            status, headers, content = await page.asked(f"GET {path} HTTP/1.1")
            assert (status, headers["Content-Type"].split(";")[0]) == (200, kind)
            assert headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    ("first", "status"),
    [
        ("GET /nothing HTTP/1.1", 404),
        ("GET /../../etc/passwd HTTP/1.1", 404),
        ("GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1", 404),
        ("GET //page.js HTTP/1.1", 404),
        ("GET /page.py HTTP/1.1", 404),
        ("GET http://evil.example/ HTTP/1.1", 404),
        ("GET /page.js?token=x HTTP/1.1", 404),
        ("GET /?token=x HTTP/1.1", 404),
        ("POST / HTTP/1.1", 405),
        ("PUT /pictures HTTP/1.1", 405),
        ("DELETE / HTTP/1.1", 405),
        ("OPTIONS / HTTP/1.1", 405),
        ("CONNECT evil.example:80 HTTP/1.1", 405),
        ("get / HTTP/1.1", 405),
        ("nonsense", 400),
        ("GET / HTTP/9.9", 400),
    ],
)
async def test_all_else_is_refused(first: str, status: int) -> None:
    async with served() as page:
        assert (await page.asked(first))[0] == status


async def test_names_of_others_and_pages_of_others_are_refused() -> None:
    async with served() as page:
        for host in ("evil.example", f"evil.example:{page.port}", f"127.0.0.1:{page.port + 1}", ""):
            assert (await page.asked("GET / HTTP/1.1", host=host))[0] == 421
        for row in ("Origin: http://evil.example", "Origin: null", "Sec-Fetch-Site: cross-site"):
            status, headers, content = await page.asked("GET /pictures HTTP/1.1", row)
            assert status == 403
            assert "Access-Control-Allow-Origin" not in headers
            assert b"Test" not in content
        assert (await page.asked("HEAD /pictures HTTP/1.1", f"Origin: http://{page.host}"))[0] == 200


async def test_beyond_this_machine_a_token_is_handed_over_once_for_a_cookie() -> None:
    async with served("0.0.0.0:0") as page:
        for path in ("/", "/page.js", "/pictures", "/?token=", f"/?token={'a' * 43}", "/nothing"):
            status, headers, content = await page.asked(f"GET {path} HTTP/1.1")
            assert status == 403
            assert "Set-Cookie" not in headers
            assert page.door.token.encode() not in content
        status, headers, content = await page.asked(f"GET /?token={page.door.token} HTTP/1.1")
        assert (status, headers["Location"]) == (303, "/"), "no token stays in the address"
        assert page.door.token not in str(headers) + content.decode()
        cookie, *flags = headers["Set-Cookie"].split("; ")
        assert {"HttpOnly", "SameSite=Strict"} <= set(flags)
        for path in ("/", "/page.js"):
            status, _, content = await page.asked(f"GET {path} HTTP/1.1", f"Cookie: {cookie}")
            assert status == 200
            assert page.door.token.encode() not in content
            assert page.door.cookie.encode() not in content
        assert (await page.asked("GET / HTTP/1.1", f"Cookie: {cookie}x"))[0] == 403
        assert (await page.asked("GET / HTTP/1.1", f"Cookie: {cookie}", host="evil.example"))[0] == 421


async def test_requests_that_are_too_long_or_break_off_are_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page_server, "HEAD_S", 0.5)
    async with served() as page:
        assert (await page.asked("GET / HTTP/1.1", f"X: {'x' * 20_000}"))[0] == 431
        assert (await page.sent(b"GET / HTTP/1.1\r\nHost: a"))[0] == 408
        reader, writer = await asyncio.open_connection("127.0.0.1", page.port)
        begin = asyncio.get_running_loop().time()
        while not reader.at_eof() and asyncio.get_running_loop().time() - begin < 10.0:
            with suppress(TimeoutError, OSError):
                writer.write(b"X")
                await writer.drain()
                await asyncio.wait_for(reader.read(1000), 0.1)
        assert asyncio.get_running_loop().time() - begin < 5.0, "a byte now and then keeps nothing open"
        writer.close()
        reader, writer = await asyncio.open_connection("127.0.0.1", page.port)
        writer.write(b"GET / HT")
        writer.write_eof()
        assert b" 400 " in await asyncio.wait_for(reader.read(), 5.0)
        writer.close()
        assert (await page.asked("GET / HTTP/1.1"))[0] == 200


async def test_a_reader_gets_all_first_and_then_what_has_changed() -> None:
    async with served() as page:
        page.post()
        reader, writer = await page.stream()
        head = await begun(reader)
        assert b"text/event-stream" in head
        assert b"Content-Security-Policy" in head
        first = await event(reader)
        assert list(first) == ["format", "age_s", "sent_s", "parts"]
        assert first["format"] == 1
        assert first["age_s"] is None, "one instant alone may be of long ago"
        assert set(first["parts"]) == {
            "now",
            "headline",
            "next",
            "water",
            "lines",
            "alerts",
            "plan",
            "gauges",
        }
        page.post()
        second = await event(reader)
        assert second["age_s"] == pytest.approx(0.0, abs=0.5)
        assert "now" in second["parts"]
        assert not {"plan", "lines", "headline", "format"} & set(second["parts"])
        writer.close()
        late, writer = await page.stream()
        await begun(late)
        await asyncio.sleep(0.3)
        whole = await event(late)
        assert set(whole["parts"]) == set(first["parts"]), "one who comes later has all of it"
        writer.close()


async def test_the_age_is_that_of_the_instant_and_not_of_the_picture() -> None:
    async with served() as page:
        page.post()
        await asyncio.sleep(0.1)
        page.post()
        await asyncio.sleep(0.4)
        page.newest.post(replace(SHOWN, time=page.at, unkept=True))  # the same instant, said anew
        reader, writer = await page.stream()
        await begun(reader)
        got = await event(reader)
        assert got["age_s"] >= 0.35
        assert got["parts"]["now"]["kept"] is False
        writer.close()


@pytest.mark.slow
async def test_a_reader_that_takes_nothing_holds_up_nobody_and_keeps_nothing() -> None:
    """It is sent the newest once it takes something again, not all that came between."""
    async with served() as page:
        stalled = socket.socket()
        stalled.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        stalled.setblocking(False)
        await asyncio.get_running_loop().sock_connect(stalled, ("127.0.0.1", page.port))
        stalled.send(f"GET /pictures HTTP/1.1\r\nHost: {page.host}\r\n\r\n".encode())
        reader, writer = await page.stream()
        await begun(reader)
        long = replace(SHOWN, advice=replace(SHOWN.advice, text="x" * 50_000))
        tracemalloc.start()
        try:
            for at in range(300):
                text = f"{at}{'x' * 50_000}"
                page.post(replace(long, advice=replace(long.advice, text=text)))
                assert (await event(reader))["parts"]["headline"]["text"] == text
            grown = tracemalloc.get_traced_memory()[0]
        finally:
            tracemalloc.stop()
        assert grown < 3_000_000, "of 15 MB that were sent"
        writer.close()
        stalled.close()


async def test_a_reader_that_takes_nothing_for_long_is_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page_server, "STALLED_S", 0.5)
    async with served() as page:
        stalled = socket.socket()
        stalled.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        stalled.connect(("127.0.0.1", page.port))
        stalled.send(f"GET /pictures HTTP/1.1\r\nHost: {page.host}\r\n\r\n".encode())
        for at in range(40):
            page.post(replace(SHOWN, advice=replace(SHOWN.advice, text=f"{at}{'x' * 200_000}")))
            await asyncio.sleep(0.05)
        stalled.settimeout(5.0)
        with suppress(ConnectionError):
            while stalled.recv(1 << 16):
                pass  # what was on its way; a wait for more would be a timeout
        stalled.close()


async def test_one_reader_too_many_is_refused_and_let_in_when_another_has_gone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(page_server, "ALIVE_S", 0.1)
    async with served() as page:
        page.post()
        streams = [await page.stream() for _ in range(READERS_MOST)]
        for reader, _ in streams:
            await begun(reader)
        for method in ("GET", "HEAD"):
            status, headers, content = await page.asked(f"{method} /pictures HTTP/1.1")
            assert status == 503
            assert headers["Retry-After"] == "5"
            assert (b"Too many readers" in content) is (method == "GET")
        assert (await page.asked("GET / HTTP/1.1"))[0] == 200
        streams.pop()[1].close()
        await asyncio.sleep(0.5)
        reader, writer = await page.stream()
        assert b" 200 " in await begun(reader)
        for _, each in [*streams, (reader, writer)]:
            each.close()


async def test_connections_that_ask_for_nothing_are_counted_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page_server, "HEAD_S", 1.0)
    async with served() as page:
        idle = [await asyncio.open_connection("127.0.0.1", page.port) for _ in range(OF_ONE_MOST)]
        await asyncio.sleep(0.1)
        assert (await page.asked("GET / HTTP/1.1"))[0] == 503
        await asyncio.sleep(1.2)
        assert (await page.asked("GET / HTTP/1.1"))[0] == 200
        for _, writer in idle:
            writer.close()


async def test_a_second_request_on_a_connection_is_not_read() -> None:
    async with served() as page:
        one = f"GET /page.js HTTP/1.1\r\nHost: {page.host}\r\n"
        both = f"{one}Content-Length: 100\r\n\r\n{one}\r\n".encode()
        assert (await page.sent(both))[2].count(b'"use strict"') == 1
