"""Plays lines onto a port at their pace, in a thread of its own, so that an interrupt never cuts one."""

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain
from math import nan
from typing import Final

from alongside.feeds.flaws import Flawed
from alongside.feeds.port_writer import PortWriter, TcpListener
from alongside.feeds.sentence import split_tags, tag_block
from alongside.runtime.worker import Worker

TimedLine = tuple[float, bytes]
"""UNIX seconds of the log, and the line as it stands there, without its end."""
TOGETHER_S: Final = 0.02
"""Lines that are due within this time go out at once."""
MOST_TOGETHER: Final = 64
LOOK_S: Final = 0.1
LATE_S: Final = 2.0
"""Lines later than this are worth a word."""
END_S: Final = 2.0


@dataclass(frozen=True, slots=True)
class Emitted:
    """What went out so far: lines, log time of the first and the last, and by how much the port was behind at
    most, s."""

    lines: int = 0
    first: float = nan
    last: float = nan
    behind_s: float = 0.0
    made_late_s: float = 0.0
    """How long it was waited in all for lines that were due."""
    done: bool = False
    fault: str = ""
    waits: bool = False
    """Nobody has connected yet."""


class Emitter:
    """Plays `lines` onto a port at `speed` times real time. `times`: without "" the TAG blocks of the log
    stay away; "log" leaves them as they are; "now" gives each the time at which it goes out."""

    def __init__(
        self, lines: Iterator[TimedLine], writer: PortWriter, speed: float = 1.0, times: str = ""
    ) -> None:
        self.state = Emitted()
        self._lines, self._writer = lines, writer
        self._speed, self._times = speed, times
        self._worker: Worker[None] = Worker("emit", self._play, lambda: 0.0)

    def start(self) -> None:
        """Open the port, or raise; then begin."""
        self._writer.open()
        self._worker.start()

    def wait(self, seconds: float) -> bool:
        """Wait so long for the end; return whether all is out."""
        self._worker.join(seconds)
        return self.state.done

    def stop(self) -> None:
        """End after the line at work, where the port takes it within two seconds."""
        self._worker.stop(END_S)

    def _play(self) -> None:
        try:
            self._welcome()
            self._send_all()
            if not self._worker.stopping():
                self._writer.flush()
        except Exception as error:  # a driver may raise nearly anything; a log may break off
            self.state = replace(self.state, fault=self._writer.in_words(error))
        finally:
            self._writer.close()
            self.state = replace(self.state, done=True)
            self._worker.finish()

    def _welcome(self) -> None:
        """Wait until somebody has connected, where the port waits for others."""
        if not isinstance(self._writer, TcpListener):
            return
        self.state = replace(self.state, waits=True)
        while not self._writer.clients and not self._worker.stopping():
            time.sleep(LOOK_S)
        self.state = replace(self.state, waits=False)

    def _send_all(self) -> None:
        first = next(self._lines, None)
        if first is None or self._worker.stopping():
            return
        begun, wall = time.monotonic(), time.time()
        self.state = replace(self.state, first=first[0])
        waiting: list[TimedLine] = []
        asked = begun
        for line in chain([first], self._lines):
            if self._worker.stopping():
                return
            due = begun + (line[0] - first[0]) / self._speed
            waited = min(time.monotonic() - asked, time.monotonic() - due)
            if waiting and (due > time.monotonic() + TOGETHER_S or len(waiting) >= MOST_TOGETHER):
                self._send(waiting, wall + (waiting[-1][0] - first[0]) / self._speed)
                waiting = []
            if not self._sleep_until(due):
                return
            waiting.append(line)
            self._note_late(time.monotonic() - due, max(waited, 0.0))
            asked = time.monotonic()
        if waiting:
            self._send(waiting, wall + (waiting[-1][0] - first[0]) / self._speed)

    def _note_late(self, behind_s: float, waited_s: float) -> None:
        """Keep by how much a line is behind, and how long it was waited for when it was due."""
        state = self.state
        if behind_s > state.behind_s or waited_s > 0.0:
            made_late = state.made_late_s + waited_s
            self.state = replace(state, behind_s=max(state.behind_s, behind_s), made_late_s=made_late)

    def _sleep_until(self, due: float) -> bool:
        """Return True once a line is due; False where it is to stop."""
        while (rest := due - time.monotonic()) > 0.0:
            if self._worker.stopping():
                return False
            time.sleep(min(rest, LOOK_S))
        return True

    def _send(self, lines: list[TimedLine], now: float) -> None:
        texts = [written(line, self._times, now) + b"\r\n" for _, line in lines]
        for data in texts if self._writer.in_datagrams else (b"".join(texts),):
            self._writer.write(data)
        self.state = replace(self.state, lines=self.state.lines + len(lines), last=lines[-1][0])


def written(line: bytes, times: str, now: float) -> bytes:
    """Return a line of a log as it goes out: bare, as it stands, or with a TAG block of another time."""
    if times == "log":
        return line
    try:
        tag, bare = split_tags(line)
    except Flawed:
        return line  # a faulty one is part of what is played
    if not times:
        return bare
    return tag_block(tag.source or b"log", now, tag.sender) + bare
