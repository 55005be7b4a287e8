"""What the load cells say of the lines at some instants, and whose load counts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.cell_loads import cell_loads, with_cells
from alongside.mechanics.state import Hold
from alongside.readings import Floats, Readings
from alongside.stay.channels import PEAK, TENSION


@dataclass(frozen=True, slots=True)
class CellFigures:
    """Arrays (n, lines), kN, NaN where not known."""

    measured_kn: Floats
    """The mean of the cell."""
    peak_kn: Floats
    """Its highest load of the last ten minutes."""
    by_cell: NDArray[np.bool_]
    """Whether the cell's load is the larger and counts."""


def cell_figures(readings: Readings, hold: Hold, lines: tuple[str, ...]) -> CellFigures:
    """Return what the cells of `lines` say at n instants, and whose load counts."""

    def columns(prefix: str) -> Floats:
        return np.stack([readings.column(f"{prefix}{line}") for line in lines], axis=1)

    load = with_cells(hold.lines, cell_loads(readings, lines), hold.why_no_length()).tension_kn
    by_cell = load > np.nan_to_num(hold.lines.tension_kn, nan=-np.inf)
    return CellFigures(columns(TENSION), columns(PEAK), by_cell)
