"""Sound sentences of a batch that differ in nothing but their numbers."""

from typing import NamedTuple

import numpy as np

from alongside.feeds.batch import Batch
from alongside.feeds.block import Bytes, Positions, stands
from alongside.feeds.number_column import NumberColumn, is_number

_COMMA = 44

Field = bytes | NumberColumn


class Layout(NamedTuple):
    """Sentences of one layout: their places in the batch (k,), and their fields, each the text that it has in
    all of them, or the numbers."""

    rows: Positions
    fields: tuple[Field, ...]


class Fields:
    """Where the fields of the sound sentences of a batch stand."""

    def __init__(self, batch: Batch) -> None:
        self._batch = batch
        self._byte: Bytes = np.frombuffer(batch.text, dtype=np.uint8)
        self._comma = np.flatnonzero(self._byte == _COMMA)
        self._first = np.searchsorted(self._comma, batch.begin)
        self._count = np.searchsorted(self._comma, batch.end) - self._first

    def with_address(self, rows: Positions, address: bytes) -> Positions:
        """Return those rows (k,) whose sentence has this address."""
        end = self._edge(rows, 1)
        return rows[stands(self._byte, self._batch.begin[rows], end, address)]

    def _edge(self, rows: Positions, field: int) -> Positions:
        """Return where the fields before a field end: the comma before it, or the end of the sentence."""
        last = self._count[rows] < field
        comma = self._comma.take(self._first[rows] + field - 1, mode="clip") if self._comma.size else rows
        return np.where(last, self._batch.end[rows], comma)

    def like(self, rows: Positions, text: bytes) -> Layout:
        """Return those of rows (k,) that have the layout of a sentence."""
        texts = text.split(b",")
        numeric = [at > 0 and is_number(field) for at, field in enumerate(texts)]
        rows = rows[self._count[rows] == len(texts) - 1]
        at = 0
        while at < len(texts):
            if numeric[at]:
                at += 1
                continue
            stop = at + 1
            while stop < len(texts) and not numeric[stop]:
                stop += 1
            rows = self._with_texts(rows, at, stop, b",".join(texts[at:stop]))
            at = stop
        fields = [self._numbers(rows, n) if numeric[n] else field for n, field in enumerate(texts)]
        return Layout(rows, tuple(fields))

    def _begin(self, rows: Positions, field: int) -> Positions:
        return self._edge(rows, field) + 1 if field else self._batch.begin[rows]

    def _with_texts(self, rows: Positions, field: int, stop: int, text: bytes) -> Positions:
        """Return those rows whose fields from one to another, the commas between included, are this text."""
        return rows[stands(self._byte, self._begin(rows, field), self._edge(rows, stop), text)]

    def _numbers(self, rows: Positions, field: int) -> NumberColumn:
        return NumberColumn.of(self._byte, self._begin(rows, field), self._edge(rows, field + 1))
