"""Sends alerts to the ship's network in a thread of its own; the watch only posts messages, never waits."""

import time
from collections import deque
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final, TypeVar

from alongside.actions import Action
from alongside.alerts.bridge.link import BridgeLink
from alongside.alerts.bridge.sent import SentCount
from alongside.alerts.model import Event, Watchlist
from alongside.cycle.picture import AlertsPort
from alongside.feeds.inbox import FeedLine
from alongside.feeds.lines import LineCutter
from alongside.feeds.port_writer import writer_of
from alongside.feeds.reader import FIRST_WAIT_S, LONGEST_WAIT_S, NOT_OPENED
from alongside.record.faultlog import keep_trace
from alongside.runtime.feed_thread import LONGEST_STOP_S, FeedThread
from alongside.runtime.line_queue import LineQueue
from alongside.runtime.worker import Worker
from alongside.stay.model import Feed, Stay
from alongside.stay.model.alerts_out import SAME_PORT, AlertsOut
from alongside.stay.out_ports import parse_out_port
from alongside.wording.bridge import NAME

T = TypeVar("T")

MOST_WAITING: Final = 1000
"""Messages that wait for the port; of more the oldest are dropped."""
LOOK_S: Final = 0.2
"""How often is looked for commands on the port itself."""
MOST_LINES: Final = 1000
"""Lines of commands that wait for the next cycle."""


@dataclass(frozen=True, slots=True)
class SenderStatus:
    """`opened` counts how often the port was opened, `unsent` messages that were given up; `fault` says why
    it does not work, "" where it does or was not tried yet."""

    open: bool = False
    note: str = NOT_OPENED
    fault: str = ""
    opened: int = 0
    sent: int = 0
    unsent: int = 0


class AlertsSender:
    """Keeps a port open and writes to it what `post` hands in; what comes back on it waits in `inbox` where
    `listens`. A port that fails or takes nothing is closed and tried again after 1, 2, 4 ... 30 s."""

    def __init__(self, port: str, listens: bool) -> None:
        self._writer = writer_of(parse_out_port(port))
        self._listens = listens
        self._waiting: deque[bytes] = deque(maxlen=MOST_WAITING)
        self._dropped = 0
        self._cutter = LineCutter()
        self._is_open = self._ending = False
        self._wait_s = FIRST_WAIT_S
        self._rest_s: float | None = 0.0
        self.inbox = LineQueue(MOST_LINES)
        self._status = SenderStatus()
        self._worker: Worker[None] = Worker("alerts out", self._step, lambda: self._rest_s)

    @property
    def status(self) -> SenderStatus:
        return replace(self._status, unsent=self._status.unsent + self._dropped)

    def start(self) -> None:
        self._worker.start()

    def post(self, messages: list[bytes]) -> None:
        """Hand in messages to be sent. Those that a port does not take are dropped, the oldest first."""
        self._dropped += max(0, len(self._waiting) + len(messages) - MOST_WAITING)
        self._waiting.extend(messages)
        if self._is_open:
            self._worker.wake()

    def stop(self) -> None:
        """End; what waits is sent where the port takes it within two seconds."""
        self._ending = True
        self._worker.wake()
        self._worker.join(LONGEST_STOP_S)
        self._worker.stop(0.0)

    def _step(self) -> None:
        try:
            if not self._is_open and not self._ending:
                self._open()
            if self._is_open:
                self._write_all()
            if self._listens and not self._ending:
                self._listen()
            self._rest_s = LOOK_S if self._listens else None
        except Exception as error:  # a driver may raise nearly anything: the port is lost, and tried again
            fault = self._writer.in_words(error)
            self._close(f"{fault}, tried again in {self._wait_s:.0f} s", fault)
            self._rest_s = self._wait_s
            self._wait_s = min(2.0 * self._wait_s, LONGEST_WAIT_S)
        if self._ending:
            self._close("stopped")
            self._rest_s = 0.0
            self._worker.finish()

    def _open(self) -> None:
        self._writer.open()
        # What waited says how things were; all that stands is said anew.
        status, old = self._status, len(self._waiting)
        self._waiting.clear()
        self._cutter.clear()
        self._is_open = True
        self._status = replace(
            status, open=True, note="", fault="", opened=status.opened + 1, unsent=status.unsent + old
        )

    def _write_all(self) -> None:
        while self._waiting:
            self._writer.write(self._waiting[0])
            self._waiting.popleft()
            self._status = replace(self._status, sent=self._status.sent + 1)
            self._wait_s = FIRST_WAIT_S

    def _listen(self) -> None:
        lines = self._cutter.cut(self._writer.read())
        if lines:
            now = time.time()
            self.inbox.put_newest(FeedLine(now, NAME, line) for line in lines)

    def _close(self, note: str, fault: str = "") -> None:
        self._is_open = False
        self._status = replace(self._status, open=False, note=note, fault=fault)
        with suppress(Exception):  # of a device that is gone already
            self._writer.close()


