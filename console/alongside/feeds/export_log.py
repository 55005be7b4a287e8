"""An export with headings as a feed log: each row a line with a TAG block that bears its own time, so that it
is replayed as if it had come in then."""

from collections.abc import Iterator
from math import inf
from pathlib import Path
from typing import BinaryIO, Final

from alongside.errors import WrongInput
from alongside.feeds.export_file import NOT_UTF_16, UTF_16
from alongside.feeds.export_rows import (
    BEGINNING,
    MOST_BEFORE,
    WIDEST,
    ExportRows,
    NoHeader,
    cells_on_record,
    time_in,
)
from alongside.feeds.flaws import Flawed
from alongside.feeds.lines import LineCutter
from alongside.feeds.row_times import bears_a_date
from alongside.feeds.sentence import checksum, tag_block, tag_name
from alongside.stay.model import Feed, Stay
from alongside.stay.ports import CsvPort, parse_port

ENDINGS: Final = (".csv", ".tsv", ".txt")
PIECE: Final = 1 << 16


def export_feed(stay: Stay | None, path: Path) -> Feed | None:
    """Return the feed of a stay whose export a file is: by its name, else the only one that reads exports.
    None for a file that is no export. Raise WrongInput where several may be meant."""
    feeds = [feed for feed in stay.feeds if feed.port.startswith("csv:")] if stay else []
    if not feeds:
        return None
    same = [feed for feed in feeds if Path(_export(feed).path).name == path.name]
    if not same and path.suffix.lower() not in ENDINGS:
        return None
    feeds = same if len(same) == 1 else feeds
    if len(feeds) > 1:
        names = ", ".join(feed.name for feed in feeds)
        raise WrongInput(f"{path}: may be the export of {names}, expected the name that one of them has")
    (feed,) = feeds
    if feed.time is not None and not bears_a_date(feed.time.form):
        raise WrongInput(f"{path}: the times of its rows have no date, expected a form with %d or %j")
    return feed


def _export(feed: Feed) -> CsvPort:
    port = parse_port(feed.port)
    assert isinstance(port, CsvPort)
    return port


class ExportLog:
    """Text of a feed log, made of an open export."""

    def __init__(self, file: BinaryIO, path: Path, feed: Feed) -> None:
        self._file, self._path, self._feed = file, path, feed
        self._source = tag_name(feed.name)

    def texts(self, start: float) -> Iterator[bytes]:
        """Yield whole lines, from shortly before the first at `start` on. Raise WrongInput for a file without
        the columns that are read."""
        file, rows, cutter = self._file, ExportRows(self._feed), LineCutter(WIDEST)
        file.seek(0)
        if file.read(2) in UTF_16:
            raise WrongInput(f"{self._path}: {NOT_UTF_16}")
        file.seek(0)
        try:
            for raw in file.read(BEGINNING).splitlines()[:MOST_BEFORE]:
                rows.line_of(raw, inf)
            if rows.header is None:
                raise rows.no_header()
            if self._runs_back(rows):
                yield self._turned_round()
                return
            at = self._place_before(rows, start)
            file.seek(at)
            if at:
                self._next_line()
            else:
                rows = ExportRows(self._feed)
            while data := file.read(PIECE):
                yield self._text(rows, cutter.cut(data))
            yield self._text(rows, cutter.cut(b"\n"))
        except NoHeader as error:
            raise WrongInput(f"{self._path}: {error}") from error

    def _runs_back(self, rows: ExportRows) -> bool:
        """Return whether the newest row stands first, as many exports have it."""
        file = self._file
        file.seek(0)
        first = self._first_time(rows)
        file.seek(max(file.seek(0, 2) - 2 * WIDEST, 0))
        last = [self._time_of(line) for raw in file.read().splitlines() if (line := rows.line_of(raw, inf))]
        known = [time for time in last if time is not None]
        return first is not None and bool(known) and known[-1] < first

    def _turned_round(self) -> bytes:
        """Return the text of all rows, the last first; the whole export is held for it."""
        self._file.seek(0)
        rows, raw = ExportRows(self._feed), LineCutter(WIDEST).cut(self._file.read() + b"\n")
        lines = [line for each in raw if (line := rows.line_of(each, inf)) is not None]
        return b"".join(map(self._tagged, reversed(lines)))

    def _text(self, rows: ExportRows, raw: list[bytes]) -> bytes:
        lines = (rows.line_of(line, inf) for line in raw)
        return b"".join(self._tagged(line) for line in lines if line is not None)

    def _tagged(self, line: bytes) -> bytes:
        time = self._time_of(line)
        if time is None:
            # Without a time it takes that of the row before, and is counted.
            body = b"s:" + self._source
            return b"\\%s*%02X\\%s\r\n" % (body, checksum(body), line)
        return tag_block(self._source, time) + line + b"\r\n"

    def _time_of(self, line: bytes) -> float | None:
        assert self._feed.time is not None
        try:
            return time_in(cells_on_record(line), self._feed.time, 0.0)
        except Flawed:
            return None

    def _place_before(self, rows: ExportRows, start: float) -> int:
        """Return a place in the file before the first row at `start`, by halving; 0 for its start."""
        if start == -inf:
            return 0
        low, high = 0, self._file.seek(0, 2)
        while high - low > PIECE:
            middle = (low + high) // 2
            self._file.seek(middle)
            self._next_line()
            time = self._first_time(rows)
            low, high = (middle, high) if time is not None and time < start else (low, middle)
        return low

    def _next_line(self) -> None:
        """Go on to the beginning of a line, however lines end."""
        at = self._file.tell()
        data = self._file.read(2 * WIDEST)
        ends = [end for end in (data.find(b"\n"), data.find(b"\r")) if end >= 0]
        self._file.seek(at + min(ends, default=len(data) - 1) + 1)

    def _first_time(self, rows: ExportRows) -> float | None:
        for raw in self._file.read(2 * WIDEST).splitlines():
            line = rows.line_of(raw, inf)
            if line is not None and (time := self._time_of(line)) is not None:
                return time
        return None
