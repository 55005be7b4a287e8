"""What comes from each feed: rates, newest values, faults, and sentences that no channel uses."""

from collections.abc import Mapping
from dataclasses import astuple, dataclass, field
from math import isfinite, isinf

from alongside.feeds.figures_heard import FiguresHeard
from alongside.feeds.flaws import Flaw, Flawed, Tally
from alongside.feeds.intake import Intake
from alongside.feeds.meanings import zda_time
from alongside.feeds.registers import said_of
from alongside.feeds.sentence import is_sentence, said_by, split_tags
from alongside.readings import FeedNews, LineNumbers
from alongside.stay.channels import DIRECTIONS
from alongside.stay.exports import CSV
from alongside.stay.model import Feed, Stay
from alongside.wording.names import line_numbers

PLAIN = "(plain line)"
_KINDS_KEPT = 64
_MOST_WAITING = 1000
_MOST_SENDERS = 16
_STARTS = (b"$", b"!")
TEXT = bytes([2, 3, 9, *range(32, 127), 0xB0, 0xB5, 0xC2])
"""Bytes that gauges send: printable, tab, STX, ETX, and the degree sign."""


@dataclass(slots=True)
class Rate:
    """How often, from the first to the last."""

    count: int = 0
    first: float = 0.0
    last: float = 0.0

    def hear(self, time: float) -> None:
        if not self.count:
            self.first = time
        self.count += 1
        self.last = time

    @property
    def per_s(self) -> float:
        """Return the rate, 1/s; NaN where there was but one."""
        span = self.last - self.first
        return (self.count - 1) / span if span > 0.0 else float("nan")


@dataclass(frozen=True, slots=True)
class Newest:
    """The newest raw value of a channel, scaled, angles as the sentence gives them; NaN while none came."""

    channel: str
    feed: str
    value: float = float("nan")
    time: float = float("nan")
    off_the_bow: bool = False
    raw: float = float("nan")
    """As the gauge gives it, in the unit it names."""
    wrong_unit: str = ""
    """The unit it came in, where that cannot be used."""
    outside: str = ""
    """Its range, where it lies outside and is refused."""


@dataclass(slots=True)
class Came:
    """Lines of a feed, understood or not: how many, the longest silence between two, and how many hold bytes
    that are no text."""

    rate: Rate = field(default_factory=Rate)
    longest_gap_s: float = 0.0
    no_text: int = 0
    senders: dict[str, int] = field(default_factory=dict)
    """Lines of each sender, where those are known."""

    def hear(self, time: float, line: bytes, sender: str = "") -> None:
        if sender and (sender in self.senders or len(self.senders) < _MOST_SENDERS):
            self.senders[sender] = self.senders.get(sender, 0) + 1
        if self.rate.count:
            self.longest_gap_s = max(self.longest_gap_s, time - self.rate.last)
        self.rate.hear(time)
        if line.translate(None, TEXT):
            self.no_text += 1


