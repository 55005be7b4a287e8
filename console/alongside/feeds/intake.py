"""The intake: lines in, Readings out. The same for a live port and a recorded log.

    intake = Intake(stay)
    intake.take(time, "gauges", line)        # live, line by line
    intake.take_batch(batch)                 # from a log
    readings = intake.readings(times)        # at these cycles, from all that came up to each of them

Results do not depend on batch size.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from alongside.feeds.batch import Batch
from alongside.feeds.block import Positions
from alongside.feeds.channel import Channel, Column
from alongside.feeds.clock import BACK_S
from alongside.feeds.flaws import Flaw, Flawed, Tally
from alongside.feeds.line_numbers import FeedNumbers
from alongside.feeds.pace import SPAN_S, Pace
from alongside.feeds.plain_lines import fault_said
from alongside.feeds.raw_values import RawValues
from alongside.feeds.routing import Routes, RoutesBySource, all_samples_of
from alongside.feeds.senders import Hearing
from alongside.feeds.sentence import is_sentence, said_by, split_tags, tag_name
from alongside.feeds.together import Together, senders_go_on
from alongside.readings import NO_FEED_NEWS, FeedCaution, FeedMemory, FeedNews, Floats, Readings
from alongside.stay.heading import ship_heading
from alongside.stay.model import Stay

BLOCK = 4096
"""Cycles read at once."""


Spoil = Callable[[RawValues, Floats, Floats], tuple[Floats, Floats]]
"""What an exercise makes of the raw values (k,) of a channel and their times before anything judges them;
they come in order of time, each once."""


class Intake:
    """Turns lines of feeds into readings.

    Angles off the bow become true by the `heading` channel where one is fitted and heard, else by the
    heading of the ship lying in place. `wind_gust` (highest 3 s mean of the last ten minutes) is a channel
    of its own wherever `wind_speed` is fitted, and so is `tension_peak.3` (highest load of the last ten
    minutes) beside `tension.3`.

    `tallies[feed]` counts flaws of each feed's lines and `heard[feed]` all its lines, `numbers[feed]` those
    that bear a number; "" stands for lines whose source is no feed. Raises WrongInput for a channel that its
    feed cannot give.
    """

    def __init__(self, stay: Stay, spoil: Spoil | None = None) -> None:
        self.stay = stay
        self._spoil = spoil
        self._memory_s = memory_of_intake(stay)
        self.restart()

    def restart(self) -> None:
        """Forget everything heard: after a seek in a replay."""
        names = [feed.name for feed in self.stay.feeds]
        self.tallies = {name: Tally() for name in ["", *names]}
        self.heard = dict.fromkeys(self.tallies, 0)
        self.numbers = {name: FeedNumbers() for name in self.tallies}
        self._hearing = Hearing()
        self._paces = {name: Pace(name) for name in names}
        all_samples = all_samples_of(self.stay, self.tallies, self._hearing)
        self._routes = RoutesBySource(self.stay, all_samples, self.tallies)
        self._channels = [Channel(samples) for samples in all_samples]
        self._heading = next((c for c in self._channels if c.name == "heading"), None)
        self._newest = float("-inf")

    @property
    def channels(self) -> tuple[str, ...]:
        """Return names of all channels that readings will have."""
        return tuple(self._names())

    def _names(self) -> Iterator[str]:
        for channel in self._channels:
            yield channel.name
            if channel.derived is not None:
                yield channel.derived

    def go_on(self, memory: FeedMemory, until: float, since: float) -> None:
        """Take over what was known of the feeds at a time, from an earlier run: before the first line, of
        those that it heard as well. A channel that it heard and that is not heard `since` is lost once that
        has lasted."""
        habits = {habit.feed: habit for habit in memory.habits}
        for name, pace in self._paces.items():
            if name in habits:
                pace.go_on(habits[name], until)
        for channel in self._channels:
            channel.samples.senders.go_on(memory.senders, until)
            if channel.name in memory.heard:
                channel.lost_from = since + channel.samples.source.lost_s

    def take(self, time: float, source: str | None, line: bytes, sender: str = "") -> None:
        """One line as it came, TAG blocks and all, without its end. `source` is the feed's name; None when
        not known; `sender` the address of who sent the datagram. Nothing a line holds raises an exception."""
        routes = self._routes[tag_name(source) if source else None]
        if b"n:" in line:
            self._hear_number(routes, line, sender)
        self._take_line(time, routes, line, sender)

    def _hear_number(self, routes: Routes, line: bytes, sender: str) -> None:
        try:
            tag, _ = split_tags(line)
        except Flawed:
            return
        if tag.number >= 0:
            self.numbers[routes.name].hear(sender, tag.numbered_by, tag.number)

    def take_batch(self, batch: Batch) -> None:
        """Many lines of a log: sentences of one layout together, all others one by one."""
        if not len(batch):
            return
        for at, numbered_by, number in batch.numbered:
            name = self._routes[batch.sources[batch.source[at]]].name
            self.numbers[name].hear(batch.senders[batch.sender[at]], numbered_by, number)
        if batch.time[0] < self._newest:
            for time, source, line, sound, sender in batch.rows():
                self._take_late(time, self._routes[source], line, sound, sender)
            return
        self._count(batch)
        if senders_go_on(batch, self._routes):
            self._hearing.hear_all(batch.time)
            together = Together(batch)
            self._take_one_by_one(batch, together.hear(self._routes, self.heard), together)
            together.end()
        else:
            self._take_one_by_one(batch, np.arange(len(batch)), None)
        self._newest = float(batch.time[-1])

    def _take_one_by_one(self, batch: Batch, rows: Positions, together: Together | None) -> None:
        """Take some lines of a batch; who sent the others is known already where some were heard together."""
        hearing = self._hearing
        times, sounds = batch.time[rows].tolist(), batch.sound[rows].tolist()
        for at, time, sound in zip(rows.tolist(), times, sounds, strict=True):
            routes, sender = self._routes[batch.sources[batch.source[at]]], batch.senders[batch.sender[at]]
            if together is None:
                hearing.hear(time, sender)
            else:
                hearing.sender = sender
            if sound:
                self.heard[routes.name] += 1
                self._hear(time, routes, batch.line(at))
            else:
                self._take_counted(time, routes, batch.line(at))
            if together is not None:
                together.heard_alone(at)

    def _count(self, batch: Batch) -> None:
        """Count the lines of each feed in each span of its habit."""
        sources = len(batch.sources)
        keys, lines = np.unique((batch.time // SPAN_S) * sources + batch.source, return_counts=True)
        paces = [self._paces.get(self._routes[source].name) for source in batch.sources]
        for key, count in zip(keys.astype(np.int64).tolist(), lines.tolist(), strict=True):
            span, at = divmod(key, sources)
            pace = paces[at]
            if pace is not None:
                pace.count(span, count)

    def _take_late(self, time: float, routes: Routes, line: bytes, sound: bool, sender: str) -> None:
        if not sound:
            self._take_line(time, routes, line, sender)
            return
        in_order = self._in_order(time, routes, sender)
        self.heard[routes.name] += 1
        if in_order is not None:
            self._hear(in_order, routes, line)

    def _in_order(self, time: float, routes: Routes, sender: str) -> float | None:
        """Return the time to use for a line, None when it runs too far back."""
        if not time >= self._newest - BACK_S:
            routes.tally.count(Flaw.TIME_BACK)
            return None
        self._newest = max(self._newest, time)
        self._hearing.hear(self._newest, sender)
        if pace := self._paces.get(routes.name):
            pace.count(int(self._newest // SPAN_S))
        return self._newest

    def _take_line(self, time: float, routes: Routes, line: bytes, sender: str) -> None:
        """A line of which nothing is known yet."""
        in_order = self._in_order(time, routes, sender)
        if in_order is None:
            self.heard[routes.name] += 1
        else:
            self._take_counted(in_order, routes, line)

    def _take_counted(self, in_order: float, routes: Routes, line: bytes) -> None:
        """A line whose time and sender are known."""
        self.heard[routes.name] += 1
        try:
            _, rest = split_tags(line)
            if said := fault_said(rest):
                raise Flawed(said)
            if not is_sentence(rest) and routes.patterns:
                self._try_patterns(in_order, routes, rest)
            else:
                self._hear_line(in_order, routes, rest)
        except Flawed as flawed:
            routes.tally.count(flawed.flaw)

    def _try_patterns(self, time: float, routes: Routes, line: bytes) -> None:
        matched = [hear(time, line) for hear in routes.patterns]
        if not any(matched):
            raise Flawed(Flaw.GARBLED)

    def _hear_line(self, time: float, routes: Routes, line: bytes) -> None:
        try:
            self._hear(time, routes, said_by(line))
        except Flawed as flawed:
            if flawed.flaw is not Flaw.NO_CHECKSUM or routes.unchecked is None:
                raise
            self._hear(time, routes.unchecked, said_by(line, needs_checksum=False))

    def _hear(self, time: float, routes: Routes, sentence: bytes) -> None:
        fields = sentence.split(b",")
        listeners = routes[fields[0]]
        if not listeners:
            routes.tally.count(Flaw.UNKNOWN)
        for listener in listeners:
            listener.hear(time, fields)

    def newest_raw(self) -> Iterator[tuple[RawValues, float, float]]:
        """Yield (source, time, raw value) of the newest value of each channel since the last call, and drop
        them: for `listen`, which makes no readings."""
        for channel in self._channels:
            samples = channel.samples
            if samples.time:
                yield samples, samples.time[-1], samples.value[-1]
                del samples.time[:], samples.value[:]

    def readings(self, times: Floats) -> Readings:
        """Return readings at `times` (n,), rising and later than those of the call before. A value counts
        from the first cycle at or after its own time; later ones wait."""
        times = np.asarray(times, dtype=np.float64)
        parts = [self._read(times[at : at + BLOCK]) for at in range(0, times.size, BLOCK)]
        news = self.feed_news(float(times[0]), float(times[-1])) if parts else NO_FEED_NEWS
        if len(parts) == 1:
            return replace(parts[0], feeds=news)
        return Readings(
            time=times,
            channels=self.channels,
            value=self._stacked([part.value for part in parts]),
            quality=self._stacked([part.quality for part in parts]).astype(np.int8),
            reason=self._stacked([part.reason for part in parts]).astype(np.int8),
            age=self._stacked([part.age for part in parts]),
            feeds=news,
        )

    def feed_news(self, first: float, last: float) -> FeedNews:
        """Return what is known of the feeds beside their values, from one instant to another."""
        senders = [channel.samples.senders for channel in self._channels]
        paces = list(self._paces.values())
        cautions: list[FeedCaution] = []
        for pace in paces:
            cautions += pace.cautions(first, last)
        for each in senders:
            cautions += each.cautions(first)
        uses = [use for each in senders for use in each.uses(last, self._memory_s)]
        habits = tuple(habit for pace in paces if (habit := pace.habit(last)).spans)
        heard = tuple(channel.name for channel in self._channels if channel.was_heard)
        return FeedNews(
            FeedMemory(tuple(sorted(uses, key=lambda use: use.since)), habits, heard),
            tuple(use for each in senders for use in each.news(last)),
            tuple(cautions),
        )

    def _stacked(self, blocks: Sequence[NDArray[Any]]) -> NDArray[Any]:
        return np.concatenate(blocks) if blocks else np.zeros((0, len(self.channels)))

    def _read(self, times: Floats) -> Readings:
        self._judge(float(times[-1]))
        columns: list[Column] = []
        for channel in self._channels:
            column = channel.read(times)
            columns.append(column)
            if column.highest is not None:
                columns.append(Column(column.highest, column.quality, column.reason, column.age))
            channel.forget()
        return Readings(
            time=times,
            channels=self.channels,
            value=_side_by_side([c.value for c in columns], times.size),
            quality=_side_by_side([c.quality for c in columns], times.size).astype(np.int8),
            reason=_side_by_side([c.reason for c in columns], times.size).astype(np.int8),
            age=_side_by_side([c.age for c in columns], times.size),
        )

    def _judge(self, until: float) -> None:
        """Judge all that came up to a time; the heading first, as others need it."""
        for channel in sorted(self._channels, key=lambda c: c is not self._heading):
            time, raw = channel.new_values(until)
            if self._spoil is not None:
                time, raw = self._spoil(channel.samples, time, raw)
            heading = self._heading_at(time) if channel.samples.off_the_bow else None
            channel.accept(time, raw, heading)

    def _heading_at(self, time: Floats) -> Floats:
        in_place = ship_heading(self.stay)
        if self._heading is None:
            return np.full(time.size, in_place)
        return self._heading.believed_at(time, in_place, self._heading.samples.source.lost_s)


def _side_by_side(columns: Sequence[NDArray[Any]], rows: int) -> NDArray[Any]:
    return np.stack(columns, axis=1) if columns else np.zeros((rows, 0))


def memory_of_intake(stay: Stay) -> float:
    """Return how many seconds the intake looks back: its longest window, and some more."""
    windows = [600.0]
    for feed in stay.feeds:
        for source in feed.channels:
            windows += [source.freeze_s or 0.0, source.lost_s, source.smooth_s]
    return max(windows) + 300.0
