"""What trouble of a gauge does to the values it shows: one effect for each kind, in simulated logs and in
exercises."""

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.channels import DIRECTIONS
from alongside.stay.model import GaugeFault

Mask = NDArray[np.bool_]
HOUR_S = 3600.0
SPIKE_BY = 3.0
"""How far a spike is off where nobody says, in the channel's unit."""


def lasts(fault: GaugeFault, time: Floats) -> Mask:
    """Return (n,) whether the trouble is there."""
    there: Mask = (time >= fault.at) & (time < fault.end)
    return there


class FaultyValues:
    """Values of one gauge while it has one trouble; they come in order of time. Raw values: x `scale` +
    `offset` is in the channel's unit."""

    def __init__(self, fault: GaugeFault, scale: float = 1.0, offset: float = 0.0) -> None:
        self._fault = fault
        self._scale, self._offset = scale, offset
        self._last = float("nan")
        self._seen = 0

    def shown(self, time: Floats, raw: Floats, thrown: Mask | None = None) -> Floats:
        """Return what it shows instead of `raw` (n,); as it was, to the last bit, before and after. `thrown`
        (n,): which values are spikes, where the trouble leaves that open."""
        fault, during = self._fault, lasts(self._fault, time)
        if fault.kind == "frozen":
            return self._frozen(time, raw, during)
        if not during.any():
            return raw
        if fault.kind == "spike":
            return self._spiky(raw, during, thrown)
        if fault.kind == "false_zero":
            return np.where(during, -self._offset / self._scale, raw)
        if fault.kind in ("offset", "drift", "wrong_unit"):
            value = self._astray(raw * self._scale + self._offset, time)
            if fault.channel in DIRECTIONS:
                value = np.mod(value, 360.0)
            return np.where(during, (value - self._offset) / self._scale, raw)
        return raw

    def _astray(self, value: Floats, time: Floats) -> Floats:
        """Return values in the channel's unit that are off by what the trouble says."""
        fault = self._fault
        if fault.kind == "wrong_unit":
            return value / fault.shows
        by = fault.by or 0.0
        return value + (by if fault.kind == "offset" else by * (time - fault.at) / HOUR_S)

    def _frozen(self, time: Floats, raw: Floats, during: Mask) -> Floats:
        """The last value before, or the first where none was seen."""
        before = raw[(time < self._fault.at) & ~np.isnan(raw)]
        if before.size:
            self._last = float(before[-1])
        if during.any() and self._last != self._last:
            self._last = float(raw[during.argmax()])
        return np.where(during, self._last, raw)

    def _spiky(self, raw: Floats, during: Mask, thrown: Mask | None) -> Floats:
        """Every so many-th value, counted from the first, or those that are thrown."""
        if self._fault.every is not None or thrown is None:
            rows = np.flatnonzero(during)
            every = self._fault.every or 1
            thrown = np.zeros(raw.size, dtype=np.bool_)
            thrown[rows[(self._seen + np.arange(rows.size)) % every == 0]] = True
            self._seen += rows.size
        by = SPIKE_BY if self._fault.by is None else self._fault.by
        return np.where(during & thrown, raw + by / self._scale, raw)
