"""Sentences of a batch that differ in their numbers alone, heard together; all others are left to be heard
one by one. Either way each channel has the same values in the same order, and the same is counted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, cast

import numpy as np

from alongside.feeds.batch import Batch
from alongside.feeds.block import Positions
from alongside.feeds.flaws import Flaw
from alongside.feeds.layouts import Fields, Layout
from alongside.feeds.meanings import Fields as FieldsOfOne
from alongside.feeds.number_column import NumberColumn
from alongside.feeds.raw_values import RawValues
from alongside.feeds.routing import NOT_TOGETHER, ColumnValues, Routes
from alongside.readings import Floats

FEWEST: Final = 16
"""Sentences of one layout that are worth hearing together."""
MOST_RARE: Final = 8
"""So many layouts with fewer of them, and the rest of a source's sentences is heard one by one."""


@dataclass(slots=True)
class _Gathered:
    """Values of one channel: pieces of those heard together, by the lines that they come from; and the lines
    of those that were heard one by one, which stand at the end of its raw values, from `begin` on."""

    samples: RawValues
    begin: int
    rows: list[Positions] = field(default_factory=list)
    values: list[Floats] = field(default_factory=list)
    alone: list[int] = field(default_factory=list)

    def in_order(self, times: Floats) -> None:
        """Put all values into the raw values in the order of their lines."""
        samples = self.samples
        rows, values = np.concatenate(self.rows), np.concatenate(self.values)
        at = times[rows]
        if self.alone:
            rows = np.concatenate((rows, self.alone))
            at = np.concatenate((at, samples.time[self.begin :]))
            values = np.concatenate((values, samples.value[self.begin :]))
            del samples.time[self.begin :], samples.value[self.begin :]
        if len(self.rows) > 1 or self.alone:
            order = np.argsort(rows, kind="stable")
            at, values = at[order], values[order]
        samples.take_all(at, values)


class Together:
    """What is heard together of one batch."""

    def __init__(self, batch: Batch) -> None:
        self._batch = batch
        self._fields = Fields(batch)
        self._gathered: dict[int, _Gathered] = {}

    def hear(self, all_routes: Mapping[bytes | None, Routes], heard: dict[str, int]) -> Positions:
        """Hear what can be heard together, and count it; return the lines that are left, in their order."""
        batch = self._batch
        left = [np.flatnonzero(~batch.sound)]
        kind = np.where(batch.sound, batch.source * len(batch.senders) + batch.sender, -1)
        for at in np.unique(kind[batch.sound]).tolist():
            rows = np.flatnonzero(kind == at)
            routes = all_routes[batch.sources[at // len(batch.senders)]]
            alone = self._hear_source(rows, routes, batch.senders[at % len(batch.senders)])
            heard[routes.name] += rows.size - alone.size
            left.append(alone)
        return np.sort(np.concatenate(left))

    def _hear_source(self, rows: Positions, routes: Routes, sender: str) -> Positions:
        """Hear what can be heard together of sound sentences of one source and one sender; return the
        others."""
        alone: list[Positions] = []
        rare = 0
        while rows.size and rare < MOST_RARE:
            text = self._batch.line(int(rows[0]))
            address = text.split(b",", 1)[0]
            if not routes[address]:
                same = self._fields.with_address(rows, address)
                routes.tally.count(Flaw.UNKNOWN, same.size)
            else:
                layout = self._fields.like(rows, text)
                same = layout.rows
                alone.append(
                    self._hear_layout(layout, routes, address, sender) if same.size >= FEWEST else same
                )
            rare += same.size < FEWEST
            rows = np.setdiff1d(rows, same, assume_unique=True)
        return np.concatenate((*alone, rows))

    def _hear_layout(self, layout: Layout, routes: Routes, address: bytes, sender: str) -> Positions:
        """Hear sentences of one layout; return those in doubt, which are all where they cannot be heard
        together."""
        values = _values_of(layout, routes, address)
        if values is None:
            return layout.rows
        first = float(self._batch.time[layout.rows[0]])
        if sender and not all(samples.senders.goes_on(sender, first) for samples, _ in values):
            return layout.rows
        doubt = np.zeros(layout.rows.size, dtype=np.bool_)
        for each in layout.fields:
            if isinstance(each, NumberColumn):
                doubt |= each.doubt
        sure = ~doubt
        rows = layout.rows[sure]
        for samples, value in values if rows.size else ():
            column = np.broadcast_to(np.asarray(value, dtype=np.float64), doubt.shape)[sure]
            if lacking := int(np.isnan(column).sum()):
                samples.tally.count(Flaw.NO_VALUE, lacking)
            self._gather(samples, rows, column)
            if sender:
                samples.senders.heard_at(float(self._batch.time[rows[-1]]))
        return layout.rows[doubt]

    def _gather(self, samples: RawValues, rows: Positions, values: Floats) -> None:
        gathered = self._gathered.setdefault(id(samples), _Gathered(samples, len(samples.time)))
        gathered.rows.append(rows)
        gathered.values.append(values)

    def heard_alone(self, row: int) -> None:
        """Take notice that a line was heard by itself."""
        for each in self._gathered.values():
            more = len(each.samples.time) - each.begin - len(each.alone)
            each.alone.extend([row] * more)

    def end(self) -> None:
        """Hand the values to their channels, once all lines have been heard."""
        for each in self._gathered.values():
            each.in_order(self._batch.time)


def senders_go_on(batch: Batch, all_routes: Mapping[bytes | None, Routes]) -> bool:
    """Return whether each source of a batch has one sender, who is in use already or the first that is heard:
    else who is in use has to be found out line by line."""
    if not any(batch.senders):
        return True
    first = float(batch.time[0])
    sender_of: dict[int, str] = {}
    for at in np.unique(batch.source * len(batch.senders) + batch.sender).tolist():
        source, sender = at // len(batch.senders), batch.senders[at % len(batch.senders)]
        if not sender:
            continue
        routes = all_routes[batch.sources[source]]
        alone = routes.name and sender_of.setdefault(source, sender) == sender
        if not alone or not all(each.senders.may_go_on(sender, first) for each in routes.channels):
            return False
    return True


def _values_of(layout: Layout, routes: Routes, address: bytes) -> ColumnValues | None:
    """Return the values of the channels in sentences of one layout; None where these cannot be heard
    together."""
    found: ColumnValues = []
    for listener in routes[address]:
        if listener.values is None:
            return None
        try:
            found += listener.values(cast(FieldsOfOne, layout.fields))
        except NOT_TOGETHER:
            return None
    if any(np.isinf(value).any() for _, value in found):
        return None
    return found
