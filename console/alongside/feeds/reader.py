"""A port that is kept open, read line by line, and opened again after every failure."""

import time
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import Final, Generic, TypeVar

from alongside.feeds.inbox import FeedLine, Inbox
from alongside.feeds.lines import LineCutter
from alongside.stay.ports import LINE

FIRST_WAIT_S: Final = 1.0
LONGEST_WAIT_S: Final = 30.0
NOT_OPENED: Final = "not opened yet"
"""Note of a port in its first moment."""
READ_S: Final = 0.5
"""How long to wait for what comes next, where nothing comes."""
PAUSE_S: Final = 0.1
"""The same where a pause ends a line: more than adapters keep bytes back, less than gauges rest."""
ROOM_S: Final = 0.2
"""How long to wait for room before looking whether to stop."""


@dataclass(frozen=True, slots=True)
class PortStatus:
    """`note` says in plain words why a port is not open and when it is tried again."""

    open: bool = False
    note: str = ""
    dropped: int = 0
    """Lines that came too fast and were neither used nor recorded."""
    dropping: bool = False
    """Some were within the last minute."""
    others: int = 0
    """Datagrams, or calls, of senders that are not listened to; datagrams that bear no sentences."""

    ended: bool = False
    """Nothing comes any more: what was read has an end, and it was reached."""

    @property
    def is_shut(self) -> bool:
        """Whether opening it was tried, and failed, or it failed since."""
        return not self.open and self.note not in ("", NOT_OPENED)


P = TypeVar("P")


class PortClosed(OSError):
    """The other end is gone, or silent."""


class PortEnded(PortClosed):
    """All there was has been read; what was opened is not to be opened again."""


class PortReader(ABC, Generic[P]):
    """Opens a port, reads it, and after any failure is to be tried again after 1, 2, 4 … 30 s, for ever.

    Whoever calls `session` again and again keeps the port read: that thread touches nothing but the inbox,
    `rest_s` and `status`, which is replaced as a whole. A port that `waits` is not read while the inbox is
    full; any other loses its oldest lines. One on which nothing comes for `silence_s` is opened anew.
    """

    waits: bool = True

    def __init__(
        self,
        port: P,
        feed: str,
        inbox: Inbox,
        wall: Callable[[], float] = time.time,
        first_wait: float = FIRST_WAIT_S,
        silence_s: float = inf,
    ) -> None:
        self.port = port
        self.feed = feed
        self.status = PortStatus(note=NOT_OPENED)
        self.rest_s = first_wait
        """Seconds to wait before the next session."""
        self.others = 0
        """Datagrams, or calls, of senders that are not listened to."""
        self._next_wait = self._first_wait = first_wait
        self._inbox = inbox
        self._wall = wall
        self._silence_s = silence_s
        self._cutter = LineCutter(end=getattr(port, "end", LINE))
        self._lost = 0

    @property
    def bytes_heard(self) -> int:
        """Return how many bytes came, in lines or not."""
        return self._cutter.bytes

    @property
    def rest(self) -> bytes:
        """Return what has come of a line that has not ended."""
        return self._cutter.rest

    @property
    def _wait_s(self) -> float:
        return PAUSE_S if self._cutter.by_pause else READ_S

    def session(self, stopping: Callable[[], bool]) -> None:
        """Open the port and put its lines into the inbox until it fails or `stopping` says so; `status` then
        says what is wrong and `rest_s` when to try again."""
        heard, problem, ended = self._heard_until_lost(stopping)
        if ended:
            self.rest_s = LONGEST_WAIT_S
            self.status = PortStatus(False, problem, ended=True)
            return
        if stopping():
            self.status = PortStatus(False, "stopped")
            return
        # A port that spoke gets a quick second try, however long it was gone before.
        self.rest_s = self._first_wait if heard else self._next_wait
        self._next_wait = min(2.0 * self.rest_s, LONGEST_WAIT_S)
        self.status = PortStatus(False, f"{problem}, tried again in {self.rest_s:.0f} s")

    def _heard_until_lost(self, stopping: Callable[[], bool]) -> tuple[bool, str, bool]:
        """Return whether anything was heard, what went wrong in words, and whether it was the end.

        A driver may raise nearly anything when its device is pulled (pyserial: SerialException, OSError,
        termios.error, TypeError on a closed descriptor). All of it means that the port is lost; it is shown
        in the status, and the next try decides.
        """
        heard = False
        if self.status.ended:
            return False, self.status.note, True
        self._cutter.clear()
        try:
            self._open()
            self.status = PortStatus(True)
            newest = time.monotonic()
            while not stopping():
                if self.waits and not self._inbox.has_room(ROOM_S):
                    newest = time.monotonic()
                    continue
                sender, lines = self._read()
                if lines:
                    heard, newest = True, time.monotonic()
                    self._hand_on(sender, lines)
                elif time.monotonic() - newest > self._silence_s:
                    raise PortClosed(f"open, but silent for {self._silence_s:.0f} s")
        except Exception as error:
            return heard, self._in_words(error), isinstance(error, PortEnded)
        finally:
            self._close_quietly()
        return heard, "", False

    def _hand_on(self, sender: str, lines: list[bytes]) -> None:
        now = self._wall()
        came = [FeedLine(now, self.feed, line, sender) for line in lines]
        if self.waits:
            self._inbox.put(came)
        else:
            lost, self._lost = self._lost, 0
            self._inbox.put_newest(came, lost)

    def _close_quietly(self) -> None:
        """Close; what a device that is already gone raises on closing is only noted in `status`."""
        try:
            self._close()
        except Exception as error:
            self.status = PortStatus(False, self._in_words(error))

    def _in_words(self, error: Exception) -> str:
        """Return what is wrong, in words for the watch."""
        if isinstance(error, OSError) and error.strerror:
            return f"{self._name()}: {error.strerror.lower()}"
        return f"{self._name()}: {error}"

    @abstractmethod
    def _name(self) -> str:
        """Return the port as the watch knows it."""

    @abstractmethod
    def _open(self) -> None:
        """Open the port, or raise."""

    @abstractmethod
    def _read(self) -> tuple[str, list[bytes]]:
        """Return lines that came within half a second, and who sent them; raise when the port is lost."""

    @abstractmethod
    def _close(self) -> None:
        """Close whatever is open."""
