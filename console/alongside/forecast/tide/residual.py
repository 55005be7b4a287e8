"""What weather adds to the tide: measured now, fading, and how far off such a forecast has been.

The residual is measured minus predicted level. It is forecast to fade as r0 exp(-h / 24 h), with a band of
plus or minus 0.12 m + 0.025 m an hour to begin with (learnt on Vlissingen, January to March 2018, an open
coast), and then learnt from what the same forecast would have given earlier in this stay.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats

TAU_S: Final = 24 * 3600.0
RECENT_S: Final = 1200.0
"""The residual now is the robust mean over this long: swell and seiches go, a surge stays."""
NEAR_S: Final = 600.0
"""A measurement this close to an instant may stand for it in a hindcast."""
COVERAGE: Final = 0.90
"""Share of errors that a learnt band holds."""
TRUST: Final = 8.0
"""Independent past forecasts after which a learnt band counts as much as the one to begin with."""


def robust_mean(values: ArrayLike) -> Floats:
    """Return mean over the last axis of what lies within 3 x 1.4826 median absolute deviations of the median
    (Hampel's rule), NaN left out; NaN where nothing is known."""
    values = np.asarray(values, dtype=np.float64)
    if not values.shape[-1]:
        return np.full(values.shape[:-1], np.nan)
    off = np.abs(values - _median(values)[..., None])
    kept = off <= 3.0 * 1.4826 * _median(off)[..., None] + 1e-9
    count = kept.sum(axis=-1)
    total = np.where(kept, values, 0.0).sum(axis=-1)
    mean = np.full(count.shape, np.nan)
    np.divide(total, count, out=mean, where=count > 0)
    return mean


def _median(values: Floats) -> Floats:
    """Return median over the last axis, NaN left out: sorted, they stand behind what is known."""
    rising = np.sort(values, axis=-1)
    count = (~np.isnan(values)).sum(axis=-1, keepdims=True)
    middle = np.maximum(np.concatenate([count - 1, count], axis=-1) // 2, 0)
    two = np.take_along_axis(rising, np.minimum(middle, values.shape[-1] - 1), axis=-1)
    found: Floats = two.mean(axis=-1)
    return found


def residual_now(time: Floats, residual: Floats, now: ArrayLike) -> Floats:
    """Return residual m at each instant `now` (any shape) from (n,) past ones: robust mean over the 20 min up
    to it; NaN without any."""
    until = np.asarray(now, dtype=np.float64)
    first = np.searchsorted(time, until - RECENT_S, side="right")
    last = np.searchsorted(time, until, side="right")
    rows = first[..., None] + np.arange((last - first).max(initial=0))
    recent = np.where(rows < last[..., None], residual[np.minimum(rows, time.size - 1)], np.nan)
    return robust_mean(recent)


def faded(residual: ArrayLike, lead_s: ArrayLike) -> Floats:
    """Return what is left of a residual after `lead_s` seconds; shapes broadcast."""
    left: Floats = np.asarray(residual) * np.exp(-np.maximum(lead_s, 0.0) / TAU_S)
    return left


@dataclass(frozen=True, slots=True, eq=False)
class Hindcast:
    """What the forecast would have missed: `error` (n, k) m, measured minus forecast level, of forecasts
    issued at `issued` (n,) for leads `lead_s` (k,), rising; NaN where either is not known."""

    issued: Floats
    lead_s: Floats
    error: Floats

    def known_at(self, now: float) -> "Hindcast":
        """Return only the errors that had shown themselves by `now`."""
        shown = self.issued[:, None] + self.lead_s <= now
        return Hindcast(self.issued, self.lead_s, np.where(shown, self.error, np.nan))


def hindcast(time: Floats, residual: Floats, lead_s: ArrayLike) -> Hindcast:
    """Forecast the past, at each of (n,) rising instants from what was known up to it."""
    leads = np.asarray(lead_s, dtype=np.float64)
    forecast = faded(residual_now(time, residual, time)[:, None], leads)
    return Hindcast(time, leads, _residual_at(time, residual, time[:, None] + leads) - forecast)


def _residual_at(time: Floats, residual: Floats, wanted: Floats) -> Floats:
    """Return the known residual nearest to each wanted instant, NaN where none is near."""
    known = ~np.isnan(residual)
    if not known.any():
        return np.full(wanted.shape, np.nan)
    at, value = time[known], residual[known]
    after = np.minimum(np.searchsorted(at, wanted), at.size - 1)
    before = np.maximum(after - 1, 0)
    nearest = np.where(np.abs(at[before] - wanted) <= np.abs(at[after] - wanted), before, after)
    return np.where(np.abs(at[nearest] - wanted) <= NEAR_S, value[nearest], np.nan)


def band_to_begin_with(lead_s: ArrayLike) -> Floats:
    """Return half width m at a lead: 0.12 m + 0.025 m an hour."""
    hours = np.maximum(np.asarray(lead_s, dtype=np.float64), 0.0) / 3600.0
    band: Floats = 0.12 + 0.025 * hours
    return band


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Half widths (k,) m at leads (k,) s, never narrower at a longer lead."""

    lead_s: Floats
    half: Floats

    def at(self, lead_s: ArrayLike) -> Floats:
        """Return half width m at any lead; beyond the last it widens as the band to begin with does."""
        lead = np.asarray(lead_s, dtype=np.float64)
        if self.lead_s.size == 0:
            return band_to_begin_with(lead)
        beyond = np.maximum(lead - self.lead_s[-1], 0.0) / 3600.0 * 0.025
        return np.asarray(np.interp(lead, self.lead_s, self.half) + beyond, dtype=np.float64)


NOTHING_LEARNT: Final = Band(np.empty(0), np.empty(0))


def learnt_band(past: Hindcast) -> Band:
    """Return the band by which 90 % of this stay's own past errors would have been held.

    Errors of forecasts that overlap are not independent: those at a lead count once per lead (at least once
    per hour). The fewer there are, the more the band to begin with weighs.
    """
    widths = band_to_begin_with(past.lead_s)
    step = float(np.median(np.diff(past.issued))) if past.issued.size > 1 else 0.0
    for k, lead in enumerate(past.lead_s):
        errors = np.abs(past.error[:, k])
        errors = errors[~np.isnan(errors)]
        if errors.size:
            independent = errors.size * step / max(float(lead), 3600.0)
            weight = independent / (independent + TRUST)
            widths[k] += weight * (float(np.quantile(errors, COVERAGE)) - widths[k])
    return Band(past.lead_s, np.maximum.accumulate(widths))
