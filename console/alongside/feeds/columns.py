"""Rows of an export, read by the headings of its columns."""

import re
from collections.abc import Sequence
from math import inf
from typing import Final

from alongside.feeds.export_rows import Cells, cells_on_record, time_in
from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.inputs import Inputs, of_current
from alongside.feeds.plain_lines import PatternListener
from alongside.feeds.plain_numbers import feet_and_inches, plain_number
from alongside.feeds.raw_values import RawValues
from alongside.feeds.row_times import usable_time
from alongside.feeds.sentence import NAN
from alongside.stay.headings import unit_named
from alongside.stay.model import Feed
from alongside.stay.unit_words import factor, field_factor, raw_unit

_CELL: Final = re.compile(rb"([-+]?[ ]*[0-9.,]+(?:[eE][-+]?[0-9]+)?)[ ]*([A-Za-z%'\"\xb0\xb5\xc2/]{1,10})?")


def column_listener(feed: Feed, all_samples: Sequence[RawValues]) -> PatternListener | None:
    """Return what hears a row by the columns of a feed, and says whether it has one of them; None for a feed
    without any."""
    wanted = [ColumnChannel(samples, feed.decimal) for samples in all_samples if samples.source.columns]
    if not wanted or feed.time is None:
        return None
    row_time, tally = feed.time, wanted[0].samples.tally
    heard = {column for channel in wanted for column in channel.columns}

    def hear(time: float, line: bytes) -> bool:
        cells = cells_on_record(line)
        if heard.isdisjoint(cells):
            return False
        try:
            measured = usable_time(time_in(cells, row_time, time), time)
        except Flawed as flawed:
            tally.count(flawed.flaw)
            return True
        for channel in wanted:
            channel.hear(time, cells, measured)
        return True

    return hear


class ColumnChannel:
    """One channel that is read by columns of an export, and what must hold of the row."""

    def __init__(self, samples: RawValues, decimal: str) -> None:
        source = samples.source
        self.samples = samples
        self.columns = tuple(column.encode() for column in source.columns)
        self._decimal = decimal
        self._unit = raw_unit(source.channel, source.loop is not None)
        self._in_heading = [unit_named(column, self._unit) for column in source.columns]
        self._unit_in = None if source.unit_in is None else source.unit_in.encode()
        self._named_factor = 1.0 if source.unit_factor is None else source.unit_factor
        self._where = [(column.encode(), text.encode()) for column, text in source.where]
        self._minus = [(column.encode(), text.encode()) for column, text in source.minus]
        self._inputs = Inputs(source, len(self.columns))

    def hear(self, time: float, cells: Cells, measured: float) -> None:
        """Take what a row says of this channel; nothing where its conditions do not hold."""
        if any(cells.get(column, b"") != text for column, text in self._where):
            return
        values = [self._value(cells, at) for at in range(len(self.columns))]
        if all(value is None for value in values):
            return
        value = self._inputs.complete(time, values)
        if value is None:
            return
        away = any(cells.get(column, b"") == text for column, text in self._minus)
        self.samples.take(time, -value if away and value != inf else value, measured)

    def _value(self, cells: Cells, at: int) -> float | None:
        """Return the value of a cell in the raw unit: NaN for none, infinite in a wrong unit, None where the
        row has no such column."""
        text = cells.get(self.columns[at])
        if text is None:
            return None
        source, tally = self.samples.source, self.samples.tally
        try:
            metres = feet_and_inches(text)
            if metres is not None:
                meant = self._unit == "m" and (source.checks_unit or source.unit in ("ft", "'"))
                return metres if meant else self._wrong("ft")
            number, word = number_and_unit(text)
            value = plain_number(number, self._decimal)
        except ValueError:
            tally.count(Flaw.GARBLED)
            return NAN
        by = self.factor_of(cells, word, at)
        if by is None:
            return inf
        return of_current(value * by, source, tally)

    def _wrong(self, word: str) -> float:
        self.samples.wrong_unit = word
        return inf

    def factor_of(self, cells: Cells, beside: str, at: int) -> float | None:
        """Return what brings a number to the raw unit; None in a unit that is not expected."""
        source = self.samples.source
        if source.unit is None and not source.checks_unit:
            return 1.0
        stated = beside or self._in_heading[at]
        by = None
        if self._unit_in is not None:
            stated = cells.get(self._unit_in, b"").decode("utf-8", "replace").strip()
            by = field_factor(self._unit, stated)
        elif stated:
            by = factor(self._unit, stated)
        elif source.unit is None:
            return 1.0
        if source.unit is not None and (not stated or stated == source.unit or by == self._named_factor):
            return self._named_factor
        if source.unit is not None or by is None:
            self.samples.wrong_unit = stated
            return None
        return by


def number_and_unit(text: bytes) -> tuple[bytes, str]:
    """Return the number of a cell, and the unit that stands behind it; raise ValueError for other texts."""
    text = text.strip()
    if not text:
        return b"", ""
    match = _CELL.fullmatch(text)
    if match is None:
        raise ValueError(f"no number: {text!r}")
    return match[1], (match[2] or b"").decode("utf-8", "replace")
