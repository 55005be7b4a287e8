"""Keeping what the feeds say, as a feed log, while the watch goes on whatever happens to the disk."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from console.alerts.model import Event
from console.errors import WrongInput
from console.feeds.logwriter import LogWriter

RETRY_S: Final = 60.0


class Recording:
    """Writes lines to a feed log, or nowhere for `path` None. An existing plain log is continued, a gzipped
    one is never touched. When the disk fails it is told once, and tried again every minute.

    Raises WrongInput where the log cannot be begun at all.
    """

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._writer: LogWriter | None = None
        self._failed_at: float | None = None
        if path is None:
            return
        if path.suffix == ".gz" and path.exists():
            raise WrongInput(f"{path}: is there already, expected a new file or a plain log to continue")
        try:
            self._writer = _begin(path)
        except OSError as error:
            raise WrongInput(f"{path}: {error.strerror}, expected a file that can be written") from error

    def write(self, now: float, lines: Sequence[tuple[float, str, bytes]]) -> list[Event]:
        """Keep lines of a cycle; returns what there is to tell: that keeping fails, or works again."""
        if self._path is None:
            return []
        if self._failed_at is not None and now - self._failed_at < RETRY_S:
            return []
        try:
            if self._writer is None:
                self._writer = _begin(self._path)
            self._writer.write_lines(list(lines))
        except OSError as error:
            return self._fail(now, error)
        if self._failed_at is None:
            return []
        self._failed_at = None
        return [Event(now, "note", text=f"recording to {self._path} goes on")]

    def close(self) -> None:
        if self._writer is not None:
            self._writer.close()
            self._writer = None

    def _fail(self, now: float, error: OSError) -> list[Event]:
        first = self._failed_at is None
        self._failed_at = now
        try:
            self.close()
        except OSError:
            self._writer = None  # what it could not flush is lost with it, and that is being told
        text = f"NOT RECORDING to {self._path}: {error.strerror}; tried again every minute"
        return [Event(now, "note", text=text)] if first else []


def _begin(path: Path) -> LogWriter:
    return LogWriter(path, append=path.suffix != ".gz")
