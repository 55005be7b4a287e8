"""Serves the look-only page over HTTP: files, and Pictures as server-sent events. It only reads: there is no
way from here to a deed.

One thread and one loop for all readers. Each has one event on its way at a time, and newer ones
replace each other until it has come.
"""

import asyncio
import socket
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from alongside.record.faultlog import keep_trace
from alongside.runtime.newest_parts import NewestParts
from alongside.runtime.page_door import Door
from alongside.runtime.page_request import NoRequest, Request, request_of
from alongside.wording.look_page import GO_ON, NOT_LET_IN, NOT_LET_IN_WHY, REFUSED

STREAM: Final = "/pictures"
RETRY: Final = ("Retry-After", "5")
READERS_MOST: Final = 12
CONNECTIONS_MOST: Final = 48
OF_ONE_MOST: Final = 24
"""Connections of one address: no single device keeps all others out."""
HEAD_MOST: Final = 8192
HEAD_S: Final = 5.0
"""Bytes and seconds that a request may take, whatever its pace."""
REFUSED_S: Final = 0.5
"""The same where there are too many already."""
STALLED_S: Final = 10.0
"""A reader that takes nothing for so long is let go; its page connects again."""
ALIVE_S: Final = 2.0
"""So often something is sent, so that one who has gone is noticed."""
SEND_BUFFER: Final = 32_768
"""Bytes on their way in the system: what waits there is old when it comes."""
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
SAFE: Final = (
    ("Content-Security-Policy", POLICY),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cache-Control", "no-store"),
    ("Connection", "close"),
)
REASONS: Final = {
    200: "OK",
    303: "See Other",
    400: "Bad Request",
    403: "Forbidden",
    404: "Not Found",
    405: "Method Not Allowed",
    408: "Request Timeout",
    421: "Misdirected Request",
    431: "Request Header Fields Too Large",
    503: "Service Unavailable",
}
NO_COOKIE: Final = (
    "<!DOCTYPE html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'>"
    f"<title>{NOT_LET_IN}</title><h1>{NOT_LET_IN}</h1><p>{NOT_LET_IN_WHY}</p><p><a href='/'>{GO_ON}</a></p>"
).encode()
"""The link is for browsers that do not send a new cookie along when the address was opened from elsewhere."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Status, further headers and content of an answer."""

    status: int
    content: bytes = b""
    kind: str = "text/plain; charset=utf-8"
    headers: tuple[tuple[str, str], ...] = ()

    def head(self, *, whole: bool = True) -> bytes:
        """Return the head; `whole` where the length of the content is known."""
        size = (("Content-Length", str(len(self.content))),) if whole else ()
        rows = (("Content-Type", self.kind), *size, *self.headers, *SAFE)
        first = f"HTTP/1.1 {self.status} {REASONS[self.status]}"
        return "\r\n".join([first, *(f"{name}: {value}" for name, value in rows), "", ""]).encode("ascii")


def refusal(status: int, *headers: tuple[str, str]) -> Answer:
    """Return an answer that says why there is nothing."""
    return Answer(status, f"{REFUSED[status]}\n".encode(), headers=headers)


class PageServer:
    """Answers on connections of one door, until it is closed."""

    def __init__(self, files: Mapping[str, tuple[str, bytes]], newest: NewestParts, door: Door) -> None:
        self._files, self._newest, self._door = files, newest, door
        self._readers = 0
        self._at_work: dict[asyncio.Task[None], str] = {}
        """Who is being answered, by address."""

    async def serve(self, listening: socket.socket, end: asyncio.Event) -> None:
        """Serve until `end` is set, then let all readers go at once."""
        server = await asyncio.start_server(self._connected, sock=listening, limit=HEAD_MOST)
        try:
            await end.wait()
        finally:
            server.close()
            for task in tuple(self._at_work):
                task.cancel()
            await asyncio.gather(*self._at_work, return_exceptions=True)

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None, "started by the server"
        self._at_work[task] = str(writer.get_extra_info("peername")[0])
        try:
            with suppress(OSError, TimeoutError, asyncio.CancelledError):
                await self._answer(reader, writer)
        except Exception:  # guards the other readers: a fault of ours with one of them is kept, and it goes
            keep_trace()
        finally:
            del self._at_work[task]
            if writer.transport.get_write_buffer_size():
                writer.transport.abort()
            else:
                writer.close()

    async def _answer(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        writer.transport.set_write_buffer_limits(high=0)
        head_only = False
        if self._is_crowded():
            # Who closes on what was not read takes the answer away again.
            with suppress(TimeoutError, asyncio.IncompleteReadError, asyncio.LimitOverrunError):
                await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), REFUSED_S)
            answer: Answer | None = refusal(503, RETRY)
        else:
            answer, request = await self._asked(reader, str(writer.get_extra_info("sockname")[0]))
            head_only = request is not None and request.method == "HEAD"
        if answer is None:
            await self._stream(reader, writer)
            return
        writer.write(answer.head() + (b"" if head_only else answer.content))
        await asyncio.wait_for(writer.drain(), STALLED_S)

    def _is_crowded(self) -> bool:
        task = asyncio.current_task()
        of_one = sum(each == self._at_work.get(task) for each in self._at_work.values()) if task else 0
        return len(self._at_work) > CONNECTIONS_MOST or of_one > OF_ONE_MOST

    async def _asked(self, reader: asyncio.StreamReader, at: str) -> tuple[Answer | None, Request | None]:
        """Return what to answer, None for the stream, and what was asked for."""
        try:
            head = await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), HEAD_S)
            request = request_of(head)
        except asyncio.LimitOverrunError:
            return refusal(431), None
        except (NoRequest, asyncio.IncompleteReadError):
            return refusal(400), None
        except TimeoutError:
            return refusal(408), None
        return self._answer_to(request, at), request

    def _answer_to(self, request: Request, at: str) -> Answer | None:
        door = self._door
        if not door.is_asked_for(request, at):
            return refusal(421)
        if request.method not in ("GET", "HEAD"):
            return refusal(405, ("Allow", "GET, HEAD"))
        if not door.is_own(request, page=request.path == "/"):
            return refusal(403)
        if request.path == "/" and request.query and door.has_token(request):
            cookie = () if door.place.is_open else (("Set-Cookie", door.set_cookie),)
            return Answer(303, headers=(("Location", "/"), *cookie))
        if not door.lets_in(request):
            return Answer(403, NO_COOKIE, "text/html; charset=utf-8")
        if request.path == STREAM and not request.query:
            return self._stream_answer(request)
        if request.path not in self._files or request.query:
            return refusal(404)
        kind, content = self._files[request.path]
        return Answer(200, content, kind)

    def _stream_answer(self, request: Request) -> Answer | None:
        if self._readers >= READERS_MOST:
            return refusal(503, RETRY)
        return Answer(200, kind="text/event-stream") if request.method == "HEAD" else None

    async def _stream(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Send each newest Picture until the reader goes or takes nothing more."""
        self._readers += 1
        had: dict[str, str] = {}
        count = 0
        try:
            writer.write(Answer(200, kind="text/event-stream").head(whole=False))
            while not reader.at_eof():
                if self._newest.count > count:
                    count = self._newest.count
                    writer.write(self._newest.event(had))
                else:
                    writer.write(b":\n\n")
                await asyncio.wait_for(writer.drain(), STALLED_S)
                with suppress(TimeoutError):
                    await asyncio.wait_for(self._newest.after(count), ALIVE_S)
        finally:
            self._readers -= 1
