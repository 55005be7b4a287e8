"""Wind and current on large tankers, read off the published curves: OCIMF, Mooring Equipment Guidelines, 2nd
edition 1997, digitised within +-0.02.

The source counts angles from ASTERN (a head wind is 180) and gives the side force in two parts that act at
the perpendiculars: Fy = aft + fwd, N = (fwd - aft) Lbp / 2. Here g = 180 - angle, cy = aft + fwd and
cn = (fwd - aft) / 2; a pull ahead is + in both.

The current curves are those of the loaded ship at a depth of 1.1 draughts: they say too much in deeper water.
The source's curve of the force along at that depth is not at hand; it is calculated as drag (`current.py`).
"""

from typing import Final

from alongside.mechanics.flow import PeriodicTable, symmetric_rows

FROM_ASTERN_DEG: Final = (0.0, 10.0, 20.0, 40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 160.0, 170.0, 180.0)

WIND_ALONG: Final = {
    "ballast": (0.61, 0.63, 0.62, 0.475, 0.27, 0.10, -0.04, -0.125, -0.325, -0.60, -0.73, -0.865),
    "loaded": (0.74, 0.75, 0.74, 0.55, 0.275, 0.15, -0.07, -0.325, -0.62, -0.82, -0.90, -0.945),
}
WIND_AFT: Final = {
    "ballast": (0.0, 0.14, 0.285, 0.44, 0.59, 0.525, 0.48, 0.3755, 0.25, 0.11, 0.05, 0.0),
    "loaded": (0.0, 0.15, 0.285, 0.44, 0.49, 0.475, 0.43, 0.375, 0.275, 0.12, 0.05, 0.0),
}
WIND_FORWARD: Final = {
    "ballast": (0.0, 0.01, 0.03, 0.125, 0.2525, 0.375, 0.47, 0.486, 0.375, 0.225, 0.125, 0.0),
    "loaded": (0.0, 0.015, 0.05, 0.10, 0.172, 0.225, 0.267, 0.24, 0.175, 0.075, 0.025, 0.0),
}
CURRENT_AFT: Final = (0.0, 0.46, 0.90, 1.10, 1.41, 1.57, 1.35, 0.93, 0.50, 0.35, 0.175, 0.0)
CURRENT_FORWARD: Final = (0.0, 0.105, 0.23, 0.45, 0.88, 1.26, 1.415, 1.325, 1.05, 0.94, 0.43, 0.0)


def tanker_wind(condition: str) -> PeriodicTable:
    """Return cx on the front area, cy on the side area, cn on side area x Lbp; `condition` ballast or
    loaded."""
    return _table(WIND_ALONG[condition], WIND_AFT[condition], WIND_FORWARD[condition])


def tanker_current() -> PeriodicTable:
    """Return cy on draught x Lbp and cn on draught x Lbp^2, loaded, depth 1.1 draughts; cx is 0
    throughout."""
    return _table((0.0,) * len(FROM_ASTERN_DEG), CURRENT_AFT, CURRENT_FORWARD)


def _table(along: tuple[float, ...], aft: tuple[float, ...], forward: tuple[float, ...]) -> PeriodicTable:
    columns = zip(FROM_ASTERN_DEG, along, aft, forward, strict=True)
    rows = [(180.0 - angle, x, a + f, (f - a) / 2.0) for angle, x, a, f in columns]
    return PeriodicTable(symmetric_rows(sorted(rows)))
