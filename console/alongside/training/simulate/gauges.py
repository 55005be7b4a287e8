"""Gauges: what they show of the true values, with swell, noise, resolution and faults of the stay file."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.channels import xdr_units
from alongside.stay.model import GaugeFault, Scenario, Source
from alongside.training.simulate.weather import Swell, stream

Mask = NDArray[np.bool_]


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


def kind_of(channel: str) -> GaugeKind:
    return LOAD_CELL if channel.startswith("tension.") else KINDS[channel]


@dataclass(frozen=True, slots=True)
class Column:
    """What one gauge shows in a block: text (n,), None where it is silent; `corrupt` (n,) is true where its
    sentence leaves with a wrong checksum."""

    text: tuple[str | None, ...]
    corrupt: Mask


class Gauge:
    """One gauge of a simulated stay, walked block by block."""

    def __init__(self, source: Source, scenario: Scenario, name: str, faults: Sequence[GaugeFault]) -> None:
        self._source = source
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
        self._frozen: dict[GaugeFault, float] = {}

    def next_block(self, time: Floats, truth: Floats) -> Column:
        """Return what it shows at the next instants, given the true value (n,) of its channel."""
        read = truth + self._noise * self._random.standard_normal(time.size)
        if self._drift_per_s:
            read = read + self._drift_per_s * (time - self._start)
        if self._kind.in_swell:
            read = read + self._swell.at(time - self._start)
        wild = self._random.integers(0, SPIKE_EVERY, time.size) == 0
        for fault in self._faults:
            read = self._astray(fault, time, read, wild)
        return self._spoilt(time, self._written(read))

    def _astray(self, fault: GaugeFault, time: Floats, read: Floats, wild: Mask) -> Floats:
        """The values while a fault of kind spike or frozen lasts."""
        during = (time >= fault.at) & (time < fault.at + fault.seconds)
        if not during.any():
            return read
        if fault.kind == "spike":
            return np.where(during & wild, read + self._kind.wild, read)
        if fault.kind == "frozen":
            frozen = self._frozen.setdefault(fault, float(read[during.argmax()]))
            return np.where(during, frozen, read)
        return read

    @property
    def _scale(self) -> float:
        """What a raw value is multiplied with: that of the stay file, and of the unit that an XDR states."""
        units = xdr_units(self._source.channel) if self._source.checks_unit else {}
        return self._source.scale * units.get("N" if self._kind is LOAD_CELL else "", 1.0)

    def _written(self, value: Floats) -> list[str | None]:
        """Raw values as the gauge writes them, so that raw x scale + offset is the channel's value."""
        offset, scale, step = self._source.offset, self._scale, self._kind.resolution
        shown = np.round(value / step) * step
        if self._kind.circle:
            shown = shown % 360.0
        raw = (shown - offset) / scale
        places = max(0, int(np.ceil(-np.log10(abs(step / scale)) - 1e-9)))
        return [f"{number:.{places}f}" for number in (np.round(raw, places) + 0.0).tolist()]

    def _spoilt(self, time: Floats, text: list[str | None]) -> Column:
        """The text while a fault of kind silent, nonsense or checksum lasts."""
        corrupt = np.zeros(time.size, dtype=np.bool_)
        for fault in self._faults:
            during = (time >= fault.at) & (time < fault.at + fault.seconds)
            if fault.kind == "checksum":
                corrupt |= during
            elif fault.kind in ("silent", "nonsense"):
                for row in np.flatnonzero(during).tolist():
                    text[row] = None if fault.kind == "silent" else NONSENSE[row % len(NONSENSE)]
        return Column(tuple(text), corrupt)
