"""Which channel listens to which sentence of which feed.

A line whose TAG source is a feed's name goes to that feed's channels only; a line of unknown source to the
channels of all feeds.
"""

import re
from array import array
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import inf

from alongside.errors import WrongInput
from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.meanings import MEANINGS, OFF_THE_BOW, Fields, Meaning
from alongside.feeds.senders import ChannelSenders, Hearing
from alongside.feeds.sentence import NAN, number, tag_name
from alongside.stay.channels import REFERENCES, xdr_units
from alongside.stay.model import Feed, Source, Stay
from alongside.stay.pattern_steps import LONGEST_SEARCHED
from alongside.stay.ports import UdpPort, parse_port

Listener = Callable[[float, Fields], None]
PatternListener = Callable[[float, bytes], bool]

_ADDRESSES_KEPT = 256


@dataclass(slots=True)
class RawValues:
    """Raw values of one channel as they come, not judged yet; NaN where the gauge gives none, infinite where
    it gives one in a unit that cannot be used: `wrong_unit` is the last such."""

    source: Source
    feed: str
    off_the_bow: bool
    tally: Tally
    senders: ChannelSenders
    wrong_unit: str = ""
    time: "array[float]" = field(default_factory=lambda: array("d"))
    value: "array[float]" = field(default_factory=lambda: array("d"))

    def take(self, time: float, value: float) -> None:
        """Take a value of the line at hand, NaN for none."""
        if self.refuses(time):
            return
        if value != value:
            self.tally.count(Flaw.NO_VALUE)
        self.time.append(time)
        self.value.append(value)

    def refuses(self, time: float) -> bool:
        """Return whether the line at hand comes from a sender of which this channel is not taken."""
        if not self.senders.hearing.sender or self.senders.admits(time):
            return False
        self.tally.count(Flaw.OTHER_SENDER)
        return True


def formatter(address: bytes) -> str:
    """Return `MWV` of `WIMWV`; a maker's own sentence (`PXYZ…`) is its whole address."""
    text = address.decode("ascii", "replace")
    return text if text.startswith("P") else text[2:]


def all_samples_of(stay: Stay, tallies: dict[str, Tally], hearing: Hearing) -> list[RawValues]:
    """Return the raw values of each channel of each feed, in the order of the stay file.

    Raises WrongInput for a channel that its sentence cannot give, or that two feeds give.
    """
    all_samples: list[RawValues] = []
    for feed in stay.feeds:
        named = named_sender(feed)
        for source in feed.channels:
            problem = wrong_source(feed, source)
            if any(samples.source.channel == source.channel for samples in all_samples):
                problem = "is given twice, expected one source for a channel"
            if problem:
                raise WrongInput(f"{stay.file}: feeds.{feed.name}.channels.{source.channel}: {problem}")
            off = (source.sentence or "", source.channel) in OFF_THE_BOW
            senders = ChannelSenders(feed.name, source.channel, source.lost_s, hearing, named)
            all_samples.append(RawValues(source, feed.name, off, tallies[feed.name], senders))
    return all_samples


def named_sender(feed: Feed) -> str | None:
    """Return the one address that a feed is taken from by its `from=`; None for any."""
    try:
        port = parse_port(feed.port)
    except ValueError:
        return None  # its reader will say so; a log needs no port
    return port.sender if isinstance(port, UdpPort) else None


def wrong_source(feed: Feed, source: Source) -> str:
    """Return what is wrong with a source for its channel, in words; "" for nothing."""
    if source.group is not None:
        known = re.compile(feed.pattern).groupindex if feed.pattern else {}
        return "" if source.group in known else f"group {source.group!r}, expected one of the feed's pattern"
    if source.sentence == "XDR":
        return "" if source.names else "XDR without a name, expected the transducer's name"
    meanings = MEANINGS.get(source.sentence or "")
    if meanings is None:
        return f"sentence {source.sentence!r}, expected XDR or one of {', '.join(sorted(MEANINGS))}"
    if source.channel not in meanings:
        return f"{source.sentence} does not give it, it gives {' and '.join(sorted(meanings))}"
    allowed = REFERENCES.get(source.sentence or "", ())
    if source.reference is not None and source.reference not in allowed:
        return f"reference {source.reference!r}, expected {' or '.join(sorted(allowed)) or 'none'}"
    return ""


