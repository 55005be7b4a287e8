"""Making fast and tending: which unstretched length of main rope a line has out.

A line made fast with tension T0 at a pose has the main rope whose stretched length and the tail's at T0 fill
its path:  L (1 + e_main(T0)) + l (1 + e_tail(T0)) = P,  e the strain of each part.
"""

from dataclasses import dataclass

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.rope import elongation_pct
from alongside.mechanics.sag import Chords
from alongside.mechanics.state import Pose
from alongside.readings import Codes, Floats


@dataclass(frozen=True, slots=True, eq=False)
class RopeOut:
    """(n, lines) unstretched main rope in m, NaN where there is none, and the `NoAnswer` that says why."""

    unstretched: Floats
    reason: Codes


def rope_out(
    arrangement: Arrangement, pose: Pose, tension_kn: Floats, strains: tuple[Floats, Floats] | None = None
) -> RopeOut:
    """Return the length of main rope with which each line carries `tension_kn` at each of n poses.

    `tension_kn` broadcasts to (n, lines), kN, at least 0. To make fast take the pose of `in_place`; to tend
    to a tension, the pose found now. `strains` are those of `strains_at`, where they are known already.
    """
    leads = leads_of(arrangement, pose)
    path = leads.path.T
    tension = np.broadcast_to(np.asarray(tension_kn, dtype=np.float64), path.shape)
    if arrangement.weights.any:
        chords = Chords(leads.path, leads.outboard, leads.level, arrangement.weights.along(leads.outboard))
        path = path + np.where(tension > 0.0, chords.longer(tension.T)[0].T, 0.0)
    main, tail = strains_at(arrangement, tension) if strains is None else strains
    length = (path - arrangement.tail_length * (1.0 + tail)) / (1.0 + main)
    reason = np.select(
        [
            np.isnan(main + tail),
            np.isnan(pose.tide)[:, None],
            np.isnan(pose.draught_fwd + pose.draught_aft)[:, None],
            np.isnan(pose.heel_deg)[:, None],
            ~(length > 0.0),
        ],
        [
            NoAnswer.NO_SUCH_LOAD,
            NoAnswer.TIDE_UNKNOWN,
            NoAnswer.DRAUGHT_UNKNOWN,
            NoAnswer.HEEL_UNKNOWN,
            NoAnswer.NO_SUCH_LENGTH,
        ],
        NoAnswer.ANSWERED,
    ).astype(np.int8)
    return RopeOut(np.where(reason == NoAnswer.ANSWERED, length, np.nan), reason)


def unstretched_for(arrangement: Arrangement, pose: Pose, tension_kn: Floats) -> Floats:
    """Return the lengths of `rope_out` alone, m (n, lines)."""
    return rope_out(arrangement, pose, tension_kn).unstretched


def strains_at(arrangement: Arrangement, tension_kn: Floats) -> tuple[Floats, Floats]:
    """Return the strain (n, lines) (m/m) of main rope and tail of each line at a tension (n, lines); the
    tail's 0 where there is none. NaN for a load that a part never carries."""
    main, tail = np.zeros(tension_kn.shape), np.zeros(tension_kn.shape)
    for line in np.flatnonzero(tension_kn.any(axis=0)).tolist():  # without a load nothing stretches
        main_curve, tail_curve = arrangement.curves[line]
        fraction = tension_kn[:, line, None] / arrangement.mbl_kn[line]
        main[:, line] = elongation_pct(main_curve, fraction[:, 0]) / 100.0
        if tail_curve is not None:
            tail[:, line] = elongation_pct(tail_curve, fraction[:, 1]) / 100.0
    return main, tail
