"""Between which lengths of main rope a line serves: not too tight for its limits, not slack.

Along a path P the length that carries a tension T is L = (P - l (1 + e_tail(T))) / (1 + e_main(T)),
the inverse of the line under load (`alongside.mechanics.making_fast`); a line with a weight hangs in an arc
that is longer than P by E(T) (`alongside.mechanics.sag`), and may be so much longer. The shortest length is
that of the greatest tension allowed, the longest that of the least. Paths are those of the pose at hand:
where the balance moves the ship as lines are tended, a plan made on these bands is checked by the mechanics
with it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.making_fast import strains_at
from alongside.mechanics.rope import load_fraction
from alongside.mechanics.sag import Chords
from alongside.readings import Floats
from alongside.stay.model import Limits, StageLimits


@dataclass(frozen=True, slots=True)
class Within:
    """Shares that a line shall stay within: of stretch allowance, of working load, of the winch brake's
    holding at most; of working load at least. NaN: not asked."""

    stretch_share: float
    load_share: float
    brake_share: float
    slack_share: float


def within_stage(limits: Limits, stage: str = "warning") -> Within:
    """Return what keeps a line short of a stage: caution, warning or alarm; where that stage is not used, of
    the nearest milder one that is."""

    def of(cause: StageLimits) -> float:
        upto = cause.as_tuple()[: ("caution", "warning", "alarm").index(stage) + 1]
        used = [limit for limit in upto if not np.isnan(limit)]
        return used[-1] if used else float("nan")

    return Within(
        of(limits.stretch_share), of(limits.load_share), of(limits.brake_share), of(limits.slack_share)
    )


@lru_cache(maxsize=32)
def tensions_within(arrangement: Arrangement, within: Within) -> tuple[Floats, Floats]:
    """Return (least, most), each (lines,) kN: the tensions between which each line keeps within its shares;
    most is infinite where nothing is asked. A plan asks for the same again and again: not to be changed."""
    by_stretch = np.full((len(arrangement.ids), 2), np.inf)
    for line, curves in enumerate(arrangement.curves):
        for part, curve in enumerate(curves):
            if curve is not None and not np.isnan(within.stretch_share):
                allowed = np.float64(within.stretch_share * arrangement.allowance_pct[line, part])
                by_stretch[line, part] = load_fraction(curve, allowed) * arrangement.mbl_kn[line, part]
    by_load = within.load_share * arrangement.smallest_wll_kn
    by_brake = within.brake_share * arrangement.brake_kn
    most = np.fmin(np.fmin(by_stretch.min(axis=1), by_load), by_brake)
    least = np.nan_to_num(within.slack_share) * arrangement.smallest_wll_kn
    return least, most


def bands(
    arrangement: Arrangement, path: Floats, within: Within, level: Floats | None = None
) -> tuple[Floats, Floats]:
    """Return (lo, hi) unstretched main rope m for paths (…, lines) m; NaN where the path is. `lo` is 0 where
    no limit binds, `hi` below `lo` where no length keeps within both. `level` (…, lines) m, the level part of
    what is outboard, is asked of lines that have a weight; None: they are taken as straight."""
    least, most = tensions_within(arrangement, within)
    shortest = _length_at(arrangement, path, most, level)
    lo = np.where(np.isnan(path), np.nan, np.where(np.isfinite(most), np.maximum(shortest, 0.0), 0.0))
    return lo, _length_at(arrangement, path, least, level)


def _length_at(arrangement: Arrangement, path: Floats, tension_kn: Floats, level: Floats | None) -> Floats:
    """Return (…, lines) main rope with which each line carries its tension (lines,)."""
    finite = np.where(np.isfinite(tension_kn), tension_kn, 0.0)
    main, tail = _strains(arrangement, finite.tobytes())
    arc = path if level is None else path + _sag(arrangement, path, finite, level)
    length: Floats = (arc - arrangement.tail_length * (1.0 + tail)) / (1.0 + main)
    return length


@lru_cache(maxsize=64)
def _strains(arrangement: Arrangement, tension_kn: bytes) -> tuple[Floats, Floats]:
    """Return the strain (lines,) of main rope and tail at tensions (lines,): the same few are asked for at
    every plan that is tried."""
    main, tail = strains_at(arrangement, np.frombuffer(tension_kn)[None, :])
    return main[0], tail[0]


def _sag(arrangement: Arrangement, path: Floats, tension_kn: Floats, level: Floats) -> Floats:
    """Return by how much (…, lines) m lines are longer than their paths as they hang, at their tensions
    (lines,) kN; 0 without a weight, and without a tension, where any length will do."""
    if not arrangement.weights.any:
        return np.zeros_like(path)
    chord = path.reshape(-1, path.shape[-1]).T
    outboard = chord - arrangement.inboard[:, None]
    chords = Chords(chord, outboard, level.reshape(chord.T.shape).T, arrangement.weights.along(outboard))
    longer = chords.longer(np.broadcast_to(tension_kn[:, None], chord.shape))[0].T.reshape(path.shape)
    return np.where(tension_kn > 0.0, longer, 0.0)
