"""An export with headings: followed as it grows, over rotation, or read once to its end."""

from math import inf
from typing import Any, Final

from alongside.feeds.export_rows import BEGINNING, MOST_BEFORE, WIDEST, ExportRows
from alongside.feeds.growing_file import FileReader
from alongside.feeds.inbox import Inbox
from alongside.feeds.lines import LineCutter
from alongside.feeds.reader import PortEnded
from alongside.stay.model import Feed
from alongside.stay.ports import CsvPort

UTF_16: Final = (b"\xff\xfe", b"\xfe\xff")
NOT_UTF_16: Final = "is UTF-16, expected UTF-8: save it as CSV UTF-8"


class ExportReader(FileReader):
    """Reads the rows of an export; its header is looked for each time it is opened, rotated, or written
    anew."""

    longest = WIDEST
    port: CsvPort

    def __init__(self, port: CsvPort, feed: Feed, inbox: Inbox, **more: Any) -> None:
        super().__init__(port, feed.name, inbox, **more)
        self._rows = ExportRows(feed)
        self._cutter = LineCutter(WIDEST)

    def _begin_at(self, at: int) -> None:
        assert self._file is not None
        self._file.seek(0)
        if self._file.read(2) in UTF_16:
            raise OSError(NOT_UTF_16)
        self._rows.begin()
        if at:
            self._read_header(at)
        super()._begin_at(at)

    def _read_header(self, upto: int) -> None:
        """Read on from the start to the header, and note how old the last row is that stands there."""
        assert self._file is not None
        rows, known = self._rows, self._rows.newest
        self._file.seek(0)
        lines = self._file.read(min(upto, BEGINNING)).splitlines()
        for line in lines[:MOST_BEFORE]:
            rows.line_of(line, self._wall())
        if rows.header is None:
            raise rows.no_header()
        begin = max(0, upto - 2 * WIDEST)
        self._file.seek(begin)
        last = self._file.read(upto - begin).splitlines()[-1:]
        for line in last if known == -inf else ():
            rows.line_of(line, self._wall())

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._place is not None
        before = self._place.at
        _, raw = super()._read()
        is_end = not raw and self._place.at == before
        if is_end and self.port.to_end and not (raw := self._cutter.cut(b"\n")):
            if self._rows.header is None:
                raise self._rows.no_header()
            raise PortEnded("has ended")
        now = self._wall()
        lines = (self._rows.line_of(line, now) for line in raw)
        return "", [line for line in lines if line is not None]
