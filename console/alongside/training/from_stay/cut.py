"""A feed log between two times, as it was written."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from alongside.errors import WrongInput
from alongside.feeds.gzip_members import GzipMembers
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import tag_block
from alongside.stay.model import Stay
from alongside.units import iso_time


def cut_log(
    logs: Sequence[Path], stay: Stay, begin: float, end: float, show: Callable[[float], None]
) -> bytes:
    """Return the lines of logs from one time to another, UNIX s, gzipped; a line that bears no time gets the
    one that it was taken to have. `show` is given which part is read. Raises WrongInput where there are
    none."""
    archive, parts = GzipMembers(), bytearray()
    count = 0
    for time, line in _lines(logs, stay, begin, end, show):
        parts += archive.compress(time, line)
        count += 1
    if not count:
        raise WrongInput(f"{logs[0]}: nothing in it from {iso_time(begin)} to {iso_time(end)}")
    return bytes(parts + archive.finish())


def _lines(
    logs: Sequence[Path], stay: Stay, begin: float, end: float, show: Callable[[float], None]
) -> Iterator[tuple[float, bytes]]:
    for place, path in enumerate(logs):
        for batch in FeedLog(path, begin, as_written=True, stay=stay):
            for time, source, line, _, _ in batch.rows():
                if begin <= time <= end:
                    tagged = line if line.startswith(b"\\") else _tag(source, time) + line
                    yield time, tagged.rstrip(b"\r\n") + b"\r\n"
            if len(batch):
                part = min(max((float(batch.time[-1]) - begin) / (end - begin), 0.0), 1.0)
                show((place + part) / len(logs))
                if batch.time[-1] > end:
                    return


def _tag(source: bytes | None, time: float) -> bytes:
    return tag_block(source or b"", time)
