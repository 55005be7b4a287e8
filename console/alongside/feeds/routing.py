"""Which channel listens to which sentence of which feed.

A line whose TAG source is a feed's name goes to that feed's channels only; a line of unknown source to the
channels of all feeds.
"""

import re
from collections.abc import Callable, Sequence
from math import inf
from typing import Final, NamedTuple

import numpy as np

from alongside.errors import WrongInput
from alongside.feeds.any_field import field_listener
from alongside.feeds.columns import column_listener
from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.inputs import combined
from alongside.feeds.meanings import MEANINGS, OFF_THE_BOW, Fields, Meaning
from alongside.feeds.plain_lines import PatternListener, pattern_listener
from alongside.feeds.raw_values import RawValues, unit_factors
from alongside.feeds.registers import register_listener
from alongside.feeds.senders import ChannelSenders, Hearing
from alongside.feeds.sentence import NAN, tag_name
from alongside.readings import Floats
from alongside.stay.channels import REFERENCES
from alongside.stay.model import Feed, Source, Stay
from alongside.stay.pattern_steps import LONGEST_SEARCHED
from alongside.stay.ports import CallersPort, UdpPort, parse_port

ColumnValues = list[tuple["RawValues", float | Floats]]
"""Of each channel that is in sentences of one layout its value, the same in all of them or an array (k,)."""


class Listener(NamedTuple):
    """What hears sentences of an address: `hear` one that came at a time; `values` gives those of many
    sentences of one layout, and raises an error (`NOT_TOGETHER`) where they have to be heard one by one. None
    where they always have."""

    hear: Callable[[float, Fields], None]
    values: Callable[[Fields], ColumnValues] | None = None


NOT_TOGETHER: Final = (ValueError, IndexError, KeyError, TypeError, AttributeError)
"""What a meaning raises that is asked for many sentences at once and knows one only."""
_ADDRESSES_KEPT = 256


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
            own = not (source.fields or source.groups_read or source.columns or source.register)
            off = source.reference == "bow" or (
                own and (source.sentence or "", source.channel) in OFF_THE_BOW
            )
            units = unit_factors(source) if own and source.sentence == "XDR" else None
            senders = ChannelSenders(feed.name, source.channel, source.lost_s, hearing, named)
            all_samples.append(RawValues(source, feed.name, off, tallies[feed.name], senders, units))
    return all_samples


def named_sender(feed: Feed) -> str | None:
    """Return the one address that a feed is taken from by its `from=`; None for any."""
    try:
        port = parse_port(feed.port)
    except ValueError:
        return None  # its reader will say so; a log needs no port
    return port.sender if isinstance(port, UdpPort | CallersPort) else None


def wrong_source(feed: Feed, source: Source) -> str:
    """Return what is wrong with a source for its channel, in words; "" for nothing."""
    if source.groups_read:
        known = re.compile(feed.pattern).groupindex if feed.pattern else {}
        missing = next((group for group in source.groups_read if group not in known), None)
        return "" if missing is None else f"group {missing!r}, expected one of the feed's pattern"
    if source.fields or source.columns or source.register:
        return ""
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

    def values(fields: Fields) -> ColumnValues:
        value = meaning(fields, reference)
        return [] if value is None else [(samples, value)]

    return Listener(hear, values)


FieldPlaces = tuple[tuple[RawValues, tuple[int, ...]], ...]
"""For each channel the fields whose mean it takes."""


def _transducers(all_samples: Sequence[RawValues]) -> Listener:
    """Return one listener for all channels that come from XDR of one feed. Where the named transducers stand
    is worked out once for each set of names that a sentence may bear."""
    known: dict[tuple[bytes, ...], FieldPlaces] = {}
    tally, hearing = all_samples[0].tally, all_samples[0].senders.hearing

    def wanted(fields: Fields) -> FieldPlaces:
        names = tuple(fields[4::4])
        found = known.get(names)
        if found is None:
            found = _places_of(names, all_samples)
            if len(known) < _ADDRESSES_KEPT:
                known[names] = found
        return found

    def hear(time: float, fields: Fields) -> None:
        for samples, places in wanted(fields):
            if hearing.sender and samples.refuses(time):
                continue
            try:
                value = combined(samples.source, [samples.number_at(fields, at) for at in places])
            except ValueError:
                tally.count(Flaw.GARBLED)
                value = NAN
            if value != value:
                tally.count(Flaw.NO_VALUE)
            elif value == inf:
                tally.count(Flaw.UNIT)
            samples.time.append(time)
            samples.value.append(value)

    def values(fields: Fields) -> ColumnValues:
        if not all(isinstance(name, bytes) for name in fields[4::4]):
            raise TypeError("transducers whose names are numbers")
        return [
            (samples, _combined_columns(samples.source, [samples.number_at(fields, at) for at in places]))
            for samples, places in wanted(fields)
        ]

    return Listener(hear, values)


