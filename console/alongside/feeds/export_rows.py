"""Rows of an export with headings, each made into one line that says by itself what it bears:

    2026-03-02 04:00:00;2,45;6,31   ->   Time=2026-03-02 04:00:00;Tide m=2,45;Draught fwd=6,31

That line goes on record, so that a replay needs neither the export nor its header. A row that has not as many
cells as its header goes on as `row refused: …` and is counted: nobody knows which of its cells is which.
"""

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

from alongside.feeds.flaws import Flawed
from alongside.feeds.row_times import time_of_text
from alongside.feeds.sentence import LONGEST
from alongside.stay.exports import columns_used
from alongside.stay.headings import heading
from alongside.stay.model import Feed, RowTime
from alongside.stay.unit_words import is_unit_word

ROW_REFUSED: Final = b"row refused: "
MOST_BEFORE: Final = 50
"""Lines that may stand before the header: who made the export, of which gauge."""
WIDEST: Final = 1 << 14
"""Bytes of a row: some exports have a hundred columns."""
BEGINNING: Final = 8 * WIDEST
"""Bytes in which the header must stand."""
SEPARATORS: Final = ";\t,|"
_BOM: Final = b"\xef\xbb\xbf"
_STRANGE: Final = re.compile(r"[\x00-\x1f\x7f]")
_NUMBER: Final = re.compile(r"[-+]?[0-9][0-9.,eE+-]*")
_UNITS_ALONE: Final = frozenset("mMtNA'\"°%")
"""Of one letter these are units below a heading."""
Cells = Mapping[bytes, bytes]


class NoHeader(OSError):
    """The export has no header with the columns that are read."""


@dataclass(frozen=True, slots=True)
class Header:
    names: tuple[str, ...]
    separator: str


def cells_of(row: str, separator: str) -> list[str] | None:
    """Return the cells of a row, quotes taken off; None where its quotes do not close."""
    if '"' not in row:
        return [cell.strip() for cell in row.split(separator)]
    try:
        cells = next(csv.reader([row], delimiter=separator, skipinitialspace=True, strict=True), [])
    except csv.Error:
        return None
    return [cell.strip() for cell in cells]


def header_in(row: str, wanted: Sequence[str]) -> Header | None:
    """Return the header that a row is: it has each column that is wanted, once; where none is, it has two
    cells at least, and no number among them. None for any other row."""
    best: Header | None = None
    for separator in SEPARATORS:
        names = tuple(heading(cell) for cell in cells_of(row, separator) or ())
        if wanted:
            if all(names.count(name) == 1 for name in wanted):
                return Header(names, separator)
            continue
        given = [name for name in names if name]
        is_longest = len(given) > max(1, len(best.names) if best else 0)
        if is_longest and not any(map(_NUMBER.fullmatch, given)):
            best = Header(names, separator)
    return best


def text_of(raw: bytes) -> str:
    """Return a row as text: UTF-8, else the usual letters of western Europe."""
    raw = raw.removeprefix(_BOM)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")


def line_of_cells(names: Sequence[str], cells: Sequence[str]) -> bytes:
    """Return the line that goes on record."""
    return ";".join(f"{name}={_cell(cell)}" for name, cell in zip(names, cells, strict=True) if name).encode()


def _cell(text: str) -> str:
    if not text.isprintable():
        text = _STRANGE.sub(" ", text)
    return '"' + text.replace('"', '""') + '"' if ";" in text or '"' in text else text


def cells_on_record(line: bytes) -> Cells:
    """Return the cells of such a line by their headings; raise ValueError for a line that is none."""
    parts = line.split(b";") if b'"' not in line else _quoted(line)
    pairs = [part.partition(b"=") for part in parts]
    return {name: text for name, equals, text in pairs if equals}


def _quoted(line: bytes) -> list[bytes]:
    parts = re.findall(rb'(?:[^;"]|"(?:[^"]|"")*")+', line)
    return [_unquoted(part) for part in parts]


def _unquoted(part: bytes) -> bytes:
    name, equals, text = part.partition(b"=")
    if text[:1] == b'"' and text[-1:] == b'"' and len(text) > 1:
        text = text[1:-1].replace(b'""', b'"')
    return name + equals + text


def time_in(cells: Cells, row_time: RowTime, arrived: float) -> float:
    """Return UNIX seconds that a row states. Raise Flawed for what is no time."""
    text = b" ".join(cells.get(column.encode(), b"").strip() for column in row_time.groups)
    return time_of_text(text, row_time.form, row_time.zone_s, arrived)