def _meant(samples: RawValues, meaning: Meaning) -> Listener:
    reference = samples.source.reference.encode() if samples.source.reference else None
    tally, hearing = samples.tally, samples.senders.hearing
    add_time, add_value = samples.time.append, samples.value.append

    def hear(time: float, fields: Fields) -> None:
        try:
            value = meaning(fields, reference)
        except (ValueError, IndexError, KeyError):
            tally.count(Flaw.GARBLED)
            value = NAN
        if value is None or (hearing.sender and samples.refuses(time)):
            return
        if value != value:
            tally.count(Flaw.NO_VALUE)
        add_time(time)
        add_value(value)

    return hear


FieldPlaces = tuple[tuple[RawValues, tuple[tuple[int, float], ...] | None], ...]
"""For each channel the fields whose mean it takes, each with what brings it to the channel's unit; None where
one of them is in a wrong unit."""


def _transducers(all_samples: Sequence[RawValues]) -> Listener:
    """Return one listener for all channels that come from XDR of one feed. Where the named transducers stand
    is worked out once for each set of types, units and names that a sentence may bear."""
    known: dict[tuple[bytes, ...], FieldPlaces] = {}
    tally, hearing = all_samples[0].tally, all_samples[0].senders.hearing

    def hear(time: float, fields: Fields) -> None:
        kinds = (*fields[4::4], *fields[1::4], *fields[3::4])
        wanted = known.get(kinds)
        if wanted is None:
            wanted = _places_of(fields, all_samples)
            if len(known) < _ADDRESSES_KEPT:
                known[kinds] = wanted
        for samples, places in wanted:
            if hearing.sender and samples.refuses(time):
                continue
            if places is None:
                tally.count(Flaw.UNIT)
                samples.time.append(time)
                samples.value.append(inf)
                continue
            try:
                if len(places) == 1:
                    value = number(fields[places[0][0]]) * places[0][1]
                else:
                    value = sum([number(fields[at]) * by for at, by in places]) / len(places)
            except ValueError:
                tally.count(Flaw.GARBLED)
                value = NAN
            if value != value:
                tally.count(Flaw.NO_VALUE)
            samples.time.append(time)
            samples.value.append(value)

    return hear


def _places_of(fields: Fields, all_samples: Sequence[RawValues]) -> FieldPlaces:
    """Return the channels all of whose transducers are in the sentence; the first of a name counts."""
    names = fields[4::4]
    place = {name: 4 * at + 2 for at, name in reversed(list(enumerate(names)))}
    found: list[tuple[RawValues, tuple[tuple[int, float], ...] | None]] = []
    for samples in all_samples:
        mine = [name.encode() for name in samples.source.names]
        if not all(name in place for name in mine):
            continue
        places = [place[name] for name in mine]
        factors = [_to_channel(samples, fields[at - 1], fields[at + 1]) for at in places]
        pairs = tuple((at, by) for at, by in zip(places, factors, strict=True) if by is not None)
        found.append((samples, pairs if len(pairs) == len(places) else None))
    return tuple(found)


def _to_channel(samples: RawValues, kind: bytes, unit: bytes) -> float | None:
    """Return what brings a raw value of a transducer to the channel's unit, or leaves it as it is where the
    stay file says what it is; None for a unit that is not the one expected."""
    source, letter = samples.source, unit.decode("ascii", "replace")
    letters = xdr_units(source.channel)
    if source.unit is not None:
        factor = None if letter != source.unit else 1.0
        if factor and source.unit in letters and source.scale == 1.0:
            factor = letters[source.unit]
    elif not source.checks_unit or not letter:
        factor = 1.0
    else:
        # M of a volume is cubic metres.
        factor = None if kind == b"V" else letters.get(letter)
    if factor is None:
        samples.wrong_unit = letter
    return factor


