"""Which lines the feeds of a stay send, and which gauges are in each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.stay.model import Feed, GaugeFault, Scenario, Source, Stay
from alongside.training.gauge_faults import Mask, lasts
from alongside.training.simulate.by_column import column_rows
from alongside.training.simulate.by_field import field_sentences
from alongside.training.simulate.by_pattern import pattern_lines
from alongside.training.simulate.by_register import register_sentences
from alongside.training.simulate.gauges import KINDS, Column, Gauge
from alongside.training.simulate.sentences import (
    WRITERS,
    Bodies,
    Quad,
    Texts,
    Write,
    xdr,
    xdr_groups,
    xdr_kind,
)
from alongside.training.simulate.written import Writing, writings, xdr_unit

BESIDE_XDR = ", ".join(WRITERS)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one number stands in a line: which input of which gauge."""

    source: Source
    gauge: Gauge
    at: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Spoken:
    """What one line says in a block: (n,) bodies, None where nothing is sent; which leave with a wrong
    checksum, and which garbled; and what another sender says beside it."""

    bodies: Bodies
    corrupt: Mask
    garbled: Mask
    second: Bodies


@dataclass(frozen=True, slots=True)
class Outgoing:
    """One line that a feed sends at every interval: a sentence, or a plain one, which may bear its own time.
    `off_the_bow`: its directions are."""

    feed: str
    places: tuple[Place, ...]
    write: Write
    plain: bool = False
    bears_time: bool = False
    off_the_bow: bool = False
    swaps: tuple[GaugeFault, ...] = ()

    @property
    def channels(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(place.source.channel for place in self.places))

    def next_block(self, time: Floats, truth: Mapping[str, Floats]) -> Spoken:
        """Return what it says at the next instants."""
        columns: dict[int, Column] = {}
        for place in self.places:
            if id(place.gauge) not in columns:
                value = self._value(place.source, time, truth)
                columns[id(place.gauge)] = place.gauge.next_block(time, value)
        shown = [columns[id(place.gauge)] for place in self.places]
        texts = [column.inputs[place.at] for column, place in zip(shown, self.places, strict=True)]
        corrupt = np.logical_or.reduce([column.corrupt for column in shown])
        garbled = np.logical_or.reduce([column.garbled for column in shown])
        return Spoken(self.write(time, texts), corrupt, garbled, self._second(time, shown, texts))

    def _value(self, source: Source, time: Floats, truth: Mapping[str, Floats]) -> Floats:
        """Return what the gauge of a channel measures: the value of another where both are swapped."""
        value = truth[source.channel]
        for swap in self.swaps:
            if source.channel in (swap.channel, swap.other):
                other = swap.other if source.channel == swap.channel else swap.channel
                value = np.where(lasts(swap, time), truth[other], value)
        off = source.reference == "bow" or (self.off_the_bow and source.channel == "wind_from")
        return (value - truth["heading"]) % 360.0 if off else value

    def _second(self, time: Floats, shown: Sequence[Column], texts: Sequence[Texts]) -> Bodies:
        """Return what another sender says: the same line, but for the gauges that it has too."""
        there = np.zeros(time.size, dtype=np.bool_)
        others = []
        for column, place, text in zip(shown, self.places, texts, strict=True):
            own = column.second[place.at] if column.second else (None,) * time.size
            there |= np.array([each is not None for each in own])
            others.append(tuple(b if b is not None else a for a, b in zip(text, own, strict=True)))
        if not there.any():
            return [None] * time.size
        bodies = self.write(time, others)
        return [body if here else None for body, here in zip(bodies, there.tolist(), strict=True)]


def outgoing_of(stay: Stay, scenario: Scenario) -> list[Outgoing]:
    """Return the lines of all feeds, in the order of the stay file. Raises WrongInput for what cannot be
    sent."""
    if not stay.feeds:
        raise WrongInput(f"{stay.file}: feeds: missing, a simulated log needs gauges")
    return [line for feed in stay.feeds for line in _outgoing(stay, feed, scenario)]


def _outgoing(stay: Stay, feed: Feed, scenario: Scenario) -> list[Outgoing]:
    for source in feed.channels:
        _refuse(stay, scenario, feed, source)
    gathered: dict[tuple[str, str], list[Source]] = {}
    for source in feed.channels:
        if source.sentence is not None and not source.fields and source.register is None:
            formatter = source.sentence
            talker = source.talker or ("YX" if formatter == "XDR" else WRITERS[formatter][2])
            gathered.setdefault((formatter, talker), []).append(source)
    swaps = tuple(fault for fault in scenario.faults if fault.kind == "swapped")
    outgoing = []
    for (formatter, talker), sources in gathered.items():
        if formatter == "XDR":
            outgoing += _transducers(feed, talker, sources, scenario, swaps)
        else:
            outgoing.append(_standard(feed, formatter, talker, sources, scenario, swaps))
    return outgoing + _by_place(stay, feed, scenario, swaps)