def _combined_columns(source: Source, columns: Sequence[float | Floats]) -> float | Floats:
    """Return what a channel makes of its inputs in many sentences."""
    if len(columns) == 1:
        return columns[0]
    rows = zip(*(column.tolist() for column in np.broadcast_arrays(*columns)), strict=True)
    return np.array([combined(source, row) for row in rows])


def _places_of(names: tuple[bytes, ...], all_samples: Sequence[RawValues]) -> FieldPlaces:
    """Return the channels all of whose transducers are in the sentence; the first of a name counts."""
    place = {name: 4 * at + 2 for at, name in reversed(list(enumerate(names)))}
    wanted = [(samples, [name.encode() for name in samples.source.names]) for samples in all_samples]
    return tuple(
        (samples, tuple(place[n] for n in mine)) for samples, mine in wanted if all(n in place for n in mine)
    )


def _searching(patterns: Sequence[PatternListener], tally: Tally, others: bool) -> Listener:
    """Return the listener to a sentence whose text the patterns of the feeds are tried on. One that none of
    them knows is counted, unless there are `others` that listen to it."""

    def hear(time: float, fields: Fields) -> None:
        text = b",".join(fields)
        if len(text) > LONGEST_SEARCHED:
            tally.count(Flaw.OVERLONG)
            return
        matched = [search(time, text) for search in patterns]
        if not any(matched) and not others:
            tally.count(Flaw.UNKNOWN)

    return Listener(hear)


class Routes(dict[bytes, tuple[Listener, ...]]):
    """Address of a sentence -> its listeners, looked up when first met."""

    def __init__(
        self, name: str, tally: Tally, feeds: Sequence[Feed], all_samples: Sequence[RawValues]
    ) -> None:
        self.name = name
        self.tally = tally
        self.channels = [samples for feed in feeds for samples in all_samples if samples.feed == feed.name]
        self._by_feed = [[samples for samples in all_samples if samples.feed == feed.name] for feed in feeds]
        patterns = (pattern_listener(feed, mine) for feed, mine in zip(feeds, self._by_feed, strict=True))
        by_feed = [(feed, pattern) for feed, pattern in zip(feeds, patterns, strict=True) if pattern]
        columns = (column_listener(feed, mine) for feed, mine in zip(feeds, self._by_feed, strict=True))
        self.patterns = (*filter(None, columns), *(pattern for _, pattern in by_feed))
        """Who hears a plain line: by its columns, then by a pattern."""
        self._sentences = tuple(pattern for feed, pattern in by_feed if "sentences" in feed.admit)
        self._makers = tuple(
            pattern for feed, pattern in by_feed if {"makers", "sentences"} & set(feed.admit)
        )
        admitting = [feed for feed in feeds if "no_checksum" in feed.admit]
        self.unchecked: Routes | None = None
        """Who hears a sentence without a checksum; None where nobody does."""
        if admitting:
            whole = len(admitting) == len(feeds)
            self.unchecked = self if whole else Routes(name, tally, admitting, all_samples)

    def __missing__(self, address: bytes) -> tuple[Listener, ...]:
        listeners: list[Listener] = []
        for all_samples in self._by_feed:
            listeners += _listeners(address, all_samples)
        searching = self._makers if address.startswith(b"P") else self._sentences
        if searching:
            listeners.insert(0, _searching(searching, self.tally, bool(listeners)))
        if len(self) < _ADDRESSES_KEPT:
            self[address] = tuple(listeners)
        return tuple(listeners)


def _listeners(address: bytes, all_samples: Sequence[RawValues]) -> list[Listener]:
    """Return the listeners of one feed to an address."""
    kind, talker = formatter(address), address[:2].decode("ascii", "replace")
    mine = [t for t in all_samples if t.source.sentence == kind and t.source.talker in (None, talker)]
    by_field = [Listener(field_listener(samples)) for samples in mine if samples.source.fields]
    mine = [samples for samples in mine if not samples.source.fields]
    if kind == "XDR" and mine:
        registers = register_listener(mine)
        transducers = [samples for samples in mine if not samples.source.register]
        named = [_transducers(transducers)] if transducers else []
        return [*by_field, *named, *([Listener(registers)] if registers else [])]
    return by_field + [_meant(samples, MEANINGS[kind][samples.source.channel]) for samples in mine]


class RoutesBySource(dict[bytes | None, Routes]):
    """TAG source -> routes; an unknown source reaches every feed."""

    def __init__(self, stay: Stay, all_samples: Sequence[RawValues], tallies: dict[str, Tally]) -> None:
        for feed in stay.feeds:
            mine = [samples for samples in all_samples if samples.feed == feed.name]
            self[tag_name(feed.name)] = Routes(feed.name, tallies[feed.name], [feed], mine)
        self.everywhere = Routes("", tallies[""], stay.feeds, all_samples)

    def __missing__(self, source: bytes | None) -> Routes:
        return self.everywhere