class Listening:
    """Statistics of all feeds of a stay from the lines they send; "" stands for lines of no feed.

    `kinds[feed]` has the rate of each sentence by its address (`WIMWV`; `PLAIN` for lines that are no
    sentence), `unknown[feed]` the addresses no channel is taken from, `clock_ahead[feed]` by how many seconds
    the feed's own clock (ZDA) is ahead of the time its line came in.
    """

    def __init__(self, stay: Stay) -> None:
        self.stay = stay
        self._intake = Intake(stay)
        self._unchecked = {feed.name for feed in stay.feeds if "no_checksum" in feed.admit}
        names = list(self._intake.tallies)
        self.kinds: dict[str, dict[str, Rate]] = {name: {} for name in names}
        self.unknown: dict[str, set[str]] = {name: set() for name in names}
        self.clock_ahead: dict[str, float] = {}
        exports = {feed.name for feed in stay.feeds if feed.port.startswith(CSV)}
        self.figures: dict[str, FiguresHeard] = {name: FiguresHeard(name in exports) for name in names}
        self._asking = {feed.name for feed in stay.feeds if any(source.register for source in feed.channels)}
        self.refused: dict[str, str] = {}
        """Why a channel had no registers the last time, where it had none."""
        self.came: dict[str, Came] = {name: Came() for name in names}
        self._newest: dict[str, Newest] = {
            source.channel: Newest(source.channel, feed.name)
            for feed in stay.feeds
            for source in feed.channels
        }
        self._waiting = 0
        """Lines whose values wait in the intake."""

    def tally(self, feed: str) -> Tally:
        return self._intake.tallies[feed]

    def numbers(self, feed: str) -> tuple[LineNumbers, ...]:
        """Return what was heard of sources that number their lines."""
        return self._intake.numbers[feed].all()

    def hear(self, time: float, feed: str, line: bytes, sender: str = "") -> None:
        """One line of a feed, and the address of who sent it where that is known."""
        name = feed if feed in self.kinds else ""
        self.came[name].hear(time, line, sender)
        if name in self._asking:
            self._note_refusal(name, line)
        else:
            self.figures[name].hear(time, line)
        tally = self.tally(name)
        counted = tally.counted
        self._intake.take(time, name or None, line, sender)
        self._waiting += 1
        if self._waiting >= _MOST_WAITING:
            self._take_newest()
        flawed = tally.counted > counted
        # The intake has tried the checksum: it is not worked out a second time.
        comma = line.find(b",")
        sound = comma > 0 and line[:1] in _STARTS and (not flawed or tally.last is Flaw.UNKNOWN)
        address = line[1:comma] if sound else self._address(name, line)
        if address is not None:
            self._note_kind(time, name, address, flawed and tally.last is Flaw.UNKNOWN)
            if address.endswith(b"ZDA"):
                self._note_clock(time, name, line)

    @property
    def newest(self) -> Mapping[str, Newest]:
        """Return the newest value of each channel."""
        self._take_newest()
        return self._newest

    def _take_newest(self) -> None:
        self._waiting = 0
        for samples, at, raw in self._intake.newest_raw():
            source = samples.source
            value = raw * source.scale + source.offset
            unit = samples.wrong_unit or "none" if isinf(raw) else ""
            low, high = source.range
            in_range = source.channel in DIRECTIONS or not isfinite(value) or low <= value <= high
            outside = "" if in_range else f"{low:g} to {high:g}"
            self._newest[source.channel] = Newest(
                source.channel, samples.feed, value, at, samples.off_the_bow, raw, unit, outside
            )

    def news(self, now: float) -> FeedNews:
        """Return who sends what, and what is to be said of the feeds."""
        return self._intake.feed_news(now, now)

    def _address(self, feed: str, line: bytes) -> bytes | None:
        """Return the address of a sentence, `PLAIN` of any other line, None of one that is not sound."""
        try:
            rest = split_tags(line)[1]
            if not is_sentence(rest):
                return PLAIN.encode()
            return said_by(rest, feed not in self._unchecked).partition(b",")[0]
        except Flawed:
            return None

    def _note_kind(self, time: float, feed: str, heard: bytes, unknown: bool) -> None:
        address = heard.decode("ascii", "replace")
        kinds = self.kinds[feed]
        if address in kinds or len(kinds) < _KINDS_KEPT:
            rate = kinds.get(address)
            if rate is None:
                rate = kinds[address] = Rate()
            rate.hear(time)
            if unknown:
                self.unknown[feed].add(address)

    def _note_refusal(self, feed: str, line: bytes) -> None:
        for source in next(each for each in self.stay.feeds if each.name == feed).channels:
            if (words := said_of(source.channel, line)) is not None:
                self.refused[source.channel] = words

    def _note_clock(self, time: float, feed: str, line: bytes) -> None:
        try:
            fields = said_by(split_tags(line)[1], feed not in self._unchecked).split(b",")
            ahead = zda_time(fields) - time
        except Flawed as flawed:
            self.tally(feed).count(flawed.flaw)
            return
        except (ValueError, IndexError):
            self.tally(feed).count(Flaw.GARBLED)
            return
        if ahead == ahead:
            self.clock_ahead[feed] = ahead


def table(listening: Listening, now: float) -> str:
    """Return the statistics as text, one feed after the other."""
    lines: list[str] = []
    for feed in listening.stay.feeds:
        lines.append(f"{feed.name}  {feed.port}")
        lines += feed_lines(listening, feed, now)
    if listening.kinds[""] or listening.tally(""):
        lines.append("(no feed)")
        lines += feed_lines(listening, None, now)
    return "\n".join(lines)


def feed_lines(listening: Listening, of: Feed | None, now: float) -> list[str]:
    """Return the statistics of a feed as rows; of lines that belong to none."""
    feed = "" if of is None else of.name
    kinds = listening.kinds[feed]
    lines = []
    for address, rate in sorted(kinds.items()):
        per_s = f"{rate.per_s:6.2f}/s" if rate.per_s == rate.per_s else "   once "
        unused = address in listening.unknown[feed] and (of is None or of.channels)
        note = "  nobody listens" if unused else ""
        lines.append(f"  {address:<12} {rate.count:>7}  {per_s}  {now - rate.last:6.1f} s ago{note}")
    if not kinds:
        lines.append("  nothing understood yet")
    senders = listening.came[feed].senders
    if len(senders) > 1:
        of_each = ", ".join(f"{sender} {count} lines" for sender, count in sorted(senders.items()))
        lines.append(f"  {len(senders)} senders on this port: {of_each}")
    lines += [f"  {line_numbers(*astuple(numbers))}" for numbers in listening.numbers(feed)]
    own = (newest for newest in listening.newest.values() if newest.feed == feed)
    lines += [f"  {newest.channel:<16} {_value(newest, now)}" for newest in own]
    if feed in listening.clock_ahead:
        lines.append(f"  its clock is {listening.clock_ahead[feed]:+.1f} s ahead of ours")
    faults = Tally(listening.tally(feed))
    if of is not None and not of.channels:
        for nothing_sought in (Flaw.GARBLED, Flaw.UNKNOWN):
            faults.pop(nothing_sought, None)
    return [*lines, f"  faults: {faults}"] if str(faults) else lines


def _value(newest: Newest, now: float) -> str:
    if newest.time != newest.time:
        return "waiting"
    if newest.wrong_unit:
        return f"wrong unit {newest.wrong_unit}  {now - newest.time:.1f} s ago"
    value = f"{newest.value:.3f}" if newest.value == newest.value else "no value"
    if newest.raw == newest.raw and newest.raw != newest.value:
        value += f" (raw {newest.raw:.6g})"
    if newest.outside:
        value += f", refused: outside {newest.outside}"
    return f"{value}{' off the bow' if newest.off_the_bow else ''}  {now - newest.time:.1f} s ago"