def _pattern(feed: Feed, all_samples: Sequence[RawValues]) -> PatternListener | None:
    wanted = [(samples, samples.source.group) for samples in all_samples if samples.source.group is not None]
    if feed.pattern is None or not wanted:
        return None
    search = re.compile(feed.pattern.encode()).search

    def hear(time: float, line: bytes) -> bool:
        match = search(line)
        if match is None:
            return False
        for samples, group in wanted:
            text = match[group]
            if text is None:
                continue
            try:
                samples.take(time, number(text.strip()))
            except ValueError:
                samples.tally.count(Flaw.GARBLED)
                samples.take(time, NAN)
        return True

    return hear


def _maker(patterns: Sequence[PatternListener], tally: Tally) -> Listener:
    """Return the listener to a maker's sentence, whose text the patterns of the feeds are tried on."""

    def hear(time: float, fields: Fields) -> None:
        text = b",".join(fields)
        if len(text) > LONGEST_SEARCHED:
            tally.count(Flaw.OVERLONG)
            return
        matched = [search(time, text) for search in patterns]
        if not any(matched):
            tally.count(Flaw.UNKNOWN)

    return hear


class Routes(dict[bytes, tuple[Listener, ...]]):
    """Address of a sentence -> its listeners, looked up when first met."""

    def __init__(
        self, name: str, tally: Tally, feeds: Sequence[Feed], all_samples: Sequence[RawValues]
    ) -> None:
        self.name = name
        self.tally = tally
        self._by_feed = [[samples for samples in all_samples if samples.feed == feed.name] for feed in feeds]
        patterns = (_pattern(feed, mine) for feed, mine in zip(feeds, self._by_feed, strict=True))
        by_feed = [(feed, pattern) for feed, pattern in zip(feeds, patterns, strict=True) if pattern]
        self.patterns = tuple(pattern for _, pattern in by_feed)
        self._makers = tuple(pattern for feed, pattern in by_feed if "makers" in feed.admit)
        admitting = [feed for feed in feeds if "no_checksum" in feed.admit]
        self.unchecked: Routes | None = None
        """Who hears a sentence without a checksum; None where nobody does."""
        if admitting:
            whole = len(admitting) == len(feeds)
            self.unchecked = self if whole else Routes(name, tally, admitting, all_samples)

    def __missing__(self, address: bytes) -> tuple[Listener, ...]:
        listeners: list[Listener] = []
        if self._makers and address.startswith(b"P"):
            listeners.append(_maker(self._makers, self.tally))
        for all_samples in self._by_feed:
            listeners += _listeners(address, all_samples)
        if len(self) < _ADDRESSES_KEPT:
            self[address] = tuple(listeners)
        return tuple(listeners)


def _listeners(address: bytes, all_samples: Sequence[RawValues]) -> list[Listener]:
    """Return the listeners of one feed to an address."""
    kind, talker = formatter(address), address[:2].decode("ascii", "replace")
    mine = [t for t in all_samples if t.source.sentence == kind and t.source.talker in (None, talker)]
    transducers = [samples for samples in mine if kind == "XDR"]
    if transducers:
        return [_transducers(transducers)]
    return [
        _meant(samples, MEANINGS[kind][samples.source.channel])
        for samples in mine
        if samples.source.group is None
    ]


class RoutesBySource(dict[bytes | None, Routes]):
    """TAG source -> routes; an unknown source reaches every feed."""

    def __init__(self, stay: Stay, all_samples: Sequence[RawValues], tallies: dict[str, Tally]) -> None:
        for feed in stay.feeds:
            mine = [samples for samples in all_samples if samples.feed == feed.name]
            self[tag_name(feed.name)] = Routes(feed.name, tallies[feed.name], [feed], mine)
        self.everywhere = Routes("", tallies[""], stay.feeds, all_samples)

    def __missing__(self, source: bytes | None) -> Routes:
        return self.everywhere