class AlertsOutDesk:
    """Alerts out and commands in for a watch that is cycled: the conversation, its port, and the port for
    commands where that is another."""

    def __init__(self, settings: AlertsOut, stay: Stay, counts: Iterable[SentCount] = ()) -> None:
        self._link = BridgeLink(settings, stay, counts)
        own = settings.commands == SAME_PORT
        self._sender = AlertsSender(settings.port, listens=own)
        self._commands: FeedThread | None = None
        if settings.commands and not own:
            self._commands = FeedThread(Feed(NAME, settings.commands, ()))
        self._opened = 0
        self._was_open: bool | None = None
        self._failed = False

    @property
    def port(self) -> AlertsPort:
        """Return how the port is; one for commands that is shut is said as well."""
        status, note = self._sender.status, self._sender.status.note
        if self._commands is not None and self._commands.status.is_shut:
            note = ", ".join(filter(None, (note, f"commands: {self._commands.status.note}")))
        return AlertsPort(status.open, note, status.sent, status.unsent)

    @property
    def fault(self) -> str:
        """Return why alerts do not go to the bridge, or its commands do not come in; "" where all works."""
        fault = self._sender.status.fault
        commands = self._commands is not None and self._commands.status.is_shut
        return fault or ("the port for commands is not open" if commands else "")

    @property
    def counts(self) -> tuple[SentCount, ...]:
        return self._link.counts

    def start(self) -> None:
        self._sender.start()
        if self._commands is not None:
            self._commands.start()

    def stop(self) -> None:
        if self._commands is not None:
            self._commands.stop()
        self._sender.stop()

    def hear(self, watch: Watchlist, now: float) -> tuple[list[Action], list[Event]]:
        """Return what the bridge asks the watch to do, and notes: of what was refused, of a port that
        fails."""
        inbox = self._sender.inbox if self._commands is None else self._commands.inbox
        lines = [line.line for line in inbox.take()]
        nothing: tuple[list[Action], list[Event]] = [], []
        actions, notes = self._guarded(lambda: self._link.hear(lines, watch, now), nothing)
        return actions, [*notes, *self._port_news(now)]

    def say(self, watch: Watchlist, now: float) -> None:
        """Hand the messages that are due to the sender."""
        opened = self._sender.status.opened
        anew, self._opened = opened != self._opened, opened
        self._sender.post(self._guarded(lambda: self._link.say(watch, now, anew), []))

    def _guarded(self, act: Callable[[], T], otherwise: T) -> T:
        """Return what `act` gives: what fails here must not cost the watch its cycle. Its trace is kept
        once."""
        try:
            return act()
        except Exception:
            if not self._failed:
                keep_trace()
            self._failed = True
            return otherwise

    def _port_news(self, now: float) -> list[Event]:
        status = self._sender.status
        if status.note == NOT_OPENED or status.open == self._was_open:
            return []
        first, self._was_open = self._was_open is None, status.open
        if status.open:
            return [] if first else [Event(now, "note", text=f"{NAME}: port is open again")]
        return [Event(now, "note", text=f"{NAME}: {status.note}")]