def _is_unit(cell: str) -> bool:
    return is_unit_word(cell) and (len(cell) > 1 or cell in _UNITS_ALONE)


class ExportRows:
    """Raw lines of one export in, lines for the record out. Where the export is read anew from its start,
    rows that are not newer than those handed on are passed over: most exports are written anew as a whole."""

    def __init__(self, feed: Feed) -> None:
        self._wanted = columns_used(feed)
        self._time = feed.time
        self.header: Header | None = None
        self.newest = -inf
        """Time of the newest row handed on."""
        self.begin()

    def begin(self) -> None:
        """The next line is the first of the export."""
        self.header = None
        self._before: list[str] = []
        self._units: dict[str, str] = {}
        self._first = False
        self._mark = ""
        """A heading as it stands in the header: another header has it too."""
        self._known = self.newest

    def line_of(self, raw: bytes, arrived: float) -> bytes | None:
        """Return the line of a row, None for one that bears no reading: header, units, what stands before
        them, what is known already. Raise NoHeader where there are only others."""
        row = text_of(raw)
        if not row.strip():
            return None
        if self.header is None:
            if self._is_header(row):
                return None
            self._before.append(row)
            if len(self._before) >= MOST_BEFORE:
                raise self.no_header()
            return None
        cells = cells_of(row, self.header.separator)
        names = self.header.names
        while cells and len(cells) > len(names) and not cells[-1]:
            cells.pop()
        if cells is None or len(cells) != len(names):
            if self._wanted and self._mark in row and self._is_header(row):
                return None
            return ROW_REFUSED + raw[: LONGEST - len(ROW_REFUSED)].replace(b"\0", b" ")
        first, self._first = self._first, False
        if self._mark in row and self._is_header_again(row, cells):
            return None
        if first and self._are_units(cells):
            self._units = {name: cell for name, cell in zip(names, cells, strict=True) if _is_unit(cell)}
            return None
        return self._handed_on(self._line(cells), arrived)

    def _is_header_again(self, row: str, cells: list[str]) -> bool:
        assert self.header is not None
        if tuple(map(heading, cells)) == self.header.names:
            return True
        return bool(self._wanted) and self._is_header(row)

    def _is_header(self, row: str) -> bool:
        header = header_in(row, self._wanted)
        if header is not None:
            self._go_on_with(header, row)
        return header is not None

    def _go_on_with(self, header: Header, row: str) -> None:
        self.header, self._units, self._first = header, {}, True
        place = header.names.index(self._wanted[0]) if self._wanted else 0
        self._mark = (cells_of(row, header.separator) or [""])[place]

    def no_header(self) -> NoHeader:
        """Return what is to be said of an export without the columns that are read."""
        best: tuple[str, ...] = ()
        for row in self._before:
            header = header_in(row, ())
            if header is not None and len(header.names) > len(best):
                best = header.names
        missing = [name for name in self._wanted if best.count(name) != 1]
        if not best:
            return NoHeader("has no header, expected one with " + (", ".join(self._wanted) or "headings"))
        name = missing[0] if missing else "?"
        how = "twice a column" if best.count(name) > 1 else "no column"
        return NoHeader(f"has {how} {name!r}; its columns are {', '.join(best)}")

    def _are_units(self, cells: Sequence[str]) -> bool:
        """Return whether the row below a header says the units of its columns: units, and no number."""
        return any(map(_is_unit, cells)) and not any(map(_NUMBER.match, cells))

    def _line(self, cells: list[str]) -> bytes:
        assert self.header is not None
        names = self.header.names
        if self._units:
            cells = [
                f"{cell} {self._units[name]}" if name in self._units and _NUMBER.fullmatch(cell) else cell
                for name, cell in zip(names, cells, strict=True)
            ]
        line = line_of_cells(names, cells)
        if len(line) > LONGEST and self._wanted:
            used = [(name, cell) for name, cell in zip(names, cells, strict=True) if name in self._wanted]
            line = line_of_cells([name for name, _ in used], [cell for _, cell in used])
        return line

    def _handed_on(self, line: bytes, arrived: float) -> bytes | None:
        if self._time is None:
            return line
        try:
            time = time_in(cells_on_record(line), self._time, arrived)
        except Flawed:
            return line
        if time <= self._known:
            return None
        self.newest = max(self.newest, time)
        return line
