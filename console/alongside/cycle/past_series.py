"""What is kept of the past for charts and trends: its series by name, and their values of a block."""

from collections.abc import Sequence

import numpy as np

from alongside.cycle.block import Block
from alongside.cycle.trends import mark_names, marks
from alongside.forecast.basis import Basis
from alongside.readings import Floats, watched_channels

CHARTED = ("vertical_deg", "stretch_share", "load_share", "tension_kn")
"""Quantities of every line that charts can show."""
OF_SHIP = ("surge", "sway")
"""What is charted of the ship's place, m."""


def series_names(basis: Basis, channels: Sequence[str]) -> tuple[str, ...]:
    """Return the names of the series of the past: channels, quantities of each line, the ship's place, then
    marks of where trends begin anew."""
    lines = [f"{quantity}.{line}" for quantity in CHARTED for line in basis.arrangement.ids]
    return (*watched_channels(channels), *lines, *OF_SHIP, *mark_names(basis.arrangement.ids))


def series_values(basis: Basis, block: Block) -> Floats:
    """Return (n, k) values in the order of `series_names`."""
    lines = (getattr(block.hold.lines, name) for name in CHARTED)
    ids, hold = basis.arrangement.ids, block.hold
    of = marks(ids, block.readings, hold.lines.unstretched_m, hold.without, block.situation.quality)
    place = [getattr(hold.pose, name) for name in OF_SHIP]
    steps = [of[name] for name in mark_names(ids)]
    return np.hstack([block.readings.value, *lines, np.stack([*place, *steps], axis=1)])
