"""Which times a log holds, found out beside the replay: the whole log is read for it."""

from collections.abc import Callable
from math import ceil, inf, nan
from pathlib import Path

from alongside.feeds.log import FeedLog
from alongside.runtime.log_player import AWAKE_S
from alongside.runtime.worker import Worker
from alongside.stay.model import Stay

Spans = tuple[tuple[float, float], ...]


def spans_of(
    path: Path,
    last: float = inf,
    stopping: Callable[[], bool] = lambda: False,
    stay: Stay | None = None,
) -> Spans:
    """Return (from, to) of the spells in which a replay of a log, up to `last`, has cycles, UNIX seconds:
    without the gaps that it skips. () where it was stopped, or there is none."""
    spans: list[tuple[float, float]] = []
    begin = end = nan
    for batch in FeedLog(path, stay=stay):
        if stopping():
            return ()
        if len(batch) and begin != begin:
            begin = float(batch.time[0])
        for silent_from, silent_to in batch.gaps:
            if silent_to - silent_from > AWAKE_S:
                spans.append((begin, silent_from + AWAKE_S))
                begin = silent_to
        if len(batch):
            end = float(batch.time[-1])
    if end == end:
        spans.append((begin, end))
    whole = ((float(ceil(begin)), min(end, last)) for begin, end in spans)
    return tuple((begin, end) for begin, end in whole if begin <= end)


class LogSpans(Worker[None]):
    """Reads a log once, in a thread of its own; `known` is what it holds, () until that is known."""

    def __init__(self, path: Path, last: float = inf, stay: Stay | None = None) -> None:
        super().__init__("what the log holds", self._read, lambda: None)
        self._stay = stay
        self._path, self._last = path, last
        self.known: Spans = ()

    def _read(self) -> None:
        self.known = self.known or spans_of(self._path, self._last, self.stopping, self._stay)
