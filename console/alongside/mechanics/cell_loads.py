"""Loads by load cell beside those computed: of each line the larger counts."""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.mechanics.reasons import NoLength
from alongside.mechanics.state import LineStates
from alongside.readings import Codes, Floats, Readings, Reason
from alongside.stay.channels import TENSION

NOT_OUT: Final = (NoLength.NOT_FAST, NoLength.PARTED, NoLength.LET_GO)
"""Codes of a line that pulls on nothing."""


def cell_loads(readings: Readings, lines: tuple[str, ...]) -> Floats:
    """Return what the load cells say (n, lines), kN; NaN for a line without one, and while its cell gives no
    signal, is set aside, or pulls on a line that is not made fast.

    A doubtful cell counts, as any doubtful gauge does beside its witness, here the computed load: the worse
    of both is alerted until somebody has looked.
    """
    loads = np.full((len(readings), len(lines)), np.nan)
    for column, line in enumerate(lines):
        channel = f"{TENSION}{line}"
        if channel in readings.channels:
            at = readings.channels.index(channel)
            loads[:, column] = np.where(
                readings.reason[:, at] == Reason.NO_LINE, np.nan, readings.value[:, at]
            )
    return loads


def with_cells(lines: LineStates, cells: Floats, no_length: Codes) -> LineStates:
    """Return lines with the larger of the computed load and that by cell, kN (n, lines), and with the pull
    that it has along the line; load share and lengths stay those computed. `no_length` (n, lines) `NoLength`:
    the cell of a line that is not out does not count. One whose load is known by its cell alone has that."""
    cells = np.where(np.isin(no_length, NOT_OUT), np.nan, cells)
    if np.isnan(cells).all():
        return lines
    load = np.fmax(lines.tension_kn, cells)
    by_cell = cells > np.nan_to_num(lines.tension_kn, nan=-np.inf)
    down, ahead = np.radians(lines.vertical_deg), np.radians(lines.horizontal_deg)
    pulls = {
        "ahead_kn": load * np.cos(down) * np.cos(ahead),
        "in_kn": load * np.cos(down) * np.sin(ahead),
        "down_kn": load * np.sin(down),
    }
    pulls = {name: np.where(by_cell, pull, getattr(lines, name)) for name, pull in pulls.items()}
    return replace(lines, tension_kn=load, **pulls)
