"""Gauges: what they show of the true values, with swell, noise, resolution and faults of the stay file."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import GaugeFault, Scenario, Source
from alongside.training.gauge_faults import FaultyValues, Mask, lasts
from alongside.training.simulate.sentences import Texts
from alongside.training.simulate.weather import Swell, stream
from alongside.training.simulate.written import Writing, writings, xdr_unit


@dataclass(frozen=True, slots=True)
class GaugeKind:
    """How a kind of gauge reads: last digit shown and own noise, in the channel's unit; noise None is the
    scenario's `noise_m`; `wild` is how far off a spike lands."""

    resolution: float
    noise: float | None
    wild: float
    in_swell: bool = False
    circle: bool = False


LEVEL: Final = GaugeKind(resolution=0.01, noise=None, wild=3.0, in_swell=True)
KINDS: Final = {
    "tide": LEVEL,
    "draught_fwd": LEVEL,
    "draught_aft": LEVEL,
    "draught_mid_port": LEVEL,
    "draught_mid_stbd": LEVEL,
    "depth": GaugeKind(resolution=0.1, noise=None, wild=8.0, in_swell=True),
    "heel": GaugeKind(resolution=0.1, noise=0.08, wild=20.0),
    "heading": GaugeKind(resolution=0.1, noise=0.05, wild=90.0, circle=True),
    "wind_speed": GaugeKind(resolution=0.1, noise=0.0, wild=40.0),
    "wind_from": GaugeKind(resolution=1.0, noise=0.0, wild=120.0, circle=True),
}
LOAD_CELL: Final = GaugeKind(resolution=0.1, noise=None, wild=400.0)
"""A load cell on a line, kN; its noise is the scenario's `cell_noise_kn`."""
DAY_S: Final = 86_400.0

SPIKE_EVERY = 6
"""One sample in so many is a spike while that fault lasts."""
NONSENSE: Final = ("nan", "--.--", "1E9", "?", "8..2")
SECOND_BY: Final = 1.0
"""How far off a second sender is where nobody says, in the channel's unit."""


def kind_of(channel: str) -> GaugeKind:
    return LOAD_CELL if channel.startswith("tension.") else KINDS[channel]


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """What one gauge shows in a block: text (n,), None where it is silent; `corrupt` and `garbled` (n,) are
    true where its line leaves with a wrong checksum, or with bytes that are none of its own; `more` are the
    texts of its other inputs, `second` those that another sender gives, None where there is none."""

    text: Texts
    corrupt: Mask
    garbled: Mask
    more: tuple[Texts, ...] = ()
    second: tuple[Texts, ...] = ()

    @property
    def inputs(self) -> tuple[Texts, ...]:
        return (self.text, *self.more)


class Gauge:
    """One gauge of a simulated stay, walked block by block. `written`: how each of its inputs is written,
    None for a transducer of an XDR."""

    def __init__(
        self,
        source: Source,
        scenario: Scenario,
        name: str,
        faults: Sequence[GaugeFault],
        written: Sequence[Writing] | None = None,
    ) -> None:
        self._written_as = writings(source, [xdr_unit(source)[1]]) if written is None else tuple(written)
        self._kind = kind_of(source.channel)
        self._start = scenario.start
        noise = self._kind.noise
        own = scenario.cell_noise_kn if self._kind is LOAD_CELL else scenario.noise_m
        self._noise = own if noise is None else noise
        self._drift_per_s = 0.0
        """Of its zero, in the channel's unit."""
        if self._kind is LOAD_CELL and scenario.cell_drift_kn:
            drift = stream(scenario.seed, f"drift of {name}").standard_normal()
            self._drift_per_s = scenario.cell_drift_kn * float(drift) / DAY_S
        self._random = stream(scenario.seed, f"noise of {name}")
        phases = stream(scenario.seed, f"swell at {source.channel}")
        height = scenario.swell_height if self._kind.in_swell else 0.0
        self._swell = Swell(height, scenario.swell_period, phases)
        self._faults = tuple(fault for fault in faults if fault.channel == source.channel)
        self._astray = [(fault, FaultyValues(self._with_size(fault))) for fault in self._faults]

    def _with_size(self, fault: GaugeFault) -> GaugeFault:
        """Return a spike with the size that is usual for the channel, where nobody says."""
        return replace(fault, by=self._kind.wild) if fault.kind == "spike" and fault.by is None else fault

    def next_block(self, time: Floats, truth: Floats) -> Column:
        """Return what it shows at the next instants, given the true value (n,) of its channel."""
        read = truth + self._noise * self._random.standard_normal(time.size)
        if self._drift_per_s:
            read = read + self._drift_per_s * (time - self._start)
        if self._kind.in_swell:
            read = read + self._swell.at(time - self._start)
        wild = self._random.integers(0, SPIKE_EVERY, time.size) == 0
        for fault, values in self._astray:
            during = lasts(fault, time)
            if during.any():  # what it showed before is not asked for: it freezes at its first value
                read = read.copy()
                read[during] = values.shown(time[during], read[during], wild[during])
        return self._spoilt(time, read, [self._written(written, read) for written in self._written_as])

    def _shown(self, value: Floats) -> Floats:
        """Return values rounded to the last digit that the gauge shows."""
        shown: Floats = np.round(value / self._kind.resolution) * self._kind.resolution
        return shown % 360.0 if self._kind.circle else shown

    def _written(self, written: Writing, value: Floats) -> list[str | None]:
        return [*written.texts(self._shown(value), self._kind.resolution)]

    def _spoilt(self, time: Floats, read: Floats, inputs: list[list[str | None]]) -> Column:
        """The text while a fault of what is sent lasts."""
        corrupt, garbled = np.zeros((2, time.size), dtype=np.bool_)
        second: tuple[Texts, ...] = ()
        for fault in self._faults:
            during = lasts(fault, time)
            if fault.kind == "checksum":
                corrupt |= during
            elif fault.kind == "garbled":
                garbled |= during
            elif fault.kind == "second_sender":
                second = self._by_another(fault, read, during)
            elif fault.kind in ("silent", "nonsense"):
                for row in np.flatnonzero(during).tolist():
                    for text in inputs:
                        text[row] = None if fault.kind == "silent" else NONSENSE[row % len(NONSENSE)]
        first, *more = (tuple(text) for text in inputs)
        return Column(first, corrupt, garbled, tuple(more), second)

    def _by_another(self, fault: GaugeFault, read: Floats, during: Mask) -> tuple[Texts, ...]:
        off = read + (SECOND_BY if fault.by is None else fault.by)
        columns = [self._written(written, off) for written in self._written_as]
        return tuple(
            tuple(text if there else None for text, there in zip(column, during.tolist(), strict=True))
            for column in columns
        )
