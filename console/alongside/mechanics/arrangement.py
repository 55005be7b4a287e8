"""The arrangement: all of a stay that the mechanics need, compiled once into arrays."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.bights import Partners, partners_of
from alongside.mechanics.cells import Part
from alongside.mechanics.exposure import Exposure, exposure_of
from alongside.mechanics.far_ends import FarEnds, far_ends_of
from alongside.mechanics.fenders import FenderRow, fender_row
from alongside.mechanics.rope import RopeCurve, elongation_pct, rope_curve
from alongside.mechanics.sag import Weights
from alongside.mechanics.series import Series, series_of
from alongside.readings import Floats
from alongside.stay.model import Line, Point, Rope, Stay, Winch
from alongside.units import G


@dataclass(frozen=True, slots=True, eq=False)
class Arrangement:
    """Lines in the order of the stay file. Fairleads are points (lines, 3) of the ship frame. Arrays of parts
    are (lines, 2), main rope then tail, NaN where there is no tail."""

    ids: tuple[str, ...]
    fairlead: Floats
    far_ends: FarEnds
    inboard: Floats
    """(lines,) m from winch to fairlead, 0 without a winch."""
    partners: Partners | None
    """Which lines are parts of one rope; None where none are."""
    series: Series
    weights: Weights
    tail_length: Floats
    """(lines,) m unstretched, 0 without a tail."""
    mbl_kn: Floats
    wll_kn: Floats
    """(lines, 2) of the strength that is left and, where given, the ship design MBL."""
    allowance_pct: Floats
    """(lines, 2) elongation in per cent that each part may take."""
    curves: tuple[tuple[RopeCurve, RopeCurve | None], ...]
    brake_kn: Floats
    """(lines,) holding of the winch brake as set, NaN where none is known."""
    automatic: tuple[Floats, Floats] | None
    """(lines,) recovery and rendering load of winches on automatic, kN, NaN for others; None where none
    are."""
    fittings_kn: Floats
    """(lines,) least SWL of the ship's fittings that each line passes, NaN where none is known."""
    bollard_ids: tuple[str, ...]
    """Bollards that bear a line, in the order in which the lines first name them, then the dolphins that bear
    these."""
    bears: NDArray[np.bool_]
    """(bollards, lines) whether a bollard or dolphin bears a line."""
    bollard_swl_kn: Floats
    """(bollards,) NaN where not known."""
    ship_x: float
    berth_x: float
    head: float
    """+1 starboard side to, head towards berth +x; -1 port side to, head towards -x."""
    mark_fwd: float
    mark_aft: float
    breadth: float
    fenders: FenderRow
    exposure: Exposure
    balanced: bool
    """She lies where lines, fenders, wind and current balance; else she is held in place."""

    @property
    def fender_x(self) -> Floats:
        """Return the stations of the fenders, m, berth frame (fenders,)."""
        return self.fenders.x

    @property
    def smallest_wll_kn(self) -> Floats:
        """Return the least working limit of each line's parts and the fittings it passes, kN (lines,)."""
        return np.fmin(np.fmin(self.wll_kn[:, 0], self.wll_kn[:, 1]), self.fittings_kn)


