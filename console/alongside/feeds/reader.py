"""A thread that keeps one port open and hands on every line that comes through it."""

import time
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from threading import Event, Thread
from typing import Final, Generic, TypeVar

from alongside.feeds.lines import LineCutter

Deliver = Callable[[float, str, bytes], None]
"""(UNIX seconds, feed, line as it came without its end); called in the reader's thread."""

FIRST_WAIT_S: Final = 1.0
LONGEST_WAIT_S: Final = 30.0


@dataclass(frozen=True, slots=True)
class PortStatus:
    """`note` says in plain words why a port is not open and when it is tried again."""

    open: bool = False
    note: str = ""


P = TypeVar("P")


class PortClosed(OSError):
    """The other end is gone."""


class PortReader(ABC, Generic[P]):
    """Opens the port, reads it, and after any failure tries again after 1, 2, 4 … 30 s, for ever.

    The thread touches nothing but `deliver` and its own `status`, which is replaced as a whole.
    """

    def __init__(
        self,
        port: P,
        feed: str,
        deliver: Deliver,
        wall: Callable[[], float] = time.time,
        first_wait: float = FIRST_WAIT_S,
    ) -> None:
        self.port = port
        self.feed = feed
        self.status = PortStatus(note="not opened yet")
        self._deliver = deliver
        self._wall = wall
        self._first_wait = first_wait
        self._cutter = LineCutter()
        self._stopping = Event()
        self._thread = Thread(target=self._run, name=f"feed {feed}", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def stop(self, timeout: float = 2.0) -> None:
        """End the thread and close the port; returns when that is done or after `timeout` s."""
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(timeout)

    def _run(self) -> None:
        wait = self._first_wait
        while not self._stopping.is_set():
            heard, problem = self._session()
            if self._stopping.is_set():
                break
            wait = self._first_wait if heard else wait
            self.status = PortStatus(False, f"{problem}, tried again in {wait:.0f} s")
            self._stopping.wait(wait)
            wait = min(2.0 * wait, LONGEST_WAIT_S)
        self.status = PortStatus(False, "stopped")

    def _session(self) -> tuple[bool, str]:
        """From opening to failure: whether anything was heard, and what went wrong in words.

        A driver may raise nearly anything when its device is pulled (pyserial: SerialException, OSError,
        termios.error, TypeError on a closed descriptor). All of it means that the port is lost; it is shown
        in the status, and the next try decides.
        """
        heard = False
        self._cutter.clear()
        try:
            self._open()
            self.status = PortStatus(True)
            while not self._stopping.is_set():
                pieces = self._read()
                if pieces:
                    heard = True
                    self._hand_on(pieces)
        except _DeliveryFailed as failed:
            self.status = PortStatus(False, f"reader stopped by a fault of the program: {failed}")
            raise failed.cause from failed
        except Exception as error:
            return heard, self._in_words(error)
        finally:
            self._close_quietly()
        return heard, ""

    def _hand_on(self, pieces: Iterable[bytes]) -> None:
        now = self._wall()
        for line in pieces:
            try:
                self._deliver(now, self.feed, line)
            except Exception as error:
                raise _DeliveryFailed(error) from error

    def _close_quietly(self) -> None:
        """What a device that is already gone raises on closing tells nothing new."""
        try:
            self._close()
        except Exception as error:
            self.status = PortStatus(False, self._in_words(error))

    def _in_words(self, error: Exception) -> str:
        """What is wrong, for the watch."""
        if isinstance(error, OSError) and error.strerror:
            return f"{self._name()}: {error.strerror.lower()}"
        return f"{self._name()}: {error}"

    @abstractmethod
    def _name(self) -> str:
        """The port as the watch knows it."""

    @abstractmethod
    def _open(self) -> None:
        """Open the port, or raise."""

    @abstractmethod
    def _read(self) -> list[bytes]:
        """Lines that came within half a second; raises when the port is lost."""

    @abstractmethod
    def _close(self) -> None:
        """Close whatever is open."""


class _DeliveryFailed(Exception):
    """The fault lies with who takes the lines, not with the port."""

    def __init__(self, cause: Exception) -> None:
        self.cause = cause
        super().__init__(str(cause))
