"""Remarks on exports with headings that are there already: their columns, the times of their rows."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from alongside.feeds.columns import number_and_unit
from alongside.feeds.export_file import NOT_UTF_16, UTF_16
from alongside.feeds.export_rows import (
    BEGINNING,
    ROW_REFUSED,
    ExportRows,
    NoHeader,
    cells_on_record,
    time_in,
)
from alongside.feeds.flaws import Flawed
from alongside.feeds.plain_numbers import plain_number
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Feed, Stay
from alongside.stay.plain_file import NotPlain, check_plain
from alongside.stay.ports import CsvPort, parse_port

MOST: Final = 20
"""Rows that are looked at."""


def export_remarks(stay: Stay) -> Iterator[Remark]:
    """Yield what the beginning of each export says against the stay file; nothing of one that is not there
    yet."""
    for place, feed in enumerate(stay.feeds):
        port = parse_port(feed.port)
        if not isinstance(port, CsvPort):
            continue
        path = Path(stay.file).parent / Path(port.path).expanduser()
        begin = _beginning(path)
        if begin.startswith(UTF_16):
            yield Remark(f"feeds[{place}].port", f"{path.name} {NOT_UTF_16}")
        elif begin:
            yield from _of_rows(f"feeds[{place}]", path.name, feed, begin)


def _beginning(path: Path) -> bytes:
    try:
        check_plain(path, "an export")
        with path.open("rb") as file:
            return file.read(BEGINNING)
    except (NotPlain, OSError):
        return b""


def _of_rows(path: str, name: str, feed: Feed, begin: bytes) -> Iterator[Remark]:
    rows = ExportRows(feed)
    whole = begin[: max(begin.rfind(b"\n"), begin.rfind(b"\r")) + 1].splitlines()
    lines: list[bytes] = []
    try:
        for raw in whole:
            line = rows.line_of(raw, 0.0)
            lines += [] if line is None else [line]
            if len(lines) == MOST:
                break
        if rows.header is None and whole:
            raise rows.no_header()
    except NoHeader as error:
        yield Remark(f"{path}.port", f"{name} {error}")
        return
    refused = sum(line.startswith(ROW_REFUSED) for line in lines)
    if refused * 2 > len(lines):
        text = f"{name}: {refused} of its first {len(lines)} rows have not as many cells as the header"
        yield Remark(f"{path}.port", f"{text}: decimal commas without quotes?")
        return
    sound = [line for line in lines if not line.startswith(ROW_REFUSED)]
    yield from _of_times(path, name, feed, sound)
    yield from _of_numbers(path, name, feed, sound)


def _of_times(path: str, name: str, feed: Feed, lines: list[bytes]) -> Iterator[Remark]:
    assert feed.time is not None
    wrong = [line for line in lines if not _has_time(feed, line)]
    if len(wrong) * 2 > len(lines):
        cells = cells_on_record(wrong[0])
        text = " ".join(cells.get(c.encode(), b"").decode("utf-8", "replace") for c in feed.time.groups)
        yield Remark(f"{path}.time", f"{name} has {text!r}, which is no time of the form {feed.time.form}")


def _has_time(feed: Feed, line: bytes) -> bool:
    assert feed.time is not None
    try:
        time_in(cells_on_record(line), feed.time, 0.0)
    except Flawed:
        return False
    return True


def _of_numbers(path: str, name: str, feed: Feed, lines: list[bytes]) -> Iterator[Remark]:
    """A column of which no cell is a number as the file says that they are written."""
    for source in feed.channels:
        for column in source.columns:
            cells = [cell for line in lines if (cell := cells_on_record(line).get(column.encode(), b""))]
            if cells and not any(_is_number(cell, feed.decimal) for cell in cells):
                text = f"{name} has {cells[0].decode('utf-8', 'replace')!r}, which is no number"
                comma = any(_is_number(cell, "comma") for cell in cells) and feed.decimal != "comma"
                where = f"{path}.channels.{source.channel}.column"
                yield Remark(where, text + (": `decimal: comma`?" if comma else " that can be read"))


def _is_number(cell: bytes, decimal: str) -> bool:
    try:
        plain_number(number_and_unit(cell)[0], decimal)
    except ValueError:
        return False
    return True
