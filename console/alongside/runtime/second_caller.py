"""Calls somebody else while an alarm is not answered: runs a command, beside the watch.

The command is run without a shell, in a session of its own. What the alarms say goes to its standard input, a
line for each, so that no text from outside becomes an option or an escape. After 20 s it is ended, with all
that it started; where the console is killed meanwhile, a guard ends it.
"""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from math import inf
from pathlib import Path
from typing import Final

from alongside.alerts.episodes import CALLED
from alongside.alerts.escalation import UNANSWERED
from alongside.alerts.model import Alert, Event, Key, Watchlist
from alongside.alerts.observation import event_of
from alongside.runtime.worker import Worker
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe

CALL_AFTER_S: Final = 180.0
"""An alarm that nobody has answered for so long calls, and again so long after each call."""
ENDED_AFTER_S: Final = 20.0
LAST_WORD_S: Final = 2.0
"""How long a call may go on while the console ends."""
LOOK_EVERY_S: Final = 0.05
MOST_ALARMS: Final = 20
MOST_CHARACTERS: Final = 200
"""Of each: so many lines fit a pipe, and writing them never waits."""
CUT: Final = "the console ended"
"""Why a call failed that was cut."""
_GUARD: Final = Path(__file__).with_name("call_guard.py")


class SecondCaller:
    """Runs `command` whenever alarms have not been answered; `fault` says why the last call failed, "" where
    it did not."""

    def __init__(self, command: Sequence[str]) -> None:
        self.fault = ""
        self._command = tuple(command)
        self._called: dict[Key, float] = {}
        """When each alarm that still waits was called for last, by the times of the watch."""
        self._busy = False
        self._worker: Worker[str] = Worker("second caller", self._call, lambda: None)
        self._worker.start()

    def stop(self) -> str:
        """End; a call that goes on is ended within two seconds. Return what is to be put on record of one
        that was cut, "" for none."""
        self._worker.stop()
        return "the call to the second caller was cut" if self._busy or self.fault == CUT else ""

    def cycle(self, now: float, watch: Watchlist) -> tuple[Event, ...]:
        """Call where an alarm has waited too long, and return what is to be put on record."""
        waiting = unanswered_alarms(watch, now)
        self._called = {alert.key: self._called.get(alert.key, -inf) for alert in waiting}
        due = [alert for alert in waiting if now >= self._called[alert.key] + CALL_AFTER_S]
        if not due or self._busy:
            return ()
        first = [alert for alert in due if self._called[alert.key] == -inf]
        self._called = dict.fromkeys(self._called, now)
        self._busy = True
        self._worker.post(words_of(waiting))
        again = Event(now, "note", text=f"{CALLED} again: {counted(len(waiting), 'alarm')}")
        return tuple(_called_for(now, alert) for alert in first) or (again,)

    def _call(self) -> None:
        for text in self._worker.posted():
            try:
                self.fault = call(self._command, text, self._worker.stopping)
            finally:
                self._busy = False


def unanswered_alarms(watch: Watchlist, now: float) -> list[Alert]:
    """Return alarms of any cause, a lost input or not, that nobody has answered for three minutes."""
    return [
        alert
        for alert in watch.alerts.values()
        if alert.stage is Stage.ALARM and alert.standing in UNANSWERED and now >= _since(alert) + CALL_AFTER_S
    ]


def words_of(alarms: Sequence[Alert]) -> str:
    """Return `▲ ALARM Line 4 stretch 101 % (limit 100 %)`, a line for each alarm."""
    lines = [f"{stage_text(alert.stage)} {safe(alert.text)}"[:MOST_CHARACTERS] for alert in alarms]
    more = [f"and {len(lines) - MOST_ALARMS} more"] if len(lines) > MOST_ALARMS else []
    return "".join(f"{line}\n" for line in [*lines[:MOST_ALARMS], *more])


def _since(alert: Alert) -> float:
    return alert.changed_at if alert.alarm_since is None else alert.alarm_since


def _called_for(now: float, alert: Alert) -> Event:
    event = event_of(now, "escalated", alert)
    minutes = (now - _since(alert)) / 60.0
    return Event(
        *(now, "escalated", event.alert, event.subject, event.stage, event.line, event.value, event.limit),
        text=f"{CALLED}, not acknowledged for {minutes:.0f} min: {alert.text}",
    )


def call(command: Sequence[str], text: str, stopping: Callable[[], bool]) -> str:
    """Run a command to its end, or for 20 s, and return why it failed: `exit 3`, `no end within 20 s`; "" for
    exit 0."""
    guard = _guard()
    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except (OSError, ValueError) as error:
        _let_go(guard)
        return (error.strerror or str(error)).lower() if isinstance(error, OSError) else str(error)
    try:
        _name(guard, process)
        with suppress(BrokenPipeError):
            assert process.stdin is not None
            process.stdin.write(text.encode())
            process.stdin.close()
        ended = _wait(process, stopping)
    finally:
        _end_all(process)
        _let_go(guard)  # before the process is reaped: until then no other has its number
    status = process.wait()
    if not ended:
        return CUT if stopping() else f"no end within {ENDED_AFTER_S:.0f} s"
    return "" if status == 0 else f"exit {status}" if status > 0 else f"signal {-status}"


def _guard() -> subprocess.Popen[bytes] | None:
    """Start what ends a call if this console is killed; None where it cannot be: the call is made all the
    same."""
    if not hasattr(os, "killpg"):
        return None
    with suppress(OSError, ValueError):
        return subprocess.Popen(
            [sys.executable, "-I", "-S", str(_GUARD)],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    return None


def _name(guard: subprocess.Popen[bytes] | None, process: subprocess.Popen[bytes]) -> None:
    """Tell the guard which group it is to end; that of a call is named by its process."""
    if guard is not None and guard.stdin is not None:
        with suppress(BrokenPipeError):
            guard.stdin.write(f"{process.pid}\n".encode())
            guard.stdin.flush()


def _let_go(guard: subprocess.Popen[bytes] | None) -> None:
    """End the guard."""
    if guard is not None:
        guard.kill()
        guard.wait()
        if guard.stdin is not None:
            with suppress(BrokenPipeError):
                guard.stdin.close()


def _wait(process: subprocess.Popen[bytes], stopping: Callable[[], bool]) -> bool:
    """Wait for the end of a process, and return whether it came in time. The process is not reaped, so that
    its number stays that of its group until the group is ended."""
    deadline = time.monotonic() + ENDED_AFTER_S
    while not _has_ended(process):
        if stopping():
            deadline = min(deadline, time.monotonic() + LAST_WORD_S)
        if time.monotonic() >= deadline:
            return False
        time.sleep(LOOK_EVERY_S)
    return True


def _has_ended(process: subprocess.Popen[bytes]) -> bool:
    if not hasattr(os, "waitid"):
        return process.poll() is not None
    return os.waitid(os.P_PID, process.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None


def _end_all(process: subprocess.Popen[bytes]) -> None:
    """End a process and what it started."""
    if not hasattr(os, "killpg"):
        process.kill()
        return
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
