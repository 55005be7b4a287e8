"""Which sentences the feeds of a stay send, and which gauges are in each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.stay.model import Feed, Scenario, Source, Stay
from alongside.training.simulate.gauges import KINDS, Column, Gauge, Mask
from alongside.training.simulate.sentences import WRITERS, Bodies, xdr, xdr_groups

BESIDE_XDR = ", ".join(WRITERS)


@dataclass(frozen=True, slots=True)
class Outgoing:
    """One sentence that a feed sends at every interval."""

    feed: str
    formatter: str
    talker: str
    reference: str
    gauges: tuple[tuple[Source, str, Gauge], ...]
    """Source, transducer name (for XDR) and gauge, in the order they stand in the sentence."""

    @property
    def channels(self) -> tuple[str, ...]:
        return tuple(source.channel for source, _, _ in self.gauges)

    def next_block(self, time: Floats, truth: Mapping[str, Floats]) -> tuple[Bodies, Mask]:
        """Return bodies at the next instants, and which of them leave with a wrong checksum."""
        columns = []
        for source, name, gauge in self.gauges:
            value = truth[source.channel]
            if self.formatter == "MWV" and source.channel == "wind_from":
                value = (value - truth["heading"]) % 360.0
            columns.append((source.channel, name, gauge.next_block(time, value)))
        corrupt = np.logical_or.reduce([column.corrupt for _, _, column in columns])
        if self.formatter == "XDR":
            return xdr(self.talker, columns), corrupt
        write, _, _ = WRITERS[self.formatter]
        of: dict[str, Column | None] = {channel: column for channel, _, column in columns}
        return write(self.talker, self.reference, of), corrupt


def outgoing_of(stay: Stay, scenario: Scenario) -> list[Outgoing]:
    """Return the sentences of all feeds, in the order of the stay file. Raises WrongInput for what cannot be
    sent."""
    if not stay.feeds:
        raise WrongInput(f"{stay.file}: feeds: missing, a simulated log needs gauges")
    return [sentence for feed in stay.feeds for sentence in _outgoing(stay, feed, scenario)]


def _outgoing(stay: Stay, feed: Feed, scenario: Scenario) -> list[Outgoing]:
    for source in feed.channels:
        _refuse(stay, scenario, feed, source)
    gathered: dict[tuple[str, str], list[Source]] = {}
    for source in feed.channels:
        formatter = source.sentence or ""
        talker = source.talker or ("YX" if formatter == "XDR" else WRITERS[formatter][2])
        gathered.setdefault((formatter, talker), []).append(source)
    outgoing = []
    for (formatter, talker), sources in gathered.items():
        reference = next((source.reference for source in sources if source.reference), "R")
        shares = _share_out(feed, formatter, sources, scenario)
        outgoing += [Outgoing(feed.name, formatter, talker, reference, gauges) for gauges in shares]
    return outgoing


def _share_out(
    feed: Feed, formatter: str, sources: Sequence[Source], scenario: Scenario
) -> list[tuple[tuple[Source, str, Gauge], ...]]:
    """The gauges of one formatter, as many to a sentence as it holds."""
    gauges = [
        (source, name, Gauge(source, scenario, f"{feed.name} {source.channel} {name}", scenario.faults))
        for source in sources
        for name in (source.names if formatter == "XDR" else ("",))
    ]
    if formatter != "XDR":
        return [tuple(gauges)]
    groups = xdr_groups([(source.channel, name) for source, name, _ in gauges])
    return [tuple(gauges[index] for index in group) for group in groups]


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
        raise WrongInput(f"{where}: plain lines and exports cannot be simulated; expected a sentence")
    if source.register is not None:
        raise WrongInput(f"{where}: registers cannot be simulated; expected a sentence")
    if source.fields or source.loop is not None or source.combine != "mean":
        raise WrongInput(
            f"{where}: fields, current loops and combined inputs cannot be simulated; expected none of them"
        )
    if source.sentence == "XDR":
        return
    if source.sentence not in WRITERS or source.channel not in WRITERS[source.sentence][1]:
        expected = f"expected XDR, or one of {BESIDE_XDR} for what it carries"
        raise WrongInput(f"{where}: {source.sentence} cannot be simulated here; {expected}")