def _gauges(
    feed: Feed, source: Source, scenario: Scenario, inputs: Sequence[str], written: Sequence[Writing] | None
) -> list[Place]:
    """Return the places of a channel's inputs: of a mean each has a gauge of its own, else one gauge fills
    them all."""

    def gauge(name: str, by: Sequence[Writing] | None) -> Gauge:
        return Gauge(source, scenario, f"{feed.name} {source.channel} {name}", scenario.faults, by)

    if len(inputs) > 1 and source.combine != "mean":
        one = gauge(inputs[0], written)
        return [Place(source, one, at) for at in range(len(inputs))]
    by = [None] * len(inputs) if written is None else [(each,) for each in written]
    return [Place(source, gauge(name, each)) for name, each in zip(inputs, by, strict=True)]


def _transducers(
    feed: Feed, talker: str, sources: Sequence[Source], scenario: Scenario, swaps: tuple[GaugeFault, ...]
) -> list[Outgoing]:
    """Return the XDR of a talker, as many transducers to a sentence as it holds. All of one channel stand in
    one, or they would not be read."""
    outgoing = []
    for group in xdr_groups([source.names for source in sources]):
        places: list[Place] = []
        quads: list[Quad] = []
        for source in (sources[index] for index in group):
            unit, factor = xdr_unit(source)
            written = writings(source, [factor] * len(source.names))
            places += _gauges(feed, source, scenario, source.names, written)
            kind = "I" if source.loop is not None else xdr_kind(source.channel)[0]
            quads += [Quad(kind, unit, name) for name in source.names]
        outgoing.append(Outgoing(feed.name, tuple(places), partial(_xdr, talker, quads), swaps=swaps))
    return outgoing


def _xdr(talker: str, quads: Sequence[Quad], _time: Floats, texts: Sequence[Texts]) -> Bodies:
    return xdr(talker, quads, texts)


def _standard(
    feed: Feed,
    formatter: str,
    talker: str,
    sources: Sequence[Source],
    scenario: Scenario,
    swaps: tuple[GaugeFault, ...],
) -> Outgoing:
    """Return the line of a sentence of the standard other than XDR."""
    reference = next((source.reference for source in sources if source.reference), "R")
    write, _, _ = WRITERS[formatter]
    channels = [source.channel for source in sources]

    def written(_time: Floats, texts: Sequence[Texts]) -> Bodies:
        return write(talker, reference, dict(zip(channels, texts, strict=True)))

    places = [place for source in sources for place in _gauges(feed, source, scenario, ("",), None)]
    return Outgoing(feed.name, tuple(places), written, off_the_bow=formatter == "MWV", swaps=swaps)


def _by_place(stay: Stay, feed: Feed, scenario: Scenario, swaps: tuple[GaugeFault, ...]) -> list[Outgoing]:
    """Return the lines that are read by fields, by the pattern, of registers, and by columns."""
    makers = (field_sentences, pattern_lines, register_sentences, column_rows)
    outgoing = []
    for line in (line for make in makers for line in make(stay, feed)):
        gauges: dict[str, list[Place]] = {}
        for source, names, written in line.inputs:
            gauges[source.channel] = _gauges(feed, source, scenario, names, written)
        places = tuple(gauges[channel][at] for channel, at in line.order)
        bears_time = line.plain and feed.time is not None
        outgoing.append(Outgoing(feed.name, places, line.write, line.plain, bears_time, swaps=swaps))
    return outgoing


def _refuse(stay: Stay, scenario: Scenario, feed: Feed, source: Source) -> None:
    """Raise WrongInput for a channel or sentence that a simulated log cannot have."""
    where = f"{stay.file}: feeds.{feed.name}.channels.{source.channel}"
    if source.channel not in KINDS and not source.channel.startswith("tension."):
        known = ", ".join([*KINDS, "tension.LINE"])
        raise WrongInput(f"{where}: cannot be simulated; a simulated log knows {known}")
    if source.channel.startswith("wind_") and not scenario.wind:
        raise WrongInput(f"{where}: simulate.wind is missing, expected the wind that this gauge measures")
    if source.channel == "depth" and stay.berth.charted_depth is None:
        raise WrongInput(f"{where}: berth.charted_depth is missing, expected how deep the water is")
    if source.sentence is None:
        faults = {each.kind for each in scenario.faults if each.channel == source.channel}
        if "checksum" in faults and source.register is None:
            raise WrongInput(f"{where}: a plain line has no checksum, expected another kind of fault")
        return
    if source.fields or source.sentence == "XDR":
        return
    if source.sentence not in WRITERS or source.channel not in WRITERS[source.sentence][1]:
        expected = f"expected XDR, or one of {BESIDE_XDR} for what it carries, or a field"
        raise WrongInput(f"{where}: {source.sentence} cannot be simulated here; {expected}")