def arrangement_of(stay: Stay) -> Arrangement:
    """Return what a stay has for the mechanics, compiled: a stay that has been checked."""
    ship, berth, lines = stay.ship, stay.berth, stay.lines
    ropes = [(line.rope, line.tail.rope if line.tail else None) for line in lines]
    used_ropes = {id(rope): rope for pair in ropes for rope in pair if rope is not None}
    compiled = {key: rope_curve(rope.curve) for key, rope in used_ropes.items()}
    curves = tuple((compiled[id(main)], compiled[id(tail)] if tail else None) for main, tail in ropes)
    allowance = {key: _allowance_pct(rope, compiled[key]) for key, rope in used_ropes.items()}
    tail_length = np.array([line.tail.length if line.tail else 0.0 for line in lines])
    winches = [ship.winches[line.winch] if line.winch is not None else None for line in lines]
    used = tuple(dict.fromkeys(line.bollard for line in lines))
    bollard_ids = used + tuple(dict.fromkeys(on for name in used if (on := berth.bollards[name].dolphin)))
    fairlead = _points([ship.fairleads[line.fairlead] for line in lines])
    winch = _points(
        [w.at if w else ship.fairleads[line.fairlead] for w, line in zip(winches, lines, strict=True)]
    )
    return Arrangement(
        ids=tuple(line.id for line in lines),
        fairlead=fairlead,
        far_ends=far_ends_of(stay),
        inboard=np.sqrt(((fairlead - winch) ** 2).sum(axis=1)),
        partners=partners_of(lines),
        series=_series(ropes, curves, tail_length),
        weights=Weights(*_weights(lines, ropes), tail_length),
        tail_length=tail_length,
        mbl_kn=_by_part(ropes, lambda rope: rope.mbl_kn),
        wll_kn=_by_part(ropes, lambda rope: rope.wll_kn),
        allowance_pct=_by_part(ropes, lambda rope: allowance[id(rope)]),
        curves=curves,
        brake_kn=_or_nan([winch.holding_kn if winch else None for winch in winches]),
        automatic=_automatic(winches),
        fittings_kn=_or_nan([line.fittings_kn for line in lines]),
        bollard_ids=bollard_ids,
        bears=_bears(stay, bollard_ids),
        bollard_swl_kn=_or_nan([berth.swl_of(name) for name in bollard_ids]),
        ship_x=stay.place.ship_x,
        berth_x=stay.place.berth_x,
        head=1.0 if stay.alongside == "starboard" else -1.0,
        mark_fwd=ship.marks.fwd,
        mark_aft=ship.marks.aft,
        breadth=ship.breadth,
        fenders=fender_row(berth.fenders),
        exposure=exposure_of(stay),
        balanced=stay.balance and bool(berth.fenders),
    )


def _automatic(winches: Sequence[Winch | None]) -> tuple[Floats, Floats] | None:
    loads = [winch.automatic_kn if winch else None for winch in winches]
    if all(each is None for each in loads):
        return None
    low, high = np.array([each or (np.nan, np.nan) for each in loads]).T
    return low, high


def _bears(stay: Stay, bollard_ids: Sequence[str]) -> NDArray[np.bool_]:
    """Return (bollards, lines) whether a bollard or dolphin bears a line."""
    rows = [[stay.berth.bears(name, line.bollard) for line in stay.lines] for name in bollard_ids]
    return np.array(rows, dtype=np.bool_).reshape(len(bollard_ids), len(stay.lines))


Ropes = Sequence[tuple[Rope, Rope | None]]


def _weights(lines: Sequence[Line], ropes: Ropes) -> tuple[Floats, Floats]:
    """Return (lines,) kN/m of main ropes and tails, 0 where it is not given; bights are taken as straight."""
    main, tail = np.nan_to_num(_by_part(ropes, lambda rope: rope.weight_kg_per_m * G / 1000.0)).T
    partners = partners_of(lines)
    if partners is not None:
        main = np.where(partners == np.arange(len(lines)), main, 0.0)
    return main, tail


def _allowance_pct(rope: Rope, curve: RopeCurve) -> float:
    """Return the elongation, %, that the stay file allows, else that at the working limit."""
    if rope.allowance_percent is not None:
        return rope.allowance_percent
    return float(elongation_pct(curve, rope.wll_kn / rope.mbl_kn))


def _series(
    ropes: Ropes, curves: Sequence[tuple[RopeCurve, RopeCurve | None]], tail_length: Floats
) -> Series:
    mains: list[Part] = []
    tails: list[Part | None] = []
    for (main, tail), (main_curve, tail_curve), length in zip(ropes, curves, tail_length, strict=True):
        mains.append(Part(main_curve, main.mbl_kn))
        tails.append(Part(tail_curve, tail.mbl_kn, float(length)) if tail and tail_curve else None)
    return series_of(mains, tails)


def _by_part(ropes: Ropes, number: Callable[[Rope], float]) -> Floats:
    """Return (lines, 2) a number of main rope and tail, NaN without a tail."""
    rows = [(number(main), number(tail) if tail else np.nan) for main, tail in ropes]
    return np.array(rows, dtype=np.float64).reshape(len(rows), 2)


def _points(points: Sequence[Point]) -> Floats:
    return np.array([(p.x, p.y, p.z) for p in points], dtype=np.float64).reshape(len(points), 3)


def _or_nan(numbers: Sequence[float | None]) -> Floats:
    return np.array([np.nan if number is None else number for number in numbers], dtype=np.float64)
